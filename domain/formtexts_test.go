package domain_test

import (
	"go/ast"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// asSentence is a format with two words or more beside its values.
var asSentence = regexp.MustCompile(`[A-Za-z]{2,}[^A-Za-z]+[A-Za-z]{2,}`)

// formVerb is a value in a format.
var formVerb = regexp.MustCompile(`%[-+0-9.*# ]*[a-zA-Z%]`)

// TestFormsSaySentencesByTemplates holds what a form, a refusal and the sheet say to text.Of: a template with named
// values. What only lays figures out may be formatted.
func TestFormsSaySentencesByTemplates(t *testing.T) {
	found := 0
	for _, f := range sources(t) {
		if strings.HasSuffix(f.path, "_test.go") || !slices.ContainsFunc([]string{"tui/entry/", "domain/handover/",
			"cmd/mustwatch/"}, func(dir string) bool { return strings.HasPrefix(f.path, dir) }) {
			continue
		}
		found++
		ast.Inspect(f.file, func(n ast.Node) bool {
			call, ok := n.(*ast.CallExpr)
			if !ok || len(call.Args) == 0 || nameOf(call.Fun) != "fmt.Sprintf" && nameOf(call.Fun) != "fmt.Errorf" {
				return true
			}
			lit, ok := call.Args[0].(*ast.BasicLit)
			if !ok {
				return true
			}
			format, _ := strconv.Unquote(lit.Value)
			if strings.Contains(format, "%w") || strings.Contains(format, "\n") { // what wraps an error; a page of help
				return true
			}
			if asSentence.MatchString(formVerb.ReplaceAllString(format, "")) {
				t.Errorf("%s says %q by its verbs: name its values (DEVELOPERS, A text)", f.path, format)
			}
			return true
		})
	}
	if found < 60 {
		t.Fatalf("looked at %d files only", found)
	}
}
