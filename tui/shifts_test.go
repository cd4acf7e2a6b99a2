package tui_test

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/store/memory"
	"cellar.example/mustwatch/testdata/harvest"
	"cellar.example/mustwatch/tui"
	"cellar.example/mustwatch/tui/tuitest"
)

// sitIn opens the board in a harvest that was made up, so long after it has opened, with
// nothing saved after until.
func sitIn(t *testing.T, days int, until, now time.Duration) *tuitest.Desk {
	t.Helper()
	x := harvest.Plan{Days: days, Tanks: 24, Presses: 2}.Make()
	j := memory.New()
	desk := &cellar.Desk{Journal: j, State: cellar.NewState(), Station: "test"}
	for _, l := range x.Lines {
		c, err := cellar.ParseLine([]byte(l))
		require.NoError(t, err)
		if at := cellar.HeadOf(c).At; !at.After(x.Opens.Add(until)) {
			_, err = desk.Write(context.Background(), c, at)
			require.NoError(t, err, l)
		}
	}
	return tuitest.Sit(t, tui.Options{Journal: j, State: desk.State, Person: "HL", Station: "test",
		Save: func(name, _ string) (string, error) { return name, nil }}, x.Opens.Add(now), 120, 40)
}

// On the board the sheet of any shift is two keys away from that of now.
func TestTheBoardShowsTheSheetOfAnyShift(t *testing.T) {
	d := sitIn(t, 4, 96*time.Hour, 96*time.Hour)
	d.Press("y").Shows("earlier shifts")
	d.Press("s").Shows("Shifts: the sheet of which one?", "Fri 28 Aug 06:01 - 17:58  HL with PL",
		"Mon 24 Aug 18:01 - 05:58  MA with NS TQ PL")
	d.Press("<down><down><enter>").Shows("Sheet of the shift of HL, Thu 27 Aug 06:01", "AS IT WAS THU 27 AUG")
	d.Press("p").Shows("saved: the sheet, in shift-2026-08-27-0601.txt")
	d.Press("8").Shows("Sheet of the shift of MA, Mon 24 Aug 18:01", "Shift Mon 24 Aug 18:01 - Tue 25 Aug 05:58 CEST")
	d.Press("<esc>").Shows("Shifts: the sheet of which one?")
	d.Press("1").Shows("PRINTED FRI 28 AUG")
	d.Press("<esc><esc>").Hides("Shifts:")
}

// A shift whose end or start was forgotten is asked about at the next key; nothing is
// asked twice within an hour, and each answer is one key.
func TestTheBoardAsksAboutAForgottenShift(t *testing.T) {
	const first = 5 * time.Minute
	sitIn(t, 1, first, 13*time.Hour+29*time.Minute).Press("j").Hides("Start yours?")
	d := sitIn(t, 1, first, 13*time.Hour+31*time.Minute)
	d.Hides("Start yours?") // nobody is there yet
	d.Press("d").Shows("The shift of MA was to end at 06:00. Start yours?", "start yours", "hand it over", "later")
	d.Press("l").Hides("Start yours?").Press("d").Hides("Start yours?")
	d.Press("<esc>").Wait(61 * time.Minute).Press("j").Shows("Start yours?")
	d.Press("s").Shows("start a new shift")
	for range 9 {
		if d.State().Shift.Lead == "MA" {
			d.Press("<enter>")
		}
	}
	require.Equal(t, cellar.Initials("HL"), d.State().Shift.Lead, d.Screen())

	// he has begun over the open one
	d.Press("j").Shows("The shift of MA has no end. When did it end?", "save that it ended at 08:32")
	d.Press("e").Shows("End of the shift of MA").Press("Mon 17:00<enter><enter>").Shows("type a time between")
	require.True(t, d.State().Shifts()[0].Forgotten())
	d.Press("<esc>").Press("j").Press("t").Shows("saved: the shift of MA ended at 08:32")
	require.False(t, d.State().Shifts()[0].Forgotten())
	require.True(t, d.State().Shift.Ended.IsZero())
	d.Press("j").Hides("When did it end?")

	// the day has ended, nobody begins the night, and people go on
	d = sitIn(t, 1, 24*time.Hour, 24*time.Hour).Press("j").Hides("Start yours?")
	d.Wait(29 * time.Minute).Press("nhose drips<enter>").Press("j").Shows("No shift is open since 17:58. Start yours?")
	d.Press("s").Shows("New shift")
}

// What stands is listed on the board, and each is ticked off there with one key.
func TestTheBoardListsOpenNotes(t *testing.T) {
	d := sitIn(t, 3, 72*time.Hour, 72*time.Hour)
	d.Press(";").Shows("Open notes: what is done?", "question: keep the lees of 24 Aug?",
		"promise: pallets by noon, 24 Aug, cellar, for HL").Hides("hose 4 drips, 24 Aug")
	d.Press("<end><enter>").Hides("question: keep the lees of 24 Aug?").Shows("pallets by noon")
	d.Press("1").Hides("keep the lees of 26 Aug?").Press("<esc>")
	d.Press("nchlorine smell in the store<enter>")
	d.Press(";").Shows("info: chlorine smell in the store")
	d.Press("<esc>").Press("nladder 2 is ours<tab><tab><tab><tab><tab><tab>")
	d.Shows("keep it on the sheet until it is done").Press("y<enter>").Press(";").Shows("ladder 2 is ours (pinned)")
}
