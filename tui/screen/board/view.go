package board

import (
	"fmt"
	"strings"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/tui/cell"
	"cellar.example/mustwatch/tui/face"
	"cellar.example/mustwatch/tui/layout"
	"cellar.example/mustwatch/tui/theme"
)

// View implements face.Face. What is due stands beside the bands where they still
// hold their ages then, in a panel below them on a screen that is tall enough, else
// in lines.
func (b *Board) View(g face.Sight, box layout.Box) []string {
	if w, left := b.beside(g, box.W); w > 0 {
		bands := b.bands(g, layout.Box{W: left, H: box.H})
		side := b.side(g, layout.Box{W: w, H: box.H})
		bar := cell.Blank(box.W-w-1-left) + g.Theme.Rule.Render("│")
		out := make([]string, box.H)
		for i := range out {
			out[i] = bands[i] + bar + side[i]
		}
		return out
	}
	var below []string
	if box.H >= panelFrom {
		below = b.panel(g, box)
	} else {
		below = b.strip(g, box)
	}
	bands := b.bands(g, layout.Box{W: box.W, H: max(0, box.H-len(below))})
	return layout.Lines(layout.Stack(bands, below), box)
}

// leastSide is the least width of the pane.
const leastSide = 31

// sideWide is the width of the pane beside the bands, 0 where the screen is too
// narrow for one.
func sideWide(w int) int {
	switch {
	case w >= 180:
		return 40
	case w >= 140:
		return 33
	case w >= 120:
		return 32
	case w >= 119:
		return leastSide
	}
	return 0
}

// beside gives the pane and the bands beside it their widths, 0 where the bands would
// not hold their ages. The blank before the rule gives way first, then what the pane has beyond its least width.
func (b *Board) beside(g face.Sight, w int) (pane, bands int) {
	for pane = sideWide(w); pane >= leastSide; pane-- {
		for left := w - pane - 2; left < w-pane; left++ {
			if b.frame(g).sizes.fit(left).holdsAges() {
				return pane, left
			}
		}
	}
	return 0, 0
}

// bands draws the rows, keeping the cursor in view.
func (b *Board) bands(g face.Sight, box layout.Box) []string {
	rs, all := b.frame(g).rows, b.frame(g).spots
	if b.filter != "" && len(all) > 0 && box.H > 2 { // a board with most of it left out says so
		word := g.Theme.Soon.Render(cell.Fit(g.Say("  ONLY WHAT CONTAINS {filter:%q}. Esc shows all again.", b.filter),
			box.W))
		return append([]string{word}, b.list(g, rs, all, layout.Box{W: box.W, H: box.H - 1})...)
	}
	if len(all) == 0 {
		text := "  Nothing here yet. ? shows all keys."
		if b.filter != "" {
			text = g.Say("  Nothing here contains {filter:%q}. Esc shows all again.", b.filter)
		}
		return layout.Lines([]string{"", text}, box)
	}
	return b.list(g, rs, all, box)
}

// list draws the rows around the cursor.
func (b *Board) list(g face.Sight, rs []row, all []spot, box layout.Box) []string {
	cur := all[b.find(all)]
	lines, first := b.lines(g, rs, cur, box)
	b.top = layout.Window(len(lines), first, box.H, b.top)
	end := min(len(lines), b.top+box.H)
	out := layout.Lines(lines[b.top:end], box)
	if end < len(lines) && box.H > 0 {
		out[box.H-1] = cell.Fit(g.Theme.Quiet.Render(fmt.Sprintf("  … %d more lines below", len(lines)-end+1)), box.W)
	}
	return out
}

// lines draws every row and says in which line the cursor is. Bands are set
// apart by a blank line where the box is tall enough for all of them.
func (b *Board) lines(g face.Sight, rs []row, cur spot, box layout.Box) (out []string, first int) {
	cols := b.frame(g).sizes.fit(box.W)
	drawn, n, bands := make([][]string, len(rs)), 0, 0
	for i, r := range rs {
		label := ""
		if i == 0 || r.band != rs[i-1].band {
			label = r.band
			bands++
		}
		on := i == cur.line && !b.onNext
		gutter := g.Theme.Band.Render(cell.Fit(" "+label, gutterW))
		if len(r.codes) > 0 {
			drawn[i] = codeLines(g, r, gutter, cur, on, box.W)
		} else {
			drawn[i] = cols.draw(g.Theme, r, gutter, on, box.W)
		}
		n += len(drawn[i])
	}
	airy := n+bands-1 <= box.H
	parted := n+3 <= box.H // room for a line between what moves and what is quiet
	out = make([]string, 0, n+bands)
	for i, r := range rs {
		if i > 0 && r.band != rs[i-1].band && (airy || parted && r.band == bandFerment) {
			out = append(out, "")
		}
		if i == cur.line {
			first = len(out)
		}
		out = append(out, drawn[i]...)
	}
	return out, first
}

