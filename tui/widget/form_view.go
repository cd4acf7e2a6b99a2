package widget

import (
	"fmt"
	"strings"

	"cellar.example/mustwatch/tui/cell"
	"cellar.example/mustwatch/tui/layout"
	"cellar.example/mustwatch/tui/theme"
)

// The mark before the focused field is a sign, because without colours it is all
// there is.
const (
	focusMark = "> "
	noMark    = "  "
)

// View draws the form as exactly box.H lines of exactly box.W cells: title,
// cautions, fields, and the live lines below them. Where the fields need more
// room than there is they scroll between the two, and the focused one stays in
// view with its refusal and warnings.
func (f *Form) View(th theme.Theme, box layout.Box) []string {
	values := f.Values()
	body := f.bodyLines(th, box.W, values)
	head := []string{""}
	if f.Cautions != nil {
		for _, caution := range f.Cautions(values) {
			for _, line := range cell.Wrap(caution, box.W-len(noMark)) {
				head = append(head, noMark+th.Strong.Render(line))
			}
		}
	}
	free := box.H - len(head) - len(body.lines)
	live := f.liveLines(values, box, free)
	if len(live) > 0 && len(live) != free { // a line that says something counts more than a blank one
		live = append([]string{""}, live...)
	}
	room := max(box.H-len(head)-len(live), 0)
	lines, position := body.lines, ""
	if len(lines) > room {
		lines, position = body.window(room), fmt.Sprintf("field %d of %d", body.nth, body.of)
	}
	head[0] = heading(th, f.Title, position, box.W)
	return layout.Lines(layout.Stack(head, lines, live), box)
}

// liveLines takes at most a third of the box, or what the fields leave free: the
// fields come first.
func (f *Form) liveLines(values map[string]string, box layout.Box, free int) []string {
	if f.Live == nil {
		return nil
	}
	var out []string
	for _, l := range f.Live(values) {
		if cell.Width(l) <= box.W-2*len(noMark) { // columns stay as they are
			out = append(out, noMark+l)
			continue
		}
		for i, part := range cell.Wrap(l, box.W-2*len(noMark)) {
			if i > 0 {
				part = noMark + part
			}
			out = append(out, noMark+part)
		}
	}
	room := max(box.H/3, free)
	if more := len(out) - room; more > 0 && room > 0 {
		out = append(out[:room-1], fmt.Sprintf("%s… %d more lines: make the window taller", noMark, more+1))
	}
	return out[:min(len(out), room)]
}

// body is the fields as lines, and where the focused one lies among them.
type body struct {
	lines    []string
	from, to int // lines of the focused field
	nth, of  int // which of the shown fields it is
}

func (f *Form) bodyLines(th theme.Theme, width int, values map[string]string) body {
	var notes map[string][]string
	if f.FieldNotes != nil {
		notes = f.FieldNotes(values)
	}
	all, labels := f.all(), 0
	for _, e := range f.entries {
		if e.drawn(all) {
			labels = max(labels, cell.Width(e.Label))
		}
	}
	labels = min(labels, width/3)
	var b body
	for i, e := range f.entries {
		from := len(b.lines)
		if _, needed := values[e.Name]; !needed {
			if e.drawn(all) {
				b.lines = append(b.lines, noMark+th.Quiet.Render(cell.Fit(e.Label, labels)+" "+unneeded))
			}
			continue
		}
		b.of++
		d := fieldDrawing{th: th, e: e, focused: i == f.focus, labels: labels, width: width, unit: e.Unit, hint: e.Hint}
		if e.Says != nil {
			d.unit, d.hint = e.Says(values)
		}
		b.lines = append(b.lines, d.rows(notes[e.Name])...)
		if d.focused {
			b.from, b.to, b.nth = from, len(b.lines), b.of
		}
	}
	return b
}

// unneeded stands for the value of a field that is not needed: a sign, because without
// colours dim is not seen.
const unneeded = "-"

// window is the part of the body that is shown, exactly room lines. It depends
// on the focus alone, so drawing remembers nothing; one line of what comes next
// is kept in view.
func (b body) window(room int) []string {
	out := make([]string, max(room, 0))
	top := max(min(b.to+1, len(b.lines))-room, 0)
	copy(out, b.lines[min(top, b.from):])
	return out
}

// fieldDrawing draws one field.
type fieldDrawing struct {
	th      theme.Theme
	e       *entry
	focused bool
	labels  int // width of the column of labels
	width   int // of the whole line
	unit    string
	hint    string
}

// indent is where values begin.
func (d fieldDrawing) indent() int { return cell.Width(noMark) + d.labels + 1 }

// rows are the field itself, its refusal, and the warnings about it.
func (d fieldDrawing) rows(notes []string) []string {
	out := d.fieldRows()
	out = append(out, d.under(d.th.Error, "! ", d.e.fault)...)
	if d.focused && d.e.picker() && d.e.waits() && d.e.named([]rune(d.e.sought)[0]) {
		out = append(out, d.under(d.th.Quiet, "", "Tab takes "+d.e.sought+", or type more of the number")...)
	}
	for _, note := range notes {
		if note == d.e.fault {
			continue // a refusal that has come back is said once
		}
		out = append(out, d.under(d.th.Soon, "", note)...)
	}
	return out
}

