package cellar

import (
	"slices"
	"sort"
	"time"

	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/subject"
	"cellar.example/mustwatch/domain/text"
)

// State is everything the facts add up to. Outside this package it is only
// read. It is not safe for use from several goroutines.
type State struct {
	Seq       Seq       // of the last record applied
	LastAt    time.Time // latest instant at which anything was written
	Rehearsal bool      // the journal carries a clock of its own
	Opened    time.Time // when the journal's house was opened
	House     House

	Loads    []*Load
	Notes    []*Note
	Orders   []*Order
	Answered []Answered // overrides and warnings taken
	Stopped  []NearMiss
	Mends    []MendLine
	Shift    Shift
	Season   Season
	Time     HouseTime

	history      history
	book         *book     // what is held where, and was
	changed      []place   // by the record that is being applied
	was          []*held   // and what the vessels held before it, or before the batch
	said         []*entry  // what the book has lines of, in the order of the journal
	sheets       []*handed // what the sheets said that people have in hand
	together     int       // records of a batch that are still to come
	vessels      map[TankNumber]*Vessel
	vesselOrder  []TankNumber
	presses      map[TankNumber]*Press
	pressOrder   []TankNumber
	products     map[ProductID]*Product
	productOrder []ProductID
	clocks       map[ClockID]*AlarmClock
	clockOrder   []ClockID
	setOn        map[subject.Ref][]*AlarmClock // those that people set, of each subject
	put          map[string]ClockID            // those that follow and were given another due, by their ground
	going        []*AlarmClock                 // those that are not done, and some that are
	open         []*AlarmClock                 // made by Clocks, forgotten by Apply
	bottles      []*Bottle
	gas          []GasReading
	shifts       []*shiftBefore
	lateShifts   []Shift         // whose start was forgotten, and said when another had begun
	asides       []*asideOf      // what was said beside the book and can be taken back
	besides      []beside        // and what else the records are that the book has not
	told         map[string]bool // places that are none of the house's and were said to be right
	emergencies  []*emergency
	permits      []*Permit
	inside       []Inside // who is in a vessel
	stays        []Stay   // who was
	site         []Presence
	gone         map[Initials]time.Time // who was written as having left the site, and when
	counts       []HeadCount
	runs         []alarmRun             // times an alarm rang before its clock was moved
	wrote        map[Initials]time.Time // when somebody last wrote
	serial       int
	zone         *time.Location
}

// Answered is one rule that spoke and what was said to it.
type Answered struct {
	Seq       Seq
	At        time.Time
	Subject   subject.Ref
	What      text.Say
	Rule      gate.Code
	Of        subject.Ref // of what its finding was
	Field     string
	Stop      bool
	Said      text.Say
	By        Initials
	Second    Initials
	SavedBy   Initials // who typed the answer, where it is another's word
	Reason    string
	Broken    bool // nobody answered; it had happened
	ToConfirm bool // by somebody without the right: lead to confirm
}

// NearMiss is what was stopped by a rule and left alone.
type NearMiss struct {
	Seq     Seq
	At      time.Time
	By      Initials
	Subject subject.Ref
	What    text.Say
	Rule    gate.Code
	Why     text.Say
}

// MendLine is one correction, for the sheet.
type MendLine struct {
	Mend
	Of      Seq
	Subject subject.Ref
	What    text.Say
}

// NewState is the state before the first record.
func NewState() *State {
	s := &State{
		House: House{Limits: DefaultLimits()}, vessels: map[TankNumber]*Vessel{}, presses: map[TankNumber]*Press{},
		products: map[ProductID]*Product{},
		clocks:   map[ClockID]*AlarmClock{},
		wrote:    map[Initials]time.Time{},
	}
	s.book = s.newBook()
	return s
}

// Apply takes one record into the state. It never fails: what Decide let
// through, Apply takes. Records come in the order of their sequence.
func Apply(s *State, r Record) {
	s.open = nil
	first := len(s.changed)
	r.Fact.apply(s, r)
	s.keepBeside(r)
	if _, begins := r.Fact.(*PutTogether); !begins && s.together > 0 {
		s.together--
	}
	s.elsewhere(r, s.changed[first:])
	s.derive(r, s.changed[first:])
	if s.together == 0 {
		s.settled(r)
	}
	s.open = nil
	s.Seq = r.Seq
	s.wrote[r.By] = r.Written
	if r.Written.After(s.LastAt) {
		s.LastAt = r.Written
	}
}

