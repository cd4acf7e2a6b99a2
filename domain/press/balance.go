package press

import (
	"errors"

	"cellar.example/mustwatch/domain/quantity"
)

// Racking is what left a tank and where it went. Loss is what was seen to be lost;
// what the figures do not explain is Missing.
type Racking struct {
	From quantity.Volume
	To   []quantity.Volume
	Lees quantity.Volume
	Loss quantity.Volume
}

// RackingBalance is a racking added up. Shares are of what was in the tank, in per
// cent.
type RackingBalance struct {
	Clear      quantity.Volume // all that arrived
	Missing    quantity.Volume // not accounted for; less than zero when more arrived
	ClearShare quantity.Percent
	LeesShare  quantity.Percent
	LossShare  quantity.Percent
}

// Balance adds a racking up. Nothing in the tank, and less than nothing anywhere,
// are errors.
func (r Racking) Balance() (RackingBalance, error) {
	bad := errors.New("Type what was in the tank, what arrived, the lees and the loss as volumes of zero or more.")
	if r.From <= 0 || r.Lees < 0 || r.Loss < 0 {
		return RackingBalance{}, bad
	}
	var b RackingBalance
	for _, v := range r.To {
		if v < 0 {
			return RackingBalance{}, bad
		}
		b.Clear += v
	}
	b.Missing = (r.From - b.Clear - r.Lees - r.Loss).Settled()
	b.ClearShare, b.LeesShare, b.LossShare = share(b.Clear, r.From), share(r.Lees, r.From), share(r.Loss, r.From)
	return b, nil
}

func share(part, whole quantity.Volume) quantity.Percent {
	return quantity.Percent(100 * part.HL() / whole.HL())
}

// Pressing is what went into a press and what came out. Pomace 0 means that it
// was not weighed.
type Pressing struct {
	Grapes  quantity.Mass
	Stems   quantity.Mass
	Juice   quantity.Volume
	Density quantity.Density // of the juice, g/mL
	Pomace  quantity.Mass
}

// PressBalance is a pressing added up. Where the pomace was not weighed it is what
// is left over, and Missing is zero.
type PressBalance struct {
	Juice       quantity.Mass
	Pomace      quantity.Mass
	PomaceShare quantity.Percent // of the grapes
	Missing     quantity.Mass
	Yield       Yield
}

// Balance adds a pressing up: grapes = stems + juice × density + pomace. More out
// than in is an error when the pomace was not weighed.
func (p Pressing) Balance() (PressBalance, error) {
	if !(p.Density >= 0.98 && p.Density <= 1.2) || p.Stems < 0 || p.Pomace < 0 {
		return PressBalance{}, errors.New("Type the stems and the pomace as masses and the density from 0.980 to " +
			"1.200, such as 0.75 t and 1.090.")
	}
	y, err := Of(p.Juice, p.Grapes)
	if err != nil {
		return PressBalance{}, err
	}
	b := PressBalance{Juice: quantity.Kilograms(p.Juice.Litres() * float64(p.Density)), Yield: y, Pomace: p.Pomace}
	rest := p.Grapes - p.Stems - b.Juice
	if p.Pomace > 0 {
		b.Missing = rest - p.Pomace
	} else if b.Pomace = rest; rest < 0 {
		return PressBalance{}, errors.New("More came out than " + p.Grapes.Load(quantity.Metric) +
			" went in: check the juice, the stems and the grapes.")
	}
	b.PomaceShare = quantity.Percent(100 * b.Pomace.Kilograms() / p.Grapes.Kilograms())
	return b, nil
}

// Fill returns how full a press is, in per cent of what it is rated for.
func Fill(load, rated quantity.Mass) (quantity.Percent, error) {
	if load < 0 || rated <= 0 {
		return 0, errors.New("Type the load and what the press is rated for, such as 18.8 t and 22 t.")
	}
	return quantity.Percent(100 * load.Kilograms() / rated.Kilograms()), nil
}

// Gain returns how far juice is over (+) or under (–) what was expected, in per
// cent.
func Gain(expected, got quantity.Volume) (quantity.Percent, error) {
	if expected <= 0 || got < 0 {
		return 0, errors.New("Type the juice that was expected and what came, such as 109 hL and 112 hL.")
	}
	return share(got, expected) - 100, nil
}
