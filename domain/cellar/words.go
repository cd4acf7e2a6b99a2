package cellar

import (
	"encoding"
	"fmt"
	"time"

	"cellar.example/mustwatch/domain/contact"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/subject"
	"cellar.example/mustwatch/domain/text"
)

// Words makes a sentence of what was said, in the units and the zone of the house.
func (s *State) Words(x text.Say) string { return x.In(s) }

// Word puts a value of a text into words, as a text.Voice.
func (s *State) Word(kind, raw string) string {
	switch kind {
	case text.Time:
		if t, err := time.Parse(time.RFC3339, raw); err == nil {
			return s.Clock(t)
		}
	case "ref":
		return s.NameOf(subject.Parse(raw))
	}
	if make, known := quantities[kind]; known {
		q := make()
		if err := q.UnmarshalText([]byte(raw)); err != nil {
			return raw
		}
		if u, ok := q.(interface{ Text(quantity.System) string }); ok && kind != "rate" { // a rate is said as it was
			return u.Text(s.House.Units)
		}
	}
	return anyHouse{}.Word(kind, raw)
}

// written is a quantity that can be read from how it is written exactly.
type written interface {
	encoding.TextUnmarshaler
	fmt.Stringer
}

// quantities are the kinds of value that are shown otherwise than they are written.
var quantities = map[string]func() written{
	"volume":  func() written { return new(quantity.Volume) },
	"mass":    func() written { return new(quantity.Mass) },
	"celsius": func() written { return new(quantity.Celsius) },
	"amount":  func() written { return new(quantity.Amount) },
	"rate":    func() written { return new(quantity.Rate) },
	"bar":     func() written { return new(quantity.Bar) },
	"span":    func() written { return new(quantity.Span) },
	"wait":    func() written { return new(contact.Wait) },
}

// anyHouse says values where no house is known.
type anyHouse struct{}

// Word is the value as it is written.
func (anyHouse) Word(kind, raw string) string {
	if kind == "ref" {
		return subject.Parse(raw).String()
	}
	if make, known := quantities[kind]; known {
		if q := make(); q.UnmarshalText([]byte(raw)) == nil {
			return q.String()
		}
	}
	return raw
}

// after is words that follow others, with what stands between; nothing where there are none.
func after(between, words string) string {
	if words == "" {
		return ""
	}
	return between + words
}
