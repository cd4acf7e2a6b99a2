package tui_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/quantity"
)

// TestOtherGrapesAreABlendInEveryVessel: a fraction tank and a pallet tank take
// other grapes as little as a large one; the form says so before it is written.
func TestOtherGrapesAreABlendInEveryVessel(t *testing.T) {
	for _, to := range []string{"407", "405", "401", "403", "K1", "106"} {
		d := sit(t, "02:10", 120, 40)
		d.Press("104m"+to+"<tab>2<tab>").Shows("H11 "+to, "say blend")
	}
}

// TestAFreePressThatStoodIsFreeAgain: it stood with nothing in it and fills with
// nothing now.
func TestAFreePressThatStoodIsFreeAgain(t *testing.T) {
	d := sit(t, "22:20", 120, 40)
	p, _ := d.State().Press("P3")
	require.Equal(t, cellar.PressReady, p.State)
	d.Press("P3px").Words("noise in the drum").Press("<enter>")
	require.Equal(t, cellar.PressStopped, p.State)
	d.Wait(time.Minute)
	d.Press("P3pg<enter>").Shows("ready again")
	require.Equal(t, cellar.PressReady, p.State)
	d.Press("P3p").Shows("fill from a load")
}

// TestAnEmptiedPressClosesItsTankAtTheBoard: the form says so and can leave it
// open; then f on the tank closes it.
func TestAnEmptiedPressClosesItsTankAtTheBoard(t *testing.T) {
	d := sit(t, "02:10", 120, 40)
	write(t, d, &cellar.PressJuiceOut{Head: cellar.Head{By: "TQ", Happened: true}, Press: "P4",
		Share: cellar.ShareFraction, End: true})
	v, _ := d.State().Vessel("208")
	require.True(t, v.Now.Open)
	d.Press("P4pr").Shows("Juice in 208", "closed, the last is in")
	d.Press("m<enter>").Shows("empty and rinsed")
	require.True(t, v.Now.Open)
	d.Press("208f").Shows("Juice in 208, 35.0 hL: P4 is empty", "yes, no more follows")
	d.Press("<enter>").Shows("no more juice to come")
	require.False(t, v.Now.Open)
}

// TestMustIntoAMustVessel: it is must, and goes where must goes.
func TestMustIntoAMustVessel(t *testing.T) {
	d := sit(t, "21:45", 120, 40)
	d.Press("501m306<tab>62<tab>").Hides("H03")
	d.Press("<enter>")
	v, _ := d.State().Vessel("306")
	require.Equal(t, "Gewürztraminer must", v.Now.Name(), d.Screen())
}

// TestABegunMoveIsWrittenAsDone: the pump runs; what is written now has happened,
// and what was asked at its start is not asked again.
func TestABegunMoveIsWrittenAsDone(t *testing.T) {
	d := sit(t, "21:50", 120, 40)
	_, runs := d.State().Running("105")
	require.True(t, runs)
	d.Press("105m").Shows("runs since 21:45", "yes, it is done         (the pump has started)")
	d.Press("<enter>").Shows("13.5 hL of 164.5 hL is not accounted for")
	require.True(t, func() bool { _, runs := d.State().Running("105"); return runs }(),
		"what is missing is asked about")
	d.Press("x<enter><esc>104m").Shows("no, moving it now")
}

// TestWhitesAreSownCold: the house's own rows stand at that temperature.
func TestWhitesAreSownCold(t *testing.T) {
	d := sit(t, "21:55", 120, 40)
	d.Press("203dyeast<tab>20 g/hL<tab>11<tab>").Hides("W18")
}

// TestWhyNamesThePersonInside: before all else, with skins in it or empty, and on
// a press too; after the permit has ended it says so.
func TestWhyNamesThePersonInside(t *testing.T) {
	for _, place := range []string{"307", "501", "P3"} {
		t.Run(place, func(t *testing.T) {
			d := sit(t, "22:01", 120, 40)
			write(t, d, &cellar.ReadGas{Head: cellar.Head{By: "NS"}, GasReading: cellar.GasReading{Place: place,
				CO2: new(400.0), O2: new(20.9), Meter: "G2"}})
			write(t, d, &cellar.WritePermit{Head: cellar.Head{By: "MA"}, Number: "17", Place: place,
				Given: "site safety", Holder: "JH", Attendant: "NS", Until: d.Now.Add(2 * time.Minute)})
			write(t, d, &cellar.EnterVessel{Head: cellar.Head{By: "MA"}, Place: place, Who: "JH", Permit: "17"})
			d.Press(place+"w").Shows("H17: JH IN "+place+" since",
				"Permit 17, given by site safety, until 22:03; attendant NS.",
				"Do not run, turn or pour anything there until they are out").
				Hides("rack or move", " is empty dirty.")
			d.Wait(3 * time.Minute)
			d.Press("<esc>" + place + "w").Shows("THE PERMIT 17 ENDED: GET HELP, STAY OUT.")
		})
	}
}

// TestLeesAreAskedAboutWhenTheyAreDue: not while the first number is typed; when
// that field was passed, and when it is written.
func TestLeesAreAskedAboutWhenTheyAreDue(t *testing.T) {
	d := sit(t, "22:20", 120, 40)
	d.Press("104m103<tab>104<tab>").Shows("D04").Hides("W13", "W15")
	d.Press("<tab><tab>").Shows("W13 No lees are saved for 104; 2 to 12 % is usual.")

	d = sit(t, "22:20", 120, 40)
	d.Press("104m103<tab>104<enter>").Shows("look W13   No lees are saved for 104")

	d = sit(t, "22:20", 120, 40)
	d.Press("104m103<tab>100<tab><tab><tab>4<enter>")
	d.Shows("look W15   A loss of 4.0 hL is 3.8 % of what leaves 104. Where did it go? No lees are saved for " +
		"104;").Hides("W13")
}

// TestSkinsGiveAFraction: a press filled with skins says what comes, how that was
// calculated, and proposes a tank for it.
func TestSkinsGiveAFraction(t *testing.T) {
	d := sit(t, "22:01", 120, 40)
	write(t, d, &cellar.Move{Head: cellar.Head{By: "TQ", Happened: true, Answers: []gate.Answer{{Rule: "W05"},
		{Rule: "D20"}}}, From: "501",
		To: []cellar.Portion{{Vessel: "504", Volume: quantity.HL(40)}, {Vessel: "P3", Volume: quantity.HL(22)}}})
	d.Press("P3ps").Shows("pressings about 9.6 hL", "62.0 hL of must taken as 6.9 t at 9 hL/t").Hides("0.0 hL, fits")
	require.NotContains(t, d.Screen(), "Pressings to   ______")
}

// TestAPartMoveNeedsNoWordAboutTheRest: 20 of 104 hL go, and the form says what it
// takes for granted of the rest.
func TestAPartMoveNeedsNoWordAboutTheRest(t *testing.T) {
	d := sit(t, "22:20", 120, 40)
	d.Press("104m103<tab>20").Shows("Leave the rest", "yes", "(most stays)").Hides("W13", "W15")
	d.Press("<enter>").Shows("look D04").Hides("W13", "W15", "is accounted for").Press("g<enter>")
	v, _ := d.State().Vessel("104")
	require.Equal(t, 84*quantity.Hectolitre, v.Now.Volume)
}
