package cellar_test

import (
	"errors"
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
)

// rebase is a line that gives a clock another due.
func rebase(when, subject, verb, due string) string {
	return fmt.Sprintf(`%s NS {"do":"clock-move","subject":%q,"verb":%q,"due":%q,"reason":"colder"}`, when, subject,
		verb, at(due).Format(time.RFC3339))
}

func (h *house) refused(t *testing.T, line, field string, says ...string) {
	t.Helper()
	before := h.s.Seq
	var rej *cellar.Rejection
	err := h.hear(line)
	require.Truef(t, errors.As(err, &rej), "%s: want a rejection, got %v", line, err)
	require.Equal(t, field, rej.Field, rej.Message())
	for _, words := range says {
		require.Contains(t, rej.Message(), words)
	}
	require.Equal(t, before, h.s.Seq, "nothing is written")
}

// TestTubesCallUntilTheyAreRead: the clock of a running check is not ticked off,
// not taken off without a reason and not put past void; a second look is one as well.
func TestTubesCallUntilTheyAreRead(t *testing.T) {
	begun := []string{`22:00 NS {"do":"pectin-test","vessel":"101"}`}
	for _, c := range []struct {
		given []string
		verb  string
	}{
		{begun, "read"},
		{append(append([]string{}, begun...), `22:05 NS {"do":"pectin-test-read","vessel":"101",`+
			`"sample":"faint haze","control":"flocs"}`), "check haze"},
	} {
		h := openHouse(t)
		h.say(t, c.given...)
		h.refused(t, rebase("22:06", "101", c.verb, "04:00"), "due", "void after 22:10")
		h.refused(t, rebase("22:06", "101", c.verb, "22:11"), "due", "void after 22:10")
		h.refused(t, fmt.Sprintf(`22:06 NS {"do":"clock-move","subject":"101","verb":%q,"done":true}`, c.verb), "clock",
			"not read yet")
		h.refused(t, fmt.Sprintf(`22:06 NS {"do":"clock-move","subject":"101","verb":%q,"off":true}`, c.verb), "reason",
			"say why")
		h.say(t, rebase("22:06", "101", c.verb, "22:09"))
		require.Len(t, h.s.Alarms(at("22:09")), 1)
		h.say(t, `22:30 NS {"do":"pectin-test","vessel":"101"}`)
		require.Equal(t, "22:35", dueOf(t, h, "101"), "another check calls instead")
	}
	h := openHouse(t)
	h.say(t, begun[0], `22:02 NS {"do":"clock-move","subject":"101","verb":"read","off":true,"reason":"tube broke"}`)
	require.Empty(t, h.s.ClocksOf(h.s.Known("101")))
}

// TestAReadingClockWithoutACheck: one taken over at the opening, or set by hand,
// has no tubes behind it and is ticked off.
func TestAReadingClockWithoutACheck(t *testing.T) {
	h := openHouse(t)
	h.say(t, `20:00 NS {"do":"clock","subject":"101","verb":"read","in":"5m","kind":"reading"}`,
		`20:05 NS {"do":"clock-move","subject":"101","done":true}`)
	require.Empty(t, h.s.ClocksOf(h.s.Known("101")))
}

func promise(when, subject, text, until string) string {
	return fmt.Sprintf(`%s NS {"do":"note","subject":%q,"text":%q,"what":"promise","for":"OF","until":%q}`, when,
		subject, text, at(until).Format(time.RFC3339))
}

// TestAPromiseEndsItsOwnClock: also when that was put elsewhere, and with another
// promise of the same subject and time beside it.
func TestAPromiseEndsItsOwnClock(t *testing.T) {
	h := openHouse(t)
	h.say(t, promise("20:00", "chiller", "calls back", "22:00"))
	h.say(t, rebase("20:30", "chiller", "promise", "23:00"))
	require.Equal(t, "23:00", h.s.Clock(h.s.OpenNotes(h.s.Known("chiller"))[0].Until),
		"the sheet says what the clock says")
	h.say(t, `20:40 NS {"do":"note-done","subject":"chiller"}`)
	require.Empty(t, h.s.ClocksOf(h.s.Known("chiller")))

	h.say(t, promise("21:00", "chiller", "brings the fuse", "22:00"), promise("21:00", "chiller", "brings the key",
		"22:00"))
	for _, k := range h.s.ClocksOf(h.s.Known("chiller")) {
		n, ok := h.s.PromiseOf(k)
		require.True(t, ok)
		require.Equal(t, h.s.Words(k.Basis), n.Text)
	}
	for i, left := range []string{"brings the fuse", ""} {
		h.say(t, fmt.Sprintf(`21:10 NS {"do":"note-done","note":%q}`, h.s.Notes[len(h.s.Notes)-1-i].ID))
		open := ""
		for _, k := range h.s.ClocksOf(h.s.Known("chiller")) {
			open += h.s.Words(k.Basis)
		}
		require.Equal(t, left, open)
	}
}

