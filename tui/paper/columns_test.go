package paper_test

import (
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/handover"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/sheet"
	"cellar.example/mustwatch/tui/paper"
)

// printed is the sheet of one minute.
type printed struct {
	at          string
	sheet       sheet.Sheet
	front, full string
	says        map[string]string // codes of the house with their words
}

// everyMinute prints the sheet of each minute of the demo night, once for all tests; in
// US units of every seventh.
var everyMinute = map[quantity.System]func() ([]printed, error){
	quantity.Metric: sync.OnceValues(func() ([]printed, error) { return printNight(quantity.Metric, time.Minute) }),
	quantity.US:     sync.OnceValues(func() ([]printed, error) { return printNight(quantity.US, 7*time.Minute) }),
}

func printNight(units quantity.System, step time.Duration) (out []printed, err error) {
	at, end := time.Date(2026, 9, 24, 16, 0, 0, 0, time.UTC), time.Date(2026, 9, 25, 4, 30, 0, 0, time.UTC)
	s := cellar.NewState()
	show := func(until time.Time) {
		for ; at.Before(until); at = at.Add(step) {
			was := s.House.Units
			s.House.Units = units
			x := handover.Sheet(s, at, sheet.Mark{Seq: uint64(s.Seq), Hash: "0123456789ab", Version: "v1.0.0",
				Demo: true})
			s.House.Units = was
			p := printed{s.Clock(at), x, paper.Text(x), paper.Full(x), map[string]string{}}
			for _, who := range s.House.People {
				p.says[string(who.Initials)] = who.Name
			}
			for _, lot := range s.Products() {
				p.says[string(lot.ID)] = lot.Name
			}
			out = append(out, p)
		}
	}
	err = throughNight(s, func(next time.Time) bool {
		show(next)
		return true
	})
	show(end)
	return out, err
}

// eachMinute runs a check on the sheets of the night.
func eachMinute(t *testing.T, units quantity.System, check func(p printed)) {
	t.Helper()
	all, err := everyMinute[units]()
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range all {
		check(p)
	}
	t.Logf("%s: %d sheets", units, len(all))
}

// rowsOf are the blocks whose lines stand on the grid; the others are lists and tables.
var rowsOf = regexp.MustCompile(`^(EMERGENCY|SAFETY|\+-- DO NOT TOUCH|NEXT, to|THEN, to|NOT DECIDED|NO ` +
	`HOME|SHORT|STOCK|PROMISED, CALLS|YARD|WHAT HAPPENED|OVERRIDES|WARNINGS OVERRIDDEN|CORRECTIONS|NOTES|THE MACHINE)`)

// gridLines are the lines of a print that stand on the grid, with a heading that shares
// its line with a row blanked out.
func gridLines(text string) (out []string) {
	inside := false
	for _, line := range strings.Split(strings.ReplaceAll(text, paper.Feed, ""), "\n") {
		head, _, _ := strings.Cut(line, "  ")
		switch {
		case rowsOf.MatchString(line):
			inside = true
			if head == "EMERGENCY" || head == "SAFETY" || head == "SHORT" {
				out = append(out, strings.Repeat(" ", len(head))+line[len(head):])
			}
			if strings.HasPrefix(head, "THEN") && line != head { // in one list, for want of room
				inside = false
			}
		case line == "" || strings.Contains(line, "  HANDOVER") || strings.HasPrefix(line, "-----"):
			// a gap, or a page that begins in the middle of a block
		case line[0] >= 'A' && line[0] <= 'Z' || strings.HasPrefix(line, "+--") || strings.HasPrefix(line,
			"read aloud"):
			inside = false
		case inside:
			out = append(out, strings.TrimRight(strings.TrimSuffix(line, "|"), " "))
		}
	}
	return out
}

var (
	instant  = regexp.MustCompile(`^(([A-Z][a-z]{2} )?\d\d:\d\d|\d{1,2} [A-Z][a-z]{2})?$`)
	initials = regexp.MustCompile(`^([A-Z]{2,3})?$`)
)

// places are the codes that stand on a sheet.
func places(x *sheet.Sheet) map[string]bool {
	out := map[string]bool{"": true}
	for _, rows := range [][]sheet.Row{x.Safety.Rows, x.Holds, x.Next.Rows, x.Later.Rows, x.NoHome, x.Yard, x.Happened,
		x.Overrides, x.Taken, x.Short, x.Promised, x.Back.Corrections, x.Back.Notes, x.Back.Clock} {
		for _, r := range rows {
			out[paper.ASCII(r.Where)] = true
		}
	}
	return out
}

