package cellar

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"
	"time"

	"cellar.example/mustwatch/domain/ledger"
	"cellar.example/mustwatch/domain/text"
)

// A time is typed in minutes, so that two lines of one place can be of one time. Where
// it makes a difference which of them was first, the one that can be so is taken, and
// where both can, whoever writes is asked: the order in which they were saved says
// nothing. What was said is kept as the turn of a record.

// perRecord is how far the turns of two records lie apart: between them there is room for
// what is said to have been between.
const perRecord = 1 << 16

// turn is the place of a record among those of the same instant.
func (r *Record) turn() int { return cmp.Or(r.Turn, int(r.Seq)*perRecord) }

// moment is where a decision stands in true time: after all that was at its instant, or
// where it was said to be among it.
func (d *decision) moment() ledger.Key {
	return ledger.Key{At: d.at, Rank: cmp.Or(d.turn, math.MaxInt), Seq: math.MaxUint64, Sub: math.MaxInt}
}

// turned is when an attempt of a decision has it: the instant, and the turn, 0 for last.
type turned struct {
	at   time.Time
	rank int
}

// attempt is a command decided in one of the turns that it can have.
type attempt struct {
	*decision
	turned
	nth   int
	facts []Fact
	err   error
	o     *outlook
}

// attempts a command in a turn.
func (d *decision) attempt(c Command, t turned) *attempt {
	x := &decision{s: d.s, now: d.now, at: t.at, head: d.head, serial: d.serial, batch: d.batch, saved: d.saved,
		turn: t.rank}
	a := &attempt{decision: x, turned: t}
	if f, ok := c.(*Correct); ok {
		again := *f
		again.Value, x.at = t.at.Format(time.RFC3339), d.at
		c = &again
	}
	if a.facts, a.err = x.tries(c); a.err == nil {
		if a.o = x.draft; a.o == nil {
			a.o = x.after(a.facts...)
		}
	}
	return a
}

// faults are how many lines of the cellar could not have been so by an attempt: of two
// turns the one with fewer was.
func (a *attempt) faults() (n int) {
	if a.err != nil {
		return math.MaxInt
	}
	touched := a.o.touched()
	for p, v := range a.s.vessels {
		if slices.Contains(touched, p) {
			v = a.o.vessel(p)
		}
		n += len(v.amiss.faults)
	}
	return n
}

// comes is the instant at which a command says that something was, ok where it is one that
// is past: what is saved as it happens comes after all that stands.
func (d *decision) comes(c Command) (at time.Time, of Seq, ok bool) {
	at = d.at
	if f, corrects := c.(*Correct); corrects {
		t, err := time.Parse(time.RFC3339, f.Value)
		if f.Field != "at" || f.TakeBack || err != nil {
			return at, 0, false
		}
		at, of = Instant(t), f.Of
	}
	_, several := c.(*Together)
	return at, of, at.Before(d.now) && !several
}

// inTurn decides a command in the turn that it had among the lines of its time.
func (d *decision) inTurn(c Command) (*decision, []Fact, error) {
	at, of, past := d.comes(c)
	if !past {
		facts, err := d.tries(c)
		return d, facts, err
	}
	usual := d.attempt(c, turned{at: at})
	reach := usual
	if usual.err != nil { // where it reaches is known only if it can be at all
		if reach = d.attempt(c, turned{at, 1}); reach.err != nil {
			return usual.decision, nil, usual.err
		}
	}
	others := d.beside(reach, at, of)
	if len(others) == 0 {
		return usual.decision, usual.facts, usual.err
	}
	turns, err := d.turns(others, at)
	if err != nil {
		return nil, nil, err
	}
	all := make([]*attempt, len(turns))
	x, usually := (*attempt)(nil), false
	for i, t := range turns {
		if t.at.IsZero() {
			continue
		}
		a := usual
		if t != (turned{at: at}) {
			a = d.attempt(c, t)
		}
		a.nth, all[i] = i, a
		if x == nil || a.faults() < x.faults() || !usually && a.faults() == x.faults() {
			x = a // of those that can be so the usual one, else the last
		}
		usually = x == usual
	}
	below, above := slices.Clone(all[:x.nth]), all[x.nth+1:]
	slices.Reverse(below)
	for _, a := range append(below, above...) { // the nearest that differs, those before first
		if a != nil && a.err == nil && a.faults() == x.faults() && !x.alike(a) {
			return nil, nil, x.whichFirst(a, others)
		}
	}
	return x.decision, x.placed(d), x.err
}

