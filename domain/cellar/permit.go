package cellar

import (
	"fmt"
	"slices"
	"strings"
	"time"
)

// maxPermit is the longest a permit may be written for: one longer than a day
// is a slip of the pen (common practice is one shift; no source).
const maxPermit = 24 * time.Hour

// Permit is an entry permit on paper that somebody with the right to do so gave.
// The board only records it; it gives none.
type Permit struct {
	ID        string     `json:"id"`
	Number    string     `json:"number"`
	Place     string     `json:"place"`    // number, press or words
	Given     string     `json:"given_by"` // who gave it
	Holder    Initials   `json:"holder"`
	Attendant Initials   `json:"attendant"`
	Gas       GasReading `json:"gas"` // the reading it stands on
	GasAt     time.Time  `json:"gas_at"`
	Until     time.Time  `json:"until"`

	From    time.Time `json:"-"`
	Named   time.Time `json:"-"` // when the attendant was
	Ended   time.Time `json:"-"` // zero while it was not handed back
	EndedBy Initials  `json:"-"`
}

// Live reports whether the permit stands at now.
func (p Permit) Live(now time.Time) bool {
	return p.Ended.IsZero() && !now.Before(p.From) && now.Before(p.Until)
}

// Words is the permit in one line: "permit 17 (P3, MA, attendant BO)".
func (p Permit) Words() string {
	return fmt.Sprintf("permit %s (%s, %s, attendant %s)", p.Number, p.Place, p.Holder, p.Attendant)
}

// Inside is a person of whom a permit says that they are in a vessel.
type Inside struct {
	Who       Initials  `json:"who"`
	Place     string    `json:"place"`
	Permit    string    `json:"permit"` // id of the permit
	Number    string    `json:"number"`
	Given     string    `json:"given_by"`
	Attendant Initials  `json:"attendant"`
	Since     time.Time `json:"-"`
	Alone     time.Time `json:"-"` // since when nobody attends; zero while somebody does
}

// Stay is one person's time in a vessel, by what was written.
type Stay struct {
	Inside
	Out   time.Time // zero while nothing says that they came out
	Watch []watch   // who attended, in order
	Taken Initials  // the lead who took the entry back; it stays to be seen
}

// Permits lists all that were written, oldest first.
func (s *State) Permits() []*Permit { return slices.Clone(s.permits) }

// Stays lists the times that somebody was in a vessel, by what was written.
func (s *State) Stays() []Stay { return slices.Clone(s.stays) }

// LivePermits lists the permits that stand at now, oldest first.
func (s *State) LivePermits(now time.Time) (out []Permit) {
	for _, p := range s.permits {
		if p.Live(now) {
			out = append(out, *p)
		}
	}
	return out
}

// InVessels lists who is in a vessel by what was written, longest first.
func (s *State) InVessels() []Inside { return append([]Inside(nil), s.inside...) }

func (s *State) permit(id string) *Permit {
	for _, p := range s.permits {
		if p.ID == id {
			return p
		}
	}
	return nil
}

// openPermit finds a permit by its number that was not handed back.
func (s *State) openPermit(number string) *Permit {
	for _, p := range s.permits {
		if strings.EqualFold(p.Number, number) && p.Ended.IsZero() {
			return p
		}
	}
	return nil
}

func (d *decision) crew(who Initials, field string) error {
	if _, ok := d.s.House.Person(who); !ok {
		return reject("who", field, "{who:%q} is not on the list of people; choose from {initials}", who,
			d.s.House.initialsList())
	}
	return nil
}

// WritePermit writes down a permit that was given on paper.
type WritePermit struct {
	Head
	Number    string    `json:"number"`
	Place     string    `json:"place"`
	Given     string    `json:"given_by"` // who gave it, in words
	Holder    Initials  `json:"holder"`
	Attendant Initials  `json:"attendant"`
	Until     time.Time `json:"until"`
	// The gas reading it stands on; left out, the last one of the place.
	CO2   *float64 `json:"co2,omitempty"`
	O2    *float64 `json:"o2,omitempty"`
	Meter string   `json:"meter,omitempty"`
}

