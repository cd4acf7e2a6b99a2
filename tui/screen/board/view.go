package board

import (
	"fmt"
	"strings"
	"time"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/tui/cell"
	"cellar.example/mustwatch/tui/face"
	"cellar.example/mustwatch/tui/layout"
	"cellar.example/mustwatch/tui/theme"
	"cellar.example/mustwatch/tui/widget"
)

// The widths from which the list of what is due stands beside the bands, and
// from which a row has room for more.
const (
	besideFrom = 110
	wideFrom   = 150
	nextWide   = 33
)

// View implements face.Face.
func (b *Board) View(g face.Sight, box layout.Box) []string {
	if box.W >= besideFrom {
		right := nextWide
		if box.W >= wideFrom {
			right = 56
		}
		left := box.W - right - 1
		bar := make([]string, box.H)
		for i := range bar {
			bar[i] = g.Theme.Rule.Render("│")
		}
		body := layout.Beside(b.bands(g, layout.Box{W: left, H: box.H}), bar, left, 1)
		return layout.Beside(body, b.dueList(g, layout.Box{W: right, H: box.H}), left+1, right)
	}
	strip := b.strip(g, box.W)
	bands := b.bands(g, layout.Box{W: box.W, H: box.H - len(strip)})
	return layout.Lines(layout.Stack(bands, strip), box)
}

// gutterW is the width of the band names; the longest is CONTACT or FLOATING.
const gutterW = 9

