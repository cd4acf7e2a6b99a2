package widget_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"cellar.example/mustwatch/tui/cell"
	"cellar.example/mustwatch/tui/intent"
	"cellar.example/mustwatch/tui/tuitest"
	"cellar.example/mustwatch/tui/widget"
)

var night = time.Date(2026, 9, 25, 2, 10, 0, 0, time.UTC)

// answer types a script with the given time between two strokes.
func answer(t *testing.T, c *widget.Confirm, script string, start time.Time, gap time.Duration) (up intent.Intent) {
	t.Helper()
	for i, msg := range tuitest.Keys(t, script) {
		up, _ = c.Update(msg, start.Add(time.Duration(i)*gap))
	}
	return up
}

func TestConfirm(t *testing.T) {
	const second = time.Second
	tests := []struct {
		name, keys string
		start, gap time.Duration
		want       intent.Intent
		says       string
	}{
		{"the plate", "209<enter>", second, second, intent.Accept{}, ""},
		{"the wrong plate", "206<enter>", second, second, nil, "206 is not 209; nothing has been done"},
		{"wrong, then right", "206<enter>209<enter>", second, second, intent.Accept{}, ""},
		{"nothing", "<enter>", second, second, nil, "type the plate first"},
		{"yes is no plate", "y<enter>", second, second, nil, "Y is not 209"},
		{"left", "20<esc>", second, second, intent.Back{}, ""},
		{"bounced figures count once", "220099<enter>", second, 70 * time.Millisecond, intent.Accept{}, ""},
		{"the opening key bounces", "<enter>", 40 * time.Millisecond, 0, nil, ""},
		{"the plate before the question stood", "209<enter>", 0, 10 * time.Millisecond, nil, ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			c := widget.NewConfirm("Release the hold", "209", night)
			assert.Equal(t, tt.want, answer(t, c, tt.keys, night.Add(tt.start), tt.gap))
			assert.Contains(t, strings.Join(drawn(t, c.View(plain(), box(60, 6)), box(60, 6)), "\n"), tt.says)
		})
	}
}

func TestConfirmTakesPlatesWithLettersAndDoubles(t *testing.T) {
	c := widget.NewConfirm("Empty", "K11", night)
	assert.Equal(t, intent.Accept{}, answer(t, c, "k11<enter>", night.Add(time.Second), 200*time.Millisecond))
}

func TestConfirmIsNotAnsweredByPasteOrBurst(t *testing.T) {
	c := widget.NewConfirm("Empty", "11", night)
	c.Update(tuitest.Paste("11"), night.Add(time.Second))
	assert.Nil(t, answer(t, c, "<enter>", night.Add(2*time.Second), 0))
	c.Update(tuitest.Burst("11"), night.Add(3*time.Second))
	assert.Nil(t, answer(t, c, "<enter>", night.Add(4*time.Second), 0), "two at once are one, bounced")
	_, handled := c.Update(tuitest.Keys(t, "<ctrl+c>")[0], night.Add(9*time.Second))
	assert.False(t, handled)
}

func TestConfirmOutlivesAClockSetBack(t *testing.T) {
	c := widget.NewConfirm("Empty", "11", night)
	assert.Equal(t, intent.Accept{}, answer(t, c, "11<enter>", night.Add(-time.Hour), 160*time.Millisecond))
}

func TestConfirmView(t *testing.T) {
	c := widget.NewConfirm("Release the hold on 209", "209", night)
	c.Danger = "Lid or vent open before the pump."
	c.Text = []string{"152.5 hL with 3.5 hL rosé in it."}
	assert.Equal(t, []string{
		"── Release the hold on 209 ─────────────",
		"Lid or vent open before the pump.",
		"152.5 hL with 3.5 hL rosé in it.",
		"",
		"> Type 209 to go ahead |_________",
		"",
	}, drawn(t, c.View(plain(), box(40, 6)), box(40, 6)))
	c.Text = append(c.Text, strings.Repeat("And so on. ", 40))
	assert.Contains(t, strings.Join(c.View(plain(), box(40, 6)), "\n"), "> Type 209")
	for w := 1; w < 80; w += 5 {
		for h := 1; h < 12; h++ {
			drawn(t, c.View(coloured(), box(w, h)), box(w, h))
		}
	}
	assert.Len(t, c.Keys(), 2)
}