// placed are the facts of an attempt, with the turn that they have.
func (a *attempt) placed(d *decision) []Fact {
	if a.turn == 0 && a.turned.at.Equal(d.at) || len(a.facts) == 0 {
		return a.facts
	}
	if _, corrects := a.facts[0].(*Corrected); corrects { // it has its own
		return a.facts
	}
	out := make([]Fact, len(a.facts))
	for i, f := range a.facts {
		out[i] = &spoken{Fact: f, head: a.head, at: a.turned.at, turn: a.turn}
	}
	return out
}

// group is lines of one time that were saved as one.
type group struct {
	first, last ledger.Key
	seq         Seq
}

// beside are the lines at the places that an outlook reaches which are of the same time
// as what it says there: of the same instant, or of the minute where that is all that
// was said. What is being corrected, and what belongs to the same batch, is none of them;
// nor are readings to a reading, for nothing flows by them.
func (d *decision) beside(a *attempt, at time.Time, of Seq) (out []group) {
	until, o, reads := at, a.o, !slices.ContainsFunc(a.facts, func(f Fact) bool { return !isReading(f) })
	if at.Second() == 0 {
		until = at.Add(time.Minute - time.Second)
	}
	var keys []ledger.Key
	looked := map[place]bool{}
	for _, l := range o.flows {
		for _, p := range l.Places {
			if looked[p] || l.Key.At.Before(at) || l.Key.At.After(until) {
				continue
			}
			looked[p] = true
			for k := range d.s.book.Between(p, at, until) {
				if Seq(k.Seq) != of && (d.saved == 0 || Seq(k.Seq) <= d.saved) && !slices.Contains(keys, k) {
					keys = append(keys, k)
				}
			}
		}
	}
	slices.SortFunc(keys, ledger.Key.Compare)
	var before *entry
	for _, k := range keys {
		e := d.s.entryOf(Seq(k.Seq))
		if reads && e != nil && isReading(e.Fact) {
			continue
		}
		if n := len(out); n > 0 && before != nil && e != nil && k.Seq <= out[n-1].last.Seq+1 && before.By == e.By &&
			before.Written.Equal(e.Written) && before.At.Equal(e.At) {
			out[n-1].last = k
		} else {
			out = append(out, group{k, k, Seq(k.Seq)})
		}
		before = e
	}
	return out
}

// turns are those that something can have among others, from before them all to after:
// the i-th is before the i-th of them. What was said of it leaves some out.
func (d *decision) turns(others []group, at time.Time) ([]turned, error) {
	low, high := 0, len(others)
	for i, g := range others {
		if d.head.Before != 0 && g.has(d.head.Before) {
			high = i
		}
		if d.head.After != 0 && g.has(d.head.After) {
			low = i + 1
		}
	}
	if low > high {
		return nil, reject("order", "before", "entry {before} is not after entry {after}", d.head.Before, d.head.After)
	}
	out := make([]turned, len(others)+1)
	for i := low; i <= high; i++ {
		t, from, to := turned{at: at}, 0, 0
		if i > 0 {
			if last := others[i-1].last; last.At.After(at) {
				t.at = last.At
			}
			if others[i-1].last.At.Equal(t.at) {
				from = others[i-1].last.Rank
			}
		}
		if i < len(others) && others[i].first.At.Equal(t.at) {
			to = others[i].first.Rank
			// Next before it: what else was of its time, at places that this does not reach, stays before both.
			if t.rank = to - min(to-from, perRecord)/2; t.rank >= to {
				continue // no room: they were said to belong together
			}
		}
		out[i] = t
	}
	return out, nil
}

func (g group) has(n Seq) bool { return g.first.Seq <= uint64(n) && uint64(n) <= g.last.Seq }

// whichFirst asks about the line on which it hangs that another turn differs.
func (a *attempt) whichFirst(o *attempt, others []group) error {
	g := others[max(o.nth-1, 0)]
	if o.nth < a.nth {
		g = others[o.nth]
	}
	return &Rejection{Code: WhichFirst, Field: "at", With: g.seq,
		Say: text.Of("{this}, and {entry}: both are of {time}, and it makes a difference which was first", a.what,
			a.s.nameOf(g.seq), a.s.Clock(g.first.At))}
}

// WhichFirst is the code of a refusal that asks whether what is written was before or
// after the entry that it names.
const WhichFirst = "order"

