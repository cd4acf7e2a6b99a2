package wall

import (
	"fmt"
	"strconv"
	"strings"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/tui/cell"
	"cellar.example/mustwatch/tui/face"
	"cellar.example/mustwatch/tui/layout"
)

// An emergency takes at least half of the wall from the top. What is due goes on below
// it with the rows that are left.

// emergencies are the rows of the top, nil while none stands. Nothing of their words is
// cut: what finds no room in large letters stands in ordinary ones.
func emergencies(g face.Sight, box layout.Box) []string {
	all := g.State.Emergencies(g.Now)
	if len(all) == 0 {
		return nil
	}
	w := box.W - 2*edge
	says, lines := saysOf(all, w), bigLines(all[0])
	if e := all[0]; e.Kind == cellar.EmergencyInside || e.Subject() != e.Place && e.Kind == cellar.EmergencyGas {
		says = append(cell.Wrap(e.Title, w), says...) // the large words do not say it all
	}
	rows := min(max((box.H+1)/2, len(says)+1+bigRows(lines, sizes[0])), max(box.H-leastBelow, len(says)+2), box.H-1)
	shown := fittingLines(lines, rows-len(says)-1, w)
	if len(shown) < len(lines) {
		if title := cell.Wrap(all[0].Title, w); says[0] != title[0] {
			says = append(title, says...)
		}
		rows = min(max(rows, len(says)+1), box.H-1)
		shown = fittingLines(shown, rows-len(says)-1, w)
	}
	c := newCanvas(layout.Box{W: box.W, H: rows})
	c.reverse(0, rows)
	row := drawBig(c, shown, rows-len(says)-1, w)
	for i, l := range says {
		c.text(edge, row+i, w, l, asStrong)
	}
	return c.lines(g.Theme, g.Flash)
}

const (
	edge = 4
	// leastBelow is what is left below: one thing that is due, the strip and the last line.
	leastBelow = 9
)

// bigWord is a word in large letters, with what stands small beside it.
type bigWord struct{ large, small string }

// bigLines are the lines of an emergency that are read from far away.
func bigLines(e cellar.Emergency) [][]bigWord {
	who := make([]string, len(e.Who))
	for i, w := range e.Who {
		who[i] = string(w)
	}
	switch e.Kind {
	case cellar.EmergencyMissing:
		return [][]bigWord{{{large: "MISSING"}}, {{large: strings.Join(who, " ")}}}
	case cellar.EmergencyInside:
		return [][]bigWord{{{large: "CALL"}}, {{large: strings.Join(who, " ") + " IN " + e.Place}}}
	}
	var second []bigWord
	if e.Place != "" {
		second = append(second, bigWord{large: e.Place})
	}
	switch {
	case e.CO2 != nil:
		second = append(second, bigWord{strconv.FormatFloat(*e.CO2, 'f', 0, 64), "ppm CO2"})
	case e.O2 != nil:
		second = append(second, bigWord{strconv.FormatFloat(*e.O2, 'f', 1, 64), "% O2"})
	}
	return [][]bigWord{{{large: "STAY OUT"}}, second}
}

// fittingLines are those that can be drawn in n rows of w cells at all.
func fittingLines(lines [][]bigWord, n, w int) (out [][]bigWord) {
	for _, l := range lines {
		if lineWidth(sizes[0], l) <= w && bigRows(append(out, l), sizes[0]) <= n {
			out = append(out, l)
		}
	}
	return out
}

// bigRows is what large lines take with the air around them.
func bigRows(lines [][]bigWord, z size) int { return 1 + len(lines)*(z.rows()+1) }

// lineWidth is what a line of large words takes.
func lineWidth(z size, line []bigWord) int {
	n := -z.width("  ")
	for _, x := range line {
		n += z.width("  ") + z.width(spell(x.large))
		if x.small != "" {
			n += 2 + cell.Width(x.small)
		}
	}
	return n
}

// drawBig draws large lines in n rows, as large as they all fit, and returns the row
// below them.
func drawBig(c *canvas, lines [][]bigWord, n, w int) int {
	best := sizes[0]
	for _, z := range sizes {
		fits := bigRows(lines, z) <= n && z.dots() > best.dots()
		for _, l := range lines {
			fits = fits && lineWidth(z, l) <= w
		}
		if fits {
			best = z
		}
	}
	row := 1 + max(0, n-bigRows(lines, best))/2
	for _, l := range lines {
		x := edge
		for _, word := range l {
			c.figures(x, 2*row, best, spell(word.large), asStrong)
			x += best.width(spell(word.large))
			if word.small != "" {
				x += 2 + c.text(x+2, row+best.rows()/2, c.box.W-x, word.small, asStrong)
			}
			x += best.width("  ")
		}
		row += best.rows() + 1
	}
	return row
}

// saysOf are the words below: what was read or counted, what everybody does, how it
// ends, and the others.
func saysOf(all []cellar.Emergency, w int) (out []string) {
	e := all[0]
	parts := append([]string(nil), e.Says...)
	parts = append(parts, e.Act, e.Ends+" [space: "+face.EndWords(e)+"]")
	if len(all) > 1 {
		var titles []string
		for _, x := range all[1:] {
			titles = append(titles, x.Title)
		}
		parts = append(parts, fmt.Sprintf("AND %d MORE: %s", len(titles), strings.Join(titles, "; ")))
	}
	for _, p := range parts {
		out = append(out, cell.Wrap(p, w)...)
	}
	return out
}
