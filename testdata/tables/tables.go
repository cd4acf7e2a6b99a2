// Package tables hands the published tables to tests.
package tables

import (
	"strconv"
	"testing"

	"cellar.example/mustwatch/testdata"
)

// Published reads a table of testdata/published: its source line and its rows by
// column name.
func Published(t testing.TB, name string) (source string, rows []map[string]string) {
	t.Helper()
	source, rows, err := testdata.Published(name)
	if err != nil {
		t.Fatal(err)
	}
	return source, rows
}

// Number reads a figure of such a table.
func Number(t testing.TB, s string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}
