package tui_test

import (
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/stage"
	"cellar.example/mustwatch/domain/subject"
	"cellar.example/mustwatch/store/memory"
	"cellar.example/mustwatch/tui"
	"cellar.example/mustwatch/tui/keys"
	"cellar.example/mustwatch/tui/screen/board"
	"cellar.example/mustwatch/tui/tuitest"
)

// faces are ways to each screen, form and overlay from the board.
var faces = map[string]string{
	"board": "", "quiet opened": "v", "what is due": "<right><down>", "vessel": "102<enter>",
	"vessel further down": "102<enter><pgdown>",
	"dose":                "106d", "reading": "102r", "check": "102c", "check running": "108c", "move": "104m",
	"stage": "106s",
	"press": "P1p",
	"juice": "P2f", "load": "g", "note": "102n", "hold": "104o", "release": "209o", "clock": "102t", "product": "u",
	"correct": "x", "shift": "e",
	"why": "102w", "keys": "?", "sheet": "y", "who": "i", "find": "/", "found": "/sauv<enter>",
	"nothing found": "/zzz<enter>",
	"wall":          "b", "wall, answered": "b<space>", "keys of the wall": "b?",
}

// TestEveryFrameIsItsBox opens every face at every size, down to windows in
// which nothing can be worked, and lets an alarm ring over it. The desk checks
// each frame.
func TestEveryFrameIsItsBox(t *testing.T) {
	j, s := night(t, "02:10")
	for name, script := range faces {
		d := tuitest.Sit(t, tui.Options{Journal: j, State: s, Person: "MA", Demo: true}, clock(t, "02:10"), 120, 40)
		d.Press(script)
		for _, box := range [][2]int{{80, 24}, {81, 25}, {100, 30}, {109, 24}, {110, 50}, {120, 40}, {160, 45},
			{200, 60}, {79, 24}, {80, 23}, {20, 5}, {1, 1}, {80, 24}} {
			d.Resize(box[0], box[1])
		}
		require.NotContains(t, d.Screen(), "%!", name)
	}
}

// TestTrustRow08AlarmLineStandsOnEveryFace: what is due is said on every screen, form and
// overlay, and keys are never stolen by it.
func TestTrustRow08AlarmLineStandsOnEveryFace(t *testing.T) {
	for name, script := range faces {
		if strings.HasPrefix(name, "wall") {
			continue // it says so in figures
		}
		d := sit(t, "02:17", 80, 24, "E115")
		d.Press(script)
		d.Wait(2 * time.Minute)
		require.Contains(t, d.Screen(), "▲ 601  COOL DOWN", name)
	}
	d := sit(t, "02:17", 80, 24, "E115")
	d.Press("102n").Words("still typ")
	d.Wait(2 * time.Minute)
	d.Words("ing")
	d.Shows("still typing", "▲ 601")
}

// TestLatenessCountsUpUntilAnswered: due, acknowledged by name, still due, answered by
// its action.
func TestLatenessCountsUpUntilAnswered(t *testing.T) {
	d := sit(t, "02:16", 120, 40, "E113", "E115", "E116")
	write(t, d, &cellar.MoveClock{Head: cellar.Head{By: "MA"}, Subject: subject.Bare("601"), Due: clock(t, "03:00"),
		Reason: "out of the way"})
	d.Shows("▲ 102  TEST  16 min late")
	d.Press("a")
	d.Wait(time.Minute).Shows("acknowledged by MA 02:16", "17 min late")
	d.Wait(5 * time.Minute).Shows("22 min late")
	d.Press("102c<enter>")
	d.Hides("102  test  +22")
	d.Shows("read tubes in 5 min")
	d.Wait(5*time.Minute).Shows("▲ 102  READ", "void in 5 min")
	d.Press("<space>").Press("cf<enter>")
	v, _ := d.State().Vessel("102")
	require.False(t, v.Now.PectinGone.IsZero())
	d.Shows("6h ago negative")
}

