package paper

import (
	"fmt"
	"slices"
	"strings"

	"cellar.example/mustwatch/domain/sheet"
)

// tanks is a table of vessels on the grid.
func (g grid) tanks(all []sheet.Tank, u sheet.Units) []string {
	var rows [][]string
	for _, t := range all {
		rows = append(rows, []string{t.Since, t.Number, t.Content, t.Volume, t.Temp, t.Stage, t.Looked})
	}
	return g.columns([]string{"since", "tank", "content", u.Volume, u.Temp, "stage", "looked"}, rows, 3, 4)
}

// table is a named table; one without rows says so.
func (g grid) table(name string, heads []string, rows [][]string) []string {
	if len(rows) == 0 {
		return []string{name + ": none"}
	}
	return append([]string{name}, g.columns(heads, rows)...)
}

// columns writes rows of cells under their heads, each column as wide as it needs to
// be, those of numbers set to the right. When a line would be too long the widest
// columns give way, and their cells go on in the next line: nothing is cut.
func (g grid) columns(heads []string, rows [][]string, numbers ...int) (out []string) {
	wide := make([]int, len(heads))
	all := append([][]string{heads}, rows...)
	for _, r := range all {
		for i := range r {
			r[i] = ASCII(r[i])
			wide[i] = max(wide[i], len(r[i]))
		}
	}
	wide[0] = max(wide[0], g.when) // the codes stand in the column of the grid
	for over := lineWidth(wide) - Columns; over > 0; over-- {
		widest := 0
		for i := range wide {
			if wide[i] > wide[widest] {
				widest = i
			}
		}
		wide[widest]--
	}
	for _, r := range all {
		cells, most := make([][]string, len(r)), 0
		for i := range r {
			cells[i] = wrap(r[i], wide[i])
			most = max(most, len(cells[i]))
		}
		for n := range most {
			line := "  "
			for i, c := range cells {
				text := ""
				if n < len(c) {
					text = c[n]
				}
				if slices.Contains(numbers, i) {
					text = fmt.Sprintf("%*s", wide[i], text)
				}
				line += fmt.Sprintf("%-*s ", wide[i], text)
				if i > 0 {
					line += " "
				}
			}
			out = append(out, strings.TrimRight(line, " "))
		}
	}
	return out
}

// lineWidth is how long a line of such columns is.
func lineWidth(wide []int) int {
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
	out := append([]string{"ALL TANKS: since when in their stage (? = taken over in it), when looked at"},
		f.g.tanks(b.Tanks, f.s.Units)...)
	if len(f.s.Quiet) > 0 {
		out = append(out, f.g.packed("  quiet", groups(f.s.Quiet, " ", false), "; ")...)
	}
	if f.cut.yard {
		out = f.rows(append(out, "", "YARD"), "", f.s.Yard)
	}
	var add, test, move [][]string
	for _, x := range b.Additions {
		add = append(add, []string{x.When, x.Where, x.Product, x.Weighed, x.Rate, x.Basis, x.Number, x.By})
	}
	tests := "CLARITY TESTS"
	for _, x := range b.Tests {
		if x.Paper {
			tests = "CLARITY TESTS (paper: house method, no published limit)"
		}
		test = append(test, []string{x.When, x.Where, x.Verdict, x.Sample, x.Control, x.Recipe, x.By})
	}
	for _, x := range b.Moves {
		move = append(move, []string{x.When, x.Where, x.To, x.Lees, x.Loss, x.Unexplained, x.By})
	}
	out = f.parts(out, []part{{"WHAT HAPPENED", f.s.Happened}, {"OVERRIDES", f.s.Overrides}, {"WARNINGS OVERRIDDEN",
		f.s.Taken}})
	out = append(append(out, ""), f.g.packed("SUMS", sums(f.s), ", ")...)
	if len(b.Plan) > 0 {
		out = append(out, "", "BOOKED AND WEIGHED")
		var rows [][]string
		for _, x := range b.Plan {
			rows = append(rows, []string{x.Name, x.Loads, x.Mass})
		}
		out = append(out, f.g.columns([]string{"grapes", "loads", "weighed of booked"}, rows)...)
		out = append(out, "")
	}
	if f.cut.capacity {
		whole := *f
		whole.cut.capacity = false
		out = append(out, append(whole.clean(), "")...)
	}
	if f.cut.fetch {
		out = append(f.rows(append(out, "STOCK"), "", f.s.Short), "")
	}
	if len(b.Alarms) > 0 {
		out = append(out, f.g.packed("ALARMS", named(b.Alarms), ", ")...)
	}
	out = append(out, "")
	out = append(out, f.g.table("ADDITIONS", []string{"when", "", "product", "weighed", "dose", "on", "dose no.", "by"},
		add)...)
	out = append(out, "")
	out = append(out, f.g.table(tests, []string{"when", "", "verdict", "sample", "control", "recipe", "by"}, test)...)
	out = append(out, "")
	out = append(out, f.g.table("MOVES, "+ASCII(f.s.Units.Volume), []string{"when", "from", "to", "lees", "loss",
		"unexplained", "by"}, move)...)
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
