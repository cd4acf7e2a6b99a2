package entry_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/tui/entry"
	"cellar.example/mustwatch/tui/intent"
)

func paris(t testing.TB) *time.Location {
	z, err := time.LoadLocation("Europe/Paris")
	require.NoError(t, err)
	return z
}

func instant(t testing.TB, text string) time.Time {
	at, err := time.Parse(time.RFC3339, text)
	require.NoError(t, err, text)
	return at
}

func TestWhen(t *testing.T) {
	z := paris(t)
	const (
		evening = "2026-09-24T21:40:00+02:00" // a Thursday
		late    = "2026-09-24T23:50:00+02:00"
		after   = "2026-09-25T00:20:00+02:00"
		before  = "2026-10-25T01:50:00+02:00" // the night the clocks go back
		first   = "2026-10-25T02:45:00+02:00"
		second  = "2026-10-25T02:45:00+01:00"
		over    = "2026-10-25T03:30:00+01:00"
	)
	for _, tt := range []struct {
		text, now string
		future    bool
		want      string
	}{
		{"", evening, true, evening},
		{"2230", evening, true, "2026-09-24T22:30:00+02:00"},
		{"22:30", evening, true, "2026-09-24T22:30:00+02:00"},
		{"22.30", evening, true, "2026-09-24T22:30:00+02:00"},
		{" 22:30 ", evening, true, "2026-09-24T22:30:00+02:00"},
		{"0:30", late, true, "2026-09-25T00:30:00+02:00"},
		{"0030", late, true, "2026-09-25T00:30:00+02:00"},
		{"030", late, true, "2026-09-25T00:30:00+02:00"},
		{"930", late, true, "2026-09-25T09:30:00+02:00"},
		{"2350", after, false, "2026-09-24T23:50:00+02:00"},
		{"0021", after, false, "2026-09-25T00:21:00+02:00"}, // two clocks differ by so much
		{"1220", evening, true, "2026-09-25T12:20:00+02:00"},
		{"+45", evening, true, "2026-09-24T22:25:00+02:00"},
		{"45min", evening, true, "2026-09-24T22:25:00+02:00"},
		{"1h30", evening, true, "2026-09-24T23:10:00+02:00"},
		{"+1:30", evening, true, "2026-09-24T23:10:00+02:00"},
		{"in 2h", evening, true, "2026-09-24T23:40:00+02:00"},
		{"45min", evening, false, "2026-09-24T20:55:00+02:00"},
		{"45min ago", evening, false, "2026-09-24T20:55:00+02:00"},
		{"-20", evening, false, "2026-09-24T21:20:00+02:00"},
		{"20 ago", evening, false, "2026-09-24T21:20:00+02:00"},
		{"Fri 07:00", evening, true, "2026-09-25T07:00:00+02:00"},
		{"friday 0700", evening, true, "2026-09-25T07:00:00+02:00"},
		{"thu 20:00", evening, true, "2026-10-01T20:00:00+02:00"},
		{"Wed 22:00", evening, false, "2026-09-23T22:00:00+02:00"},
		{"11pm", evening, true, "2026-09-24T23:00:00+02:00"},
		{"11:05 PM", evening, true, "2026-09-24T23:05:00+02:00"},
		{"1105 p.m.", evening, true, "2026-09-24T23:05:00+02:00"},
		{"12am", evening, true, "2026-09-25T00:00:00+02:00"},
		{"12:10 pm", evening, false, "2026-09-24T12:10:00+02:00"},
		{"Fri 7am", evening, true, "2026-09-25T07:00:00+02:00"},
		{"2300h", evening, true, "2026-09-24T23:00:00+02:00"},
		{"2130 hrs", evening, false, "2026-09-24T21:30:00+02:00"},
		{"fri 0700h", evening, true, "2026-09-25T07:00:00+02:00"},
		{"3 Oct 08:58", evening, true, "2026-10-03T08:58:00+02:00"},
		{"20 sep 7:00 pm", evening, false, "2026-09-20T19:00:00+02:00"},
		{"5 Feb 08:58", evening, true, "2027-02-05T08:58:00+01:00"},
		{"31 December 23:00", evening, false, "2025-12-31T23:00:00+01:00"},
		{"25 oct 02:30 cet", evening, true, "2026-10-25T02:30:00+01:00"},
		// across the hour that comes twice
		{"02:30 CEST", before, true, "2026-10-25T02:30:00+02:00"},
		{"0230 cet", before, true, "2026-10-25T02:30:00+01:00"},
		{"0230 first", before, true, "2026-10-25T02:30:00+02:00"},
		{"2:30 second", before, true, "2026-10-25T02:30:00+01:00"},
		{"0230", first, true, "2026-10-25T02:30:00+01:00"},  // the first has been
		{"0230", first, false, "2026-10-25T02:30:00+02:00"}, // the second is to come
		{"0230 CEST", second, false, "2026-10-25T02:30:00+02:00"},
		{"+60", first, true, second},
		{"0330", before, true, over},
		{"0130", over, false, "2026-10-25T01:30:00+02:00"},
	} {
		t.Run(tt.text+" at "+tt.now, func(t *testing.T) {
			got, err := entry.When(tt.text, instant(t, tt.now), z, tt.future)
			require.NoError(t, err)
			assert.True(t, got.Equal(instant(t, tt.want)), "%s", got.In(z).Format(time.RFC3339))
		})
	}
}

