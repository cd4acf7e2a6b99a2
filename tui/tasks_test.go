package tui_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/stage"
	"cellar.example/mustwatch/tui/tuitest"
)

// TestTasks plays the tasks of a night by keys and holds their strokes against
// the budget of the task list: from the board, the cursor anywhere, the person
// at the keys known, free words not counted. The counts are of this program;
// the baselines on paper and in a spreadsheet are calculated floors.
func TestTasks(t *testing.T) {
	var table []string
	for _, k := range []struct {
		name   string
		budget int
		do     func(t *testing.T) *tuitest.Desk
	}{
		{"T1 start an enzyme contact on 104", 15, taskDose},
		{"T2 say what is due in the next half hour", 0, taskDue},
		{"T3 read the test of 602", 8, taskCheck},
		{"T4 correct a volume found 20 min later", 8, taskCorrect},
		{"T5 rack 101 to two tanks with lees and loss", 30, taskRack},
		{"T6 has SO2 gone into 104", 4, taskAsk},
		{"T9 hold 209", 25, taskHold},
		{"T12 what is in 103", 4, taskContent},
	} {
		t.Run(strings.Fields(k.name)[0], func(t *testing.T) {
			n := k.do(t).Strokes()
			table = append(table, fmt.Sprintf("%-46s %3d of %3d strokes", k.name, n, k.budget))
			require.LessOrEqual(t, n, k.budget)
		})
	}
	t.Log("\n" + strings.Join(table, "\n"))
}

func taskDose(t *testing.T) *tuitest.Desk {
	d := sit(t, "19:15", 120, 40, "E020")
	d.Press("104d")
	d.Shows("Dose", "E-2204")
	d.Press("1<tab>1.5<tab>") // Tab leaves the rate for the temperature
	d.Shows("156 g")
	d.Press("13.5").Shows("22:15").Press("<enter>")
	v, _ := d.State().Vessel("104")
	require.Len(t, v.Now.Doses, 1)
	require.Equal(t, "156 g", v.Now.Doses[0].Drawn.String())
	p, _ := d.State().Product("E-2204")
	require.Equal(t, "424 g", p.Open.String())
	require.Equal(t, "22:15", d.State().Clock(d.State().ClocksOf(d.State().Known("104"))[0].Due))
	return d
}

func taskDue(t *testing.T) *tuitest.Desk {
	d := sit(t, "21:20", 120, 40)
	for _, line := range []string{"5 min 105  look", "5 min P3   empty it", "10 min 601  inspect", "15 min 602  test",
		"25 min P2   empty it", "30 min 208  inspect"} {
		d.Shows(line)
	}
	require.Regexp(t, `21:25|5 min\s+105\s+can be`, d.Screen())
	return d
}

func taskCheck(t *testing.T) *tuitest.Desk {
	d := sit(t, "21:39", 120, 40, "E058", "E060")
	d.Press("") // the check runs since 21:35; at 21:40 the board asks for the reading
	v, _ := d.State().Vessel("602")
	require.NotNil(t, v.Now.Check())
	d.Now = clock(t, "21:40")
	d.Send(d.Root.Beat())
	d.Strokes()
	d.Press("<space>").Shows("602")
	d.Press("sf").Shows("POSITIVE")
	d.Press("2230<enter>")
	v, _ = d.State().Vessel("602")
	require.Equal(t, "POSITIVE", string(v.Now.Checks[0].Verdict))
	require.True(t, v.Now.PectinGone.IsZero(), "the gate stays shut")
	require.Equal(t, "22:30", d.State().Clock(d.State().ClocksOf(d.State().Known("602"))[0].Due))
	return d
}

func taskCorrect(t *testing.T) *tuitest.Desk {
	d := sit(t, "21:10", 120, 40, "E048", "E049", "E050")
	d.Press("P2f").Press("<esc>")
	write(t, d, &cellar.PressJuiceOut{Head: cellar.Head{By: "TQ"}, Press: "P2", Reads: quantity.HL(138.1),
		Closed: true})
	d.Wait(20 * 60 * 1e9)
	d.Strokes()
	d.Press("x").Shows("138.1 hL")
	d.Press("1118.3<enter>")
	v, _ := d.State().Vessel("108")
	require.Equal(t, "118.3 hL", v.Now.Volume.String())
	require.Equal(t, "118.3 hL", d.State().Mends[0].Mend.Now)
	return d
}

// write puts a command into the journal behind the board, as a script does.
func write(t *testing.T, d *tuitest.Desk, c cellar.Command) {
	t.Helper()
	facts, err := cellar.Decide(d.State(), c, d.Now)
	require.NoError(t, err)
	d.Append(cellar.Records(c, facts, d.Now, "test"))
}

func taskRack(t *testing.T) *tuitest.Desk {
	d := sit(t, "21:14", 120, 40, "E034")
	d.Now = clock(t, "21:15")
	d.Strokes()
	d.Press("101m").Press("203<tab>165<tab>405<tab>33.5<tab>701<tab>14")
	d.Shows("(what is left over)", "82.5 %")
	d.Press("<enter>")
	from, _ := d.State().Vessel("101")
	require.Equal(t, stage.Dirty, from.Now.Stage, d.Screen())
	to, _ := d.State().Vessel("203")
	require.InDelta(t, 0.825, to.Fill(), 1e-9)
	moves := d.State().Moves()
	last := moves[len(moves)-1]
	require.Equal(t, "214 hL", last.Taken.String())
	require.Equal(t, "1.5 hL", last.Loss.String())
	return d
}

func taskAsk(t *testing.T) *tuitest.Desk {
	d := sit(t, "23:35", 80, 24)
	d.Press("104<enter>")
	require.Regexp(t, `19:40\s+SO2\S*\s+4 g/hL\s+416 g\s+TQ`, d.Screen())
	return d
}

func taskHold(t *testing.T) *tuitest.Desk {
	d := sit(t, "21:36", 120, 40, "E057")
	d.Press("209o").Words("3.5 hL rosé in it, meant for 206").Press("<tab>OF<enter>")
	v, _ := d.State().Vessel("209")
	require.NotNil(t, v.Hold)
	require.Equal(t, cellar.Initials("OF"), v.Hold.Releaser)
	n := d.Strokes()
	d.Shows("× 209", "OF to release")
	d.Press("209<enter>").Shows("ON HOLD", "OF to release.")
	d.Press("m210<enter>").Shows("on hold")
	d.Strokes()
	return count(d, n)
}

// count gives a desk back with a number of strokes that was taken before.
func count(d *tuitest.Desk, n int) *tuitest.Desk {
	d.Counted(n)
	return d
}

func taskContent(t *testing.T) *tuitest.Desk {
	d := sit(t, "04:45", 80, 24)
	d.Press("103<enter>")
	d.Shows("0414", "109.0 hL", "51.6 %", "0415", "102.1 hL", "48.4 %", "07:45")
	require.Regexp(t, `sum\s+E-2240\s+2\.4 g/hL.*506\.6 g`, d.Screen())
	return d
}
