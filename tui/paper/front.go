package paper

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"cellar.example/mustwatch/domain/sheet"
)

// cut is what has gone to the back so far, for want of room.
type cut struct {
	quiet bool
	tanks int  // rows taken off
	brief bool // what happened keeps only the first line of each row
	told  int  // rows taken off what happened
	bare  bool // and not even their codes named
	sums  bool
	yard  bool // loads of later on are told in a line
	loads bool // of which only how many there are
	above bool // promises that stand above are not named again
	fetch bool // of the stock only what is short
	later bool // and so are dues of later on
	// capacity is what the clean ones hold
	capacity bool
}

// front lays the blocks of the front page in their order. Each is a list of
// lines; an empty one is left out.
type front struct {
	s   *sheet.Sheet
	g   grid
	cut cut
}

// The places of the blocks that may shrink, in the list that blocks makes.
const (
	atDue   = 3
	atYard  = 5
	atTanks = 6
	atClean = 7
	atTold  = 8
	atShort = 9
	atSums  = 10
	atOwed  = 11
	atCodes = 12
)

func (f *front) blocks() [][]string {
	return [][]string{f.head(), f.safety(), f.holds(), f.due(), f.noHome(), f.presses(), f.tanks(), f.clean(), f.told(),
		f.short(), f.sums(), f.promised(), nil, f.foot()}
}

// head says which sheet it is. The hour of printing is spaced out to be seen
// first: an old sheet is worse than none.
func (f *front) head() []string {
	h := &f.s.Head
	as := "PRINTED "
	if f.s.Past != "" {
		as = "AS IT WAS "
	}
	out := spread(strings.ToUpper(ASCII(h.House))+"  SHIFT HANDOVER"+f.demo(), as+strings.ToUpper(h.Day)+"  "+
		spaced(h.Time))
	out = append(out, spread("Shift "+h.Span, pageMark+"  "+f.s.Mark.Version)...)
	people := "from " + h.Out + " to " + h.In
	if h.Crew != "" {
		people += ", with " + h.Crew
	}
	out = append(out, wrap(ASCII(people), Columns)...)
	for _, c := range h.Changes {
		out = append(out, wrap("! "+ASCII(c), Columns)...)
	}
	var counts []string
	for _, c := range h.Counts {
		counts = append(counts, c.Name+" "+strconv.Itoa(c.N))
	}
	out = append(out, wrap(ASCII(strings.Join(counts, " | ")), Columns)...)
	return append(out, signs+strings.Repeat("-", Columns-len(signs)))
}

func (f *front) demo() string {
	if f.s.Mark.Demo {
		return "  *** DEMO ***"
	}
	return ""
}

// spaced sets a text wide.
func spaced(s string) string { return strings.Join(strings.Split(ASCII(s), ""), " ") }

func (f *front) rows(out []string, mark string, rows []sheet.Row) []string {
	for _, r := range rows {
		out = append(out, f.g.row(mark, r, Columns)...)
	}
	return out
}

func (f *front) safety() []string {
	b := &f.s.Safety
	var out []string
	for _, e := range b.Emergencies {
		out = append(out, f.g.said("EMERGENCY", e)...)
	}
	out = append(out, f.g.said("SAFETY", b.NoEntry)...)
	out = f.rows(out, "", b.Rows)
	if len(b.None) == 0 {
		return out
	}
	return append(out, f.g.said("", "Not logged: "+strings.Join(b.None, ", ")+".")...)
}

// holds are boxed, so that they are found without reading. An empty box says
// that nothing is held.
func (f *front) holds() []string {
	edge := "+-- DO NOT TOUCH " + strings.Repeat("-", Columns-18) + "+"
	out := []string{edge}
	put := func(line string) {
		line = line[min(2, len(line)):] // the frame stands where the mark would
		out = append(out, "| "+line+strings.Repeat(" ", max(0, Columns-4-len(line)))+" |")
	}
	for _, r := range f.s.Holds {
		for _, line := range f.g.row("", r, Columns-2) {
			put(line)
		}
	}
	if len(f.s.Holds) == 0 {
		put(strings.Repeat(" ", f.g.text()) + "nothing is on hold")
	}
	return append(out, "+"+strings.Repeat("-", Columns-2)+"+")
}

