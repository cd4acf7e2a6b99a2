package board

import (
	"fmt"
	"strings"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/room"
	"cellar.example/mustwatch/tui/cell"
	"cellar.example/mustwatch/tui/face"
	"cellar.example/mustwatch/tui/layout"
	"cellar.example/mustwatch/tui/theme"
)

// panelFrom is the height of the board from which what is due has a panel below the
// bands, where it does not stand beside them: a window of 34 rows.
const panelFrom = 31

// side draws the pane beside the bands: what is due, and at its foot, always in the
// same place, what has no home, what is held and the standing caution.
func (b *Board) side(g face.Sight, box layout.Box) []string {
	n := leads(g, b.frame(g).due)
	foot := b.standing(g, box.W, true, box.H-2-max(n, 4))
	next := b.nextList(g, box.W, max(0, box.H-len(foot)-1))
	return layout.Lines(layout.Stack(next, []string{""}, foot), box)
}

// The panel below the bands: the width of its list, and the fewest lines it has.
const (
	listW      = 40
	leastPanel = 10
)

// panel draws what is due and what stands at the foot of the pane side by side, under
// a rule.
func (b *Board) panel(g face.Sight, box layout.Box) []string {
	right := box.W - listW - 1
	all := b.frame(g).due
	n := leads(g, all)
	foot := b.standing(g, right, false, box.H-8)
	h := max(len(foot), min(n+1, box.H-8), min(len(all)+1, leastPanel-1))
	next := b.nextList(g, listW-1, h)
	rule := g.Theme.Rule.Render(cell.Repeat("─", listW) + "┬" + cell.Repeat("─", right))
	out, bar := []string{rule}, g.Theme.Rule.Render("│")
	for i := range h {
		text := ""
		if i < len(foot) {
			text = foot[i]
		}
		out = append(out, next[i]+" "+bar+cell.Fit(text, right))
	}
	return out
}

// standing are the blocks at the foot of the pane, in at most h lines if that can
// be: the reasons of the holds give way first, then the blanks between the blocks.
// What is held, what has no home and the caution never do.
func (b *Board) standing(g face.Sight, w int, airy bool, h int) []string {
	home, caution := b.homeLines(g, w), cautionLines(g, w)
	for _, try := range []struct{ reasons, airy bool }{{true, airy}, {true, false}, {false, false}} {
		var out []string
		for _, block := range [][]string{home, heldLines(g, w, try.reasons), caution} {
			if len(block) > 0 && len(out) > 0 && try.airy {
				out = append(out, "")
			}
			out = append(out, block...)
		}
		if len(out) <= h || !try.reasons {
			return out
		}
	}
	return nil
}

