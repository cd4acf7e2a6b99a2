package cellar

import (
	"fmt"
	"math"
	"slices"

	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/text"
)

var (
	outsideLabel = text.New("outside-label", "{rate} is outside the label of {product} ({range}).")
	isItMeant    = text.New("is-it-meant", "Did you mean {rate}?",
		"This is {times}.")
	timesThat   = text.New("times-that", "{times:%.0f} times that")
	partOfThat  = text.New("part-of-that", "one {part:%.0f}th of that")
	farFromLast = text.New("far-from-last", "{rate}; the last {class} in this cellar was {product} {last} on {tank} "+
		"at {time}.")
	otherGround = text.New("other-ground", "{rate} is {ground}; the label of {product} is {label_ground}, in {unit}.")
	onOther     = text.New("on-other", "Here {per_hl:%.3g} g/hL is {per_mass:%.3g} g/100 kg, at {yield:%.1f} hL/t.")
	onGrapes    = text.New("on-grapes", "on the grapes")
	onJuice     = text.New("on-juice", "on the juice")
	otherSystem = text.New("other-system", "{rate} is {in_unit:%.3g} {unit}; the label of {product} is in {unit}.",
		"Does it say {in_unit:%.3g}?")
)

// offLabel is D01, a rule of our own: a dose outside the range of the label.
// It catches the slips between units, g/hL typed for a label in lb/1000 gal is
// twelve times too much, says the dose in both and which slip would explain it.
func (t *doseTry) offLabel(d *decision) []gate.Finding {
	if says := slipOf(t.rate, t.product); !says.IsZero() {
		return []gate.Finding{{Field: "rate", Right: gate.Anyone, Say: says}}
	}
	return nil
}

// slipOf says that a rate is outside the label, and which slip would explain it;
// nothing when it is on the label or the label gives no range.
func slipOf(r quantity.Rate, p *Product) text.Say {
	if !ranged(p) {
		return text.Say{}
	}
	if asked, err := r.To(p.Card.Low.Unit); err != nil || onLabel(p, asked) {
		return text.Say{}
	}
	return text.Join(" ", outsideLabel.Say(inBoth(r, p.Unit), p.ID, cardRange(p)),
		meant(r, p, func(r quantity.Rate) bool { return onLabel(p, r) }))
}

func ranged(p *Product) bool { return !p.Card.Low.IsZero() && !p.Card.High.IsZero() }

// onLabel reports whether a rate lies in the range of the label.
func onLabel(p *Product, r quantity.Rate) bool {
	x, err := r.To(p.Card.Low.Unit)
	high, herr := p.Card.High.To(p.Card.Low.Unit)
	return err == nil && herr == nil && x.Value >= p.Card.Low.Value-1e-9 && x.Value <= high.Value+1e-9
}

// inBoth is a rate as typed, in the label's unit and in g/hL.
func inBoth(r quantity.Rate, label quantity.RateUnit) string {
	out := r.String()
	said := []quantity.RateUnit{r.Unit}
	for _, u := range []quantity.RateUnit{label, quantity.GPerHL} {
		if x, err := r.To(u); err == nil && !slices.Contains(said, u) {
			out, said = out+fmt.Sprintf(" = %.3g %s", x.Value, u), append(said, u)
		}
	}
	return out
}

// slipUnits are the units of labels, in which a figure is read by mistake.
var slipUnits = []quantity.RateUnit{quantity.GPerHL, quantity.LbPer1000Gal, quantity.OzPer1000Gal, quantity.MgPerL,
	quantity.MLPerHL,
	quantity.GPer100Kg, quantity.GPerT, quantity.LbPerShortTon}

// meant says which slip would explain a rate: the same figure in another unit on
// the same basis, or the point elsewhere. fits tells a rate that makes sense. It
// is nothing when no slip explains it.
func meant(r quantity.Rate, p *Product, fits func(quantity.Rate) bool) text.Say {
	tries := []quantity.Rate{}
	for _, u := range append([]quantity.RateUnit{p.Unit}, slipUnits...) {
		if u != r.Unit {
			tries = append(tries, quantity.Rate{Value: r.Value, Unit: u})
		}
	}
	for _, f := range []float64{0.1, 10, 0.01, 100, 0.001, 1000} {
		tries = append(tries, quantity.Rate{Value: r.Value * f, Unit: r.Unit})
	}
	for _, x := range tries {
		same, err := x.To(r.Unit)
		if err != nil || same.Value <= 0 || !fits(x) {
			continue
		}
		rate := fmt.Sprintf("%.4g %s", x.Value, x.Unit)
		if l, err := x.To(p.Unit); err == nil && p.Unit != x.Unit {
			rate += fmt.Sprintf(" (%.3g %s)", l.Value, p.Unit)
		}
		return isItMeant.Say(rate, timesWords(r.Value/same.Value))
	}
	return text.Say{}
}

