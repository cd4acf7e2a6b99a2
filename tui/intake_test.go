package tui_test

import "testing"

// TestALoadIsHeldToThePlan: at the bridge stands what of its variety has come and what
// is booked; one more than booked is asked about before it is written.
func TestALoadIsHeldToThePlan(t *testing.T) {
	d := sit(t, "00:45", 120, 40)
	d.Press("0415g").Shows("in so far: Sauvignon, 1 of 2 loads: 18.8 of 36.4 t")
	d.Press("30080<tab>12480").Shows("with this load: Sauvignon, 2 of 2 loads: 36.4 of 36.4 t").Hides("D23")
	d.Press("<esc>")
	d = sit(t, "03:10", 120, 40)
	d.Press("102g").Shows("New load")
	d.Press("0430<tab>Sauvignon<tab>30000<tab>12000").Shows("with this load: Sauvignon, 3 loads, 2 booked: 54.4 of " +
		"36.4 t")
	d.Press("<enter>").Shows("D23", "Load 0430 is Sauvignon number 3, 54.4 t in all; 2 booked. Is it this variety, "+
		"and not weighed already?")
}
