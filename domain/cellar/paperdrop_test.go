package cellar_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/handover"
	"cellar.example/mustwatch/domain/sheet"
	"cellar.example/mustwatch/domain/stage"
)

// TestPaperDropNeverOpensAGate: the best paper there can be leaves flotation shut,
// and stands in the vessel's history and in the table of tests as support.
func TestPaperDropNeverOpensAGate(t *testing.T) {
	h := openHouse(t)
	h.say(t, `18:00 MA {"do":"shift-start","lead":"MA","crew":["NS"]}`)
	h.say(t, dosed101...)
	h.say(t, `20:40 NS {"do":"paper-drop","vessel":"101","method":"c","ring":"wide ring","mm":14,"seconds":90,`+
		`"treated":"62 mL","untreated":"50 mL","untreated_ring":"narrow ring","colour":"paler"}`)
	v, _ := h.s.Vessel("101")
	require.True(t, v.Now.PectinGone.IsZero())
	require.Equal(t, stage.Contact, v.Now.Stage)
	err := h.hear(`20:50 NS {"do":"stage","vessel":"101","stage":"flotation"}`)
	var needs *cellar.Needs
	require.ErrorAs(t, err, &needs)
	require.Contains(t, codes(needs), "H09")

	require.Len(t, v.Now.Drops, 1)
	require.Equal(t, "wide ring, 14 mm, 90 s, free run 62 mL beside 50 mL untreated, +24 %, untreated narrow ring, "+
		"paler", v.Now.Drops[0].Say())
	events := h.s.EventsOf(h.s.Known("101"))
	require.Contains(t, events[len(events)-1].Text, "house method, no published limit")
	tests := handover.Sheet(h.s, at("21:00"), sheet.Mark{}).Back.Tests
	last := tests[len(tests)-1]
	require.Equal(t, "paper, timed run through paper", last.Recipe)
	require.Equal(t, "supports", last.Verdict)
	require.Equal(t, "narrow ring", last.Control)
	require.Contains(t, last.Sample, "+24 %")

	seq := items(v)[len(items(v))-1].Seq
	c := &cellar.Correct{Head: cellar.Head{By: "MA", At: at("20:55")}, Of: seq, Vessel: "101", TakeBack: true,
		Reason: "wrong jug"}
	_, err = h.try(c, at("20:55"))
	require.NoError(t, err)
	v, _ = h.s.Vessel("101")
	require.Empty(t, v.Now.Drops)
}