// TestCleanIsForATime: an empty vessel says until when it counts as clean, and in
// the codes of its band that it no longer does.
func TestCleanIsForATime(t *testing.T) {
	d := sit(t, "02:10", 120, 40)
	d.Press("105<enter>").Shows("empty clean since 00:30, counts as clean until Sat 00:30")
	d.Press("<esc>").Hides("105 (rinse)")
	write(t, d, &cellar.SetHouse{Head: cellar.Head{By: "MA"},
		House: cellar.House{Limits: cellar.Limits{CleanFor: quantity.Span(time.Hour)}}})
	d.Shows("105 (rinse)")
	d.Press("105<enter>").Shows("empty clean since 00:30, too long ago: rinse it again")
}

// TestWhatCameDueMeanwhile: after a restart the list says what came due while
// nobody looked, each with its lateness, without a key.
func TestWhatCameDueMeanwhile(t *testing.T) {
	j, s := night(t, "01:16")
	p := &memory.Pulse{}
	require.NoError(t, p.Beat(clock(t, "01:17")))
	d := tuitest.Sit(t, tui.Options{Journal: j, State: s, Person: "MA", Pulse: p}, clock(t, "01:52"), 80, 24)
	d.Shows("01:17", "01:52", "35 min")
	require.Regexp(t, `01:50\s+108\s+test\s+2 min late`, d.Screen())
	d.Shows("P2 was pressing", "P4 was pressing")
	d.Press("<esc>").Shows("▲ 108  TEST  2 min late")
}

// TestTrustRow17OneBellForAFlood: sixty clocks in a minute are one list; what rang does
// not ring again.
func TestTrustRow17OneBellForAFlood(t *testing.T) {
	j, s := night(t, "02:10")
	hear, bell, err := os.Pipe()
	require.NoError(t, err)
	d := tuitest.Sit(t, tui.Options{Journal: j, State: s, Person: "MA", Out: bell}, clock(t, "02:10"), 120, 40)
	for i := 0; i < 60; i++ {
		write(t, d, &cellar.SetClock{Head: cellar.Head{By: "MA"}, Subject: subject.Bare(fmt.Sprintf("job %d", i)),
			Verb: "look", Due: d.Now.Add(time.Minute + time.Duration(i)*time.Second/2)})
	}
	d.Wait(2 * time.Minute)
	d.Shows("61 NOT ACKNOWLEDGED", "and 60 more")
	d.Press("<right><end>")
	d.Wait(time.Minute)
	require.NoError(t, bell.Close())
	rung, err := io.ReadAll(hear)
	require.NoError(t, err)
	require.Equal(t, "\a", string(rung), "one bell for all of them, and none for what rang before")
}

// TestAFailedAppendLosesNothing: the banner stays, the form comes back as it was
// typed, and Enter tries again.
func TestAFailedAppendLosesNothing(t *testing.T) {
	j, s := night(t, "02:11")
	d := tuitest.Sit(t, tui.Options{Journal: j, State: s, Person: "MA"}, clock(t, "02:11"), 80, 24)
	before := s.Seq
	j.FailNext(errors.New("no space left on device"))
	d.Press("102r15.4<enter>")
	d.Shows("NOT SAVED", "no space left", "15.4")
	require.Equal(t, before, s.Seq)
	d.Press("<enter>")
	d.Hides("NOT SAVED")
	v, _ := d.State().Vessel("102")
	require.Equal(t, "15.4 °C", v.Now.Last.Temp.Text(0))
}

// TestADraftWaits: leaving a form loses nothing, and it stands there again.
func TestADraftWaits(t *testing.T) {
	d := sit(t, "02:11", 80, 24)
	d.Press("102n").Words("the valve of the jacket is stiff").Press("<esc>")
	d.Shows("draft kept")
	d.Press("106d<esc>").Press("102n").Shows("the valve of the jacket is stiff", "ctrl+u twice clears the form")
	d.Press("<ctrl+u><ctrl+u><esc>").Hides("draft kept")
	d.Press("102n").Hides("the valve of the jacket is stiff")
}

