package paper_test

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"cellar.example/mustwatch/domain/sheet"
	"cellar.example/mustwatch/tui/paper"
)

// word draws what people and houses write: letters of several tongues, units,
// signs, line ends, and long runs without a blank.
func word(max int) *rapid.Generator[string] {
	return rapid.StringOfN(rapid.RuneFrom([]rune("abcXYZ 0123456789 .,:;()éüßøñ°·→▲−½…\n\t漢Ж")), 0, max, -1)
}

func row() *rapid.Generator[sheet.Row] {
	return rapid.Custom(func(t *rapid.T) sheet.Row {
		return sheet.Row{When: rapid.SampledFrom([]string{"", "05:40", "Fri 00:10", "02:15 CET", "Sun 02:15 CET",
			"12 Sep"}).Draw(t, "when"),
			Where: rapid.OneOf(rapid.SampledFrom([]string{"", "102", "K1", "P2", "300 pit", "0419"}), word(40)).Draw(t,
				"where"),
			What: word(400).Draw(t, "what"), Who: rapid.SampledFrom([]string{"", "MA", "MA+NS",
				"somebody unknown"}).Draw(t, "who"),
			Late: rapid.IntRange(0, 5000).Draw(t, "late"), Over: rapid.Bool().Draw(t, "over")}
	})
}

func rows(most int) *rapid.Generator[[]sheet.Row] { return rapid.SliceOfN(row(), 0, most) }

func anySheet() *rapid.Generator[sheet.Sheet] {
	return rapid.Custom(func(t *rapid.T) sheet.Sheet {
		tank := rapid.Custom(func(t *rapid.T) sheet.Tank {
			return sheet.Tank{Since: word(9).Draw(t, "since"), Number: word(6).Draw(t, "number"),
				Content: word(60).Draw(t, "content"),
				Volume:  word(9).Draw(t, "volume"), Temp: word(6).Draw(t, "temp"), Stage: word(80).Draw(t, "stage"),
				Looked: word(14).Draw(t, "looked")}
		})
		group := rapid.Custom(func(t *rapid.T) sheet.Group {
			code := rapid.Custom(func(t *rapid.T) sheet.Code {
				return sheet.Code{Number: word(6).Draw(t, "number"), Holds: word(20).Draw(t, "holds"),
					Says: word(20).Draw(t, "says")}
			})
			return sheet.Group{Name: word(12).Draw(t, "name"), Codes: rapid.SliceOfN(code, 0, 20).Draw(t, "codes")}
		})
		groups := rapid.SliceOfN(group, 0, 6)
		s := sheet.Sheet{Mark: sheet.Mark{Seq: rapid.Uint64().Draw(t, "seq"), Hash: word(64).Draw(t, "hash"),
			Version: word(20).Draw(t, "version"), Demo: rapid.Bool().Draw(t, "demo")}}
		s.Head = sheet.Head{House: word(60).Draw(t, "house"), Span: word(60).Draw(t, "span"),
			Changes: rapid.SliceOfN(word(120), 0, 2).Draw(t, "changes"),
			Out:     word(40).Draw(t, "out"), In: word(40).Draw(t, "in"), Crew: word(40).Draw(t, "crew"),
			Day: word(12).Draw(t, "day"), Time: word(9).Draw(t, "time"),
			Counts: []sheet.Count{{Name: "OPEN CLOCKS", N: rapid.IntRange(0, 99).Draw(t, "n")}}}
		s.Safety = sheet.Safety{NoEntry: "NO TANK ENTRY: no live permit.", Rows: rows(8).Draw(t, "safety"),
			None: rapid.SliceOfN(word(20), 0, 6).Draw(t, "none")}
		s.Holds = rows(6).Draw(t, "holds")
		s.Next, s.Later = sheet.Dues{Until: "07:55", Rows: rows(20).Draw(t, "next")}, sheet.Dues{Until: "18:00",
			Rows: rows(20).Draw(t, "later")}
		s.NoHome = rows(9).Draw(t, "home")
		s.Presses = []sheet.Press{{Ends: "06:55", Number: "P2", What: word(120).Draw(t, "press"), Free: "07:30"}}
		s.Yard, s.Tanks, s.Quiet = rows(5).Draw(t, "yard"), rapid.SliceOfN(tank, 0, 40).Draw(t, "tanks"), groups.Draw(t,
			"quiet")
		s.Clean, s.NotClean = groups.Draw(t, "clean"), groups.Draw(t, "dirty")
		s.Happened, s.Overrides, s.Taken = rows(12).Draw(t, "happened"), rows(6).Draw(t, "overrides"), rows(6).Draw(t,
			"taken")
		s.Short, s.Promised = rows(4).Draw(t, "short"), rows(4).Draw(t, "promised")
		s.Sums = []sheet.Sum{{Name: "grapes in", Value: "131.4 t"}, {Name: "UNEXPLAINED", Value: "0.0 hL"}}
		s.Back = sheet.Back{Tanks: s.Tanks, Corrections: rows(3).Draw(t, "mends"), Notes: rows(3).Draw(t, "notes"),
			Additions: []sheet.Addition{{When: "22:10", Where: "106", Product: word(40).Draw(t, "product"),
				Rate: word(40).Draw(t, "rate"), Basis: word(40).Draw(t, "basis"), By: "NS"}}}
		return s
	})
}

