package quantity

import (
	"errors"
	"math/bits"
)

// Amount is how much of a product: a mass of powder or a volume of liquid.
// Exactly one of the two is set; the zero value is none.
type Amount struct {
	Mass   Mass
	Volume Volume
}

// IsZero says whether there is none.
func (a Amount) IsZero() bool { return a == Amount{} }

// Negative says whether it is less than none.
func (a Amount) Negative() bool { return a.Mass < 0 || a.Volume < 0 }

// Liquid says whether the amount is a volume.
func (a Amount) Liquid() bool { return a.Volume != 0 }

// String returns the exact canonical text: a mass as Mass writes it, a volume as
// "392 mL" below 1 L and "3.84 L" from there on. None is empty.
func (a Amount) String() string {
	switch {
	case a.IsZero():
		return ""
	case !a.Liquid():
		return a.Mass.String()
	case a.Volume > -Litre && a.Volume < Litre:
		return exact(int64(a.Volume), 3) + " mL"
	}
	return exact(int64(a.Volume), 6) + " L"
}

// Text returns the amount for a screen. Liquids are mL below 1 L, then L to
// 10 mL, and from 10 L on "60 L" or, in a US house, "15.9 gal". None is "0 g".
func (a Amount) Text(sys System) string {
	size := roundTo(abs64(int64(a.Volume)), jug)
	switch {
	case !a.Liquid():
		return a.Mass.Text(sys)
	case size < 10*int64(Litre):
		return a.Volume.Text(sys)
	case sys == US:
		return fixed(float64(a.Volume)/usGallon, 1) + " gal"
	}
	return trimZeros(fixed(float64(roundTo(int64(a.Volume), 10*jug))/float64(Litre), 1)) + " L"
}

// Stock returns what there is left of a product for a screen; none is "0".
func (a Amount) Stock(sys System) string {
	if a.IsZero() {
		return "0"
	}
	return a.Text(sys)
}

// Add returns the sum. A mass and a volume have no sum: then the first is
// returned as it was.
func (a Amount) Add(b Amount) Amount {
	if !a.IsZero() && !b.IsZero() && a.Liquid() != b.Liquid() {
		return a
	}
	return Amount{
		Mass:   Mass(addCounts(int64(a.Mass), int64(b.Mass))),
		Volume: Volume(addCounts(int64(a.Volume), int64(b.Volume))),
	}
}

// Sub returns the difference, which may be less than none. A volume cannot be
// taken from a mass: then the first is returned as it was.
func (a Amount) Sub(b Amount) Amount {
	return a.Add(Amount{Mass: -b.Mass, Volume: -b.Volume})
}

// Share returns what of the amount is in a part of a whole that it is spread over evenly,
// to the nearest milligram or microlitre: all of it in the whole, and in more.
func (a Amount) Share(part, whole int64) Amount {
	return Amount{Mass: Mass(share(int64(a.Mass), part, whole)), Volume: Volume(share(int64(a.Volume), part, whole))}
}

func share(n, part, whole int64) int64 {
	switch {
	case part >= whole:
		return n
	case part <= 0:
		return 0
	case n < 0:
		return -share(-n, part, whole)
	}
	hi, lo := bits.Mul64(uint64(n), uint64(part))
	out, rest := bits.Div64(hi, lo, uint64(whole))
	if rest >= uint64(whole)-rest {
		out++
	}
	return int64(out)
}

// Amount reads how much of a product was weighed or measured, zero or
// more. A bare number is mL when the product is liquid and g when not; a unit of
// the other kind is refused.
func (h Habit) Amount(s string, liquid bool) (Amount, error) {
	a, err := parseAmount(s, h, liquid)
	if err == nil && a.Negative() {
		return Amount{}, errors.New(amountWanted(liquid))
	}
	return a, err
}

func amountWanted(liquid bool) string {
	if liquid {
		return "This product is a liquid: type it as 392 (mL), 392 mL or 3.84 L."
	}
	return "This product is weighed: type it as 156 (g), 156 g or 2.5 kg."
}

func parseAmount(s string, h Habit, liquid bool) (Amount, error) {
	number, unit := splitUnit(s)
	if unit == "" {
		unit = map[bool]string{true: "mL", false: "g"}[liquid]
	}
	if poured(unit) != liquid {
		return Amount{}, errors.New(amountWanted(liquid))
	}
	if liquid {
		v, err := parseVolume(number+" "+unit, h)
		return Amount{Volume: v}, err
	}
	m, err := parseMass(number+" "+unit, h, Gram)
	return Amount{Mass: m}, err
}

// poured says whether a unit is one of volume.
func poured(unit string) bool {
	_, ok := volumeUnits[squeeze(unit)]
	return ok || plainGallon(unit)
}

// MarshalText returns the canonical text, as it can be typed again; none is empty text, and an amount with
// both a mass and a volume is an error.
func (a Amount) MarshalText() ([]byte, error) {
	if a.Mass != 0 && a.Volume != 0 {
		return nil, errors.New("An amount is either weighed or poured, not both.")
	}
	return []byte(ToType(a.String())), nil
}

// UnmarshalText reads what the program wrote, see ReadTyped.
func (a *Amount) UnmarshalText(text []byte) error { return a.ReadTyped(string(text), canonical) }

// ReadTyped reads a mass or a volume by its unit, minus ones included. A bare number is
// asked about; empty text is none.
func (a *Amount) ReadTyped(text string, h Habit) error {
	if text == "" {
		*a = Amount{}
		return nil
	}
	if bare(text) {
		return unitless(text, " g", " mL")
	}
	_, unit := splitUnit(text)
	got, err := parseAmount(text, h, poured(unit))
	if err == nil {
		*a = got
	}
	return err
}
