package paper

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/sheet"
)

// The page: 78 columns and 62 lines stand upright on A4 and on US letter in
// 10 point fixed pitch, with a margin for a pen.
const (
	Columns = 78
	Lines   = 62
)

// The widest that the columns in front of the text may become. What is wider
// stands in the text instead, in front of it.
const (
	maxWhen  = 13
	maxWhere = 9
	maxWho   = 3
)

// grid holds the columns of one sheet, when | where | who | text: as narrow as its
// rows allow, the same for all of them. Who stands in front of the text, for at the
// end of its first line initials are read as part of the sentence.
type grid struct {
	when, where, who int // widths
}

// code is the column in which every number stands.
func (g grid) code() int { return 2 + g.when + 1 }

// person is the column in which initials stand.
func (g grid) person() int { return g.code() + g.where + 1 }

// text is the column in which every text begins.
func (g grid) text() int { return g.person() + g.who + 1 }

// newGrid fits the columns to everything on the sheet, front and back, so that
// both pages read alike.
func newGrid(s *sheet.Sheet) grid {
	g := grid{when: 5, where: 4, who: 2}
	widen := func(to *int, text string, most int) {
		if n := len(ASCII(text)); n <= most {
			*to = max(*to, n)
		}
	}
	for _, rows := range [][]sheet.Row{s.Safety.Rows, s.Holds, s.Next.Rows, s.Later.Rows, s.NoHome, s.Yard, s.Happened,
		s.Overrides, s.Taken, s.Short,
		s.Promised, s.Back.Corrections, s.Back.Notes, s.Back.Clock} {
		for _, r := range rows {
			widen(&g.when, r.When, maxWhen)
			widen(&g.where, r.Where, maxWhere)
			widen(&g.who, r.Who, maxWho)
		}
	}
	for _, t := range s.Back.Tanks {
		widen(&g.when, t.Since, maxWhen)
		widen(&g.where, t.Number, maxWhere)
	}
	for _, p := range s.Presses {
		widen(&g.when, p.Ends, maxWhen)
		widen(&g.where, p.Number, maxWhere)
	}
	return g
}

// row lays one line of the grid within a width, wrapped under its own text. A mark
// of more than a sign is a heading on the line of its first row.
func (g grid) row(mark string, r sheet.Row, width int) []string {
	when, where, what, who := ASCII(r.When), ASCII(r.Where), ASCII(r.What), ASCII(r.Who)
	if r.Over {
		mark = "!"
		what = late(r.Late) + what
	}
	for _, p := range []struct {
		cell *string
		room int
	}{{&who, g.who}, {&where, g.where}, {&when, g.when}} {
		if len(*p.cell) > p.room {
			what, *p.cell = *p.cell+": "+what, ""
		}
	}
	head := fmt.Sprintf("%-2s%-*s ", mark, g.when, when)
	if len(mark) > 2 {
		head = fmt.Sprintf("%-*s ", g.when+2, mark)
	}
	return hang(head+fmt.Sprintf("%-*s %-*s ", g.where, where, g.who, who), g.text(), what, width)
}

// late says how far past its due a thing is: "15 min late: ".
func late(minutes int) string {
	if minutes <= 0 {
		return "NOW: "
	}
	if days := minutes / 60 / 24; days >= 2 {
		return strconv.Itoa(days) + " d late: "
	}
	return quantity.Span(time.Duration(minutes)*time.Minute).String() + " late: "
}

// hang writes a text beside a head, all of its lines in one column. A head that
// reaches into that column stands on a line of its own.
func hang(head string, column int, text string, width int) []string {
	var out []string
	if len(strings.TrimRight(head, " ")) >= column {
		out, head = wrap(head, width), ""
	}
	for _, line := range wrap(text, width-column) {
		out = append(out, strings.TrimRight(fmt.Sprintf("%-*s%s", column, head, line), " "))
		head = ""
	}
	return out
}

// units are what a number does not part from at the end of a line.
var units = map[string]bool{"hL": true, "L": true, "mL": true, "gal": true, "g": true, "kg": true, "t": true,
	"lb": true, "oz": true, "fl": true, "C": true, "F": true,
	"%": true, "ppm": true, "bar": true, "NTU": true, "h": true, "min": true, "g/hL": true, "mL/hL": true, "g/L": true,
	"x": true}

// words parts a text at blanks, but no number from its unit nor from its thousands.
func words(text string) (out []string) {
	for _, w := range strings.Fields(text) {
		bare := strings.TrimRight(w, ".,;:)")
		if n := len(out); n > 0 && len(out[n-1])+1+len(w) <= 16 && (numeral(out[n-1]) && (units[bare] ||
			numeral(bare)) || strings.HasSuffix(out[n-1], " x")) {
			out[n-1] += " " + w
			continue
		}
		out = append(out, w)
	}
	return out
}

// numeral reports whether a word ends in a digit and begins like a number.
func numeral(s string) bool {
	s = strings.TrimLeft(s, "(+-~")
	return s != "" && s[0] >= '0' && s[0] <= '9' && s[len(s)-1] >= '0' && s[len(s)-1] <= '9'
}

// wrap breaks a text at blanks. A word longer than its line is cut, never lost.
func wrap(text string, width int) []string { return wrapFrom(text, width, width) }

// wrapFrom is wrap with a first line of another width.
func wrapFrom(text string, width, rest int) []string {
	line := ""
	var out []string
	flush := func() {
		out = append(out, line)
		line, width = "", rest
	}
	for _, word := range words(text) {
		if line != "" && len(line)+1+len(word) > width {
			flush()
		}
		for len(word) > width {
			line, word = word[:width], word[width:]
			flush()
		}
		switch {
		case word == "":
		case line == "":
			line = word
		default:
			line += " " + word
		}
	}
	if line != "" || len(out) == 0 {
		flush()
	}
	return out
}

// spread puts two texts at the two edges of a line, or on two lines when they do
// not fit on one.
func spread(left, right string) []string {
	left, right = ASCII(left), ASCII(right)
	if n := Columns - len(left) - len(right); n >= 2 {
		return []string{strings.TrimRight(left+strings.Repeat(" ", n)+right, " ")}
	}
	return append(wrap(left, Columns), wrap(right, Columns)...)
}

// heading names a block and, over their columns, what stands in that of the
// persons and in that of the text.
func (g grid) heading(name, who, text string) string {
	name = ASCII(name)
	if len(name) < g.person() {
		name = fmt.Sprintf("%-*s%-*s ", g.person(), name, g.who, who)
	}
	if len(name) <= g.text() && g.text()+len(text) <= Columns {
		name = fmt.Sprintf("%-*s%s", g.text(), name, text)
	}
	return strings.TrimRight(name, " ")
}

// said writes a text after a heading, in the column of the texts.
func (g grid) said(head, text string) []string {
	return hang(ASCII(head), g.text(), ASCII(text), Columns)
}

// packed writes a list of short things after a heading, joined. It has no columns and
// goes on under the codes.
func (g grid) packed(head string, parts []string, join string) []string {
	head = fmt.Sprintf("%-*s ", g.code()-1, ASCII(head))
	if len(head) > g.code() {
		head += " "
	}
	text, indent := ASCII(strings.Join(parts, join)), strings.Repeat(" ", g.code())
	if len(head) > Columns/2 {
		return append(wrap(head, Columns), hang(indent, g.code(), text, Columns)...)
	}
	var out []string
	for _, line := range wrapFrom(text, Columns-len(head), Columns-g.code()) {
		out = append(out, strings.TrimRight(head+line, " "))
		head = indent
	}
	return out
}
