package tui_test

import (
	"io"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/subject"
	"cellar.example/mustwatch/store/memory"
	"cellar.example/mustwatch/tui"
	"cellar.example/mustwatch/tui/tuitest"
)

// realHouse is a house that is no rehearsal, with one clock due at 22:00.
func realHouse(t *testing.T) (cellar.Journal, *cellar.State) {
	t.Helper()
	j, s := memory.New(), cellar.NewState()
	when := clock(t, "21:00")
	for _, line := range []string{
		`{"do":"house","name":"Test house","zone":"Europe/Paris","units":"metric","people":[{"initials":"MA",` +
			`"name":"M","roles":["lead"]},{"initials":"NS","name":"N","roles":["tank"]}],"escalate":{"call":["NS"],` +
			`"call_after":"10m"}}`,
		`{"do":"clock","by":"MA","subject":"101","verb":"look","in":"1h"}`,
	} {
		c, err := cellar.ParseLine([]byte(line))
		require.NoError(t, err)
		facts, err := cellar.Decide(s, c, when)
		require.NoError(t, err)
		recs := cellar.Records(c, facts, when, "test")
		_, err = j.Append(t.Context(), s.Seq, recs...)
		require.NoError(t, err)
		for i := range recs {
			recs[i].Seq = s.Seq + 1
			cellar.Apply(s, recs[i])
		}
	}
	return j, s
}

// TestNobodyTakesIt: the bell again at 5 and 15 minutes, the next person named.
func TestNobodyTakesIt(t *testing.T) {
	j, s := realHouse(t)
	hear, bell, err := os.Pipe()
	require.NoError(t, err)
	d := tuitest.Sit(t, tui.Options{Journal: j, State: s, Person: "MA", Out: bell}, clock(t, "21:59"), 120, 40)
	d.Wait(2 * time.Minute).Shows("▲ 101  LOOK  1 min late")
	d.Wait(4 * time.Minute).Hides("CALL")
	d.Wait(5 * time.Minute).Shows("NOT ACKNOWLEDGED FOR 10 min: CALL NS")
	d.Wait(2 * time.Minute).Wait(time.Minute).Wait(time.Minute)
	require.NoError(t, bell.Close())
	rung, _ := io.ReadAll(hear)
	require.Equal(t, 3, strings.Count(string(rung), "\a"), "when it came, at 5, at 10 with the name")
}

// TestWhatWasWrittenLateCallsNobodyAtOnce: a clock whose due has passed when it is
// written says how late it is, rings once, and is followed up from then.
func TestWhatWasWrittenLateCallsNobodyAtOnce(t *testing.T) {
	j, s := realHouse(t)
	hear, bell, err := os.Pipe()
	require.NoError(t, err)
	d := tuitest.Sit(t, tui.Options{Journal: j, State: s, Person: "MA", Out: bell}, clock(t, "21:30"), 120, 40)
	write(t, d, &cellar.SetClock{Head: cellar.Head{At: clock(t, "21:05"), By: "MA"}, Subject: subject.Bare("106"),
		Verb: "end run", Due: clock(t, "21:10")})
	d.Wait(time.Second).Shows("▲ 106  END RUN  20 min late").Hides("CALL", "NOT ACKNOWLEDGED")
	d.Wait(9 * time.Minute).Hides("NOT ACKNOWLEDGED")
	d.Wait(time.Minute).Shows("▲ 106  END RUN  30 min late", "NOT ACKNOWLEDGED FOR 10 min: CALL NS")
	require.NoError(t, bell.Close())
	rung, _ := io.ReadAll(hear)
	require.Equal(t, 3, strings.Count(string(rung), "\a"), "when it was written, at 5, at 10 with the name")
}