func TestWhenAsks(t *testing.T) {
	z := paris(t)
	for _, tt := range []struct {
		text, now string
		future    bool
		says      string
	}{
		{"0230", "2026-10-25T01:50:00+02:00", true, "02:30 comes twice that night, first or second? add CEST or CET"},
		{"0230", "2026-10-25T03:30:00+01:00", false, "02:30 comes twice that night, first or second? add CEST or CET"},
		{"02:30 CEST", "2026-10-25T02:45:00+02:00", true, "02:30 cest has been already"},
		{"0230 second", "2026-10-25T02:45:00+02:00", false, "02:30 second is still to come"},
		{"2230 CET", "2026-09-24T21:40:00+02:00", true, `22:30 that day is CEST, not "cet"`},
		{"0230", "2026-03-28T23:00:00+01:00", true, "there is no 02:30 on Sun 29 Mar: the clocks go forward in that hour"},
		{"2130", "2026-09-24T21:40:00+02:00", true, "21:30 has just been; type Fri 21:30 if that is meant"},
		{"2150", "2026-09-24T21:40:00+02:00", false, "21:50 is still to come; give the time it happened, or Wed 21:50 if that is meant"},
		{"+45", "2026-09-24T21:40:00+02:00", false, "that is still to come; type when it was, such as 45 ago"},
		{"45 ago", "2026-09-24T21:40:00+02:00", true, "that has been already; type a time to come, such as +45"},
		{"22h30", "2026-09-24T21:40:00+02:00", true, "22h30 can be read in two ways: type 22:30 for the time, or +22h30 for the length"},
		{"22", "2026-09-24T21:40:00+02:00", true, "type 22:00 for the time, or +22 for minutes from now"},
		{"30", "2026-09-24T21:40:00+02:00", true, "type +30 for minutes from now, or a time such as 22:30"},
		{"2460", "2026-09-24T21:40:00+02:00", true, "there is no 24:60; a day runs from 00:00 to 23:59"},
		{"13pm", "2026-09-24T21:40:00+02:00", true, "there is no 13 pm; type 1 to 12, or the time without it"},
		{"25 Oct 0230", "2026-09-24T21:40:00+02:00", true, "02:30 comes twice that night, first or second? add CEST or CET"},
		{"31 Feb 08:00", "2026-09-24T21:40:00+02:00", true, "type a time such as 2230 or 22:30, Fri 07:00, +45 or 1h30"},
		{"5 foo 08:00", "2026-09-24T21:40:00+02:00", true, "type a time such as 2230 or 22:30, Fri 07:00, +45 or 1h30"},
		{"soon", "2026-09-24T21:40:00+02:00", true, "type a time such as 2230 or 22:30, Fri 07:00, +45 or 1h30"},
		{"+", "2026-09-24T21:40:00+02:00", true, "type a time such as 2230 or 22:30, Fri 07:00, +45 or 1h30"},
	} {
		t.Run(tt.text+" at "+tt.now, func(t *testing.T) {
			_, err := entry.When(tt.text, instant(t, tt.now), z, tt.future)
			var rej *cellar.Rejection
			require.ErrorAs(t, err, &rej)
			assert.Equal(t, tt.says, rej.Message())
			assert.Empty(t, rej.Field)
		})
	}
}

func TestWhenLooksTheRightWay(t *testing.T) {
	z := paris(t)
	begin := instant(t, "2026-03-20T00:00:00+01:00")
	rapid.Check(t, func(t *rapid.T) {
		now := begin.Add(time.Duration(rapid.IntRange(0, 300*24*60).Draw(t, "minutes")) * time.Minute)
		future := rapid.Bool().Draw(t, "future")
		text := rapid.OneOf(rapid.StringMatching(`[0-2]?[0-9]:?[0-5][0-9]( (CET|CEST|first|second))?`), rapid.StringMatching(`(Mon|tue|Sun) [0-2]?[0-9][0-5][0-9]`),
			rapid.String()).Draw(t, "text")
		got, err := entry.When(text, now, z, future)
		if err != nil {
			var rej *cellar.Rejection
			require.ErrorAs(t, err, &rej)
			require.NotEmpty(t, rej.Message())
			return
		}
		if future {
			require.False(t, got.Before(now))
		} else {
			require.False(t, got.After(now.Add(2*time.Minute)))
		}
		require.Less(t, got.Sub(now).Abs(), 370*24*time.Hour)
	})
}

// TestFilledAtFollowsALaterWhen: a time that was typed before it was said when the
// entry was, is taken as next to that, and is refused no longer.
func TestFilledAtFollowsALaterWhen(t *testing.T) {
	h := newHouse(t)
	h.at("17:30")
	h.lines(`{"do":"load","by":"MA","load":"0409","variety":"Chardonnay","gross":"32900 kg","tare":"12500 kg","answers":[{"rule":"D23"}]}`)
	h.at("18:30")
	e := h.open(intent.FormPress, "P1")
	e.Form.Focus("filled")
	h.types(e, "1755<tab>")
	require.Contains(t, screen(e, 100, 30), "17:55 has just been")
	e.Form.Focus("at")
	h.types(e, "1740")
	shown := screen(e, 100, 30)
	require.NotContains(t, shown, "has just been")
	require.Contains(t, shown, "Thu 17:55, 35 min ago")
	c := h.typed(e, "<enter>").(*cellar.Tip)
	require.Equal(t, "17:40", h.s.Clock(c.At))
	require.Equal(t, "17:55", h.s.Clock(c.Until))
}
