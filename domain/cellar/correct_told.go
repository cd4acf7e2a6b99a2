package cellar

import (
	"time"

	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/subject"
	"cellar.example/mustwatch/domain/text"
)

// MendText puts a value, kept exactly in metric units, into those of the house.
func (s *State) MendText(field, text string) string {
	switch field {
	case "volume", "dip", "holds":
		var v quantity.Volume
		if v.UnmarshalText([]byte(text)) == nil && text != "" {
			return v.Full(s.House.Units)
		}
	case "mass":
		var m quantity.Mass
		if m.UnmarshalText([]byte(text)) == nil && text != "" {
			return m.Full(s.House.Units)
		}
	case "amount", "count":
		var a quantity.Amount
		if a.UnmarshalText([]byte(text)) == nil && text != "" {
			return a.Full(s.House.Units)
		}
	case "temp":
		var c quantity.Celsius
		if c.UnmarshalText([]byte(text)) == nil && text != "" {
			return c.Full(s.House.Units)
		}
	case "at":
		if t, err := time.Parse(time.RFC3339, text); err == nil {
			return s.dayClock(t)
		}
	}
	return text
}

// tell keeps a correction for the sheet and the list of what was written.
func (f *Corrected) tell(s *State, r Record, of subject.Ref) {
	s.Mends = append(s.Mends, MendLine{Of: f.Of, Subject: of, What: f.What,
		Mend: Mend{Seq: r.Seq, At: r.At, By: r.By, Field: f.Field, Was: f.Was, Now: f.Now, Reason: f.Reason}})
	if f.TakeBack {
		s.log(r, of, "taken back: {entry}, {reason}", f.entry(), f.Reason)
		return
	}
	field := f.Field
	if field == "at" {
		field = "time"
	}
	s.log(r, of, "corrected {field_of}: {was} → {now}, {reason}", fieldOf(field, f.What, f.Inflow), s.MendText(f.Field,
		f.Was), s.MendText(f.Field, f.Now), f.Reason)
}

// entry names what was taken back, with what it said.
func (f *Corrected) entry() text.Say {
	return text.Join(", ", f.What, text.Words(f.Was))
}

// fieldOf names a field of an entry: "temp of reading", "volume in from P2".
func fieldOf(field string, what text.Say, inflow bool) text.Say {
	if inflow {
		return fieldIn.Say(field, what)
	}
	return fieldOfLine.Say(field, what)
}

var (
	fieldIn     = text.New("field-in", "{field} {line}")
	fieldOfLine = text.New("field-of", "{field} of {line}")
)