// draw paints one row into its columns, and below it what its phrase goes on with.
func (c grid) draw(th theme.Theme, r row, gutter string, on bool, w int) []string {
	var says []string
	for _, text := range r.says {
		if cell.Width(text) > c.w[colSays] {
			text = columnWord(text)
		}
		if cell.Width(text) <= c.w[colSays] {
			says = append(says, text)
		} else {
			says = append(says, cell.Wrap(text, c.w[colSays])...)
		}
	}
	said := ""
	if len(says) > 0 {
		said = says[0]
	}
	cursor := " "
	if on {
		cursor = ">"
	}
	mark, calm := markInk(th, r.mark), r.mark == cellar.MarkCalm
	var out strings.Builder
	out.Grow(w + 160)
	out.WriteString(gutter)
	switch sign := sign(r.mark); {
	case sign != " ":
		out.WriteString(mark.Render(cursor + sign))
	default:
		out.WriteString(th.Strong.Render(cursor) + sign)
	}
	number := cell.Fit(r.number, c.numberW)
	if out.WriteByte(' '); calm {
		out.WriteString(th.Strong.Render(number))
	} else {
		out.WriteString(mark.Render(number))
	}
	name, check := r.short, r.check
	if c.long {
		name = r.name
	}
	if c.shared && r.age != "" {
		check = r.age
	}
	x := gutterW + signsW + 1 + c.numberW
	put := func(col int, text string, ink theme.Ink, right bool) {
		if c.w[col] == 0 {
			return
		}
		out.WriteString(cell.Blank(c.at[col] - x))
		if right {
			text = cell.FitLeft(text, c.w[col])
		} else {
			text = cell.Fit(text, c.w[col])
		}
		out.WriteString(ink.Render(text))
		x = c.at[col] + c.w[col]
	}
	put(colName, name, th.Strong, false)
	put(colSize, r.size, th.Text, true)
	put(colFill, r.fill, th.Text, true)
	put(colTemp, r.temp, th.Text, true)
	put(colAge, r.age, th.Quiet, true)
	put(colCheck, check, th.Text, false)
	if calm || said == "" {
		mark = th.Text
	}
	put(colSays, said, mark, false)
	put(colWhose, r.whose, th.Text, false)
	put(colSince, r.since, th.Quiet, false)
	put(colFacts, whole(r.facts, c.w[colFacts]), th.Quiet, false)
	out.WriteString(cell.Blank(w - x))
	lines := []string{out.String()}
	for i := 1; i < len(says); i++ {
		lines = append(lines, cell.Fit(cell.Blank(c.at[colSays])+mark.Render(cell.Fit(says[i], c.w[colSays])), w))
	}
	return lines
}

// whole are as many facts as have room: half a fact says another thing.
func whole(facts []string, w int) string {
	out := ""
	for _, f := range facts {
		next := f
		if out != "" {
			next = out + " · " + f
		}
		if cell.Width(next) > w {
			break
		}
		out = next
	}
	return out
}

func markInk(th theme.Theme, m cellar.Mark) theme.Ink {
	switch m {
	case cellar.MarkOver, cellar.MarkDue:
		return th.Overdue
	case cellar.MarkSoon:
		return th.Soon
	case cellar.MarkHeld:
		return th.Held
	}
	return th.Text
}

// sign is the shape of a mark, for those who see no colour.
func sign(m cellar.Mark) string {
	switch m {
	case cellar.MarkOver, cellar.MarkDue:
		return "▲"
	case cellar.MarkHeld:
		return "×"
	}
	return " "
}

// codeLines draws a quiet line, over as many lines as its codes need. Their numbers
// stand under those of the rows.
func codeLines(g face.Sight, r row, gutter string, cur spot, on bool, w int) []string {
	const from = gutterW + signsW
	var out []string
	line, used := gutter+cell.Blank(signsW), from
	if r.name != "" {
		line += g.Theme.Quiet.Render(r.name + " ")
		used += cell.Width(r.name) + 1
	}
	for j, c := range r.codes {
		text, ink := " "+c.text+" ", g.Theme.Text
		if on && j == cur.code {
			text, ink = ">"+c.text+" ", g.Theme.Strong
		}
		n := cell.Width(text)
		if used+n > w {
			out = append(out, line+cell.Blank(w-used))
			line, used = cell.Blank(from), from
		}
		line += ink.Render(text)
		used += n
	}
	return append(out, line+cell.Blank(w-used))
}
