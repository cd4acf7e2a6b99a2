package cellar

import (
	"cellar.example/mustwatch/domain/dose"
	"cellar.example/mustwatch/domain/quantity"
)

// What a product holds of its active substance. Rates of SO2 are of SO2 itself, so what
// is weighed, what leaves the tub and what a dose counts for all go by it.

// Poured reports whether a product is measured by volume rather than weighed.
func (p *Product) Poured() bool { return p.Liquid || p.Card.Strength.Poured() }

// SumUnit is the unit on the juice in which doses of a product add up.
func (p *Product) SumUnit() quantity.RateUnit {
	if p.Liquid && p.Card.Strength.IsZero() {
		return quantity.MLPerHL
	}
	return quantity.GPerHL
}

// Unknown says what must be entered of a product before anything of it can be measured;
// "" when all is known. Older journals have lots like these.
func (p *Product) Unknown() string {
	switch {
	case p.Class == SO2 && p.Card.Strength.IsZero():
		return "how much SO2 is in " + string(p.ID) + "? Enter its strength on its card first (u)"
	case !p.Open.IsZero() && p.Open.Liquid() != p.Poured():
		return "the open container of " + string(p.ID) + " is counted in " + amountUnits(p.Open.Liquid()) +
			", and it is measured in " +
			amountUnits(p.Poured()) + ": correct its card or count it again first (u)"
	}
	return ""
}

func amountUnits(liquid bool) string {
	if liquid {
		return "mL or L"
	}
	return "g or kg"
}

// strengthOf checks the strength of a lot that is booked in or whose card is entered.
// A strength in a litre makes it a solution, and a per cent of a solution is w/v.
func (c *SetProduct) strengthOf(d *decision) (liquid bool, s dose.Strength, err error) {
	p, s := c.Product, c.Product.Card.Strength
	no := func(template string, values ...any) error { return reject("strength", "strength", template, values...) }
	if p.Liquid {
		s = s.Solution()
	}
	stock := []quantity.Amount{p.Open, p.Size}
	if old := d.s.products[p.ID]; old != nil { // the stock stays what it was
		stock = []quantity.Amount{old.Open, old.Size}
	}
	liquid = p.Liquid || s.Poured()
	for _, x := range stock {
		switch {
		case x.IsZero() || x.Liquid() == liquid:
		case s.Poured():
			return false, s, no("{product} is weighed, {stock} of it: g/L is the strength of a solution. Type 57.6 "+
				"% SO2 for metabisulphite, or leave it blank", p.ID, x)
		default:
			return false, s, reject("open", "open", "{product} is counted in {amount_units}, not {what}", p.ID,
				amountUnits(liquid), x)
		}
	}
	switch {
	case !s.IsZero() && s.Unit == "":
		return false, s, no("{value} of what? Type the strength with its unit, {value} g/L, {value} % SO2 or "+
			"{value} % salt", s.Value)
	case p.Class == SO2 && s.IsZero():
		return false, s, no("how much SO2 is in {product}? Type 150 g/L for a solution, 57.6 % SO2 for potassium "+
			"metabisulphite, 100 % SO2 for the gas", p.ID)
	case p.Class != SO2 && s.Unit == dose.OfSO2:
		return false, s, no("only SO2 is dosed by the SO2 in it; for a solution of {class} type g/L", p.Class)
	case s.Unit == dose.OfSO2 && s.Value < leastSO2:
		return false, s, no("{strength} in something that is weighed? Metabisulphite holds 57.6 %; for a solution "+
			"type {solution}", s, s.Solution())
	}
	return liquid, s, nil
}

// leastSO2 is the least SO2 in anything that is weighed, in per cent: metabisulphite that
// has stood for years still holds more (common practice, no source), and no solution does.
const leastSO2 = 30

// holds brings what a dose counts for in line with what was measured out for it. Older
// journals keep what the rate asked for instead, and no strength.
func (x Dose) holds(p *Product) Dose {
	if x.Strength.IsZero() && p != nil {
		x.Strength = p.Card.Strength
	}
	if !x.Strength.IsZero() && x.Strength.Poured() == x.Drawn.Liquid() {
		x.Amount = x.Strength.Counted(x.Amount, x.Drawn)
	}
	return x
}

// opened is what left the stock for a dose of before the opening. Its amount is what was
// weighed or poured; only of a solution it may be grams, and then they are the active.
func (p *Product) opened(amount quantity.Amount) quantity.Amount {
	if s := p.Card.Strength; s.Poured() && !amount.Liquid() {
		return s.Product(amount.Mass)
	}
	return amount
}
