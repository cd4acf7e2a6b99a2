package board

import (
	"slices"
	"strings"

	"cellar.example/mustwatch/tui/cell"
)

// The columns of a row, from left to right. What stands left of them, the band, the
// cursor, the mark and the number, is always there.
const (
	colName = iota
	colSize
	colFill
	colTemp
	colAge
	colCheck
	colSays
	colWhose
	colSince
	colFacts
	columns
)

// sizes are the widths of the columns' widest cells, and of the widest number.
type sizes struct {
	number, long int // long is the widest name, written out
	cols         [columns]int
}

// What a column has at least, so that it does not jump when a figure comes or goes:
// 10 hL and 9.9 hL, 5 min and 1 h 40.
var leastWide = sizes{number: 4, long: shortName, cols: [columns]int{
	colName: shortName, colSize: len("100.0 hL"), colFill: len("99 %"), colTemp: len("19.9 °C") - 1,
	colSays: len("empty it 10 min late")}}

const (
	shortName = 10 // the widest short name
	longName  = 24 // the widest name that is written out
	mostSays  = 30 // what is wider is broken into lines
	factsFrom = 24 // the room from which facts are worth a column
	gutterW   = 10 // the band's name
	signsW    = 2  // the cursor and the mark
)

// names are those that have been shortened: finding the stems of sixty of them costs
// more than the rest of a frame, and they are the same in the next one.
type names map[string][2]string

// mostNames is how many are kept, many times those of a cellar.
const mostNames = 4000

// name shortens the name of a row to both widths, unless it has a short one already.
func (n names) name(r *row) {
	both, ok := n[r.name]
	if !ok {
		if len(n) > mostNames {
			clear(n)
		}
		both = [2]string{brief(r.name, longName), brief(r.name, shortName)}
		n[r.name] = both
	}
	if r.name = both[0]; r.short == "" {
		r.short = both[1]
	}
}

// measure widens the sizes to what a row needs.
func (z *sizes) measure(r *row, n names) {
	n.name(r)
	z.number = max(z.number, cell.Width(r.number))
	z.long = max(z.long, cell.Width(r.name), cell.Width(r.short))
	for i, text := range [columns]string{colName: r.short, colSize: r.size, colFill: r.fill, colTemp: r.temp,
		colCheck: r.check,
		colAge:   r.age, colWhose: r.whose, colSince: r.since} {
		z.cols[i] = max(z.cols[i], cell.Width(text))
	}
	for _, text := range r.says {
		z.cols[colSays] = max(z.cols[colSays], min(cell.Width(text), mostSays))
	}
	if len(r.facts) > 0 {
		z.cols[colFacts] = factsFrom
	}
}

// grid is where each column stands. A column that has no place is left out whole:
// its width is zero, and nothing is ever cut to fit.
type grid struct {
	numberW int
	at, w   [columns]int
	long    bool // names are written out
	shared  bool // an age stands in the column of the check's word, for it has none of its own
}

// given is the order in which columns are given their place: what a row cannot be
// read without comes first.
var given = []int{colSays, colName, colSize, colTemp, colCheck, colFill, colAge}

// fit gives w cells to the columns, each its full measure, until one does not fit;
// that one and all after it are left out. A long phrase has its measure only after the
// readings: until then it is broken into lines. What is left over goes before the
// phrase, at most two cells of it, and to the names; where facts stand, to them.
func (z sizes) fit(w int) grid {
	g := grid{numberW: z.number}
	room := w - gutterW - signsW - 1 - z.number
	take := func(n int) bool {
		if n > 0 && n+1 > room {
			return false
		}
		if n > 0 {
			room -= n + 1
		}
		return true
	}
	full := true
	for _, c := range given {
		n := z.cols[c]
		if c == colCheck { // room for either, until the ages have a column of their own
			n = max(n, z.cols[colAge])
		}
		if c == colSays {
			n = min(n, leastWide.cols[colSays])
		}
		back := 0
		if c == colAge && g.w[colCheck] > 0 {
			if back = g.w[colCheck] - z.cols[colCheck]; z.cols[colCheck] == 0 {
				back++
			}
		}
		room += back
		if full = full && take(n); !full {
			room -= back
			continue
		}
		if g.w[c] = n; c == colAge && n > 0 {
			g.w[colCheck] = z.cols[colCheck]
		} else {
			room -= back
		}
	}
	g.shared = z.cols[colAge] > 0 && g.w[colAge] == 0
	widen := func(c, to int) bool {
		if full = full && to-g.w[c] <= room; full {
			room -= to - g.w[c]
			g.w[c] = to
		}
		return full
	}
	widen(colSays, z.cols[colSays])
	g.long = widen(colName, z.long)
	for _, c := range []int{colWhose, colSince, colFacts} {
		if full = full && take(z.cols[c]); full {
			g.w[c] = z.cols[c]
		}
	}
	return g.spread(room)
}

// spread puts the columns side by side and gives away what is left over.
func (g grid) spread(room int) grid {
	before := 0
	if g.w[colFacts] > 0 {
		g.w[colFacts] += max(0, room)
	} else if room > 0 {
		before = min(2, room)
		g.w[colName] += room - before
	}
	x := gutterW + signsW + 1 + g.numberW
	for c := range columns {
		if g.w[c] == 0 {
			continue
		}
		if c == colSays {
			x += before
		}
		g.at[c] = x + 1
		x += 1 + g.w[c]
	}
	return g
}

// holdsAges reports whether the age of a reading has a column of its own, or needs
// none.
func (g grid) holdsAges() bool { return !g.shared }

// leastStem is the least of a word that is still told from another one.
const leastStem = 3

// brief shortens a name to at most w cells, as a cellar writes it: words become
// stems with a point, Gren. rosé, and only where that is not enough the last of
// them go. Numbers and loads stay whole, whatever that takes.
func brief(name string, w int) string {
	full := strings.Fields(name)
	for n := len(full); n > 0; n-- {
		for stem := w - 2; stem >= leastStem; stem-- {
			if text := stems(full[:n], stem, w); cell.Width(text) <= w {
				return text
			}
		}
	}
	if len(full) == 0 || figures(full[0]) {
		return strings.Join(full[:min(1, len(full))], " ")
	}
	return string([]rune(full[0])[:leastStem]) // letters of two cells
}

// stems shortens words to so many letters, the last ones first, until they fit.
func stems(full []string, stem, w int) string {
	words := slices.Clone(full)
	for i := len(words) - 1; i >= 0 && cell.Width(strings.Join(words, " ")) > w; i-- {
		if letters := []rune(full[i]); len(letters) > max(stem+1, 4) && !figures(full[i]) {
			words[i] = string(letters[:stem]) + "."
		}
	}
	return strings.Join(words, " ")
}

// figures reports whether a word is a number or a load, which is never shortened.
func figures(word string) bool { return strings.ContainsAny(word, "0123456789") }
