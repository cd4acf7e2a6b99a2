package cellar

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/text"
)

// Shift is who has the night.
type Shift struct {
	Lead    Initials   `json:"lead"`
	Crew    []Initials `json:"crew,omitempty"`
	Next    Initials   `json:"next,omitempty"` // who takes over
	Ends    time.Time  `json:"ends,omitzero"`  // planned end
	Started time.Time  `json:"-"`
	Ended   time.Time  `json:"-"`
	Before  time.Time  `json:"-"` // when the shift before it began
}

// Leads is who has the cellar: the lead, or once it was handed over the one it was
// handed to. "" when nobody is named.
func (s Shift) Leads() Initials {
	if !s.Ended.IsZero() {
		return s.Next
	}
	return s.Lead
}

// UsualShift is how long a shift is when none is planned (common practice, no source).
const UsualShift = 12 * time.Hour

// StartShift takes the cellar over.
type StartShift struct {
	Head
	Shift
}

func (c *StartShift) decide(d *decision) ([]Fact, error) {
	for _, who := range append([]Initials{c.Lead}, c.Crew...) {
		if _, ok := d.s.House.Person(who); !ok {
			return nil, reject("who", "lead", "{who:%q} is not on the list of people; choose from {initials}", who,
				d.s.House.initialsList())
		}
	}
	if !c.Ends.IsZero() && !c.Ends.After(d.at) {
		return nil, reject("ends", "ends", "the shift must end after it begins")
	}
	s := c.Shift
	s.Ends = Instant(s.Ends)
	if d.s.earlierShift(d.at) { // it was forgotten, and nobody takes over by it now
		return []Fact{&ShiftStarted{s}}, nil
	}
	if c.Lead != d.s.Shift.Lead && d.s.Shift.Ended.IsZero() {
		d.handsOver(tryShiftOf.Say(c.Lead))
	}
	d.leaves(&leaveTry{goes: d.s.homeFor(s), does: staysOn.Say(), field: "crew"}, tryShift.Say())
	facts := append([]Fact{&ShiftStarted{s}}, d.answer(theShift, endNewShift.Say(), KindShift)...)
	if !s.Ends.IsZero() {
		k := d.setClock(theShift, KindShift, NotBefore, "hand-over", s.Ends, onPlan.Say()).typedIn("ends")
		k.Owner = s.Lead
		facts = append(facts, k)
	}
	return facts, nil
}

// ShiftStarted is a shift that has begun.
type ShiftStarted struct{ Shift }

func (f *ShiftStarted) apply(s *State, r Record) {
	if s.earlierShift(r.At) {
		s.startMissed(f, r)
		return
	}
	s.keepShift(r, f)
	s.unwatch(r, "went with the shift", s.homeFor(f.Shift))
	before := s.Shift.Started
	s.Shift = f.Shift
	s.Shift.Started, s.Shift.Before = r.At, before
	s.endReminders(r)
	for _, who := range append([]Initials{f.Lead}, f.Crew...) { // who begins a shift is there
		s.arrive(who, r.At)
	}
	s.log(r, theHouse, "shift of {lead} begins", f.Lead)
}

// EndShift hands the cellar over.
type EndShift struct {
	Head
	To Initials `json:"to,omitempty"`
	// Told are the open alarms that the one who takes over was told of, by
	// AlarmClock.Name, and the emergencies that stand, by Emergency.Key.
	Told []string `json:"told,omitempty"`
	// Out are those who leave the site with it. Who is not among them stays on the list.
	Out []Initials `json:"out,omitempty"`
}

func (c *EndShift) decide(d *decision) ([]Fact, error) {
	_, before := d.s.endsBefore(d.at)
	if !before && (d.s.Shift.Started.IsZero() || !d.s.Shift.Ended.IsZero()) {
		return nil, reject("shift", "to", "no shift is open")
	}
	if c.To == "" {
		return nil, reject("who", "to", "type who takes over: one of {initials}", d.s.House.initialsList())
	}
	if _, ok := d.s.House.Person(c.To); !ok {
		return nil, reject("who", "to", "{to:%q} is not on the list of people; choose from {initials}", c.To,
			d.s.House.initialsList())
	}
	for _, who := range c.Out {
		if err := d.mayGo(who, c.To, c.Out); err != nil {
			return nil, err
		}
	}
	if before { // it was forgotten: who took over has been told by now
		return []Fact{&ShiftEnded{To: c.To, Out: c.Out}}, nil
	}
	if d.s.earlierShift(d.at) {
		return nil, reject("early", "at", "the shift of {lead} began at {time}; it cannot end before", d.s.Shift.Lead,
			d.s.Shift.Started)
	}
	told, err := c.told(d)
	if err != nil {
		return nil, err
	}
	emergencies := d.s.Emergencies(d.at)
	d.handsOver(tryHandoverTo.Say(c.To))
	d.leaves(&leaveTry{goes: d.s.homeAt(c.To), does: staysOn.Say(), field: "to"}, tryHandover.Say())
	f := &ShiftEnded{To: c.To, Told: told, Out: c.Out}
	for _, e := range emergencies {
		if c.says(e.Key()) {
			f.Emergencies = append(f.Emergencies, e.Key())
		}
	}
	facts := append([]Fact{f}, d.answer(theShift, endHandedOver.Say(), KindShift)...)
	for _, who := range c.Out {
		facts = append(facts, d.answer(personRef(who), endLeft.Say(), KindBreak)...)
	}
	return facts, nil
}

