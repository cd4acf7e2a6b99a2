package cellar

import (
	"strconv"
	"strings"
	"time"

	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/subject"
	"cellar.example/mustwatch/domain/text"
)

var (
	holdsTooMuch = text.New("holds-too-much", "{tank} holds {over_limit}.")
	sumTooMuch   = text.New("sum-too-much", "The sum of {class} on {tank} is {sum}; the most is {most}.")
)

// broke lists the rules that what is true by a correction broke. A correction is
// always written, for it is what happened; what it broke is written with it, so
// that no entry is small for the rules and great afterwards.
func (f *Corrected) broke(d *decision, v, w *Vessel, was *Item) (out []Fact) {
	broke := func(rule gate.Code, said text.Say) {
		out = append(out, &RuleAnswered{Subject: v.Ref(), What: tryCorrection.Say(v.Number), Rule: rule, Of: v.Ref(),
			Field: f.Field, Stop: true,
			Said: said, By: d.head.By, Reason: f.Reason, Broken: true})
	}
	u := d.s.House.Units
	if was.In != nil && w.Now.Volume > w.Limit() && w.Now.Volume > v.Now.Volume {
		broke("H06", holdsTooMuch.Say(w.Number, w.overLimit(w.Now.Volume, u)))
	}
	if was.Dose != nil && f.Field == "amount" {
		before, _, _ := d.sumOf(v, was.Dose)
		sum, most, known := d.sumOf(w, was.Dose)
		if known && sum > most+1e-9 && sum > before {
			unit := quantity.GPerHL
			if was.Dose.Amount.Liquid() {
				unit = quantity.MLPerHL
			}
			is, limit := quantity.Rate{Value: sum, Unit: unit}.Beside(quantity.Rate{Value: most, Unit: unit})
			broke("H07", sumTooMuch.Say(was.Dose.Class, w.Number, is, limit))
		}
	}
	return out
}

// sumOf is what a vessel has had of the class of a dose, in g/hL or mL/hL, and the
// most it may have by the card or, of SO2, by the house; ok is false without one.
func (d *decision) sumOf(v *Vessel, x *Dose) (sum, most float64, ok bool) {
	for _, y := range v.Now.Doses {
		if y.Class.family() == x.Class.family() && y.Amount.Liquid() == x.Amount.Liquid() {
			sum += y.PerHL
		}
	}
	p := d.s.products[x.Product]
	if p == nil {
		return sum, 0, false
	}
	limit := p.Card.Max
	if x.Class == SO2 {
		limit = d.s.House.Limits.SO2Max
	}
	if limit.IsZero() {
		return sum, 0, false
	}
	r, err := limit.To(p.SumUnit())
	return sum, r.Value, err == nil
}

// mendTry is a figure that is corrected.
type mendTry struct {
	field    string
	what     text.Say // the entry it stands in
	inflow   bool
	was, now string // as the journal keeps them
	by       Initials
	at       time.Time
	frees    []*Vessel // whose pectin counts as gone by it, and did not
	retimes  []retimed // tests that are due at another time by it
}

// retimed is the test of a contact that is due at another time.
type retimed struct {
	of       TankNumber
	was, now Timer
}

// mend lays a figure that is corrected before the rules.
func (d *decision) mend(of subject.Ref, m *mendTry) {
	d.subject, d.what = of, tryCorrection.Say(of.Name)
	ask(d, mendRules, m)
}

// farMend is how many times the old figure, or what part of it, a new one is asked
// about: a slip of the unit, of the decimal point or of the entry (common practice,
// no source).
const farMend = 5

var (
	timesOld       = text.New("times-old", "{times:%.0f} times")
	partOfOld      = text.New("part-of-old", "one {part:%.0f}th of")
	farFromOld     = text.New("far-from-old", "{field}, {subject}: {now} is {times} the old {was}.")
	savedByAnother = text.New("saved-by-another", "{who} saved it at {time}, not you.")
	rightEntry     = text.New("right-entry", "Right entry? Right unit? Decimal point right?")
)

