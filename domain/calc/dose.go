package calc

import (
	"errors"
	"fmt"

	"cellar.example/mustwatch/domain/caution"
	"cellar.example/mustwatch/domain/dose"
	"cellar.example/mustwatch/domain/press"
	"cellar.example/mustwatch/domain/quantity"
)

// doseFlags are what was typed for a dose; empty where nothing was.
type doseFlags struct {
	volume, grapes, rate, yield, ratio, slurry, tub, weighed string
	waters                                                   []string
}

func doseKind() kind {
	var f doseFlags
	return kind{name: "dose", short: "A product for a volume of juice or a mass of grapes",
		example: `  mustwatch calc dose --volume 192hL --rate 3g/hL
  mustwatch calc dose --units us --volume 5072gal --rate "0.25 lb/1000 gal"
  mustwatch calc dose --grapes 14600kg --rate "3 g/100 kg" --yield "7.2 hL/t"
  mustwatch calc dose --volume 100hL --rate 50g/hL --slurry 5% --water 20L`,
		fields: []field{
			one(&f.volume, "volume", "`juice` to dose, such as 192hL"),
			one(&f.grapes, "grapes", "`mass` of grapes to dose, such as 14600kg"),
			one(&f.rate, "rate", "`dose` of the label with its unit, such as 3g/hL"),
			one(&f.yield, "yield", "`yield` by which a dose on grapes is also given on juice, such as 7.2hL/t"),
			one(&f.ratio, "ratio", "make-up water, as `1:10` or 20mL/g"),
			one(&f.slurry, "slurry", "the product goes in as a slurry of so many `per cent` w/v"),
			one(&f.tub, "tub", "`amount` left in the tub"),
			one(&f.weighed, "weighed", "`amount` that was weighed, held against what is needed"),
			many(&f.waters, "water", "`volume` of water that other additions brought; can be given again"),
		},
		cautions: []caution.Code{caution.Label},
		work:     func(r *asked) (Answer, error) { return r.dose(f) }}
}

func (r *asked) dose(f doseFlags) (Answer, error) {
	if (f.volume == "") == (f.grapes == "") || f.rate == "" {
		return Answer{}, missing("dose takes rate and either volume or grapes.")
	}
	rate := r.rate("rate", f.rate)
	a := Answer{Sources: []string{"the label of the lot; exact units (pound 453.59237 g, US gallon 3.785411784 L)"}}
	var need quantity.Amount
	var juice quantity.Volume
	var mass quantity.Mass
	var err error
	if f.volume != "" {
		juice = r.volume("volume", f.volume)
		if r.fault != nil {
			return a, nil
		}
		need, err = dose.OnJuice(juice, rate)
		a.Title = "Dose on juice"
		a.Given = []Figure{r.ofVolume("juice", juice)}
	} else {
		mass = r.grapes("grapes", f.grapes)
		if r.fault != nil {
			return a, nil
		}
		need, err = dose.OnGrapes(mass, rate)
		a.Title = "Dose on grapes"
		a.Given = []Figure{{"grapes", mass.Kilograms(), "kg", mass.Load(r.sys)}}
	}
	if err != nil {
		return a, err
	}
	a.dangers = asPowder(need)
	a.Given = append(a.Given, r.ofRate("rate", rate))
	a.Working = []string{doseWorking(juice, mass, rate, need)}
	a.Results = []Figure{r.ofAmount("product", need)}
	r.doseBasis(&a, rate, f.yield)
	r.doseWater(&a, need, juice, f)
	r.doseTub(&a, need, f)
	return a, nil
}

// asPowder are the cautions of what is weighed: which product it is, nobody said.
func asPowder(need quantity.Amount) []caution.Code {
	if need.Liquid() {
		return nil
	}
	return []caution.Code{caution.Powder}
}

