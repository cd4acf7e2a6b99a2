package cellar_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/handover"
	"cellar.example/mustwatch/domain/sheet"
	"cellar.example/mustwatch/domain/subject"
)

// A time has its day wherever it is not of this shift: a stop said "since 14:20" of the day before yesterday.
// One function says it on every face, in every refusal and on the sheet.
func TestATimeHasItsDay(t *testing.T) {
	zone, err := time.LoadLocation("Europe/Paris")
	require.NoError(t, err)
	now := time.Date(2026, 9, 24, 14, 30, 0, 0, zone)
	for _, c := range []struct {
		at           time.Time
		sentence, in string // in a sentence, in a column
	}{
		{now.Add(-10 * time.Minute), "14:20", "14:20"},
		{now.Add(-14 * time.Hour), "00:30", "00:30"},
		{now.Add(16 * time.Hour), "06:30", "06:30"},
		{now.Add(-23 * time.Hour), "Wed 23 Sep 15:30", "Wed 15:30"},
		{now.AddDate(0, 0, -2), "Tue 22 Sep 14:30", "Tue 14:30"},
		{now.AddDate(0, 0, -6), "Fri 18 Sep 14:30", "Fri 14:30"},
		{now.AddDate(0, 0, -7), "17 Sep 14:30", "17 Sep 14:30"},
		{now.AddDate(0, 0, 5), "Tue 29 Sep 14:30", "Tue 14:30"},
		{now.AddDate(0, -5, 0), "24 Apr 14:30", "24 Apr 14:30"},
		{now.AddDate(-1, 0, 0), "24 Sep 2025 14:30", "24 Sep 2025 14:30"},
	} {
		require.Equal(t, c.sentence, cellar.Clock(c.at, now, zone))
		require.Equal(t, c.in, cellar.ColumnClock(c.at, now, zone))
	}
	yearEnd := time.Date(2027, 1, 1, 10, 0, 0, 0, zone)
	require.Equal(t, "30 Dec 2026 10:00", cellar.Clock(yearEnd.AddDate(0, 0, -2), yearEnd, zone))
	require.Equal(t, "22:00", cellar.Clock(yearEnd.Add(-12*time.Hour), yearEnd, zone))
}

// TestATimeHasItsDayInEveryPlace: what was on Thu 24 Sep at 20:00 is named so days later: by a refusal, by the closing
// of a season, by a promise that an alarm is still open, and on the sheet.
func TestATimeHasItsDayInEveryPlace(t *testing.T) {
	for days, want := range map[int]string{2: "Thu 24 Sep 20:00", 9: "24 Sep 20:00"} {
		h := openHouse(t)
		h.say(t, `19:30 MA {"do":"book","load":"0502","booked":"2026-09-24T20:00:00+02:00"}`,
			`19:30 NS {"do":"clock","subject":"chiller","verb":"look","due":"2026-09-24T20:00:00+02:00"}`,
			`20:00 NS {"do":"load","load":"0502","variety":"Riesling","answers":[{"rule":"D23","by":"NS"}],"gross":"9000 kg","tare":"4000 kg","brix":20}`,
			`20:00 NS {"do":"break","for":"30min"}`)
		now := h.now.AddDate(0, 0, days)
		stamp := now.Format(time.RFC3339)
		refusal := func(line string) string {
			t.Helper()
			err := h.line(fmt.Sprintf(line, stamp, stamp))
			var rej *cellar.Rejection
			require.True(t, errors.As(err, &rej), "%v", err)
			return rej.Message()
		}
		head := `{"at":%q,"saved":%q,"by":"NS",`
		require.Contains(t, refusal(head+`"do":"break","for":"10min"}`), "since "+want)
		require.Contains(t, refusal(head+`"do":"tip","load":"0502","to":"P9"}`), "P9")
		h.now = now
		_, err := h.try(&cellar.CancelLoad{Head: cellar.Head{By: "MA"}, Load: "0502", Reason: "x"}, now)
		require.ErrorContains(t, err, "already came at "+want)
		_, err = h.try(&cellar.CloseSeason{Head: cellar.Head{By: "MA"}, Season: "2026"}, now)
		require.ErrorContains(t, err, "chiller look is due since "+want)
		for e := range h.s.LatestOf(subject.Of(subject.Words, "chiller")) {
			require.Contains(t, e.Text, "20:00") // what was said then is of that shift
			require.NotContains(t, e.Text, "Sep")
		}
		page := flat(handover.Sheet(h.s, now, sheet.Mark{}).Next.Rows)
		require.True(t, strings.Contains(page, "Thu") || strings.Contains(page, "24 Sep"), page)
	}
}
