package cellar

import (
	"time"

	"cellar.example/mustwatch/domain/contact"
)

// contactRun is the enzyme contact that runs in a content, with its readings: from the last dose
// that clears juice, or the last untreated juice when that came later. ok is
// false when there is none, when pectin is gone, or while the tank is open:
// then no deadline can be named.
func (s *State) contactRun(c *Content) (run contact.Run, ok bool) {
	run, state := s.contactState(c)
	if state == contactNone {
		return run, false
	}
	run.Readings = c.Temps.coldest(run.Start, watched(run))
	return run, state == contactRuns
}

// watched is until when readings count for a contact that nobody tests: a probe may go
// on for weeks (common practice, no source).
func watched(run contact.Run) time.Time {
	return run.Start.Add(max(48*time.Hour, 2*longest(run.Card).Duration()))
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
	run.Units = s.House.Units
	if c.Open {
		return run, contactOpen
	}
	return run, contactRuns
}

// slower reports whether card a asks for more time than b at its longest row.
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
	run.Readings = v.Now.Temps.coldest(run.Start, watched(run))
	if st == contactRuns {
		k.Deadline = deadline(run, now)
		k.Progress = run.Progress(now)
	}
	return k, true
}

// deadline is the deadline of a run as it was known at an instant.
func deadline(run contact.Run, at time.Time) contact.Deadline { return rounded(run.Deadline(at)) }

// rounded is a deadline with what the model forecasts to the minute: more it does not
// know.
func rounded(dl contact.Deadline) contact.Deadline {
	dl.Model = dl.Model.Round(time.Minute)
	return dl
}

// checkedSince reports whether a check was begun after an instant.
func (c *Content) checkedSince(t time.Time) bool {
	n := len(c.Checks)
	return n > 0 && c.Checks[n-1].Started.After(t)
}

// lastContactDose is the latest, wherever it was given: a blend lists those of both sides.
func (c *Content) lastContactDose() (last Dose) {
	for _, d := range c.Doses {
		if d.Class.contact() && !d.At.Before(last.At) {
			last = d
		}
	}
	return last
}
