package cellar

import (
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"slices"

	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/quantity"
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
		return nil, reject("lines", "lines", "which lines belong together?")
	}
	b := &batch{d: d, book: d.s.book.draft(), over: map[Seq]*entry{}, of: map[Seq]int{}}
	b.state = d.s.asBatch(b)
	for i, l := range c.Lines {
		if err := b.line(i, l.Command); err != nil {
			return nil, inLine(err, fmt.Sprintf("lines[%d]", i))
		}
	}
	if b.left != nil {
		return []Fact{b.left}, nil
	}
	if len(b.open) > 0 {
		return nil, &Needs{Findings: b.open}
	}
	d.draft = &outlook{s: d.s, book: b.book, flows: b.flows, all: true}
	if err := b.possible(); err != nil {
		return nil, err
	}
	return append([]Fact{&PutTogether{Records: len(b.facts)}}, b.facts...), nil
}

// batch is several lines on their way, on one draft.
type batch struct {
	d     *decision
	state *State // as it would be with the lines so far
	book  *book
	over  map[Seq]*entry // entries as they would be
	of    map[Seq]int    // the line that says or corrects an entry
	facts []Fact
	flows []*line
	open  []gate.Finding // what rules want a word on
	left  Fact
}

// line decides the next line on what those before it leave.
func (b *batch) line(i int, c Command) error {
	own, err := b.own(c)
	if err != nil {
		return err
	}
	d, facts, err := layOn(&decision{s: b.state, now: b.d.now, head: own.head(), serial: b.d.serial, batch: true}, own)
	if err == nil {
		facts, err = d.settle(facts)
	}
	var needs *Needs
	if errors.As(err, &needs) {
		b.open = append(b.open, needs.Findings...)
		return nil
	}
	if err != nil {
		return err
	}
	b.d.serial = d.serial
	for _, f := range facts {
		if stopped, ok := f.(*Stopped); ok && b.left == nil {
			b.left = stopped
		}
		if !goesTogether(f) {
			return reject("together", "do", "a %s line does not go into a batch; write it by itself", Do(c))
		}
		b.take(d, f, i)
		b.facts = append(b.facts, &spoken{Fact: f, head: d.head})
	}
	b.state = b.d.s.asBatch(b)
	b.state.serial, b.state.Seq = d.serial, b.d.s.Seq+1+Seq(len(b.facts))
	return nil
}

// own is a line with what the batch says for all.
func (b *batch) own(c Command) (Command, error) {
	if _, nested := c.(*Together); nested {
		return nil, reject("together", "do", "a batch does not go into a batch")
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

// goesTogether reports whether a fact may be part of a batch: what the ledger folds, its
// corrections, and what follows from them. All else is decided on what stands, which a
// batch does not know.
func goesTogether(f Fact) bool {
	switch f.(type) {
	case flower, *Corrected, *RuleAnswered, *Stopped, *SameEntry, *ClockSet, *ClockMoved, *ClockAnswered, *ClockCancelled, *OrderEnded:
		return true
	}
	return false
}

// take brings a fact into the draft.
func (b *batch) take(d *decision, f Fact, i int) {
	seq := b.d.s.Seq + 2 + Seq(len(b.facts)) // the batch says first that it is one
	switch f := f.(type) {
	case *Corrected:
		b.of[f.Of] = i
		if was := b.state.entryOf(f.Of); was != nil && f.Place == "" {
			now := f.fresh(was, Record{Seq: seq, At: d.at, Written: d.now, By: d.head.By})
			b.edit(was, now)
		}
	case flower:
		b.of[seq] = i
		b.edit(&entry{}, &entry{Record: Record{Seq: seq, At: d.at, Written: d.now, By: d.head.By, Entry: d.head.Entry, Fact: f}})
	}
}

func (b *batch) edit(was, now *entry) {
	now.seq = now.again(b.state)
	b.book.edit(was, now.seq)
	b.over[now.Seq] = now
	b.flows = append(b.flows, now.seq...)
}

// possible holds the whole batch against all that is said of the time.
func (b *batch) possible() error {
	d := b.d
	happened := d.head.Happened || !slices.ContainsFunc(b.facts, func(f Fact) bool { return !f.(*spoken).head.Happened })
	h := *d.head
	h.Happened = happened
	for _, f := range b.facts {
		h.Answers = append(h.Answers, f.(*spoken).head.Answers...)
	}
	d.head = &h
	err := d.possible(d.draft, "lines", func(n Seq) bool { _, mine := b.of[n]; return mine })
	var no *Rejection
	if errors.As(err, &no) {
		no.Message = "nothing of this is saved: " + no.Message
	}
	return err
}

// asBatch is the state as it would be with the lines of a batch so far: what vessels and
// presses hold, and the entries that say so. All else stands.
func (s *State) asBatch(b *batch) *State {
	x := *s
	x.book, x.over, x.open, x.changed, x.was = b.book, maps.Clone(b.over), nil, nil, nil
	x.vessels, x.presses = map[Plate]*Vessel{}, map[Plate]*Press{}
	x.products = map[ProductID]*Product{}
	for id, was := range s.products {
		p := *was
		b.book.Now(tubOf(id)).tub().into(&p)
		x.products[id] = &p
	}
	o := &outlook{s: s, book: b.book}
	for p := range s.vessels {
		x.vessels[p] = o.vessel(p)
	}
	for p, was := range s.presses {
		x.presses[p] = b.book.Now(place{kind: aPress, plate: p}).pressed(was.PressSetup)
	}
	return &x
}

// spoken is a fact of a batch with the head of its own line.
type spoken struct {
	Fact
	head *Head
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
	_ = fact[PutTogether]("put-together")
)