// TestSeenAndLeftComesBack: with the bell, after half an hour, named as what it is;
// then it is seen again.
func TestSeenAndLeftComesBack(t *testing.T) {
	j, s := realHouse(t)
	hear, bell, err := os.Pipe()
	require.NoError(t, err)
	d := tuitest.Sit(t, tui.Options{Journal: j, State: s, Person: "MA", Out: bell}, clock(t, "22:00"), 120, 40)
	d.Press("a").Wait(29 * time.Minute).Shows("▲ 101  look  29 min late  acknowledged by MA 22:00").Hides("CALL")
	d.Wait(2 * time.Minute).Shows("▲ 101  LOOK  31 min late  acknowledged by MA 22:00").Hides("NOT DONE")
	d.Wait(10 * time.Minute).Shows("▲ 101  LOOK  41 min late  acknowledged by MA 22:00  NOT DONE: CALL NS")
	d.Press("a").Wait(time.Minute).Shows("▲ 101  look  42 min late  acknowledged by MA 22:41").Hides("CALL")
	require.NoError(t, bell.Close())
	rung, _ := io.ReadAll(hear)
	require.GreaterOrEqual(t, strings.Count(string(rung), "\a"), 2, "when it came back, and with the name")
}

// TestWhoIsAtTheKeysIsNotCalled: who writes sees the line; without another it says
// no more than that nobody has answered.
func TestWhoIsAtTheKeysIsNotCalled(t *testing.T) {
	j, s := realHouse(t)
	d := tuitest.Sit(t, tui.Options{Journal: j, State: s, Person: "NS"}, clock(t, "22:09"), 120, 40)
	write(t, d, &cellar.WriteNote{Head: cellar.Head{By: "NS"}, Text: "hose on 3 leaks"})
	d.Wait(2 * time.Minute).Shows("NOT ACKNOWLEDGED FOR 11 min").Hides("CALL")
	d.Wait(4 * time.Minute).Shows("NOT ACKNOWLEDGED FOR 15 min: CALL NS")
}

// TestStepsOfBeforeAreNotTakenAgain: after a start only what came due since the
// last beat is done.
func TestStepsOfBeforeAreNotTakenAgain(t *testing.T) {
	for last, want := range map[string]int{"22:30": 0, "22:05": 1} {
		j, s := realHouse(t)
		p := &memory.Pulse{}
		require.NoError(t, p.Beat(clock(t, last)))
		hear, bell, err := os.Pipe()
		require.NoError(t, err)
		d := tuitest.Sit(t, tui.Options{Journal: j, State: s, Person: "MA", Pulse: p, Out: bell}, clock(t, "22:40"),
			120, 40)
		d.Wait(time.Second)
		require.NoError(t, bell.Close())
		rung, _ := io.ReadAll(hear)
		require.Equal(t, want, strings.Count(string(rung), "\a"), last)
	}
}

// TestTrustRow18MutedBell (trust, row 18): muted is shown, nothing rings, and the top line
// goes on counting.
func TestTrustRow18MutedBell(t *testing.T) {
	j, s := realHouse(t)
	hear, bell, err := os.Pipe()
	require.NoError(t, err)
	d := tuitest.Sit(t, tui.Options{Journal: j, State: s, Person: "MA", Out: bell}, clock(t, "21:59"), 80, 24)
	d.Press(",").Shows("bell muted")
	d.Wait(2*time.Minute).Shows("bell muted", "▲ 101  LOOK")
	d.Wait(9 * time.Minute).Shows("NOT ACKNOWLEDGED")
	d.Press(",").Hides("bell muted")
	require.NoError(t, bell.Close())
	rung, _ := io.ReadAll(hear)
	require.Empty(t, rung)
}

// TestReminderFromTheClockForm: snoozed by the form, gone from the top line, and
// back by itself with the bell and with who put it off.
func TestReminderFromTheClockForm(t *testing.T) {
	j, s := realHouse(t)
	d := tuitest.Sit(t, tui.Options{Journal: j, State: s, Person: "MA"}, clock(t, "22:01"), 120, 40)
	d.Press("<space>").Press("1s+10<tab>").Words("the pump runs").Press("<enter>")
	d.Shows("22:11 101  look again")
	d.Wait(time.Minute).Shows("Snoozed: 101 look, due 22:00, again 22:11")
	d.Wait(9*time.Minute).Shows("▲ 101  LOOK  11 min late", "snoozed 1 of 3 by MA")
	require.Equal(t, quantity.Span(11*time.Minute),
		quantity.Span(d.State().ClocksOf(d.State().Known("101"))[0].Overdue(d.Now)))
}
