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

// Density reads "1.089", "1,089" (1089 is the same density here), "1089"
// and degrees Oechsle ("89oe", "89 °Oe" = 1.089), to five decimals. Outside
// 0.980 to 1.200 g/mL it refuses.
func (h Habit) Density(s string) (Density, error) {
	return parseDensity(s, h, thinnest, thickest)
}

func parseDensity(s string, h Habit, low, high float64) (Density, error) {
	number, unit := splitUnit(s)
	grams, known := densityUnits[squeeze(unit)]
	if !known || len(s) > maxTyped {
		return 0, errors.New(densityWanted)
	}
	means := func(x float64) (float64, bool) {
		d := roundDecimals(grams(x), 5)
		return d, d >= low && d <= high
	}
	x, err := parseNumber(number, h, means)
	if err != nil {
		return 0, askWithUnit(err, s, unit, densityWanted)
	}
	if d, ok := means(x); ok {
		return Density(d), nil
	}
	return 0, errors.New(densityWanted)
}

// densityUnits turn a number into g/mL.
var densityUnits = map[string]func(float64) float64{
	"": perMillilitre, "g/ml": perMillilitre, "sg": perMillilitre, "kg/l": perMillilitre, "g/cm3": perMillilitre,
	"g/cm³": perMillilitre,
	"g/l":   perLitre, "kg/m3": perLitre, "kg/m³": perLitre,
	"oe": oechsle, "°oe": oechsle, "ºoe": oechsle, "oechsle": oechsle,
}

func perMillilitre(x float64) float64 {
	if x >= 100 { // 1089 for 1.089
		return x / 1000
	}
	return x
}

func perLitre(x float64) float64 { return x / 1000 }
func oechsle(x float64) float64  { return (1000 + x) / 1000 }

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

// UnmarshalText reads what the program wrote, see ReadTyped.
func (d *Density) UnmarshalText(text []byte) error { return d.ReadTyped(string(text), canonical) }

// ReadTyped reads what Habit.Density reads, from 0.5 to 2 g/mL so that a liquid product
// can be kept. Empty text is none.
func (d *Density) ReadTyped(text string, h Habit) error {
	if text == "" {
		*d = 0
		return nil
	}
	got, err := parseDensity(text, h, thinnestStored, densestSaved)
	if err == nil {
		*d = got
	}
	return err
}
