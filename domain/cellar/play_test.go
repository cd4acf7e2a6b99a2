package cellar_test

import (
	"bufio"
	"errors"
	"fmt"
	"os"
	"strings"
	"testing"
	"time"
	_ "time/tzdata"

	"cellar.example/mustwatch/domain/cellar"
)

// house is a cellar for tests: a state, fed by lines or commands.
type house struct {
	t     *testing.T
	s     *cellar.State
	now   time.Time
	saw   func(cellar.Record) // told of every record, where it is set
	typed typedWords
}

func newHouse(t *testing.T) *house {
	t.Helper()
	return &house{t: t, s: cellar.NewState()}
}

// try decides a command at now and applies what follows.
func (h *house) try(c cellar.Command, now time.Time) ([]cellar.Fact, error) {
	if h.t != nil {
		h.typed.hear(c)
	}
	facts, err := cellar.Decide(h.s, c, now)
	if err != nil {
		return nil, err
	}
	for _, f := range facts {
		if h.t == nil {
			break
		}
		for _, s := range h.typed.sentences(f) {
			h.t.Errorf("the journal would keep a sentence: %s", s)
		}
	}
	for _, r := range cellar.Records(c, facts, now, "test") {
		r.Seq = h.s.Seq + 1
		cellar.Apply(h.s, r)
		if h.saw != nil {
			h.saw(r)
		}
	}
	if now.After(h.now) {
		h.now = now
	}
	return facts, nil
}

// line plays one line of the line format at its own time.
func (h *house) line(l string) error {
	c, err := cellar.ParseLine([]byte(l))
	if err != nil {
		return err
	}
	_, err = h.try(c, cellar.KnownAt(c, h.now))
	return err
}

// playNight plays the demo night up to and including an instant.
func playNight(t *testing.T, until time.Time) *house {
	t.Helper()
	h := newHouse(t)
	f, err := os.Open("../../testdata/night.jsonl")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	sc := bufio.NewScanner(f)
	sc.Buffer(make([]byte, 1<<20), 1<<20)
	var bad []string
	for n := 1; sc.Scan(); n++ {
		l := strings.TrimSpace(sc.Text())
		if l == "" || strings.HasPrefix(l, "#") {
			continue
		}
		c, err := cellar.ParseLine([]byte(l))
		if err != nil {
			bad = append(bad, fmt.Sprintf("line %d: %v\n    %s", n, err, l))
			continue
		}
		head, now := cellar.HeadOf(c), cellar.KnownAt(c, h.now)
		if now.After(until) {
			break
		}
		if _, err := h.try(c, now); err != nil {
			var needs *cellar.Needs
			what := "refused"
			if errors.As(err, &needs) {
				what = "asks"
			}
			bad = append(bad, fmt.Sprintf("line %d (%s): %s: %v\n    %s", n, head.Entry, what, err, l))
		}
	}
	if len(bad) > 0 {
		t.Fatalf("%d lines:\n%s", len(bad), strings.Join(bad, "\n"))
	}
	return h
}

func TestNightPlaysWithoutARefusedLine(t *testing.T) {
	h := playNight(t, time.Date(2026, 9, 25, 6, 0, 0, 0, time.FixedZone("", 7200)))
	for _, v := range h.s.Vessels() {
		c := v.Now
		t.Logf("%-4s %7.1f hL %-14s %-28s %s", v.Number, c.Volume.HL(), c.Stage, c.Name(), c.Note)
	}
	for _, c := range h.s.Clocks() {
		t.Logf("clock %-6s %-12s %s %s (%s) %s", c.Subject, c.Says(), h.s.Clock(c.Due), c.DueKind, h.s.Words(c.Basis),
			c.Owner)
	}
	for _, p := range h.s.Products() {
		t.Logf("stock %-12s open %s sealed %d", p.ID, p.Open, p.Sealed)
	}
	for _, a := range h.s.Answered {
		t.Logf("answered %s %s %s by %s: %s", h.s.Clock(a.At), a.Rule, a.Subject, a.By, a.Reason)
	}
	for _, a := range h.s.Stopped {
		t.Logf("stopped %s %s %s: %s", h.s.Clock(a.At), a.Rule, a.Subject, h.s.Words(a.Why))
	}
	for _, p := range h.s.Presses() {
		t.Logf("press %s %s %s end %s", p.Number, p.State, p.Name(), h.s.Clock(p.End))
	}
	t.Logf("total %s", h.s.Total())
}

// fill puts a text in the place of the one mark of a line.
func fill(line, with string) string { return strings.Replace(line, "%s", with, 1) }
