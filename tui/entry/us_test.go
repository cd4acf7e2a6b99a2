package entry_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/tui/intent"
)

// TestADoseInAUSHouse: the label is in lb/1000 gal, the juice in gallons, and the
// scale in ounces and in grams. The factors are exact by definition: pound
// 453.59237 g, gallon 3.785411784 L, ounce a sixteenth of a pound.
func TestADoseInAUSHouse(t *testing.T) {
	h := newHouse(t)
	h.lines(`{"do":"product","by":"MA","product":"E-2240","name":"clarifying enzyme","class":"enzyme-clarify",` +
		`"unit":"lb/1000 gal","card":{"rows":[{"from":"15 °C","to":"20 °C","wait":"2h"},{"from":"12 °C",` +
		`"to":"15 °C","wait":"3h"}],"floor":"10 °C","ceiling":"45 °C","low":"0.13 lb/1000 gal",` +
		`"high":"0.25 lb/1000 gal","make_up":10,"water_temp":"20 °C","use_within":"2h"}}`)
	h.lines(`{"do":"house","by":"MA","zone":"America/Los_Angeles","units":"us"}`)
	e := h.open(intent.FormDose, "102")
	h.types(e, "E-2240<tab>.25<tab>58")
	shown := screen(e, 80, 24)
	// 192 hL are 5072.1 gal; 0.25 lb on each 1000 gal is 1.2680 lb = 20.288 oz =
	// 575.17 g; 0.25 lb/1000 gal is 2.9957 g/hL.
	require.Contains(t, shown, "lb/1000 gal")
	require.Contains(t, shown, "5072")
	require.Contains(t, shown, "gal (ledger from opening, 1h ago, ±26.4 gal)")
	require.Contains(t, live(e), "weigh 20.3 oz (575.2 g)")
	require.Contains(t, live(e), "0.25 lb/1000 gal = 3 g/hL on 5072 gal")
	require.Contains(t, live(e), "water (1:10) at 68.0 °F, use within 2 h", "as the card says")
	require.NotContains(t, live(e), "°C", "what the clock stands on is in the house's degrees too")
	require.Contains(t, live(e), "row 53.6–59 °F")
}

// The calculations of a US house show examples in its units: every hint that has
// one of its own, and none that speaks of hectolitres or of degrees Celsius alone.
func TestReckoningsInAUSHouse(t *testing.T) {
	h := newHouse(t)
	h.lines(`{"do":"house","by":"MA","zone":"America/Los_Angeles","units":"us"}`)
	all := ""
	for _, key := range "123456789abcdef" {
		e := h.open(intent.FormCalc, "102")
		h.types(e, string(key))
		form := screen(e, 120, 40)
		fields, _, _ := strings.Cut(form, "\n\n")
		require.NotContains(t, fields, "hL", "%c", key)
		require.NotContains(t, fields, "°C", "%c", key)
		all += fields
	}
	for _, hint := range []string{"lb or short tons", "172 gal/short ton", "from the bottom: 60 in", "10 ft"} {
		require.Contains(t, all, hint)
	}
}
