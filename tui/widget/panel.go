package widget

import (
	"fmt"

	"cellar.example/mustwatch/tui/cell"
	"cellar.example/mustwatch/tui/layout"
	"cellar.example/mustwatch/tui/theme"
)

// Panel is a headed block of lines. The lines come painted or plain.
type Panel struct {
	Title string
	Lines []string
}

// View draws the panel as exactly box.H lines of exactly box.W cells. Lines for
// which there is no room are counted in the last one: a panel that seems to be
// complete and is not would be believed.
func (p Panel) View(th theme.Theme, box layout.Box) []string {
	lines := p.Lines
	if room := box.H - 1; len(lines) > room && room > 0 {
		hidden := len(lines) - room + 1
		lines = append(lines[:room-1:room-1], th.Quiet.Render(fmt.Sprintf("… %d more", hidden)))
	}
	return layout.Lines(layout.Stack([]string{heading(th, p.Title, "", box.W)}, lines), box)
}

// heading is a title in a rule, with an optional word at the right end.
func heading(th theme.Theme, title, right string, w int) string {
	const lead = 2
	if right != "" {
		right = " " + right + " "
	}
	if title != "" {
		title = " " + title + " "
	}
	title = cell.Fit(title, min(cell.Width(title), max(w-lead, 0)))
	free := w - lead - cell.Width(title)
	if cell.Width(right) > free {
		right = ""
	}
	return th.Rule.Render(cell.Repeat("─", min(lead, w))) + th.Title.Render(title) +
		th.Rule.Render(cell.Repeat("─", free-cell.Width(right))) + th.Quiet.Render(right)
}
