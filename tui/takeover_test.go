package tui_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/subject"
	"cellar.example/mustwatch/tui"
	"cellar.example/mustwatch/tui/tuitest"
)

// leftBehind is a screen whose board has ended, on the journal as that left it.
func leftBehind(t *testing.T, j cellar.Journal, now time.Time, joined *tui.Joined) *tuitest.Desk {
	t.Helper()
	s, err := cellar.Replay(t.Context(), j)
	require.NoError(t, err)
	joined.Station, joined.Heard = atDesk, func() (time.Time, time.Duration) { return now, 0 }
	return tuitest.SitAt(t, tui.Options{Journal: j, State: s, Person: "NS", Station: "hall", Joined: joined},
		tuitest.NewMachine(now), 120, 40)
}

// The screen that takes over stays as it is, with what was typed and what lies over
// the face; it keeps the clocks from then on, tells the others, and asks before it ends.
func TestItem17TheScreenThatTakesOver(t *testing.T) {
	now := clock(t, "22:00")
	j, desk := bareHouse(t, now)
	told := 0
	d := leftBehind(t, j, now, &tui.Joined{Keeps: func(o *tui.Options) {
		o.Joined, o.Tell, o.Screens = nil, func(time.Time) { told++ }, func() int { return 1 }
	}})
	d.Wait(time.Second).Shows("second screen")
	require.True(t, d.State().Time.Anchor.Wall.IsZero(), "the board writes it down")
	d.Press("102n").Words("waits as a draft").Press("<esc>")
	d.Press("101n").Words("half a wo")
	_, err := desk.Write(t.Context(), &cellar.WriteNote{Head: cellar.Head{By: "MA"}, Subject: subject.Bare("102"),
		Text: "the last of the old board"}, now)
	require.NoError(t, err)

	d.Send(tui.TookOver())
	d.Shows("The board at desk has ended: this screen has taken over", "half a wo").Hides("second screen")
	require.Equal(t, 1, told, "the others hear of it at once")
	require.Equal(t, 1, notesOf(t, j))
	v, _ := d.State().Vessel("102")
	require.NotNil(t, v)
	require.Equal(t, desk.State.Seq, d.State().Seq, "it has read on")
	d.Wait(time.Second)
	require.Equal(t, 2, told)
	require.False(t, d.State().Time.Anchor.Wall.IsZero(), "its clocks are tied to the journal")
	d.Words("rd").Press("<enter>").Shows("half a word")
	require.Equal(t, 2, notesOf(t, j))
	d.Press("102n").Shows("waits as a draft").Press("<esc>q").Shows("End the board?",
		"1 screen has joined it").Press("y")
	require.True(t, d.Quit)
}

// An entry that was on its way when the board ended stands once, whether it had arrived
// there or not.
func TestItem17AnUnsureEntryIsLookedUpAfterTakingOver(t *testing.T) {
	for _, arrives := range []bool{true, false} {
		now := clock(t, "22:00")
		m, _ := bareHouse(t, now)
		c := &cutOff{Journal: m}
		d := leftBehind(t, c, now, &tui.Joined{Keeps: func(o *tui.Options) { o.Joined = nil }})
		c.gone, c.arrives = true, arrives
		d.Press("101n").Words("smells of reduction").Press("<enter>").Shows("NOT KNOWN whether")
		c.gone = false
		d.Send(tui.TookOver())
		d.Wait(time.Second).Hides("NOT KNOWN", "NOT SAVED")
		d.Wait(time.Second)
		require.Equal(t, 1, notesOf(t, m), "arrives %v", arrives)
	}
}

// The other screens say where the board is now; one that cannot have the journal though
// nobody has it says why, and what to do.
func TestItem17TheOthersFollow(t *testing.T) {
	now := clock(t, "22:00")
	j, _ := bareHouse(t, now)
	at, stuck, ago := "desk", "", time.Duration(0)
	joined := &tui.Joined{Stuck: func() string { return stuck }}
	d := leftBehind(t, j, now, joined)
	joined.Station = func() string { return at }
	joined.Heard = func() (time.Time, time.Duration) { return now, ago }
	d.Wait(time.Second).Hides("ended:")
	at = "rack"
	d.Wait(time.Second).Shows("The board at desk has ended: the one at rack has taken over", "second screen")
	ago, stuck = 12*time.Second, "The journal is damaged: another journal lies there."
	d.Wait(time.Second).Shows("STALE for 12 s, nothing is saved: write on paper. The journal is damaged: another " +
		"journal")
}