// TestGarbageIsHarmless: pastes, bursts and control characters do not write,
// quit or tear a frame.
func TestGarbageIsHarmless(t *testing.T) {
	d := sit(t, "02:11", 80, 24)
	before := d.State().Seq
	d.Send(tuitest.Paste("d1\x1b[31mq\x07\x00qq\n\n102d"))
	require.False(t, d.Quit)
	d.Press("102r")
	d.Send(tuitest.Paste("\x1b]0;x\x07 108 °C\r\n\t" + strings.Repeat("9", 4000)))
	d.Press("<enter>")
	require.Equal(t, before, d.State().Seq, d.Screen())
	d.Press("<esc><esc>")
	d.Send(tuitest.Burst("106r12.5"))
	d.Press("<enter>")
	v, _ := d.State().Vessel("106")
	require.Equal(t, "12.5 °C", v.Now.Last.Temp.Text(0), "a burst is keys one by one")
}

// TestTheScriptStopsWhenAPersonWrites: played lines go through the same Decide,
// and a person's entry ends them.
func TestTheScriptStopsWhenAPersonWrites(t *testing.T) {
	j, s := night(t, "02:10")
	asked := 0
	script := func(now time.Time) []cellar.Command {
		asked++
		if asked > 1 {
			return nil
		}
		return []cellar.Command{&cellar.WriteNote{Head: cellar.Head{By: "NS", At: now}, Subject: subject.Bare("102"),
			Text: "from the script"}}
	}
	d := tuitest.Sit(t, tui.Options{Journal: j, State: s, Person: "MA", Script: script}, clock(t, "02:10"), 80, 24)
	notes := len(s.OpenNotes(s.Known("102")))
	d.Wait(time.Second)
	require.Len(t, s.OpenNotes(s.Known("102")), notes+1)
	d.Press("102r15<enter>")
	n := asked
	d.Wait(time.Second)
	require.Equal(t, n, asked)
}

// TestQuitWaitsForWhatIsBeingWritten is in the write path: the program ends
// after the append in flight, not before.
func TestQuitWaitsForWhatIsBeingWritten(t *testing.T) {
	d := sit(t, "02:10", 80, 24)
	d.Press("q")
	require.True(t, d.Quit)
}

// TestRightsAndSecondPersons: a stop is lifted by whoever may, with a reason.
func TestAStopIsLiftedByWhoMay(t *testing.T) {
	d := sit(t, "20:45", 80, 24, "E044")
	d.Press("102d1"+"2<tab><enter>").Shows("Stopped", "H07", "576 g")
	d.Press("g").Shows("Override by", "Second person", "Reason")
	d.Press("<enter>").Shows("> Second person").Press("<enter>").Shows("needed")
	d.Press("<tab>")
	d.Press("<esc><esc>")
}

// TestNoTwoKeysCollide: the board's table and the common one.
func TestNoTwoKeysCollide(t *testing.T) {
	_, s := night(t, "02:10")
	d := tuitest.Sit(t, tui.Options{State: s}, clock(t, "02:10"), 80, 24)
	b := &board.Board{}
	require.Empty(t, keys.Collisions(b.Keys(d.Root.Sight()), keys.Common()))
}

// TestKeysSayWhyTheyAreOff: a key that cannot work now says why.
func TestKeysSayWhyTheyAreOff(t *testing.T) {
	d := sit(t, "02:20", 80, 24)
	d.Press("210d").Shows("210 is empty clean")
	d.Press("P3d").Shows("put the cursor on a tank first")
	d.Press("a").Shows("nothing is due")
}

