package tui_test

import (
	"context"
	"fmt"
	"slices"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/subject"
	"cellar.example/mustwatch/tui"
	"cellar.example/mustwatch/tui/tuitest"
)

// screens are two in front of one journal: the board that has it open, and one that
// has joined it.
type screens struct {
	desk, hall *tuitest.Desk
	ago        time.Duration // since the hall has heard of the desk
	recs       <-chan cellar.Record
}

// atDesk is where the board stands that others have joined.
func atDesk() string { return "desk" }

func twoScreens(t *testing.T, cols, rows int) *screens {
	t.Helper()
	now := clock(t, "22:00")
	j, desk := bareHouse(t, now)
	_, err := desk.Write(context.Background(), &cellar.SetClock{Head: cellar.Head{By: "MA"},
		Subject: subject.Bare("101"), Verb: "look", Due: now.Add(5 * time.Minute)}, now)
	require.NoError(t, err)
	state := func() *cellar.State {
		s, err := cellar.Replay(context.Background(), j)
		require.NoError(t, err)
		return s
	}
	x := &screens{}
	x.recs, err = j.Watch(t.Context(), state().Seq+1)
	require.NoError(t, err)
	x.desk = tuitest.Sit(t, tui.Options{Journal: j, State: state(), Person: "MA", Station: "desk"}, now, cols, rows)
	x.hall = tuitest.Sit(t, tui.Options{Journal: j, State: state(), Person: "NS", Station: "hall",
		Joined: &tui.Joined{Station: atDesk, Heard: func() (time.Time, time.Duration) {
			if x.hall == nil {
				return now, 0
			}
			return x.hall.Now.Add(-x.ago), x.ago
		}}}, now, cols, rows)
	return x
}

// arrives hands what was written to both screens, up to where either of them is.
func (x *screens) arrives(t *testing.T) {
	t.Helper()
	for end := max(x.desk.State().Seq, x.hall.State().Seq); ; {
		select {
		case rec := <-x.recs:
			x.desk.Send(tui.Followed(rec))
			x.hall.Send(tui.Followed(rec))
			if rec.Seq == end {
				return
			}
		case <-time.After(time.Minute):
			t.Fatal("nothing was written")
		}
	}
}

// TestTrustRow11TwoScreensAcknowledge: what one screen takes stands on the other,
// which may have decided on what it knew before; nothing counts twice.
func TestTrustRow11TwoScreensAcknowledge(t *testing.T) {
	x := twoScreens(t, 80, 24)
	x.desk.Wait(6 * time.Minute)
	x.hall.Wait(6 * time.Minute)
	x.hall.Press("a").Shows("acknowledged by NS, still due")
	x.desk.Shows("LOOK  1 min late").Press("a").Shows("NS acknowledged it at 22:06") // it had not arrived yet
	x.arrives(t)
	require.Equal(t, x.desk.State().Seq, x.hall.State().Seq)
	require.Equal(t, slices.Collect(x.hall.State().LatestEvents), slices.Collect(x.desk.State().LatestEvents))
	for _, d := range []*tuitest.Desk{x.desk, x.hall} {
		require.Equal(t, cellar.Initials("NS"), d.State().ClocksOf(d.State().Known("101"))[0].AcknowledgedBy)
	}
}

// Who has a form open is told what was written about the same vessel meanwhile, and
// keeps what was typed.
func TestWhatIsWrittenElsewhereIsTold(t *testing.T) {
	x := twoScreens(t, 120, 40)
	x.desk.Press("101r").Words("13.2")
	x.hall.Press("101n").Words("smells of reduction").Press("<enter>").Shows("saved")
	x.arrives(t)
	x.desk.Shows("NS saved at another screen: 101", "smells of reduction", "13.2")
	x.desk.Press("<enter>").Shows("saved")
	x.arrives(t)
	x.hall.Shows("MA saved at another screen: 101")
	require.Equal(t, x.desk.State().Seq, x.hall.State().Seq)
}

// TestTrustRow09Stale: a screen that hears nothing says so, with the age, on every
// face; what it shows goes on by its own clock.
func TestTrustRow09Stale(t *testing.T) {
	for _, size := range []struct{ w, h int }{{80, 24}, {120, 40}} {
		x := twoScreens(t, size.w, size.h)
		x.ago = 4 * time.Second
		x.hall.Wait(time.Second).Hides("STALE")
		x.ago = 12 * time.Second
		x.hall.Wait(6*time.Minute).Shows("STALE for 12 s: ", "last heard at 22:05. ")
		x.hall.Press("101").Press("<enter>").Shows("STALE for 12 s").Press("<esc>")
		x.hall.Press("101r").Shows("STALE for 12 s").Press("<esc>")
		x.hall.Press("b").Shows("STALE for 12 s", " STALE ", "last heard 22:05, may be old").Hides("board alive")
		tuitest.Golden(t, fmt.Sprintf("clock/stale-wall-%dx%d", size.w, size.h), x.hall.Screen())
		x.ago = 12 * time.Minute
		x.hall.Wait(time.Second).Shows("STALE for 12 min")
		x.ago = 0
		x.hall.Wait(time.Second).Hides("STALE").Shows("board alive")
		x.desk.Hides("STALE")
	}
}

