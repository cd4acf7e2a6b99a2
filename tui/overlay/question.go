package overlay

import (
	tea "github.com/charmbracelet/bubbletea"

	"cellar.example/mustwatch/tui/cell"
	"cellar.example/mustwatch/tui/intent"
	"cellar.example/mustwatch/tui/keys"
	"cellar.example/mustwatch/tui/layout"
	"cellar.example/mustwatch/tui/theme"
)

// Question asks before something that cannot be taken back. Only its own key goes on;
// the key that asked it, and Enter, do not.
type Question struct {
	Title string
	Text  []string // what follows from it, a sentence each
	Yes   string   // what y does, a verb
	No    string
	Then  intent.Intent // what comes up for y
}

// Keys implements Overlay.
func (q *Question) Keys() keys.Table {
	return keys.Table{
		{Keys: []string{"y", "Y"}, Label: "y", Short: q.Yes, Help: q.Yes, Group: keys.GroupProgram, Intent: q.Then},
		{Keys: []string{"esc", "enter", "n", "N", "q"}, Label: "esc", Short: q.No, Help: q.No, Group: keys.GroupProgram,
			Intent: intent.Back{}},
	}
}

// Update implements Overlay.
func (q *Question) Update(msg tea.KeyMsg) (intent.Intent, bool) {
	in, _, ok := q.Keys().Lookup(msg)
	return in, ok
}

// View implements Overlay.
func (q *Question) View(th theme.Theme, box layout.Box) []string {
	out := []string{th.Title.Render(" " + q.Title), ""}
	for _, sentence := range q.Text {
		for _, l := range cell.Wrap(sentence, box.W-4) {
			out = append(out, "  "+l)
		}
	}
	out = append(out, "", "  "+th.Strong.Render("y")+"   "+q.Yes, "  "+th.Strong.Render("esc")+" "+q.No)
	return layout.Lines(out, box)
}

// Choice is one answer to a question: its key, what it does as a verb, and what comes up.
type Choice struct {
	Key, Verb string
	Then      intent.Intent
}

// Choose asks what to do of several things. Esc and Enter choose the last, which puts the
// question off.
type Choose struct {
	Title   string
	Text    []string // a sentence each
	Choices []Choice
}

// Keys implements Overlay.
func (c *Choose) Keys() keys.Table {
	var out keys.Table
	for i, x := range c.Choices {
		b := keys.Binding{Keys: []string{x.Key}, Short: x.Verb, Help: x.Verb, Group: keys.GroupProgram, Intent: x.Then}
		if i == len(c.Choices)-1 {
			b.Keys, b.Label = append(b.Keys, "esc", "enter"), x.Key
		}
		out = append(out, b)
	}
	return out
}

// Update implements Overlay.
func (c *Choose) Update(msg tea.KeyMsg) (intent.Intent, bool) {
	in, _, ok := c.Keys().Lookup(msg)
	return in, ok
}

// View implements Overlay.
func (c *Choose) View(th theme.Theme, box layout.Box) []string {
	out := []string{th.Title.Render(" " + c.Title), ""}
	for _, sentence := range c.Text {
		for _, l := range cell.Wrap(sentence, box.W-4) {
			out = append(out, "  "+l)
		}
	}
	out = append(out, "")
	for _, x := range c.Choices {
		out = append(out, "  "+th.Strong.Render(x.Key)+"   "+x.Verb)
	}
	return layout.Lines(out, box)
}
