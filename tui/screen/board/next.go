package board

import (
	"fmt"
	"regexp"
	"sort"
	"strings"
	"time"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/tui/cell"
	"cellar.example/mustwatch/tui/face"
	"cellar.example/mustwatch/tui/theme"
)

// nextAhead is how far ahead loads stand among what is due; the yard's band
// lists them all.
const nextAhead = 2 * time.Hour

// due is what is due, what is overdue first and the oldest of that on top, then the line
// that counts what is older than this shift and the last, without the loads of later on.
func due(g face.Sight) []cellar.Due {
	var out, older, later []cellar.Due
	for _, d := range g.Next() {
		switch {
		case len(d.Folded) > 0:
			older = append(older, d)
		case d.Late(g.Now):
			out = append(out, d)
		case d.Clock != "" || d.At.Sub(g.Now) <= nextAhead:
			later = append(later, d)
		}
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].At.Before(out[j].At) })
	return append(append(out, older...), later...)
}

// lates counts what leads the list because it is overdue; older reports whether the line
// that counts the rest of that comes next.
func lates(g face.Sight, all []cellar.Due) (n int, older bool) {
	for n < len(all) && len(all[n].Folded) == 0 && all[n].Late(g.Now) {
		n++
	}
	return n, n < len(all) && len(all[n].Folded) > 0
}

// leads is how many lines lead the list, with the one that counts.
func leads(g face.Sight, all []cellar.Due) int {
	n, older := lates(g, all)
	if older {
		n++
	}
	return n
}

// dueText is one line of what is due in its parts.
type dueText struct {
	mark                     cellar.Mark
	word, subject, verb, who string
}

func dueTextOf(g face.Sight, d cellar.Due) dueText {
	if len(d.Folded) > 0 {
		t := dueText{verb: face.Older(d, g.Now, g.State.Zone())}
		if d.Late(g.Now) {
			t.mark = cellar.MarkOver
		}
		return t
	}
	word := strings.TrimPrefix(columnWord(face.DueWord(d, g.Now, g.State.Zone())), "in ")
	t := dueText{word: word, subject: g.State.NameOf(d.Subject), verb: d.Verb,
		who: string(d.Owner)}
	switch {
	case d.Late(g.Now):
		t.mark = cellar.MarkOver
	case d.Kind != cellar.NotBefore && d.At.Sub(g.Now) <= loadAhead/2:
		t.mark = cellar.MarkSoon
	}
	if d.AcknowledgedBy != "" {
		t.who = string(d.AcknowledgedBy) + " has it" // whoever's it was
	}
	if !d.Again.IsZero() {
		t.verb, t.word = d.Verb+" again", face.Clock(d.Again, g.Now, g.State.Zone())
	}
	t.verb = mayWords(g, d, t.verb)
	return t
}

// aDelay is how late something is at the end of a phrase.
var aDelay = regexp.MustCompile(`(\d+) (min|h|d)(?: (\d\d))? late$`)

// columnWord says how late something is in the width of a column: "10m late", "1h45 late".
func columnWord(text string) string {
	return aDelay.ReplaceAllStringFunc(text, func(delay string) string {
		length := strings.Replace(strings.TrimSuffix(delay, " late"), " min", "m", 1)
		return strings.ReplaceAll(length, " ", "") + " late"
	})
}

// mayWords tell what may be done from a time on from what must be, and a forecast
// from both.
func mayWords(g face.Sight, d cellar.Due, verb string) string {
	c, ok := g.State.ClockByID(d.Clock)
	switch {
	case !ok || d.Kind != cellar.NotBefore || c.Kind == cellar.KindShift:
		return verb
	case c.Kind == cellar.KindCooling:
		return "at " + c.Object // 8.5 °C
	}
	return cellar.CanBe(verb)
}

// The parts of a line of the list, and the room from which verb and subject share
// a line with the time.
const (
	wordW    = 8
	headW    = 2 + wordW + 1 // with the cursor, the mark and a blank
	subjectW = 5
	leastMid = 12
)

