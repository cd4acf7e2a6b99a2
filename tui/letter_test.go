package tui_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/stage"
	"cellar.example/mustwatch/tui/tuitest"
)

// TestLettersOfATankNumberMayBeSmall: g2d is the dose of tank G2, although g is a key of
// the board; a letter right after a whole number, or one that goes on with no number, is
// the key it was.
func TestLettersOfATankNumberMayBeSmall(t *testing.T) {
	sitG := func() *tuitest.Desk {
		d := sit(t, "05:55", 120, 40)
		for _, p := range []cellar.TankNumber{"G2", "G2D", "10A"} {
			write(t, d, &cellar.AddVessel{Head: cellar.Head{By: "MA"}, VesselSetup: cellar.VesselSetup{Number: p,
				Brim: quantity.HL(50), Use: stage.UseSettle}})
		}
		return d
	}
	for keys, shows := range map[string]string{
		"g2r": "Reading of G2", "g2Dr": "Reading of G2D", "G2Dr": "Reading of G2D", "p2p": "P2 pressing since",
		"P2p": "P2 pressing since", "p3x": "Correct an entry",
		"k2r": "Reading of K2", "10ar": "Reading of 10A", "104r": "Reading of 104", "104g": "Use a spotter",
		"g": "Use a spotter", "gx": "Use a spotter",
		"104p": "Put the cursor on a press", "g9": "There is no G9 here", "104kr": "Reading of ",
	} {
		sitG().Press(keys).Shows(shows)
	}
	d := sitG()
	d.Send(tuitest.Burst("g2r"))
	d.Shows("Reading of G2")

	d = sitG()
	for _, k := range tuitest.Keys(t, "g") { // it waits for a moment, and then it is a key
		d.Send(k)
	}
	d.Hides("Use a spotter").Send(d.Root.Rested())
	d.Shows("Use a spotter")
	require.True(t, d.State().Seq > 0)
}