func (f *front) due() []string {
	var out []string
	for _, part := range []struct {
		name, who string
		dues      sheet.Dues
		later     bool
	}{{"NEXT", "who", f.s.Next, false}, {"THEN", "", f.s.Later, true}} {
		head := part.name + ", to " + part.dues.Until
		if len(part.dues.Rows) == 0 {
			out = append(out, f.g.said(head, "no clock falls due")...)
			continue
		}
		if part.later && f.cut.later {
			var all []string
			for _, r := range part.dues.Rows {
				all = append(all, r.When+" "+r.Where+" "+r.What)
			}
			out = append(out, f.g.packed(head, all, "; ")...)
			continue
		}
		out = f.rows(append(out, f.g.heading(head, part.who, "")), "", part.dues.Rows)
	}
	return out
}

func (f *front) noHome() []string {
	if len(f.s.NoHome) == 0 {
		return f.g.said("NO TANK YET", "nothing open")
	}
	return f.rows([]string{"NOT DECIDED, NO TANK YET"}, ">", f.s.NoHome)
}

// presses are laid out with the loads of the yard; the column of the persons is
// that of the hour at which a press is free.
func (f *front) presses() []string {
	g := f.g
	for _, p := range f.s.Presses {
		g.who = max(g.who, min(len(ASCII(p.Free)), maxWhen))
	}
	out := []string{g.heading("PRESSES, YARD", "free", "when a press ends or a load arrives")}
	for _, p := range f.s.Presses {
		out = append(out, g.row("", sheet.Row{When: p.Ends, Where: p.Number, What: p.What, Who: p.Free}, Columns)...)
	}
	if len(f.s.Yard) == 0 {
		return append(out, g.said("", "Yard: no load waits, runs in or is booked.")...)
	}
	var later []string
	for _, r := range f.s.Yard {
		if !f.cut.yard || !r.Minor {
			out = append(out, g.row("", r, Columns)...)
			continue
		}
		later = append(later, r.When+" "+r.Where+" "+r.Brief)
	}
	switch {
	case len(later) > 0 && f.cut.loads:
		out = append(out, g.packed("", []string{fmt.Sprintf("loads later on: %d, see back", len(later))}, "")...)
	case len(later) > 0:
		out = append(out, g.packed("  later, see back", later, "; ")...)
	}
	return out
}

// tanks lists what is not quiet, as far as there is room. First go those that
// stand above already, under holds, dues or no home; then from the bottom.
func (f *front) tanks() []string {
	rows := f.kept()
	all := len(f.s.Tanks)
	name := "ACTIVE TANKS"
	switch {
	case len(rows) == 0 && all > 0 && (f.cut.quiet || len(f.s.Quiet) == 0):
		return nil // named with what else stands on the back
	case len(rows) == 0 && all > 0:
		name = fmt.Sprintf("ACTIVE TANKS (%d): see back", all)
	case len(rows) < all:
		name = fmt.Sprintf("ACTIVE TANKS (%d of %d, all: see back)", len(rows), all)
	case all == 0:
		name = "ACTIVE TANKS: none"
	}
	if f.cut.quiet && len(f.s.Quiet) > 0 {
		name += "; quiet ones: see back"
	}
	out := []string{name}
	if len(rows) > 0 {
		out = append(out, f.g.tanks(rows, f.s.Units)...)
	}
	if !f.cut.quiet && len(f.s.Quiet) > 0 {
		out = append(out, f.g.packed("  quiet", groups(f.s.Quiet, " ", false), "; ")...)
	}
	return out
}

