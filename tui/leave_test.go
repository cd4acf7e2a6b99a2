package tui_test

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/subject"
	"cellar.example/mustwatch/tui"
	"cellar.example/mustwatch/tui/tuitest"
)

// The board that holds a real journal asks before it ends while an alarm is open, put
// off or not, or a screen has joined; the key that asked, and Enter, stay.
func TestItem17TheBoardAsksBeforeItEnds(t *testing.T) {
	now := clock(t, "22:00")
	joined := 0
	board := func(o tui.Options) *tuitest.Desk {
		j, desk := bareHouse(t, now)
		_, err := desk.Write(context.Background(), &cellar.SetClock{Head: cellar.Head{By: "MA"},
			Subject: subject.Bare("101"), Verb: "look", Due: now.Add(5 * time.Minute)}, now)
		require.NoError(t, err)
		o.Journal, o.State, o.Person, o.Screens = j, desk.State, "MA", func() int { return joined }
		return tuitest.Sit(t, o, now, 80, 24)
	}
	require.True(t, board(tui.Options{}).Press("q").Quit, "nothing hangs on it")

	d := board(tui.Options{}).Wait(6 * time.Minute)
	for _, stay := range []string{"<esc>", "q", "<enter>", "n"} {
		d.Press("q").Shows("End the board?", "1 alarm is open: 101 look.", "nothing rings", "mustwatch serve",
			"y   end it", "esc stay")
		d.Press(stay).Hides("End the board?")
		require.False(t, d.Quit)
	}
	d.Press("101n").Words("half a word").Press("<esc>q").Shows("Typed and not saved: ").Press("y")
	require.True(t, d.Quit)

	d = board(tui.Options{}).Wait(6 * time.Minute)
	d.Press("<ctrl+c>").Shows("End the board?").Press("<ctrl+c>")
	require.True(t, d.Quit, "ctrl+c is no stray key")
	d = board(tui.Options{}).Wait(6 * time.Minute).Press("b").Press("q").Shows("End the board?").Press("<esc>")
	require.False(t, d.Quit, "nor from the wall")
	d = board(tui.Options{}).Wait(6 * time.Minute)
	d.Send(tui.Ended())
	require.True(t, d.Quit, "the system is not asked")
	d = board(tui.Options{}).Wait(6*time.Minute).Resize(40, 10).Press("q").Shows("Press q again to end the board.")
	require.False(t, d.Quit)
	require.True(t, d.Press("q").Quit)

	for n, says := range map[int]string{1: "1 screen has joined it and takes over",
		3: "3 screens have joined it and one of them"} {
		joined = n
		d = board(tui.Options{}).Press("q").Shows(says)
		require.False(t, d.Quit)
	}
	require.True(t, board(tui.Options{Demo: true}).Wait(6*time.Minute).Press("q").Quit, "nobody depends on a rehearsal")
	heard := func() (time.Time, time.Duration) { return now, 0 }
	require.True(t, board(tui.Options{Joined: &tui.Joined{Station: atDesk, Heard: heard}}).Wait(6*time.Minute).Press(
		"q").Quit, "another board keeps the clocks")
}
