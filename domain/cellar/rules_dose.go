package cellar

import (
	"fmt"
	"time"

	"cellar.example/mustwatch/domain/dose"
	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/stage"
)

// doubleDose is H07. SO2 goes by the sum, for split doses are normal; other
// products by count and by the sum on the card.
func (t *doseTry) doubleDose(d *decision) (out []gate.Finding) {
	v, p := t.of, t.product
	last, sum := sameClass(d, v, p)
	if p.Class == SO2 {
		return t.so2Again(d, last, sum)
	}
	if last == nil && !t.overMax(sum) {
		return nil
	}
	total := sum + t.perHL
	switch {
	case t.overMax(sum):
		would, most := quantity.Rate{Value: total, Unit: p.SumUnit()}.Beside(p.Card.Max)
		msg := fmt.Sprintf("The sum on %s would be %s; the card allows %s.", v.Plate, would, most)
		out = append(out, gate.Finding{Field: "rate", Message: msg + since(d.s, last), Right: gate.Lead, Second: true, Reason: true, Like: seqOf(last)})
	case last != nil:
		msg := fmt.Sprintf("%s has had %s of %s already.", v.Plate, last.Amount.Text(d.s.House.Units), p.Class.said())
		out = append(out, gate.Finding{Field: "product", Message: msg + since(d.s, last), Right: gate.Lead, Second: true, Reason: true, Like: seqOf(last)})
	}
	return out
}

func since(s *State, d *Dose) string {
	if d == nil {
		return ""
	}
	return fmt.Sprintf(" %s %s by %s at %s, %s.", d.Product, d.Amount.Text(s.House.Units), d.By, s.Clock(d.At), d.Rate)
}

// seqOf is the entry of a dose, to which one written late may be the same.
func seqOf(d *Dose) uint64 {
	if d == nil {
		return 0
	}
	return uint64(d.Seq)
}

func (t *doseTry) so2Again(d *decision, last *Dose, sum float64) []gate.Finding {
	s := d.s
	if last != nil && d.at.Sub(last.At) > 24*time.Hour {
		last = nil
	}
	msg, it := "", "the SO2 of "+string(t.of.Plate)
	if last != nil {
		it = "it"
		msg = fmt.Sprintf("SO2 is in %s already: %s by %s at %s (%s). ", t.of.Plate, last.Amount.Text(s.House.Units), last.By, s.Clock(last.At), last.Rate)
	}
	if limit, err := s.House.Limits.SO2Max.To(quantity.GPerHL); err == nil && sum+t.perHL > limit.Value+1e-9 {
		would, most := quantity.Rate{Value: sum + t.perHL, Unit: quantity.GPerHL}.Beside(s.onJuice(limit))
		return []gate.Finding{{Field: "rate", Right: gate.Lead, Second: true, Reason: true, Like: seqOf(last),
			Message: msg + fmt.Sprintf("With this %s would be %s; the house allows %s.", it, would, most)}}
	}
	if last == nil {
		return nil
	}
	return []gate.Finding{{Field: "rate", Right: gate.Anyone, Like: seqOf(last), Message: msg + "One more on purpose?"}}
}

// onJuice is a dose of a powder on juice in the unit of the house.
func (s *State) onJuice(r quantity.Rate) quantity.Rate {
	unit := quantity.GPerHL
	if s.House.Units == quantity.US {
		unit = quantity.LbPer1000Gal
	}
	if same, err := r.To(unit); err == nil {
		return same
	}
	return r
}

// sameClass finds the last dose of the same family on this content since its
// last change, and the sum of all that add up with the product: grams and
// millilitres have no sum.
func sameClass(d *decision, v *Vessel, p *Product) (last *Dose, sum float64) {
	for i := range v.Now.Doses {
		x := &v.Now.Doses[i]
		if x.Class.family() != p.Class.family() {
			continue
		}
		if x.Amount.Liquid() == p.SumUnit().Liquid() {
			sum += x.PerHL
		}
		if !x.changed(d.s.House.Limits) {
			last = x
		}
	}
	return last, sum
}

// changed tells whether so much of what is there has not had the dose that it is
// no longer the content that was dosed. The dose follows the juice, so a whole lot
// that was moved is what it was.
func (x *Dose) changed(lim Limits) bool {
	return x.First > 0 && x.PerHL < (1-lim.SameJuice)*x.First-1e-9
}

func (t *doseTry) overMax(sum float64) bool {
	p := t.product
	if p.Card.Max.IsZero() {
		return false
	}
	m, err := p.Card.Max.To(p.SumUnit())
	return err == nil && sum+t.perHL > m.Value+1e-9
}

// cold is W09: below the card's floor, or below the house's slow limit
// without the longer row.
func (t *doseTry) cold(d *decision) []gate.Finding {
	if !t.product.HasClock() || t.temp == nil {
		return nil
	}
	temp, card := *t.temp, t.product.Card
	row, on := card.RowFor(temp)
	is, floor := temp.Beside(card.Floor, d.s.House.Units)
	switch {
	case temp < card.Floor:
		return []gate.Finding{{Field: "temp", Right: gate.Anyone,
			Message: fmt.Sprintf("%s is under the card's floor of %s: slow, do not trust the clock. Warm it.", is, floor)}}
	case !on:
		return []gate.Finding{{Field: "temp", Right: gate.Anyone,
			Message: fmt.Sprintf("%s stands on no row of the card: when to test cannot be told.", temp.Text(d.s.House.Units))}}
	case temp < d.s.House.Limits.SlowBelow && !t.testAt.IsZero() && t.testAt.Before(d.at.Add(row.Wait.Duration())):
		return []gate.Finding{{Field: "test_at", Right: gate.Anyone,
			Message: fmt.Sprintf("%s is cold: the row says %s.", temp.Text(d.s.House.Units), row.Wait)}}
	}
	return nil
}

