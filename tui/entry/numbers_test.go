package entry_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/tui/intent"
)

// TestAFigureWithTwoReadingsIsAsked: in a form a point or a comma with three digits
// behind it is asked about at its field, where the field can hold both readings; a
// house that has named its decimal sign is not asked.
func TestAFigureWithTwoReadingsIsAsked(t *testing.T) {
	type typed struct {
		form   intent.Form
		on     string
		script string // %s is the figure
		asks   string // two readings
	}
	all := []typed{
		{intent.FormLoad, "0414", "%s<tab>", "14.600"}, {intent.FormLoad, "0414", "%s<tab>", "14,600"},
		{intent.FormDose, "104", "1<tab>%s<tab>", "1.500"}, {intent.FormMove, "101", "203<tab>%s<tab>", "4.000 L"},
		{intent.FormReading, "104", "<tab><tab>%s<tab>", "1.200"},
	}
	for _, c := range all {
		for _, sign := range []string{"ask", ".", ","} {
			h := newHouse(t)
			h.lines(fmt.Sprintf(`{"do":"house","by":"MA","decimal":%q}`, sign))
			e := h.open(c.form, c.on)
			h.types(e, fmt.Sprintf(c.script, c.asks))
			if sign == "ask" {
				require.Contains(t, screen(e, 100, 30), "can be read in two ways", "%s %s", c.form, c.asks)
			} else {
				require.NotContains(t, screen(e, 100, 30), "can be read in two ways", "%s %s", c.form, c.asks)
			}
		}
	}
	for _, c := range []typed{
		{intent.FormReading, "104", "%s<tab>", "13.500"}, {intent.FormReading, "104", "<tab>%s<tab>", "1.083"},
		{intent.FormDose, "104", "2<tab>%s<tab>", "0.134"},
	} {
		h := newHouse(t)
		e := h.open(c.form, c.on)
		h.types(e, fmt.Sprintf(c.script, c.asks))
		require.NotContains(t, screen(e, 100, 30), "!", "%s %s", c.form, c.asks)
	}
}