// told are the clocks of the alarms that were told. An emergency that stands, and an
// alarm that is open, and not among them would go to somebody who does not know of it.
func (c *EndShift) told(d *decision) (told []ClockID, err error) {
	var left []string
	for _, e := range d.s.Emergencies(d.at) {
		if !c.says(e.Key()) {
			left = append(left, e.Key())
		}
	}
	for _, k := range d.s.OpenAlarms(d.at) {
		if c.says(k.Name()) {
			told = append(told, k.ID)
		} else {
			left = append(left, k.Name())
		}
	}
	if len(left) > 0 && !d.head.Happened {
		return nil, reject("told", "told",
			"open and not told to {to}: {left}; tell {to} each of them, and name it here", c.To, strings.Join(left,
				", "))
	}
	return told, nil
}

// says reports whether the one who takes over was told of something, by its name.
func (c *EndShift) says(name string) bool {
	return slices.ContainsFunc(c.Told, func(x string) bool { return strings.EqualFold(strings.TrimSpace(x), name) })
}

// OpenAlarms are those that have rung and wait for their act, snoozed ones too, by due.
func (s *State) OpenAlarms(now time.Time) (out []*AlarmClock) {
	for _, c := range s.Clocks() {
		if at, ok := c.AlarmAt(); ok && !now.Before(at) {
			out = append(out, c)
		}
	}
	return out
}

// earlyBy is how long before its planned end a shift may be handed over without a
// question: common practice, no source.
const earlyBy = 30 * time.Minute

// shiftTry is a shift that goes to somebody else.
type shiftTry struct{ ends time.Time }

// handsOver puts to the rules that somebody else has the cellar from now on.
func (d *decision) handsOver(what text.Say) {
	d.subject, d.what = theShift, what
	ask(d, shiftRules, &shiftTry{ends: d.s.Shift.Ends})
}

var handsOverEarly = text.New("hands-over-early",
	"The shift of {lead} ends at {time}, in {left}.",
	"Hand over now?")

// earlyShift is D30: a stray key must not take the night from who has it.
func (t *shiftTry) earlyShift(d *decision) []gate.Finding {
	if t.ends.Sub(d.at) <= earlyBy {
		return nil
	}
	s := d.s
	return []gate.Finding{{Field: "to", Right: gate.Anyone,
		Say: handsOverEarly.Say(s.Shift.Lead, t.ends, quantity.Span(t.ends.Sub(d.at)))}}
}

// ShiftEnded is a shift handed over.
type ShiftEnded struct {
	To   Initials  `json:"to,omitempty"`
	Told []ClockID `json:"told,omitempty"`

	Emergencies []string `json:"emergencies,omitempty"` // that stood, and were told

	Out []Initials `json:"out,omitempty"` // who left the site
}

func (f *ShiftEnded) apply(s *State, r Record) {
	if p, before := s.endsBefore(r.At); before {
		s.setEnd(p, r.At, f.To)
		s.log(r, theHouse, "the shift of {lead} ended then, handed over to {who}", p.Lead, f.To)
		s.goesOut(r, f.Out)
		return
	}
	s.unwatch(r, "went with the shift", s.homeAt(f.To))
	for _, who := range append([]Initials{s.Shift.Lead}, s.Shift.Crew...) {
		s.saw(who, r.At)
	}
	s.goesOut(r, f.Out)
	s.Shift.Ended = r.At
	s.hand(r.At, "")
	s.endReminders(r)
	if f.To != "" {
		s.Shift.Next = f.To
	}
	text := fmt.Sprintf("handed over to %s", firstWords(string(f.To), "the next shift"))
	told := slices.Clone(f.Emergencies)
	for _, id := range f.Told {
		if c := s.clocks[id]; c != nil {
			told = append(told, c.Name())
		}
	}
	if len(told) > 0 {
		text += ", told of " + strings.Join(told, ", ")
	}
	s.log(r, theHouse, "{what}", text)
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

func (c *Rehearse) decide(d *decision) ([]Fact, error) {
	if d.s.Seq != 0 {
		return nil, reject("rehearse", "title", "only an empty journal can become a rehearsal")
	}
	return []Fact{&RehearsalBegun{Title: c.Title}}, nil
}

// RehearsalBegun is the first fact of a rehearsal.
type RehearsalBegun struct {
	Title string `json:"title"`
}

func (f *RehearsalBegun) apply(s *State, r Record) {
	s.Rehearsal = true
	s.log(r, theHouse, "rehearsal: {title}", f.Title)
}

var (
	_ = command[StartShift]("shift-start")
	_ = command[EndShift]("shift-end")
	_ = command[Rehearse]("rehearse")
	_ = fact[ShiftStarted]("shift-started")
	_ = fact[ShiftEnded]("shift-ended")
	_ = fact[RehearsalBegun]("rehearsal-begun")
)
