package cellar

import (
	"fmt"
	"time"
)

// Shift is who has the night.
type Shift struct {
	Lead    Initials   `json:"lead"`
	Crew    []Initials `json:"crew,omitempty"`
	Next    Initials   `json:"next,omitempty"` // who takes over
	Ends    time.Time  `json:"ends,omitzero"`  // planned end
	Started time.Time  `json:"-"`
	Ended   time.Time  `json:"-"`
}

// Leads is who has the cellar: the lead, or once it was handed over the one it was
// handed to. "" when nobody is named.
func (s Shift) Leads() Initials {
	if !s.Ended.IsZero() {
		return s.Next
	}
	return s.Lead
}

// shiftSubject is what the clock of the shift's end is about.
const shiftSubject = "shift"

// StartShift takes the cellar over.
type StartShift struct {
	Head
	Shift
}

// Do implements Command.
func (*StartShift) Do() string { return "shift-start" }

func (c *StartShift) decide(d *decision) ([]Fact, error) {
	for _, who := range append([]Initials{c.Lead}, c.Crew...) {
		if _, ok := d.s.House.Person(who); !ok {
			return nil, reject("who", "lead", "%q is not on the list of people; %s are", who, d.s.House.initialsList())
		}
	}
	if !c.Ends.IsZero() && !c.Ends.After(d.at) {
		return nil, reject("ends", "ends", "the shift must end after it begins")
	}
	s := c.Shift
	s.Ends = Instant(s.Ends)
	rings := d.leaves(&leaveTry{goes: d.s.homeFor(s), does: "does not go with the shift", field: "crew"}, "a new shift")
	facts := append(append([]Fact{&ShiftStarted{s}}, rings...), d.answer(shiftSubject, "a new shift", KindShift)...)
	if !s.Ends.IsZero() {
		k := d.setClock(shiftSubject, KindShift, NotBefore, "hand over", s.Ends, "planned end").typedIn("ends")
		k.Owner = s.Lead
		facts = append(facts, k)
	}
	return facts, nil
}

// ShiftStarted is a shift that has begun.
type ShiftStarted struct{ Shift }

// Kind implements Fact.
func (*ShiftStarted) Kind() string { return "shift-started" }

func (f *ShiftStarted) apply(s *State, r Record) {
	s.unwatch(r, "went with the shift", s.homeFor(f.Shift))
	s.Shift = f.Shift
	s.Shift.Started = r.At
	s.endReminders(r)
	for _, who := range append([]Initials{f.Lead}, f.Crew...) { // who begins a shift is there
		s.arrive(who, r.At)
	}
	s.log(r, "house", fmt.Sprintf("shift of %s begins", f.Lead))
}

// EndShift hands the cellar over.
type EndShift struct {
	Head
	To Initials `json:"to,omitempty"`
}

// Do implements Command.
func (*EndShift) Do() string { return "shift-end" }

func (c *EndShift) decide(d *decision) ([]Fact, error) {
	if d.s.Shift.Started.IsZero() || !d.s.Shift.Ended.IsZero() {
		return nil, reject("shift", "to", "no shift is open")
	}
	if _, ok := d.s.House.Person(c.To); c.To != "" && !ok {
		return nil, reject("who", "to", "%q is not on the list of people; %s are", c.To, d.s.House.initialsList())
	}
	rings := d.leaves(&leaveTry{goes: d.s.homeAt(c.To), does: "does not go with the shift", field: "to"}, "the shift handed over")
	return append(append([]Fact{&ShiftEnded{To: c.To}}, rings...), d.answer(shiftSubject, "handed over", KindShift)...), nil
}

// ShiftEnded is a shift handed over.
type ShiftEnded struct {
	To Initials `json:"to,omitempty"`
}

// Kind implements Fact.
func (*ShiftEnded) Kind() string { return "shift-ended" }

func (f *ShiftEnded) apply(s *State, r Record) {
	s.unwatch(r, "went with the shift", s.homeAt(f.To))
	s.Shift.Ended = r.At
	s.endReminders(r)
	if f.To != "" {
		s.Shift.Next = f.To
	}
	s.log(r, "house", fmt.Sprintf("handed over to %s", firstWords(string(f.To), "the next shift")))
}

// homeAt tells who goes home when the shift is handed over: who is of it, but for
// the one who has the next.
func (s *State) homeAt(to Initials) func(Initials) bool {
	if to == "" {
		to = s.Shift.Next
	}
	old := s.Shift
	return func(who Initials) bool { return old.has(who) && who != to }
}

// homeFor tells who goes home when a shift takes over from one that was not handed
// over: who is of the old one and not of the new.
func (s *State) homeFor(next Shift) func(Initials) bool {
	old := s.Shift
	return func(who Initials) bool { return old.Ended.IsZero() && old.has(who) && !next.has(who) }
}

// Rehearse marks a journal as a rehearsal: its now follows the entries.
type Rehearse struct {
	Head
	Title string `json:"title"`
}

// Do implements Command.
func (*Rehearse) Do() string { return "rehearse" }

func (c *Rehearse) decide(d *decision) ([]Fact, error) {
	if d.s.Seq != 0 {
		return nil, reject("rehearse", "title", "a journal is a rehearsal from its first entry or never")
	}
	return []Fact{&RehearsalBegun{Title: c.Title}}, nil
}

// RehearsalBegun is the first fact of a rehearsal.
type RehearsalBegun struct {
	Title string `json:"title"`
}

// Kind implements Fact.
func (*RehearsalBegun) Kind() string { return "rehearsal-begun" }

func (f *RehearsalBegun) apply(s *State, r Record) {
	s.Rehearsal = true
	s.log(r, "house", "rehearsal: "+f.Title)
}

var (
	_ = command(func() Command { return &StartShift{} })
	_ = command(func() Command { return &EndShift{} })
	_ = command(func() Command { return &Rehearse{} })
	_ = register(func() Fact { return &ShiftStarted{} })
	_ = register(func() Fact { return &ShiftEnded{} })
	_ = register(func() Fact { return &RehearsalBegun{} })
)