// homeLines are the juice that has no tank.
func (b *Board) homeLines(g face.Sight, w int) (out []string) {
	for _, text := range b.homeless(g.State) {
		for i, l := range cell.Wrap(text, w-3) {
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
	return append([]string{g.Theme.Title.Render(" NO TANK YET")}, out...)
}

// homes are the texts of what has no home, which no passing of time changes: to find
// who could take it costs as much as the rows.
type homes struct {
	state *cellar.State
	seq   cellar.Seq
	texts []string
}

func (b *Board) homeless(s *cellar.State) []string {
	if h := &b.homes; h.state != s || h.seq != s.Seq {
		*h = homes{state: s, seq: s.Seq}
		for _, x := range room.Without(s) {
			h.texts = append(h.texts, room.Brief(s, x))
		}
	}
	return b.homes.texts
}

// heldLines are the holds: each with who releases it, and why if there is room.
func heldLines(g face.Sight, w int, reasons bool) (out []string) {
	for _, v := range g.State.Vessels() {
		if v.Hold == nil {
			continue
		}
		if len(out) == 0 {
			out = append(out, g.Theme.Title.Render(" ON HOLD"))
		}
		until := ""
		if !v.Hold.Until.IsZero() {
			until = ", by " + face.Clock(v.Hold.Until, g.Now, g.State.Zone())
		}
		out = append(out, painted(g.Theme.Held, fmt.Sprintf("× %s, %s to release%s", v.Number, v.Hold.Releaser, until),
			w)...)
		if reasons {
			for _, l := range cell.Wrap(v.Hold.Reason, w-4) {
				out = append(out, "   "+l)
			}
		}
	}
	return out
}

// cautionLines are who may enter what, the air and the tired hours.
func cautionLines(g face.Sight, w int) (out []string) {
	e := g.State.Entry(g.Now)
	out = append(painted(g.Theme.Strong, g.State.Words(e.Head()), w),
		painted(g.Theme.Strong, g.State.Words(e.Why()), w)...)
	out = append(out, painted(g.Theme.Text, face.GasLine(g.State, g.Now), w)...)
	return append(out, painted(g.Theme.Soon, face.TiredLine(g.State, g.Now), w)...)
}

// painted breaks a text into lines of a pane and paints each.
func painted(ink theme.Ink, text string, w int) (out []string) {
	for _, l := range cell.Wrap(text, w-2) {
		out = append(out, ink.Render(" "+l))
	}
	return out
}

// nextLines is how many lines of what is due stand below the bands on a small screen,
// unless more is overdue than they hold.
const nextLines = 2

// leastBands is how many lines are left to the bands whatever is due.
const leastBands = 4

// strip is what is due and the standing caution in lines, for small screens.
func (b *Board) strip(g face.Sight, box layout.Box) []string {
	caution := stripCaution(g, box.W)
	all := b.frame(g).due
	n, older := lates(g, all)
	counted, reserve := "", "  ▲999 more"
	if older {
		counted = dueTextOf(g, all[n]).verb + "  "
		if all[n].Late(g.Now) {
			counted = "▲" + counted
		}
		reserve += "  " + counted
	}
	f := flow{w: box.W, indent: len(" NEXT ")}
	f.add(g.Theme.Title, " NEXT ")
	most := max(nextLines, box.H-leastBands-len(caution))
	cur := -1
	if b.onNext {
		cur = min(b.next, len(all)-1)
	}
	for i, d := range all {
		if i == n && older {
			f.add(g.Theme.Overdue, mark(i == cur)+counted)
			continue
		}
		t := dueTextOf(g, d)
		word := t.word
		if d.Again.IsZero() {
			word = face.DueWord(d, g.Now, g.State.Zone())
		}
		text := face.DueSays(t.subject, cellar.Due{Verb: t.verb, Notice: d.Notice}, word)
		if sign := sign(t.mark); sign != " " {
			text = sign + text
		}
		text = mark(i == cur) + text
		if i >= n && !f.fits(text, nextLines) {
			break
		}
		if i < n && !f.fits(text+reserve, most) {
			f.add(g.Theme.Overdue, fmt.Sprintf("▲%d more  ", n-i))
			f.add(g.Theme.Overdue, counted)
			break
		}
		ink := g.Theme.Text
		if t.mark == cellar.MarkOver {
			ink = markInk(g.Theme, t.mark)
		}
		f.add(ink, text)
		f.add(g.Theme.Text, "  ")
	}
	return append(f.lines(nextLines), caution...)
}

// mark is the cursor in a line of words.
func mark(on bool) string {
	if on {
		return ">"
	}
	return ""
}

// stripCaution are the caution, the air and the holds as sentences, one behind the
// other.
func stripCaution(g face.Sight, w int) (out []string) {
	text := g.State.EntryLine(g.Now)
	for _, more := range []string{face.GasLine(g.State, g.Now), heldText(g), amissText(g), face.TiredLine(g.State,
		g.Now)} {
		if more != "" {
			text += " · " + more
		}
	}
	for _, l := range cell.Wrap(text, w-2) {
		out = append(out, g.Theme.Strong.Render(cell.Fit(" "+strings.TrimPrefix(l, "· "), w)))
	}
	return out
}

// heldText names every vessel on hold, by who releases it.
func heldText(g face.Sight) string {
	var who []cellar.Initials
	numbers := map[cellar.Initials]string{}
	for _, v := range g.State.Vessels() {
		if v.Hold == nil {
			continue
		}
		if numbers[v.Hold.Releaser] == "" {
			who = append(who, v.Hold.Releaser)
		}
		numbers[v.Hold.Releaser] += " " + string(v.Number)
	}
	var out []string
	for _, by := range who {
		out = append(out, fmt.Sprintf("×%s ON HOLD, %s to release", numbers[by], by))
	}
	return strings.Join(out, " · ")
}

// amissText names what does not add up: below the bands the list is cut before it.
func amissText(g face.Sight) string {
	var out []string
	for _, d := range g.Next() {
		if d.Amiss {
			out = append(out, d.Subject.Name+" "+d.Verb)
		}
	}
	return strings.Join(out, " · ")
}

// flow sets painted words into lines of w cells.
type flow struct {
	w, indent int
	done      []string
	line      string
	used      int
}

// fits reports whether a text finds room before more than most lines are full.
func (f *flow) fits(text string, most int) bool {
	return f.used+cell.Width(text) <= f.w || len(f.done)+2 <= most && f.indent+cell.Width(text) <= f.w
}

// add sets a text, on the next line where it does not fit, broken where it is wider
// than any.
func (f *flow) add(ink theme.Ink, text string) {
	if strings.TrimSpace(text) == "" && f.used+len(text) > f.w {
		return
	}
	parts := []string{text}
	if f.indent+cell.Width(text) > f.w {
		parts = cell.Wrap(text, f.w-f.indent)
	}
	for _, part := range parts {
		if n := cell.Width(part); f.used > 0 && f.used+n > f.w {
			f.done = append(f.done, f.line)
			f.line, f.used = cell.Blank(f.indent), f.indent
		}
		f.line += ink.Render(part)
		f.used += cell.Width(part)
	}
}

// lines are at least n lines of what was set.
func (f *flow) lines(n int) []string {
	out := append(f.done, f.line)
	for len(out) < n {
		out = append(out, "")
	}
	return out
}
