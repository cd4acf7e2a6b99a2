package tui_test

import (
	"fmt"
	"io"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/lipgloss"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/subject"
	"cellar.example/mustwatch/store/memory"
	"cellar.example/mustwatch/tui"
	"cellar.example/mustwatch/tui/keys"
	"cellar.example/mustwatch/tui/layout"
	"cellar.example/mustwatch/tui/screen/wall"
	"cellar.example/mustwatch/tui/theme"
	"cellar.example/mustwatch/tui/tuitest"
)

// TestTheWallFromTheBoard: one key there, one back, and the words that never
// leave it.
func TestTheWallFromTheBoard(t *testing.T) {
	for _, box := range [][2]int{{80, 24}, {120, 40}, {200, 60}} {
		d := sit(t, "02:10", box[0], box[1])
		d.Press("b").Hides("PRESSES").Shows("NO TANK ENTRY", "209", "gas 300 pit: CO2 2900 ppm, O2 20.8 %, meter G2",
			"board alive", "DEMO", "check haze, 02:15", " more: ")
		d.Press("b").Shows("This is the wall")
		d.Press("<esc>").Shows("PRESSES")
	}
}

// TestTheWallStandsStill: from second to second only the minutes, the clock and
// the sign of life change, whatever else is due later.
func TestTheWallStandsStill(t *testing.T) {
	d := sit(t, "02:20", 120, 40)
	d.Press("b")
	before := strings.Split(d.Screen(), "\n")
	d.Wait(time.Second)
	after := strings.Split(d.Screen(), "\n")
	var changed []int
	for i := range before {
		if before[i] != after[i] {
			changed = append(changed, i)
		}
	}
	require.NotEmpty(t, changed, "the sign of life moves each second")
	for _, i := range changed {
		if i < 30 {
			require.Equal(t, before[i][:20], after[i][:20], "numbers keep their place")
		}
	}
	d.Press("<down><pgdown><end><right>")
	require.Equal(t, after[:30], strings.Split(d.Screen(), "\n")[:30], "nothing scrolls")
}

// TestAnAlarmIsAnsweredFromTheWall: space or enter opens the entry over the wall,
// and when it is written the wall is back.
func TestAnAlarmIsAnsweredFromTheWall(t *testing.T) {
	for _, key := range []string{"<space>", "<enter>"} {
		d := sit(t, "02:10", 80, 24)
		d.Press("b" + key).Shows("Pectin test of 102").Hides("board alive")
		d.Press("<esc>").Shows("board alive")
		d.Press(key+"<enter>").Shows("board alive", "saved:")
		v, _ := d.State().Vessel("102")
		require.NotNil(t, v.Now.Check(), "the check runs")
	}
}

// TestSeenFromTheWall takes the first alarm on the person's name, and a key that
// cannot work says why.
func TestSeenFromTheWall(t *testing.T) {
	d := sit(t, "02:10", 80, 24)
	d.Press("ba").Shows("102 test: acknowledged by MA")
	require.Equal(t, cellar.Initials("MA"), d.State().Alarms(d.Now)[0].AcknowledgedBy)
	d.Wait(20 * time.Second).Shows("acknowledged by MA")
	d.Press("a").Shows("everything due is acknowledged")
	d.Press("1").Shows("The wall has no cursor")
	d.Press("/").Shows("The wall has no search")
	d.Press("-").Shows("no colours")
	d = sit(t, "02:20", 80, 24)
	for _, key := range []string{"<space>", "<enter>", "a"} {
		d.Press("b" + key).Shows("nothing is due").Press("<esc>")
	}
}

// TestTheBellIsShownAsMuted on the wall and on the board.
func TestTheBellIsShownAsMuted(t *testing.T) {
	d := sit(t, "02:10", 120, 40)
	d.Press("b,").Shows("the bell is muted", "BELL MUTED")
	d.Press("<esc>").Shows("bell muted")
	d.Press(",").Shows("the bell rings again").Hides("bell muted")
}

