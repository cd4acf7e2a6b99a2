package quantity

import (
	"errors"
	"math/big"
	"strconv"
	"strings"
)

// RateUnit is the unit of a dose as it stands on a label.
type RateUnit string

// The units of a dose. Gallons are US gallons, tonnes are 1000 kg and short tons
// 2000 lb.
const (
	GPerHL          RateUnit = "g/hL"
	MgPerL          RateUnit = "mg/L"
	MLPerHL         RateUnit = "mL/hL"
	LbPer1000Gal    RateUnit = "lb/1000 gal"
	OzPer1000Gal    RateUnit = "oz/1000 gal"
	GPer100Kg       RateUnit = "g/100 kg"
	GPerT           RateUnit = "g/t"
	MLPerT          RateUnit = "mL/t"
	LbPerShortTon   RateUnit = "lb/short ton"
	FlOzPerShortTon RateUnit = "fl oz/short ton"
)

// unitFacts holds, for each unit, its basis, its kind and its size as an exact
// fraction of the base of its group: mg/L, mL/hL, g/t or mL/t.
type unitFacts struct {
	grapes, liquid bool
	num, den       string
}

// Sizes follow from the exact definitions of the pound (453.59237 g), the ounce
// (28.349523125 g), the US gallon (3.785411784 L) and the US fluid ounce
// (29.5735295625 mL), all from memory of the international agreement of 1959.
var rateUnits = map[RateUnit]unitFacts{
	MgPerL:          {num: "1", den: "1"},
	GPerHL:          {num: "10", den: "1"},
	LbPer1000Gal:    {num: "453592.37", den: "3785.411784"},
	OzPer1000Gal:    {num: "28349.523125", den: "3785.411784"},
	MLPerHL:         {liquid: true, num: "1", den: "1"},
	GPerT:           {grapes: true, num: "1", den: "1"},
	GPer100Kg:       {grapes: true, num: "10", den: "1"},
	LbPerShortTon:   {grapes: true, num: "500", den: "1"},
	MLPerT:          {grapes: true, liquid: true, num: "1", den: "1"},
	FlOzPerShortTon: {grapes: true, liquid: true, num: "29.5735295625", den: "0.90718474"},
}

// OnGrapes says whether the dose is per mass of grapes rather than per volume of
// juice.
func (u RateUnit) OnGrapes() bool { return rateUnits[u].grapes }

// Liquid says whether the dose is a volume of product rather than a mass.
func (u RateUnit) Liquid() bool { return rateUnits[u].liquid }

// Known says whether the unit is one of those above.
func (u RateUnit) Known() bool {
	_, ok := rateUnits[u]
	return ok
}

// size is the unit in the base of its group; the unit must be known.
func (u RateUnit) size() *big.Rat {
	f := rateUnits[u]
	return new(big.Rat).Quo(rat(f.num), rat(f.den))
}

func rat(decimal string) *big.Rat {
	r, _ := new(big.Rat).SetString(decimal)
	return r
}

const rateWanted = "Type a dose with its unit, such as 3 g/hL, 30 mg/L, 4 mL/hL, 0.25 lb/1000 gal, 3 g/100 kg or 30 " +
	"mL/t."

// readUnit finds the unit behind a spelling.
func readUnit(text string) (RateUnit, bool) {
	s := squeeze(text)
	s = strings.NewReplacer("lbs/", "lb/", "usgallons", "gal", "usgallon", "gal", "usgal", "gal", "gallons", "gal",
		"gallon", "gal",
		"1,000", "1000", "tonnes", "t", "tonne", "t", "liter", "l", "litre", "l", "shorttons", "shortton", "fl.oz",
		"floz").Replace(s)
	if s == "ppm" { // cellars say ppm and mean mg/L
		return MgPerL, true
	}
	for u := range rateUnits {
		if squeeze(string(u)) == s {
			return u, true
		}
	}
	return "", false
}

// MarshalText returns the unit as it stands.
func (u RateUnit) MarshalText() ([]byte, error) { return []byte(u), nil }

// UnmarshalText reads a unit in any spelling Habit.Rate takes; empty text is
// none.
func (u *RateUnit) UnmarshalText(text []byte) error {
	if len(text) == 0 {
		*u = ""
		return nil
	}
	got, ok := readUnit(string(text))
	if !ok {
		return errors.New(rateWanted)
	}
	*u = got
	return nil
}

// Rate is a dose: so much product for so much juice or grapes. The zero value is
// none.
type Rate struct {
	Value float64
	Unit  RateUnit
}

// IsZero says whether there is no dose.
func (r Rate) IsZero() bool { return r == Rate{} }

// Rate reads "3 g/hL", "3g/hl" or "0.134 lb/1000gal"; a number alone has
// the unit bare. "ppm" is mg/L, as cellars mean it. A plain "ton" under the
// stroke is an *AskError that offers both tons. Zero is a dose; less is
// refused.
func (h Habit) Rate(s string, bare RateUnit) (Rate, error) {
	number, unit := splitUnit(s)
	u, known := bare, bare.Known()
	if unit != "" {
		u, known = readUnit(unit)
	}
	per, ton := strings.CutSuffix(strings.TrimSuffix(squeeze(unit), "s"), "/ton")
	if !known && !ton || len(s) > maxTyped {
		return Rate{}, errors.New(rateWanted)
	}
	x, err := h.Number(number, 0, maxCount)
	switch {
	case err != nil:
		return Rate{}, askWithUnit(err, s, unit, rateWanted)
	case ton:
		return Rate{}, askTon(strings.TrimSpace(s), x, per)
	}
	return positiveRate(x, u)
}

