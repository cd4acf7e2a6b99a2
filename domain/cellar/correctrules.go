package cellar

import (
	"fmt"

	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/quantity"
)

// broke lists the rules that what is true by a correction broke. A correction is
// always written, for it is what happened; what it broke is written with it, so
// that no entry is small for the rules and great afterwards.
func (f *Corrected) broke(d *decision, v, w *Vessel, was, now *Item) (out []Fact) {
	say := func(rule gate.Code, format string, args ...any) {
		out = append(out, &RuleAnswered{Subject: string(v.Plate), What: "a correction of " + string(v.Plate), Rule: rule, Stop: true,
			Message: fmt.Sprintf(format, args...), By: d.head.By, Reason: "corrected: " + f.Reason, Broken: true})
	}
	u := d.s.House.Units
	if was.In != nil && w.Now.Volume > w.Limit() && w.Now.Volume > v.Now.Volume {
		say("H06", "%s holds %s, %s; its limit is %s (%.0f %%).", w.Plate, w.Now.Volume.Text(u), percent(w.Now.Volume, w.Brim), w.Limit().Text(u), w.LimitPct)
	}
	if was.Dose != nil && !now.Struck && f.Field == "amount" {
		before, _, _ := d.sumOf(v, was.Dose)
		sum, most, known := d.sumOf(w, was.Dose)
		if known && sum > most+1e-9 && sum > before {
			say("H07", "The sum of %s on %s is %.1f; %.1f is the most.", was.Dose.Class, w.Plate, sum, most)
		}
	}
	return out
}

// sumOf is what a vessel has had of the class of a dose, in g/hL or mL/hL, and the
// most it may have by the card or, of SO2, by the house; ok is false without one.
func (d *decision) sumOf(v *Vessel, x *Dose) (sum, most float64, ok bool) {
	for _, y := range v.Now.Doses {
		if y.Class.family() == x.Class.family() {
			sum += y.PerHL
		}
	}
	p := d.s.products[x.Product]
	if p == nil {
		return sum, 0, false
	}
	limit, unit := p.Card.Max, quantity.GPerHL
	switch {
	case x.Class == SO2:
		limit = d.s.House.Limits.SO2Max
	case p.Liquid:
		unit = quantity.MLPerHL
	}
	if limit.IsZero() {
		return sum, 0, false
	}
	r, err := limit.To(unit)
	return sum, r.Value, err == nil
}