// bands draws the rows, keeping the cursor in view.
func (b *Board) bands(g face.Sight, box layout.Box) []string {
	rs := b.rows(g)
	all := spots(rs)
	if b.filter != "" && len(all) > 0 && box.H > 2 { // a board with most of it left out says so
		word := g.Theme.Soon.Render(cell.Fit(fmt.Sprintf("  ONLY WHAT HOLDS %q. Esc shows all again.", b.filter), box.W))
		return append([]string{word}, b.list(g, rs, all, layout.Box{W: box.W, H: box.H - 1})...)
	}
	if len(all) == 0 {
		text := "  Nothing here yet. ? shows all keys."
		if b.filter != "" {
			text = fmt.Sprintf("  Nothing is called %q. Esc shows all again.", b.filter)
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
	cols := columns(box.W)
	airy := len(rs)+bandCount(rs) <= box.H
	parted := len(rs)+3 <= box.H // room for a line between what moves and what is quiet
	band := ""
	for i, r := range rs {
		label := ""
		if r.band != band {
			if airy && band != "" || parted && !airy && r.band == bandFerment {
				out = append(out, "")
			}
			band, label = r.band, r.band
		}
		on := i == cur.line && !b.onNext
		if i == cur.line {
			first = len(out)
		}
		gutter := g.Theme.Band.Render(cell.Fit(" "+label, gutterW))
		if len(r.codes) > 0 {
			out = append(out, codeLines(g, r, gutter, cur, on, box.W)...)
			continue
		}
		out = append(out, gutter+drawRow(g.Theme, r, cols, on))
	}
	return out, first
}

func bandCount(rs []row) int {
	n, band := 0, ""
	for _, r := range rs {
		if r.band != band {
			n, band = n+1, r.band
		}
	}
	return n
}

// columns are the widths of a row's parts for a given width of the bands. The
// last one that is weighted is the phrase; it gets what the others leave.
func columns(w int) widget.Columns {
	c := widget.Columns{Gap: 1, Cols: []widget.Column{
		{Width: 2}, {Width: 4}, {Width: 14}, {Width: 8, Right: true}, {Width: 4, Right: true}, {Width: 14}, {Weight: 1},
	}}
	switch {
	case w >= wideFrom-60:
		c.Cols = []widget.Column{{Width: 2}, {Width: 5}, {Width: 22}, {Width: 9, Right: true}, {Width: 5, Right: true}, {Width: 18}, {Width: 8}, {Weight: 5}, {Weight: 5}}
	case w >= besideFrom-28:
		c.Cols[2].Width, c.Cols[5].Width = 17, 16
	}
	return c.Spread(w - gutterW)
}

// drawRow paints one row into its columns.
func drawRow(th theme.Theme, r row, cols widget.Columns, on bool) string {
	mark := " "
	if on {
		mark = ">"
	}
	state := r.state
	wide := len(cols.Cols) == 9
	switch room := cols.Cols[5].Width - cell.Width(state) - 1; {
	case r.check != "" && (wide || room >= len(r.check)):
		state += " " + r.check
	case r.check != "":
		state += " " + r.check[:3] + "."
	case !wide && r.age != "":
		state += " " + r.age
	}
	texts := []string{mark + sign(r.mark), r.plate, r.name, r.size, r.fill, state}
	if wide {
		texts = append(texts, r.age)
	}
	texts = append(texts, r.says)
	if wide {
		texts = append(texts, r.extra)
	}
	for i, t := range texts {
		text := cell.Fit(t, cols.Cols[i].Width)
		if cols.Cols[i].Right {
			text = cell.FitLeft(t, cols.Cols[i].Width)
		}
		texts[i] = ink(th, r, i, wide, on).Render(text)
	}
	return cols.Row(texts...)
}

// ink is the paint of one column: the plate and the phrase carry the mark.
func ink(th theme.Theme, r row, col int, wide, on bool) theme.Ink {
	says := 6
	if wide {
		says = 7
	}
	switch {
	case col == 0 || col == 1 || col == says:
		if r.mark != cellar.MarkCalm && (col > 0 || sign(r.mark) != " ") {
			return markInk(th, r.mark)
		}
		if col == 1 || on && col == 0 {
			return th.Strong
		}
	case col == 2:
		return th.Strong
	case wide && (col == 6 || col == 8):
		return th.Quiet
	}
	return th.Text
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

// codeLines draws a quiet line, over as many lines as its codes need.
func codeLines(g face.Sight, r row, gutter string, cur spot, on bool, w int) []string {
	var out []string
	line, used := gutter+"   ", gutterW+3
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
			out = append(out, line)
			line, used = cell.Blank(gutterW+3), gutterW+3
		}
		line += ink.Render(text)
		used += n
	}
	return append(out, line)
}

// dueList draws the list of what is due beside the bands, with what is held and
// the standing caution below it.
func (b *Board) dueList(g face.Sight, box layout.Box) []string {
	foot := heldLines(g, box.W)
	head := g.Theme.Title.Render(" NEXT")
	room := max(0, box.H-len(foot)-2)
	all := due(g)
	if home := homeLines(g, box.W); len(home) > 0 && len(all)+len(home) <= room { // what is due is never cut for it
		foot = append(home, foot...)
		room -= len(home)
	}
	top := layout.Window(len(all), min(b.next, max(0, len(all)-1)), room, 0)
	lines := []string{head}
	for i := top; i < len(all) && i < top+room; i++ {
		lines = append(lines, b.dueLine(g, all[i], box.W, b.onNext && i == min(b.next, len(all)-1)))
	}
	if rest := len(all) - top - room; rest > 0 && len(lines) > 1 {
		lines[len(lines)-1] = g.Theme.Quiet.Render(fmt.Sprintf("  … and %d more", rest+1))
	}
	for len(lines) < box.H-len(foot) {
		lines = append(lines, "")
	}
	return layout.Lines(append(lines, foot...), box)
}

func (b *Board) dueLine(g face.Sight, d cellar.Due, w int, on bool) string {
	mark := " "
	if on {
		mark = ">"
	}
	word := face.DueWord(d, g.Now, g.State.Zone())
	m := cellar.MarkCalm
	switch {
	case d.Raised || d.Clock == "" && d.Notice == "" && !d.At.After(g.Now):
		m = cellar.MarkOver
	case d.Kind != cellar.NotBefore && d.At.Sub(g.Now) <= loadAhead/2:
		m = cellar.MarkSoon
	}
	who, verb := cell.FitLeft(string(d.Owner), 3), d.Verb
	if d.SeenBy != "" {
		who = "seen " + string(d.SeenBy) // it is on that name now, whoever's it was
	}
	if !d.Again.IsZero() {
		verb, word = d.Verb+" again", face.Clock(d.Again, g.Now, g.State.Zone())
	}
	verb = mayWords(g, d, verb)
	if d.Notice != "" {
		word = d.Notice // beside the subject it would be cut off
	}
	head := mark + sign(m) + cell.FitLeft(word, max(8, cell.Width(word))) + "  " // a time that is cut off is another time
	tail := who + " "
	mid := cell.Fit(subject(d.Subject)+verb, max(0, w-cell.Width(head)-cell.Width(tail)))
	ink := markInk(g.Theme, m)
	return ink.Render(head+mid) + g.Theme.Quiet.Render(tail)
}

// mayWords tell what may be done from a time on from what must be, and a forecast
// from both.
func mayWords(g face.Sight, d cellar.Due, verb string) string {
	c, ok := g.State.ClockByID(d.Clock)
	switch {
	case !ok || d.Kind != cellar.NotBefore || c.Kind == cellar.KindShift:
		return verb
	case c.Kind == cellar.KindCooling:
		return strings.TrimPrefix(verb, "be ") // "at 8.5 °C"
	}
	return "may " + verb
}

// subject keeps the verbs under each other; a longer one takes what it needs.
func subject(s string) string {
	if cell.Width(s) < 6 {
		return cell.Fit(s, 6)
	}
	return s + " "
}

// nextAhead is how far ahead loads stand among what is due; the yard's band
// lists them all.
const nextAhead = 2 * time.Hour

// due is what is due, without the loads of later on.
func due(g face.Sight) []cellar.Due {
	var out []cellar.Due
	for _, d := range g.Next() {
		if d.Clock != "" || d.At.Sub(g.Now) <= nextAhead {
			out = append(out, d)
		}
	}
	return out
}

// homeLines are what will want a tank in the next two hours and has none.
func homeLines(g face.Sight, w int) (out []string) {
	for _, text := range g.State.Homeless(g.Now) {
		for i, l := range cell.Wrap(text, w-4) {
			lead := "   "
			if i == 0 {
				lead = " "
			}
			out = append(out, lead+l)
		}
	}
	if len(out) == 0 {
		return nil
	}
	return append(append([]string{g.Theme.Title.Render(" NO HOME YET")}, out...), "")
}

// heldLines are the holds and the line that never leaves the board.
func heldLines(g face.Sight, w int) []string {
	var out []string
	for _, v := range g.State.Vessels() {
		if v.Hold == nil {
			continue
		}
		if len(out) == 0 {
			out = append(out, g.Theme.Title.Render(" HELD"))
		}
		until := ""
		if !v.Hold.Until.IsZero() {
			until = ", by " + face.Clock(v.Hold.Until, g.Now, g.State.Zone())
		}
		out = append(out, g.Theme.Held.Render(cell.Fit(fmt.Sprintf(" × %s  %s releases%s", v.Plate, v.Hold.Releaser, until), w)))
		for _, l := range cell.Wrap(v.Hold.Reason, w-4) {
			out = append(out, "   "+l)
		}
	}
	if len(out) > 0 {
		out = append(out, "")
	}
	who, why, _ := strings.Cut(g.State.EntryLine(g.Now), ": ")
	for _, l := range append(cell.Wrap(who, w-2), cell.Wrap(why, w-2)...) {
		if l != "" {
			out = append(out, g.Theme.Strong.Render(" "+l))
		}
	}
	if gas := face.GasLine(g.State, g.Now); gas != "" {
		for _, l := range cell.Wrap(gas, w-2) {
			out = append(out, " "+l)
		}
	}
	if missing := face.MissingLine(g.State, g.Now); missing != "" {
		out = append(out, g.Theme.Overdue.Render(cell.Fit(" "+missing, w)))
	}
	if tired := face.TiredLine(g.State, g.Now); tired != "" {
		for _, l := range cell.Wrap(tired, w-2) {
			out = append(out, g.Theme.Soon.Render(" "+l))
		}
	}
	return out
}

// strip is the list of what is due in two lines, for narrow screens.
func (b *Board) strip(g face.Sight, w int) []string {
	all := due(g)
	lines := []string{"", ""}
	used := []int{0, 0}
	at := 0
	add := func(painted, plain string) bool {
		n := cell.Width(plain)
		if used[at]+n > w && at == 0 {
			at = 1
			lines[1], used[1] = cell.Blank(6), 6
		}
		if used[at]+n > w {
			return false
		}
		lines[at] += painted
		used[at] += n
		return true
	}
	add(g.Theme.Title.Render(" NEXT "), " NEXT ")
	for i, d := range all {
		word := face.DueWord(d, g.Now, g.State.Zone())
		text := fmt.Sprintf("%s %s %s", d.Subject, mayWords(g, d, d.Verb), word)
		if d.Notice != "" {
			text = fmt.Sprintf("%s %s, %s", d.Subject, d.Verb, d.Notice)
		}
		m := cellar.MarkCalm
		if d.Raised || d.Clock == "" && d.Notice == "" && !d.At.After(g.Now) {
			m = cellar.MarkOver
			text = "▲" + text
		}
		if b.onNext && i == b.next {
			text = ">" + text
		}
		if !add(markInk(g.Theme, m).Render(text)+"  ", text+"  ") {
			break
		}
	}
	caution := g.State.EntryLine(g.Now)
	if gas := face.GasLine(g.State, g.Now); gas != "" {
		caution += " · " + gas
	}
	if missing := face.MissingLine(g.State, g.Now); missing != "" {
		caution = missing + " · " + caution
	}
	for _, v := range g.State.Vessels() {
		if v.Hold != nil {
			caution += fmt.Sprintf(" · × %s held, %s releases", v.Plate, v.Hold.Releaser)
		}
	}
	if tired := face.TiredLine(g.State, g.Now); tired != "" {
		caution += " · " + tired
	}
	for _, l := range cell.Wrap(caution, w-2) {
		lines = append(lines, g.Theme.Strong.Render(cell.Fit(" "+l, w)))
	}
	return lines
}
