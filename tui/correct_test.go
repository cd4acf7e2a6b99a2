package tui_test

import "testing"

// TestACorrectionBeginsWithTheTankOfTheCursor: the first figure corrects what the
// cursor stands on, and what was corrected elsewhere is named as such.
func TestACorrectionBeginsWithTheTankOfTheCursor(t *testing.T) {
	d := sit(t, "21:45", 120, 40)
	d.Press("105x").Shows("105, newest first", "1 105: ", "elsewhere")
	d.Press("<esc>")
	d = sit(t, "02:10", 120, 40)
	d.Press("204x").Shows("204, newest first", "204: holds 82.7 hL, in from P1")
	d.Press("282.5<enter>").Shows("saved: tank 204: corrected holds in from P1")
	d.Press("P1x").Shows("P1, newest first", "1 P1: mass 17600 kg, load 0415", "2 204: holds 82.5 hL",
		"take it back, or change its time", "7 P1: goes on")
	d.Press("282.4<enter>").Shows("saved: tank 204: corrected holds", "(not P1)")
}

// TestACorrectionTenfoldIsAskedAbout: it is not taken without a word, and says whose
// entry it is while it is typed.
func TestACorrectionTenfoldIsAskedAbout(t *testing.T) {
	d := sit(t, "21:45", 120, 40)
	d.Press("105x4").Shows("NS saved it at 18:30, not you (MA)")
	d.Press("42<enter>").Shows("D24", "42 kg is 10 times the old 4.2 kg")
	v, _ := d.State().Vessel("105")
	if got := v.Now.Doses[len(v.Now.Doses)-1].Drawn.String(); got == "42 kg" {
		t.Fatal("written without an answer")
	}
	d.Press("g<enter>").Shows("saved: tank 105: corrected amount of bentonite: 4.2 kg → 42 kg")
}
