package text

import (
	"encoding"
	"fmt"

	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/subject"
)

// Exact is the voice that says every quantity as it was given, and a subject by its name alone.
type Exact struct{}

// Word implements Voice.
func (Exact) Word(kind, raw string) string {
	if kind == "ref" {
		return subject.Parse(raw).String()
	}
	if q := read(kind, raw); q != nil {
		return q.String()
	}
	return raw
}

// Units is the voice that says quantities in a system of units, rounded as people say them. A rate is said as it
// was given.
type Units quantity.System

// Word implements Voice.
func (u Units) Word(kind, raw string) string {
	q := read(kind, raw)
	if x, ok := q.(interface{ Text(quantity.System) string }); ok && kind != "rate" {
		return x.Text(quantity.System(u))
	}
	return Exact{}.Word(kind, raw)
}

// written is a quantity that can be read from how it is written exactly.
type written interface {
	encoding.TextUnmarshaler
	fmt.Stringer
}

func read(kind, raw string) written {
	make, known := quantities[kind]
	if !known {
		return nil
	}
	q := make()
	if err := q.UnmarshalText([]byte(raw)); err != nil {
		return nil
	}
	return q
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
	"wait":    func() written { return new(quantity.Span) },
}