// nameOf is how an entry is told from others.
func (s *State) nameOf(seq Seq) string {
	e := s.entryOf(seq)
	if e == nil {
		return fmt.Sprintf("entry %d", seq)
	}
	for _, p := range s.vesselOrder {
		for _, it := range s.vessels[p].said(e) {
			return s.Words(s.Name(s.saidBy(it)))
		}
	}
	if ev, ok := s.eventBy(seq); ok {
		return s.Words(s.Name(Said{Seq: seq, At: e.At, By: e.By, Says: ev.say}))
	}
	return fmt.Sprintf("entry %d", seq)
}

// alike reports whether the cellar is the same by two attempts.
func (a *attempt) alike(b *attempt) bool {
	all := append(a.o.places(), b.o.places()...)
	return !slices.ContainsFunc(all, func(p place) bool { return a.tally(p) != b.tally(p) })
}

// places are those of which an outlook may say something else than is.
func (o *outlook) places() (out []place) {
	for _, p := range o.touched() {
		out = append(out, place{number: p})
	}
	for _, p := range o.presses() {
		out = append(out, place{kind: aPress, number: p})
	}
	for _, l := range o.flows {
		for _, p := range l.Places {
			if o.s.vessels[p.number] == nil && o.s.presses[p.number] == nil {
				out = append(out, p)
			}
		}
	}
	return out
}

// tally is what a place holds and what follows, with nothing of the order in which it
// was said.
func (a *attempt) tally(p place) string {
	o, h := a.o, a.o.book.Now(p)
	var out []string
	say := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	timers := func(all []Timer) {
		for _, t := range all {
			if t.Kind != KindCooling {
				say("clock %s %s %s", t.Verb, t.DueKind, t.Due)
			}
		}
	}
	parts := func(all []Part) {
		sums := map[LoadID]int64{}
		for _, x := range all {
			sums[x.Load] += int64(x.Volume)
		}
		say("parts %v", sums)
	}
	switch {
	case h == nil:
	case h.content != nil:
		v := o.vessel(p.number)
		c := &v.Now
		say("%s %s %d %s %v %s %v", c.Stage, c.Since, c.Volume, c.Kind, c.Open, c.Source, c.PectinGone)
		if b := c.BroughtLast(); b != nil {
			say("%s", b.Say())
		}
		say("read %s %v, %v", c.Last.Say(0), c.TempCalc, c.Temps.Since(time.Time{}))
		parts(c.Parts)
		for _, x := range c.Doses {
			say("dose %d %d %d %d %d %d %.6f %.6f", x.Seq, x.nth, x.Here.Mass, x.Here.Volume, x.Drawn.Mass,
				x.Drawn.Volume, x.PerHL, x.First)
		}
		for _, k := range c.Checks {
			say("check %s %s", k.ID, k.Verdict)
		}
		for _, f := range h.faults {
			say("fault %d %s %d %d", f.Seq, f.Kind, f.Held, f.Said)
		}
		say("unexplained %d, held %v, running %v", h.astray, h.hold() != nil, h.pump() != nil)
		timers(o.s.timers(v, a.now))
		run, state := o.s.contactState(c)
		say("contact %v since %s, called off %s, before %s", state, run.Start, c.calledOff, c.Before)
		for l, x := range o.book.Lines(p) { // what left it from then on
			if l.Key.At.Before(a.turned.at) {
				continue
			}
			for _, it := range x.items {
				if it.Dose != nil {
					say("given %d: %d %d", it.Seq, it.Dose.Drawn.Mass, it.Dose.Drawn.Volume)
				}
			}
			if x.flow != nil {
				say("left %d: %d unexplained", l.Key.Seq, x.flow.Unexplained)
				for _, d := range slices.Concat(x.flow.LostDoses, x.flow.GoneDoses, x.flow.Sent.doses()) {
					say("lost %d: %d %d %d", l.Key.Seq, d.Seq, d.Here.Mass, d.Here.Volume)
				}
			}
		}
	case h.press != nil:
		say("%s %v %d %d %s", h.press.State, h.press.Since, h.press.MainOut, h.press.FracOut, h.press.End)
		for _, x := range h.press.Parts {
			say("in %s %s %d %d %d", x.Load, x.From, x.Mass, x.Volume, x.Must)
		}
		timers(h.press.Timers)
	default:
		say("open %s, sealed %d, weighed %d", h.tub().open, h.tub().sealed, len(h.tub().weighed))
	}
	sort.Strings(out)
	return strings.Join(out, "\n")
}

func isReading(f Fact) bool {
	_, reads := f.(*WasRead)
	return reads
}
