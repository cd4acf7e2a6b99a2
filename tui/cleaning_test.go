package tui_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/stage"
)

// TestCleanIsTicked: clean is its key and one key for each thing that was seen to,
// none of which stands on yes by itself, and none of which sends anybody inside.
func TestCleanIsTicked(t *testing.T) {
	d := sit(t, "23:05", 120, 40)
	d.Press("105s8").Shows("Rinsed", "Drained", "Looked into", "(not done)",
		"No permit, no attendant, no entry. Do not put your head in.")
	d.Strokes()
	d.Press("yy").Shows("yes, and the valve shut again")
	d.Press("y<enter>")
	require.Equal(t, 4, d.Strokes())
	d.Press("105<enter>").Shows("done: rinsed, drained, looked into").Hides("not yet")
}

// TestWhatWasNotSeenToIsShownAndAsked: on the vessel, in the form that fills it, and
// as a question; it is seen to later with two keys.
func TestWhatWasNotSeenToIsShownAndAsked(t *testing.T) {
	d := sit(t, "23:05", 120, 40)
	d.Press("105s8yy<enter>").Press("105<enter>").Shows("empty clean since 23:05, not yet looked into",
		"done: rinsed, drained").Press("<esc>")
	d.Press("104m105<tab>20").Shows("settle, empty clean, not yet looked into", "D21",
		"105 is clean, but not yet looked into.").Press("<esc>")
	d.Press("105s").Shows("not yet looked into").Press("8").Hides("Rinsed").Shows("Looked into").Press("y<enter>")
	d.Press("105<enter>").Shows("done: rinsed, drained, looked into").Hides("05, not yet")
}

// TestWhatIsNotSeenToStandsApart: a vessel written clean without all of the list is
// told from the others in the codes, and where a clean one is proposed it comes after
// those that are seen to; the same with the small tanks for a press fraction.
func TestWhatIsNotSeenToStandsApart(t *testing.T) {
	d := sit(t, "02:10", 120, 40)
	d.Press("307s8yy<enter>").Shows("307 (look)").Hides("306 (look)")
	d.Press("307s8y<enter>").Shows(">307  503").Hides("307 (look)")

	d = sit(t, "03:17", 120, 40) // P3 is full of 0416, and no tank has any of its grapes
	dirty := func(p cellar.TankNumber, seen ...cellar.CleanStep) {
		write(t, d, &cellar.SetStage{Head: cellar.Head{By: "MA"}, Vessel: p, Stage: stage.Dirty})
		write(t, d, &cellar.SetStage{Head: cellar.Head{By: "MA", Happened: true}, Vessel: p, Stage: stage.Cleaning})
		write(t, d, &cellar.SetStage{Head: cellar.Head{By: "MA"}, Vessel: p, Stage: stage.Clean, SeenTo: seen})
	}
	dirty("101", cellar.Rinsed)
	d.Shows("101 (look)  105  210")
	d.Press("P3ps").Shows("105___ (first clean tank with room)").Press("<esc>")
	dirty("105", cellar.Rinsed)
	d.Press("P3ps").Shows("101___ (first clean tank with room, not yet drained, looked into)").Press("<esc>")
	d.Press("0417g32900<tab>12500").Shows("free run · fits 101, 105 (not yet drained, looked into)")
}
