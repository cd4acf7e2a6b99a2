package dose

import (
	"errors"
	"math/big"
	"strconv"

	"cellar.example/mustwatch/domain/quantity"
)

// far is the share returned where there is nothing to divide by, or where a
// powder is set against a liquid: so far over that no limit lets it pass.
const far = 999.0

// OnJuice returns the product for a volume of juice at a rate on juice:
// hL × g/hL, or hL × mL/hL, rounded half up to a Step. A rate on grapes, no juice, no
// rate, and an amount less than can be measured are errors.
func OnJuice(v quantity.Volume, r quantity.Rate) (quantity.Amount, error) {
	if r.Unit.OnGrapes() {
		return quantity.Amount{},
			errors.New("This dose is for grapes: type a dose on juice, such as 3 g/hL or 4 mL/hL.")
	}
	if v <= 0 {
		return quantity.Amount{}, errors.New("There is no juice to dose: type how many hL are in the vessel.")
	}
	base := quantity.GPerHL
	if r.Unit.Liquid() {
		base = quantity.MLPerHL
	}
	return amount(int64(v), int64(quantity.Hectolitre), r, base)
}

// OnGrapes returns the product for a mass of grapes at a rate on grapes:
// kg × (g/100 kg) / 100, or t × mL/t, rounded as OnJuice does. A rate on juice,
// no grapes, no rate, and an amount less than can be measured are errors.
func OnGrapes(m quantity.Mass, r quantity.Rate) (quantity.Amount, error) {
	if r.Unit.Known() && !r.Unit.OnGrapes() {
		return quantity.Amount{}, errors.New("This dose is for juice: type a dose on grapes, such as 3 g/100 kg or " +
			"30 mL/t.")
	}
	if m <= 0 {
		return quantity.Amount{}, errors.New("There are no grapes to dose: type how many kg they weigh.")
	}
	base := quantity.GPerT
	if r.Unit.Liquid() {
		base = quantity.MLPerT
	}
	return amount(int64(m), int64(quantity.Tonne), r, base)
}

// amount multiplies lots of a base size by a rate per base size, in fractions,
// so that a half is a half and rounds up.
func amount(count, size int64, r quantity.Rate, base quantity.RateUnit) (quantity.Amount, error) {
	per, err := r.To(base)
	if err != nil {
		return quantity.Amount{}, err
	}
	if per.Value <= 0 {
		return quantity.Amount{}, errors.New("Type a dose above zero, such as 3 g/hL or 3 g/100 kg.")
	}
	// A gram has as many milligrams as a millilitre has microlitres.
	x := new(big.Rat).Mul(decimal(per.Value), big.NewRat(count, size))
	x.Mul(x, big.NewRat(int64(quantity.Gram), 1))
	if err := tooLittle(x, base.Liquid()); err != nil {
		return quantity.Amount{}, err
	}
	if base.Liquid() {
		return quantity.Amount{Volume: pour(x)}, nil
	}
	return quantity.Amount{Mass: weigh(x)}, nil
}

// Water returns the make-up water for an amount of product. ratio is litres of
// water per kilogram of powder, or per litre of liquid: 10 for 1 : 10, 20 for
// 20 mL per gram. Nothing sensible gives 0.
func Water(a quantity.Amount, ratio float64) quantity.Volume {
	if !(ratio > 0) || ratio > limit {
		return 0
	}
	// L per kg is mL per g, so microlitres come of milligrams.
	x := big.NewRat(int64(a.Mass), 1)
	if a.Liquid() {
		x = big.NewRat(int64(a.Volume), 1)
	}
	return pour(x.Mul(x, decimal(ratio)))
}

// TubShare returns the share of what is left in a tub that an amount takes: 1 is
// all of it, more than 1 is more than there is. An empty tub, and a liquid from
// a tub of powder, answer 999, so that a doubt never looks like enough.
func TubShare(a, left quantity.Amount) float64 {
	if a.IsZero() {
		return 0
	}
	x, y, alike := counts(a, left)
	if !alike || y <= 0 {
		return far
	}
	return min(x/y, far)
}

// PerHL returns what an amount is in a volume of juice: g/hL for a powder, mL/hL
// for a liquid, not rounded. No juice gives 0.
func PerHL(a quantity.Amount, v quantity.Volume) float64 {
	if v <= 0 {
		return 0
	}
	if a.Liquid() {
		return float64(a.Volume) / float64(quantity.Millilitre) / v.HL()
	}
	return a.Mass.Grams() / v.HL()
}

