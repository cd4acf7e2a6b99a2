package wall

import (
	"cellar.example/mustwatch/tui/face"
	"cellar.example/mustwatch/tui/layout"
)

// most is how many things stand on the wall at most; fewest depends on the strip.
const most = 6

// What the columns have room for. They have their place by the window and the
// house's numbers alone, so that nothing moves sideways when a figure goes.
const (
	leastNumber = "000"
	aLoad       = "0000"
	counts      = "+0h00" // the widest that a count can be
	goodWord    = "EMPTY"
	goodNote    = len("NS  press on P3, due 06:00")
	initials    = "NS"
)

// plan is where everything goes in a window of one size.
type plan struct {
	ascii   bool
	figures size // numbers and times
	block   int  // the width of a number's block, and of a load's figures, which have none
	words   size // the word of action and the initials
	places  int  // items
	pitch   int  // rows from item to item

	number, count, word, who     int // left edges in cells; of a number's figures, not of its block
	numberW, countW, wordW, whoW int // whoW is 0 where the initials stand in the note

	strip stripPlan
}

// sizes are the figures of this terminal.
func (p plan) sizes() []size {
	if p.ascii {
		return inASCII
	}
	return sizes
}

// stripPlan is the part below the items.
type stripPlan struct {
	fewest  int // items above it, before figures grow
	rows    int
	letters size // the large words
	clock   size
	large   bool // there is room for large words
}

// strips are the kinds of strip, the largest first, with the window they need.
var strips = []struct {
	w, h int
	stripPlan
}{
	{190, 54, stripPlan{fewest: 6, rows: 10, letters: size{set: high, times: 1}, clock: size{set: high, times: 2},
		large: true}},
	{110, 34, stripPlan{fewest: 5, rows: 8, letters: size{set: low, times: 1}, clock: size{set: low, times: 2},
		large: true}},
	{0, 0, stripPlan{fewest: 4, rows: 3, clock: size{set: low, times: 1}}},
}

// stripFor is the strip of a window. In ASCII, where a dot takes a row, its words are
// small ones, and there is room for fewer items.
func stripFor(box layout.Box, ascii bool) stripPlan {
	for i, s := range strips {
		if box.W < s.w || box.H < s.h {
			continue
		}
		if ascii {
			clock := inASCII[0]
			return stripPlan{fewest: 5 - i, rows: clock.rows(), clock: clock}
		}
		return s.stripPlan
	}
	return stripPlan{}
}

// planFor fits figures as large as leave room for enough items, a word beside
// each and the strip. The last row is for keys and is not in it.
func planFor(box layout.Box, h house, ascii bool) plan {
	p := plan{ascii: ascii, strip: stripFor(box, ascii)}
	room := box.H - 1 - p.strip.rows
	for _, z := range p.sizes() {
		if try := p.columns(z, box.W, h); z.pitch()*p.strip.fewest <= room && try.fits() {
			p = try
		}
	}
	if p.pitch == 0 {
		p = p.columns(p.sizes()[0], box.W, h)
	}
	p.places = min(most, max(1, room/p.pitch))
	return p
}

// columns gives each part of an item its place beside figures of one size. Words tall
// enough to be read with them come first, initials in figures second: where there is
// no room for both, the initials stand in the note.
func (p plan) columns(z size, w int, h house) plan {
	best, most := p.placed(z, p.sizes()[0], false, w, h), 0
	for _, words := range p.sizes() {
		for _, who := range []bool{false, true} {
			try := p.placed(z, words, who, w, h)
			if words.dots() > z.dots() || try.noteRow() >= try.pitch || !try.fits() {
				continue
			}
			worth := words.dots()
			if words.set.high*words.times >= high.high {
				worth += 2000
			}
			if who {
				worth += 1000
			}
			if worth > most {
				best, most = try, worth
			}
		}
	}
	return best
}

// top is the half row of an item at which its figures begin: below a dot of air, but
// in ASCII a dot is a row.
func (p plan) top() int {
	if p.ascii {
		return 0
	}
	return 1
}

// noteRow is the row of an item in which its note stands: below its word, and where
// the figures end.
func (p plan) noteRow() int {
	return max((p.top()+p.figures.dots()-1)/2, (p.top()+p.words.dots()-1)/2+1)
}

// fits reports whether there is room for a word that is read with its figures.
func (p plan) fits() bool {
	return p.wordW >= p.words.width(goodWord) && 2*p.words.dots() >= p.figures.dots() && p.who+p.whoW-p.word >= goodNote
}

// margin is what is left free at the left, so that a block is seen as one.
const margin = 2

// placed puts the columns side by side: the number's block at the left edge, the time
// up to its own right edge, the word behind it. What is left over goes between them,
// up to two figures' width.
func (p plan) placed(z, words size, who bool, w int, h house) plan {
	p.figures, p.pitch, p.words = z, z.pitch(), words
	p.numberW, p.countW, p.whoW = z.width(h.number), max(z.width(counts), z.width("NOW")), 0
	air := words.times * 2
	p.block = max(p.numberW+2*z.times, z.width(aLoad))
	fixed := margin + p.block + p.countW + words.width(goodWord) + 1
	if who {
		p.whoW = words.width(h.who)
		fixed += air + p.whoW
	}
	gap := max(2, min(z.width("00"), (w-fixed)/2))
	p.number = margin + z.times
	p.count = margin + p.block + gap
	p.word = p.count + p.countW + gap
	p.who = w - 1 - p.whoW
	p.wordW = p.who - p.word
	if who {
		p.wordW -= air
	}
	return p
}

// house is what the columns must have room for: its widest number and initials.
type house struct{ number, who string }

func houseOf(g face.Sight) house {
	h := house{leastNumber, initials}
	for _, v := range g.State.Vessels() {
		h.number = wider(h.number, spell(string(v.Number)))
	}
	for _, p := range g.State.Presses() {
		h.number = wider(h.number, spell(string(p.Number)))
	}
	for _, p := range g.State.House.People {
		h.who = wider(h.who, spell(string(p.Initials)))
	}
	return h
}

// mostSigns is where a number is long enough to be drawn smaller than the others.
const mostSigns = 5

func wider(a, b string) string {
	if len([]rune(b)) <= mostSigns && low.width(b) > low.width(a) {
		return b
	}
	return a
}