// settled tells what became of the cellar by a record, or by the last of a batch.
func (s *State) settled(r Record) {
	for _, w := range s.was {
		v := s.vessels[w.number]
		s.tellEffects(r, w, v)
		s.tellAmiss(r, w, v)
		if len(s.sheets) > 0 && (w.reached || w.late || w.old) {
			s.sinceSheet(r, v)
		}
	}
	s.changed, s.was = nil, nil
}

// Zone is the house's time zone, UTC before a house is set.
func (s *State) Zone() *time.Location {
	if s.zone == nil {
		z, err := time.LoadLocation(s.House.Zone)
		if err != nil || s.House.Zone == "" {
			z = time.UTC
		}
		s.zone = z
	}
	return s.zone
}

// shown is an instant in a form that ends in its time of day.
func (s *State) shown(t time.Time, form string) string {
	l := t.In(s.Zone())
	if twice(l) {
		form += " MST"
	}
	return l.Format(form)
}

// twice reports whether the clock on the wall shows this time again an hour or half
// an hour off: the offsets differ by just that.
func twice(t time.Time) bool {
	_, here := t.Zone()
	for _, d := range []time.Duration{-time.Hour, -30 * time.Minute, 30 * time.Minute, time.Hour} {
		if _, there := t.Add(d).Zone(); here-there == int(d/time.Second) {
			return true
		}
	}
	return false
}

// Vessel finds a vessel by its number.
func (s *State) Vessel(p TankNumber) (*Vessel, bool) {
	v := s.vessels[p]
	return v, v != nil
}

// Vessels lists the vessels in number order, pallet tanks last.
func (s *State) Vessels() []*Vessel {
	return slices.DeleteFunc(s.AllVessels(), func(v *Vessel) bool { return !v.InUse() })
}

// AllVessels lists the vessels that are or were the house's, for what is added up and told
// of the past.
func (s *State) AllVessels() []*Vessel {
	out := make([]*Vessel, len(s.vesselOrder))
	for i, p := range s.vesselOrder {
		out[i] = s.vessels[p]
	}
	return out
}

// Press finds a press by its number.
func (s *State) Press(p TankNumber) (*Press, bool) {
	x := s.presses[p]
	return x, x != nil
}

// Presses lists the presses in number order.
func (s *State) Presses() []*Press {
	out := make([]*Press, len(s.pressOrder))
	for i, p := range s.pressOrder {
		out[i] = s.presses[p]
	}
	return out
}

// Total is the volume in all vessels.
func (s *State) Total() quantity.Volume {
	var sum quantity.Volume
	for _, v := range s.vessels {
		sum += v.Now.Volume
	}
	return sum
}

// inNumberOrder inserts a number into a number order: numbers before letters, shorter
// before longer, then by the letters.
func inNumberOrder(order []TankNumber, p TankNumber) []TankNumber {
	i := sort.Search(len(order), func(i int) bool { return numberLess(p, order[i]) })
	order = append(order, "")
	copy(order[i+1:], order[i:])
	order[i] = p
	return order
}

func numberLess(a, b TankNumber) bool {
	an, bn := a != "" && a[0] >= '0' && a[0] <= '9', b != "" && b[0] >= '0' && b[0] <= '9'
	if an != bn {
		return an
	}
	if len(a) != len(b) {
		return len(a) < len(b)
	}
	return a < b
}

// vessel finds a vessel or rejects the number at the field, naming what looks
// like it.
func (d *decision) vessel(p TankNumber, field string) (*Vessel, error) {
	if v := d.s.vessels[p]; v != nil {
		if v.Retired && !d.at.Before(v.retired) {
			return nil, reject("retired", field,
				"{tank} has been out of the house since {time}; set it up again first "+
					"(vessel)", p, v.retired)
		}
		return v, nil
	}
	if p == "" {
		return nil, reject("number", field, "type the tank number")
	}
	near := ""
	for _, q := range d.s.vesselOrder {
		if len(q) == len(p) && len(q) > 0 && q[0] == p[0] {
			if near != "" {
				near += " "
			}
			near += string(q)
		}
	}
	if near != "" {
		return nil, reject("number", field, "there is no vessel {name:%q}; that row has {near}", p, near)
	}
	return nil, reject("number", field, "there is no vessel {name:%q}", p)
}

func (d *decision) press(p TankNumber, field string) (*Press, error) {
	if x := d.s.presses[p]; x != nil {
		return x, nil
	}
	all := ""
	for _, q := range d.s.pressOrder {
		all += " " + string(q)
	}
	return nil, reject("press", field, "there is no press {name:%q}; there are{all}", p, all)
}
