package quantity

import (
	"errors"
	"strings"
)

// Volume is a whole number of microlitres, at the temperature at which it was read:
// a tank is read to the litre, and a dose for a trial is half a millilitre.
type Volume int64

// Sizes of a volume.
const (
	Millilitre Volume = 1000
	Litre      Volume = 1_000_000
	Hectolitre Volume = 100_000_000
)

// millilitres in a gallon: the US one is exactly 231 cubic inches, the imperial
// one exactly 4.54609 L.
const (
	mlPerUSGal  = 3785.411784
	mlPerImpGal = 4546.09
	mlPerFlOz   = 29.5735295625 // US, one 128th of the gallon

	usGallon  = mlPerUSGal * float64(Millilitre)
	impGallon = mlPerImpGal * float64(Millilitre)
)

// HL makes a volume of x hectolitres, to the nearest millilitre: nothing that is counted
// in hectolitres is known better. NaN gives 0.
func HL(x float64) Volume {
	return Volume(clampCount(toCount(x*float64(Hectolitre/Millilitre)) * int64(Millilitre)))
}

// HL returns hectolitres.
func (v Volume) HL() float64 { return float64(v) / float64(Hectolitre) }

// Litres returns litres.
func (v Volume) Litres() float64 { return float64(v) / float64(Litre) }

// String returns the exact canonical text in hectolitres: "192 hL",
// "3.50123 hL".
func (v Volume) String() string { return exact(int64(v), 8) + " hL" }

// Text returns the volume for a screen. Below 10 L, where it is measured in a
// pipette, a cylinder or a jug, it is "1.4 mL", "392 mL" or "3.89 L" in either house;
// above, "0.25 hL", "192.0 hL" or "5072 gal". Nothing is "0.0 hL" or "0 gal".
func (v Volume) Text(sys System) string {
	size := abs64(int64(v))
	small := roundTo(size, v.step())
	switch {
	case size > 0 && small == 0: // less than is measured, yet not nothing
		return exact(int64(v), 3) + " mL"
	case size > 0 && small < int64(Litre):
		return exact(roundTo(int64(v), v.step()), 3) + " mL"
	case size > 0 && roundTo(size, jug) < 10*int64(Litre):
		return fixed(float64(roundTo(int64(v), jug))/float64(Litre), 2) + " L"
	case sys == US:
		gal := float64(v) / usGallon
		if size > 0 && gal > -100 && gal < 100 {
			return fixed(gal, 1) + " gal"
		}
		return fixed(gal, 0) + " gal"
	}
	tenths := roundTo(int64(v), 10*int64(Litre))
	if 40*abs64(int64(v)-tenths) > size { // a quarter of a hectolitre is not three tenths
		return fixed(float64(roundTo(int64(v), int64(Litre)))/float64(Hectolitre), 2) + " hL"
	}
	return fixed(float64(tenths)/float64(Hectolitre), 1) + " hL"
}

// jug is the step to which more than a litre is read.
const jug = 10 * int64(Millilitre)

// step is how finely a volume is shown, so that from 0.2 mL on no rounding hides more
// than a fortieth of it.
func (v Volume) step() int64 {
	switch size := abs64(int64(v)); {
	case size < 2*int64(Millilitre):
		return int64(Millilitre) / 100
	case size < 20*int64(Millilitre):
		return int64(Millilitre) / 10
	}
	return int64(Millilitre)
}

var volumeUnits = map[string]float64{
	"kl": 10 * float64(Hectolitre), "hl": float64(Hectolitre), "hectolitre": float64(Hectolitre),
	"hectolitres": float64(Hectolitre),
	"l":           float64(Litre), "litre": float64(Litre), "litres": float64(Litre), "liter": float64(Litre),
	"liters": float64(Litre),
	"ml":     float64(Millilitre), "millilitre": float64(Millilitre), "millilitres": float64(Millilitre),
	"usgal": usGallon, "usgals": usGallon, "usgallon": usGallon, "usgallons": usGallon,
	"impgal": impGallon, "impgals": impGallon, "imperialgal": impGallon, "imperialgallon": impGallon,
	"imperialgallons": impGallon,
}

// largestTank bounds what a number with two readings can mean: no tank
// of a winery holds 20 000 hL (from memory), so 138.125 hL is not 138125 hL.
const largestTank = 20_000 * float64(Hectolitre)

// Volume reads a volume of zero or more. A bare number is hL in a metric
// house and US gal in a US one; "hL", "L", "mL", "US gal" and "imp gal" may be
// written. "gal" is taken in a US house and is an *AskError in a metric one, for
// the gallons of two countries differ by a fifth.
func (h Habit) Volume(s string) (Volume, error) {
	v, err := parseVolume(s, h)
	if err == nil && v < 0 {
		return 0, errors.New("Type a volume of zero or more, " + volumeExamples(h.Units) + ".")
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
		size, known = usGallon, true
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
	if n := x * size; n > maxCount || n < -maxCount {
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
// rounded, to the millilitre in older journals: figures typed in gallons seldom come
// out even.
const roundings = 10 * Millilitre

// Whole is a volume to the nearest millilitre: what fills a tank is known no better, and
// in whole ones its shares add up in every unit they are given in.
func (v Volume) Whole() Volume {
	return Volume(roundTo(int64(v), int64(Millilitre)))
}

// Settled is a difference of typed volumes without what their rounding left over.
func (v Volume) Settled() Volume {
	if v > -roundings && v < roundings {
		return 0
	}
	return v
}
