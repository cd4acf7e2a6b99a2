package entry_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/tui/intent"
)

// A load that was tipped before its ticket was saved is asked for what it weighed.
func TestALoadThatWasTippedIsAskedForItsTicket(t *testing.T) {
	h := newHouse(t)
	h.at("20:05")
	h.lines(`{"do":"tip","by":"MA","load":"0477","to":"P1","happened":true}`)
	e := h.open(intent.FormLoad, "0477")
	require.Contains(t, screen(e, 100, 30), "Load 0477, tipped: what did it weigh?")
	c := h.typed(e, "30000<tab>12000<tab><tab><tab><tab><tab><tab>Riesling<enter>")
	require.Equal(t, &cellar.WeighLoad{Head: byMA, Load: cellar.Load{ID: "0477", Variety: "Riesling",
		Gross: 30 * quantity.Tonne, Tare: 12 * quantity.Tonne}}, c)
}
