package cellar

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"
	"time"

	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/text"
)

// Together are several lines that are decided as one and saved as one, all of them or
// none: what only goes together need not go by itself. What the batch says of who, of
// having happened and of rules counts for each line; a line may say its own.
type Together struct {
	Head
	Lines []Line `json:"lines"`
}

// Line is one command of a batch, in the line format.
type Line struct{ Command }

// MarshalJSON implements json.Marshaler.
func (l Line) MarshalJSON() ([]byte, error) { return FormatLine(l.Command) }

// UnmarshalJSON implements json.Unmarshaler, for lines in the program's own spelling.
func (l *Line) UnmarshalJSON(text []byte) (err error) {
	l.Command, err = ParseLine(text)
	return err
}

// respelledLine reads a line of a batch as the house writes it.
func respelledLine(raw json.RawMessage, h quantity.Habit, path string) (json.RawMessage, error) {
	c, err := parseLine(raw, h)
	if err != nil {
		return nil, inLine(err, path)
	}
	return FormatLine(c)
}

// inLine names the line of a batch in which something is wrong.
func inLine(err error, path string) error {
	var no *Rejection
	if !errors.As(err, &no) {
		return err
	}
	at := *no
	if at.Field = path; no.Field != "" {
		at.Field += "." + no.Field
	}
	return &at
}

func (c *Together) decide(d *decision) ([]Fact, error) {
	if len(c.Lines) == 0 {
		return nil, reject("lines", "lines", "give the lines that belong together")
	}
	state, err := d.s.copied()
	if err != nil {
		return nil, err
	}
	b := &batch{d: d, state: state, mended: map[Seq]bool{}}
	b.apply(&PutTogether{Records: math.MaxInt}, d.head)
	for i, l := range c.Lines {
		if err := b.line(l.Command); err != nil {
			return nil, inLine(err, fmt.Sprintf("lines[%d]", i))
		}
		if b.left != nil {
			return []Fact{b.left}, nil
		}
	}
	if len(b.open) > 0 {
		return nil, &Needs{Findings: b.open}
	}
	d.draft = &outlook{s: d.s, book: state.book, all: true, then: state}
	if err := b.possible(); err != nil {
		return nil, err
	}
	return append([]Fact{&PutTogether{Records: len(b.facts)}}, b.facts...), nil
}

// batch is several lines on their way, each decided on a state to which those before it
// have been applied: what goes by itself goes into a batch.
type batch struct {
	d      *decision
	state  *State // as it is with the lines so far
	facts  []Fact
	mended map[Seq]bool   // entries that are corrected
	open   []gate.Finding // what rules want a word on
	left   Fact
}

// copied is a state of its own that is the same.
func (s *State) copied() (*State, error) {
	data, err := kinds.Bytes(s)
	if err != nil {
		return nil, err
	}
	return Restored(data)
}

// line decides the next line on what those before it leave.
func (b *batch) line(c Command) error {
	own, err := b.own(c)
	if err != nil {
		return err
	}
	d, facts, err := layOn(&decision{s: b.state, now: b.d.now, head: own.head(), serial: b.state.serial, batch: true,
		saved: b.d.s.Seq}, own)
	if err != nil {
		return err
	}
	b.d.lines = append(b.d.lines, d.found...)
	settled, err := d.settle(facts)
	var needs *Needs
	switch {
	case errors.As(err, &needs): // all is asked at once: the lines after it count on it
		b.open = append(b.open, needs.Findings...)
	case err != nil:
		return err
	default:
		facts = settled
	}
	for _, f := range facts {
		switch f := bare(f).(type) {
		case *Stopped:
			b.left = f
		case *Corrected:
			b.mended[f.Of] = true
		}
		x := &spoken{Fact: f, head: d.head}
		if of, ok := f.(*spoken); ok {
			x = of
		}
		b.facts = append(b.facts, x)
		b.apply(x, d.head)
	}
	return nil
}

// apply takes a fact into the state of the batch, under the number that it will have.
func (b *batch) apply(f Fact, h *Head) {
	r := Records(&Together{Head: *h}, []Fact{f}, b.d.now, "")[0]
	r.Seq = b.state.Seq + 1
	Apply(b.state, r)
}

// own is a line with what the batch says for all.
func (b *batch) own(c Command) (Command, error) {
	if _, nested := c.(*Together); nested {
		return nil, reject("together", "do", "a batch cannot hold another batch")
	}
	text, err := FormatLine(c)
	if err != nil {
		return nil, err
	}
	out, err := ParseLine(text)
	if err != nil {
		return nil, err
	}
	h, all := out.head(), b.d.head
	h.By, h.Entry = Initials(firstWords(string(h.By), string(all.By))), firstWords(h.Entry, all.Entry)
	h.Happened, h.Leave = h.Happened || all.Happened, all.Leave
	h.Answers = append(h.Answers, all.Answers...)
	return out, nil
}

// possible holds the whole batch against all that is said of the time.
func (b *batch) possible() error {
	d := b.d
	happened := d.head.Happened || !slices.ContainsFunc(b.facts,
		func(f Fact) bool { return !f.(*spoken).head.Happened })
	h := *d.head
	h.Happened = happened
	for _, f := range b.facts {
		h.Answers = append(h.Answers, f.(*spoken).head.Answers...)
	}
	d.head = &h
	err := d.possible(d.draft, "lines", func(n Seq) bool { return n > d.s.Seq || b.mended[n] })
	var no *Rejection
	if errors.As(err, &no) {
		no.Say = text.Of("nothing was saved: {refused}", no.Say)
	}
	return err
}

// spoken is a fact of a batch with the head of its own line.
type spoken struct {
	Fact
	head *Head
	at   time.Time // where it is of another instant of the minute that was typed
	turn int
}

// bare is a fact itself, whoever said it in a batch.
func bare(f Fact) Fact {
	if x, ok := f.(*spoken); ok {
		return x.Fact
	}
	return f
}

// PutTogether says that so many records that follow are one: what becomes of the cellar
// is told after the last of them.
type PutTogether struct {
	Records int `json:"records"`
}

func (f *PutTogether) apply(s *State, _ Record) { s.together = f.Records }

var (
	_ = command[Together]("together")
	_ = fact[PutTogether]("saved-together")
)
