package testdata

import (
	"embed"
	"encoding/csv"
	"fmt"
	"strings"
)

//go:embed published
var published embed.FS

// Published reads one table of published figures: the source named in its first
// line, and its rows by the names of its columns. Only tests ask for it. The error
// says that the table is not there, names no source, or is no CSV.
func Published(name string) (source string, rows []map[string]string, err error) {
	text, err := published.ReadFile("published/" + name)
	if err != nil {
		return "", nil, fmt.Errorf("published table: %w", err)
	}
	first, _, _ := strings.Cut(string(text), "\n")
	source, ok := strings.CutPrefix(first, "# source: ")
	if !ok {
		return "", nil, fmt.Errorf("%s names no source", name)
	}
	r := csv.NewReader(strings.NewReader(string(text)))
	r.Comment = '#'
	all, err := r.ReadAll()
	if err != nil {
		return "", nil, fmt.Errorf("published table %s: %w", name, err)
	}
	for _, rec := range all[1:] {
		row := map[string]string{}
		for i, head := range all[0] {
			row[head] = rec[i]
		}
		rows = append(rows, row)
	}
	return source, rows, nil
}
