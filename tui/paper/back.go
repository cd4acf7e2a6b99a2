package paper

import (
	"fmt"
	"strings"

	"cellar.example/mustwatch/domain/sheet"
)

// tank is one line of a tank table on the grid.
func (g grid) tank(t sheet.Tank, u sheet.Units) string {
	when := ASCII(t.Since)
	if len(when) > g.when {
		when = when[:g.when]
	}
	head := fmt.Sprintf("  %-*s %-*s %-20s %6s %5s ", g.when, when, g.where, clip(t.Plate, g.where), clip(t.Content, 20), clip(t.Volume, 6), clip(t.Temp, 5))
	looked := ASCII(t.Looked)
	if len(looked) > 9 {
		looked = looked[:9]
	}
	stage := clip(t.Stage, max(Columns-len(head)-len(looked)-1, 1))
	return strings.TrimRight(head+stage+strings.Repeat(" ", max(0, Columns-len(head)-len(stage)-len(looked)))+looked, " ")
}

// table writes lines of cells, each column as wide as it needs to be; the last
// but one gives way when the line would be too long.
func (g grid) table(name string, heads []string, rows [][]string) []string {
	if len(rows) == 0 {
		return []string{name + ": none"}
	}
	wide := make([]int, len(heads))
	for _, r := range append([][]string{heads}, rows...) {
		for i := range r {
			r[i] = ASCII(r[i])
			wide[i] = min(max(wide[i], len(r[i])), 30)
		}
	}
	wide[0], wide[1] = max(wide[0], g.when), max(wide[1], g.where) // the columns of the grid
	for over := g.width(wide) - Columns; over > 0; over-- {
		widest := 2
		for i := range wide {
			if i >= 2 && wide[i] > wide[widest] {
				widest = i
			}
		}
		wide[widest]--
	}
	out := []string{name}
	for _, r := range append([][]string{heads}, rows...) {
		line := "  "
		for i, c := range r {
			line += fmt.Sprintf("%-*s", wide[i], clip(c, wide[i]))
			if i == 0 {
				line += " "
			} else if i < len(r)-1 {
				line += "  "
			}
		}
		out = append(out, strings.TrimRight(line, " "))
	}
	return out
}

func (g grid) width(wide []int) int {
	n := 1 + 2*(len(wide)-1)
	for _, w := range wide {
		n += w
	}
	return n
}

// backLines is the full record behind the front. What may be cut there stands
// here first, in full.
func (f *front) backLines() []string {
	b := &f.s.Back
	out := spread(fmt.Sprintf("ALL TANKS by stage since (? = taken over in it), %s and %s", ASCII(f.s.Units.Volume), ASCII(f.s.Units.Temp)), "looked")
	for _, t := range b.Tanks {
		out = append(out, f.g.tank(t, f.s.Units))
	}
	if len(f.s.Quiet) > 0 {
		out = append(out, f.g.packed("  quiet", groups(f.s.Quiet, " "), "; ")...)
	}
	if f.cut.yard {
		out = f.rows(append(out, "YARD"), "", f.s.Yard)
	}
	var add, test, move [][]string
	for _, x := range b.Additions {
		add = append(add, []string{x.When, x.Where, x.Product, x.Weighed, x.Rate, x.Basis, x.Number, x.By})
	}
	tests := "CLARITY TESTS"
	for _, x := range b.Tests {
		if strings.HasPrefix(x.Recipe, "paper") {
			tests = "CLARITY TESTS (paper: house method, no published limit)"
		}
		test = append(test, []string{x.When, x.Where, x.Verdict, x.Sample, x.Control, x.Recipe, x.By})
	}
	for _, x := range b.Moves {
		move = append(move, []string{x.When, x.Where, x.To, x.Lees, x.Loss, x.Unexplained, x.By})
	}
	out = f.parts(out, []part{{"WHAT HAPPENED", f.s.Happened}, {"OVERRIDES", f.s.Overrides}, {"WARNINGS TAKEN", f.s.Taken}})
	out = append(append(out, ""), f.g.packed("SUMS", sums(f.s), ", ")...)
	if len(b.Plan) > 0 {
		out = append(out, "", "BOOKED AND WEIGHED")
		for _, x := range b.Plan {
			out = append(out, strings.TrimRight(fmt.Sprintf("  %-30s %-20s %s", clip(ASCII(x.Name), 30), clip(ASCII(x.Loads), 20), ASCII(x.Mass)), " "))
		}
		out = append(out, "")
	}
	if len(b.Alarms) > 0 {
		out = append(out, f.g.packed("ALARMS", named(b.Alarms), ", ")...)
	}
	out = append(out, "")
	out = append(out, f.g.table("ADDITIONS", []string{"when", "", "product", "weighed", "dose", "on", "no.", "by"}, add)...)
	out = append(out, "")
	out = append(out, f.g.table(tests, []string{"when", "", "verdict", "sample", "control", "recipe", "by"}, test)...)
	out = append(out, "")
	out = append(out, f.g.table("MOVES, "+ASCII(f.s.Units.Volume), []string{"when", "from", "to", "lees", "loss", "unexpl.", "by"}, move)...)
	last := []part{{"CORRECTIONS", b.Corrections}, {"NOTES", b.Notes}}
	if len(b.Clock) > 0 { // a machine that behaved is no news
		last = append(last, part{"THE MACHINE'S CLOCK", b.Clock})
	}
	return f.parts(out, last)
}

// part is a list of rows under its name.
type part struct {
	name string
	rows []sheet.Row
}

func (f *front) parts(out []string, all []part) []string {
	for _, p := range all {
		out = append(out, "")
		if len(p.rows) == 0 {
			out = append(out, p.name+": none")
			continue
		}
		out = f.rows(append(out, p.name), "", p.rows)
	}
	return out
}
