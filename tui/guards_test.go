package tui_test

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/text"
)

// TestSameOneWrittenLate: at the stop a dose is closed as the one that stands
// written, with one key and Enter; nothing is counted twice.
func TestSameOneWrittenLate(t *testing.T) {
	d := sit(t, "23:34", 120, 40)
	p, _ := d.State().Product("SO2-150")
	stock, before := p.Open, len(d.State().Stopped)
	d.Press("104d54<enter>").Shows("stop H07", "416 g by TQ at 19:40", "same one, saved late")
	d.Press("s<enter>").Shows("the same that TQ saved for 19:40, not counted again")
	v, _ := d.State().Vessel("104")
	require.Len(t, v.Now.Doses, 2, "the enzyme of 19:15 and the SO2 of 19:40")
	require.Equal(t, stock, p.Open)
	require.Len(t, d.State().Stopped, before, "late is no near miss")
}

// TestTheTwinIsNamedAtTheValve: 209 typed for 206; the form says which is which
// before anything is written, and the number seen at the valve stops it.
func TestTheTwinIsNamedAtTheValve(t *testing.T) {
	d := sit(t, "22:40", 120, 40)
	d.Press("105m209<tab>14")
	d.Shows("H13 209 is easily taken for 206 (6 for 9)", "209 = 152.5 hL Sauvignon clear juice, row 2 right, ON",
		"206 = empty clean, Grenache rosé juice runs in from 105, row 2 left.", "Which number do you")
	before := len(d.State().Stopped)
	d.Press("<tab><tab><tab><tab>ny<enter>").Shows("> Number at valve",
		"! 209 is easily taken for 206").Hides("stop H13")
	require.Len(t, d.State().Stopped, before, "a number that is still to be read is no near miss")
	d.Press("206<enter>")
	d.Shows("stop H13   You are at 206: empty clean, Grenache rosé juice runs in from 105, row 2 left. It should be "+
		"209: 152.5 hL", "ON HOLD.")
	v, _ := d.State().Vessel("209")
	require.Equal(t, "152.5 hL", v.Now.Volume.String())
}

// TestWeighedThenPoured: the form that weighs also pours. What already weighed is
// first in its list, filled in, and ages on the row until it is poured.
func TestWeighedThenPoured(t *testing.T) {
	d := sit(t, "22:09", 120, 40)
	p, _ := d.State().Product("E-2240")
	d.Press("106d21.6 g/hL<tab>14.8<tab><tab><tab><tab><tab><tab>w<enter>")
	d.Shows("weighed, 100.3", "not poured yet")
	require.Equal(t, "899.7 g", p.Open.String())
	d.Wait(20 * time.Minute)
	d.Press("106").Shows("pour E-2240", "5m late")
	d.Strokes()
	d.Press("106d").Shows("1.6 g/hL", "weighed 22:09 by MA")
	d.Press("<enter>")
	require.LessOrEqual(t, d.Strokes(), 6)
	v, _ := d.State().Vessel("106")
	require.Len(t, v.Now.Doses, 1, d.Screen())
	require.Equal(t, "899.7 g", p.Open.String(), "counted when it was weighed")
	require.Empty(t, d.State().WeighedFor("106"))
}

// TestWeighedBackAtTheBoard: what is not poured goes back with its reason.
func TestWeighedBackAtTheBoard(t *testing.T) {
	d := sit(t, "22:09", 80, 24)
	p, _ := d.State().Product("E-2240")
	d.Press("106d21.6 g/hL<tab>14.8<tab><tab><tab><tab><tab><tab>w<enter>")
	d.Wait(16 * time.Minute)
	d.Press("106d").Shows("Dose into 106")
	d.Press("<tab><tab><tab><tab><tab><tab>").Words("truck at the door").Press("<tab><tab>b<enter>")
	all := d.State().EventsOf(d.State().Known("106"))
	require.Contains(t, all[len(all)-1].Text, "100.3 g E-2240 weighed back, not poured: truck at the door")
	require.Equal(t, "1 kg", p.Open.String())
}

