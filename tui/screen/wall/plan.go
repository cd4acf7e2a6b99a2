package wall

import (
	"cellar.example/mustwatch/tui/face"
	"cellar.example/mustwatch/tui/layout"
)

// most is how many things stand on the wall at most; fewest depends on the strip.
const most = 6

// What the columns have room for. They have their place by the window and the
// house's plates alone, so that nothing moves sideways when a figure goes.
const (
	leastPlate = "000"
	counts     = "0000" // "+125" and "9:59" are narrower
	goodWord   = "EMPTY"
	initials   = "NS"
)

// plan is where everything goes in a window of one size.
type plan struct {
	figures size // plates and minutes
	words   size // the word of action and the initials
	places  int  // items
	pitch   int  // rows from item to item

	mark, plate, count, word, who int // left edges in cells
	plateW, countW, wordW, whoW   int

	strip stripPlan
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
	{190, 54, stripPlan{fewest: 6, rows: 10, letters: size{high, 1}, clock: size{high, 2}, large: true}},
	{110, 34, stripPlan{fewest: 5, rows: 8, letters: size{low, 1}, clock: size{low, 2}, large: true}},
	{0, 0, stripPlan{fewest: 4, rows: 3, clock: size{low, 1}}},
}

// planFor fits figures as large as leave room for enough items, a word beside
// each and the strip. The last row is for keys and is not in it.
func planFor(box layout.Box, h house) plan {
	p := plan{}
	for _, s := range strips {
		if box.W >= s.w && box.H >= s.h {
			p.strip = s.stripPlan
			break
		}
	}
	room := box.H - 1 - p.strip.rows
	for _, z := range sizes {
		if try := columns(p, z, box.W, h); z.pitch()*p.strip.fewest <= room && try.wordW >= try.words.width(goodWord) {
			p = try
		}
	}
	if p.pitch == 0 {
		p = columns(p, sizes[0], box.W, h)
	}
	p.places = min(most, max(1, room/p.pitch))
	return p
}

// wordSize is what words are drawn in beside figures, at least half as high.
func wordSize(figures size) size {
	word := sizes[0]
	for _, z := range sizes {
		if d := z.dots(); d*4 <= figures.dots()*3 && d > word.dots() {
			word = z
		}
	}
	return word
}

// columns gives each part of an item its place. What is left over goes between
// them, up to two figures' width.
func columns(p plan, z size, w int, h house) plan {
	p.figures, p.pitch, p.words = z, z.pitch(), wordSize(z)
	p.plateW, p.countW, p.whoW = z.width(h.plate), max(z.width(counts), z.width("NOW")), p.words.width(h.who)
	const edge = 1
	markW := z.width("▲") + 2*z.times
	air := p.words.dots() / 2
	fixed := edge + markW + p.plateW + p.countW + p.words.width(goodWord) + air + p.whoW + edge
	gap := max(2, min(z.width("00"), (w-fixed)/2))
	p.mark = edge
	p.plate = p.mark + markW
	p.count = p.plate + p.plateW + gap
	p.word = p.count + p.countW + gap
	p.who = w - edge - p.whoW
	p.wordW = p.who - p.word - air
	return p
}

// house is what the columns must have room for: its widest plate and initials.
type house struct{ plate, who string }

func houseOf(g face.Sight) house {
	h := house{leastPlate, initials}
	for _, v := range g.State.Vessels() {
		h.plate = wider(h.plate, spell(string(v.Plate)))
	}
	for _, p := range g.State.Presses() {
		h.plate = wider(h.plate, spell(string(p.Plate)))
	}
	for _, p := range g.State.House.People {
		h.who = wider(h.who, spell(string(p.Initials)))
	}
	return h
}

// mostSigns is where a plate is long enough to be drawn smaller than the others.
const mostSigns = 5

func wider(a, b string) string {
	if len([]rune(b)) <= mostSigns && low.width(b) > low.width(a) {
		return b
	}
	return a
}
