package tui_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
)

// TestALoadIsPickedByItsNumber: typed whole it is the load, with nothing of it taken
// for its mass; a mass of a few kilograms is asked about.
func TestALoadIsPickedByItsNumber(t *testing.T) {
	d := sit(t, "04:00", 120, 40)
	write(t, d, &cellar.PressJuiceOut{Head: cellar.Head{By: "TQ", Happened: true}, Press: "P2", End: true})
	write(t, d, &cellar.FreePress{Head: cellar.Head{By: "TQ"}, Press: "P2"})
	d.Press("P2pf0417<enter>").Shows("saved: P2 filling with 0417 Chardonnay, 16000 kg")
	p, _ := d.State().Press("P2")
	require.Equal(t, "16000 kg", p.Mass().String())

	d = sit(t, "04:00", 120, 40)
	write(t, d, &cellar.PressJuiceOut{Head: cellar.Head{By: "TQ", Happened: true}, Press: "P2", End: true})
	write(t, d, &cellar.FreePress{Head: cellar.Head{By: "TQ"}, Press: "P2"})
	d.Press("P2pf1").Press("7<enter>").Shows("D25", "7 kg of load 0417 is 0.044 % of its 16000 kg")
}

// TestALotIsPickedByItsNumber: the figures of its number are no rate.
func TestALotIsPickedByItsNumber(t *testing.T) {
	d := sit(t, "22:09", 120, 40)
	d.Press("106d2240").Shows("[2 E-2240")
	d.Press("<tab>0.134<tab>14.8<enter>").Shows("saved: 106 E-2240")
}

// TestALotIsNamedOnce: where number and name are the same words they stand once.
func TestALotIsNamedOnce(t *testing.T) {
	d := sit(t, "22:09", 120, 40)
	d.Press("106d").Shows("pea protein 11.48 kg").Hides("pea protein pea protein", "bentonite bentonite", "yeast yeast")
	d.Press("<esc>").Press("u").Shows("bentonite ").Hides("pea protein pea protein", "bentonite bentonite",
		"yeast yeast")
}
