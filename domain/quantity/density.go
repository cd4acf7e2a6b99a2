package quantity

import "errors"

// Density is a density in g/mL at 20 °C as cellars write it, "1.089"; the
// relative density 20/20 differs from it by less than they read.
type Density float64

// The hard range of juice and wine (data sheet of the house), and the wider one
// in which the journal may hold a liquid product.
const (
	thinnest, thickest           = 0.980, 1.200
	thinnestStored, densestSaved = 0.500, 2.000
)

const densityWanted = "Type a density such as 1.089, 1089 or 89 oe, between 0.980 and 1.200."

// ParseDensity reads "1.089", "1,089" (here a comma is always decimal), "1089"
// and degrees Oechsle ("89oe", "89 °Oe" = 1.089), to five decimals. Outside
// 0.980 to 1.200 g/mL it refuses.
func ParseDensity(s string) (Density, error) {
	return parseDensity(s, thinnest, thickest)
}

func parseDensity(s string, low, high float64) (Density, error) {
	number, unit := splitUnit(s)
	x, err := parseNumber(number, true)
	if err != nil || len(s) > maxTyped {
		return 0, askWithUnit(err, s, unit, densityWanted)
	}
	switch squeeze(unit) {
	case "", "g/ml", "sg", "kg/l", "g/cm3", "g/cm³":
		if x >= 100 {
			x /= 1000
		}
	case "g/l", "kg/m3", "kg/m³":
		x /= 1000
	case "oe", "°oe", "ºoe", "oechsle":
		x = (1000 + x) / 1000
	default:
		return 0, errors.New(densityWanted)
	}
	x = roundDecimals(x, 5)
	if x < low || x > high {
		return 0, errors.New(densityWanted)
	}
	return Density(x), nil
}

// String returns the density with three decimals, more when it has them, and
// "?" when there is none.
func (d Density) String() string {
	if !(d > 0) {
		return unknown
	}
	return shortest(float64(d), 3)
}

// MarshalText returns the canonical text; no density is empty text.
func (d Density) MarshalText() ([]byte, error) {
	if d == 0 {
		return []byte{}, nil
	}
	return finiteText(float64(d), d.String())
}

// UnmarshalText reads what ParseDensity reads, from 0.5 to 2 g/mL so that a
// liquid product can be kept. Empty text is none.
func (d *Density) UnmarshalText(text []byte) error {
	if len(text) == 0 {
		*d = 0
		return nil
	}
	got, err := parseDensity(string(text), thinnestStored, densestSaved)
	if err == nil {
		*d = got
	}
	return err
}