// checkPages holds every page to its size and its letters.
func checkPages(t interface{ Fatalf(string, ...any) }, text string) {
	for n, page := range strings.Split(text, paper.Feed) {
		lines := strings.Split(strings.TrimSuffix(page, "\n"), "\n")
		if len(lines) > paper.Lines {
			t.Fatalf("page %d has %d lines", n+1, len(lines))
		}
		for i, line := range lines {
			if len(line) > paper.Columns {
				t.Fatalf("page %d line %d is %d wide: %q", n+1, i+1, len(line), line)
			}
			for _, r := range line {
				if r < ' ' || r > '~' {
					t.Fatalf("page %d line %d holds %q: %q", n+1, i+1, r, line)
				}
			}
		}
	}
}

// words are the letters of a text without blanks, frames and marks, as they must
// be found again however the text was wrapped.
func words(s string) string {
	return strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' {
			return r
		}
		return -1
	}, s)
}

func TestAnySheetKeepsToItsPagesAndNeverCutsWhatMatters(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := anySheet().Draw(t, "sheet")
		text := paper.Text(s)
		checkPages(t, text)
		checkPages(t, paper.Full(s))
		got := words(text)
		for _, part := range [][]sheet.Row{s.Safety.Rows, s.Holds, s.Next.Rows, s.Later.Rows, s.NoHome} {
			for _, r := range part {
				for _, w := range strings.Fields(paper.ASCII(r.What)) {
					if w := words(w); len(w) < 25 && !strings.Contains(got, w) {
						t.Fatalf("%q of %q is not on the front:\n%s", w, r.What, text)
					}
				}
			}
		}
	})
}

// crowded is a sheet with one row too many in every block that may shrink.
func crowded(tanks, told int) sheet.Sheet {
	s := sheet.Sheet{Units: sheet.Units{Volume: "hL", Temp: "°C"}}
	s.Head = sheet.Head{House: "Example Cellars", Span: "Thu 24 Sep 18:00 - Fri 25 Sep 06:00 CEST", Out: "M (MA)",
		In: "G (GW)", Day: "Fri 25 Sep", Time: "05:55",
		Counts: []sheet.Count{{Name: "OVERDUE", N: 0}}}
	s.Safety.NoEntry = "NO TANK ENTRY: no live permit."
	for i := range 12 {
		s.Next.Rows = append(s.Next.Rows, sheet.Row{When: "06:30", Where: fmt.Sprint(101 + i),
			What: fmt.Sprintf("due-%d.", i), Who: "TQ"})
	}
	for i := range tanks {
		s.Tanks = append(s.Tanks, sheet.Tank{Since: "04:45", Number: fmt.Sprint(101 + i), Content: "Muscat juice",
			Volume: "192.0", Temp: "15.2", Stage: fmt.Sprintf("tank-%d.", i), Looked: "05:50"})
	}
	s.Back.Tanks = s.Tanks
	s.Quiet = []sheet.Group{{Name: "fermenting", Codes: []sheet.Code{{Number: "901"}, {Number: "902"}}}}
	for i := range told {
		s.Happened = append(s.Happened, sheet.Row{When: "21:33", Where: "209", What: fmt.Sprintf("told-%d.", i),
			Who: "NS"})
	}
	s.Sums = []sheet.Sum{{Name: "UNEXPLAINED", Value: "0.0 hL"}}
	return s
}