// rounded writes a number that will be typed again: five significant digits are
// more than a label has.
func rounded(x float64) string {
	short, err := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 5, 64), 64)
	if err != nil {
		return unknown
	}
	return shortest(short, 0)
}

func positiveRate(x float64, u RateUnit) (Rate, error) {
	if x < 0 || x > maxCount {
		return Rate{}, errors.New(rateWanted)
	}
	return Rate{Value: x, Unit: u}, nil
}

// askTon offers the dose per tonne and per short ton, each in the unit in which
// the house can write it.
func askTon(input string, x float64, per string) error {
	tonne, short := GPerT, LbPerShortTon
	switch per {
	case "ml", "floz", "fl.oz":
		tonne, short = MLPerT, FlOzPerShortTon
	case "g", "lb", "lbs":
	default:
		return errors.New(rateWanted)
	}
	// One of the two readings keeps its number, the other takes the size of the
	// unit over the stroke: g to lb, lb to g, mL to fl oz, fl oz to mL.
	metric, us := x, x
	switch per {
	case "g":
		us = x * 1000 / mgPerLb
	case "lb", "lbs":
		metric = x * mgPerLb / 1000
	case "ml":
		us = x / mlPerFlOz
	default:
		metric = x * mlPerFlOz
	}
	return newAsk(input, ToType(rounded(metric)+" "+string(tonne)), ToType(rounded(us)+" "+string(short)))
}

// String returns the canonical text in the unit of the label, in the fewest
// digits that read back the same: "1.5 g/hL". No dose is empty.
func (r Rate) String() string {
	if r.IsZero() {
		return ""
	}
	return shortest(r.Value, 0) + " " + string(r.Unit)
}

// Text returns the dose for a screen in the units of the house, to three
// decimals, or more for one so small that it would read as none: "1.606 g/hL",
// "0.134 lb/1000 gal", "0.0017 lb/1000 gal". A liquid dose on juice is mL/hL in
// both.
func (r Rate) Text(sys System) string {
	if r.IsZero() || !r.Unit.Known() {
		return r.String()
	}
	to := GPerHL
	switch f := rateUnits[r.Unit]; {
	case f.grapes && f.liquid:
		to = map[System]RateUnit{Metric: MLPerT, US: FlOzPerShortTon}[sys]
	case f.grapes:
		to = map[System]RateUnit{Metric: GPer100Kg, US: LbPerShortTon}[sys]
	case f.liquid:
		to = MLPerHL
	case sys == US:
		to = LbPer1000Gal
	}
	shown, err := r.To(to)
	if err != nil {
		return unknown
	}
	return trimZeros(fixed(shown.Value, seen(shown.Value, 3))) + " " + string(to)
}

// To converts a dose into another unit of the same basis and kind. From juice to
// grapes, and from a powder to a liquid, there is no factor: the error says so.
func (r Rate) To(u RateUnit) (Rate, error) {
	from, ok := rateUnits[r.Unit]
	to, known := rateUnits[u]
	switch {
	case !ok || !known || !finite(r.Value):
		return Rate{}, errors.New(rateWanted)
	case from.grapes != to.grapes:
		return Rate{}, errors.New("A dose on grapes and a dose on juice have no fixed factor: type the dose in " +
			string(r.Unit) + " or give the yield in hL/t.")
	case from.liquid != to.liquid:
		return Rate{}, errors.New("A powder dose and a liquid dose have no fixed factor: type the dose in " +
			string(r.Unit) + ".")
	case r.Unit == u:
		return r, nil
	}
	exactly := rat(strconv.FormatFloat(r.Value, 'f', -1, 64))
	exactly.Mul(exactly, r.Unit.size())
	exactly.Quo(exactly, u.size())
	x, _ := exactly.Float64()
	if !finite(x) {
		return Rate{}, errors.New(rateWanted)
	}
	return Rate{Value: x, Unit: u}, nil
}

// MarshalText returns the canonical text, as it can be typed again. A dose that is no number or has no
// unit is an error; none is empty text.
func (r Rate) MarshalText() ([]byte, error) {
	if r.IsZero() {
		return []byte{}, nil
	}
	if !r.Unit.Known() || r.Value < 0 {
		return nil, errors.New(rateWanted)
	}
	return finiteText(r.Value, ToType(r.String()))
}

// UnmarshalText reads what the program wrote, see ReadTyped.
func (r *Rate) UnmarshalText(text []byte) error { return r.ReadTyped(string(text), canonical) }

// ReadTyped reads what Habit.Rate reads. A bare number is asked about; empty text is
// none.
func (r *Rate) ReadTyped(text string, h Habit) error {
	if text == "" {
		*r = Rate{}
		return nil
	}
	if bare(text) {
		return unitless(text, " g/hL", " mL/hL", " lb/1000 gal")
	}
	got, err := h.Rate(text, GPerHL)
	if err == nil {
		*r = got
	}
	return err
}
