package tui_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/quantity"
)

// TestAVolumeShowsItsSource: on the vessel, in the form that calculates on it, and as ~ on
// the board where it was only estimated; SO2 on an estimate is asked about, and a dip
// ends the doubt.
func TestAVolumeShowsItsSource(t *testing.T) {
	d := sit(t, "23:05", 120, 40)
	d.Press("104m").Shows("volume of 104: dip, 4h ago, ±1.0 hL")
	d.Press("<esc>")
	write(t, d, &cellar.Move{Head: cellar.Head{By: "MA", Happened: true, Answers: []gate.Answer{{Rule: "D04", By: "MA",
		Reason: "compact already"}}}, From: "104", To: []cellar.Portion{{Vessel: "210", Volume: quantity.HL(40)}},
		Part: true, How: cellar.Estimate})
	d.Press("210<enter>").Shows("~40.0 hL of 200.0 hL", "volume: estimate, ±4.0 hL").Press("<esc>").Shows("~40.0 hL")
	d.Press("210dSO2<tab>1").Shows("(estimate, ±4.0 hL)", "D22 The 40.0 hL in 210 is only estimated, ±4.0 hL. Dip "+
		"it before SO2 goes in.").Press("<esc>")
	d.Press("210r<tab><tab><tab><tab><tab>39.5<enter>")
	d.Press("210<enter>").Shows("volume: dip, ±0.8 hL").Hides("~40.0 hL").Press("<esc>")
	d.Press("210d").Shows("(dip, ±0.8 hL)").Hides("D22")
	v, _ := d.State().Vessel("210")
	require.Equal(t, "40 hL", v.Now.Volume.String(), "a dip says what the ledger is worth; it does not change it")
}