// TestAPromiseOfAnOlderJournal: the note does not say which clock it made; one
// note ends one clock, the one with its words.
func TestAPromiseOfAnOlderJournal(t *testing.T) {
	h := openHouse(t)
	keep := func(line string) {
		c, err := cellar.ParseLine([]byte(line[len("21:00 NS "):]))
		require.NoError(t, err)
		head := cellar.HeadOf(c)
		head.By, head.At = "NS", at("21:00")
		facts, err := cellar.Decide(h.s, c, at("21:00"))
		require.NoError(t, err)
		for _, r := range cellar.Records(c, facts, at("21:00"), "test") {
			if n, ok := r.Fact.(*cellar.Noted); ok {
				n.Clock = ""
			}
			r.Seq = h.s.Seq + 1
			cellar.Apply(h.s, r)
		}
	}
	keep(promise("21:00", "chiller", "brings the fuse", "22:00"))
	keep(promise("21:00", "chiller", "brings the key", "22:00"))
	h.say(t, `21:10 NS {"do":"note-done","subject":"chiller","of":17}`)
	require.Len(t, h.s.ClocksOf(h.s.Known("chiller")), 1)
	require.Equal(t, "brings the fuse", h.s.Words(h.s.ClocksOf(h.s.Known("chiller"))[0].Basis))
	h.say(t, rebase("21:20", "chiller", "promise", "23:00"), `21:30 NS {"do":"note-done","subject":"chiller"}`)
	require.Empty(t, h.s.ClocksOf(h.s.Known("chiller")))
}

// TestThePressEndsWhenItsClockSays: put elsewhere, the press's row says so too, and
// after a standstill it goes on from there; a break and the shift's end likewise.
func TestThePressEndsWhenItsClockSays(t *testing.T) {
	h := openHouse(t)
	h.say(t, pressing...) // 19:20 to 21:20
	h.say(t, rebase("19:30", "P1", "empty", "22:00"))
	p, _ := h.s.Press("P1")
	require.Equal(t, "22:00", h.s.Clock(p.End))
	h.say(t, `20:00 NS {"do":"press-stop","press":"P1","reason":"hose"}`, `20:30 NS {"do":"press-resume","press":"P1"}`)
	require.Equal(t, "22:30", dueOf(t, h, "P1"))
	require.Equal(t, "22:30", h.s.Clock(p.End))

	h.say(t, shiftToSix, `20:00 OF {"do":"break","for":"30m"}`, rebase("20:10", "OF", "back", "21:00"), rebase("20:10",
		"shift", "hand over", "05:00"))
	for _, who := range h.s.OnSite() {
		if who.Who == "OF" {
			require.Equal(t, "21:00", h.s.Clock(who.Back))
		}
	}
	require.Equal(t, "05:00", h.s.Clock(h.s.Shift.Ends))
}

// late gives a line that is dated back: written at now, so at its own time.
func (h *house) late(t *testing.T, now, line string) error {
	t.Helper()
	c, err := cellar.ParseLine([]byte(line[len("20:00 NS "):]))
	require.NoError(t, err)
	head := cellar.HeadOf(c)
	head.By, head.At = cellar.Initials(line[6:8]), at(line[:5])
	_, err = h.try(c, at(now))
	return err
}

// TestNobodyHasSeenWhatDidNotRing: seen is dated from when it rang, so that the
// figures say how long it waited.
func TestNobodyHasSeenWhatDidNotRing(t *testing.T) {
	h := openHouse(t)
	h.say(t, clockAt("101", "20:20"))
	err := h.late(t, "20:50", `20:01 NS {"do":"acknowledge","subject":"101"}`)
	var rej *cellar.Rejection
	require.ErrorAs(t, err, &rej)
	require.Equal(t, "at", rej.Field)
	require.Equal(t, "look on 101 rang at 20:20; type a time from then to 20:50", rej.Message())
	require.NoError(t, h.late(t, "20:50", `20:25 NS {"do":"acknowledge","subject":"101"}`))
	require.Equal(t, 5*time.Minute, h.s.AlarmFigures(at("20:00"), at("21:00")).Longest)
}

// TestAnotherDueIsGivenForWhatIsToCome: dated back it is held to now anyway,
// and the alarm that rang meanwhile stays in the figures.
func TestAnotherDueIsGivenForWhatIsToCome(t *testing.T) {
	h := openHouse(t)
	h.say(t, clockAt("101", "20:20"))
	err := h.late(t, "21:30", rebase("20:10", "101", "look", "20:30"))
	var rej *cellar.Rejection
	require.ErrorAs(t, err, &rej)
	require.Equal(t, "due", rej.Field)
	require.Contains(t, rej.Message(), "a clock runs from 1 minute to 30 days, from 21:30")
	require.NoError(t, h.late(t, "21:30", rebase("20:10", "101", "look", "22:00")))
	f := h.s.AlarmFigures(at("20:00"), at("21:59"))
	require.Equal(t, 1, f.Alarms)
	require.Equal(t, 70*time.Minute, f.Longest)
}
