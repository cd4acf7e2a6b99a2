package cellar

import (
	"slices"
	"strings"

	"cellar.example/mustwatch/domain/quantity"
)

// Weighed is a dose that has been weighed and is not poured yet.
type Weighed struct {
	Dose          // as it is going to be poured; Seq, At and By are of the weighing
	Clock ClockID // that asks for the pouring
}

// WeighDose writes that a dose stands weighed and is not poured yet. The rules
// of a dose are asked here, for this is where somebody walks away with it, and
// the stock goes down here.
type WeighDose struct{ GiveDose }

func (c *WeighDose) decide(d *decision) ([]Fact, error) {
	if w := d.s.weighed(c.Vessel, c.Product); w != nil {
		return nil, reject("weighed", "product", "{product} for {where} has been weighed since {time} by {who}; "+
			"pour it or weigh it back first", w.Product, w.Where, d.says(w.At), w.By)
	}
	r, testAt, err := c.lay(d, false)
	if err != nil {
		return nil, err
	}
	x := c.given(&r, testAt)
	within := d.s.House.Limits.pourWithin()
	if made := r.Product.Card.UseWithin; made > 0 {
		within = min(within, made)
	}
	k := d.setClock(r.Vessel.Ref(), KindPour, ActAt, "pour", d.at.Add(within.Duration()), onWeighed.Say(d.at, x.Drawn))
	k.Object = string(x.Product)
	facts := []Fact{&DoseWeighed{Dose: x, Clock: k.ID}, k}
	if c.Temp != nil {
		facts = append(facts, &WasRead{Vessel: r.Vessel.Number, Measured: Measured{Temp: c.Temp}})
	}
	return facts, nil
}

// weighed finds the dose of a product that stands weighed for a vessel.
func (s *State) weighed(p TankNumber, id ProductID) *Weighed {
	for _, w := range s.book.Now(tubOf(id)).tub().weighed {
		if w.Where == p {
			return w
		}
	}
	return nil
}

// WeighedFor lists the doses that stand weighed for a vessel and are not poured,
// oldest first.
func (s *State) WeighedFor(p TankNumber) []*Weighed {
	var out []*Weighed
	for _, id := range s.productOrder {
		for _, w := range s.book.Now(tubOf(id)).tub().weighed {
			if w.Where == p {
				out = append(out, w)
			}
		}
	}
	slices.SortStableFunc(out, func(a, b *Weighed) int { return a.At.Compare(b.At) })
	return out
}

// asWeighed fills in what was said when the dose was weighed, where the pouring
// does not say otherwise; w is nil when it was not weighed before.
func (c *GiveDose) asWeighed(d *decision) (out *GiveDose, w *Weighed) {
	if w = d.s.weighed(c.Vessel, c.Product); w == nil {
		return c, nil
	}
	x := *c
	if x.Rate.IsZero() {
		x.Rate = w.Rate
	}
	if x.Rate == w.Rate && x.Amount.IsZero() && x.Volume == 0 && x.Mass == 0 {
		x.Amount, x.Volume, x.Mass = w.Drawn, w.Treated, w.OnMass
	}
	if x.TestAt.IsZero() && w.TestAt.After(d.at) {
		x.TestAt = w.TestAt
	}
	if x.Water == 0 {
		x.Water = w.Water
	}
	if x.Second == "" {
		x.Second = w.Second
	}
	x.Reason = firstWords(x.Reason, w.Reason)
	return &x, w
}

// DoseWeighed is a dose that stands weighed.
type DoseWeighed struct {
	Dose
	Clock ClockID `json:"clock"`
}

func (f *DoseWeighed) apply(s *State, r Record) {
	s.enter(r, f)
	s.log(r, vesselRef(f.Where), "{product} {rate} weighed, {drawn}, not poured yet{runs_out}", f.Product, f.Rate,
		inWords(s, f.Drawn), s.runsOut(f.Product, f.Drawn))
}

// lines takes it out of the stock. It was weighed by what was known then, whatever its
// vessel held.
func (f *DoseWeighed) lines(s *State, e *entry) []*line {
	w := &Weighed{Dose: f.Dose, Clock: f.Clock}
	w.Seq, w.At, w.By = e.Seq, e.At, e.By
	return s.tub(e, f.Product, func(x *stock) { x.weigh(w) })
}

// WeighBack puts a dose that was weighed and not poured back into its tub.
type WeighBack struct {
	Head
	Vessel  TankNumber `json:"vessel"`
	Product ProductID  `json:"product"`
	Reason  string     `json:"reason"`
}

func (c *WeighBack) decide(d *decision) ([]Fact, error) {
	w := d.s.weighed(c.Vessel, c.Product)
	switch {
	case w == nil:
		return nil, reject("weighed", "product", "no {product} is weighed for {tank}", firstWords(string(c.Product),
			"product"), c.Vessel)
	case strings.TrimSpace(c.Reason) == "":
		return nil, reject("reason", "reason", "say why it is not poured")
	}
	return []Fact{&WeighedBack{Of: w.Seq, Vessel: w.Where, Product: w.Product, Drawn: w.Drawn, Reason: c.Reason},
		&ClockAnswered{Clock: w.Clock, How: endWeighed.Say()}}, nil
}

// WeighedBack is a dose that went back into its tub.
type WeighedBack struct {
	Of      Seq             `json:"of"`
	Vessel  TankNumber      `json:"vessel"`
	Product ProductID       `json:"product"`
	Drawn   quantity.Amount `json:"drawn"`
	Reason  string          `json:"reason"`
}

func (f *WeighedBack) apply(s *State, r Record) {
	s.enter(r, f)
	s.log(r, vesselRef(f.Vessel), "{drawn} {product} weighed back, not poured: {reason}", inWords(s, f.Drawn),
		f.Product, f.Reason)
}

func (f *WeighedBack) lines(s *State, e *entry) []*line {
	return s.tub(e, f.Product, func(x *stock) { x.back(f.Of) })
}

var (
	_ = command[WeighDose]("weighed")
	_ = command[WeighBack]("weighed-back")
	_ = fact[DoseWeighed]("dose-weighed")
	_ = fact[WeighedBack]("weighed-back")
)
