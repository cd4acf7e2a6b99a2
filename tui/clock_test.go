package tui_test

import (
	"context"
	"errors"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/subject"
	"cellar.example/mustwatch/store/memory"
	"cellar.example/mustwatch/tui"
	"cellar.example/mustwatch/tui/tuitest"
)

// onMachine opens the board on the night at an instant, on a machine whose clocks
// the test moves.
func onMachine(t *testing.T, at string, cols, rows int) (*tuitest.Desk, *memory.Journal) {
	t.Helper()
	j, s := night(t, at, "E115")
	m := tuitest.NewMachine(clock(t, at))
	return tuitest.SitAt(t, tui.Options{Journal: j, State: s, Person: "MA", Station: "test"}, m, cols,
		rows).Wait(time.Second), j
}

// again starts the board again on what its journal keeps.
func again(t *testing.T, j *memory.Journal, m *tuitest.Machine) *tuitest.Desk {
	t.Helper()
	s, err := cellar.Replay(context.Background(), j)
	require.NoError(t, err)
	return tuitest.SitAt(t, tui.Options{Journal: j, State: s, Person: "MA", Station: "test"}, m, 80, 24)
}

func lastTold(t *testing.T, s *cellar.State) cellar.ClockLine {
	t.Helper()
	require.NotEmpty(t, s.Time.Lines)
	return s.Time.Lines[len(s.Time.Lines)-1]
}

// TestTrustRow03Suspend: asleep for six hours, everything is due at once on wake,
// with its lateness, the sleep is written, and nobody's keys are taken.
func TestTrustRow03Suspend(t *testing.T) {
	d, _ := onMachine(t, "02:10", 80, 24)
	d.Machine.Sleep(6 * time.Hour)
	d.Wait(time.Second)
	d.Shows("While nobody looked", "The machine slept 02:10-08:10: 108 due", "▲ 102  TEST  6 h 10 late")
	tuitest.Golden(t, "clock/suspend-80x24", d.Screen())
	require.Equal(t, "the machine slept from Fri 02:10 to Fri 08:10, 6 h; nothing could ring",
		lastTold(t, d.State()).Text)
	require.Empty(t, lastTold(t, d.State()).By, "the machine has no initials")
	d.Press("<esc>").Shows("▲ 102  TEST  6 h 10 late", "Fri 08:10")

	d, _ = onMachine(t, "02:10", 80, 24)
	d.Press("102n").Words("the pump sounds")
	d.Machine.Sleep(20 * time.Minute)
	d.Wait(time.Second).Words(" dry").Shows("the pump sounds dry", "▲ 102  TEST  30 min late")
	d.Press("<enter>")
	require.Equal(t, "the pump sounds dry", d.State().Notes[len(d.State().Notes)-1].Text)
}

// TestTrustRow03Stopped: a program that stood still while the machine ran on could
// not ring: it says so and lists what came due, as after a sleep.
func TestTrustRow03Stopped(t *testing.T) {
	d, _ := onMachine(t, "02:10", 80, 24)
	d.Wait(59 * time.Second)
	require.Empty(t, d.State().Time.Lines)
	d.Wait(20 * time.Minute)
	d.Shows("While nobody looked", "The board stood still 02:11-02:31: 108 due", "▲ 102  TEST  31 min late")
	require.Equal(t, "the board stood still from Fri 02:11 to Fri 02:31, 20 min; nothing could ring",
		lastTold(t, d.State()).Text)
}

// TestTrustRow04SteppedClock: a wall that is set forward or back by an hour rings
// nothing early and nothing late, is written and shown, and is known after a
// restart of the program.
func TestTrustRow04SteppedClock(t *testing.T) {
	for _, tt := range []struct {
		name      string
		by        time.Duration
		says, now string
	}{
		{"forward", time.Hour, "Clock changed +60 min at 02:10, says 03:10.", "03:1"},
		{"back", -time.Hour, "Clock changed -60 min at 02:10, says 01:10.", "01:1"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			d, j := onMachine(t, "02:10", 80, 24)
			write(t, d, &cellar.SetClock{Head: cellar.Head{By: "MA"}, Subject: subject.Bare("pump"), Verb: "look",
				Due: clock(t, "02:20")})
			d.Machine.Step(tt.by)
			d.Wait(time.Second).Shows(tt.says, "Fri 02:10")
			tuitest.Golden(t, "clock/stepped-"+tt.name+"-80x24", d.Screen())
			require.Contains(t, lastTold(t, d.State()).Text, "the machine's clock was stepped "+cellar.Signed(tt.by))
			raised := func(d *tuitest.Desk) bool {
				for _, c := range d.State().Alarms(d.Root.Sight().Now) {
					if c.Subject.Name == "pump" {
						return true
					}
				}
				return false
			}
			for range 10 {
				d.Wait(59*time.Second + 500*time.Millisecond)
			}
			require.False(t, raised(d), "not early: %s", d.Root.Sight().Now)
			d = again(t, j, d.Machine)
			require.False(t, raised(d), "nor after a restart")
			d.Wait(time.Second).Shows(tt.says[:20], "Fri 02:19")
			d.Wait(2 * time.Second)
			require.True(t, raised(d), "not late: %s", d.Root.Sight().Now)
			require.Len(t, d.State().Time.Lines, 1, "the step is known and said once")

			d.Press("!").Shows("What time is it?", "by elapsed time", "the machine's clock")
			d.Press("e<enter>").Hides("Clock stepped").Shows("Fri 02:20")
			require.Equal(t, cellar.Initials("MA"), lastTold(t, d.State()).By)
			d = again(t, j, d.Machine)
			d.Wait(time.Second).Hides("Clock stepped").Shows("Fri 02:20")
		})
	}
}

