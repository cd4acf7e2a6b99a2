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
	return fmt.Sprintf(`%s NS {"do":"clock-move","subject":%q,"verb":%q,"due":%q,"reason":"colder"}`, when, subject, verb, at(due).Format(time.RFC3339))
}

func (h *house) refused(t *testing.T, line, field, says string) {
	t.Helper()
	before := h.s.Seq
	var rej *cellar.Rejection
	err := h.hear(line)
	require.Truef(t, errors.As(err, &rej), "%s: want a rejection, got %v", line, err)
	require.Equal(t, field, rej.Field, rej.Message)
	require.Contains(t, rej.Message, says)
	require.Equal(t, before, h.s.Seq, "nothing is written")
}

// TestTubesCallUntilTheyAreRead: the clock of a running check is not ticked off,
// not taken off without a reason and not put past void; a second look is one as well.
func TestTubesCallUntilTheyAreRead(t *testing.T) {
	begun := []string{`22:00 NS {"do":"check","vessel":"101"}`}
	for _, c := range []struct {
		given []string
		verb  string
	}{
		{begun, "read"},
		{append(append([]string{}, begun...), `22:05 NS {"do":"check-read","vessel":"101","sample":"faint haze","control":"flocs"}`), "second look"},
	} {
		h := openHouse(t)
		h.say(t, c.given...)
		h.refused(t, rebase("22:06", "101", c.verb, "04:00"), "due", "void after 22:10")
		h.refused(t, rebase("22:06", "101", c.verb, "22:11"), "due", "void after 22:10")
		h.refused(t, fmt.Sprintf(`22:06 NS {"do":"clock-move","subject":"101","verb":%q,"done":true}`, c.verb), "clock", "not read yet")
		h.refused(t, fmt.Sprintf(`22:06 NS {"do":"clock-move","subject":"101","verb":%q,"off":true}`, c.verb), "reason", "say why")
		h.say(t, rebase("22:06", "101", c.verb, "22:09"))
		require.Len(t, h.s.Alarms(at("22:09")), 1)
		h.say(t, `22:30 NS {"do":"check","vessel":"101"}`)
		require.Equal(t, "22:35", dueOf(t, h, "101"), "another check calls instead")
	}
	h := openHouse(t)
	h.say(t, begun[0], `22:02 NS {"do":"clock-move","subject":"101","verb":"read","off":true,"reason":"tube broke"}`)
	require.Empty(t, h.s.ClocksOf("101"))
}

// TestAReadingClockWithoutACheck: one taken over at the opening, or set by hand,
// has no tubes behind it and is ticked off.
func TestAReadingClockWithoutACheck(t *testing.T) {
	h := openHouse(t)
	h.say(t, `20:00 NS {"do":"clock","subject":"101","verb":"read","in":"5m","kind":"reading"}`, `20:05 NS {"do":"clock-move","subject":"101","done":true}`)
	require.Empty(t, h.s.ClocksOf("101"))
}