// TestTheWallFlashesOncePerOverdue: the whole screen is turned round for one
// beat, steady afterwards, once however much came due, and never two beats
// running. WCAG 2, success criterion 2.3.1: no more than three flashes a second.
func TestTheWallFlashesOncePerOverdue(t *testing.T) {
	d := sit(t, "02:14", 80, 24)
	d.Press("b")
	steady := d.Wait(50 * time.Second).Screen()
	require.False(t, d.Root.Sight().Flash)
	require.NotContains(t, steady, strings.Repeat("█", 60)+"\n"+strings.Repeat("█", 60))
	var beats []bool
	for range 30 {
		d.Wait(time.Second)
		beats = append(beats, d.Root.Sight().Flash)
		if d.Root.Sight().Flash {
			require.Contains(t, d.Screen(), "NO TANK ENTRY", "words are read anyway")
			require.Greater(t, changed(steady, d.Screen()), 80*24/2, "most of the screen is turned round")
		}
	}
	n := 0
	for i, on := range beats {
		if on {
			n++
			require.False(t, i > 0 && beats[i-1], "never two beats running")
		}
	}
	require.Equal(t, 1, n, "108 came due")
}

// changed is how many cells of two frames differ.
func changed(a, b string) (n int) {
	before, after := strings.Split(a, "\n"), strings.Split(b, "\n")
	for i := range before {
		x, y := []rune(before[i]), []rune(after[i])
		for j := range 80 {
			if j < max(len(x), len(y)) && at(x, j) != at(y, j) {
				n++
			}
		}
	}
	return n
}

// at is a cell of a line without trailing blanks.
func at(line []rune, x int) rune {
	if x < len(line) {
		return line[x]
	}
	return ' '
}

// TestAFloodIsOneFlash: many at once, and more in the beat after.
func TestAFloodIsOneFlash(t *testing.T) {
	j, s := night(t, "02:20")
	desk := &cellar.Desk{Journal: j, State: s, Station: "test"}
	for i, sec := range []int{70, 70, 70, 71, 72} {
		at := clock(t, "02:20")
		c := &cellar.SetClock{Head: cellar.Head{By: "MA"}, Subject: subject.Bare([]string{"201", "202", "203", "205",
			"207"}[i]), Verb: "look", Due: at.Add(time.Duration(sec) * time.Second)}
		_, err := desk.Write(t.Context(), c, at)
		require.NoError(t, err)
	}
	d := tuitest.Sit(t, tui.Options{Journal: j, State: s, Person: "MA", Demo: true, Wall: true}, clock(t, "02:20"), 120,
		40)
	d.Wait(69 * time.Second)
	var beats []bool
	for range 8 {
		d.Wait(time.Second)
		beats = append(beats, d.Root.Sight().Flash)
	}
	require.Equal(t, []bool{true, false, true, false, false, false, false, false}, beats)
	d = tuitest.Sit(t, tui.Options{Journal: j, State: s, Person: "MA"}, clock(t, "02:20"), 120, 40)
	d.Wait(70 * time.Second)
	require.False(t, d.Root.Sight().Flash, "the desk has its line, and somebody may be typing")
}

// TestTheWallStartsWithoutAList: what came due while nobody looked stands on the
// wall anyhow; the list waits for somebody at the board.
func TestTheWallStartsWithoutAList(t *testing.T) {
	j, s := night(t, "01:16")
	p := &memory.Pulse{}
	require.NoError(t, p.Beat(clock(t, "01:17")))
	d := tuitest.Sit(t, tui.Options{Journal: j, State: s, Person: "MA", Pulse: p, Wall: true}, clock(t, "01:52"), 80,
		24)
	d.Shows("board alive").Hides("While nobody looked")
	d.Press("<esc>").Shows("While nobody looked", "108")
	d.Press("<esc>").Shows("PRESSES")
	d.Press("b<esc>").Shows("PRESSES")
}

