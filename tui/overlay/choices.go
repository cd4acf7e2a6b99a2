package overlay

import (
	"fmt"

	tea "github.com/charmbracelet/bubbletea"

	"cellar.example/mustwatch/tui/cell"
	"cellar.example/mustwatch/tui/intent"
	"cellar.example/mustwatch/tui/keys"
	"cellar.example/mustwatch/tui/layout"
	"cellar.example/mustwatch/tui/theme"
)

// Item is one line of a list, and what comes up when it is chosen.
type Item struct {
	Text string
	Then intent.Intent
}

// Choices is lines to choose from, however many: the cursor goes through them, and the first
// nine in view have a number each.
type Choices struct {
	Title string
	Verb  string // what Enter does with the line under the cursor
	Empty string // said where there is no line
	// Items are the lines as they are now: what is chosen may change them.
	Items func() []Item

	at, top, height int
}

// Keys implements Overlay.
func (l *Choices) Keys() keys.Table {
	return keys.Table{
		{Keys: []string{"enter"}, Short: l.Verb, Help: l.Verb, Group: keys.GroupMoving, Intent: intent.Open{}},
		{Keys: keys.Range('1', '9'), Label: "1-9", Help: l.Verb + ", by its number", Group: keys.GroupMoving,
			Intent: intent.Number{}},
		{Keys: []string{"down", "j"}, Short: "down", Help: "down", Group: keys.GroupMoving, Intent: intent.Move{DY: 1}},
		{Keys: []string{"up", "k"}, Short: "up", Help: "up", Group: keys.GroupMoving, Intent: intent.Move{DY: -1}},
		{Keys: []string{"pgdown", "space"}, Help: "a page down", Group: keys.GroupMoving,
			Intent: intent.PageMove{Dir: 1}},
		{Keys: []string{"pgup"}, Help: "a page up", Group: keys.GroupMoving, Intent: intent.PageMove{Dir: -1}},
		{Keys: []string{"home"}, Help: "to the top", Group: keys.GroupMoving, Intent: intent.First{}},
		{Keys: []string{"end"}, Help: "to the bottom", Group: keys.GroupMoving, Intent: intent.Last{}},
		{Keys: []string{"esc", "q"}, Label: "esc", Short: "back", Help: "back", Group: keys.GroupMoving,
			Intent: intent.Back{}},
	}
}

// Update implements Overlay.
func (l *Choices) Update(msg tea.KeyMsg) (intent.Intent, bool) {
	in, _, ok := l.Keys().Lookup(msg)
	if !ok {
		return nil, false
	}
	items := l.Items()
	last := len(items) - 1
	switch in := in.(type) {
	case intent.Move:
		l.at += in.DY
	case intent.PageMove:
		l.at += in.Dir * max(1, l.height-1)
	case intent.First:
		l.at = 0
	case intent.Last:
		l.at = last
	case intent.Number:
		if i := l.top + int(in.Digit-'1'); i <= last && i < l.top+l.height {
			return items[i].Then, true
		}
		return nil, true
	case intent.Open:
		if last < 0 {
			return intent.Back{}, true
		}
		return items[min(l.at, last)].Then, true
	default:
		return in, true
	}
	l.at = max(0, min(l.at, last))
	return nil, true
}

// View implements Overlay.
func (l *Choices) View(th theme.Theme, box layout.Box) []string {
	items := l.Items()
	l.height = max(1, box.H-3) // a line says how many there are
	l.at = max(0, min(l.at, len(items)-1))
	l.top = max(0, min(l.top, l.at, len(items)-l.height))
	l.top = max(l.top, l.at-l.height+1)
	out := []string{th.Title.Render(" " + l.Title), ""}
	if len(items) == 0 {
		out = append(out, "  "+l.Empty)
	}
	for i := l.top; i < min(l.top+l.height, len(items)); i++ {
		digit := " "
		if n := i - l.top; n < 9 {
			digit = fmt.Sprint(n + 1)
		}
		line := cell.Fit(items[i].Text, max(0, box.W-6))
		mark := " "
		if i == l.at {
			mark, line = th.Strong.Render(">"), th.Strong.Render(line)
		}
		out = append(out, " "+mark+th.Key.Render(digit)+"  "+line)
	}
	if n := len(items); n > l.height {
		out = append(out, th.Quiet.Render(fmt.Sprintf("  %d to %d of %d", l.top+1, min(l.top+l.height, n), n)))
	}
	return layout.Lines(out, box)
}
