package tui_test

import "testing"

// TestOtherGrapesAreABlendInEveryVessel: a fraction tank and a pallet tank take
// other grapes as little as a large one; the form says so before it is written.
func TestOtherGrapesAreABlendInEveryVessel(t *testing.T) {
	for _, to := range []string{"407", "405", "401", "403", "K1", "106"} {
		d := sit(t, "02:10", 120, 40)
		d.Press("104m"+to+"<tab>2<tab>").Shows("H11 "+to, "Say blend")
	}
}
