package cellar

import (
	"fmt"
	"strings"
	"unicode"

	"cellar.example/mustwatch/domain/quantity"
)

// What was read and weighed when a load came can be put right like anything else.
// A net weight is what the two weights leave; what was filled with the load and
// what was dosed on its grapes follows, or is to be looked at again.

func (s *State) loadOf(seq Seq) *Load {
	for _, l := range s.Loads {
		if l.Seq == seq && seq != 0 {
			return l
		}
	}
	return nil
}

// fields are the values of a load that can be corrected.
func (l *Load) fields(sys quantity.System) (out []fieldValue) {
	if l.Gross != 0 {
		out = append(out, fieldValue{"gross", l.Gross.Full(sys)}, fieldValue{"tare", l.Tare.Full(sys)})
	} else {
		out = append(out, fieldValue{"net", l.Net.Full(sys)})
	}
	out = append(out, fieldValue{"temp", l.Temp.Full(sys)})
	for _, x := range []struct {
		name   string
		value  float64
		places int
	}{{"brix", l.Brix, 1}, {"ph", l.PH, 2}, {"rot", l.Rot, 0}} {
		if x.value != 0 {
			out = append(out, fieldValue{x.name, places(x.value, x.places)})
		}
	}
	return out
}

// with is the load with one value replaced, as typed.
func (l Load) with(field, typed string, h quantity.Habit) (Load, error) {
	var err error
	span := meterSpans[field]
	switch field {
	case "gross":
		l.Gross, err = grapesMass(typed, h)
	case "tare":
		l.Tare, err = grapesMass(typed, h)
	case "net":
		l.Net, err = grapesMass(typed, h)
	case "temp":
		l.Temp, err = h.Celsius(typed)
	case "brix":
		l.Brix, err = h.Number(typed, span.low, span.high)
	case "ph":
		l.PH, err = h.Number(typed, span.low, span.high)
	case "rot":
		l.Rot, err = h.Number(typed, span.low, span.high)
	default:
		return l, reject("field", "field", "that entry has no {field:%q}", field)
	}
	if err != nil {
		return l, reject("value", "value", "{why}", err)
	}
	if field == "gross" || field == "tare" {
		l.Net = l.Gross - l.Tare
	}
	return l, nil
}

// grapesMass reads a weight of grapes; a bare number is kg, or lb in a house of US
// units.
func grapesMass(typed string, h quantity.Habit) (quantity.Mass, error) {
	if h.Units == quantity.US && !strings.ContainsFunc(typed, unicode.IsLetter) {
		typed += " lb"
	}
	return h.Mass(typed, quantity.Kilogram)
}

// load corrects one value of a load that has come.
func (c *Correct) load(d *decision, l *Load) ([]Fact, error) {
	if c.Strike {
		return nil, reject("strike", "how", "a load that has come is not struck out: correct its weight")
	}
	sys := d.s.House.Units
	if c.Field == "at" {
		return nil, reject("field", "how", "the time of a load is not corrected here: write a note")
	}
	was := ""
	for _, f := range l.fields(sys) {
		if f.name == c.Field {
			was = f.value
		}
	}
	if was == "" {
		return nil, reject("field", "field", "that entry has no {field:%q}", c.Field)
	}
	fresh, err := l.with(c.Field, c.Value, d.s.House.Habit())
	if err != nil {
		return nil, err
	}
	if err := fresh.check(d.s.House); err != nil {
		if no, ok := err.(*Rejection); ok {
			return nil, reject(no.Code, "value", "{message}", no.Message())
		}
		return nil, err
	}
	if fresh.Net < l.In && l.In != l.Net {
		in, net := l.In.Beside(fresh.Net, sys)
		return nil, reject("value", "value", "{amount} of load {load} have been tipped already; the load cannot have weighed {net}", in, l.ID, net)
	}
	now := ""
	for _, f := range fresh.fields(sys) {
		if f.name == c.Field {
			now = f.value
		}
	}
	if now == was {
		return nil, reject("value", "value", "it says {was} already", was)
	}
	d.mend(l.Ref(), &mendTry{field: c.Field, what: "load", was: was, now: now, by: l.By, at: l.Arrived})
	return []Fact{&Corrected{Of: c.Of, Place: string(l.ID), Load: &fresh, What: "load", Field: c.Field, Was: was, Now: now, Reason: c.Reason}}, nil
}

// applyLoad puts the corrected load in place of the one that was written.
func (f *Corrected) applyLoad(s *State, r Record) {
	l := s.loadOf(f.Of)
	if l == nil {
		return
	}
	was := *l
	l.Gross, l.Tare, l.Net, l.Temp, l.Brix, l.PH, l.Rot = f.Load.Gross, f.Load.Tare, f.Load.Net, f.Load.Temp, f.Load.Brix, f.Load.PH, f.Load.Rot
	if l.Net == was.Net {
		return
	}
	if l.In == was.Net { // it went in whole
		l.In = l.Net
	}
	for _, x := range s.fills {
		if x.Load == l.ID && x.Mass == was.Net {
			x.Mass = l.Net
		}
	}
	for _, e := range s.said {
		fresh := *e
		switch x := e.Fact.(type) {
		case *Tipping:
			if x.Load != l.ID || x.Mass != was.Net {
				continue
			}
			fill := *x
			fill.Mass, fresh.Fact = l.Net, &fill
		case *Dosed:
			v := s.vessels[x.Vessel]
			if x.OnMass == 0 || v == nil || !v.Now.from(l.ID) {
				continue
			}
			dose := *x
			dose.LookAt = fmt.Sprintf("reckoned on %s of grapes before load %s was corrected", x.OnMass, l.ID)
			fresh.Fact = &dose
		default:
			continue
		}
		s.replace(r, e, &fresh)
	}
}

// from tells whether a content holds something of a load.
func (c *Content) from(id LoadID) bool {
	for _, p := range c.Parts {
		if p.Load == id {
			return true
		}
	}
	return false
}

// correctableLoads are the values of the loads that have come.
func (s *State) correctableLoads() (out []Correctable) {
	for _, l := range s.Loads {
		if l.Seq == 0 {
			continue
		}
		for _, f := range l.fields(s.House.Units) {
			out = append(out, Correctable{Of: l.Seq, At: l.Arrived, By: l.By, Place: string(l.ID), Load: l.ID, Field: f.name, Value: f.value, Says: "load", Written: l.Written})
		}
	}
	return out
}
