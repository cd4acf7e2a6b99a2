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
		{now: evening, future: true, want: evening},
		{text: "2230", now: evening, future: true, want: "2026-09-24T22:30:00+02:00"},
		{text: "22:30", now: evening, future: true, want: "2026-09-24T22:30:00+02:00"},
		{text: "22.30", now: evening, future: true, want: "2026-09-24T22:30:00+02:00"},
		{text: " 22:30 ", now: evening, future: true, want: "2026-09-24T22:30:00+02:00"},
		{text: "0:30", now: late, future: true, want: "2026-09-25T00:30:00+02:00"},
		{text: "0030", now: late, future: true, want: "2026-09-25T00:30:00+02:00"},
		{text: "030", now: late, future: true, want: "2026-09-25T00:30:00+02:00"},
		{text: "930", now: late, future: true, want: "2026-09-25T09:30:00+02:00"},
		{text: "2350", now: after, want: "2026-09-24T23:50:00+02:00"},
		{text: "0021", now: after, want: "2026-09-25T00:21:00+02:00"}, // two clocks differ by so much
		{text: "1220", now: evening, future: true, want: "2026-09-25T12:20:00+02:00"},
		{text: "+45", now: evening, future: true, want: "2026-09-24T22:25:00+02:00"},
		{text: "45min", now: evening, future: true, want: "2026-09-24T22:25:00+02:00"},
		{text: "1h30", now: evening, future: true, want: "2026-09-24T23:10:00+02:00"},
		{text: "+1:30", now: evening, future: true, want: "2026-09-24T23:10:00+02:00"},
		{text: "in 2h", now: evening, future: true, want: "2026-09-24T23:40:00+02:00"},
		{text: "45min", now: evening, want: "2026-09-24T20:55:00+02:00"},
		{text: "45min ago", now: evening, want: "2026-09-24T20:55:00+02:00"},
		{text: "-20", now: evening, want: "2026-09-24T21:20:00+02:00"},
		{text: "20 ago", now: evening, want: "2026-09-24T21:20:00+02:00"},
		{text: "Fri 07:00", now: evening, future: true, want: "2026-09-25T07:00:00+02:00"},
		{text: "friday 0700", now: evening, future: true, want: "2026-09-25T07:00:00+02:00"},
		{text: "thu 20:00", now: evening, future: true, want: "2026-10-01T20:00:00+02:00"},
		{text: "Wed 22:00", now: evening, want: "2026-09-23T22:00:00+02:00"},
		{text: "11pm", now: evening, future: true, want: "2026-09-24T23:00:00+02:00"},
		{text: "11:05 PM", now: evening, future: true, want: "2026-09-24T23:05:00+02:00"},
		{text: "1105 p.m.", now: evening, future: true, want: "2026-09-24T23:05:00+02:00"},
		{text: "12am", now: evening, future: true, want: "2026-09-25T00:00:00+02:00"},
		{text: "12:10 pm", now: evening, want: "2026-09-24T12:10:00+02:00"},
		{text: "Fri 7am", now: evening, future: true, want: "2026-09-25T07:00:00+02:00"},
		{text: "2300h", now: evening, future: true, want: "2026-09-24T23:00:00+02:00"},
		{text: "2130 hrs", now: evening, want: "2026-09-24T21:30:00+02:00"},
		{text: "fri 0700h", now: evening, future: true, want: "2026-09-25T07:00:00+02:00"},
		{text: "3 Oct 08:58", now: evening, future: true, want: "2026-10-03T08:58:00+02:00"},
		{text: "20 sep 7:00 pm", now: evening, want: "2026-09-20T19:00:00+02:00"},
		{text: "5 Feb 08:58", now: evening, future: true, want: "2027-02-05T08:58:00+01:00"},
		{text: "31 December 23:00", now: evening, want: "2025-12-31T23:00:00+01:00"},
		{text: "25 oct 02:30 cet", now: evening, future: true, want: "2026-10-25T02:30:00+01:00"},
		// across the hour that comes twice
		{text: "02:30 CEST", now: before, future: true, want: "2026-10-25T02:30:00+02:00"},
		{text: "0230 cet", now: before, future: true, want: "2026-10-25T02:30:00+01:00"},
		{text: "0230 first", now: before, future: true, want: "2026-10-25T02:30:00+02:00"},
		{text: "2:30 second", now: before, future: true, want: "2026-10-25T02:30:00+01:00"},
		{text: "0230", now: first, future: true, want: "2026-10-25T02:30:00+01:00"}, // the first has been
		{text: "0230", now: first, want: "2026-10-25T02:30:00+02:00"},               // the second is to come
		{text: "0230 CEST", now: second, want: "2026-10-25T02:30:00+02:00"},
		{text: "+60", now: first, future: true, want: second},
		{text: "0330", now: before, future: true, want: over},
		{text: "0130", now: over, want: "2026-10-25T01:30:00+02:00"},
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
		{text: "0230", now: "2026-10-25T01:50:00+02:00", future: true,
			says: "02:30 comes twice that night: add CEST for the first, CET for the second"},
		{text: "0230", now: "2026-10-25T03:30:00+01:00",
			says: "02:30 comes twice that night: add CEST for the first, CET for the second"},
		{text: "02:30 CEST", now: "2026-10-25T02:45:00+02:00", future: true,
			says: "02:30 cest is in the past: type a time to come"},
		{text: "0230 second", now: "2026-10-25T02:45:00+02:00",
			says: "02:30 second is in the future: type when it was"},
		{text: "2230 CET", now: "2026-09-24T21:40:00+02:00", future: true,
			says: `22:30 that day is CEST: type 22:30 CEST, not 22:30 cet`},
		{text: "0230", now: "2026-03-28T23:00:00+01:00", future: true,
			says: "there is no 02:30 on Sun 29 Mar: the clocks go forward in that hour, type another time"},
		{text: "2130", now: "2026-09-24T21:40:00+02:00", future: true,
			says: "21:30 has just passed: type Fri 21:30 if you mean that day"},
		{text: "2150", now: "2026-09-24T21:40:00+02:00",
			says: "21:50 is in the future: type when it was, or Wed 21:50 if you mean that day"},
		{text: "+45", now: "2026-09-24T21:40:00+02:00",
			says: "that is in the future: type when it was, such as 45 ago"},
		{text: "45 ago", now: "2026-09-24T21:40:00+02:00", future: true,
			says: "that is in the past: type a time to come, such as +45"},
		{text: "22h30", now: "2026-09-24T21:40:00+02:00", future: true,
			says: "22h30 can mean two things: type 22:30 for the time, or +22h30 for the length"},
		{text: "22", now: "2026-09-24T21:40:00+02:00", future: true,
			says: "type 22:00 for the time, or +22 for minutes from now"},
		{text: "30", now: "2026-09-24T21:40:00+02:00", future: true,
			says: "type +30 for minutes from now, or a time such as 22:30"},
		{text: "2460", now: "2026-09-24T21:40:00+02:00", future: true,
			says: "there is no 24:60; a day runs from 00:00 to 23:59"},
		{text: "13pm", now: "2026-09-24T21:40:00+02:00", future: true,
			says: "there is no 13 pm; type 1 to 12, or the time without it"},
		{text: "25 Oct 0230", now: "2026-09-24T21:40:00+02:00", future: true,
			says: "02:30 comes twice that night: add CEST for the first, CET for the second"},
		{text: "31 Feb 08:00", now: "2026-09-24T21:40:00+02:00", future: true,
			says: "type a time such as 2230 or 22:30, Fri 07:00, +45 or 1h30"},
		{text: "5 foo 08:00", now: "2026-09-24T21:40:00+02:00", future: true,
			says: "type a time such as 2230 or 22:30, Fri 07:00, +45 or 1h30"},
		{text: "soon", now: "2026-09-24T21:40:00+02:00", future: true,
			says: "type a time such as 2230 or 22:30, Fri 07:00, +45 or 1h30"},
		{text: "+", now: "2026-09-24T21:40:00+02:00", future: true,
			says: "type a time such as 2230 or 22:30, Fri 07:00, +45 or 1h30"},
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
		text := rapid.OneOf(rapid.StringMatching(`[0-2]?[0-9]:?[0-5][0-9]( (CET|CEST|first|second))?`),
			rapid.StringMatching(`(Mon|tue|Sun) [0-2]?[0-9][0-5][0-9]`),
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
	h.lines(`{"do":"load","by":"MA","load":"0409","variety":"Chardonnay","gross":"32900 kg","tare":"12500 kg",` +
		`"answers":[{"rule":"D23"}]}`)
	h.at("18:30")
	e := h.open(intent.FormPress, "P1")
	e.Form.Focus("filled")
	h.types(e, "1755<tab>")
	require.Contains(t, screen(e, 100, 30), "17:55 has just passed")
	e.Form.Focus("at")
	h.types(e, "1740")
	shown := screen(e, 100, 30)
	require.NotContains(t, shown, "has just passed")
	require.Contains(t, shown, "Thu 17:55, 35 min ago")
	c := h.typed(e, "<enter>").(*cellar.Tip)
	require.Equal(t, "17:40", h.s.Clock(c.At))
	require.Equal(t, "17:55", h.s.Clock(c.Until))
}
