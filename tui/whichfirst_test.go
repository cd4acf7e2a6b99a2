package tui_test

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// TestWhichWasFirstIsAskedByAKey: a move that is saved late and is of the minute of a dose
// that stands: b or a says which was first, Enter goes back to what was typed.
func TestWhichWasFirstIsAskedByAKey(t *testing.T) {
	for key, doses := range map[string]int{"b": 0, "a": 1} {
		d := sit(t, "21:45", 80, 24)
		d.Press("104m204<tab>10<tab><tab><tab><tab>y<tab>h<tab><tab><tab>1915<enter>")
		d.Shows("Which was first?", "of 19:15, and it makes a difference which was first", "156 g of E-2204, 19:15 NS",
			"b   before: what you typed came first",
			"a   after: the saved entry came first")
		d.Press("<enter>").Shows("Move from 104", "1915")
		d.Press("<enter>").Shows("Which was first?").Press(key)
		if doses > 0 { // it was in contact then
			d.Shows("is not ready to move").Press("g<enter>")
		}
		d.Shows("saved: ")
		v, _ := d.State().Vessel("204")
		require.Len(t, v.Now.Doses, doses)
	}
}
