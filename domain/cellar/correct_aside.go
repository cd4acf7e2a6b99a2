package cellar

import (
	"slices"
	"sort"
	"time"

	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/subject"
	"cellar.example/mustwatch/domain/text"
)

// What was said beside the book says nothing of contents: a note, an order, a clock that
// somebody set, a bottle of alcohol, a person in a vessel. Taken back it leaves the state
// as if it had never been said; what was said and why it was wrong stand in the log.

// aside is a fact beside the book that can be taken back.
type aside interface {
	Fact
	// named is what it is about, and what a person would call it.
	named(s *State) spokenOf
	// takes refuses to take it back, with what to do instead, or lays it before the rules.
	takes(d *decision, own *Record) error
	// undo takes it out of the state.
	undo(s *State, r Record, own *Record)
}

// beside is a record that is none of the book.
type beside struct {
	Seq  Seq
	Kind string
}

// asideOf is a record of a fact that can be taken back.
type asideOf struct {
	Record
	taken bool
}

// keepBeside remembers what a record is that is none of the book.
func (s *State) keepBeside(r Record) {
	if f, can := r.Fact.(aside); can {
		if k, clock := r.Fact.(*ClockSet); clock {
			f = &ClockSet{AlarmClock: k.AlarmClock} // as the journal keeps it
		}
		s.asides = append(s.asides, &asideOf{Record: Record{Seq: r.Seq, At: r.At, Written: r.Written, By: r.By,
			Entry: r.Entry, Fact: f}})
		return
	}
	_, flows := r.Fact.(flower)
	if _, moved := r.Fact.(*ClockMoved); !flows || moved {
		s.besides = append(s.besides, beside{r.Seq, Kind(r.Fact)})
	}
}

func (s *State) asideOf(seq Seq) *asideOf {
	i := sort.Search(len(s.asides), func(i int) bool { return s.asides[i].Seq >= seq })
	if i == len(s.asides) || s.asides[i].Seq != seq {
		return nil
	}
	return s.asides[i]
}

// kindOf is the kind of a record that is not in the book, "" for one that is or that is none.
func (s *State) kindOf(seq Seq) string {
	i := sort.Search(len(s.besides), func(i int) bool { return s.besides[i].Seq >= seq })
	if i == len(s.besides) || s.besides[i].Seq != seq {
		return ""
	}
	return s.besides[i].Kind
}

// aside takes back what was said beside the book.
func (c *Correct) aside(d *decision) ([]Fact, error) {
	a := d.s.asideOf(c.Of)
	if a == nil {
		return nil, neverTaken(c.Of, d.s.kindOf(c.Of))
	}
	f := a.Fact.(aside)
	l := f.named(d.s)
	switch {
	case a.taken:
		return nil, reject("taken-back", "of", "entry {of} is taken back already", c.Of)
	case !c.TakeBack:
		return nil, reject("field", "how", "take entry {of} back and save it as it should be: {line} is not "+
			"corrected in place", c.Of, d.s.Words(l.says))
	}
	d.subject, d.what = l.of, tryCorrection.Say(l.of.Name)
	if err := f.takes(d, &a.Record); err != nil {
		return nil, err
	}
	return []Fact{&Corrected{Of: c.Of, About: l.of, What: l.says, Field: WholeEntry, TakeBack: true, Reason: c.Reason}},
		nil
}

// takeAside takes out of the state what was said beside the book.
func (s *State) takeAside(r Record, a *asideOf) {
	if !a.taken {
		a.taken = true
		a.Fact.(aside).undo(s, r, &a.Record)
	}
}

// correctableAsides are what can be taken back beside the book.
func (s *State) correctableAsides(seq Seq) []Correctable {
	a := s.asideOf(seq)
	if a == nil || a.taken {
		return nil
	}
	d := &decision{s: s, now: s.LastAt, at: s.LastAt, head: &Head{By: a.By}}
	f := a.Fact.(aside)
	if f.takes(d, &a.Record) != nil {
		return nil
	}
	l := f.named(s)
	says := s.Words(l.says)
	c := Correctable{Of: a.Seq, At: a.At, By: a.By, Subject: l.of, Field: WholeEntry, Value: says, Says: says,
		Written: a.Written}
	switch l.of.Kind {
	case subject.Vessel:
		c.Vessel = TankNumber(l.of.Name)
	case subject.Press:
		c.Press = TankNumber(l.of.Name)
	}
	return []Correctable{c}
}

// A note.

