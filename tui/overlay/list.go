package overlay

import (
	tea "github.com/charmbracelet/bubbletea"

	"cellar.example/mustwatch/tui/cell"
	"cellar.example/mustwatch/tui/intent"
	"cellar.example/mustwatch/tui/keys"
	"cellar.example/mustwatch/tui/layout"
	"cellar.example/mustwatch/tui/theme"
)

// Row is a line of a list. It keeps its key when lines before it go.
type Row struct{ Key, Text string }

// List is a list to go through: a key does something with the line under the cursor.
type List struct {
	Title, Empty string
	Rows         func() []Row // as things stand now
	Acts         keys.Table   // the keys that do something
	Act          func(do intent.Intent, key string) intent.Intent

	on  string // key of the line under the cursor
	at  int    // and its place
	top int
}

// Keys implements Overlay.
func (l *List) Keys() keys.Table {
	return append(append(keys.Table{}, l.Acts...), keys.Table{
		{Keys: []string{"esc", "q"}, Short: "back", Help: "back", Group: keys.GroupMoving, Intent: intent.Back{}},
		{Keys: []string{"down", "j"}, Help: "down", Group: keys.GroupMoving, Intent: intent.Move{DY: 1}},
		{Keys: []string{"up", "k"}, Help: "up", Group: keys.GroupMoving, Intent: intent.Move{DY: -1}},
		{Keys: []string{"pgdown"}, Help: "a page down", Group: keys.GroupMoving, Intent: intent.PageMove{Dir: 1}},
		{Keys: []string{"pgup"}, Help: "a page up", Group: keys.GroupMoving, Intent: intent.PageMove{Dir: -1}},
	}...)
}

// Update implements Overlay.
func (l *List) Update(msg tea.KeyMsg) (intent.Intent, bool) {
	in, _, ok := l.Keys().Lookup(msg)
	if !ok {
		return nil, false
	}
	rows := l.Rows()
	l.find(rows)
	switch in := in.(type) {
	case intent.Back:
		return in, true
	case intent.Move:
		l.at += in.DY
	case intent.PageMove:
		l.at += 10 * in.Dir
	default:
		if len(rows) == 0 {
			return nil, true
		}
		return l.Act(in, l.on), true
	}
	if l.at = max(0, min(l.at, len(rows)-1)); len(rows) > 0 {
		l.on = rows[l.at].Key
	}
	return nil, true
}

// find puts the cursor on its line, or on the one that has come in its place.
func (l *List) find(rows []Row) {
	for i, r := range rows {
		if r.Key == l.on {
			l.at = i
			return
		}
	}
	if l.at = max(0, min(l.at, len(rows)-1)); len(rows) > 0 {
		l.on = rows[l.at].Key
	}
}

// View implements Overlay.
func (l *List) View(th theme.Theme, box layout.Box) []string {
	rows := l.Rows()
	l.find(rows)
	out := []string{th.Title.Render(" " + l.Title), ""}
	if len(rows) == 0 {
		return layout.Lines(append(out, "  "+l.Empty), box)
	}
	var lines []string
	from, to := 0, 0
	for i, r := range rows {
		mark, ink := "  ", th.Text
		if i == l.at {
			mark, ink, from = "> ", th.Strong, len(lines)
		}
		for j, part := range cell.Hang(r.Text, box.W-4, 4) {
			if j > 0 {
				mark = "  "
			}
			lines = append(lines, ink.Render(" "+mark+part))
		}
		if i == l.at {
			to = len(lines)
		}
	}
	room := max(1, box.H-3)
	l.top = max(0, min(max(min(l.top, from), to-room), len(lines)-room))
	out = append(out, lines[l.top:min(len(lines), l.top+room)]...)
	if l.top+room < len(lines) {
		out = append(out, th.Quiet.Render("  … more below"))
	}
	return layout.Lines(out, box)
}
