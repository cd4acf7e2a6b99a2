package paper

import (
	"fmt"
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

// The widest that the first two columns of the grid may become. What is wider
// runs on into the text of its own line.
const (
	maxWhen  = 13
	maxWhere = 9
)

// grid holds the columns of one sheet: as narrow as its rows allow, the same for
// all of them.
type grid struct {
	when, where int // widths
}

// code is the column in which every plate stands.
func (g grid) code() int { return 2 + g.when + 1 }

// text is the column in which every text begins.
func (g grid) text() int { return g.code() + g.where + 1 }

// newGrid fits the columns to everything on the sheet, front and back, so that
// both pages read alike.
func newGrid(s *sheet.Sheet) grid {
	g := grid{when: 5, where: 4}
	fit := func(when, where string) {
		if n := len(ASCII(when)); n <= maxWhen {
			g.when = max(g.when, n)
		}
		if n := len(ASCII(where)); n <= maxWhere {
			g.where = max(g.where, n)
		}
	}
	for _, rows := range [][]sheet.Row{s.Safety.Rows, s.Holds, s.Next.Rows, s.Later.Rows, s.NoHome, s.Yard, s.Happened, s.Overrides, s.Taken, s.Short, s.Promised} {
		for _, r := range rows {
			fit(r.When, r.Where)
		}
	}
	for _, t := range s.Back.Tanks {
		fit(t.Since, t.Plate)
	}
	for _, p := range s.Presses {
		fit(p.Ends, p.Plate)
	}
	return g
}

// row lays one line of the grid within a width, wrapped under its own text.
func (g grid) row(mark string, r sheet.Row, width int) []string {
	when, where, what, who := ASCII(r.When), ASCII(r.Where), ASCII(r.What), ASCII(r.Who)
	if r.Over {
		mark = "!"
		what = late(r.Late) + what
	}
	if len(when) > maxWhen {
		when, what = "", when+" "+what
	}
	if len(where) > 2*maxWhere {
		where, what = "", where+": "+what
	}
	indent := g.text()
	if where == "" {
		indent = g.code() // a text without a code has the room of one
	}
	if len(who) > 9 {
		who, what = "", what+" ["+who+"]"
	}
	head := fmt.Sprintf("%-2s%-*s ", mark, g.when, when)
	if len(mark) > 2 { // a heading on the line of its first row
		head = fmt.Sprintf("%-*s ", g.when+2, mark)
	}
	if where != "" {
		head += fmt.Sprintf("%-*s ", g.where, where)
	}
	return hang(head, indent, what, who, width)
}

// late says how far past its due a thing is: "+15 min: ".
func late(minutes int) string {
	if minutes <= 0 {
		return "NOW: "
	}
	return "+" + quantity.Span(time.Duration(minutes)*time.Minute).String() + ": "
}

// hang writes a text after a head, with who at the right edge of its first line;
// the following lines hang under the column of the text.
func hang(head string, indent int, text, who string, width int) []string {
	first := width - len(head)
	if who != "" {
		first -= len(who) + 1
	}
	if first < 10 { // a head too long for its line stands alone
		out := wrap(head, width, width)
		return append(out, hang(strings.Repeat(" ", indent), indent, text, who, width)...)
	}
	var out []string
	for i, line := range wrap(text, first, width-indent) {
		if i > 0 {
			out = append(out, strings.Repeat(" ", indent)+line)
			continue
		}
		line = head + line
		if who != "" {
			line += strings.Repeat(" ", width-len(line)-len(who)) + who
		}
		out = append(out, strings.TrimRight(line, " "))
	}
	return out
}

// wrap breaks a text at blanks, the first line at one width and the others at
// another. A word longer than its line is cut, never lost.
func wrap(text string, first, rest int) []string {
	width, line := first, ""
	var out []string
	flush := func() {
		out = append(out, line)
		line, width = "", rest
	}
	for _, word := range strings.Fields(text) {
		if line != "" && len(line)+1+len(word) > width {
			flush()
		}
		for len(word) > width {
			line = word[:width]
			word = word[width:]
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
	return append(wrap(left, Columns, Columns), wrap(right, Columns, Columns)...)
}

// packed writes short things after a heading, joined, wrapped under the column of
// the codes.
func (g grid) packed(head string, parts []string, join string) []string {
	for i := range parts {
		parts[i] = ASCII(parts[i])
	}
	head = ASCII(head)
	if len(head) < g.code() {
		head += strings.Repeat(" ", g.code()-len(head))
	} else {
		head += "  "
	}
	return hang(head, g.code(), strings.Join(parts, join), "", Columns)
}

// clip shortens a text to a cell of a table, and shows that it did.
func clip(s string, n int) string {
	s = ASCII(s)
	if len(s) <= n {
		return s
	}
	return s[:n-1] + "."
}
