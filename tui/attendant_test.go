package tui_test

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/tui/tuitest"
)

// insideOf307 is JH in 307 under a permit, with MA, change change change who is at the keys, outside.
func insideOf307(t *testing.T, w, h int) *tuitest.Desk {
	d := sit(t, "02:10", w, h)
	write(t, d, &cellar.ReadGas{Head: cellar.Head{By: "NS"}, GasReading: cellar.GasReading{Place: "307",
		CO2: new(400.0), O2: new(20.9), Meter: "G2"}})
	write(t, d, &cellar.WritePermit{Head: cellar.Head{By: "MA"}, Number: "17", Place: "307", Given: "site safety",
		Holder: "JH", Attendant: "MA", Until: d.Now.Add(time.Hour)})
	write(t, d, &cellar.EnterVessel{Head: cellar.Head{By: "MA"}, Place: "307", Who: "JH", Permit: "17"})
	return d
}

// TestTheAttendantIsStoppedWhereItIsTyped: out, break and the end of the shift; the
// answer that is offered is to leave it.
func TestTheAttendantIsStoppedWhereItIsTyped(t *testing.T) {
	for _, keys := range []string{"zoMA<enter>", "zb+20<tab>MA<enter>", "e<tab>GW<tab>y<enter>"} {
		d := insideOf307(t, 120, 40)
		d.Press(keys).Shows("stop H17", "JH IN 307 since", "MA is the attendant and must not", "out (z",
			"(z a)",
			"don't do it").Hides("go on")
		d.Press("<enter>")
		require.Empty(t, d.State().Emergencies(d.Now))
		require.Contains(t, d.State().EntryLine(d.Now), "attendant MA")
	}
}

// TestEveryFaceSaysThatNobodyWatches: written as the truth, it stands over board,
// wall and forms, at both widths, until another attendant is named.
func TestEveryFaceSaysThatNobodyWatches(t *testing.T) {
	for _, size := range [][2]int{{80, 24}, {120, 40}} {
		d := insideOf307(t, size[0], size[1])
		top := func() string { return strings.Split(d.Screen(), "\n")[1] }
		d.Press("zoMA<tab>h<enter>").Shows("look H17", "Then JH has no attendant.", "go on")
		d.Press("g<enter>")
		says := "JH IS IN 307 WITHOUT AN ATTENDANT SINCE"
		require.Contains(t, top(), says)
		d.Hides("attendant MA")
		d.Press("b").Shows(says)
		d.Press("<esc>104r")
		require.Contains(t, top(), says)
		d.Press("<esc>za").Shows("17", "JH is in 307 on this permit", "No permit, no attendant, no entry")
		d.Press("<tab><tab>NS<enter>")
		require.NotContains(t, top(), "WITHOUT AN ATTENDANT")
		require.Contains(t, d.State().EntryLine(d.Now), "attendant NS")
	}
}

// TestTheTruthIsWrittenWhereItIsTyped: out, break and the end of the shift say at
// Done that it is so already; a word is asked for, and it rings until it is answered.
func TestTheTruthIsWrittenWhereItIsTyped(t *testing.T) {
	for _, keys := range []string{"zoMA<tab>h<enter>", "zb+20<tab>MA<tab><tab>h<enter>",
		"e<tab>GW<tab>y<tab><tab><tab><tab><tab><tab>h<enter>"} {
		d := insideOf307(t, 120, 40)
		d.Press(keys).Shows("look H17", "MA is the attendant and must not").Press("g<enter>")
		require.Contains(t, d.State().Emergencies(d.Now)[0].Title, "JH IS IN 307 WITHOUT AN ATTENDANT", keys)
		d.Press("<space>").Shows("Crew, gas and permits", "comes out") // before the test that is overdue
		d.Press("c<enter>")
		require.Empty(t, d.State().Emergencies(d.Now), keys)
	}
}
