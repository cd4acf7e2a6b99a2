package domain_test

import (
	"go/ast"
	"go/token"
	"path"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"cellar.example/mustwatch/domain/text"
)

// saying are the functions that take a template, with the place of it among the arguments; what follows
// it are its values.
var saying = map[string]int{"text.Of": 0, "reject": 2, "s.log": 2, "s.pressLog": 2, "s.phrase": 0, "g.Say": 0,
	"r.words": 0}

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

// declared are the texts of a package by the name of their variable: what there is to be seen and the advice, as
// one template.
type declared struct {
	at       token.Position
	template string
	literal  bool
}

// declaredIn lists the texts that are declared with text.New in a file, by package and variable.
func declaredIn(f source, into map[string]declared) {
	ast.Inspect(f.file, func(n ast.Node) bool {
		spec, ok := n.(*ast.ValueSpec)
		if !ok {
			return true
		}
		for i, v := range spec.Values {
			call, ok := v.(*ast.CallExpr)
			if !ok || nameOf(call.Fun) != "text.New" {
				continue
			}
			d := declared{at: f.set.Position(call.Pos()), literal: !call.Ellipsis.IsValid()}
			for j, a := range call.Args[1:] {
				words, is := literal(a)
				if d.literal = d.literal && is; j > 0 {
					words = " " + words
				}
				d.template += words
			}
			into[path.Dir(f.path)+"."+spec.Names[i].Name] = d
		}
		return true
	})
}

// TestDeclaredTextsAreSaidWithTheirValues: a text that facts keep is given a value for each name of what there is
// to be seen and of the advice, wherever it is said: Say.Seen leaves out words, but never a value.
func TestDeclaredTextsAreSaidWithTheirValues(t *testing.T) {
	texts := map[string]declared{}
	all := sources(t)
	for _, f := range all {
		if !f.isTest() {
			declaredIn(f, texts)
		}
	}
	advised, checked := 0, 0
	for name, d := range texts {
		if !d.literal {
			t.Errorf("%s: %s is not declared with words that stand there", d.at, name)
		}
		for _, value := range text.Names(d.template) {
			if !namedWell.MatchString(value) {
				t.Errorf("%s: {%s} is no name for a value", d.at, value)
			}
		}
		if bare := inBraces.ReplaceAllString(d.template, ""); formatted.MatchString(bare) {
			t.Errorf("%s: %q has a verb of package fmt; name the value", d.at, d.template)
		}
	}
	for _, f := range all {
		if f.isTest() {
			continue
		}
		ast.Inspect(f.file, func(n ast.Node) bool {
			call, ok := n.(*ast.CallExpr)
			if !ok {
				return true
			}
			said, isSay := call.Fun.(*ast.SelectorExpr)
			if !isSay || said.Sel.Name != "Say" || call.Ellipsis.IsValid() {
				return true
			}
			d, known := texts[path.Dir(f.path)+"."+nameOf(said.X)]
			if !known {
				return true
			}
			checked++
			if strings.Contains(d.template, ". ") {
				advised++
			}
			if names := text.Names(d.template); len(names) != len(call.Args) {
				t.Errorf("%s: %q has the names %v and is given %d values", f.set.Position(call.Pos()), d.template,
					names, len(call.Args))
			}
			return true
		})
	}
	if checked < 150 || advised < 50 {
		t.Fatalf("only %d said, %d of them with advice", checked, advised)
	}
}