// TestANumberMistyped: a figure that leads nowhere moves the cursor back to where it
// was, and the key that was meant for the mistyped tank acts on none.
func TestANumberMistyped(t *testing.T) {
	d := sit(t, "02:10", 120, 40)
	d.Press("102").Press("17820").Shows("There is no 17820 here")
	d.Press("m").Shows("Type the number again").Hides("Move from")
	d.Press("m").Shows("Move from 102").Press("<esc>")
	d.Press("209" + "104" + "r").Shows("104")
	d.Press("<esc>").Press("20" + "9" + "9").Shows("There is no 9 here").Press("<esc>").Press("<enter>").Shows(
		"209  Sauvignon")
}

// TestANumberOnAPage: a number typed on a vessel's page goes to that vessel; half of one
// acts on none.
func TestANumberOnAPage(t *testing.T) {
	d := sit(t, "02:10", 120, 40)
	d.Press("307<enter>").Shows("307  ").Press("101").Shows("101  ").Press("s").Shows("101 empty clean since").Press(
		"<esc>")
	d.Press("10").Press("s").Shows("Type the full number; this is still 101").Hides("101 empty clean since")
	d.Press("99").Shows("There is no 99").Press("<esc>").Press("s").Shows("101 empty clean since")
}

// TestTheLoadAtTheGate: g away from a load proposes the one that is due, with what was
// booked of it, and another number brings what was booked of that.
func TestTheLoadAtTheGate(t *testing.T) {
	d := sit(t, "02:10", 120, 40)
	d.Press("102g").Shows("0416", "(booked 02:00)", "Chardonnay")
	d.Press("0418").Shows("Riesling").Hides("Chardonnay  ")
	d.Press("<esc>")
	d = sit(t, "22:00", 120, 40)
	d.Press("102g").Shows("(next number)").Press("<esc>")
}

// TestWhatStandsIsTold: a load that waits, a press that is being filled from a tank.
func TestWhatStandsIsTold(t *testing.T) {
	d := sit(t, "04:00", 120, 40)
	d.Wait(5 * time.Minute).Shows("waits 0417 tip")
	d = sit(t, "22:20", 120, 40)
	d.Shows("501 runs in")
}

// TestFindsALot: by the number of a product lot or of a load that is in a vessel.
func TestFindsALot(t *testing.T) {
	d := sit(t, "22:20", 120, 40)
	d.Press("/E-2240<enter>").Shows("106  Gren. rosé").Hides("104  Sauvignon").Press("<esc>")
	d.Press("/0409<enter>").Shows("108  Chardonnay").Hides("104  Sauvignon")
}

// TestWhyOfWhatGoesOn: hot must before it is cooled down, and the other route.
func TestWhyOfWhatGoesOn(t *testing.T) {
	d := sit(t, "02:10", 120, 40)
	d.Press("601w").Shows("rack or move   not yet: it is held hot: cool down at 02:18.").Press("<esc>")
	d.Press("104w").Shows("float          yes, if you say why: it was to go another way.")
}

// TestFirstRun: a stranger without a journal is told what to do.
func TestFirstRun(t *testing.T) {
	d := tuitest.Sit(t, tui.Options{Missing: "cellar.db"}, time.Date(2026, 9, 1, 0, 0, 0, 0, time.UTC), 80, 24)
	d.Shows("mustwatch demo", "init --example", "cellar.db")
	d.Press("d").Press("<enter>")
	require.True(t, d.Quit)
}

// TestGoldens are the screens as text, at three sizes.
func TestGoldens(t *testing.T) {
	for _, g := range []struct{ name, at, keys string }{
		{"board", "02:10", ""}, {"vessel", "02:20", "102<enter>"}, {"dose", "22:09", "106d11.6<tab>14.8"},
		{"check", "02:15", "102c"},
		{"stopped", "23:35", "104d" + "54<enter>"}, {"why", "02:20", "102w"},
	} {
		for _, size := range [][2]int{{80, 24}, {120, 40}, {200, 60}} {
			d := sit(t, g.at, size[0], size[1])
			d.Press(g.keys)
			tuitest.Golden(t, fmt.Sprintf("%s-%dx%d", g.name, size[0], size[1]), d.Screen())
		}
	}
}

