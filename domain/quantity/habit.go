package quantity

import (
	"errors"
	"strings"
)

// Habit is how a house writes quantities: the units of a number without one, and the
// sign before the decimals. The zero value is a metric house that has named no sign.
type Habit struct {
	Units   System
	Decimal Decimal
}

// Habit returns the habit of a house that has named its units and nothing else.
func (s System) Habit() Habit { return Habit{Units: s} }

// canonical is how the program itself writes: with a point, never with thousands.
var canonical = Habit{Decimal: Point}

// mark is the decimal sign that settles a number with two readings, unnamed where the
// person is asked.
func (h Habit) mark() Decimal {
	switch {
	case h.Decimal == asks:
		return unnamed
	case h.Decimal == unnamed && h.Units == US:
		return Point
	}
	return h.Decimal
}

// Decimal is the sign before the decimals, where a house names it. The other sign then
// parts thousands.
type Decimal string

// What a house may say of its decimal sign.
const (
	unnamed Decimal = ""    // numbers with two readings are asked about; in US units it is the point
	Point   Decimal = "."   // 16,200 is sixteen thousand two hundred
	Comma   Decimal = ","   // 16.200 is
	asks    Decimal = "ask" // asked about, in US units too
)

// UnmarshalText reads ".", ",", "point", "comma" or "ask"; empty text is unnamed.
func (d *Decimal) UnmarshalText(text []byte) error {
	switch s := strings.ToLower(strings.TrimSpace(string(text))); s {
	case "point":
		*d = Point
	case "comma":
		*d = Comma
	case "", ".", ",", "ask":
		*d = Decimal(s)
	default:
		return errors.New(`The decimal mark of the house is "." or ",", or "ask".`)
	}
	return nil
}

// Typed is a quantity in a file that a person writes: read as the house writes it,
// with its unit. UnmarshalText of the same types reads what the program wrote.
type Typed interface {
	ReadTyped(text string, h Habit) error
}
