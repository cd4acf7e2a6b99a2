package cellar

import (
	"cmp"
	"strings"
	"time"

	"cellar.example/mustwatch/domain/quantity"
)

// LoadID is the number of a load, as on the weighing slip.
type LoadID string

// LoadState is where a load of grapes stands.
type LoadState string

// The states of a load.
const (
	LoadExpected LoadState = "expected"
	LoadWaiting  LoadState = "waiting"
	LoadTipping  LoadState = "tipping"
	LoadIn       LoadState = "in"
)

// Load is one load of grapes: a truck, not a press and not a tank.
type Load struct {
	ID      LoadID           `json:"load" toml:"load"`
	Variety string           `json:"variety,omitempty" toml:"variety"`
	Booked  time.Time        `json:"booked,omitzero" toml:"booked"`
	Arrived time.Time        `json:"arrived,omitzero" toml:"-"`
	Gross   quantity.Mass    `json:"gross,omitzero" toml:"-"`
	Tare    quantity.Mass    `json:"tare,omitzero" toml:"-"`
	Net     quantity.Mass    `json:"net,omitzero" toml:"net"`
	Trailer string           `json:"trailer,omitempty" toml:"-"` // its number, for the memory of its tare
	Pick    string           `json:"pick,omitempty" toml:"pick"`
	Brix    float64          `json:"brix,omitempty" toml:"-"`
	PH      float64          `json:"ph,omitempty" toml:"-"`
	Temp    quantity.Celsius `json:"temp,omitzero" toml:"-"`
	Rot     float64          `json:"rot,omitempty" toml:"-"`
	Style   Style            `json:"style,omitempty" toml:"style"`
	Route   Route            `json:"route,omitempty" toml:"route"` // how its juice is to be cleared
	To      string           `json:"to,omitempty" toml:"to"`       // planned press or vessel
	Grower  string           `json:"grower,omitempty" toml:"grower"`

	Plan Planned `json:"-" toml:"-"` // as it was booked, whatever came

	Seq     Seq       `json:"-" toml:"-"` // of its weighing
	By      Initials  `json:"-" toml:"-"`
	Written time.Time `json:"-" toml:"-"`

	State LoadState     `json:"-" toml:"-"`
	In    quantity.Mass `json:"-" toml:"-"` // what has left the trailer
	Fills []Fill        `json:"-" toml:"-"` // where it went
}

// Planned is what a load was booked as.
type Planned struct {
	Variety, Grower string
	Net             quantity.Mass // 0 where it was booked without
}

// Load finds a load by its number.
func (s *State) Load(id LoadID) (*Load, bool) {
	for _, l := range s.Loads {
		if l.ID == id {
			return l, true
		}
	}
	return nil, false
}

// BookLoad announces a load, or gives it another time.
type BookLoad struct {
	Head
	Load
}

func (c *BookLoad) decide(d *decision) ([]Fact, error) {
	if c.ID == "" {
		return nil, reject("load", "load", "give the load a number")
	}
	if c.Booked.IsZero() {
		return nil, reject("booked", "booked", "say when load {id} is expected", c.ID)
	}
	if l, ok := d.s.Load(c.ID); ok && !l.Arrived.IsZero() {
		return nil, reject("arrived", "load", "load {id} already came at {time}", c.ID, d.says(l.Arrived))
	}
	if err := c.Load.checkAhead(); err != nil {
		return nil, err
	}
	l := c.Load
	l.Booked = Instant(l.Booked)
	d.subject, d.what = loadRef(l.ID), tryLoad.Say(l.ID)
	ask(d, bookRules, &loadTry{load: &l})
	return []Fact{&LoadBooked{l}}, nil
}

// LoadBooked is a load that is expected.
type LoadBooked struct{ Load }

func (f *LoadBooked) apply(s *State, r Record) {
	was := time.Time{}
	if l, ok := s.Load(f.ID); ok {
		was = l.Booked
	}
	s.enter(r, f)
	l, _ := s.Load(f.ID)
	if !was.IsZero() && !was.Equal(l.Booked) {
		s.log(r, loadRef(f.ID), "expected {time}, was {was}", l.Booked, was)
		return
	}
	s.log(r, loadRef(f.ID), "{variety} expected {time}", l.Variety, l.Booked)
}

