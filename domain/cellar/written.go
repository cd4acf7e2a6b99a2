package cellar

import (
	"fmt"
	"strings"

	"cellar.example/mustwatch/domain/quantity"
)

// inWords puts a quantity into what is written about it: exactly as the journal
// keeps it, or rounded in a house that measures in other units.
func inWords[Q interface {
	fmt.Stringer
	Text(quantity.System) string
}](s *State, q Q) string {
	if s.House.Units == quantity.Metric {
		return q.String()
	}
	return q.Text(s.House.Units)
}

// Spaced joins numbers or initials with blanks.
func Spaced[T ~string](all []T) string {
	out := make([]string, len(all))
	for i, x := range all {
		out[i] = string(x)
	}
	return strings.Join(out, " ")
}