func (f *Noted) named(s *State) spokenOf {
	return spokenOf{s.formerly(f.Subject), lineNote.Say(f.What, f.Text)}
}

func (f *Noted) takes(*decision, *Record) error { return nil }

func (f *Noted) undo(s *State, r Record, own *Record) {
	for _, n := range s.Notes {
		if n.Seq != own.Seq {
			continue
		}
		if k := s.clockOf(n); k != nil {
			s.ends(r, k)
		}
	}
	s.Notes = slices.DeleteFunc(slices.Clone(s.Notes), func(n *Note) bool { return n.Seq == own.Seq })
}

func (f *NoteEnded) note(s *State) *Note {
	i := slices.IndexFunc(s.Notes, func(n *Note) bool { return n.ID == f.Note })
	if i < 0 {
		return nil
	}
	return s.Notes[i]
}

func (f *NoteEnded) named(s *State) spokenOf {
	n := f.note(s)
	if n == nil {
		return spokenOf{theCellar, lineSomeNote.Say()}
	}
	return spokenOf{n.Subject, lineNoteDone.Say(n.Text)}
}

func (f *NoteEnded) takes(d *decision, _ *Record) error {
	if f.note(d.s) == nil {
		return reject("note", "of", "the note itself is taken back already")
	}
	return nil
}

// undo opens the note again, and lets the clock of a promise go on.
func (f *NoteEnded) undo(s *State, r Record, own *Record) {
	n := f.note(s)
	if n == nil {
		return
	}
	n.Done, n.DoneBy, n.DoneAt = false, "", time.Time{}
	if k := s.clocks[n.Clock]; k != nil && k.Done && k.ended > own.Seq && k.ended <= own.Seq+oneCommand {
		s.goesOn(r, k)
	}
}

// An order.

func (f *Ordered) named(*State) spokenOf {
	return spokenOf{f.of(), lineOrder.Say(f.From, f.Say())}
}

func (f *Ordered) takes(*decision, *Record) error { return nil }

func (f *Ordered) undo(s *State, _ Record, own *Record) {
	s.Orders = slices.DeleteFunc(slices.Clone(s.Orders), func(o *Order) bool { return o.Seq == own.Seq })
}

func (f *OrderEnded) order(s *State) *Order {
	i := slices.IndexFunc(s.Orders, func(o *Order) bool { return o.ID == f.Order })
	if i < 0 {
		return nil
	}
	return s.Orders[i]
}

func (f *OrderEnded) named(s *State) spokenOf {
	o := f.order(s)
	if o == nil {
		return spokenOf{theCellar, lineNoOrder.Say()}
	}
	return spokenOf{o.of(), lineOrderEnd.Say(o.Say())}
}

func (f *OrderEnded) takes(d *decision, own *Record) error {
	switch o := f.order(d.s); {
	case o == nil:
		return reject("order", "of", "the order itself is taken back already")
	case o.ended != own.Seq:
		return reject("order", "of", "that order is open again already, or was ended by another entry")
	}
	return nil
}

func (f *OrderEnded) undo(s *State, _ Record, own *Record) {
	if o := f.order(s); o != nil && o.ended == own.Seq {
		o.reopen()
	}
}

// reopen lets an order stand again.
func (o *Order) reopen() { o.Done, o.How, o.Ended, o.ended = false, text.Say{}, time.Time{}, 0 }

// A bottle of alcohol.

func (f *BottleSet) named(*State) spokenOf { return spokenOf{theLab, lineAlcohol.Say(f.ID)} }

// takes refuses where a test counts on the bottle and nothing else says what it is.
func (f *BottleSet) takes(d *decision, own *Record) error {
	if slices.ContainsFunc(d.s.asides, func(a *asideOf) bool {
		x, is := a.Fact.(*BottleSet)
		return is && !a.taken && a.Seq != own.Seq && x.ID == f.ID
	}) {
		return nil
	}
	for _, v := range d.s.Vessels() {
		for _, it := range v.Account {
			if it.Begun != nil && !it.TakenBack && it.Begun.Bottle == f.ID {
				return reject("bottle", "of", "save bottle {bottle} again as it should be: the test of {tank} at "+
					"{time} was made with it", f.ID, v.Number, d.says(it.At))
			}
		}
	}
	return nil
}

func (f *BottleSet) undo(s *State, _ Record, _ *Record) {
	s.bottles = nil
	for _, a := range s.asides {
		if x, is := a.Fact.(*BottleSet); is && !a.taken {
			x.stand(s)
		}
	}
}

