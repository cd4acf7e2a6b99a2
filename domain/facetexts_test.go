package domain_test

import (
	"go/ast"
	"path"
	"regexp"
	"strings"
	"testing"
)

// TestFacesSayTemplates: what the board itself, its overlays and the helpers of the faces say is a template with
// named values; package fmt only lays out.
func TestFacesSayTemplates(t *testing.T) {
	sentence := regexp.MustCompile(`[A-Za-z]{3,}.* [A-Za-z]{3,}`)
	n := 0
	for _, f := range sources(t) {
		if dir := path.Dir(f.path); dir != "tui" && dir != "tui/face" && dir != "tui/overlay" ||
			strings.HasSuffix(f.path, "_test.go") {
			continue
		}
		n++
		ast.Inspect(f.file, func(node ast.Node) bool {
			call, ok := node.(*ast.CallExpr)
			if !ok || nameOf(call.Fun) != "fmt.Sprintf" || len(call.Args) == 0 {
				return true
			}
			if format, ok := literal(call.Args[0]); ok && sentence.MatchString(format) {
				t.Errorf("%s: %q is a sentence; say it with r.words or g.Say", f.path, format)
			}
			return true
		})
	}
	if n < 30 {
		t.Errorf("only %d files were looked at", n)
	}
}
