package cell

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Every sign a face draws is tested for its width. This reads the string and
// rune literals of the faces and refuses a sign that is not: add it to Glyphs,
// with a plain stand-in, or use a word. Paper is left out: it has fonts of its
// own; so is this package, which names signs in order to replace them.
func TestFacesDrawOnlyKnownGlyphs(t *testing.T) {
	err := filepath.WalkDir("..", func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && (d.Name() == "paper" || d.Name() == "cell") {
			return filepath.SkipDir
		}
		if d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return nil
		}
		for _, bad := range strangers(path) {
			t.Errorf("%s", bad)
		}
		return nil
	})
	require.NoError(t, err)
}

func strangers(path string) []string {
	files := token.NewFileSet()
	file, err := parser.ParseFile(files, path, nil, parser.SkipObjectResolution)
	if err != nil {
		return nil // the compiler says it better
	}
	var found []string
	ast.Inspect(file, func(n ast.Node) bool {
		literal, ok := n.(*ast.BasicLit)
		if !ok || literal.Kind != token.STRING && literal.Kind != token.CHAR {
			return true
		}
		for _, r := range literal.Value {
			if r > 0x7e && !Drawable(r) {
				found = append(found, files.Position(literal.Pos()).String()+": "+strconv.QuoteRune(r)+
					" is not in cell.Glyphs")
			}
		}
		return true
	})
	return found
}