// tooClose is W10: enzyme and SO2, or enzyme and bentonite, poured to poured.
func (t *doseTry) tooClose(d *decision) (out []gate.Finding) {
	k, gap := t.product.Class, d.s.House.Limits.ApartFor.Duration()
	for _, x := range t.of.Now.Doses {
		other := x.Class
		clash := k.enzyme() && (other == SO2 || other == Bentonite) || other.enzyme() && (k == SO2 || k == Bentonite)
		n := d.at.Sub(x.At)
		if n < 0 {
			n = -n
		}
		if clash && n < gap && (x.Where == "" || x.Where == t.of.Plate) {
			out = append(out, gate.Finding{Of: productRef(x.Product), Field: "product", Right: gate.Anyone,
				Message: fmt.Sprintf("%s went in at %s, %s ago; enzyme and %s keep %s apart.", other, d.s.Clock(x.At), quantity.Span(n.Truncate(time.Minute)), notEnzyme(k, other), d.s.House.Limits.ApartFor)})
		}
	}
	return out
}

func notEnzyme(a, b Class) Class {
	if a.enzyme() {
		return b
	}
	return a
}

// early is W21: a typed time for the test that comes before the card's row.
func (t *doseTry) early(d *decision) []gate.Finding {
	if !t.hasDue || t.testAt.IsZero() || !t.testAt.Before(t.due) {
		return nil
	}
	return []gate.Finding{{Field: "test_at", Right: gate.Anyone,
		Message: fmt.Sprintf("The card's row ends at %s; a test at %s may come too early.", d.s.Clock(t.due), d.s.Clock(t.testAt))}}
}

// tooHot is H08: over the ceiling of its card the enzyme would be lost. No
// word lifts it.
func (t *doseTry) tooHot(d *decision) []gate.Finding {
	if !t.product.Class.enzyme() {
		return nil
	}
	if t.temp == nil {
		if t.of.Now.Kind != stage.HotMust || t.product.Card.Ceiling == 0 {
			return nil
		}
		return []gate.Finding{{Field: "temp", Right: gate.Nobody, Message: fmt.Sprintf("Nobody has read the hot must of %s as it is now: read it before an enzyme goes in.", t.of.Plate)}}
	}
	if limit := t.product.Card.Ceiling; limit > 0 && *t.temp > limit {
		is, ceiling := t.temp.Beside(limit, d.s.House.Units)
		return []gate.Finding{{Field: "temp", Right: gate.Nobody,
			Message: fmt.Sprintf("%s is over the card's ceiling of %s: the enzyme would be lost. Cool first.", is, ceiling)}}
	}
	return nil
}

// coldYeast is W18, below the house's own limit: whites are sown cold.
func (t *doseTry) coldYeast(d *decision) []gate.Finding {
	if t.product.Class != YeastClass {
		return nil
	}
	temp := t.temp
	if temp == nil && d.at.Sub(t.of.Now.TempAt) < readAhead {
		temp = t.of.Now.Last.Temp
	}
	if temp == nil || *temp >= d.s.House.Limits.ColdYeast {
		return nil
	}
	return []gate.Finding{{Field: "temp", Right: gate.Anyone, Message: fmt.Sprintf("%s is cold for yeast: a slow start.", temp.Text(d.s.House.Units))}}
}

// wildTemp is D03, a rule of our own: a reading more than eight degrees from
// the last one of the same content, which can only be a slip or an alarm.
func (t *readTry) wildTemp(d *decision) []gate.Finding {
	if t.Temp == nil || t.of.Now.Last.Temp == nil || t.of.Now.Stage.Empty() || t.of.Now.Kind == stage.HotMust {
		return nil // hot must is cooled on its way, by twenty degrees and more
	}
	was := *t.of.Now.Last.Temp
	if jump := *t.Temp - was; jump <= 8 && jump >= -8 {
		return nil
	}
	u := d.s.House.Units
	return []gate.Finding{{Field: "temp", Right: gate.Anyone,
		Message: fmt.Sprintf("%s? It read %s at %s.", t.Temp.Text(u), was.Text(u), d.s.Clock(t.of.Now.TempAt))}}
}

// watered is W23. All additions together bring no more water into juice than a
// hundredth of it (27 CFR 24.246, read); what moved on took its share along.
func (t *doseTry) watered(d *decision) []gate.Finding {
	c := &t.of.Now
	all := dose.Waters(c.Volume, t.water, c.WaterAdded())
	if t.water <= 0 || c.Volume <= 0 || !all.Over {
		return nil
	}
	is, most := quantity.Percent(all.Share * 100).Beside(1)
	return []gate.Finding{{Field: "water", Right: gate.Anyone,
		Message: fmt.Sprintf("With this %s of water is in %s, %s of its juice: more than %s. Make it up in less, or in juice.", all.Water.Text(d.s.House.Units), t.of.Plate, is, most)}}
}
