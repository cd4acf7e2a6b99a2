package wall

import (
	"strings"

	"cellar.example/mustwatch/tui/cell"
	"cellar.example/mustwatch/tui/layout"
	"cellar.example/mustwatch/tui/theme"
)

// paint names a look; the theme says how it is shown.
type paint uint8

const (
	asText paint = iota
	asStrong
	asQuiet
	asWord
	asSoon
	asHeld
	asRule
	asDemo
	paints
)

func inks(th theme.Theme) [paints]theme.Ink {
	return [paints]theme.Ink{asText: th.Text, asStrong: th.Strong, asQuiet: th.Quiet, asWord: th.Band, asSoon: th.Soon,
		asHeld: th.Held, asRule: th.Rule, asDemo: th.Demo}
}

// spot is one cell of the canvas.
type spot struct {
	sign    rune
	paint   paint
	written bool // by text, which a reversed row does not fill
	number  bool // of a number's block, which is always the other way round than its row
}

// canvas is a box of cells on which figures are drawn dot by dot.
type canvas struct {
	box      layout.Box
	spots    []spot
	reversed []bool // rows that are drawn light on dark the other way round
	ascii    bool   // nothing is drawn by filling: what is reversed has a look or a sign
}

func newCanvas(box layout.Box) *canvas {
	c := &canvas{box: box, spots: make([]spot, box.W*box.H), reversed: make([]bool, box.H)}
	for i := range c.spots {
		c.spots[i].sign = ' '
	}
	return c
}

func (c *canvas) at(x, row int) *spot {
	if x < 0 || row < 0 || x >= c.box.W || row >= c.box.H {
		return nil
	}
	return &c.spots[row*c.box.W+x]
}

// dot draws one dot; y counts half rows.
func (c *canvas) dot(x, y int, p paint) {
	s := c.at(x, y/2)
	if s == nil {
		return
	}
	half, other := '▀', '▄'
	if y%2 == 1 {
		half, other = other, half
	}
	s.paint, s.written = p, false // what it belongs to stays
	switch s.sign {
	case other, '█':
		s.sign = '█'
	default:
		s.sign = half
	}
}

// figures draws a text in large signs, its upper left corner at cell x and half
// row y.
func (c *canvas) figures(x, y int, z size, text string, p paint) {
	if p == asStrong { // bold adds nothing to a block, and turns black to grey where there are sixteen colours
		p = asText
	}
	for row := y / 2; row <= (y+z.dots()-1)/2; row++ { // a look with a ground of its own is a block, not shreds
		for i := -1; i <= z.width(text); i++ {
			if s := c.at(x+i, row); s != nil && s.sign == ' ' && !s.written {
				s.paint = p
			}
		}
	}
	for _, r := range text {
		shape := z.set.sign(r)
		for i, line := range shape {
			for j := range line {
				if line[j] != '#' {
					continue
				}
				for k := range z.times * z.dot() {
					c.dot(x+j*z.times+k%z.times, y+i*z.dot()+k/z.times, p)
				}
			}
		}
		x += (len(shape[0]) + 1) * z.times
	}
}

// text writes a text of ordinary size into at most w cells and returns the
// cells it took.
func (c *canvas) text(x, row, w int, text string, p paint) int {
	if w <= 0 {
		return 0
	}
	if text = cell.Clean(text); cell.Width(text) > w {
		text = cell.Fit(text, w)
	}
	n := 0
	for _, r := range text {
		for range cell.Width(string(r)) {
			s := c.at(x+n, row)
			if n++; s == nil || n > w {
				continue
			}
			*s = spot{sign: r, paint: p, written: true}
			if cell.Width(string(r)) != 1 {
				s.sign = '?' // a wide letter would tear the row
			}
		}
	}
	return min(n, w)
}

// block makes cells those of a number, cut out of what is around them; in ASCII it
// stands in brackets.
func (c *canvas) block(x, row, w, h int) {
	for r := row; r < row+h; r++ {
		for i := range w {
			if s := c.at(x+i, r); s != nil && !c.ascii {
				s.number = true
			}
		}
		if c.ascii {
			c.text(x, r, 1, "[", asText)
			c.text(x+w-1, r, 1, "]", asText)
		}
	}
}

// reverse turns whole rows round.
func (c *canvas) reverse(row, n int) {
	for i := max(0, row); i < min(row+n, c.box.H); i++ {
		c.reversed[i] = true
	}
}

// lines draws the canvas. With flash every row is turned round once more.
// Where the terminal shows nothing but signs, a turned row is drawn with them:
// full cells with the figures left out.
func (c *canvas) lines(th theme.Theme, flash bool) []string {
	ink := inks(th)
	out := make([]string, c.box.H)
	var line, run strings.Builder
	for row := range out {
		around := c.reversed[row] != flash
		line.Reset()
		cells := c.spots[row*c.box.W : (row+1)*c.box.W]
		for i := 0; i < len(cells); {
			p, number := cells[i].paint, cells[i].number
			turned := around != number
			run.Reset()
			for ; i < len(cells) && cells[i].paint == p && cells[i].number == number; i++ {
				run.WriteRune(shown(cells, i, turned && th.Mono && !c.ascii))
			}
			look := ink[p]
			switch {
			case flash && turned, number && turned:
				look = th.Flash
			case flash, number:
				look = th.Strong
			case turned:
				look = th.Overdue
			}
			line.WriteString(look.Render(run.String()))
		}
		out[row] = line.String()
	}
	return out
}

// shown is the sign of a cell, the other way round where it has to be drawn so.
// Words stay words, with a blank around them.
func shown(cells []spot, i int, turned bool) rune {
	s := cells[i]
	beside := !s.number && (i > 0 && cells[i-1].written || i+1 < len(cells) && cells[i+1].written)
	if !turned || s.written || beside && s.sign == ' ' {
		return s.sign
	}
	switch s.sign {
	case ' ':
		return '█'
	case '█':
		return ' '
	case '▀':
		return '▄'
	case '▄':
		return '▀'
	}
	return s.sign
}