// lines draws one line of the list, or as many as its words need: nothing of it is
// cut, least of all what is to be done.
func (t dueText) lines(th theme.Theme, w int, on bool) []string {
	mark := " "
	if on {
		mark = ">"
	}
	if t.word == "" && t.subject == "" { // no line of its own, but the count of others
		return []string{markInk(th, t.mark).Render(cell.Fit(mark+sign(t.mark)+" "+t.verb, w))}
	}
	head := mark + sign(t.mark) + cell.FitLeft(t.word, max(wordW, cell.Width(t.word))) + " "
	who := cell.FitLeft(t.who, max(2, cell.Width(t.who)))
	subject := cell.Fit(t.subject, max(subjectW, cell.Width(t.subject)+1))
	ink := markInk(th, t.mark)
	room := w - cell.Width(head) - 1 - cell.Width(who)
	mid := cell.Wrap(t.verb, room-cell.Width(subject))
	if room-cell.Width(subject) < leastMid/2 { // a long word, or a name instead of a number
		mid = cell.Wrap(strings.TrimRight(subject, " ")+" "+t.verb, room)
		subject = ""
		if room < leastMid {
			room = w - headW - 1 - cell.Width(who)
			mid = append([]string{""}, cell.Wrap(t.subject+" "+t.verb, room)...)
		}
	}
	indent := cell.Blank(headW + cell.Width(subject))
	var out []string
	for i, text := range mid {
		lead := indent
		if i == 0 {
			lead = head + subject
		}
		line := ink.Render(cell.Fit(lead+text, w-1-cell.Width(who)))
		if i == 0 || i == 1 && mid[0] == "" {
			line += th.Quiet.Render(" " + who)
		}
		out = append(out, cell.Fit(line, w))
	}
	return out
}

// nextList draws the list of what is due under its head into h lines. What is overdue
// never leaves it, nor does the line that counts what is older; the rest goes by as the
// cursor does.
func (b *Board) nextList(g face.Sight, w, h int) []string {
	all := b.frame(g).due
	cur := -1
	if b.onNext {
		cur = min(b.next, len(all)-1)
	}
	n, older := lates(g, all)
	var pinned, rest [][]string
	var counted []string
	for i, d := range all {
		lines := dueTextOf(g, d).lines(g.Theme, w, i == cur)
		switch {
		case i < n:
			pinned = append(pinned, lines)
		case i == n && older:
			counted = lines
		default:
			rest = append(rest, lines)
		}
	}
	pinned = b.cut(g, pinned, w, h-1-len(counted))
	if older {
		pinned = append(pinned, counted)
		n++
	}
	title := " NEXT"
	room := h - 1 - count(pinned)
	top := 0
	if cur >= n {
		for top < cur-n && count(rest[top:cur-n+1]) > room-1 {
			top++
		}
	}
	shown, lines := 0, flat(pinned)
	for _, l := range rest[top:] {
		if len(l) > room {
			break
		}
		room -= len(l)
		lines = append(lines, l...)
		shown++
	}
	if shown < len(rest) {
		title += fmt.Sprintf("  %d of %d", len(all)-len(rest)+shown, len(all))
	}
	out := append([]string{g.Theme.Title.Render(cell.Fit(title, w))}, lines...)
	for len(out) < h {
		out = append(out, cell.Blank(w))
	}
	return out[:max(0, min(h, len(out)))]
}

// cut keeps what is overdue to h lines, the last of which then counts those that found no room.
func (b *Board) cut(g face.Sight, pinned [][]string, w, h int) [][]string {
	lines := flat(pinned)
	if len(lines) <= h || h <= 0 {
		return pinned
	}
	more := g.Theme.Overdue.Render(cell.Fit(fmt.Sprintf(" ▲ and %d more lines", len(lines)-h+1), w))
	return [][]string{append(lines[:h-1:h-1], more)}
}

func count(all [][]string) (n int) {
	for _, l := range all {
		n += len(l)
	}
	return n
}

func flat(all [][]string) []string {
	out := make([]string, 0, count(all))
	for _, l := range all {
		out = append(out, l...)
	}
	return out
}
