package overlay

import (
	tea "github.com/charmbracelet/bubbletea"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/tui/cell"
	"cellar.example/mustwatch/tui/intent"
	"cellar.example/mustwatch/tui/keys"
	"cellar.example/mustwatch/tui/layout"
	"cellar.example/mustwatch/tui/theme"
)

// Clash says that what was typed and an entry that stands cannot both be so, and takes
// the way out: both are corrected together, or it has happened and is saved with its
// fault. Enter only goes back to what was typed.
type Clash struct {
	Text string
	With cellar.Seq // the entry that stands
	// What was chosen.
	Together, Happened bool
}

// Keys implements Overlay.
func (c *Clash) Keys() keys.Table {
	return keys.Table{
		{Keys: []string{"t"}, Short: "correct both together", Help: "correct both entries together",
			Group: keys.GroupProgram, Intent: intent.Submit{}},
		{Keys: []string{"h"}, Short: "it happened", Help: "that is what happened: save it, the fault stays",
			Group: keys.GroupProgram, Intent: intent.Submit{}},
		{Keys: []string{"esc", "enter"}, Label: "esc", Short: "back to the form", Help: "back to what was typed",
			Group: keys.GroupProgram, Intent: intent.Back{}},
	}
}

// Update implements Overlay.
func (c *Clash) Update(msg tea.KeyMsg) (intent.Intent, bool) {
	in, _, ok := c.Keys().Lookup(msg)
	c.Together, c.Happened = keys.Name(msg) == "t", keys.Name(msg) == "h"
	return in, ok
}

// View implements Overlay.
func (c *Clash) View(th theme.Theme, box layout.Box) []string {
	out := []string{th.Title.Render(" These two cannot both be right"), ""}
	for _, l := range cell.Wrap(c.Text, box.W-4) {
		out = append(out, "  "+l)
	}
	out = append(out, "")
	for _, x := range []struct{ key, says string }{
		{"t  ", "correct that entry too, and save both as one"},
		{"h  ", "that is what happened: save it; the tank does not add up until one entry is corrected"},
		{"esc", "back to the form: nothing is saved, nothing typed is lost"}} {
		for i, l := range cell.Wrap(x.says, box.W-8) {
			lead := "      "
			if i == 0 {
				lead = "  " + th.Strong.Render(x.key) + " "
			}
			out = append(out, lead+l)
		}
	}
	return layout.Lines(out, box)
}
