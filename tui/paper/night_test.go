package paper_test

import (
	"bufio"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
	_ "time/tzdata"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/handover"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/sheet"
	"cellar.example/mustwatch/tui/paper"
)

var update = flag.Bool("update", false, "write the golden instead of comparing with it")

// data is a file among the data of all tests.
func data(parts ...string) string {
	return filepath.Join(append([]string{"..", "..", "testdata"}, parts...)...)
}

// playNight folds the demo night up to and including an instant.
func playNight(t *testing.T, until time.Time) *cellar.State {
	t.Helper()
	s := cellar.NewState()
	if err := throughNight(s, func(next time.Time) bool { return !next.After(until) }); err != nil {
		t.Fatal(err)
	}
	return s
}

// throughNight plays the demo night line by line into a state, as long as goOn says so
// of the instant at which the next line is known.
func throughNight(s *cellar.State, goOn func(next time.Time) bool) error {
	f, err := os.Open(data("night.jsonl"))
	if err != nil {
		return err
	}
	defer f.Close()
	sc := bufio.NewScanner(f)
	sc.Buffer(make([]byte, 1<<20), 1<<20)
	for n := 1; sc.Scan(); n++ {
		l := strings.TrimSpace(sc.Text())
		if l == "" || strings.HasPrefix(l, "#") {
			continue
		}
		c, err := cellar.ParseLine([]byte(l))
		if err != nil {
			return fmt.Errorf("line %d: %w", n, err)
		}
		now := cellar.HeadOf(c).Written
		if now.IsZero() {
			now = cellar.HeadOf(c).At
		}
		if !goOn(now) {
			return nil
		}
		facts, err := cellar.Decide(s, c, now)
		if err != nil {
			return fmt.Errorf("line %d: %w", n, err)
		}
		for _, r := range cellar.Records(c, facts, now, "test") {
			r.Seq = s.Seq + 1
			cellar.Apply(s, r)
		}
	}
	return sc.Err()
}

// The sheet of the demo night is read by eye: whoever changes it prints it and
// reads it as the incoming lead would.
func TestSheetOfTheDemoNight(t *testing.T) {
	at := time.Date(2026, 9, 25, 4, 0, 0, 0, time.UTC)
	s := playNight(t, at)
	text := paper.Full(handover.Sheet(s, at, sheet.Mark{Seq: uint64(s.Seq), Hash: "0123456789ab", Version: "v1.0.0",
		Demo: true}))
	checkPages(t, text)
	path := data("golden", "sheet-0600.txt")
	if *update {
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	raw, err := os.ReadFile(path)
	if err != nil {
		t.Fatalf("no golden; run with -update and read what it wrote: %v", err)
	}
	want, got := strings.Split(strings.ReplaceAll(string(raw), "\r\n", "\n"), "\n"), strings.Split(text, "\n")
	for i := range max(len(want), len(got)) {
		if w, g := line(want, i), line(got, i); w != g {
			t.Errorf("line %d (-update rewrites the golden)\nwant %q\n got %q", i+1, w, g)
		}
	}
}

func line(all []string, i int) string {
	if i < len(all) {
		return all[i]
	}
	return "<no line>"
}

// A house that thinks in gallons gets the same sheet in its own units, within
// the same page.
func TestSheetOfTheDemoNightInUSUnits(t *testing.T) {
	at := time.Date(2026, 9, 25, 4, 0, 0, 0, time.UTC)
	s := playNight(t, at)
	s.House.Units = quantity.US
	x := handover.Sheet(s, at, sheet.Mark{Seq: 1, Hash: "0123456789ab", Version: "v1.0.0"})
	checkPages(t, paper.Full(x))
	if x.Units.Volume != "gal" || x.Units.Temp != "°F" {
		t.Errorf("units %+v", x.Units)
	}
	if text := paper.Text(x); strings.Contains(text, "211.1 hL") || !strings.Contains(text, "5577 gal") {
		t.Errorf("103 is not in gallons:\n%s", text)
	}
}

func BenchmarkFull(b *testing.B) {
	s := crowded(40, 40)
	for b.Loop() {
		paper.Full(s)
	}
}
