package wall

import (
	"strings"

	"cellar.example/mustwatch/tui/cell"
)

// alphabet is a set of signs of one height in dots. A dot is one cell wide and
// half a row high, which on most screens is a square.
type alphabet struct {
	high  int
	signs map[rune][]string
}

func signs(high int, shapes map[rune]string) *alphabet {
	a := &alphabet{high: high, signs: make(map[rune][]string, len(shapes))}
	for r, text := range shapes {
		a.signs[r] = strings.Fields(text)
	}
	return a
}

// sign is the shape of a letter, a question mark for one that is not in the
// alphabet.
func (a *alphabet) sign(r rune) []string {
	if s, ok := a.signs[r]; ok {
		return s
	}
	return a.signs['?']
}

// size is an alphabet drawn so many times as large. Where there are no half blocks,
// in ASCII, a dot is a row high, so that it is twice as tall as it is wide.
type size struct {
	set   *alphabet
	times int
	tall  bool
}

// sizes are all that are used, the smallest first. An even number of times has
// edges on whole rows.
var sizes = []size{{set: low, times: 1}, {set: high, times: 1}, {set: low, times: 2}, {set: high, times: 2},
	{set: low, times: 3},
	{set: low, times: 4}, {set: high, times: 3}, {set: high, times: 4}, {set: high, times: 5}, {set: high, times: 6}}

// inASCII are the same with dots of a whole row.
var inASCII = func() (out []size) {
	for _, z := range sizes {
		z.tall = true
		out = append(out, z)
	}
	return out
}()

// dot is the height of a dot in half rows.
func (z size) dot() int {
	if z.tall {
		return 2 * z.times
	}
	return z.times
}

// dots is the height in half rows.
func (z size) dots() int { return z.set.high * z.dot() }

// rows is the height in rows that a figure needs with nothing above it.
func (z size) rows() int { return (z.dots() + 1) / 2 }

// pitch is the height in rows of a line of figures with at least a dot above
// and below.
func (z size) pitch() int { return (z.dots() + 3) / 2 }

// width is the width in dots of a text, without a gap at its end.
func (a *alphabet) width(text string) int {
	n := 0
	for _, r := range text {
		n += len(a.sign(r)[0]) + 1
	}
	return max(0, n-1)
}

// width is the width in cells of a text.
func (z size) width(text string) int { return z.set.width(text) * z.times }

// spell makes a text one of letters the alphabets have: capitals without
// accents.
func spell(text string) string {
	var out strings.Builder
	for _, r := range cell.Clean(text) {
		if r != '▲' && r != '×' {
			r = rune(cell.Plain(string(r))[0])
		}
		out.WriteRune(r)
	}
	return strings.ToUpper(out.String())
}

// fitting is the largest size not above most dots in which a text is at most w
// cells wide; ok is false if even the smallest is too wide.
func (p plan) fitting(text string, most, w int) (z size, ok bool) {
	for _, s := range p.sizes() {
		if s.dots() <= most && s.width(text) <= w && (!ok || s.dots() > z.dots()) {
			z, ok = s, true
		}
	}
	return z, ok
}
