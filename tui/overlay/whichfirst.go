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

// WhichFirst asks whether what was typed was before or after an entry of the same time.
// Enter only goes back to what was typed.
type WhichFirst struct {
	Text  string
	With  cellar.Seq // the entry that stands
	Field string     // at which it was asked
	// What was chosen.
	Before, After bool
}

// Keys implements Overlay.
func (w *WhichFirst) Keys() keys.Table {
	return keys.Table{
		{Keys: []string{"b"}, Short: "yours first", Help: "what you typed was before the saved entry",
			Group: keys.GroupProgram, Intent: intent.Submit{}},
		{Keys: []string{"a"}, Short: "saved one first", Help: "what you typed was after the saved entry",
			Group: keys.GroupProgram, Intent: intent.Submit{}},
		{Keys: []string{"esc", "enter"}, Label: "esc", Short: "back to the form", Help: "back to what was typed",
			Group: keys.GroupProgram, Intent: intent.Back{}},
	}
}

// Update implements Overlay.
func (w *WhichFirst) Update(msg tea.KeyMsg) (intent.Intent, bool) {
	in, _, ok := w.Keys().Lookup(msg)
	w.Before, w.After = keys.Name(msg) == "b", keys.Name(msg) == "a"
	return in, ok
}

// View implements Overlay.
func (w *WhichFirst) View(th theme.Theme, box layout.Box) []string {
	out := []string{th.Title.Render(" Which was first?"), ""}
	for _, l := range cell.Wrap(w.Text, box.W-4) {
		out = append(out, "  "+l)
	}
	out = append(out, "")
	for _, x := range [][2]string{{"b  ", "before: what you typed came first"},
		{"a  ", "after: the saved entry came first"},
		{"esc", "back to the form: nothing is saved, nothing typed is lost"}} {
		out = append(out, "  "+th.Strong.Render(x[0])+" "+x[1])
	}
	return layout.Lines(out, box)
}