// doseWorking is the multiplication, in the units in which it is done.
func doseWorking(juice quantity.Volume, grapes quantity.Mass, rate quantity.Rate, need quantity.Amount) string {
	base := quantity.GPerHL
	switch {
	case grapes > 0 && rate.Unit.Liquid():
		base = quantity.MLPerT
	case grapes > 0:
		base = quantity.GPerT
	case rate.Unit.Liquid():
		base = quantity.MLPerHL
	}
	per, err := rate.To(base)
	if err != nil {
		return ""
	}
	what := plainly(juice.HL(), 4) + " hL"
	if grapes > 0 {
		what = plainly(grapes.Tonnes(), 4) + " t"
	}
	return fmt.Sprintf("amount = %s × %s %s = %s, rounded to %s", what, plainly(per.Value, 4), base, need,
		dose.Step(need))
}

func (r *asked) doseBasis(a *Answer, rate quantity.Rate, yield string) {
	if yield == "" {
		return
	}
	var y press.Yield
	r.read("yield", func() (err error) { y, err = press.ParseYield(yield, r.habit); return err })
	if r.fault != nil {
		return
	}
	turn, name := dose.JuiceBasis, "on its juice"
	if !rate.Unit.OnGrapes() {
		turn, name = dose.GrapesBasis, "on its grapes"
	}
	other, err := turn(rate, y.HLPerTonne())
	if err != nil {
		r.fault = slip("yield", "", err)
		return
	}
	a.Given = append(a.Given, Figure{"yield", float64(y), "L/t", y.Text(r.sys)})
	a.Working = append(a.Working, "grapes to juice: dose per tonne ÷ hL of juice per tonne, and back by ×")
	other.Value = roundedTo(other.Value, 4)
	a.Results = append(a.Results, r.ofRate(name, other))
}

// roundedTo is x with so many decimals.
func roundedTo(x float64, decimals int) float64 {
	var out float64
	fmt.Sscan(plainly(x, decimals), &out)
	return out
}

func (r *asked) doseWater(a *Answer, need quantity.Amount, juice quantity.Volume, f doseFlags) {
	var waters []quantity.Volume
	switch {
	case f.ratio != "" && f.slurry != "":
		r.fault = missing("dose takes ratio or slurry, not both.")
	case f.ratio != "":
		var ratio float64
		r.read("ratio", func() (err error) { ratio, err = dose.ParseRatio(f.ratio, r.habit); return err })
		water := dose.Water(need, ratio)
		a.Working = append(a.Working, "make-up water = product × "+plainly(ratio,
			2)+" (litres for a kilogram or a litre)")
		a.Results = append(a.Results, r.ofAmount("water", quantity.Amount{Volume: water}))
		waters = append(waters, water)
	case f.slurry != "":
		percent := r.plain("slurry", f.slurry, 100, "% w/v", "%")
		slurry := dose.Slurry(need.Mass, quantity.Percent(percent))
		if slurry == 0 && r.fault == nil {
			r.fault = slip("slurry", "", errors.New("A slurry holds more than 0 and up to 50 % w/v of a powder, "+
				"such as 5%."))
		}
		a.Working = append(a.Working, "slurry = powder ÷ "+plainly(percent*10, 2)+" g/L; all of it counts as water")
		a.Results = append(a.Results, r.ofAmount("slurry", quantity.Amount{Volume: slurry}))
		waters = append(waters, slurry)
	}
	for _, w := range f.waters {
		waters = append(waters, r.volume("water", w))
	}
	if len(waters) == 0 || juice == 0 || r.fault != nil {
		return
	}
	sum := dose.Waters(juice, waters...)
	a.Working = append(a.Working, "water share = all water ÷ juice")
	share := ofShare("of the juice", 100*sum.Share)
	says := "The water is within 1 % of the juice."
	if sum.Over {
		says = "More than 1 % of water: use less, or ask the winemaker."
		share.Text, _ = quantity.Percent(100 * sum.Share).Beside(1)
	}
	a.Results = append(a.Results, r.ofAmount("all water", quantity.Amount{Volume: sum.Water}), share)
	a.Notes = append(a.Notes, says)
	a.Sources = append(a.Sources, "27 CFR 24.246(a)(2): up to 1 % of water to dissolve treating materials")
}

