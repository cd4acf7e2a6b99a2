package cellar

import (
	"strings"
	"unicode"

	"cellar.example/mustwatch/domain/quantity"
)

// What was read and weighed when a load came can be corrected like anything else.
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
	sys := d.s.House.Units
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
	if in := l.said(); fresh.Net < in {
		in, net := in.Beside(fresh.Net, sys)
		return nil, reject("value", "value", "{amount} of load {load} have been tipped already; the load cannot "+
			"have weighed {net}", in, l.ID, net)
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
	f := &Corrected{Of: c.Of, Place: string(l.ID), Load: &fresh, What: lineTicket.Say(), Field: c.Field, Was: was,
		Now: now, Reason: c.Reason}
	d.draftOf(f)
	d.mend(l.Ref(), &mendTry{field: c.Field, what: lineTicket.Say(), was: was, now: now, by: l.By, at: l.Arrived})
	return []Fact{f}, nil
}

// corrected is a ticket with one value as it should have been.
func (f *LoadWeighed) corrected(field string, now *Load) *LoadWeighed {
	x := *f
	switch field {
	case "gross":
		x.Gross = now.Gross
	case "tare":
		x.Tare = now.Tare
	case "net":
		x.Net = now.Net
	case "temp":
		x.Temp = now.Temp
	case "brix":
		x.Brix = now.Brix
	case "ph":
		x.PH = now.PH
	case "rot":
		x.Rot = now.Rot
	}
	if field == "gross" || field == "tare" {
		x.Net = x.Gross - x.Tare
	}
	return &x
}

// correctableLoads are the values of the loads that have come.
func (s *State) correctableLoads(seq Seq) (out []Correctable) {
	if l := s.loadOf(seq); l != nil {
		for _, f := range l.fields(s.House.Units) {
			out = append(out, Correctable{Of: l.Seq, At: l.Arrived, By: l.By, Place: string(l.ID), Load: l.ID,
				Field: f.name, Value: f.value, Says: "load", Written: l.Written})
		}
	}
	return out
}
