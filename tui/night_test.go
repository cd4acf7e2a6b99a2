package tui_test

import (
	"bytes"
	"context"
	"slices"
	"testing"
	"time"
	_ "time/tzdata"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/store/memory"
	"cellar.example/mustwatch/testdata"
	"cellar.example/mustwatch/tui"
	"cellar.example/mustwatch/tui/tuitest"
)

// clock is an instant of the demo night; hours below noon are the next morning.
func clock(t *testing.T, text string) time.Time {
	t.Helper()
	x, err := time.Parse("15:04", text)
	require.NoError(t, err)
	day := 24
	if x.Hour() < 12 {
		day = 25
	}
	return time.Date(2026, 9, day, x.Hour()-2, x.Minute(), 0, 0, time.UTC)
}

// night is the journal of the demo night as it stood at an instant, without the
// entries named.
func night(t *testing.T, at string, without ...string) (*memory.Journal, *cellar.State) {
	t.Helper()
	until := clock(t, at)
	j := memory.New()
	desk := &cellar.Desk{Journal: j, State: cellar.NewState(), Station: "test"}
	for _, c := range nightLines(t) {
		now, entry := cellar.KnownAt(c, until), cellar.HeadOf(c).Entry
		if now.After(until) {
			break
		}
		if !slices.Contains(without, entry) {
			_, err := desk.Write(context.Background(), c, now)
			require.NoError(t, err, entry)
		}
	}
	return j, desk.State
}

// nightLines are the lines of the demo night, in the order in which they became known.
func nightLines(t testing.TB) (out []cellar.Command) {
	t.Helper()
	for l := range bytes.Lines(testdata.Night) {
		if l = bytes.TrimSpace(l); len(l) == 0 || l[0] == '#' {
			continue
		}
		c, err := cellar.ParseLine(l)
		require.NoError(t, err, string(l))
		out = append(out, c)
	}
	return out
}

// sit opens the board on the night at an instant, with the lead at the keys.
func sit(t *testing.T, at string, cols, rows int, without ...string) *tuitest.Desk {
	t.Helper()
	j, s := night(t, at, without...)
	return tuitest.Sit(t, tui.Options{Journal: j, State: s, Person: "MA", Station: "test", Demo: true}, clock(t, at),
		cols, rows)
}

// TestAPressSaysWhatItWaitsFor: the reason stands whole below what is due, and the
// tank that the juice goes to stays.
func TestAPressSaysWhatItWaitsFor(t *testing.T) {
	sit(t, "00:09", 120, 40, "E092").Hides("pomace")
	d := sit(t, "00:10", 120, 40)
	require.Regexp(t, `P1 +from 602 +98\.0 hL +to 204 +empty it in 15 min .*\n +pomace trailer full `, d.Screen())
	require.Regexp(t, `P1 +from 602 .+ to 204 +empty it in 6 min`, sit(t, "00:09", 120, 40, "E092").Screen())
}
