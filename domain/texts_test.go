package domain_test

import (
	"go/ast"
	"go/token"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"cellar.example/mustwatch/domain/text"
)

// saying are the functions that take a template, with the place of it among the arguments; what follows
// it are its values.
var saying = map[string]int{"text.Of": 0, "reject": 2, "s.log": 2, "s.pressLog": 2}

// said are the templates of the source, with how many values each is given; -1 for a declared one.
type said struct {
	at       token.Position
	template string
	values   int
}

// templates lists the templates that stand as literals in a file.
func templates(fset *token.FileSet, f *ast.File) (out []said) {
	ast.Inspect(f, func(n ast.Node) bool {
		call, ok := n.(*ast.CallExpr)
		if !ok {
			return true
		}
		at, ok := saying[nameOf(call.Fun)]
		values := len(call.Args) - at - 1
		if nameOf(call.Fun) == "text.New" {
			at, ok, values = 1, true, -1
		}
		if !ok || len(call.Args) <= at || call.Ellipsis.IsValid() {
			return true
		}
		if t, literal := literal(call.Args[at]); literal {
			out = append(out, said{fset.Position(call.Pos()), t, values})
		}
		return true
	})
	return out
}

func nameOf(e ast.Expr) string {
	switch e := e.(type) {
	case *ast.Ident:
		return e.Name
	case *ast.SelectorExpr:
		return nameOf(e.X) + "." + e.Sel.Name
	}
	return ""
}

// literal is the value of a string literal, or of several that are added.
func literal(e ast.Expr) (string, bool) {
	switch e := e.(type) {
	case *ast.BasicLit:
		s, err := strconv.Unquote(e.Value)
		return s, err == nil
	case *ast.BinaryExpr:
		a, ok := literal(e.X)
		b, ok2 := literal(e.Y)
		return a + b, ok && ok2
	}
	return "", false
}

var (
	namedWell = regexp.MustCompile(`^[a-z][a-z0-9_]*$`)
	formatted = regexp.MustCompile(`%[-+#0-9.]*[sdvqgfx]`)
)

// TestTemplatesFitTheirValues: every name of a template has a value, every value a name, and no verb of
// package fmt is left over from before.
func TestTemplatesFitTheirValues(t *testing.T) {
	n := 0
	for _, f := range sources(t) {
		if strings.HasSuffix(f.path, "_test.go") {
			continue
		}
		for _, x := range templates(f.set, f.file) {
			n++
			names := text.Names(x.template)
			if x.values >= 0 && len(names) != x.values {
				t.Errorf("%s: %q has %d names and is given %d values", x.at, x.template, len(names), x.values)
			}
			for _, name := range names {
				if !namedWell.MatchString(name) {
					t.Errorf("%s: {%s} is no name for a value", x.at, name)
				}
			}
			if bare := regexp.MustCompile(`\{[^}]*\}`).ReplaceAllString(x.template, ""); formatted.MatchString(bare) {
				t.Errorf("%s: %q has a verb of package fmt; name the value", x.at, x.template)
			}
		}
	}
	if n < 400 {
		t.Fatalf("only %d templates found", n)
	}
}