func (f *LoadBooked) lines(s *State, e *entry) []*line {
	return s.onLoad(e, e.At, f.ID, func(x *trailer) {
		b := Load{}
		if x.booked != nil {
			b = *x.booked
		}
		b.Booked = f.Booked
		b.fill(f.Load)
		if b.Plan.Variety, b.Plan.Grower = b.Variety, b.Grower; f.Net != 0 {
			b.Plan.Net = f.Net
		}
		x.booked = &b
	})
}

// CancelLoad says that a load that was booked does not come. Its number can be booked again.
type CancelLoad struct {
	Head
	Load   LoadID `json:"load"`
	Reason string `json:"reason"`
}

func (c *CancelLoad) decide(d *decision) ([]Fact, error) {
	l, ok := d.s.Load(c.Load)
	switch {
	case !ok:
		return nil, reject("load", "load", "no load {id:%q} is booked", c.Load)
	case !l.Arrived.IsZero():
		return nil, reject("arrived", "load", "load {id} already came at {time}", c.Load, d.saysDay(l.Arrived))
	case l.State != LoadExpected:
		return nil, reject("arrived", "load", "load {id} is being tipped: save what it weighed", c.Load)
	case strings.TrimSpace(c.Reason) == "":
		return nil, reject("reason", "reason", "say why load {id} does not come", c.Load)
	}
	return []Fact{&LoadCancelled{Load: c.Load, Reason: c.Reason}}, lengthAt("reason", c.Reason)
}

// LoadCancelled is a booking that was cancelled.
type LoadCancelled struct {
	Load   LoadID `json:"load"`
	Reason string `json:"reason"`
}

func (f *LoadCancelled) apply(s *State, r Record) {
	s.enter(r, f)
	s.log(r, loadRef(f.Load), "booking cancelled: {reason}", f.Reason)
}

func (f *LoadCancelled) lines(s *State, e *entry) []*line {
	return s.onLoad(e, e.At, f.Load, func(x *trailer) { x.booked = nil })
}

// lateFor is how long a load that has not arrived is looked for: after that it is one of
// the old things that are counted.
const lateFor = 24 * time.Hour

// Overdue reports whether a load that was booked is late by more than a day.
func (l *Load) Overdue(now time.Time) bool { return l.Late(now) > lateFor }

// fill takes over the particulars that from names.
func (l *Load) fill(from Load) {
	for _, p := range []struct{ to, from *string }{{&l.Variety, &from.Variety}, {&l.Pick, &from.Pick},
		{&l.Trailer, &from.Trailer}, {&l.To, &from.To}, {&l.Grower, &from.Grower}} {
		if *p.from != "" {
			*p.to = *p.from
		}
	}
	if from.Net != 0 {
		l.Net = from.Net
	}
	l.Style, l.Route = cmp.Or(from.Style, l.Style), cmp.Or(from.Route, l.Route)
}

// WeighLoad takes in a load at the weighbridge.
type WeighLoad struct {
	Head
	Load
}

func (c *WeighLoad) decide(d *decision) ([]Fact, error) {
	l, tipped := c.Load, quantity.Mass(0)
	if l.ID == "" {
		return nil, reject("load", "load", "give the load a number")
	}
	if old, ok := d.s.Load(l.ID); ok {
		if !old.Arrived.IsZero() {
			return nil, reject("double", "load", "load {load} was already weighed at {time}", l.ID,
				d.says(old.Arrived))
		}
		if l.Variety == "" {
			l.Variety = old.Variety
		}
		tipped = old.said()
	}
	if l.Variety == "" {
		return nil, reject("variety", "variety", "which variety is load {load}?", l.ID)
	}
	if l.Gross != 0 || l.Tare != 0 {
		l.Net = l.Gross - l.Tare
	}
	if err := l.check(d.s.House); err != nil {
		return nil, err
	}
	if l.Net < tipped {
		in, net := tipped.Beside(l.Net, d.s.House.Units)
		return nil, reject("net", "gross", "{amount} of load {load} is tipped already; the load cannot weigh {net}", in,
			l.ID, net)
	}
	l.Arrived = d.at
	d.subject, d.what = l.Ref(), tryLoad.Say(l.ID)
	ask(d, loadRules, &loadTry{&l})
	return []Fact{&LoadWeighed{l}}, nil
}

