package tui_test

import (
	"context"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/subject"
	"cellar.example/mustwatch/store/memory"
	"cellar.example/mustwatch/testdata/harvest"
	"cellar.example/mustwatch/tui"
	"cellar.example/mustwatch/tui/tuitest"
)

// forgotten is a harvest after so many days, with two clocks of tonight.
func forgotten(t *testing.T, days int) (*cellar.Desk, time.Time) {
	t.Helper()
	x := harvest.Plan{Days: days, Tanks: 60, Presses: 2}.Make()
	j := memory.New()
	d := &cellar.Desk{Journal: j, State: cellar.NewState(), Station: "test"}
	for _, l := range x.Lines {
		c, err := cellar.ParseLine([]byte(l))
		require.NoError(t, err)
		_, err = d.Write(context.Background(), c, cellar.KnownAt(c, x.Ends))
		require.NoError(t, err, l)
	}
	for i, verb := range []string{"test", "look"} {
		_, err := d.Write(context.Background(), &cellar.SetClock{Head: cellar.Head{By: "NS"}, Verb: verb,
			Subject: subject.Bare(fmt.Sprint(201 + i)), In: quantity.Span(5 * time.Minute)}, x.Ends)
		require.NoError(t, err)
	}
	return d, x.Ends.Add(20 * time.Minute)
}

// TestOldNeverHidesTonightOnAnyFace: after ten days and after sixty of clocks, loads and promises that nobody
// answered, tonight's two tests stand in NEXT, on the top line and in figures on the wall, at every size, and the
// rest is one counted line.
func TestOldNeverHidesTonightOnAnyFace(t *testing.T) {
	for _, days := range []int{10, 60} {
		desk, now := forgotten(t, days)
		n := len(desk.State.OlderDue(now))
		require.Greater(t, n, days/3)
		counted := fmt.Sprintf("%d older, since Tue 25 Aug", n)
		for _, box := range [][2]int{{80, 24}, {100, 30}, {120, 24}, {120, 40}, {160, 50}, {200, 60}} {
			o := tui.Options{Journal: desk.Journal, State: desk.State, Person: "MA"}
			d := tuitest.Sit(t, o, now, box[0], box[1])
			screen := d.Screen()
			_, next, _ := strings.Cut(screen, "NEXT")
			require.Regexp(t, `15 ?m(in)? late +201 +test|201 test 15 min late`, next)
			require.Regexp(t, `15 ?m(in)? late +202 +look|202 look 15 min late`, next)
			require.Equal(t, 1, strings.Count(screen, counted), screen)
			require.NotRegexp(t, `\d d late`, strings.Split(screen, "\n")[1])
			d.Press("b")
			require.Equal(t, 2, strings.Count(d.Screen(), "late, due 18:05"), d.Screen()) // 201 and 202 are in figures
			d.Shows(counted).Hides("due 25 Aug")
			if box[1] == 60 {
				d.Press("<esc>y").Shows(fmt.Sprintf("%d OLDER: cellar promise, chiller 25 Aug", n))
			}
		}
	}
}

func TestOlderThingsAreListedWithAKeyEach(t *testing.T) {
	desk, now := forgotten(t, 10)
	d := tuitest.Sit(t, tui.Options{Journal: desk.Journal, State: desk.State, Person: "MA"}, now, 100, 30)
	n := len(d.State().OlderDue(now))
	d.Press(".").Shows("Due before this shift and the last", "> 25 Aug 12:00  cellar promise", "answer", "turn off",
		"move", "snooze")
	d.Press("d").Shows("Clocks", "promise", "done") // a promise is kept
	d.Press("<enter>")
	require.Len(t, d.State().OlderDue(now), n-1)
	d.Shows("Due before this shift and the last", "> 25 Aug 20:40  chiller 25 Aug look") // the list is back
	d.Press("o").Words("chiller runs").Press("<enter>")
	require.Len(t, d.State().OlderDue(now), n-2)
	d.Press("<esc>").Hides("Due before this shift")
	d.Press("<right><right><down><down><down><down><down><down><enter>").Shows("Due before this shift and the last")
}

// On day sixty tonight's load is one key away, as on the first day: a load that never came is
// not what the cursor begins on, nor what g takes.
func TestTonightsLoadIsAsNearOnDaySixty(t *testing.T) {
	for _, days := range []int{1, 60} {
		desk, now := forgotten(t, days)
		now = now.Add(-20 * time.Minute) // nothing rings yet, and the cursor is where it begins
		tuitest.Sit(t, tui.Options{Journal: desk.Journal, State: desk.State, Person: "MA"}, now, 120, 40).Hides(">90")
		book := &cellar.BookLoad{Head: cellar.Head{By: "MA", Written: now}, Load: cellar.Load{ID: "7001",
			Variety: "Muscat",
			Booked:  now.Add(10 * time.Minute)}}
		_, err := desk.Write(t.Context(), book, now)
		require.NoError(t, err)
		d := tuitest.Sit(t, tui.Options{Journal: desk.Journal, State: desk.State, Person: "MA"}, now, 120, 40)
		require.Regexp(t, `Load +7001`, d.Press("g").Screen(), days)
	}
}
