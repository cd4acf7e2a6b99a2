package widget

import (
	"cellar.example/mustwatch/tui/cell"
	"cellar.example/mustwatch/tui/theme"
)

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