// A wall that was right: the board takes it, and what counts elapsed time is as
// far off as before.
func TestTheMachineWasRight(t *testing.T) {
	d, j := onMachine(t, "02:10", 80, 24)
	left := func() time.Duration { return d.State().ClocksOf(d.State().Known("504"))[0].Due.Sub(d.Root.Sight().Now) }
	was := left()
	d.Machine.Step(time.Hour)
	d.Wait(time.Second).Press("!m").Shows("The board's time moves +60 min").Press("<enter>")
	d.Shows("Fri 03:10").Hides("Clock stepped")
	require.InDelta(t, was.Seconds(), left().Seconds(), 2)
	d = again(t, j, d.Machine)
	d.Wait(time.Second).Shows("Fri 03:10").Hides("Clock stepped")
}

// A step while no board ran is told from the machine's own count.
func TestAStepWhileNoBoardRan(t *testing.T) {
	d, j := onMachine(t, "02:10", 80, 24)
	d.Machine.Pass(10 * time.Minute)
	d.Machine.Step(-2 * time.Hour)
	d = again(t, j, d.Machine)
	d.Wait(time.Second).Shows("Fri 02:20", "-2 h 00")
	require.Contains(t, lastTold(t, d.State()).Text, "while no board ran")
}

// After the machine itself was started again nobody knows how much time has passed:
// the later reading counts, and both are shown.
func TestARestartAfterAStep(t *testing.T) {
	d, j := onMachine(t, "02:10", 80, 24)
	d.Machine.Step(time.Hour)
	d.Wait(time.Second)
	d.Machine.Restart(d.Machine.Wall.Add(5 * time.Minute))
	d = again(t, j, d.Machine)
	d.Wait(time.Second).Shows("Restarted: is it 03:15 or 02:15?", "Fri 03:15")
	d.Press("!m<enter>").Shows("Fri 02:15").Hides("Started again")
}

// TestTrustRow05RTCAt1970: a dead clock. The board opens, alarms go by the last
// entry, entries wait with a sentence, and go on once a person has said the time.
func TestTrustRow05RTCAt1970(t *testing.T) {
	_, j := onMachine(t, "02:10", 80, 24)
	m := tuitest.NewMachine(time.Unix(10, 0).UTC())
	m.BootID = "after the cut"
	d := again(t, j, m)
	d.Wait(time.Second).Shows("NO TIME: machine says Thu 1 Jan 1970 01:00", "Fri 02:10 CEST ?", "▲ 102  TEST")
	tuitest.Golden(t, "clock/rtc-1970-80x24", d.Screen())
	before := d.State().Seq
	d.Press("102r15.4<enter>").Shows("the board does not know the time", "15.4")
	d.Press("<esc>").Press("a").Shows("set the right time first")
	d.Press("102t").Press("n").Press("<esc>")
	require.Equal(t, before, d.State().Seq, "nothing is written meanwhile")
	d.Wait(5*time.Minute).Shows("Fri 02:15 CEST ?", "15 min late")

	d.Press("!").Shows("What time is it?").Words("0205").Press("<enter>")
	d.Shows("02:05 is before the last entry")
	d.Press("<backspace><backspace><backspace><backspace>").Words("2026-09-25 0341").Press("<enter>")
	d.Hides("NO TIME").Shows("Fri 03:41 CEST   MA", "▲ 102  TEST  1 h 41 late")
	d.Press("102r<enter>")
	v, _ := d.State().Vessel("102")
	require.Equal(t, "15.4 °C", v.Now.Last.Temp.Text(0), "the draft was kept")
	require.True(t, d.State().LastAt.Equal(clock(t, "03:41")))
	d = again(t, j, m)
	d.Wait(time.Second).Hides("NO TIME").Shows("Fri 03:41")
}

// A machine that finds the time by itself, from a network, is still asked about,
// with the answer ready; nothing is raised late meanwhile.
func TestANetworkPutsTheClockRight(t *testing.T) {
	_, j := onMachine(t, "02:10", 80, 24)
	m := tuitest.NewMachine(time.Unix(10, 0).UTC())
	m.BootID = "after the cut"
	d := again(t, j, m)
	d.Wait(time.Second).Shows("NO TIME")
	m.Wall = clock(t, "03:30")
	d.Wait(time.Second).Shows("NO TIME", "90 min late")
	d.Press("!m<enter>").Hides("NO TIME").Shows("Fri 03:30")
}

// Up to two minutes behind the last entry nobody is asked anything.
func TestTrustRow05AMinuteBehind(t *testing.T) {
	_, j := onMachine(t, "02:10", 80, 24)
	m := tuitest.NewMachine(clock(t, "02:08").Add(30 * time.Second))
	m.BootID = "after the cut"
	d := again(t, j, m)
	d.Wait(time.Second).Hides("NO TIME").Shows("Fri 02:10")
	d.Press("102r15.4<enter>").Shows("saved")
}

// What befell the clock is written by and by when the disk is full, and alarms do
// not wait for it.
func TestAClockNoteIsTriedAgain(t *testing.T) {
	d, j := onMachine(t, "02:10", 80, 24)
	j.FailNext(errors.New("no space left on device"))
	d.Machine.Step(time.Hour)
	d.Wait(time.Second).Shows("NOT SAVED")
	require.Empty(t, d.State().Time.Lines)
	for range 10 {
		d.Wait(time.Second)
	}
	require.Len(t, d.State().Time.Lines, 1)
	d.Hides("NOT SAVED")
}

// A board with a clock of its own has nothing to corrected.
func TestARehearsalHasAClockOfItsOwn(t *testing.T) {
	d := sit(t, "02:10", 80, 24)
	d.Press("!").Shows("keeps its own clock")
}