// A clock that somebody set.

func (f *ClockSet) named(s *State) spokenOf {
	return spokenOf{s.formerly(f.Subject), lineClock.Say(f.Says())}
}

func (f *ClockSet) takes(d *decision, _ *Record) error {
	k := d.s.clocks[f.ID]
	switch {
	case !onTyped.Is(f.Basis):
		return reject("clock", "of", "take back what set the clock {verb:%q}, or give the clock another time: {basis}",
			f.Says(), d.s.Words(f.Basis))
	case k == nil:
		return reject("clock", "of", "that clock no longer runs")
	case k.Done:
		return reject("done", "of", "take back what ended it, or set the clock again: {done}", d.s.doneWords(k))
	}
	return nil
}

func (f *ClockSet) undo(s *State, r Record, _ *Record) {
	if k := s.clocks[f.ID]; k != nil && !k.Done {
		s.ends(r, k)
	}
}

// Somebody in a vessel. What is saved of it keeps people alive: it is never taken out of
// sight, and taking it back is never the way to end what calls for help.

var entryTakenBack = text.New("entry-taken-back",
	"The board then no longer says that {who} is in {place}. Only the lead takes this back, and only after seeing "+
		"{who} outside.")

func (f *PersonEntered) named(s *State) spokenOf {
	return spokenOf{s.where(f.Place), lineWent.Say(f.Who, f.Number)}
}

func (f *PersonEntered) takes(d *decision, own *Record) error {
	in, inside := d.s.insideOf(f.Who)
	if !inside || !in.Since.Equal(own.At) {
		return reject("inside", "of", "save a note: {who} came out of {place} by what is saved, and both entries stay",
			f.Who, f.Place)
	}
	if _, peril := d.s.perilOf(in, d.now); peril {
		return reject("inside", "of", "find {who} first, then log that {who} is out (z c): an entry that calls for "+
			"help is not taken back", f.Who)
	}
	d.strict = true
	d.find(gate.Finding{Rule: "H17", Of: d.s.where(f.Place), Field: "of", Right: gate.Lead, Reason: true,
		Say: entryTakenBack.Say(f.Who, f.Place)})
	return nil
}

func (f *PersonEntered) undo(s *State, r Record, own *Record) {
	s.inside = slices.DeleteFunc(slices.Clone(s.inside), func(in Inside) bool {
		return in.Who == f.Who &&
			in.Since.Equal(own.At)
	})
	for i := range s.stays {
		if x := &s.stays[i]; x.Who == f.Who && x.Since.Equal(own.At) && x.Out.IsZero() {
			x.Out, x.Taken = r.At, r.By
		}
	}
}

func (f *PersonLeft) named(s *State) spokenOf {
	return spokenOf{s.where(f.Place), lineCame.Say(f.Who)}
}

// takes asks nothing: that somebody is still in is said at once.
func (f *PersonLeft) takes(d *decision, own *Record) error {
	if in, ok := d.s.insideOf(f.Who); ok {
		return reject("inside", "of", "{who} is in {place} since {time} by what is saved: save first that they came "+
			"out there (z c)", f.Who, in.Place, d.says(in.Since))
	}
	if f.stay(d.s, own) == nil {
		return reject("inside", "of", "nothing says any more that {who} was in {place}", f.Who, f.Place)
	}
	return nil
}

func (f *PersonLeft) stay(s *State, own *Record) *Stay {
	for i := range s.stays {
		if x := &s.stays[i]; x.Who == f.Who && x.Out.Equal(own.At) && x.Taken == "" {
			return x
		}
	}
	return nil
}

// undo has the person in the vessel again. Nobody watches until a name is saved again:
// who watched has gone since, for all that anybody knows.
func (f *PersonLeft) undo(s *State, r Record, own *Record) {
	x := f.stay(s, own)
	if x == nil {
		return
	}
	x.Out = time.Time{}
	in := x.Inside
	if n := len(x.Watch); n > 0 && x.Watch[n-1].Who != "" {
		in.Attendant = x.Watch[n-1].Who
	}
	s.inside = append(slices.Clone(s.inside), in)
	slices.SortStableFunc(s.inside, func(a, b Inside) int { return a.Since.Compare(b.Since) })
	s.arrive(in.Who, r.At)
	s.unwatch(r, "is to be named again", func(who Initials) bool {
		return who == in.Attendant &&
			s.Watching(who) == in.Who
	})
}