// WaterShare returns water as a share of the juice it went into, 0.01 for 1 %,
// the limit for all additions together (27 CFR 24.246). Water in no juice
// answers 999.
func WaterShare(water, juice quantity.Volume) float64 {
	switch {
	case water <= 0:
		return 0
	case juice <= 0:
		return far
	}
	return min(float64(water)/float64(juice), far)
}

// JuiceBasis turns a dose on grapes into the same on the juice they gave, in g/hL
// or mL/hL, not rounded; hlPerTonne is the yield in hL/t. A dose already on
// juice, and a yield of zero, are errors.
func JuiceBasis(r quantity.Rate, hlPerTonne float64) (quantity.Rate, error) {
	if r.Unit.Known() && !r.Unit.OnGrapes() {
		return quantity.Rate{}, errors.New("This dose is on juice already: type a dose on grapes, such as 3 g/100 kg.")
	}
	if !(hlPerTonne > 0) || hlPerTonne > limit {
		return quantity.Rate{}, errors.New("Type the yield in hL of juice from a tonne of grapes, such as 7.2.")
	}
	base, out := quantity.GPerT, quantity.GPerHL
	if r.Unit.Liquid() {
		base, out = quantity.MLPerT, quantity.MLPerHL
	}
	perT, err := r.To(base)
	if err != nil {
		return quantity.Rate{}, err
	}
	x, _ := new(big.Rat).Quo(decimal(perT.Value), decimal(hlPerTonne)).Float64()
	return quantity.Rate{Value: x, Unit: out}, nil
}

// Stock returns the volume of a solution that holds a mass of what is wanted;
// gramsPerLitre is its strength (10 % w/v is 100 g/L). Rounded half up to a Step; no
// strength gives 0.
func Stock(gas quantity.Mass, gramsPerLitre float64) quantity.Volume {
	if !(gramsPerLitre > 0) || gramsPerLitre > limit || gas <= 0 {
		return 0
	}
	x := new(big.Rat).Quo(big.NewRat(int64(gas), 1), decimal(gramsPerLitre))
	return pour(x.Mul(x, big.NewRat(int64(quantity.Millilitre), 1)))
}

// Powder returns the mass of powder that gives off a mass of gas; share is the
// gas in it (0.57 for potassium metabisulphite as it lies in a cellar, 0.576 in
// theory). Rounded half up to a Step; a share outside 0 to 1 gives 0.
func Powder(gas quantity.Mass, share float64) quantity.Mass {
	if !(share > 0) || share > 1 || gas <= 0 {
		return 0
	}
	return weigh(new(big.Rat).Quo(big.NewRat(int64(gas), 1), decimal(share)))
}

// Weighed returns how far what was weighed is over (+) or under (–) what was
// needed, as a share of what was needed: 0.016 for 1.6 % over. Something where
// nothing was needed, and a liquid for a powder, answer 999.
func Weighed(needed, weighed quantity.Amount) float64 {
	n, w, alike := counts(needed, weighed)
	switch {
	case needed == weighed:
		return 0
	case !alike || n <= 0:
		return far
	}
	return max(-far, min((w-n)/n, far))
}

// limit bounds strengths, ratios and yields, so that a slip of the finger cannot
// overflow.
const limit = 1e6

// counts returns two amounts in the same unit, and whether they have one. None
// is like either.
func counts(a, b quantity.Amount) (x, y float64, alike bool) {
	if a.Liquid() || b.Liquid() {
		return float64(a.Volume), float64(b.Volume), a.Mass == 0 && b.Mass == 0
	}
	return float64(a.Mass), float64(b.Mass), true
}

// decimal turns a finite number into the fraction its shortest decimal names:
// 0.1 is one tenth.
func decimal(x float64) *big.Rat {
	r, _ := new(big.Rat).SetString(strconv.FormatFloat(x, 'f', -1, 64))
	return r
}

// nearest rounds x to a multiple of step, halves up, and stops at a billion
// kilograms or litres.
func nearest(x *big.Rat, step int64) int64 {
	steps := new(big.Rat).Quo(x, big.NewRat(step, 1))
	steps.Add(steps, big.NewRat(1, 2))
	n := new(big.Int).Div(steps.Num(), steps.Denom()) // rounds down, the divisor being positive
	const most = int64(1_000_000_000_000_000)
	if !n.IsInt64() || n.Int64() > most/step {
		return most
	}
	return n.Int64() * step
}
