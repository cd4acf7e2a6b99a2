package quantity

import (
	"errors"
	"math"
)

// NTU is a turbidity in nephelometric turbidity units, whole.
type NTU int

// PH is a pH.
type PH float64

// Brix is a sugar content in °Brix, per cent by mass.
type Brix float64

// Bar is a pressure above that of the air, in bar.
type Bar float64

// Percent is a share in hundredths: 5.5 is 5.5 %.
type Percent float64

// psiPerBar comes from the exact pound and inch: 1 psi = 6.894757293 kPa (from
// memory; unit factor table, 14.503774).
const psiPerBar = 14.503773773

// In reads a number with one of some units, by their sizes; "" is the size of a
// number without one. What is refused is answered with wanted.
func (h Habit) In(s string, units map[string]float64, low, high float64, wanted string) (float64, error) {
	number, unit := splitUnit(s)
	size, ok := units[squeeze(unit)]
	if !ok || len(s) > maxTyped {
		return 0, errors.New(wanted)
	}
	x, err := h.Number(number, low/size, high/size)
	if err != nil {
		return 0, askWithUnit(err, s, unit, wanted)
	}
	if x *= size; x < low || x > high {
		return 0, errors.New(wanted)
	}
	return x, nil
}

// meter reads a number off a meter; none is 0.
func meter(text string, h Habit, units map[string]float64, low, high float64, wanted string) (float64, error) {
	if text == "" {
		return 0, nil
	}
	return h.In(text, units, low, high, wanted)
}

// String returns "120 NTU".
func (n NTU) String() string { return exact(int64(n), 0) + " NTU" }

// MarshalText returns the canonical text.
func (n NTU) MarshalText() ([]byte, error) { return []byte(n.String()), nil }

// UnmarshalText reads what the program wrote, see ReadTyped.
func (n *NTU) UnmarshalText(text []byte) error { return n.ReadTyped(string(text), canonical) }

// ReadTyped reads 0 to 9999 NTU, rounded to a whole number; empty text is 0.
func (n *NTU) ReadTyped(text string, h Habit) error {
	x, err := meter(text, h, map[string]float64{"": 1, "ntu": 1}, 0, 9999,
		"Type the turbidity in NTU, from 0 to 9999, such as 150.")
	if err == nil {
		*n = NTU(math.Round(x))
	}
	return err
}

// String returns the pH with two decimals or as many as it has: "3.25".
func (p PH) String() string { return shortest(float64(p), 2) }

// MarshalText returns the canonical text; a number that is none is an error.
func (p PH) MarshalText() ([]byte, error) { return finiteText(float64(p), p.String()) }

// UnmarshalText reads what the program wrote, see ReadTyped.
func (p *PH) UnmarshalText(text []byte) error { return p.ReadTyped(string(text), canonical) }

// ReadTyped reads 0 to 14; empty text is 0.
func (p *PH) ReadTyped(text string, h Habit) error {
	x, err := meter(text, h, map[string]float64{"": 1, "ph": 1}, 0, 14, "Type the pH, from 0 to 14, such as 3.25.")
	if err == nil {
		*p = PH(x)
	}
	return err
}

// String returns "21.5 °Brix", one decimal or as many as it has.
func (b Brix) String() string { return shortest(float64(b), 1) + " °Brix" }

// MarshalText returns the canonical text; a number that is none is an error.
func (b Brix) MarshalText() ([]byte, error) { return finiteText(float64(b), b.String()) }

// UnmarshalText reads what the program wrote, see ReadTyped.
func (b *Brix) UnmarshalText(text []byte) error { return b.ReadTyped(string(text), canonical) }

// ReadTyped reads -10 to 80 °Brix (a spindle in finished wine reads below
// zero); empty text is 0.
func (b *Brix) ReadTyped(text string, h Habit) error {
	units := map[string]float64{"": 1, "°brix": 1, "ºbrix": 1, "brix": 1, "°bx": 1, "bx": 1, "°": 1}
	x, err := meter(text, h, units, -10, 80, "Type the sugar in °Brix, from -10 to 80, such as 21.5.")
	if err == nil {
		*b = Brix(x)
	}
	return err
}

// String returns "5.5 bar", one decimal or as many as it has.
func (b Bar) String() string { return shortest(float64(b), 1) + " bar" }

// Text returns the pressure for a screen: "5.5 bar" or "80 psi".
func (b Bar) Text(sys System) string {
	if sys == US {
		return fixed(float64(b)*psiPerBar, 0) + " psi"
	}
	return fixed(float64(b), 1) + " bar"
}

// MarshalText returns the canonical text; a number that is none is an error.
func (b Bar) MarshalText() ([]byte, error) { return finiteText(float64(b), b.String()) }

// UnmarshalText reads what the program wrote, see ReadTyped.
func (b *Bar) UnmarshalText(text []byte) error { return b.ReadTyped(string(text), canonical) }

// ReadTyped reads -1 (a vacuum) to 100 bar, and psi and kPa by suffix; a
// bare number is bar, empty text is 0.
func (b *Bar) ReadTyped(text string, h Habit) error {
	units := map[string]float64{"": 1, "bar": 1, "mbar": 0.001, "psi": 1 / psiPerBar, "kpa": 0.01}
	x, err := meter(text, h, units, -1, 100, "Type the pressure in bar, such as 5.5, or as 80 psi or 550 kPa.")
	if err == nil {
		*b = Bar(x)
	}
	return err
}

// String returns "5.5 %", in the fewest digits.
func (p Percent) String() string { return shortest(float64(p), 0) + " %" }

// MarshalText returns the canonical text; a number that is none is an error.
func (p Percent) MarshalText() ([]byte, error) { return finiteText(float64(p), p.String()) }

// UnmarshalText reads what the program wrote, see ReadTyped.
func (p *Percent) UnmarshalText(text []byte) error { return p.ReadTyped(string(text), canonical) }

// ReadTyped reads -1000 to 1000 %, for a share may be of less than was
// there; empty text is 0.
func (p *Percent) ReadTyped(text string, h Habit) error {
	x, err := meter(text, h, map[string]float64{"": 1, "%": 1, "percent": 1}, -1000, 1000,
		"Type the share in per cent, such as 5.5.")
	if err == nil {
		*p = Percent(x)
	}
	return err
}