func TestTheFrontShrinksInItsOrder(t *testing.T) {
	for _, c := range []struct {
		name          string
		tanks, told   int
		has, hasNot   []string
		fronts, extra int
	}{
		{name: "room", tanks: 4, told: 2, has: []string{"901 902", "tank-3.", "told-0.", "UNEXPLAINED"},
			hasNot: []string{"see back"}, fronts: 1},
		{name: "quiet first", tanks: 20, told: 8, has: []string{"quiet ones: see back", "told-0.", "UNEXPLAINED"},
			hasNot: []string{"901 902"}, fronts: 1},
		{name: "then tanks, those named above first", tanks: 26, told: 8, has: []string{"see back", "tank-25.",
			"told-0."}, hasNot: []string{"tank-11.", "901"}, fronts: 1},
		{name: "then what happened, the oldest first", tanks: 20, told: 40,
			has:    []string{"SEE BACK  TANKS (20), WHAT HAPPENED", "told-39.", "UNEXPLAINED"},
			hasNot: []string{"tank-19.", "told-0."}, fronts: 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := crowded(c.tanks, c.told)
			text := paper.Text(s)
			checkPages(t, text)
			for _, want := range append(c.has, "due-0.", "due-11.", "NO TANK ENTRY") {
				if !strings.Contains(text, want) {
					t.Errorf("%q is not on the front:\n%s", want, text)
				}
			}
			for _, not := range c.hasNot {
				if strings.Contains(text, not) {
					t.Errorf("%q is on the front:\n%s", not, text)
				}
			}
			back := paper.Back(s)
			for i := range c.tanks {
				if !strings.Contains(back, fmt.Sprintf("tank-%d.", i)) {
					t.Errorf("tank %d is not on the back", i)
				}
			}
			for i := range c.told {
				if !strings.Contains(back, fmt.Sprintf("told-%d.", i)) {
					t.Errorf("told %d is not on the back", i)
				}
			}
		})
	}
}

func TestWhatMayNotBeCutGoesOnToAnotherFrontPage(t *testing.T) {
	s := crowded(3, 3)
	for i := range 70 {
		s.NoHome = append(s.NoHome, sheet.Row{What: fmt.Sprintf("open-%d.", i)})
	}
	text := paper.Text(s)
	checkPages(t, text)
	if !strings.Contains(text, "page 1/") || !strings.Contains(text, "page 2/") {
		t.Errorf("pages are not numbered:\n%s", text)
	}
	for i := range 70 {
		if !strings.Contains(text, fmt.Sprintf("open-%d.", i)) {
			t.Errorf("open-%d was cut", i)
		}
	}
	if n := strings.Count(text, "Example Cellars"); n != 0 || strings.Count(text, "EXAMPLE CELLARS") < 2 {
		t.Error("a page without the name of the house")
	}
}

func TestCodesStandInOneColumn(t *testing.T) {
	s := crowded(4, 2)
	s.Holds = []sheet.Row{{When: "21:36", Where: "209", What: "held"}}
	s.NoHome = []sheet.Row{{Where: "210", What: "wanted twice"}}
	s.Presses = []sheet.Press{{Ends: "06:55", Number: "P2", What: "pressing", Free: "07:30"}}
	text := paper.Text(s)
	at := strings.Index(lineWith(text, "due-0."), "101")
	for what, code := range map[string]string{"held": "209", "wanted twice": "210", "tank-0.": "101", "told-0.": "209",
		"pressing": "P2"} {
		if line := lineWith(text, what); strings.Index(line, code) != at {
			t.Errorf("%s stands in column %d, not %d: %q", code, strings.Index(line, code), at, line)
		}
	}
}

func lineWith(text, part string) string {
	for _, line := range strings.Split(text, "\n") {
		if strings.Contains(line, part) {
			return line
		}
	}
	return ""
}

func TestASCIIKeepsTheMeaning(t *testing.T) {
	for in, want := range map[string]string{
		"Gewürztraminer rosé": "Gewurztraminer rose", "Weißer": "Weisser", "15.2 °C": "15.2 C",
		"21.1 °Brix": "21.1 Brix", "45°": "45 deg",
		"−2 to 45": "-2 to 45", "due 20:00 → 00:00": "due 20:00 -> 00:00", "a · b": "a - b", "×2": "x2",
		"Beñat": "Benat", "漢": "?", "e\u0301": "e", "a\nb": "a b",
	} {
		if got := paper.ASCII(in); got != want {
			t.Errorf("ASCII(%q) = %q, want %q", in, got, want)
		}
	}
}

func TestAnEmptySheetStillSaysTheOneLine(t *testing.T) {
	text := paper.Full(sheet.Sheet{Safety: sheet.Safety{NoEntry: "NO TANK ENTRY: no live permit."}})
	checkPages(t, text)
	for _, want := range []string{"NO TANK ENTRY", "nothing is on hold", "read aloud [ ]", "VALID UNTIL"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is missing:\n%s", want, text)
		}
	}
}
