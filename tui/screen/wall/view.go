package wall

import (
	"strings"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/tui/cell"
	"cellar.example/mustwatch/tui/face"
	"cellar.example/mustwatch/tui/keys"
	"cellar.example/mustwatch/tui/layout"
	"cellar.example/mustwatch/tui/theme"
)

// View implements face.Face. The box is the whole window.
func (w *Wall) View(g face.Sight, box layout.Box) []string {
	if box.H < 2 || box.W < 1 {
		return layout.Lines(nil, box)
	}
	top := emergencies(g, box)
	return append(top, w.below(g, layout.Box{W: box.W, H: box.H - len(top)})...)
}

// below is the wall without what takes its top.
func (w *Wall) below(g face.Sight, box layout.Box) []string {
	p := w.planFor(g, box)
	c := newCanvas(layout.Box{W: box.W, H: box.H - 1})
	c.ascii = g.Ascii
	shown, rest := items(g, p.places)
	if g.Stale.For > 0 { // before all else: what stands below may be old
		shown, rest = items(g, p.places-1)
		shown = append([]item{staleItem(g)}, shown...)
	}
	for i, it := range shown {
		p.draw(c, i*p.pitch, it)
	}
	if len(shown) == 0 {
		p.nothing(c, olderLine(g))
	}
	p.drawStrip(c, g, rest)
	lines := append(c.lines(g.Theme, g.Flash), w.lastLine(g, p, box.W))
	return layout.Lines(lines, box)
}

// draw puts one item on its rows, the first of which is row. A tank or a press stands
// in a block of its own, always the other way round than its row; a time stands on the
// ground, up to the right edge of its column.
func (p plan) draw(c *canvas, row int, it item) {
	y := 2*row + p.top()
	ink := asStrong
	if it.soon {
		ink = asSoon
	}
	rows := (p.top() + p.figures.dots() + 1) / 2
	if it.alarm {
		c.reverse(row, p.pitch)
		if p.ascii {
			c.text(p.number-p.figures.times-1, row+rows/2, 1, "!", asText)
		}
	}
	if it.block {
		c.block(p.number-p.figures.times, row, p.numberW+2*p.figures.times, rows)
	}
	if it.block {
		p.put(c, p.number, y, p.numberW, it.number, asStrong, p.figures.dots(), false)
	} else {
		p.put(c, margin, y, p.block, it.number, asStrong, p.figures.dots(), false)
	}
	p.put(c, p.count, y, p.countW, it.count, ink, p.figures.dots(), true)
	p.put(c, p.word, y, p.wordW, it.word, asWord, p.words.dots(), false)
	who := ""
	if p.whoW > 0 {
		p.put(c, p.who, y, p.whoW, it.who, asText, p.words.dots(), true)
	} else if it.who != "" {
		who = it.who + "  "
	}
	room := c.box.W - p.word - 1
	c.text(p.word, row+p.noteRow(), room, who+it.note(room-cell.Width(who)), asText)
}

// put draws a text as large as its place lets it, and writes it where it is too
// long for figures.
func (p plan) put(c *canvas, x, y, w int, text string, ink paint, dots int, right bool) {
	z, ok := p.fitting(text, dots, w)
	if !ok {
		if wide := strings.Join(strings.Split(text, ""), " "); len(wide) <= w {
			text = wide
		}
		c.text(x, y/2+(dots/2)/2, w, text, asStrong)
		return
	}
	if right {
		x += w - z.width(text)
	}
	if z.dots() < p.figures.dots() && dots == p.figures.dots() { // a long number stands in the middle of its row
		y += (dots - z.dots()) / 2
		if p.ascii {
			y -= y % 2
		}
	}
	c.figures(x, y, z, text, ink)
}

// nothing says in words that nothing is due, so that an empty wall is not taken
// for a broken one; older is what it counts of the shifts before.
func (p plan) nothing(c *canvas, older string) {
	says, below := "NOTHING DUE", "no clock runs"
	if older != "" {
		says, below = "NOTHING NEW", "nothing is due from this shift or the last; "+older
	}
	if z, ok := p.fitting(says, p.figures.dots(), c.box.W-2*margin); ok {
		c.figures(margin, 2*p.pitch, z, says, asText)
	}
	c.text(margin, 2*p.pitch+1, c.box.W-2*margin, below, asText)
}