// timesWords puts a factor as a cellar hand says it.
func timesWords(f float64) text.Say {
	if f >= 1 {
		return timesThat.Say(f)
	}
	return partOfThat.Say(1 / f)
}

// jumpFrom is how many times the last dose of its class a dose may be, or its
// part, before it is asked about: below a slip of the point (10) or between g/hL
// and lb/1000 gal (12), above what recipes differ by (common practice, no source).
const jumpFrom = 6

// jump is D12, a rule of our own, for lots whose label gives no range to hold
// a dose against: one far from the last dose of its class in this cellar, or
// typed in another system or on another basis than the label for the first time.
func (t *doseTry) jump(d *decision) []gate.Finding {
	if ranged(t.product) || t.rate.IsZero() {
		return nil
	}
	p, r := t.product, t.rate
	ask := func(all ...text.Say) []gate.Finding {
		return []gate.Finding{{Field: "rate", Right: gate.Anyone, Say: text.Join(" ", all...)}}
	}
	last, used := d.s.lastOfClass(p, r)
	if last != nil {
		was, _ := last.Rate.To(r.Unit)
		near := func(x quantity.Rate) bool {
			y, err := x.To(was.Unit)
			return err == nil && math.Abs(math.Log(y.Value/was.Value)) <= math.Log(2)
		}
		if f := r.Value / was.Value; f >= jumpFrom || f <= 1.0/jumpFrom {
			return ask(farFromLast.Say(inBoth(r, p.Unit), p.Class, last.Product, last.Rate, last.Where, last.At),
				meant(r, p, near))
		}
	}
	switch label, err := r.To(p.Unit); {
	case used || p.Unit == "" || p.Class == SO2:
	case p.Unit.OnGrapes() != r.Unit.OnGrapes():
		return ask(otherGround.Say(r, onWhat(r.Unit), p.ID, onWhat(p.Unit), p.Unit), t.otherBasis(d))
	case err == nil && american(p.Unit) != american(r.Unit):
		return ask(otherSystem.Say(r, label.Value, p.Unit, p.ID))
	}
	return nil
}

// lastOfClass is the latest dose of the class of a product in any vessel, given
// in a unit that compares, or nil; used reports whether this very lot has been
// given in this unit before.
func (s *State) lastOfClass(p *Product, r quantity.Rate) (last *Dose, used bool) {
	for _, number := range s.vesselOrder {
		for _, it := range s.vessels[number].Account {
			if it.Dose == nil || it.TakenBack || it.Dose.Class.family() != p.Class.family() {
				continue
			}
			used = used || it.Dose.Product == p.ID && it.Dose.Rate.Unit == r.Unit
			was, err := it.Dose.Rate.To(r.Unit)
			if err != nil || was.Value <= 0 || last != nil && it.At.Before(last.At) {
				continue
			}
			x := *it.Dose
			x.At = it.At
			last = &x
		}
	}
	return last, used
}

func onWhat(u quantity.RateUnit) text.Say {
	if u.OnGrapes() {
		return onGrapes.Say()
	}
	return onJuice.Say()
}

// american tells the units of US labels.
func american(u quantity.RateUnit) bool {
	switch u {
	case quantity.LbPer1000Gal, quantity.OzPer1000Gal, quantity.LbPerShortTon, quantity.FlOzPerShortTon:
		return true
	}
	return false
}

// otherBasis says what a dose would be on the other basis, by the yield of the
// loads that are in the vessel.
func (t *doseTry) otherBasis(d *decision) text.Say {
	grapes, _ := d.s.grapesIn(t.of)
	kg, hl := grapes.Kilograms(), t.of.Now.Volume.HL()
	if kg <= 0 || hl/kg*1000 < leastYield {
		return text.Say{}
	}
	perHL := t.perHL
	return onOther.Say(perHL, perHL*hl/kg*100, hl/kg*1000)
}
