package dose

import (
	"errors"
	"math/big"
	"strings"

	"cellar.example/mustwatch/domain/quantity"
)

// The shares of SO2 in potassium metabisulphite: what stoichiometry says, and what
// a cellar calculates with for powder that has stood. Which one is a setting of the
// house; it is printed with every result.
const (
	TheoryShare = 0.576
	CellarShare = 0.57
)

// SO2 is one addition of sulphur dioxide, in the forms in which it can be had.
type SO2 struct {
	Gas      quantity.Mass   // what the juice gets
	Powder   quantity.Mass   // metabisulphite of Share; 0 when Share is
	Share    float64         // SO2 in the powder
	Solution quantity.Volume // of GramsPerLitre; 0 when that is
	Strength float64         // g SO2 in a litre of solution
}

// Sulphite calculates SO2 for a volume at a rate (g/hL or mg/L of SO2). share is the
// SO2 in the powder, above 0 to 1, and strength the g/L of a solution, above 0 to
// 1000; either may be 0 for none. A rate on grapes or of a liquid is an error.
func Sulphite(v quantity.Volume, r quantity.Rate, share, strength float64) (SO2, error) {
	if r.Unit.Known() && r.Unit.Liquid() {
		return SO2{}, errors.New("SO2 is dosed by its mass: type such as 5 g/hL or 50 mg/L.")
	}
	if !(share >= 0 && share <= 1) || !(strength >= 0 && strength <= 1000) {
		return SO2{}, errors.New("Type the SO2 in the powder as a share up to 1, such as 0.576, and the solution in " +
			"g/L up to 1000, such as 50.")
	}
	gas, err := OnJuice(v, r)
	if err != nil {
		return SO2{}, err
	}
	return SO2{Gas: gas.Mass, Powder: Powder(gas.Mass, share), Share: share, Solution: Stock(gas.Mass, strength),
		Strength: strength}, nil
}

// Additions is the water of all additions to a lot together.
type Additions struct {
	Water quantity.Volume
	Share float64 // of the juice
	Over  bool    // more than 1 %, the limit of 27 CFR 24.246(a)(2)
}

// waterLimit is the share of water that all additions together may bring.
const waterLimit = 0.01

// Waters adds up the water that additions bring into juice. Over is told only above
// 1 %: exactly 1 % is still within.
func Waters(juice quantity.Volume, waters ...quantity.Volume) Additions {
	var a Additions
	for _, w := range waters {
		a.Water += max(w, 0)
	}
	a.Share = WaterShare(a.Water, juice)
	// To half a millilitre, so that a hundredth is a hundredth.
	a.Over = a.Water > 0 && float64(a.Water) > waterLimit*float64(max(juice, 0))+float64(quantity.Millilitre)/2
	return a
}

// Slurry returns the volume of slurry that holds a powder, such as bentonite, at a
// strength in per cent w/v (5 is 5 kg in 100 L), above 0 to 50; all of it counts
// as water. A strength outside that gives 0.
func Slurry(powder quantity.Mass, percent quantity.Percent) quantity.Volume {
	if !(percent > 0 && percent <= 50) {
		return 0
	}
	return Stock(powder, float64(percent)*10)
}

// Part is one of the juices of a blend, with what has been dosed into it.
type Part struct {
	Juice quantity.Volume
	Dosed quantity.Amount
}

// SoFar returns the dose of a lot after its parts came together: all that was
// dosed over all the juice, in g/hL or mL/hL. A powder and a liquid have no sum.
func SoFar(parts ...Part) (quantity.Rate, error) {
	var juice quantity.Volume
	var sum quantity.Amount
	for _, p := range parts {
		if _, _, alike := counts(sum, p.Dosed); !alike || p.Juice < 0 {
			return quantity.Rate{}, errors.New("Powder and liquid have no common dose: type the doses of one " +
				"product, in g or in mL.")
		}
		juice += p.Juice
		sum = sum.Add(p.Dosed)
	}
	if juice <= 0 {
		return quantity.Rate{}, errors.New("There is no juice to spread the dose over: type how many hL each part has.")
	}
	unit := quantity.GPerHL
	if sum.Liquid() {
		unit = quantity.MLPerHL
	}
	return quantity.Rate{Value: PerHL(sum, juice), Unit: unit}, nil
}

// GrapesBasis turns a dose on juice into the same on the grapes that gave it, in
// g/100 kg or mL/t; hlPerTonne is the yield. A dose already on grapes, and a yield
// of zero, are errors.
func GrapesBasis(r quantity.Rate, hlPerTonne float64) (quantity.Rate, error) {
	if r.Unit.OnGrapes() {
		return quantity.Rate{}, errors.New("This dose is on grapes already: type a dose on juice, such as 4 g/hL.")
	}
	if !(hlPerTonne > 0) || hlPerTonne > limit {
		return quantity.Rate{}, errors.New("Type the yield in hL of juice from a tonne of grapes, such as 7.2.")
	}
	base, out, tenth := quantity.GPerHL, quantity.GPer100Kg, int64(10)
	if r.Unit.Liquid() {
		base, out, tenth = quantity.MLPerHL, quantity.MLPerT, 1
	}
	perHL, err := r.To(base)
	if err != nil {
		return quantity.Rate{}, err
	}
	x := new(big.Rat).Mul(decimal(perHL.Value), decimal(hlPerTonne))
	value, _ := x.Quo(x, big.NewRat(tenth, 1)).Float64()
	return quantity.Rate{Value: value, Unit: out}, nil
}

// mostWater is the most parts of water that make one part of product up.
const mostWater = 1000

const ratioWanted = "Type the make-up as 1:10 or 20 mL/g, up to 1000 parts of water."

// ParseRatio reads how much water makes a product up: "1:10" or "1 : 10" (parts of
// water for one of product), "20 mL/g", "20 mL a gram", "16.7 L/kg", or a bare 10.
// It returns what Water takes: litres of water for a kilogram or a litre.
func ParseRatio(s string, h quantity.Habit) (float64, error) {
	text := strings.ToLower(strings.Join(strings.Fields(s), ""))
	for _, unit := range []string{"ml/g", "mlagram", "mlpergram", "l/kg", "ml/ml", "l/l"} {
		text = strings.TrimSuffix(text, unit)
	}
	if one, parts, ok := strings.Cut(text, ":"); ok {
		text = parts
		if one != "1" {
			return 0, errors.New(ratioWanted)
		}
	}
	x, err := h.Number(text, 0, mostWater)
	var ask *quantity.AskError
	if errors.As(err, &ask) {
		return 0, err
	}
	if err != nil || len(s) > 100 || !(x > 0 && x <= mostWater) {
		return 0, errors.New(ratioWanted)
	}
	return x, nil
}
