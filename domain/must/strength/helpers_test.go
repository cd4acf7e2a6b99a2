package strength_test

import (
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/testdata"
)

// published reads a table of testdata/published: its source line and its rows by
// column name.
func published(t *testing.T, name string) (source string, rows []map[string]string) {
	t.Helper()
	source, rows, err := testdata.Published(name)
	require.NoError(t, err)
	return source, rows
}

func number(t testing.TB, s string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(s, 64)
	require.NoError(t, err)
	return x
}
