package tui_test

import (
	"context"
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/subject"
	"cellar.example/mustwatch/tui"
	"cellar.example/mustwatch/tui/tuitest"
)

// flood is the night left alone for a day, with a second and a third shift begun, so
// that much is overdue from each of them, and with more holds than one.
func flood(t *testing.T) (*cellar.Desk, time.Time) {
	t.Helper()
	j, s := night(t, "22:20")
	desk := &cellar.Desk{Journal: j, State: s, Station: "test"}
	at := clock(t, "22:20")
	write := func(c cellar.Command) {
		t.Helper()
		_, err := desk.Write(context.Background(), c, at)
		require.NoError(t, err)
	}
	head := cellar.Head{By: "MA"}
	for _, v := range []cellar.TankNumber{"201", "202", "203", "205", "207"} {
		write(&cellar.SetClock{Head: head, Subject: subject.Bare(string(v)), Verb: "look",
			Due: at.Add(10 * time.Minute)})
	}
	for _, v := range []cellar.TankNumber{"301", "405", "212"} {
		write(&cellar.HoldVessel{Head: head, Vessel: v, Reason: "for the test", Releaser: "OF"})
	}
	at = clock(t, "06:00")
	over := func(to cellar.Initials) {
		write(&cellar.EndShift{Head: cellar.Head{By: "MA", Happened: true}, To: to})
	}
	over("GW")
	write(&cellar.StartShift{Head: cellar.Head{By: "GW"}, Shift: cellar.Shift{Lead: "GW"}})
	at = at.Add(12 * time.Hour)
	over("MA")
	write(&cellar.StartShift{Head: head, Shift: cellar.Shift{Lead: "MA"}})
	for _, v := range []cellar.TankNumber{"303", "304", "308", "211", "404", "403"} {
		write(&cellar.SetClock{Head: head, Subject: subject.Bare(string(v)), Verb: "look",
			Due: at.Add(10 * time.Minute)})
	}
	return desk, at.Add(20 * time.Minute)
}

var countedOlder = regexp.MustCompile(`▲ ?(\d+) older, since`)

// TestHeldAndOverdueNeverScrollAway: whatever the window and wherever the cursor is, what
// came due in this shift or the last and what is held is in view; what came due before
// is there or in a counted line.
func TestHeldAndOverdueNeverScrollAway(t *testing.T) {
	desk, now := flood(t)
	s := desk.State
	require.False(t, s.Shift.Before.IsZero())
	older, counted := len(s.OlderDue(now)), false
	require.Greater(t, older, 10)
	for _, box := range [][2]int{{80, 24}, {100, 30}, {120, 24}, {120, 40}, {160, 50}, {100, 40}} {
		d := tuitest.Sit(t, tui.Options{Journal: desk.Journal, State: s, Person: "MA"}, now, box[0], box[1])
		for _, keys := range []string{"", "<end>", "<pgup>", "<tab><end>", "<home>"} {
			d.Press(keys)
			f := frame{shot: shot{face: "board", cols: box[0], rows: box[1]}, view: d.Root.View(), state: s, now: now}
			f.lines = strings.Split(tuitest.StripANSI(f.view), "\n")
			says := fmt.Sprintf("%dx%d after %q\n%s", box[0], box[1], keys, d.Screen())
			for _, v := range s.Vessels() {
				if v.Hold != nil {
					require.True(t, f.marked("×", string(v.Number)), "%s is held: %s", v.Number, says)
				}
			}
			gone := 0
			for _, c := range s.Alarms(now) {
				switch shown := f.marked("▲", c.Subject.Name); {
				case !shown && c.Due.Before(s.Shift.Before):
					gone++
				default:
					require.True(t, shown, "%s is overdue: %s", c.Subject, says)
				}
			}
			if gone > 0 {
				m := countedOlder.FindStringSubmatch(strings.Join(f.lines, "\n"))
				require.NotNil(t, m, says)
				n, err := strconv.Atoi(m[1])
				require.NoError(t, err)
				require.Equal(t, older, n, says)
				counted = true
			}
		}
	}
	require.True(t, counted, "a small window has no room for all of them")
}

// TestAReadingKeepsItsAge: whatever else stands in the row, at every width.
func TestAReadingKeepsItsAge(t *testing.T) {
	for _, cols := range []int{80, 90, 100, 107, 110, 119, 120, 124, 140, 160, 170, 200} {
		d := sit(t, "02:10", cols, 60)
		require.Regexp(t, `108 .* 14\.2 °C .*3h ago`, d.Screen(), "%d columns: with a haze beside it", cols)
		require.Regexp(t, `102 .* 14\.9 °C .*6h ago`, d.Screen(), "%d columns: with the word of the check", cols)
		d = sit(t, "18:30", cols, 60)
		require.Regexp(t, `102 .* 9\.3 °C .*25m ago`, d.Screen(), "%d columns: cold on a running clock", cols)
	}
}

// TestAPressSaysThatItsJuiceIsFromAVessel: "P4 502 Sauvignon" reads as tank 502.
func TestAPressSaysThatItsJuiceIsFromAVessel(t *testing.T) {
	for _, cols := range []int{80, 120, 200} {
		require.Regexp(t, `P4 +from 502`, sit(t, "02:10", cols, 40).Screen())
	}
}

// TestNothingOfARowIsCut: names shrink for the whole column or not at all, a long reason
// goes on below, and a word of the list of what is due goes on below too.
func TestNothingOfARowIsCut(t *testing.T) {
	j, s := night(t, "02:10")
	desk := &cellar.Desk{Journal: j, State: s, Station: "test"}
	now := clock(t, "02:10")
	_, err := desk.Write(context.Background(), &cellar.SetClock{Head: cellar.Head{By: "MA"},
		Subject: subject.Bare("201"), Verb: "look at the lid and the airlock once more", Due: now.Add(5 * time.Minute)},
		now)
	require.NoError(t, err)
	for _, box := range [][2]int{{80, 24}, {90, 30}, {107, 30}, {120, 40}, {124, 40}, {140, 40}, {170, 45}, {200, 60}} {
		d := tuitest.Sit(t, tui.Options{Journal: j, State: s, Person: "MA"}, now, box[0], box[1])
		text := single.ReplaceAllString(strings.ReplaceAll(d.Screen(), "│", " "), " ")
		require.NotRegexp(t, `\S…`, d.Screen(), "%v", box)
		for _, word := range strings.Fields("look at the lid and the airlock once more") {
			require.Contains(t, text, word, "%v", box)
		}
	}
}