// TestSomebodyInsideComesFirst: whom nothing covers any more stands on the top
// line of every face and in the large words of the wall; a later reading of
// another place takes no bad air off the board.
func TestSomebodyInsideComesFirst(t *testing.T) {
	d := sit(t, "02:10", 120, 40)
	write(t, d, &cellar.ReadGas{Head: cellar.Head{By: "NS"}, GasReading: cellar.GasReading{Place: "300 pit",
		CO2: new(90000.0), Meter: "G2"}})
	write(t, d, &cellar.ReadGas{Head: cellar.Head{By: "NS"}, GasReading: cellar.GasReading{Place: "307",
		CO2: new(400.0), O2: new(20.9), Meter: "G2"}})
	d.Shows("90000 ppm", "GET OUT.", "gas 307:", "400 ppm")
	write(t, d, &cellar.WritePermit{Head: cellar.Head{By: "MA"}, Number: "17", Place: "307", Given: "site safety",
		Holder: "JH", Attendant: "NS", Until: d.Now.Add(2 * time.Minute)})
	write(t, d, &cellar.EnterVessel{Head: cellar.Head{By: "MA"}, Place: "307", Who: "JH", Permit: "17"})
	d.Shows("JH IN 307   Fri", "NO TANK", "ENTRY EXCEPT UNDER PERMIT 17", "JH IN 307", "JH IS IN IT")
	d.Press("104m").Press("307<tab>10").Shows("H17", "JH IN 307")
	d.Press("<esc>")
	d.Wait(3 * time.Minute)
	top := func() string { return strings.Split(d.Screen(), "\n")[1] }
	require.Contains(t, top(), "JH WENT INTO 307 AND PERMIT 17 ENDED. GET HELP, STAY OUT.")
	d.Press("b")
	d.Shows("JH WENT INTO 307 AND PERMIT 17 ENDED")
	d.Press("<esc>104r")
	require.Contains(t, top(), "JH WENT INTO 307", "over a form too")
}

// TestNoPermitOnBadAir: a permit is not written on a reading that says leave, but the
// reading is, and an entry without one is kept as refused.
func TestNoPermitOnBadAir(t *testing.T) {
	d := sit(t, "02:10", 120, 40)
	d.Press("zn").Press("307<tab><tab>JH<enter>").Shows("H17", "JH into 307", "no permit number",
		"Do not put your head in")
	d.Press("<enter>")
	last := d.State().Stopped[len(d.State().Stopped)-1]
	require.Equal(t, "307", last.Subject.Name)
	d.Press("zp307<tab>18<tab>").Words("site lead").Press("<tab>JH<tab>NS<tab>+30<tab>60000<enter>").Shows(
		"307: STAY OUT. CO2 60000 ppm", "NOT SAVED: permit 18. Saved: 307 gas read: CO2 60000 ppm")
	require.Empty(t, d.State().LivePermits(d.Now))
	last = d.State().Stopped[len(d.State().Stopped)-1]
	require.Contains(t, last.Why.In(text.Plain{}), "no permit is saved on such air")
}

// TestTiredHours: the line stands from three to six and on a shift that has
// lasted longer than twelve hours, at every width; nothing is asked for it.
func TestTiredHours(t *testing.T) {
	for _, size := range [][2]int{{80, 24}, {120, 40}} {
		sit(t, "02:59", size[0], size[1]).Hides("You are tired")
		sit(t, "03:05", size[0], size[1]).Shows("You are tired:")
	}
}

// TestAnOpenValveComesFirst: a move over its expected end stands before what has
// been due longer, with what is to be done at both ends.
func TestAnOpenValveComesFirst(t *testing.T) {
	d := sit(t, "02:10", 120, 40)
	write(t, d, &cellar.StartMove{Head: cellar.Head{By: "NS"}, From: "106", To: []cellar.Portion{{Vessel: "101",
		Volume: 62 * quantity.Hectolitre}}, Until: d.Now.Add(2 * time.Minute)})
	d.Wait(3 * time.Minute)
	require.Contains(t, strings.Split(d.Screen(), "\n")[1], "106  CLOSE VALVES AT BOTH ENDS", d.Screen())
}

// TestAKeyThatMeansNothingSaysSo: on a vessel's screen too, where the board's own
// keys are not all in force.
func TestAKeyThatMeansNothingSaysSo(t *testing.T) {
	d := sit(t, "02:10", 120, 40)
	d.Press("104<enter>g").Shows("g does nothing here: ? shows the keys")
	d.Press("y").Shows("SHIFT HANDOVER")
}

// TestADoseIsReadBackAtItsTank: 206 and 209 both hold clear juice; the number is asked
// for before the tub is tipped, without an answer that anything was stopped, and can
// be called across the hall.
func TestADoseIsReadBackAtItsTank(t *testing.T) {
	d := sit(t, "01:00", 120, 40)
	d.Press("206dSO2<tab>2").Shows("say aloud:", "into two-zero-six", "H13 206 is easily taken for 209 (6 for 9)",
		"Number there")
	before := len(d.State().Stopped)
	d.Press("<enter>").Shows("> Number there", "! 206 is easily taken for 209").Hides("stop H13")
	require.Len(t, d.State().Stopped, before)
	d.Press("209<enter>").Shows("stop H13", "You are at 209", "It should be 206").Press("<esc>")
	v, _ := d.State().Vessel("206")
	n := len(v.Now.Doses)
	d.Press("<ctrl+u>206<enter>")
	v, _ = d.State().Vessel("206")
	require.Len(t, v.Now.Doses, n+1, d.Screen())
	require.Equal(t, cellar.TankNumber("206"), v.Now.Doses[n].Seen)
	d.Press("104dSO2<tab>2").Hides("Number there").Shows("into one-zero-four")
}
