package tui_test

import "testing"

// TestACorrectionBeginsWithTheTankOfTheCursor: the first figure puts right what the
// cursor stands on, and what was put right elsewhere is named as such.
func TestACorrectionBeginsWithTheTankOfTheCursor(t *testing.T) {
	d := sit(t, "21:45", 120, 40)
	d.Press("105x").Shows("of 105, latest first", "1 vessel 105: ", "elsewhere")
	d.Press("<esc>")
	d = sit(t, "02:10", 120, 40)
	d.Press("204x").Shows("of 204, latest first", "vessel 204: holds 82.7 hL, in from P1")
	d.Press("282.5<enter>").Shows("written: vessel 204 corrected holds of in from P1")
	d.Press("P1x").Shows("of P1, latest first", "1 vessel 204: holds 82.5 hL")
	d.Press("182.4<enter>").Shows("written: vessel 204 corrected holds", "(not P1)")
}
