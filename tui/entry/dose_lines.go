package entry

import (
	"errors"
	"math"
	"strings"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/dose"
	"cellar.example/mustwatch/domain/lookalike"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/tui/face"
)

// doseLines calculate the dose while it is typed. The amount to weigh comes first,
// for that is what somebody walks away with.
func (k *desk) doseLines(values map[string]string) []string {
	s := k.slip(values)
	c := s.doseCommand()
	if c.Product == "" || c.Rate.IsZero() {
		return nil
	}
	at := s.g.Now
	r, err := s.g.State.Calculate(c, at)
	var rej *cellar.Rejection
	switch {
	case errors.As(err, &rej) && values[rej.Field] == "" && rej.Field != "vessel":
		return []string{rej.Message()}
	case err != nil:
		return nil
	}
	lines := []string{s.g.Theme.Strong.Render(weighLine(s.g, &r)), rateLine(s.g, &r), stockLine(s.g, &r)}
	if due := dueLine(s.g, c, &r); due != "" {
		lines = append(lines, due)
	}
	if water := waterLine(s.g, &r); water != "" {
		lines = append(lines, water)
	}
	if says := r.Product.Card.Strength.BelowCodex(); says != "" && r.Product.Class == cellar.SO2 {
		lines = append(lines, says)
	}
	if r.Vessel.Hold != nil { // nobody is sent to a tank that is held
		return lines
	}
	return append(lines, say(s.g, "say aloud: {amount} into {tank}", onTheScale(s.g, r.Drawn),
		lookalike.Spoken(string(r.Vessel.Number))))
}

func weighLine(g face.Sight, r *cellar.Calculation) string {
	verb := "weigh "
	if r.Drawn.Liquid() {
		verb = "measure "
	}
	line := verb + onTheScale(g, r.Drawn)
	if r.Drawn != r.Active {
		line += say(g, " ({active} of {class}, {strength})", r.Active, r.Product.Class, r.Product.Card.Strength)
	}
	if r.Water > 0 {
		line += " · make up in " + vol(g, r.Water) + " water"
		if r.Product.Card.MakeUp > 0 {
			line += say(g, " (1:{ratio})", r.Product.Card.MakeUp)
		}
		if t := r.Product.Card.WaterTemp; t > 0 {
			line += " at " + t.Text(g.Units())
		}
		if n := r.Product.Card.UseWithin; n > 0 {
			line += ", use within " + n.String()
		}
	}
	return line
}

// onTheScale says what is weighed: in a US house in ounces and in grams, for
// either may stand on the scale.
func onTheScale(g face.Sight, a quantity.Amount) string {
	if g.Units() != quantity.US || a.Liquid() {
		return a.Text(g.Units())
	}
	return say(g, "{ounces} ({grams})", a.Mass.Ounces(), a.Mass.String())
}

// rateLine is the rate as typed, in g/hL as well where that is another unit,
// its basis, and the sum on this juice.
func rateLine(g face.Sight, r *cellar.Calculation) string {
	unit := string(r.Product.SumUnit())
	line := r.Rate.String()
	if string(r.Rate.Unit) != unit && r.PerHL > 0 {
		per := r.PerHL // of a rate on grapes, and of a solution in mL: what it comes to here
		if same, err := r.Rate.To(r.Product.SumUnit()); err == nil {
			per = same.Value
		}
		line += say(g, " = {rate} {unit}", few(per), unit)
	}
	line += " on " + r.Basis
	if !r.Max.IsZero() {
		if m, err := r.Max.To(quantity.RateUnit(unit)); err == nil {
			sum, most := face.SumOf(quantity.Rate{Value: r.Total, Unit: m.Unit}, m)
			line += say(g, " · total {total} of {most}", strings.TrimSuffix(sum, " "+unit), most)
		}
	} else if r.Number > 1 {
		line += say(g, " · total {total} {unit}", face.Sum(r.Total), unit)
	}
	if r.Number > 1 {
		line += say(g, ", dose {n}", r.Number)
	}
	return line
}

// few says a figure in the digits that count, a whole one without a decimal.
func few(x float64) string { return strings.TrimSuffix(face.Sum(x), ".0") }

func stockLine(g face.Sight, r *cellar.Calculation) string {
	stays := r.Left.Sub(r.Drawn)
	if r.Left.IsZero() {
		return say(g, "no {product} is open, {n} sealed: press u to open one first", r.Product.ID, r.Product.Sealed)
	}
	if stays.Mass < 0 || stays.Volume < 0 {
		return say(g, "the open tub holds only {left}, {sealed}", r.Left, r.Product.SealedText())
	}
	if r.Left.Liquid() != r.Drawn.Liquid() {
		return say(g, "the open tub is counted as {left}: the board cannot say what share this takes",
			r.Left)
	}
	line := say(g, "{share:%.0f} % of the open tub, {left} left in it", math.Round(r.Share*100), stays)
	if left := stays.Sub(r.Drawn); left.Mass < 0 || left.Volume < 0 {
		line += ": less than one more dose, " + r.Product.SealedText()
	}
	return line
}

func dueLine(g face.Sight, c *cellar.GiveDose, r *cellar.Calculation) string {
	if !r.Product.HasClock() {
		return ""
	}
	switch {
	case !c.TestAt.IsZero() && r.HasDue:
		return say(g, "test at {typed}, as typed; {row} says {due}", clock(g, c.TestAt), r.Row, clock(g, r.Due))
	case !c.TestAt.IsZero():
		return "test at " + clock(g, c.TestAt) + ", as typed"
	case r.HasDue:
		line := say(g, "test at {due}: {row}", clock(g, r.Due), r.Row)
		if !r.Model.IsZero() {
			line += ", forecast " + clock(g, r.Model)
		}
		if at := r.Vessel.Now.TempAt; c.Temp == nil && g.Now.Sub(at) >= freshReading {
			line += ", with the temperature of " + clock(g, at)
		}
		return line
	case r.Off:
		return r.Row + ": " + cellar.VerbWords(cellar.CannotTell, "")
	case c.Temp == nil && r.Vessel.Now.Last.Temp == nil:
		return "no test time yet: read the temperature"
	case r.Vessel.Now.Open:
		return "juice still runs in: no test time until the last is in"
	case r.Row != "":
		return "no test time: " + r.Row
	}
	return "no test time"
}

// waterLine speaks up when the water of all additions that is in the juice is more than
// may come with them.
func waterLine(g face.Sight, r *cellar.Calculation) string {
	c := &r.Vessel.Now
	all := dose.Waters(c.Volume, r.Water, c.WaterAdded())
	if c.Volume == 0 || !all.Over {
		return ""
	}
	is, most := quantity.Percent(all.Share * 100).Beside(1)
	return say(g, "water added so far {water}, {share} of the juice: more than {most}", all.Water, is, most)
}
