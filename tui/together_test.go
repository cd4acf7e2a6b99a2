package tui_test

import (
	"testing"

	"cellar.example/mustwatch/domain/quantity"
)

// TestCorrectionsAreGatheredAndSavedAsOne: what only goes together is corrected line by
// line and saved as one, and the form says what becomes of all of it.
func TestCorrectionsAreGatheredAndSavedAsOne(t *testing.T) {
	d := sit(t, "21:45", 120, 40)
	before := d.State().Seq
	d.Press("101x").Shows("203: volume 165.0 hL, in from 101")
	d.Press("8<tab>150<tab><tab><tab>a<enter>").Shows("Correct several entries: entry 2", "203: volume 165.0 hL",
		"→ 150 hL")
	if d.State().Seq != before {
		t.Fatal("written before all of it was there")
	}
	d.Press("<esc>x").Shows("entry 2") // it waits, whatever is done meanwhile
	d.Press("9<tab>48.5").Shows("203: volume 165.0 hL → 150.0 hL", "405: volume 33.5 hL → 48.5 hL", "save all 2 as one")
	d.Press("<enter>").Shows("saved: 2 corrections as one")
	v, _ := d.State().Vessel("203")
	w, _ := d.State().Vessel("405")
	if v.Now.Volume != quantity.HL(150) || w.Now.Volume != quantity.HL(48.5) {
		t.Fatal(v.Now.Volume, w.Now.Volume)
	}
	if v, _ := d.State().Vessel("101"); len(v.Faults()) > 0 {
		t.Fatal(v.Faults())
	}
	d.Press("101x").Shows("Correct an entry")
}

// TestWhatDoesNotGoTogetherOffersTheWayOut: to put both right together, or to save what
// has happened with its fault; Enter and Esc go back to what was typed.
func TestWhatDoesNotGoTogetherOffersTheWayOut(t *testing.T) {
	d := sit(t, "21:45", 120, 40)
	d.Press("101x8<tab>150<enter>").Shows("These two cannot both be right",
		"101 held 214.0 hL at 21:15, when it was emptied of 199.0 hL", "correct that entry too", "it happened")
	d.Press("<enter>").Shows("Correct an entry", "150")
	d.Press("<enter>t").Shows("Correct several entries: entry 2", "[1 101: volume 214.0 hL, in from opening",
		"405: volume 33.5 hL")
	d.Press("<esc>")

	d = sit(t, "21:45", 120, 40)
	d.Press("101x8<tab>150<enter>h").Shows("saved: tank 101: DOES NOT ADD UP")
	v, _ := d.State().Vessel("101")
	if len(v.Faults()) != 1 {
		t.Fatal("the fault does not stand")
	}
	d.Press("101<enter>").Shows("DOES NOT ADD UP", "101 held 214.0 hL at 21:15")
}

// TestWhatDoesNotAddUpStandsOnASmallScreen: there the list of what is due is cut before
// what is only worth a look.
func TestWhatDoesNotAddUpStandsOnASmallScreen(t *testing.T) {
	d := sit(t, "21:45", 80, 24)
	d.Press("101x8<tab>150<enter>h").Shows("ON HOLD, OF to release · 101 does not", "add up")
	for i, x := range d.State().Next(d.State().LastAt) {
		if n := d.State().Next(d.State().LastAt); x.Amiss && i > 0 && n[i-1].Notice != "" && !n[i-1].Amiss {
			t.Fatal("it stands behind what is only worth a look")
		}
	}
}