// TestLightAndDark: one key on the wall and on the board; what the theme does
// not paint has its ground anyway, and every frame is its box.
func TestLightAndDark(t *testing.T) {
	_, s := night(t, "02:10")
	for _, p := range []termenv.Profile{termenv.ANSI, termenv.ANSI256, termenv.TrueColor} {
		r := lipgloss.NewRenderer(io.Discard)
		r.SetColorProfile(p)
		for _, onWall := range []bool{true, false} {
			now := clock(t, "02:10")
			root := tui.NewRoot(tui.Options{State: s, Person: "MA", Wall: onWall, Now: func() time.Time { return now }},
				theme.New(r, theme.Dark))
			box := layout.Box{W: 120, H: 40}
			root.Update(tea.WindowSizeMsg{Width: box.W, Height: box.H})
			dark := root.View()
			root.Update(tuitest.Burst("-"))
			require.Equal(t, theme.Light, root.Sight().Theme.Mode)
			light := root.View()
			require.NoError(t, layout.Check(light, box))
			for _, line := range strings.Split(light, "\n") {
				if p != termenv.ANSI { // text is in the terminal's own foreground there, so its ground stays as well
					require.Regexp(t, `^\x1b\[[0-9;]+m`, line, "no line is left to the terminal's ground")
				}
			}
			now = now.Add(time.Minute)
			root.Update(tuitest.Burst("-"))
			now = now.Add(-time.Minute)
			root.Update(nil)
			require.NoError(t, layout.Check(root.View(), box))
			require.NotEqual(t, dark, light)
			require.Equal(t, theme.Dark, root.Sight().Theme.Mode)
		}
	}
}

// TestHelpOnTheWall says from how far it is read.
func TestHelpOnTheWall(t *testing.T) {
	d := sit(t, "02:10", 120, 50)
	d.Press("b?").Shows("How far it can be read", "24 inches", "43 inches", "with ease")
	d.Press("<esc>").Shows("board alive")
	d.Resize(80, 24).Press("?<pgdown><pgdown><pgdown>").Shows(
		"with ease  digits            words",
		"24 inches, digits 44 mm                   8.7 m   6.8 m     8.7 m   6.8 m")
}

// TestTheWallsKeysCollideWithNone.
func TestTheWallsKeysCollideWithNone(t *testing.T) {
	d := sit(t, "02:10", 80, 24)
	require.Empty(t, keys.Collisions((&wall.Wall{}).Keys(d.Root.Sight()), keys.Common()))
}

// TestATroubleStandsOnTheWall: what is not saved is said there too.
func TestATroubleStandsOnTheWall(t *testing.T) {
	_, s := night(t, "02:10")
	broken := false
	o := tui.Options{State: s, Person: "MA", Wall: true, Guard: func() error {
		if broken {
			return io.ErrUnexpectedEOF
		}
		return nil
	}}
	d := tuitest.Sit(t, o, clock(t, "02:10"), 80, 24)
	broken = true
	for range 60 {
		d.Wait(time.Second)
	}
	d.Shows("The journal's file is gone or replaced")
}

// TestWallGoldens are the wall as text, at three sizes, steady and turned round.
func TestWallGoldens(t *testing.T) {
	for _, g := range []struct{ name, at string }{{"wall", "02:10"}, {"wall-later", "05:05"}} {
		for _, size := range [][2]int{{80, 24}, {120, 40}, {200, 60}} {
			d := sit(t, g.at, size[0], size[1])
			d.Press("b")
			tuitest.Golden(t, fmt.Sprintf("%s-%dx%d", g.name, size[0], size[1]), d.Screen())
		}
	}
	d := sit(t, "02:14", 80, 24)
	d.Press("b").Wait(60 * time.Second)
	require.True(t, d.Root.Sight().Flash)
	tuitest.Golden(t, "wall-flash-80x24", d.Screen())
	j, s := night(t, "02:10")
	d = tuitest.Sit(t, tui.Options{Journal: j, State: s, Person: "MA", Ascii: true, Wall: true}, clock(t, "02:10"), 80,
		24)
	tuitest.Golden(t, "wall-ascii-80x24", d.Screen())
	for _, r := range d.Screen() {
		require.Less(t, r, rune(0x7f))
	}
}
