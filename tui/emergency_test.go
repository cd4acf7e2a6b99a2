package tui_test

import (
	"bytes"
	"io"
	"os"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/charmbracelet/lipgloss"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/tui"
	"cellar.example/mustwatch/tui/theme"
	"cellar.example/mustwatch/tui/tuitest"
)

// badAir is a reading of the lower limit of what is an emergency, and more.
func badAir() *cellar.ReadGas {
	return &cellar.ReadGas{Head: cellar.Head{By: "NS"}, GasReading: cellar.GasReading{Place: "300 pit",
		CO2: new(25000.0), O2: new(18.5), Meter: "G2"}}
}

// flat is a screen as one line of words, so that a text that goes on in the next line
// is found.
func flat(screen string) string {
	return regexp.MustCompile(`[\s█▲]+`).ReplaceAllString(screen, " ")
}

// TestAnEmergencyTakesTheTopOfEveryFace: board, vessel, wall, forms, what lies over
// them, and the sheet; nothing of its text is cut, and the key that ends it is named.
func TestAnEmergencyTakesTheTopOfEveryFace(t *testing.T) {
	for _, size := range [][2]int{{80, 24}, {100, 30}, {120, 40}, {200, 60}} {
		d := sit(t, "02:10", size[0], size[1])
		write(t, d, badAir())
		d.Wait(8 * time.Minute)
		says := "300 PIT: STAY OUT. CO2 25000 ppm, O2 18.5 %, meter G2, read 02:10 by NS, 8 min ago. GET OUT. " +
			"VENTILATE. CALL. Never go in after anyone. "
		top := func(keys, key string) {
			d.Press(keys)
			rest := flat(strings.Join(strings.Split(d.Screen(), "\n")[1:], "\n"))
			require.True(t, strings.HasPrefix(rest, " "+says+key), "%s at %v: %s", keys, size, d.Screen())
		}
		top("", "[space: end the emergency, in your name]")
		top("104<enter>", "[space: end the emergency, in your name]")
		top("<esc>106d", "[esc, then space: end the emergency, in your name]")
		top("<esc>?", "[esc, then space: end the emergency, in your name]")
		top("<esc>y", "[")
		d.Press("<esc>b")
		for _, x := range []string{"CO2 25000 ppm, O2 18.5 %, meter G2, read 02:10 by NS, 8 min ago",
			"GET OUT. VENTILATE. CALL. Never go in after anyone.",
			"Stays until a person ends it by name. A lower reading does not.",
			"[space: end the emergency, in your name]"} {
			require.Contains(t, flat(d.Screen()), x, size)
		}
	}
}

// TestAnEmergencyIsReversed: every cell of its lines, on every ground.
func TestAnEmergencyIsReversed(t *testing.T) {
	for _, mode := range []theme.Mode{theme.Dark, theme.Light} {
		r := lipgloss.NewRenderer(io.Discard)
		r.SetColorProfile(termenv.ANSI)
		th := theme.New(r, mode)
		d := sit(t, "02:10", 80, 24)
		write(t, d, badAir())
		root := tui.NewRoot(tui.Options{State: d.State(), Now: func() time.Time { return d.Now }}, th)
		lines := strings.Split(root.View(), "\n")
		for _, l := range lines[1:3] {
			plain := tuitest.StripANSI(l)
			require.Contains(t, l, th.Overdue.Render(plain), mode)
		}
	}
}

// TestAnEmergencyEndsByName: from the key its line names, with the name of who ends it
// and what was done; over a last reading that is still bad the lead is asked.
func TestAnEmergencyEndsByName(t *testing.T) {
	d := sit(t, "02:10", 80, 24)
	write(t, d, badAir())
	d.Press("<space>").Shows("Crew, gas and permits", "300 pit gas (the only one)", "Ended by")
	d.Press("<enter>").Shows("Ended by", "300 PIT: STAY OUT")
	d.Press("NS<tab>").Words("fans on, barrier up").Press("<enter>").Shows("H18", "is still an emergency",
		"Read the air again first")
	d.Press("<esc><esc>").Shows("300 PIT: STAY OUT")
	write(t, d, &cellar.ReadGas{Head: cellar.Head{By: "NS"}, GasReading: cellar.GasReading{Place: "300 pit",
		CO2: new(900.0), Meter: "G2"}})
	d.Shows("newer reading")
	d.Press("b<space>").Shows("NS", "fans on, barrier up").Press("<enter>")
	require.Empty(t, d.State().Emergencies(d.Now))
	d.Press("<esc>").Hides("STAY OUT")
	e := lastEvent(d)
	require.Equal(t, "emergency ended by NS: fans on, barrier up. This is no permission to enter", e.Text)
	for _, l := range strings.Split(strings.ToLower(d.Screen()), "\n") {
		require.NotContains(t, l, "safe")
	}
}

// TestABadReadingIsSavedThenAsked: without a place and with the meter left empty it is
// saved and raised at once; what is missing is asked for then, and may wait.
func TestABadReadingIsSavedThenAsked(t *testing.T) {
	d := sit(t, "02:10", 80, 24)
	d.Press("102zg<tab><tab>25000<tab><tab><ctrl+u><enter>")
	d.Shows("PLACE NOT SAID: STAY OUT", "Place", "Meter", "saved: CO2 25000 ppm, meter not said",
		"places of the house: 300 pit")
	d.Press("<esc>").Shows("PLACE NOT SAID: STAY OUT")
	d.Press("zw").Words("300 Pit").Press("<tab>G2<enter>").Shows("300 PIT: STAY OUT. CO2 25000 ppm, meter G2")
	d.Press("z").Hides("place of the gas reading").Press("<esc>")
}