// drawStrip draws what never leaves the wall.
func (p plan) drawStrip(c *canvas, g face.Sight, rest []cellar.Due) {
	s := p.strip
	top := c.box.H - s.rows
	now := g.Now.In(g.State.Zone()).Format("15:04")
	clockW := s.clock.width(now)
	clockX := c.box.W - 1 - clockW
	room := clockX - 2
	entry, entrySays := entryLine(g, !s.large)
	hold, holdSays := holds(g, room)
	if !s.large {
		c.figures(clockX, 2*top, s.clock, now, asStrong)
		p.smallStrip(c, g, top, room, entrySays, rest)
		return
	}
	c.text(1, top, c.box.W-2, cell.Repeat("─", c.box.W-2), asRule)
	if text := restLine(rest, g, room-margin-2); text != "" {
		c.text(margin, top, room, " "+text+" ", asText)
	}
	y := 2*top + 3
	c.figures(clockX, y, s.clock, now, asStrong)
	if !g.Page {
		c.beat(clockX, c.box.H-1, clockW, g.Beat)
	}
	c.figures(1, y, s.letters, entry, asStrong)
	if x := 1 + s.letters.width(entry) + s.letters.width("   "); hold != "" && x+s.letters.width(hold) <= room {
		c.figures(x, y, s.letters, hold, asHeld)
	}
	row := (y+s.letters.dots())/2 + 1
	c.text(1, row, room, entrySays, asStrong)
	ink := asText
	if hold != "" {
		ink = asHeld
	}
	c.text(1, row+1, room, holdSays, ink)
	c.text(1, row+2, room, gasLine(g, room), asText)
}

// holdRoom is the least room in which a hold is told beside the caution.
const holdRoom = 12

// smallStrip is the strip in lines of words: the caution, the gas, and what
// found no place.
func (p plan) smallStrip(c *canvas, g face.Sight, top, room int, entry string, rest []cellar.Due) {
	n := c.text(1, top, room, entry, asStrong)
	c.text(1, top+1, room, gasLine(g, room), asText)
	x, row := 1+n+3, top
	if room-n-3 < holdRoom { // a permit takes the whole line
		x, row = 1, top+2
	}
	used := 0
	if hold, _ := holds(g, room); hold != "" {
		w := min(room, room+1-x)
		if row != top {
			w = 2 * holdRoom
		}
		_, short := holds(g, w)
		used = c.text(x, row, w, short, asHeld) + 3
	}
	if row == top {
		used = 0
	}
	c.text(1+used, top+2, room-used, restLine(rest, g, room-used), asText)
}

// lastLine is a trouble, what was just said, or the keys; and always the word
// that the board is alive with a sign that moves each second.
func (w *Wall) lastLine(g face.Sight, p plan, width int) string {
	th := g.Theme
	if g.Flash {
		th = theme.Theme{}
	}
	right, n := "", 0
	add := func(ink theme.Ink, text string) {
		right += ink.Render(text)
		n += cell.Width(text)
	}
	if g.Muted {
		add(th.Strong, " BELL MUTED ")
	}
	if g.Demo {
		add(th.Demo, " DEMO ")
	}
	if g.Page {
		add(th.Strong, g.Now.In(g.State.Zone()).Format(" printed Mon 15:04, not live "))
	} else if g.Stale.For > 0 {
		add(th.Overdue, " STALE ")
	} else {
		add(th.Text, " board alive ")
		if zone := strings.TrimPrefix(face.WallTime(g.Now, g.State.Zone()),
			g.Now.In(g.State.Zone()).Format("15:04")); zone != "" {
			add(th.Strong, "it is"+zone+" ")
		}
		add(th.Strong, pulse(g.Beat)+" ")
	}
	room := max(0, width-n)
	left := ""
	switch {
	case g.Banner != "":
		left = th.Overdue.Render(cell.Fit(" "+g.Banner, room))
	case g.Told != "":
		left = th.Strong.Render(cell.Fit(" "+g.Told, room))
	case g.Page: // no key works on paper
	default:
		left = " " + keys.Footer(w.footer(g), max(0, room-1), th)
	}
	line := cell.Fit(cell.Fit(left, room)+right, width)
	if !g.Flash {
		return line
	}
	if g.Theme.Mono { // no sign is left to turn round in a line of words
		return line
	}
	return g.Theme.Flash.Render(line)
}

// places are those between which the sign of life walks to and fro, a step each
// beat: a change of place is seen where a change of shape is not.
const places = 5

func place(beat int) int {
	i := beat % (2*places - 2)
	return min(i, 2*places-2-i)
}

// pulse is the sign of life in a line of words.
func pulse(beat int) string {
	i := place(beat)
	return strings.Repeat("·", i) + "█" + strings.Repeat("·", places-1-i)
}

// beat is the sign of life in large, under the clock.
func (c *canvas) beat(x, row, w, beat int) {
	step := w / places
	c.text(x, row, step*places, cell.Repeat("·", step*places), asQuiet)
	c.text(x+step*place(beat), row, step, cell.Repeat("█", step), asStrong)
}