// A time that is said at one screen counts at the other, also while an entry is on
// its way there: both read the same clocks and show the same time.
func TestATimeSaidElsewhereCountsWhileWriting(t *testing.T) {
	now := clock(t, "22:00")
	j, desk := bareHouse(t, now)
	m := tuitest.NewMachine(now)
	from := desk.State.Seq
	state := func() *cellar.State {
		s, err := cellar.Replay(context.Background(), j)
		require.NoError(t, err)
		return s
	}
	d := tuitest.SitAt(t, tui.Options{Journal: j, State: state(), Person: "MA", Station: "desk"}, m, 120, 40)
	h := tuitest.SitAt(t, tui.Options{Journal: j, State: state(), Person: "NS", Station: "hall",
		Joined: &tui.Joined{Station: atDesk, Heard: func() (time.Time, time.Duration) {
			return d.Root.Sight().Now,
				0
		}}}, m, 120, 40)
	d.Wait(time.Second)
	m.Step(time.Hour)
	d.Wait(time.Second).Shows("clock was changed")
	h.Wait(time.Second).Shows("clock was changed")
	recs, err := j.Watch(t.Context(), from+1)
	require.NoError(t, err)
	pass := func(d *tuitest.Desk, to cellar.Seq) {
		for d.State().Seq < to {
			d.Send(tui.Followed(<-recs))
		}
	}
	pass(h, d.State().Seq)
	d.Press("101n").Words("is quiet")
	_, flying := d.Root.Update(tea.KeyMsg{Type: tea.KeyEnter})
	h.Press("!m<enter>").Shows("23:00").Hides("stepped")
	pass(d, h.State().Seq)
	d.Run(flying)
	d.Wait(time.Second).Shows("23:00", "is quiet").Hides("says 23:0")
}

// Who writes at another screen while a line of the script is on its way stops the
// script anyway.
func TestTheScriptStopsForAnotherScreenWhileWriting(t *testing.T) {
	now := clock(t, "22:00")
	j, desk := bareHouse(t, now)
	asked := 0
	script := func(now time.Time) []cellar.Command {
		asked++
		return []cellar.Command{&cellar.WriteNote{Head: cellar.Head{By: "NS", At: now, Entry: fmt.Sprint("N", asked)},
			Subject: subject.Bare("102"), Text: fmt.Sprint("line ", asked)}}
	}
	state, err := cellar.Replay(context.Background(), j)
	require.NoError(t, err)
	d := tuitest.Sit(t, tui.Options{Journal: j, State: state, Person: "MA", Script: script, Demo: true}, now, 120, 40)
	_, flying := d.Root.Update(d.Root.Beat())
	_, err = desk.Write(context.Background(), &cellar.WriteNote{Head: cellar.Head{By: "NS"},
		Subject: subject.Bare("101"), Text: "is quiet"}, now)
	require.NoError(t, err)
	d.Run(flying) // it conflicts, is decided again, and written
	require.Equal(t, 2, notesOf(t, j))
	d.Shows("NS saved at another screen: 101")
	d.Wait(time.Second)
	require.Equal(t, 1, asked)
	require.Equal(t, 2, notesOf(t, j))
}

// A screen to which nothing comes any more says so, on every face, until it is
// started again.
func TestAScreenThatIsNotFollowed(t *testing.T) {
	x := twoScreens(t, 80, 24)
	x.hall.Hides("NOT FOLLOWED")
	x.hall.Send(tui.Deaf())
	x.hall.Shows("NOT FOLLOWED").Press("101").Press("<enter>").Shows("NOT FOLLOWED").Press("<esc>")
	x.hall.Press("b").Shows("NOT FOLLOWED")
}

// The house has one time: a wall that was corrected by less than is said, between the
// start of the board and that of another screen, parts the two by nothing.
func TestScreensAgreeOnTheTime(t *testing.T) {
	for _, by := range []time.Duration{55 * time.Second, -55 * time.Second} {
		now := clock(t, "22:00")
		j, _ := bareHouse(t, now)
		m := tuitest.NewMachine(now)
		state := func() *cellar.State {
			s, err := cellar.Replay(context.Background(), j)
			require.NoError(t, err)
			return s
		}
		d := tuitest.SitAt(t, tui.Options{Journal: j, State: state(), Person: "MA", Station: "desk"}, m, 80,
			24).Wait(time.Second)
		m.Pass(10 * time.Minute)
		m.Step(by)
		d.Wait(time.Second)
		ago := time.Duration(0)
		h := tuitest.SitAt(t, tui.Options{Journal: j, State: state(), Person: "NS", Station: "hall",
			Joined: &tui.Joined{Station: atDesk, Heard: func() (time.Time, time.Duration) {
				return d.Root.Sight().Now, ago
			}}}, m, 80, 24)
		h.Wait(0)
		require.Equal(t, d.Root.Sight().Now, h.Root.Sight().Now)
		ago = time.Minute // the board is silent: by its own clocks
		h.Wait(0)
		if by > 0 { // the other way the last entry is the least that it can be
			require.InDelta(t, by.Seconds(), h.Root.Sight().Now.Sub(d.Root.Sight().Now).Seconds(), 1)
		}
	}
}
