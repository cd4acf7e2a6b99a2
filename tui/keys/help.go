package keys

import (
	"slices"

	"cellar.example/mustwatch/tui/cell"
	"cellar.example/mustwatch/tui/intent"
	"cellar.example/mustwatch/tui/theme"
)

const footerGap = 2

// Footer is one line of exactly width cells: "d dose  r reading  ? all keys".
// Keys that are off are left out, then keys from the end for which there is no
// room; the one that shows all keys always stays, last, because it is the way to
// the rest.
func Footer(t Table, width int, th theme.Theme) string {
	var shown []Binding
	var help *Binding
	for _, b := range t {
		switch {
		case b.Short == "" || b.Reason() != "":
		case b.Intent == intent.Intent(intent.Help{}):
			help = &b
		default:
			shown = append(shown, b)
		}
	}
	room := width
	if help != nil {
		room -= footerGap + footerWidth(*help)
	}
	line, used := "", 0
	add := func(b Binding, room int) bool {
		gap := cell.Blank(footerGap)
		if used == 0 {
			gap = ""
		}
		if used+len(gap)+footerWidth(b) > room {
			return false
		}
		line += gap + th.Key.Render(footerKey(b)) + " " + th.Text.Render(b.Short)
		used += len(gap) + footerWidth(b)
		return true
	}
	for _, b := range shown {
		if !add(b, room) {
			break
		}
	}
	if help != nil {
		add(*help, width)
	}
	return cell.Fit(line, width)
}

// footerKey is the first key only: the others are for the help overlay.
func footerKey(b Binding) string {
	if b.Label != "" || len(b.Keys) == 0 {
		return b.Label
	}
	return b.Keys[0]
}

func footerWidth(b Binding) int {
	return cell.Width(footerKey(b)) + 1 + cell.Width(b.Short)
}

// Sheet is the help overlay's text: every key of the tables under its group, in
// the order in which the groups first appear. A key that is off is shown with
// its reason, since a person who looks for it should find it. Lines are cut to
// width; the caller scrolls.
func Sheet(width int, th theme.Theme, tables ...Table) []string {
	all := slices.Concat(tables...)
	column := 0
	var groups []string
	for _, b := range all {
		column = max(column, cell.Width(b.label()))
		if !slices.Contains(groups, b.Group) {
			groups = append(groups, b.Group)
		}
	}
	column = min(column, max(width/3, 1))
	var lines []string
	for i, group := range groups {
		if i > 0 {
			lines = append(lines, cell.Blank(width))
		}
		lines = append(lines, th.Title.Render(cell.Fit(group, width)))
		for _, b := range all {
			if b.Group == group {
				lines = append(lines, sheetLine(b, column, width, th))
			}
		}
	}
	return lines
}

func sheetLine(b Binding, column, width int, th theme.Theme) string {
	line := "  " + th.Key.Render(cell.Fit(b.label(), column)) + "  " + th.Text.Render(b.Help)
	if why := b.Reason(); why != "" {
		line += "  " + th.Quiet.Render("not now: "+why)
	}
	return cell.Fit(line, width)
}
