package cellar

import (
	"time"

	"cellar.example/mustwatch/domain/dose"
	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/stage"
	"cellar.example/mustwatch/domain/text"
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
		out = append(out, gate.Finding{Field: "rate", Say: text.Join(" ", sumOverCard.Say(v.Number, would, most),
			sayDose(last)),
			Right: gate.Lead, Second: true, Reason: true, Like: seqOf(last)})
	case last != nil:
		out = append(out, gate.Finding{Field: "product", Say: text.Join(" ", hasHadAlready.Say(v.Number, last.Amount,
			p.Class.said()), sayDose(last)),
			Right: gate.Lead, Second: true, Reason: true, Like: seqOf(last)})
	}
	return out
}

var (
	sumOverCard   = text.New("sum-over-card", "The total on {tank} would be {total}; the card allows {most}.")
	hasHadAlready = text.New("has-had-already", "{tank} has had {amount} of {class} already.")
	thatDose      = text.New("that-dose", "{product} {amount} by {who} at {time}, {rate}.")
)

// sayDose says who gave a dose and when; nothing of none.
func sayDose(d *Dose) text.Say {
	if d == nil {
		return text.Say{}
	}
	return thatDose.Say(d.Product, d.Amount, d.By, d.At, d.Rate)
}

// seqOf is the entry of a dose, to which one written late may be the same.
func seqOf(d *Dose) uint64 {
	if d == nil {
		return 0
	}
	return uint64(d.Seq)
}

var (
	so2Already   = text.New("so2-already", "SO2 is in {tank} already: {amount} by {who} at {time} ({rate}).")
	so2OverHouse = text.New("so2-over-house", "With this the SO2 of {tank} would be {total}; the house allows "+
		"{most}.")
	so2WithThis      = text.New("so2-with-this", "With this {tank} would have {total}; the house allows {most}.")
	oneMoreOnPurpose = text.New("one-more-on-purpose", "Add it again on purpose?")
)

func (t *doseTry) so2Again(d *decision, last *Dose, sum float64) []gate.Finding {
	s := d.s
	if last != nil && d.at.Sub(last.At) > 24*time.Hour {
		last = nil
	}
	var already text.Say
	over := so2OverHouse
	if last != nil {
		already, over = so2Already.Say(t.of.Number, last.Amount, last.By, last.At, last.Rate), so2WithThis
	}
	if limit, err := s.House.Limits.SO2Max.To(quantity.GPerHL); err == nil && sum+t.perHL > limit.Value+1e-9 {
		would, most := quantity.Rate{Value: sum + t.perHL, Unit: quantity.GPerHL}.Beside(s.onJuice(limit))
		return []gate.Finding{{Field: "rate", Right: gate.Lead, Second: true, Reason: true, Like: seqOf(last),
			Say: text.Join(" ", already, over.Say(t.of.Number, would, most))}}
	}
	if last == nil {
		return nil
	}
	return []gate.Finding{{Field: "rate", Right: gate.Anyone, Like: seqOf(last), Say: text.Join(" ", already,
		oneMoreOnPurpose.Say())}}
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

// changed reports whether so much of what is there has not had the dose that it is
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

var (
	underFloor = text.New("under-floor",
		"{temp} is under the card's floor of {floor}: slow, do not trust the clock.",
		"Warm it.")
	offEveryRow = text.New("off-every-row",
		"{temp} is on no row of the card: the test time cannot be calculated.")
	slowRow = text.New("slow-row",
		"{temp} is cold: the row says {wait}.")
)

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
			Say: underFloor.Say(is, floor)}}
	case !on:
		return []gate.Finding{{Field: "temp", Right: gate.Anyone,
			Say: offEveryRow.Say(temp)}}
	case temp < d.s.House.Limits.SlowBelow && !t.testAt.IsZero() && t.testAt.Before(d.at.Add(row.Wait.Duration())):
		return []gate.Finding{{Field: "test_at", Right: gate.Anyone,
			Say: slowRow.Say(temp, row.Wait)}}
	}
	return nil
}

var dosesTooClose = text.New("doses-too-close",
	"{other} went in at {time}, {age} ago; keep enzyme and {not_enzyme} {apart_for} apart.")

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
		if clash && n < gap && (x.Where == "" || x.Where == t.of.Number) {
			out = append(out, gate.Finding{Of: productRef(x.Product), Field: "product", Right: gate.Anyone,
				Say: dosesTooClose.Say(other, x.At, quantity.Span(n.Truncate(time.Minute)), notEnzyme(k, other),
					d.s.House.Limits.ApartFor)})
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

var testTooEarly = text.New("test-too-early",
	"The card says {due}; a test at {test} is too early.")

// early is W21: a typed time for the test that comes before the card's row.
func (t *doseTry) early(d *decision) []gate.Finding {
	if !t.hasDue || t.testAt.IsZero() || !t.testAt.Before(t.due) {
		return nil
	}
	return []gate.Finding{{Field: "test_at", Right: gate.Anyone,
		Say: testTooEarly.Say(t.due, t.testAt)}}
}

var (
	hotUnread = text.New("hot-unread",
		"The hot must in {tank} has no new temperature: read it before an enzyme goes in.")
	overCeiling = text.New("over-ceiling",
		"{temp} is over the card's ceiling of {ceiling}: the enzyme would be lost.",
		"Cool it first.")
)

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
		return []gate.Finding{{Field: "temp", Right: gate.Nobody, Say: hotUnread.Say(t.of.Number)}}
	}
	if limit := t.product.Card.Ceiling; limit > 0 && *t.temp > limit {
		is, ceiling := t.temp.Beside(limit, d.s.House.Units)
		return []gate.Finding{{Field: "temp", Right: gate.Nobody,
			Say: overCeiling.Say(is, ceiling)}}
	}
	return nil
}

var coldYeastSays = text.New("cold-yeast",
	"{temp} is cold for yeast: a slow start.")

// coldYeast is W18, below the house's own limit: whites are inoculated cold.
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
	return []gate.Finding{{Field: "temp", Right: gate.Anyone, Say: coldYeastSays.Say(temp)}}
}

var wildTempSays = text.New("wild-temp",
	"{temp}?",
	"It read {was} at {time}.")

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
	return []gate.Finding{{Field: "temp", Right: gate.Anyone,
		Say: wildTempSays.Say(t.Temp, was, t.of.Now.TempAt)}}
}

var wateredSays = text.New("watered",
	"With this {water} of water is in {tank}, {share} of its juice: more than {most}.",
	"Make it up in less, or in juice.")

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
		Say: wateredSays.Say(all.Water, t.of.Number, is, most)}}
}
