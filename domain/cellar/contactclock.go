package cellar

import (
	"slices"
	"time"

	"cellar.example/mustwatch/domain/contact"
)

// contactRun is the enzyme contact that runs in a content: from the last dose
// that clears juice, or the last untreated juice when that came later. ok is
// false when there is none, when pectin is gone, or while the tank is open:
// then no deadline can be named.
func (s *State) contactRun(c *Content) (run contact.Run, ok bool) {
	run, state := s.contactState(c)
	return run, state == contactRuns
}

type contactStanding int

const (
	contactNone contactStanding = iota
	contactRuns
	contactOpen // dosed, but juice still runs in
)

func (s *State) contactState(c *Content) (run contact.Run, st contactStanding) {
	if !c.PectinGone.IsZero() {
		return run, contactNone
	}
	for _, d := range c.Doses {
		if !d.Class.contact() || !d.At.After(c.Tested) {
			continue
		}
		p := s.products[d.Product]
		if p == nil || !p.HasClock() {
			continue
		}
		if st == contactNone || slower(p.Card.Card, run.Card) {
			run.Card = p.Card.Card
		}
		if d.At.After(run.Start) {
			run.Start = d.At
		}
		st = contactRuns
	}
	if st == contactNone {
		return run, st
	}
	if !c.Open && c.LastIn.After(run.Start) { // the enzyme reaches the last juice when it is in
		run.Start = c.LastIn
	}
	run.Readings, run.Units = c.Temps.Since(run.Start), s.House.Units
	if c.Open {
		return run, contactOpen
	}
	return run, contactRuns
}

// slower tells whether card a asks for more time than b at its longest row.
func slower(a, b contact.Card) bool {
	return longest(a) > longest(b)
}

func longest(c contact.Card) (n contact.Wait) {
	for _, r := range c.Rows {
		n = max(n, r.Wait)
	}
	return n
}

// Contacting is what the board shows of a contact.
type Contacting struct {
	contact.Deadline
	Start    time.Time
	Progress float64
	Open     bool // the tank is open: no due
}

// ContactOf is the contact that runs in a vessel at now; ok is false when none
// does.
func (s *State) ContactOf(v *Vessel, now time.Time) (Contacting, bool) {
	run, st := s.contactState(&v.Now)
	if st == contactNone {
		return Contacting{}, false
	}
	k := Contacting{Start: run.Start, Open: st == contactOpen}
	if st == contactRuns {
		k.Deadline = deadline(run, now)
		k.Progress = run.Progress(now)
	}
	return k, true
}

// deadline is the deadline of a run, with what the model forecasts rounded to the
// minute: more it does not know.
func deadline(run contact.Run, at time.Time) contact.Deadline {
	dl := run.Deadline(at)
	dl.Model = dl.Model.Round(time.Minute)
	if !dl.OnCard {
		dl.Due = dl.Due.Round(time.Minute)
	}
	return dl
}

// recontact says of every vessel that will be other than it is what becomes of its
// contact clock: set, moved, or taken off. What is written late reaches also where
// the juice has gone since.
func (d *decision) recontact(o *outlook, but ...Plate) (out []Fact) {
	for _, p := range o.touched() {
		if !slices.Contains(but, p) {
			out = append(out, d.recontactOf(d.s.vessels[p], o.vessel(p))...)
		}
	}
	return out
}

func (d *decision) recontactOf(v, w *Vessel) []Fact {
	plate := string(v.Plate)
	cur := d.s.openClock(plate, KindContact)
	run, st := d.s.contactState(&w.Now)
	newDose := d.newContactDose(v, w)
	switch st {
	case contactNone:
		if cur != nil && contacted(v.Now.Doses) && !contacted(w.Now.Doses) {
			return []Fact{&ClockCancelled{Clock: cur.ID, Reason: "the dose was struck out"}}
		}
		return nil
	case contactOpen:
		var out []Fact
		if cur != nil {
			out = append(out, &ClockCancelled{Clock: cur.ID, Reason: "juice ran in after the dose"})
		}
		if look := d.s.openClock(plate, KindLook); look != nil {
			out = append(out, &ClockCancelled{Clock: look.ID, Reason: "juice ran in after the dose"})
		}
		return out
	}
	return d.contactDue(plate, w, run, cur, newDose)
}

// newContactDose is the dose among the coming items that starts a contact anew.
func (d *decision) newContactDose(v, w *Vessel) *Dose {
	n := len(w.Now.Doses)
	if n == 0 {
		return nil
	}
	last := &w.Now.Doses[n-1]
	for i := range v.Now.Doses {
		if v.Now.Doses[i].Seq == last.Seq {
			return nil
		}
	}
	if !last.Class.contact() {
		return nil
	}
	return last
}

// checkedSince tells whether a check was begun after an instant.
func (c *Content) checkedSince(t time.Time) bool {
	n := len(c.Checks)
	return n > 0 && c.Checks[n-1].Started.After(t)
}

func (c *Content) lastContactDose() (last Dose) {
	for _, d := range c.Doses {
		if d.Class.contact() {
			last = d
		}
	}
	return last
}

func (d *decision) contactDue(plate string, w *Vessel, run contact.Run, cur *AlarmClock, fresh *Dose) []Fact {
	dl := deadline(run, d.now) // with all that has been read, whenever that was saved
	due, basis, typed := dl.Due, dl.Basis, false
	var model time.Time
	if dl.HasModel && dl.ModelDiffers() {
		model = Instant(dl.Model)
	}
	var out []Fact
	if fresh != nil {
		out = append(out, d.answer(plate, "dosed again", KindLook, KindContact)...)
		cur = nil
		if !fresh.TestAt.IsZero() {
			due, basis, typed = fresh.TestAt, "typed "+string(d.head.By), true
		}
	}
	if !typed && !dl.HasDue {
		return out // too cold or too hot: no instant can be named; the row says so
	}
	due = Instant(due)
	switch {
	case fresh == nil && w.Now.Check() != nil, fresh == nil && cur == nil && w.Now.checkedSince(run.Start):
		return out // a check has taken over; readings no longer move its clocks
	case cur == nil && fresh == nil && w.Now.lastContactDose().Where != w.Plate:
		return out // the juice brought its enzyme along; a clock comes with a whole lot or with a dose here
	case cur == nil:
		k := d.setClock(plate, KindContact, ActAt, "test", due, basis)
		if k.Start, k.Model, k.Typed = run.Start, model, typed; typed {
			k.typedIn("test_at")
		}
		return append(out, k)
	case run.Start.After(cur.Start) && run.Start.Equal(w.Now.LastIn): // untreated juice came in: whatever was due is due anew
		if due.After(cur.Due) {
			return append(out, &ClockMoved{Clock: cur.ID, Was: cur.Due, Due: due, Start: run.Start, Model: model, Basis: basis, Reason: "juice in since the dose"})
		}
		return out
	case cur.Typed || !cur.Due.After(d.now): // typed by a person, or raised already: stays
		if !cur.Model.Equal(model) {
			out = append(out, &ClockMoved{Clock: cur.ID, Was: cur.Due, Due: cur.Due, Model: model})
		}
		return out
	case !cur.Due.Equal(due) || !cur.Model.Equal(model):
		return append(out, &ClockMoved{Clock: cur.ID, Was: cur.Due, Due: due, Model: model, Basis: basis, Reason: basis})
	}
	return out
}
