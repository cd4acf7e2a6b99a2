package overlay

import (
	tea "github.com/charmbracelet/bubbletea"

	"cellar.example/mustwatch/tui/cell"
	"cellar.example/mustwatch/tui/intent"
	"cellar.example/mustwatch/tui/keys"
	"cellar.example/mustwatch/tui/layout"
	"cellar.example/mustwatch/tui/theme"
	"cellar.example/mustwatch/tui/widget"
)

// Overlay lies over the face and has the keys while it does.
type Overlay interface {
	// Update takes one key message. What comes up is for the root: Back takes
	// the overlay away, anything else is acted on.
	Update(msg tea.KeyMsg) (up intent.Intent, handled bool)
	// View draws exactly box.H lines of box.W cells.
	View(th theme.Theme, box layout.Box) []string
	// Keys are for the footer.
	Keys() keys.Table
}

// Text is a text to read, with scrolling.
type Text struct {
	Title string
	// Lines are made for a width when drawn, so that they wrap again.
	Lines func(th theme.Theme, width int) []string
	// Extra are keys of the overlay's own, before those for scrolling.
	Extra keys.Table

	top    int
	height int
	total  int
}

// NewText shows lines that are the same at every width.
func NewText(title string, lines []string) *Text {
	return &Text{Title: title, Lines: func(_ theme.Theme, w int) []string {
		var out []string
		for _, l := range lines {
			if l == "" {
				out = append(out, l)
				continue
			}
			out = append(out, cell.Hang(l, w, 0)...)
		}
		return out
	}}
}

// Keys implements Overlay.
func (t *Text) Keys() keys.Table {
	own := keys.Table{
		{Keys: []string{"esc", "enter", "q"}, Short: "back", Help: "back", Group: keys.GroupMoving,
			Intent: intent.Back{}},
		{Keys: []string{"down", "j", "space", "pgdown"}, Short: "scroll", Help: "scroll down", Group: keys.GroupMoving,
			Intent: intent.PageMove{Dir: 1}},
		{Keys: []string{"up", "k", "pgup"}, Help: "scroll up", Group: keys.GroupMoving,
			Intent: intent.PageMove{Dir: -1}},
		{Keys: []string{"home"}, Help: "to the top", Group: keys.GroupMoving, Intent: intent.First{}},
		{Keys: []string{"end"}, Help: "to the bottom", Group: keys.GroupMoving, Intent: intent.Last{}},
	}
	return append(append(keys.Table{}, t.Extra...), own...)
}

// Update implements Overlay.
func (t *Text) Update(msg tea.KeyMsg) (intent.Intent, bool) {
	in, _, ok := t.Keys().Lookup(msg)
	if !ok {
		return nil, false
	}
	switch in.(type) {
	case intent.First:
		t.top = 0
		return nil, true
	case intent.Last:
		t.top = max(0, t.total-t.height)
		return nil, true
	}
	p, scroll := in.(intent.PageMove)
	if !scroll {
		return in, true
	}
	step := 1
	switch keys.Name(msg) {
	case "pgdown", "pgup", "space":
		step = max(1, t.height-2)
	}
	t.top = max(0, min(t.top+p.Dir*step, t.total-t.height))
	return nil, true
}

// View implements Overlay.
func (t *Text) View(th theme.Theme, box layout.Box) []string {
	lines := t.Lines(th, box.W-2)
	t.height, t.total = max(0, box.H-2), len(lines)
	t.top = max(0, min(t.top, t.total-t.height))
	out := []string{th.Title.Render(" " + t.Title), ""}
	for i := t.top; i < len(lines) && i < t.top+t.height; i++ {
		out = append(out, "  "+lines[i])
	}
	if t.top+t.height < len(lines) && len(out) > 2 {
		out[len(out)-1] = th.Quiet.Render("  … more below")
	}
	return layout.Lines(out, box)
}

// Ask is one or two fields and what to do with them.
type Ask struct {
	Form *widget.Form
	// Done takes the values; a sentence back is shown at the field.
	Done func(values map[string]string) (field, sentence string)
	// Then is what Done leaves to be done once this has gone off the screen, or nil.
	Then func()
}

// Typing reports whether the keys go to a field that takes text.
func (a *Ask) Typing() bool { return a.Form.Typing() }

// Keys implements Overlay.
func (a *Ask) Keys() keys.Table { return a.Form.Keys() }

// Update implements Overlay.
func (a *Ask) Update(msg tea.KeyMsg) (intent.Intent, bool) {
	up, handled := a.Form.Update(msg)
	if _, ok := up.(intent.Submit); ok {
		if field, why := a.Done(a.Form.Values()); why != "" {
			a.Form.Fail(field, why)
			return nil, true
		}
		return intent.Back{}, true
	}
	return up, handled
}

// View implements Overlay.
func (a *Ask) View(th theme.Theme, box layout.Box) []string { return a.Form.View(th, box) }