// Every line keeps its columns: a mark, an instant, a code and initials, or nothing, in
// front of the text. Whatever else stood there would be a sentence that runs through.
func TestEveryLineOfTheSheetKeepsItsColumns(t *testing.T) {
	for _, units := range []quantity.System{quantity.Metric, quantity.US} {
		lines := 0
		eachMinute(t, units, func(p printed) {
			checkPages(t, p.full)
			code, person, text := paper.Grid(&p.sheet)
			where := places(&p.sheet)
			for _, line := range gridLines(p.full) {
				lines++
				cell := func(from, to int) string {
					return strings.TrimSpace(line[min(from, len(line)):min(to, len(line))])
				}
				gaps := cell(code-1, code) + cell(person-1, person) + cell(text-1, text)
				if !strings.Contains("!>|", cell(0, 2)) || !instant.MatchString(cell(2, code)) ||
					!where[cell(code, person)] || !initials.MatchString(cell(person, text)) || gaps != "" {
					t.Errorf("%s: something stands in front of the text that is no instant, code or initials: %q", p.at,
						line)
				}
				if len(line) <= text || line[text] == ' ' {
					t.Errorf("%s: no text begins in column %d: %q", p.at, text, line)
				}
			}
		})
		t.Logf("%s: %d lines", units, lines)
	}
}

// The front of the demo night is one page at any minute.
func TestTheFrontKeepsToItsPageAllNight(t *testing.T) {
	eachMinute(t, quantity.Metric, func(p printed) {
		if strings.Contains(p.front, paper.Feed) {
			t.Errorf("%s: the front has a second page:\n%s", p.at, p.front)
		}
	})
}

// one is a text as it is read, without what only sets it on the page.
func one(text string) string {
	return strings.Join(strings.Fields(strings.NewReplacer("|", " ", paper.Feed, " ").Replace(text)), " ")
}

// Nothing stands between the words of a sentence that matters: read down the column of
// the texts, each is found as it was written.
func TestNoSentenceOfTheFrontIsBroken(t *testing.T) {
	eachMinute(t, quantity.Metric, func(p printed) {
		_, _, column := paper.Grid(&p.sheet)
		var all []string
		for _, line := range gridLines(p.front) {
			all = append(all, line[min(column, len(line)):])
		}
		text, x := one(strings.Join(all, " ")), p.sheet
		rows := [][]sheet.Row{{{What: x.Safety.NoEntry}}, x.Safety.Rows, x.Holds, x.Next.Rows, x.NoHome}
		for _, e := range x.Safety.Emergencies {
			rows = append(rows, []sheet.Row{{What: e}})
		}
		if strings.Contains(p.front, "\nTHEN, to "+x.Later.Until+"\n") {
			rows = append(rows, x.Later.Rows)
		}
		for _, part := range rows {
			for _, r := range part {
				if want := one(paper.ASCII(r.What)); !strings.Contains(text, want) {
					t.Errorf("%s: %q does not stand in one piece:\n%s", p.at, want, p.front)
				}
			}
		}
	})
}

// Every code on the paper has its words on the same part of it: the front alone is
// handed on, so it explains itself.
func TestEveryCodeOnThePaperIsExplained(t *testing.T) {
	rule := regexp.MustCompile(`\b[HWD][0-9]{2}\b`)
	eachMinute(t, quantity.Metric, func(p printed) {
		for part, text := range map[string]string{"front": p.front, "sheet": p.full} {
			flat := one(text)
			if code := rule.FindString(flat); code != "" {
				t.Errorf("%s: the %s names a rule by its code, %s:\n%s", p.at, part, code, text)
			}
			parts := strings.FieldsFunc(flat, func(r rune) bool { return strings.ContainsRune(" .,;:()+/", r) })
			for code, words := range p.says {
				code, words = paper.ASCII(code), paper.ASCII(words)
				if slices.Contains(parts, code) && code != words && !strings.Contains(flat, words+" ("+code+")") &&
					!strings.Contains(flat, code+" "+words) {
					t.Errorf("%s: the %s does not say what %s is:\n%s", p.at, part, code, text)
				}
			}
		}
	})
}