func (r *asked) doseTub(a *Answer, need quantity.Amount, f doseFlags) {
	if f.tub != "" {
		left := r.amount("tub", f.tub)
		if r.fault == nil && left.Liquid() != need.Liquid() && !left.IsZero() {
			r.fault = slip("tub", "", errors.New("The tub and the dose are of one kind: type both in g or both in mL."))
		}
		a.Given = append(a.Given, r.ofAmount("in the tub", left))
		rest := left.Sub(need)
		a.Working = append(a.Working, "left = tub − product")
		a.Results = append(a.Results, r.ofAmount("left after it", rest))
		if rest.Mass < 0 || rest.Volume < 0 {
			a.Notes = append(a.Notes, "The tub is short.")
		}
	}
	if f.weighed == "" {
		return
	}
	got := r.amount("weighed", f.weighed)
	if r.fault == nil && got.Liquid() != need.Liquid() {
		r.fault = slip("weighed", "", errors.New("What was weighed and the dose are of one kind: type both in g or "+
			"both in mL."))
	}
	a.Given = append(a.Given, r.ofAmount("weighed", got))
	a.Working = append(a.Working, "off = (weighed − needed) ÷ needed")
	off := 100 * dose.Weighed(need, got)
	a.Results = append(a.Results, Figure{"off", off, "%", fmt.Sprintf("%+.1f %%", off)})
}

func makeupKind() kind {
	var amount, ratio, stock string
	return kind{name: "makeup", short: "Water for a product, or the stock solution that holds it",
		example: `  mustwatch calc makeup --amount 384g --ratio 1:10
  mustwatch calc makeup --amount 384g --ratio 20mL/g
  mustwatch calc makeup --amount 384g --stock 10%`,
		fields: []field{
			one(&amount, "amount", "`amount` of product, such as 384g"),
			one(&ratio, "ratio", "the house's `ratio`, 1:10 or 20mL/g"),
			one(&stock, "stock", "`strength` of a stock solution, such as 10% (w/v) or 100g/L"),
		},
		cautions: []caution.Code{caution.Label},
		work:     func(r *asked) (Answer, error) { return r.makeup(amount, ratio, stock) }}
}

func (r *asked) makeup(amount, ratio, stock string) (Answer, error) {
	if amount == "" || (ratio == "") == (stock == "") {
		return Answer{}, missing("makeup takes amount and either ratio or stock.")
	}
	need := r.amount("amount", amount)
	a := Answer{Title: "Make-up", dangers: asPowder(need), Given: []Figure{r.ofAmount("product", need)}}
	if stock != "" {
		var s dose.Strength
		r.read("stock", func() (err error) { s, err = dose.ParseSolution(stock, r.habit); return err })
		volume := dose.Stock(need.Mass, s.Value)
		if volume == 0 && r.fault == nil {
			return a, errors.New("Type a powder and the strength of its solution, such as 384g and 10%.")
		}
		a.Given = append(a.Given, Figure{"solution", s.Value, "g/L", s.String()})
		a.Working = []string{"volume = product ÷ strength; 10 % w/v is 100 g/L"}
		a.Results = []Figure{r.ofAmount("stock solution", quantity.Amount{Volume: volume})}
		a.Sources = []string{"definition of w/v"}
		return a, nil
	}
	var x float64
	r.read("ratio", func() (err error) { x, err = dose.ParseRatio(ratio, r.habit); return err })
	water := dose.Water(need, x)
	if water == 0 && r.fault == nil {
		return a, errors.New("That is less than can be poured: check the amount and the ratio.")
	}
	a.Given = append(a.Given, Figure{"ratio", x, "L/kg", "1 : " + plainly(x, 2)})
	a.Working = []string{"water = product × ratio (20 mL a gram is 1 : 20)"}
	a.Results = []Figure{r.ofAmount("water", quantity.Amount{Volume: water})}
	a.Notes = []string{"Temperature of the water and use-within stand on the card of the lot."}
	a.Sources = []string{"the ratio of the house for this lot"}
	return a, nil
}
