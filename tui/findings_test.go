package tui_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/stage"
)

// TestAStopAsksEach: two destinations are unclean, and a word on one is none on the
// other.
func TestAStopAsksEach(t *testing.T) {
	d := sit(t, "23:05", 120, 40)
	for _, p := range []cellar.TankNumber{"208", "101"} {
		write(t, d, &cellar.SetStage{Head: cellar.Head{By: "NS"}, Vessel: p, Stage: stage.Dirty})
	}
	before := len(d.State().Answered)
	d.Press("104m101<tab>20<tab>208<tab>15<enter>208<enter>").Shows("stop H11   101 is empty dirty",
		"stop H11   208 is empty dirty")
	d.Press("g<tab><tab>water only").Shows("101: Reason      water only")
	d.Press("<enter><enter>").Shows("> 208: Reason", "needed")
	require.Len(t, d.State().Answered, before, "one word is not enough")
	d.Press("rinsed<enter>").Hides("Stopped")
	said := map[string]string{}
	for _, a := range d.State().Answered[before:] {
		said[string(a.Rule)+" "+a.Of.Full()] = a.Reason
	}
	require.Equal(t, map[string]string{"H11 vessel 101": "water only", "H11 vessel 208": "rinsed",
		"D04 vessel 104": ""}, said)
}