// under breaks a sentence into lines below the value. In a narrow box it starts
// further left rather than being cut.
func (d fieldDrawing) under(ink theme.Ink, mark, sentence string) []string {
	indent := d.indent()
	if d.width-indent < 40 {
		indent = cell.Width(noMark)
	}
	var out []string
	for _, line := range cell.Wrap(sentence, d.width-indent-len(mark)) {
		out = append(out, cell.Blank(indent)+ink.Render(mark+line))
		mark = cell.Blank(len(mark))
	}
	return out
}

func (d fieldDrawing) fieldRows() []string {
	lead, ink := noMark, d.th.Text
	if d.focused {
		lead, ink = focusMark, d.th.Strong
	}
	lead += ink.Render(cell.Fit(d.e.Label, d.labels)) + " "
	room := d.width - d.indent()
	if d.e.picker() && d.focused {
		rows := d.choiceRows(room)
		for i := range rows {
			rows[i] = lead + rows[i]
			lead = cell.Blank(d.indent())
		}
		return rows
	}
	w := min(d.e.width(), room)
	if d.e.picker() {
		w = min(d.chosenWidth(), room)
	}
	line := lead + d.value(w)
	for _, word := range []string{d.unit, d.remark()} {
		if word != "" {
			line += " " + d.th.Quiet.Render(word)
		}
	}
	return []string{line}
}

// remark is what stands behind the unit: where a proposal comes from, or else
// the hint. A proposal must not pass for something measured.
func (d fieldDrawing) remark() string {
	switch {
	case d.e.proposed() && d.e.Origin != "":
		return "(" + d.e.Origin + ")"
	case d.e.proposed():
		return "(proposed)"
	case d.hint == "" && d.e.Optional && d.e.value() == "":
		return "optional"
	default:
		return d.hint
	}
}

// value is the place where the value stands, w cells, with the blank part drawn
// as a line to write on wherever no colour shows the place.
func (d fieldDrawing) value(w int) string {
	switch {
	case d.e.picker() && d.e.choice >= 0:
		return d.th.Field.Render(cell.Fit(d.e.Choices[d.e.choice].Label, w))
	case d.e.picker():
		return d.th.Rule.Render(strings.Repeat("_", max(w, 0)))
	case d.focused:
		return d.editing(w)
	}
	text := d.e.value()
	if n := cell.Width(text); n < w {
		ink := d.th.Field
		if d.e.proposed() {
			ink = d.th.Quiet
		}
		return ink.Render(text) + d.th.Rule.Render(strings.Repeat("_", w-n))
	}
	return d.th.Field.Render(cell.Fit(text, w))
}

// editing draws the value with its cursor. Where colours show, the cursor is the
// cell it stands on; where none do, it is a bar between two letters.
func (d fieldDrawing) editing(w int) string {
	if w <= 0 {
		return ""
	}
	runes := []rune(d.e.input.Value())
	at := min(d.e.input.Position(), len(runes))
	start := 0
	for start < at && cell.Width(string(runes[start:at])) > w-1 {
		start++
	}
	before, under, after := string(runes[start:at]), "", ""
	if at < len(runes) {
		under, after = string(runes[at]), string(runes[at+1:])
	}
	left := w - cell.Width(before)
	if d.th.Mono {
		rest := under + after
		if cell.Width(rest) > left-1 {
			return before + "|" + cell.Fit(rest, left-1)
		}
		return before + "|" + rest + strings.Repeat("_", left-1-cell.Width(rest))
	}
	if under == "" || cell.Width(under) > left {
		under = " "
	}
	return d.th.FieldFocus.Render(before) + d.th.Cursor.Render(under) +
		d.th.FieldFocus.Render(cell.Fit(after, left-cell.Width(under)))
}

func (d fieldDrawing) chosenWidth() int {
	w := 8
	for _, c := range d.e.Choices {
		w = max(w, cell.Width(c.Label))
	}
	return w
}

// choiceRows shows every choice with the key that picks it, over as many lines
// as they need. The chosen one stands in brackets, whose place the others keep
// free, so nothing shifts while somebody steps along.
func (d fieldDrawing) choiceRows(room int) []string {
	var rows []string
	line, used := "", 0
	for i, c := range d.e.Choices {
		if c.Above != "" {
			if used > 0 {
				rows, line, used = append(rows, line), "", 0
			}
			rows = append(rows, d.th.Quiet.Render(cell.Fit(c.Above, min(cell.Width(c.Above), max(room, 0)))))
		}
		text := c.Label
		if c.Key != 0 {
			text = string(c.Key) + " " + c.Label
		}
		text = cell.Fit(text, min(cell.Width(text), max(room-2, 0)))
		w := cell.Width(text) + 2
		if used > 0 && used+w > room {
			rows, line, used = append(rows, line), "", 0
		}
		line += d.token(c, text, i == d.e.choice)
		used += w
	}
	return append(rows, line)
}

func (d fieldDrawing) token(c Choice, text string, chosen bool) string {
	if chosen {
		return d.th.FieldFocus.Render("[" + text + "]")
	}
	letter := ""
	if c.Key != 0 {
		letter, text = string(c.Key), strings.TrimPrefix(text, string(c.Key))
	}
	return " " + d.th.Key.Render(letter) + d.th.Text.Render(text) + " "
}
