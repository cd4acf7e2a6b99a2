package intent

import (
	"go/ast"
	"go/parser"
	"go/token"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// An intent that is compared by value can stand in a key table, be printed in a
// failing test and be counted. So no intent may hold a function, map or slice.
func TestIntentsAreComparable(t *testing.T) {
	assert.True(t, Intent(Move{DX: 1}) == Intent(Move{DX: 1}))
	assert.False(t, Intent(Move{DX: 1}) == Intent(Move{DY: 1}))
	assert.False(t, Intent(First{}) == Intent(Last{}))

	file, err := parser.ParseFile(token.NewFileSet(), "intent.go", nil, 0)
	require.NoError(t, err)
	ast.Inspect(file, func(n ast.Node) bool {
		field, ok := n.(*ast.Field)
		if !ok {
			return true
		}
		switch field.Type.(type) {
		case *ast.MapType, *ast.ArrayType, *ast.StarExpr, *ast.ChanType:
			t.Errorf("an intent holds a %T", field.Type)
		}
		return true
	})
}

func TestEveryStructIsAnIntent(t *testing.T) {
	file, err := parser.ParseFile(token.NewFileSet(), "intent.go", nil, 0)
	require.NoError(t, err)
	structs, sealed := map[string]bool{}, map[string]bool{}
	ast.Inspect(file, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.TypeSpec:
			if _, ok := n.Type.(*ast.StructType); ok {
				structs[n.Name.Name] = true
			}
		case *ast.FuncDecl:
			sealed[n.Recv.List[0].Type.(*ast.Ident).Name] = true
		}
		return true
	})
	assert.Equal(t, structs, sealed)
	assert.Greater(t, len(structs), 25)
}