// TestAnotherGasPlaceIsAskedAbout: it is saved first; Enter says that it is right, and
// it is asked about no more.
func TestAnotherGasPlaceIsAskedAbout(t *testing.T) {
	d := sit(t, "02:10", 80, 24)
	read := func() { d.Press("zg").Words("lower gallery").Press("<tab>900<enter>") }
	read()
	g, _ := d.State().LastGas()
	require.Equal(t, "lower gallery", g.Place, "saved before it is asked about")
	d.Shows("lower gallery", "not a place of the house", "places of the house: 300 pit")
	d.Press("<enter>").Hides("right?")
	read()
	d.Hides("right?")
	d.Press("zg").Words("300 pit").Press("<tab>900<enter>").Hides("right?")
}

// TestAnEmergencyRings: at once though the bell is muted, again every minute, not
// after it was muted since, and no more once it is ended; the first beat after a
// restart rings again.
func TestAnEmergencyRings(t *testing.T) {
	j, s := realHouse(t)
	rings := func(do func(d *tuitest.Desk)) int {
		hear, bell, err := os.Pipe()
		require.NoError(t, err)
		d := tuitest.Sit(t, tui.Options{Journal: j, State: s, Person: "MA", Out: bell}, clock(t, "21:30"), 80, 24)
		do(d)
		require.NoError(t, bell.Close())
		rung, err := io.ReadAll(hear)
		require.NoError(t, err)
		return bytes.Count(rung, []byte("\a"))
	}
	require.Equal(t, 3, rings(func(d *tuitest.Desk) {
		d.Press(",").Shows("bell muted")
		write(t, d, badAir())
		d.Wait(time.Second).Hides("bell muted").Wait(30 * time.Second).Wait(30 * time.Second).Wait(60 * time.Second)
		d.Press(",").Wait(5 * time.Minute).Shows("bell muted")
	}))
	require.Equal(t, 1, rings(func(d *tuitest.Desk) { d.Shows("300 PIT: STAY OUT").Wait(time.Second) }),
		"after a restart")
	require.Equal(t, 0, rings(func(d *tuitest.Desk) {
		write(t, d, &cellar.EndEmergency{Head: cellar.Head{By: "MA", Answers: []gate.Answer{{Rule: "H18",
			Reason: "meter broken"}}}, Of: "300 pit", How: "aired"})
		d.Hides("STAY OUT").Wait(2 * time.Minute)
	}))
}

// TestAnEmergencySurvivesARestart: it is in the journal, not in the program.
func TestAnEmergencySurvivesARestart(t *testing.T) {
	j, s := realHouse(t)
	d := tuitest.Sit(t, tui.Options{Journal: j, State: s, Person: "MA"}, clock(t, "21:30"), 80, 24)
	write(t, d, badAir())
	again := cellar.NewState()
	require.NoError(t, j.Read(t.Context(), 1, func(r cellar.Record) error { cellar.Apply(again, r); return nil }))
	tuitest.Sit(t, tui.Options{Journal: j, State: again, Person: "MA"}, clock(t, "23:30"), 80,
		24).Shows("300 PIT: STAY OUT", "read 21:30 by NS, 2 h")
}

// TestAnEmergencyStandsOnAScreenThatJoined: written at one screen it takes the top of
// the other.
func TestAnEmergencyStandsOnAScreenThatJoined(t *testing.T) {
	j, s := realHouse(t)
	one := tuitest.Sit(t, tui.Options{Journal: j, State: s, Person: "MA"}, clock(t, "21:30"), 80, 24)
	again := cellar.NewState()
	require.NoError(t, j.Read(t.Context(), 1, func(r cellar.Record) error { cellar.Apply(again, r); return nil }))
	two := tuitest.Sit(t, tui.Options{Journal: j, State: again, Person: "NS", Wall: true,
		Joined: &tui.Joined{Heard: func() (time.Time, time.Duration) { return clock(t, "21:30"), 0 }}},
		clock(t, "21:30"), 80, 24)
	from := again.Seq + 1
	write(t, one, badAir())
	require.NoError(t, j.Read(t.Context(), from, func(r cellar.Record) error { two.Send(tui.Followed(r)); return nil }))
	two.Shows("GET OUT. VENTILATE. CALL.")
}

// TestAMissingPersonIsTheTopOfTheWall: in large letters, with who was last where; on
// the board the top line; counted, it is gone.
func TestAMissingPersonIsTheTopOfTheWall(t *testing.T) {
	for _, size := range [][2]int{{80, 24}, {120, 40}, {200, 60}} {
		d := sit(t, "02:10", size[0], size[1])
		d.Press("zhyyyn<enter>")
		require.Contains(t, strings.Split(d.Screen(), "\n")[1], " ▲ MISSING: JH. 3 of 4 counted at 02:10 by MA", size)
		d.Press("b").Shows("3 of 4 counted at 02:10 by MA", "JH last entry at 00:10: pomace trailer",
			"Shout their name.")
		d.Press("<esc>zhyyyny<enter>").Hides("MISSING")
	}
}

// TestEmergenciesLeaveRoomToWork: however many there are, the first stands whole and
// the others are named, and two thirds of the window are the face's.
func TestEmergenciesLeaveRoomToWork(t *testing.T) {
	d := sit(t, "02:10", 80, 24)
	for _, p := range []string{"201", "202", "203", "204", "205"} {
		c := badAir()
		c.Place = p
		write(t, d, c)
	}
	d.Shows("205: STAY OUT. CO2 25000", "AND 4 MORE: 204: STAY OUT; 203: STAY OUT; 202: STAY OUT; 201: STAY OUT",
		"more lines below")
	d.Press("b").Shows("AND 4 MORE: 204: STAY OUT")
	d.Resize(60, 20).Shows("205: STAY OUT. CO2 25000")
}