// check refuses what no load of grapes weighs or is.
func (l *Load) check(h House) error {
	most, sys := h.Limits.LoadMost, h.Units
	switch least, cold, hot := 50*quantity.Kilogram, quantity.Celsius(-2), quantity.Celsius(45); {
	case l.Net <= 0:
		return reject("net", "tare", "gross {gross} less tare {tare} leaves nothing; are the two swapped?",
			l.Gross.Text(sys), l.Tare.Text(sys))
	case l.Net < least || l.Net > most:
		return reject("net", "gross", "a net weight of {net} cannot be; type {least} to {most} (the house limit of "+
			"a trailer)", l.Net.Full(sys), least.Text(sys), most.Load(sys))
	case l.Brix != 0 && (l.Brix < 5 || l.Brix > 45):
		return reject("brix", "brix", "grapes at {brix} °Brix cannot be; type 5 to 45", l.Brix)
	case l.PH != 0 && (l.PH < 2.5 || l.PH > 4.5):
		return reject("ph", "ph", "grapes at pH {ph} cannot be; type 2.5 to 4.5", l.PH)
	case l.Temp < cold || l.Temp > hot:
		return reject("temp", "temp", "grapes at {temp} cannot be; type {cold} to {hot}", l.Temp.Full(sys),
			cold.Text(sys), hot.Text(sys))
	case l.Rot < 0 || l.Rot > 100:
		return reject("rot", "rot", "type rot as 0 to 100 %")
	}
	return l.checkAhead()
}

// LoadWeighed is a load that has come and been weighed.
type LoadWeighed struct{ Load }

func (f *LoadWeighed) apply(s *State, r Record) {
	s.enter(r, f)
	l, _ := s.Load(f.ID)
	s.log(r, loadRef(f.ID), "{variety} weighed, {net} net", l.Variety, inWords(s, l.Net))
}

// lines puts what a load weighs before all that became of it: it weighed that also when
// it was tipped before anybody wrote its ticket.
func (f *LoadWeighed) lines(s *State, e *entry) []*line {
	t := f.Load
	t.Arrived, t.Seq, t.By, t.Written = e.At, e.Seq, e.By, e.Written
	return s.onLoad(e, time.Time{}, f.ID, func(x *trailer) { x.ticket = &t })
}

// LastTare is what a trailer last weighed empty, and the load that it had brought;
// ok is false where it has not been weighed.
func (s *State) LastTare(trailer string) (last *Load, ok bool) {
	for _, l := range s.Loads {
		if trailer != "" && strings.EqualFold(l.Trailer, trailer) && l.Tare > 0 && (last == nil ||
			l.Arrived.After(last.Arrived)) {
			last = l
		}
	}
	return last, last != nil
}

// Waits is how long a load has been standing at now; zero when it is not.
func (l *Load) Waits(now time.Time) time.Duration {
	if l.State != LoadWaiting {
		return 0
	}
	return now.Sub(l.Arrived)
}

// Late is how long an expected load is overdue at now; zero when it is not.
func (l *Load) Late(now time.Time) time.Duration {
	if l.State != LoadExpected || !now.After(l.Booked) {
		return 0
	}
	return now.Sub(l.Booked)
}

var (
	_ = command[BookLoad]("book")
	_ = command[CancelLoad]("book-cancel")
	_ = command[WeighLoad]("load")
	_ = fact[LoadBooked]("load-booked")
	_ = fact[LoadCancelled]("load-cancelled")
	_ = fact[LoadWeighed]("load-weighed")
)
