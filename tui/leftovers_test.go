package tui_test

import "testing"

// What is typed for a time that has been is not "to be poured now".
func TestNothingIsToBePouredNowInThePast(t *testing.T) {
	d := sit(t, "21:45", 120, 40)
	d.Press("104d").Shows("no, pouring it now")
	d = sit(t, "21:45", 120, 40)
	d.Press("104d<tab><tab><tab><tab><tab><tab><tab><tab><tab>2110<tab>").Shows("as of 21:10")
	d.Hides("pour it now")
}

// F1 shows the keys of a form anywhere, "?" where it is nothing that could be typed; in words
// it is a sign like any other.
func TestHelpInsideAForm(t *testing.T) {
	d := sit(t, "21:45", 80, 24)
	d.Press("104d").Shows("F1 all keys")
	d.Press("?").Shows("Keys in a form", "next field")
	d.Press("<esc>").Shows("Dose into 104")
	d.Press("<esc>104n?").Shows("?")
	d.Hides("Keys in a form")
	d.Press("<f1>").Shows("Keys in a form")
}

// Taking back is one line below the value, and why is said by a person.
func TestTakingBackIsFoundAndSaysWhy(t *testing.T) {
	d := sit(t, "21:45", 80, 24)
	d.Shows("x correct")
	d.Press("105x1").Shows("b takes it back", "mistyped")
	d.Press("<tab><tab>b").Shows("all of it: take it back")
	d.Hides("mistyped")
	before := d.State().Seq
	d.Press("<enter>")
	if d.State().Seq != before {
		t.Fatal("taken back without a word")
	}
	d.Press("wrong tank<enter>")
	if d.State().Seq == before {
		t.Fatal("not taken back")
	}
}

// The head of a tank says since when its contact counts: as beside its clock.
func TestTheHeadSaysSinceWhenAContactCounts(t *testing.T) {
	d := sit(t, "20:55", 120, 40)
	d.Press("102<enter>").Shows("contact since 20:50", "from 20:50")
}
