package domain_test

import (
	"encoding/csv"
	"fmt"
	"go/ast"
	"os"
	"path"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestEveryFailureSaysWhatCoversIt holds testdata/failures.csv against the tests:
// all of the trade's 38, in order, each with the guard that answers it, tests that
// exist where it says they do, and in plain words what is missing where not all of
// it is covered.
func TestEveryFailureSaysWhatCoversIt(t *testing.T) {
	f, err := os.Open("../testdata/failures.csv")
	require.NoError(t, err)
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	require.NoError(t, err)
	require.Equal(t, []string{"id", "what_goes_wrong", "guard", "covered", "tests", "note"}, rows[0])
	there := testNames(t)
	count := map[string]int{}
	for i, row := range rows[1:] {
		id, covered, tests, note := row[0], row[3], strings.Fields(row[4]), row[5]
		require.Equal(t, fmt.Sprintf("F%02d", i+1), id)
		require.NotEmpty(t, row[1], id)
		require.NotEmpty(t, row[2], id)
		count[covered]++
		switch covered {
		case "yes":
			require.Empty(t, note, "%s: what is missing, if all is covered?", id)
			require.NotEmpty(t, tests, id)
		case "partly":
			require.NotEmpty(t, note, "%s: what is missing?", id)
			require.NotEmpty(t, tests, id)
		case "no":
			require.NotEmpty(t, note, "%s: why not?", id)
		default:
			t.Errorf("%s: covered is yes, partly or no, not %q", id, covered)
		}
		for _, name := range tests {
			require.True(t, there[name], "%s: there is no test %s", id, name)
		}
		if note != "" {
			t.Logf("%s %s, %s: %s", id, covered, row[1], note)
		}
	}
	require.Len(t, rows, 39)
	t.Logf("covered: %d, partly: %d, not: %d", count["yes"], count["partly"], count["no"])
}

// testNames are all tests of the tree by folder and function.
func testNames(t *testing.T) map[string]bool {
	out := map[string]bool{}
	for _, s := range sources(t) {
		if !s.isTest() {
			continue
		}
		for _, d := range s.file.Decls {
			if f, ok := d.(*ast.FuncDecl); ok && f.Recv == nil && strings.HasPrefix(f.Name.Name, "Test") {
				out[path.Dir(s.path)+"."+f.Name.Name] = true
			}
		}
	}
	return out
}