func (c *WritePermit) decide(d *decision) ([]Fact, error) {
	switch {
	case strings.TrimSpace(c.Number) == "":
		return nil, reject("permit", "number", "type the number on the paper; the board gives no permit, it only "+
			"records one")
	case strings.TrimSpace(c.Place) == "":
		return nil, reject("place", "place", "which vessel or press is it for? A permit is for one place")
	case strings.TrimSpace(c.Given) == "":
		return nil, reject("given", "given_by", "who gave it? A permit comes from somebody with the right to give one")
	}
	if old := d.s.openPermit(c.Number); old != nil {
		return nil, reject("permit", "number", "permit {number} has been live since {time} for {place}; end it first",
			old.Number, d.says(old.From), old.Place)
	}
	if err := d.crew(c.Holder, "holder"); err != nil {
		return nil, err
	}
	if err := d.crew(c.Attendant, "attendant"); err != nil {
		return nil, err
	}
	for _, x := range []struct {
		who   Initials
		field string
	}{{c.Holder, "holder"}, {c.Attendant, "attendant"}} {
		if away := d.s.away(x.who); !away.IsZero() {
			return nil, reject("away", x.field, "{who} {away}", x.who, d.s.Words(away))
		}
		if of := d.s.Watching(x.who); of != "" && x.field == "holder" {
			return nil, reject("attendant", x.field, "{who} is the attendant of {what}; the attendant stays outside",
				x.who, of)
		}
	}
	if c.Holder == c.Attendant {
		return nil, reject("attendant", "attendant", "the attendant stays outside: name somebody who does not go in")
	}
	if n := c.Until.Sub(d.at); c.Until.IsZero() || n <= 0 || n > maxPermit {
		return nil, reject("until", "until", "type the end time on the paper: after {time} and within 24 hours",
			d.says(d.at))
	}
	if ends := d.s.Shift.Ends; d.s.Shift.Ended.IsZero() && ends.After(d.at) && c.Until.After(ends) {
		return nil, reject("until", "until", "the shift ends at {time} and the attendant goes with it: the next "+
			"shift needs a permit of its own", d.says(ends))
	}
	if why := d.s.notEmpty(c.Place); !why.IsZero() {
		return nil, reject("place", "place", "no permit is saved for {place}: {why}", c.Place, d.s.Words(why))
	}
	var facts []Fact
	gas, at := GasReading{Place: c.Place, CO2: c.CO2, O2: c.O2, Meter: c.Meter}, d.at
	if c.CO2 != nil || c.O2 != nil {
		if err := d.gas(gas); err != nil {
			return nil, err
		}
		facts = append(facts, &GasRead{gas})
	} else {
		last, ok := d.s.LastGasAt(c.Place)
		if !ok {
			return nil, reject("gas", "co2", "no gas reading of {place} is saved; type what the meter showed", c.Place)
		}
		gas, at = last, last.At
		gas.At, gas.By = time.Time{}, ""
	}
	if d.s.Leave(gas) {
		if len(facts) == 0 {
			return nil, reject("gas", "co2", "{why}", d.s.Words(noPermitOnSuchAir.Say(gas.Text())))
		}
		// the others must hear of it
		return append(facts, &Stopped{Subject: d.s.where(c.Place), What: tryPermit.Say(c.Number), Rule: "H17",
			Why: noPermitOnSuchAir.Say(gas.Text())}), nil
	}
	p := Permit{ID: d.id("e"), Number: c.Number, Place: c.Place, Given: c.Given, Holder: c.Holder,
		Attendant: c.Attendant, Gas: gas, GasAt: at, Until: Instant(c.Until)}
	k := d.setClock(d.s.where(c.Place), KindPermit, NotAfter, "all-out", p.Until, onPermit.Say(c.Number))
	k.Permit = c.Number
	k.Owner = c.Attendant
	return append(facts, &PermitWritten{p}, k), nil
}

// PermitWritten is a permit on paper, recorded.
type PermitWritten struct{ Permit }

func (f *PermitWritten) apply(s *State, r Record) {
	p := f.Permit
	p.From, p.Named = r.At, r.At
	s.permits = append(s.permits, &p)
	s.bump(p.ID)
	s.log(r, s.where(p.Place), "permit {number} of {given} on paper, for {holder}, attendant {attendant}, until "+
		"{until}; {gas} at {read}", p.Number, p.Given, p.Holder, p.Attendant, p.Until, p.Gas.Text(), p.GasAt)
}

// EndPermit hands a permit back.
type EndPermit struct {
	Head
	Number string `json:"number"`
}

func (c *EndPermit) decide(d *decision) ([]Fact, error) {
	p, err := d.standing(c.Number)
	if err != nil {
		return nil, err
	}
	for _, in := range d.s.inside {
		if in.Permit == p.ID {
			return nil, reject("inside", "number", "{who} has been in {place} since {time}; save first that {who} "+
				"came out", in.Who, in.Place, d.says(in.Since))
		}
	}
	facts := []Fact{&PermitEnded{Permit: p.ID}}
	for _, k := range d.s.ClocksOf(d.s.where(p.Place)) {
		if k.Kind == KindPermit && k.Permit == p.Number {
			facts = append(facts, &ClockAnswered{Clock: k.ID, How: endPermit.Say()})
		}
	}
	return facts, nil
}

// PermitEnded is a permit handed back.
type PermitEnded struct {
	Permit string `json:"permit"`
}

func (f *PermitEnded) apply(s *State, r Record) {
	if p := s.permit(f.Permit); p != nil {
		p.Ended, p.EndedBy = r.At, r.By
		s.log(r, s.where(p.Place), "permit {number} ended", p.Number)
	}
}

var (
	_ = command[WritePermit]("permit")
	_ = command[EndPermit]("permit-end")
	_ = fact[PermitWritten]("permit-written")
	_ = fact[PermitEnded]("permit-ended")
)