// kept are the tanks left on the front.
func (f *front) kept() []sheet.Tank {
	drop := f.cut.tanks
	if drop >= len(f.s.Tanks) {
		return nil
	}
	above := map[string]bool{}
	for _, rows := range [][]sheet.Row{f.s.Holds, f.s.Next.Rows, f.s.Later.Rows, f.s.NoHome} {
		for _, r := range rows {
			above[r.Where] = true
		}
	}
	gone := map[int]bool{}
	for _, named := range []bool{true, false} {
		for i := len(f.s.Tanks) - 1; i >= 0 && len(gone) < drop; i-- {
			if above[f.s.Tanks[i].Number] == named {
				gone[i] = true
			}
		}
	}
	var out []sheet.Tank
	for i, t := range f.s.Tanks {
		if !gone[i] {
			out = append(out, t)
		}
	}
	return out
}

// groups are groups in words, with what their tanks take where that is wanted.
func groups(all []sheet.Group, join string, holds bool) []string {
	out := make([]string, len(all))
	for i, g := range all {
		codes := make([]string, len(g.Codes))
		for k, c := range g.Codes {
			codes[k] = c.Text(holds)
		}
		out[i] = g.Name + ": " + strings.Join(codes, join)
	}
	return out
}

func (f *front) clean() []string {
	join := ", "
	if f.cut.capacity {
		join = " "
	}
	parts := groups(f.s.Clean, join, !f.cut.capacity)
	if len(parts) == 0 {
		parts = []string{"NONE"}
	}
	out := f.g.packed("CLEAN", parts, "; ")
	if len(f.s.NotClean) > 0 {
		out = append(out, f.g.packed("NOT TO FILL", groups(f.s.NotClean, " ", !f.cut.capacity), "; ")...)
	}
	return out
}

// told is what happened, the overrides and the warnings taken. When room is
// short each keeps its first line; then the warnings go, the overrides, what is
// minor, and last the oldest. Of what has gone the instant and the code stay, to be
// asked about.
func (f *front) told() []string {
	drop := f.cut.told
	take := func(rows []sheet.Row) (kept, gone []sheet.Row) {
		n := min(drop, len(rows))
		drop -= n
		return lessMinor(rows, n)
	}
	taken, goneTaken := take(f.s.Taken)
	overrides, goneOver := take(f.s.Overrides)
	happened, goneTold := take(f.s.Happened)
	var out, gone []string
	for _, part := range []struct {
		name       string
		rows, gone []sheet.Row
		none       string // said where there is nothing of it
	}{{"WHAT HAPPENED", happened, goneTold, "nothing saved"}, {"OVERRIDES", overrides, goneOver, ""},
		{"WARNINGS", taken, goneTaken, ""}} {
		switch {
		case len(part.rows) > 0 && f.cut.brief:
			out = f.tells(append(out, part.name+" (in full: see back)"), part.rows)
		case len(part.rows) > 0:
			out = f.tells(append(out, part.name), part.rows)
		case len(part.gone) == 0 && part.none != "":
			out = append(out, part.name+": "+part.none)
		}
		if len(part.gone) > 0 {
			gone = append(gone, f.pointer(part.name, part.gone))
		}
	}
	if f.cut.sums {
		gone = append(gone, "SUMS")
	}
	if all := len(f.s.Tanks); all > 0 && f.cut.tanks >= all && (f.cut.quiet || len(f.s.Quiet) == 0) {
		gone = append([]string{fmt.Sprintf("TANKS (%d)", all)}, gone...)
	}
	if len(gone) > 0 {
		out = append(out, f.g.packed("SEE BACK", gone, ", ")...)
	}
	return out
}

// pointer names rows that stand on the back: all are counted, those that are not
// minor also by their instant and code.
func (f *front) pointer(name string, rows []sheet.Row) string {
	if f.cut.bare {
		return fmt.Sprintf("%s (%d)", name, len(rows))
	}
	var at []string
	for _, r := range rows {
		if code := strings.TrimSpace(r.When + " " + r.Where); !r.Minor && !slices.Contains(at, code) {
			at = append(at, code)
		}
	}
	if len(at) == 0 {
		return fmt.Sprintf("%s (%d)", name, len(rows))
	}
	return fmt.Sprintf("%s (%d): %s", name, len(rows), strings.Join(at, ", "))
}

