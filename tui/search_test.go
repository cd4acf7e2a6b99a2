package tui_test

import (
	"testing"
)

// Item 8 of the nights: what was saved is found by word, tank, person, product and day, with
// the number under which it is corrected, and can be corrected from there.
func TestAnythingOlderIsFoundAndCorrected(t *testing.T) {
	d := sit(t, "02:10", 120, 60)
	d.Press("/").Words("102 muscat").Press("<tab>l<enter>").Shows("Log: 102 muscat", "each with its entry number").
		Hides("101:")
	d.Press("<esc>/<ctrl+u>").Words("PL thursday clock").Press("<tab>l<enter>").Shows("PL  102: clock").Hides("NS  10")
	d.Press("<esc>/<ctrl+u>").Words("nobody said this").Press("<tab>l<enter>").Shows("Nothing that was saved has")
	d.Press("<esc>/<ctrl+u>").Words("0412").Press("<tab>x<enter>").
		Shows("Correct an entry", "with 0412 in it, newest first", "load 0412: gross")
	d.Press("<esc>/<ctrl+u>").Words("zzz").Press("<tab>x<enter>").Shows("Nothing that can be corrected has zzz in it")
	d.Press("/<ctrl+u>").Words("sauv").Press("<enter>").Hides("Log:")
}
