package quantity

import (
	"errors"
	"strings"
)

// Volume is a whole number of millilitres, at the temperature at which it was
// read.
type Volume int64

// Sizes of a volume.
const (
	Millilitre Volume = 1
	Litre      Volume = 1000
	Hectolitre Volume = 100_000
)

// millilitres in a gallon: the US one is exactly 231 cubic inches, the imperial
// one exactly 4.54609 L.
const (
	mlPerUSGal  = 3785.411784
	mlPerImpGal = 4546.09
	mlPerFlOz   = 29.5735295625 // US, one 128th of the gallon
)

// HL makes a volume of x hectolitres, to the nearest millilitre. NaN gives 0.
func HL(x float64) Volume { return Volume(toCount(x * float64(Hectolitre))) }

// HL returns hectolitres.
func (v Volume) HL() float64 { return float64(v) / float64(Hectolitre) }

// Litres returns litres.
func (v Volume) Litres() float64 { return float64(v) / float64(Litre) }

// String returns the exact canonical text in hectolitres: "192 hL",
// "3.50123 hL".
func (v Volume) String() string { return exact(int64(v), 5) + " hL" }

// Text returns the volume for a screen. Below 10 L, where it is measured in a
// cylinder or a jug, it is "392 mL" or "3.89 L" in either house; above,
// "192.0 hL" or "5072 gal". Nothing is "0.0 hL" or "0 gal".
func (v Volume) Text(sys System) string {
	size := abs64(int64(v))
	switch {
	case size > 0 && size < int64(Litre):
		return exact(int64(v), 0) + " mL"
	case size > 0 && roundTo(size, 10) < 10*int64(Litre):
		return fixed(float64(roundTo(int64(v), 10))/float64(Litre), 2) + " L"
	case sys == US:
		gal := float64(v) / mlPerUSGal
		if size > 0 && gal > -100 && gal < 100 {
			return fixed(gal, 1) + " gal"
		}
		return fixed(gal, 0) + " gal"
	}
	return fixed(float64(roundTo(int64(v), 10*int64(Litre)))/float64(Hectolitre), 1) + " hL"
}

var volumeUnits = map[string]float64{
	"hl": float64(Hectolitre), "hectolitre": float64(Hectolitre), "hectolitres": float64(Hectolitre),
	"l": float64(Litre), "litre": float64(Litre), "litres": float64(Litre), "liter": float64(Litre), "liters": float64(Litre),
	"ml": 1, "millilitre": 1, "millilitres": 1,
	"usgal": mlPerUSGal, "usgals": mlPerUSGal, "usgallon": mlPerUSGal, "usgallons": mlPerUSGal,
	"impgal": mlPerImpGal, "impgals": mlPerImpGal, "imperialgal": mlPerImpGal, "imperialgallon": mlPerImpGal, "imperialgallons": mlPerImpGal,
}

// largestTank bounds what a number with two readings can mean, in millilitres: no tank
// of a winery holds 20 000 hL (from memory), so 138.125 hL is not 138125 hL.
const largestTank = 20_000 * float64(Hectolitre)

// Volume reads a volume of nought or more. A bare number is hL in a metric
// house and US gal in a US one; "hL", "L", "mL", "US gal" and "imp gal" may be
// written. "gal" is taken in a US house and is an *AskError in a metric one, for
// the gallons of two countries differ by a fifth.
func (h Habit) Volume(s string) (Volume, error) {
	v, err := parseVolume(s, h)
	if err == nil && v < 0 {
		return 0, errors.New("A volume is nought or more, " + volumeExamples(h.Units) + ".")
	}
	return v, err
}

func volumeExamples(sys System) string {
	if sys == US {
		return "such as 5072 (gal), 192 hL, 600 L or 392 mL"
	}
	return "such as 192 (hL), 600 L, 392 mL or 600 US gal"
}

func parseVolume(s string, h Habit) (Volume, error) {
	sys := h.Units
	number, unit := splitUnit(s)
	size, known := volumeUnits[squeeze(unit)]
	gallon := plainGallon(unit)
	switch {
	case gallon, unit == "" && sys == US:
		size, known = mlPerUSGal, true
	case unit == "":
		size, known = float64(Hectolitre), true
	}
	if !known || len(s) > maxTyped {
		return 0, errors.New("Type a volume " + volumeExamples(sys) + ".")
	}
	x, err := parseNumber(number, h, func(x float64) (float64, bool) {
		return x * size, x*size >= -largestTank && x*size <= largestTank
	})
	if err != nil {
		return 0, askWithUnit(err, s, unit, "Type a volume "+volumeExamples(sys)+".")
	}
	if gallon && sys != US {
		n := shortest(x, 0)
		return 0, newAsk(strings.TrimSpace(s), n+" US gal", n+" imp gal")
	}
	if ml := x * size; ml > maxCount || ml < -maxCount {
		return 0, errors.New("That is more than any cellar holds: type a volume " + volumeExamples(sys) + ".")
	}
	return Volume(toCount(x * size)), nil
}

// plainGallon says whether a unit is a gallon of no country.
func plainGallon(unit string) bool {
	switch squeeze(unit) {
	case "gal", "gals", "gallon", "gallons":
		return true
	}
	return false
}

// MarshalText returns the canonical text, as it can be typed again.
func (v Volume) MarshalText() ([]byte, error) { return []byte(ToType(v.String())), nil }

// UnmarshalText reads what the program wrote, see ReadTyped.
func (v *Volume) UnmarshalText(text []byte) error { return v.ReadTyped(string(text), canonical) }

// ReadTyped reads what Habit.Volume reads, and minus volumes (a balance may be short). A
// bare number is asked about; empty text is 0.
func (v *Volume) ReadTyped(text string, h Habit) error {
	if text == "" {
		*v = 0
		return nil
	}
	if bare(text) {
		return unitless(text, " hL", " US gal")
	}
	got, err := parseVolume(text, h)
	if err == nil {
		*v = got
	}
	return err
}

// roundings is what the sum of a few volumes may be off by because each was
// rounded to the millilitre: figures typed in gallons seldom come out even.
const roundings = 10 * Millilitre

// Settled is a difference of typed volumes without what their rounding left over.
func (v Volume) Settled() Volume {
	if v > -roundings && v < roundings {
		return 0
	}
	return v
}