func TestList(t *testing.T) {
	var l widget.List
	assert.Equal(t, -1, l.Cursor())
	row := func(i int, selected bool) string { return fmt.Sprintf("row %d %v", i, selected) }
	drawn(t, l.View(box(20, 3), row), box(20, 3))

	l.SetLen(5)
	for _, step := range []struct {
		in     intent.Intent
		cursor int
	}{
		{intent.Move{DY: 1}, 1}, {intent.Last{}, 4}, {intent.Move{DY: 1}, 4}, {intent.PageMove{Dir: -1}, 2},
		{intent.First{}, 0}, {intent.Move{DY: -1}, 0}, {intent.PageMove{Dir: 1}, 2},
	} {
		assert.True(t, l.Handle(step.in, 3))
		assert.Equal(t, step.cursor, l.Cursor(), "%#v", step.in)
	}
	assert.False(t, l.Handle(intent.Move{DX: 1}, 3))
	assert.False(t, l.Handle(intent.Open{}, 3))

	l.Go(4)
	assert.Equal(t, []string{"  row 2 false", "  row 3 false", "> row 4 true"}, drawn(t, l.View(box(20, 3), row), box(20, 3)))
	l.SetLen(2)
	assert.Equal(t, 1, l.Cursor())
	assert.Equal(t, 2, l.Len())
	assert.Equal(t, []string{"  row 0 false", "> row 1 true", ""}, drawn(t, l.View(box(20, 3), row), box(20, 3)))
	l.SetLen(-1)
	assert.Equal(t, -1, l.Cursor())
}

func TestPanel(t *testing.T) {
	p := widget.Panel{Title: "NEXT", Lines: []string{"102 test", "108 look", "601 hot hold"}}
	assert.Equal(t, []string{"── NEXT ─────", "102 test", "108 look", "601 hot hold", ""}, drawn(t, p.View(plain(), box(13, 5)), box(13, 5)))
	assert.Equal(t, []string{"── NEXT ─────", "102 test", "… 2 more"}, drawn(t, p.View(plain(), box(13, 3)), box(13, 3)))
	assert.Len(t, p.Lines, 3)
	assert.Equal(t, "601 hot hold", p.Lines[2], "drawing leaves the lines alone")
	for w := 1; w < 20; w++ {
		for h := 1; h < 6; h++ {
			drawn(t, p.View(coloured(), box(w, h)), box(w, h))
		}
	}
}

func TestColumns(t *testing.T) {
	c := widget.Columns{Gap: 2, Cols: []widget.Column{{Width: 4}, {Weight: 1}, {Width: 8, Right: true}}}.Spread(30)
	assert.Equal(t, 30, c.Width())
	assert.Equal(t, "102   Muscat          192.0 hL", c.Row("102", "Muscat", "192.0 hL"))
	assert.Equal(t, "104   Gewürztramine…       8.9", c.Row("104", "Gewürztraminer, old vines", "8.9", "surplus"))
	assert.Equal(t, cell.Blank(30), c.Row())

	rapid.Check(t, func(t *rapid.T) {
		col := rapid.Custom(func(t *rapid.T) widget.Column {
			return widget.Column{
				Width: rapid.IntRange(-1, 20).Draw(t, "w"), Weight: rapid.IntRange(0, 3).Draw(t, "weight"), Right: rapid.Bool().Draw(t, "right"),
			}
		})
		c := widget.Columns{Cols: rapid.SliceOfN(col, 1, 6).Draw(t, "cols"), Gap: rapid.IntRange(0, 3).Draw(t, "gap")}
		total := rapid.IntRange(0, 120).Draw(t, "total")
		spread := c.Spread(total)
		row := spread.Row(cell.Clean(rapid.String().Draw(t, "a")), cell.Clean(rapid.String().Draw(t, "b")))
		require.Equal(t, spread.Width(), cell.Width(row))
		require.LessOrEqual(t, spread.Width(), max(total, c.Gap*(len(c.Cols)-1)))
	})
}
