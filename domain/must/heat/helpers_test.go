package heat_test

import (
	"encoding/csv"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// published reads a table of testdata/published: its source line and its rows by
// column name.
func published(t *testing.T, name string) (source string, rows []map[string]string) {
	t.Helper()
	text, err := os.ReadFile("../../../testdata/published/" + name)
	require.NoError(t, err)
	first, _, _ := strings.Cut(string(text), "\n")
	source, ok := strings.CutPrefix(first, "# source: ")
	require.True(t, ok, "%s names no source", name)
	r := csv.NewReader(strings.NewReader(string(text)))
	r.Comment = '#'
	all, err := r.ReadAll()
	require.NoError(t, err)
	for _, rec := range all[1:] {
		row := map[string]string{}
		for i, head := range all[0] {
			row[head] = rec[i]
		}
		rows = append(rows, row)
	}
	return source, rows
}

func number(t testing.TB, s string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(s, 64)
	require.NoError(t, err)
	return x
}