// tells writes rows in full, or the first line of each with dots where it goes
// on.
func (f *front) tells(out []string, rows []sheet.Row) []string {
	for _, r := range rows {
		lines := f.g.row("", r, Columns)
		if f.cut.brief && len(lines) > 1 {
			lines = []string{f.g.row("", r, Columns-3)[0] + " .."} // shows that there is more
		}
		out = append(out, lines...)
	}
	return out
}

// lessMinor takes n rows out: first the minor ones, then the oldest.
func lessMinor(rows []sheet.Row, n int) (kept, gone []sheet.Row) {
	out := map[int]bool{}
	for _, minor := range []bool{true, false} {
		for i := range rows {
			if rows[i].Minor == minor && len(out) < n {
				out[i] = true
			}
		}
	}
	for i, r := range rows {
		if out[i] {
			gone = append(gone, r)
		} else {
			kept = append(kept, r)
		}
	}
	return kept, gone
}

// headed writes rows under a heading, on the line of the first one where that
// has no instant.
func (f *front) headed(name string, rows []sheet.Row) []string {
	if len(rows) > 0 && rows[0].When == "" && len(name) <= f.g.when+2 && !rows[0].Over {
		return f.rows(f.g.row(name, rows[0], Columns), "", rows[1:])
	}
	return f.rows([]string{name}, "", rows)
}

func (f *front) short() []string {
	if len(f.s.Short) == 0 {
		return f.g.said("SHORT", "nothing counted is short")
	}
	rows := f.s.Short
	if f.cut.fetch {
		rows = slices.DeleteFunc(slices.Clone(rows), func(r sheet.Row) bool { return r.Minor })
	}
	return f.headed("SHORT", rows)
}

func (f *front) sums() []string {
	if f.cut.sums {
		return nil // named with what else stands on the back
	}
	return f.g.packed("SUMS", sums(f.s), ", ")
}

func sums(s *sheet.Sheet) []string { return named(s.Sums) }

func named(all []sheet.Sum) []string {
	var out []string
	for _, x := range all {
		out = append(out, x.Name+" "+x.Value)
	}
	return out
}

// promised names who owes what: in full, unless it stands above as due within
// the coming shift.
func (f *front) promised() []string {
	above := map[string]bool{}
	for _, rows := range [][]sheet.Row{f.s.Next.Rows, f.s.Later.Rows} {
		for _, r := range rows {
			above[r.When+"|"+r.Where] = true
		}
	}
	var brief []string
	var full []sheet.Row
	for _, r := range f.s.Promised {
		if above[r.When+"|"+r.Where] {
			brief = append(brief, strings.TrimSpace(r.When+" "+r.Where+" "+r.Who))
		} else {
			full = append(full, r)
		}
	}
	switch {
	case len(full) == 0 && f.cut.above:
		return nil
	case len(f.s.Promised) == 0:
		return f.g.said("PROMISED", "none open")
	case len(brief) == 0 || f.cut.above && len(full) > 0:
		return f.rows([]string{f.g.heading("PROMISED, CALLS", "who", "")}, "", full)
	}
	return f.rows(f.g.packed("PROMISED", []string{strings.Join(brief, ", ") + " (above)"}, ""), "", full)
}

// foot is for the pen, and says until when the sheet holds and what it stands
// on.
func (f *front) foot() []string {
	m := f.s.Mark
	out := []string{"read aloud [ ] questions asked [ ] walked [ ]  from _______ to _______ __:__"}
	valid := "VALID UNTIL " + f.s.Valid
	if f.s.Past != "" {
		valid = "NOT TO WORK BY: printed " + f.s.Past
	}
	return append(out, spread(valid, fmt.Sprintf("journal %d  %s", m.Seq, m.Hash))...)
}
