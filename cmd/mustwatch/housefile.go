package main

import (
	"bytes"
	"cmp"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"time"

	"cellar.example/mustwatch/domain/cellar"
)

// houseTables are the tables of a house file, in the order in which they are
// decided. Each is a command of the line format, under its own name.
var houseTables = []string{"house", "vessel", "press", "product", "book", "opening"}

// houseTop are the two names at the top that hold for the whole file.
var houseTop = []string{"by", "at"}

// housePlan is a house file decided to the end, with nothing written yet.
type housePlan struct {
	records []cellar.Record
	state   *cellar.State
}

// faultyHouse is a house file that cannot be used, with all that was found.
type faultyHouse []fault

func (f faultyHouse) Error() string {
	var b strings.Builder
	for i, x := range f {
		if i > 0 {
			b.WriteByte('\n')
		}
		b.WriteString(strings.TrimRight(x.String(), ".") + ".")
	}
	return b.String()
}

// planHouse reads a house file and decides everything in it at now, on a state
// of its own. The error is a faultyHouse; then no journal is made.
func planHouse(doc []byte, now time.Time) (*housePlan, error) {
	doc = bytes.TrimPrefix(doc, []byte("\xef\xbb\xbf"))
	if !isText(doc) {
		return nil, faultyHouse{{line: 1, says: "this is no text in UTF-8"}}
	}
	tree, doc, unread := readTree(doc)
	b := &builder{fitter: fitter{zone: time.UTC, faults: unread, unread: map[int]bool{}}, now: now,
		state: cellar.NewState()}
	for _, f := range unread {
		b.unread[f.line] = true
	}
	if tree == nil {
		return nil, faultyHouse(b.faults)
	}
	b.lines = linesOf(doc)
	b.decide(b.read(tree))
	if len(b.faults) > 0 {
		slices.SortStableFunc(b.faults, func(a, b fault) int { return cmp.Compare(a.line, b.line) })
		return nil, faultyHouse(slices.Compact(b.faults))
	}
	return &housePlan{records: b.records, state: b.state}, nil
}

// houseEntry is one entry of the file, read but not decided.
type houseEntry struct {
	command cellar.Command
	path    string
	where   string
}

// builder makes a plan of the tree of a house file.
type builder struct {
	fitter
	now     time.Time
	by      cellar.Initials
	state   *cellar.State
	records []cellar.Record
}

// read puts the whole tree into commands. All faults are gathered, so that one
// pass over the file can mend them.
func (b *builder) read(tree map[string]any) []houseEntry {
	b.head(tree)
	var out []houseEntry
	for _, name := range inOrder(tree, b.lines, "") {
		if slices.Contains(houseTop, name) {
			continue
		}
		if !slices.Contains(houseTables, name) {
			b.fault(name, "", "there is no {typed:%q} in a house file; type one of {names} and the tables {tables}.",
				name,
				strings.Join(houseTop, " and "), strings.Join(houseTables, ", "))
			continue
		}
		out = append(out, b.table(name, tree[name])...)
	}
	if _, there := tree["house"]; !there {
		b.fault("", "", "there is no [house] table; add one with the name and the time zone.")
	}
	slices.SortStableFunc(out, func(x, y houseEntry) int {
		return cmp.Compare(slices.Index(houseTables, cellar.Do(x.command)), slices.Index(houseTables,
			cellar.Do(y.command)))
	})
	return out
}

// oldest is how far back the cellar of a file may stand: a year before would be
// another harvest, and a slip.
const oldest = 180 * 24 * time.Hour

// head reads what holds for the whole file: the zone first, for every time
// without an offset is in it, then the instant, then who says so.
func (b *builder) head(tree map[string]any) {
	if house, ok := tree["house"].(map[string]any); ok {
		name, _ := house["zone"].(string)
		if zone, err := time.LoadLocation(name); err == nil && name != "" {
			b.zone = zone // a wrong one is refused with the house itself
		}
		if units, ok := house["units"].(string); ok {
			_ = b.habit.Units.UnmarshalText([]byte(units)) // likewise
		}
		if sign, ok := house["decimal"].(string); ok {
			_ = b.habit.Decimal.UnmarshalText([]byte(sign)) // likewise
		}
	}
	b.at = b.now
	if x, given := tree["at"]; given {
		b.fit(reflect.ValueOf(&b.at).Elem(), x, "at", "at")
	}
	if old := b.now.Sub(b.at); old > oldest {
		b.fault("at", "at", "{time} is {n} days ago; describe the cellar as it stands now.",
			b.at.In(b.zone).Format("2 Jan 2006 15:04"), int(old.Hours()/24))
	}
	if b.at.After(b.now) { // said here in the time of the house, which the cellar does not know yet
		b.fault("at", "at", "{time} lies ahead of the clock, which says {now}; type a time that has been.",
			b.at.In(b.zone).Format("Mon 2 Jan 15:04"),
			b.now.In(b.zone).Format("Mon 2 Jan 15:04"))
	}
	x, given := tree["by"]
	if !given {
		b.fault("", "", `say who sets the house up: by = "XY" in the first lines, one of the people.`)
		return
	}
	b.fit(reflect.ValueOf(&b.by).Elem(), x, "by", "by")
}

// table reads one table, or each of a list of them, as its command.
func (b *builder) table(name string, x any) []houseEntry {
	list, many := x.([]any)
	alone := name == "house" || name == "opening"
	switch {
	case many && alone:
		b.fault(name, name, "there is only one of it; type [{name}].", name)
		return nil
	case !many && !alone:
		b.fault(name, name, "there can be several of it; type [[{name}]].", name)
		return nil
	case alone:
		return []houseEntry{b.entry(name, x, name, name)}
	}
	var out []houseEntry
	first := map[string]int{}
	for i, item := range list {
		path, where := nth(name, i), entry(name, item, i)
		if line, twice := first[where]; twice {
			b.fault(path, where, "it stands in line {line} already; delete one of the two.", line)
			continue
		}
		first[where] = b.lines.at(path)
		out = append(out, b.entry(name, item, path, where))
	}
	return out
}

func (b *builder) entry(name string, x any, path, where string) houseEntry {
	c, _ := cellar.NewCommand(name)
	b.fitTable(reflect.ValueOf(c).Elem(), x, path, where)
	head := cellar.HeadOf(c)
	head.At, head.By = b.at, b.by
	return houseEntry{command: c, path: path, where: where}
}

// sum is what was set up, in a line.
func (h *housePlan) sum() string {
	s := h.state
	out := fmt.Sprintf("%s: %s, %s, %s, %s", s.House.Name, several(len(s.House.People), "person", "people"),
		several(len(s.Vessels()), "vessel", "vessels"), several(len(s.Presses()), "press", "presses"),
		several(len(s.Products()), "product lot", "product lots"))
	if n := len(s.Clocks()); n > 0 {
		out += ", " + several(n, "clock", "clocks") + " running"
	}
	return out
}

func several(n int, one, more string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, more)
}
