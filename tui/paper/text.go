package paper

import (
	"fmt"
	"slices"
	"strings"

	"cellar.example/mustwatch/domain/sheet"
)

// pageMark is where the number of a page goes once all pages are known: one word,
// so that no wrapping parts it, and as long as the longest number put there.
const pageMark = "page_@@/@@"

// Feed separates pages.
const Feed = "\f"

// Text is the front of the sheet, one page of at most 62 lines unless what may
// never be cut fills more; then the pages are separated by a form feed. Lines
// are at most 78 columns of ASCII and end in "\n".
func Text(s sheet.Sheet) string {
	f, b := pages(&s)
	return join(f, 1, len(f)+len(b))
}

// Back is the full record that goes behind the front, on as many pages as it
// takes.
func Back(s sheet.Sheet) string {
	f, b := pages(&s)
	return join(b, len(f)+1, len(f)+len(b))
}

// Full is the front and the back.
func Full(s sheet.Sheet) string {
	f, b := pages(&s)
	return join(append(f, b...), 1, len(f)+len(b))
}

func join(pages [][]string, first, all int) string {
	var out strings.Builder
	for i, p := range pages {
		if i > 0 {
			out.WriteString(Feed)
		}
		for _, line := range p {
			out.WriteString(number(line, first+i, all))
			out.WriteByte('\n')
		}
	}
	return out.String()
}

// number puts the page's number in, at the right edge of the room kept for it.
func number(line string, n, all int) string {
	with := fmt.Sprintf("%*s", len(pageMark), fmt.Sprintf("page %d/%d", n, all))
	return strings.Replace(line, pageMark, with, 1)
}

// pages lays out the front and the back.
func pages(s *sheet.Sheet) (fronts, backs [][]string) {
	f := &front{s: s, g: newGrid(s)}
	fronts, back := f.fit(), f.backLines()
	if codes := f.codes(back, slices.Concat(fronts...)); len(codes) > 0 {
		back = append(append(codes, ""), back...)
	}
	return fronts, f.split(nil, back)
}

// fit takes blocks off the front, in the order in which the house reads them
// least at six in the morning, until they fit on one page: quiet codes, tanks,
// what happened, sums, loads of later on, what the clean ones hold, promises that are
// named twice, stock that only runs low in its open container, which loads come later
// on, dues of later on. When even that does not help, it goes on to another page.
func (f *front) fit() [][]string {
	blocks := f.blocks()
	over := func() bool {
		if blocks[atCodes] = nil; count(blocks) > Lines {
			return true
		}
		blocks[atCodes] = f.codes(slices.Concat(blocks...), nil)
		return count(blocks) > Lines
	}
	if over() && len(f.s.Quiet) > 0 {
		f.cut.quiet = true
		blocks[atTanks] = f.tanks()
	}
	for over() && f.cut.tanks < len(f.s.Tanks) {
		f.cut.tanks++
		blocks[atTanks], blocks[atTold] = f.tanks(), f.told() // which names the tanks when all are gone
	}
	if over() {
		f.cut.brief = true
		blocks[atTold] = f.told()
	}
	for over() && f.cut.told < len(f.s.Taken)+len(f.s.Overrides)+len(f.s.Happened) {
		f.cut.told++
		blocks[atTold] = f.told()
	}
	if over() {
		f.cut.bare = true
		blocks[atTold] = f.told()
	}
	if over() {
		f.cut.sums = true
		blocks[atTold], blocks[atSums] = f.told(), f.sums()
	}
	if over() {
		f.cut.yard = true
		blocks[atYard] = f.presses()
	}
	if over() {
		f.cut.capacity = true
		blocks[atClean] = f.clean()
	}
	if over() {
		f.cut.above = true
		blocks[atOwed] = f.promised()
	}
	if over() {
		f.cut.fetch = true
		blocks[atShort] = f.short()
	}
	if over() {
		f.cut.loads = true
		blocks[atYard] = f.presses()
	}
	if over() {
		f.cut.later = true
		blocks[atDue] = f.due()
	}
	over()
	f.putBack(blocks, over)
	head := blocks[0]
	return f.split(head, air(blocks[1:], Lines-len(head)))
}

// putBack takes up again what the later cuts have made room for, the last that was
// taken off first.
func (f *front) putBack(blocks [][]string, over func() bool) {
	lay := func() { blocks[atTanks], blocks[atTold], blocks[atSums] = f.tanks(), f.told(), f.sums() }
	fits := func(more func()) bool {
		was := f.cut
		if more(); f.cut == was {
			return false
		}
		if lay(); !over() {
			return true
		}
		f.cut = was
		lay()
		over()
		return false
	}
	fits(func() { f.cut.sums = false })
	fits(func() { f.cut.bare = false })
	for fits(func() { f.cut.told = max(f.cut.told-1, 0) }) {
	}
	for fits(func() { f.cut.tanks = max(f.cut.tanks-1, 0) }) {
	}
}

func count(blocks [][]string) int {
	n := 0
	for _, b := range blocks {
		n += len(b)
	}
	return n
}

// air puts blank lines between blocks while there is room, from the top down:
// they are for the pen.
func air(blocks [][]string, room int) []string {
	spare := room - count(blocks)
	var out []string
	for i, b := range blocks {
		if i > 0 && len(b) > 0 && spare > 0 {
			out = append(out, "")
			spare--
		}
		out = append(out, b...)
	}
	return out
}

// split cuts lines into pages. head opens the first one; the others open with
// the house, the hour of printing and their number, for pages part company.
func (f *front) split(head, lines []string) [][]string {
	h := &f.s.Head
	as := "printed "
	if f.s.Past != "" {
		as = "as it was "
	}
	again := spread(strings.ToUpper(ASCII(h.House))+"  HANDOVER"+f.demo(), as+h.Day+" "+h.Time+"  "+pageMark)
	again = append(again, strings.Repeat("-", Columns))
	if len(head) > Lines/2 {
		head = head[:Lines/2]
	}
	if len(again) > Lines/2 {
		again = again[:Lines/2]
	}
	page := head
	if page == nil {
		page = again
	}
	page = page[:len(page):len(page)]
	var out [][]string
	for _, line := range lines {
		if len(page) == Lines {
			out = append(out, page)
			page = again[:len(again):len(again)]
		}
		page = append(page, line)
	}
	return append(out, page)
}