// farMend is D24, a rule of our own.
func (m *mendTry) farMend(d *decision) []gate.Finding {
	if m.field == "entry" {
		return nil
	}
	if m.field == "temp" && len(m.retimes) > 0 {
		return m.retimed(d)
	}
	was, now := magnitude(m.field, m.was), magnitude(m.field, m.now)
	if was <= 0 || now <= 0 || now < farMend*was && was < farMend*now {
		return nil
	}
	times := timesOld.Say(now / was)
	if now < was {
		times = partOfOld.Say(was / now)
	}
	s := d.s
	far := farFromOld.Say(fieldOf(m.field, m.what, m.inflow), d.subject, s.MendText(m.field, m.now), times,
		s.MendText(m.field, m.was))
	var others text.Say
	if m.by != d.head.By {
		others = savedByAnother.Say(m.by, m.at)
	}
	return []gate.Finding{{Field: "value", Right: gate.Anyone, Say: text.Join(" ", far, others, rightEntry.Say())}}
}

// magnitude is the size of a value as the journal keeps it, for comparing two of the
// same field; 0 where it cannot be told.
func magnitude(field, text string) float64 {
	switch field {
	case "volume", "dip", "holds":
		var v quantity.Volume
		_ = v.UnmarshalText([]byte(text))
		return float64(v)
	case "amount", "count":
		var a quantity.Amount
		_ = a.UnmarshalText([]byte(text))
		return float64(a.Mass) + float64(a.Volume)
	case "gross", "tare", "net", "mass":
		var m quantity.Mass
		_ = m.UnmarshalText([]byte(text))
		return float64(m)
	case "at", "entry":
		return 0
	}
	number, _, _ := strings.Cut(text, " ")
	x, _ := strconv.ParseFloat(number, 64)
	return x
}

var goneByMend = text.New("gone-by-correction",
	"This makes {tank} NEGATIVE since {time}, by the test that then stands.",
	"Is that what the tubes showed?")

// freed is D31, a rule of our own: what is corrected or taken back may turn a test
// into a negative, or take the one out of the way that stood against it. The verdict
// follows from what was seen; whoever says that it was seen so has the right to.
func (m *mendTry) freed(d *decision) (out []gate.Finding) {
	for _, v := range m.frees {
		out = append(out, gate.Finding{Field: "value", Right: gate.Lead,
			Say: goneByMend.Say(v.Number, v.Now.PectinGone)})
	}
	return out
}

// frees are the vessels whose pectin counts as gone in an outlook, and does not now.
func (o *outlook) frees() (out []*Vessel) {
	for _, p := range o.touched() {
		if w := o.vessel(p); !w.Now.PectinGone.IsZero() && w.Now.Check() == nil &&
			o.s.vessels[p].Now.PectinGone.IsZero() {
			out = append(out, w)
		}
	}
	return out
}

var (
	becomesAt     = text.New("becomes-at", "{verb} at {time}")
	becomesUntold = text.New("becomes-untold", "no test time at this temperature: warm it or ask")
)

var contactByMend = text.New("contact-by-correction",
	"The contact of {of} was worked out from {was}, {verb} at {time}.",
	"With {now}: {becomes}. Is this what was read?")

// retimed asks about a temperature that a contact went by: with it another time was set.
func (m *mendTry) retimed(d *decision) (out []gate.Finding) {
	for _, x := range m.retimes {
		becomes := becomesAt.Say(x.now.Says(), x.now.Due)
		if x.now.Verb == CannotTell {
			becomes = becomesUntold.Say()
		}
		out = append(out, gate.Finding{Of: d.s.vessels[x.of].Ref(), Field: "value", Right: gate.Anyone,
			Say: contactByMend.Say(x.of, d.s.MendText(m.field, m.was), x.was.Says(), x.was.Due, d.s.MendText(m.field,
				m.now), becomes)})
	}
	return out
}

// retimes are the contacts whose test is due at another time in an outlook.
func (o *outlook) retimes() (out []retimed) {
	for _, p := range o.touched() {
		was, ran := o.s.contactTimer(o.s.vessels[p])
		now, runs := o.s.contactTimer(o.vessel(p))
		if ran && runs && (!was.Due.Equal(now.Due) || was.Verb != now.Verb) {
			out = append(out, retimed{p, was, now})
		}
	}
	return out
}