// TestQuitWritesWhatIsQueued: what is in flight and what waits behind it are
// written before the program ends, and nothing new is taken.
func TestQuitWritesWhatIsQueued(t *testing.T) {
	j, s := night(t, "02:10")
	script := func(now time.Time) []cellar.Command {
		return []cellar.Command{&cellar.WriteNote{Head: cellar.Head{By: "NS", At: now}, Text: "script 1"},
			&cellar.WriteNote{Head: cellar.Head{By: "NS", At: now}, Text: "script 2"}}
	}
	d := tuitest.Sit(t, tui.Options{Journal: j, State: s, Person: "MA", Script: script}, clock(t, "02:10"), 80, 24)
	_, cmd := d.Root.Update(d.Root.Beat()) // the first line is in flight, the second one queued
	d.Press("q")
	require.False(t, d.Quit, "not while it is being written")
	d.Run(cmd)
	require.True(t, d.Quit)
	require.Equal(t, "script 2", s.Notes[len(s.Notes)-1].Text)
}

// TestQuitNamesWhatIsNotWritten: a draft is lost by the program's end, so the
// first key says so; any other key takes the warning back.
func TestQuitNamesWhatIsNotWritten(t *testing.T) {
	d := sit(t, "02:11", 120, 40)
	d.Press("102n").Words("the valve is stiff").Press("<esc>")
	d.Press("q").Shows("not saved: note 102")
	require.False(t, d.Quit)
	d.Press("v")
	d.Press("q")
	require.False(t, d.Quit, "the warning had been taken back")
	d.Press("q")
	require.True(t, d.Quit)

	d = sit(t, "02:11", 120, 40)
	d.Press("102r15").Press("<ctrl+c>").Shows("not saved: Reading of 102")
	require.False(t, d.Quit)
	d.Press("<ctrl+c>")
	require.True(t, d.Quit)
}

// TestTheOtherRouteIsAskedAbout: the reason typed in the form is the answer's, so
// the question costs two keys.
func TestTheOtherRouteIsAskedAbout(t *testing.T) {
	d := sit(t, "05:55", 120, 40)
	d.Press("103s").Press("settling").Press("<tab>no nitrogen").Shows("D08 The route of 103 is float")
	d.Press("<enter>").Shows("Checks before this is saved", "The route of 103 is float")
	d.Press("g").Shows("no nitrogen", "from the form").Press("<enter>")
	v, _ := d.State().Vessel("103")
	require.Equal(t, stage.Settling, v.Now.Stage, d.Screen())
	require.Equal(t, cellar.RouteSettle, d.State().RouteOf(v))
}

// TestTheSheetIsWrittenFromTheBoard: nobody has to leave the board to print; a
// place that takes no file is said, and nothing else is lost.
func TestTheSheetIsWrittenFromTheBoard(t *testing.T) {
	j, s := night(t, "05:55")
	var name, text string
	var fails error
	d := tuitest.Sit(t, tui.Options{Journal: j, State: s, Person: "MA", Save: func(n, x string) (string, error) {
		name, text = n, x
		return "/cellar/" + n, fails
	}}, clock(t, "05:55"), 120, 40)
	d.Press("y").Shows("p save to a file").Press("p").Shows("saved: the sheet, in /cellar/handover-2026-09-25-0555.txt")
	require.Equal(t, "handover-2026-09-25-0555.txt", name)
	require.Contains(t, text, "DO NOT TOUCH")
	for e := range d.State().LatestEvents {
		require.Contains(t, e.Text, "the sheet was printed, up to entry", "it is noted that MA has it")
		require.Equal(t, cellar.Initials("MA"), e.By)
		break
	}
	fails = errors.New("no space left on device")
	d.Press("yp").Shows("the sheet is NOT saved: no space left")
}
