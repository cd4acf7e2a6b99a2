package tui_test

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// What cellar hands who had never seen the board read wrongly on it, and what stands there instead.

// TestLateIsSaidAndNotSigned: "+10 min" was read as in ten minutes, on the top line, in NEXT and in a row.
func TestLateIsSaidAndNotSigned(t *testing.T) {
	for _, box := range [][2]int{{80, 24}, {104, 30}, {120, 40}, {200, 60}} {
		d := sit(t, "02:10", box[0], box[1])
		d.Shows("▲ 102  TEST  10 min late  NS").Hides("+10")
		require.Regexp(t, `102 +Muscat.* test 10 ?m(in)? late`, d.Screen())
		require.Regexp(t, `10m late 102  test|▲102 test 10 min late`, d.Screen())
	}
	sit(t, "02:10", 120, 40).Press("102<enter>").Shows("next: test 10 min late")
}

// TestTheAgeOfATemperatureStandsBesideIt: "positive 6h old" was read as the age of the pectin test.
func TestTheAgeOfATemperatureStandsBesideIt(t *testing.T) {
	sit(t, "02:10", 120, 40).Shows("14.9 °C 6h ago positive", "14.2 °C 3h ago haze").Hides("h old")
}

// TestAPressIsToldWhatToDo: "P4 empty" was read as what it is and not as what to do.
func TestAPressIsToldWhatToDo(t *testing.T) {
	d := sit(t, "02:10", 120, 40)
	d.Shows("P4   empty it", "P1   full", "full in 26 min", "empty it in 20 min", "check haze in 5 min")
	sit(t, "02:10", 80, 24).Shows("P4 empty it in 20 min", "check haze in 5 min")
}

// TestNextKeepsItsPhrasesWhole: at 120 columns none of these wraps, and each says what is asked.
func TestNextKeepsItsPhrasesWhole(t *testing.T) {
	d := sit(t, "02:10", 120, 40).Shows("104  can be racked NS", "too warm 401  cool it",
		"P1 free run: 103, 101 or 105?", "P1 pressings 24.6 hL to 503?")
	d.Press("102a").Shows("10m late 102  test   MA has it")
}
