package cellar

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/subject"
)

// broke lists the rules that what is true by a correction broke. A correction is
// always written, for it is what happened; what it broke is written with it, so
// that no entry is small for the rules and great afterwards.
func (f *Corrected) broke(d *decision, v, w *Vessel, was *Item) (out []Fact) {
	say := func(rule gate.Code, format string, args ...any) {
		out = append(out, &RuleAnswered{Subject: v.Ref(), What: "a correction of " + string(v.Plate), Rule: rule, Of: v.Ref(), Field: f.Field, Stop: true,
			Message: fmt.Sprintf(format, args...), By: d.head.By, Reason: "corrected: " + f.Reason, Broken: true})
	}
	u := d.s.House.Units
	if was.In != nil && w.Now.Volume > w.Limit() && w.Now.Volume > v.Now.Volume {
		say("H06", "%s holds %s.", w.Plate, w.overLimit(w.Now.Volume, u))
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
			say("H07", "The sum of %s on %s is %s; the most is %s.", was.Dose.Class, w.Plate, is, limit)
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

// mendTry is a figure that is put right.
type mendTry struct {
	field    string
	what     string // the entry it stands in, in words
	was, now string // as the journal keeps them
	by       Initials
	at       time.Time
	frees    []*Vessel // whose pectin counts as gone by it, and did not
	retimes  []retimed // tests that are due at another time by it
}

// retimed is the test of a contact that is due at another time.
type retimed struct {
	of       Plate
	was, now Timer
}

// mend lays a figure that is put right before the rules.
func (d *decision) mend(of subject.Ref, m *mendTry) {
	d.subject, d.what = of, "a correction of "+of.Name
	ask(d, mendRules, m)
}

// farMend is how many times the old figure, or what part of it, a new one is asked
// about: a slip of the unit, of the decimal point or of the entry (common practice,
// no source).
const farMend = 5

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
	times := fmt.Sprintf("%.0f times", now/was)
	if now < was {
		times = fmt.Sprintf("one %.0fth of", was/now)
	}
	s := d.s
	msg := fmt.Sprintf("%s, %s: %s is %s the old %s.", fieldOf(m.field, m.what), d.subject, s.MendText(m.field, m.now), times, s.MendText(m.field, m.was))
	if m.by != d.head.By {
		msg += fmt.Sprintf(" %s wrote it at %s, not you.", m.by, s.Clock(m.at))
	}
	return []gate.Finding{{Field: "value", Right: gate.Anyone, Message: msg + " Is this the entry, the unit and the point?"}}
}

// magnitude is the size of a value as the journal keeps it, for comparing two of the
// same field; 0 where it cannot be told.
func magnitude(field, text string) float64 {
	switch field {
	case "volume", "dip", "holds":
		var v quantity.Volume
		_ = v.UnmarshalText([]byte(text))
		return float64(v)
	case "amount":
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

// freed is D31, a rule of our own: what is put right or taken back may turn a test
// into a negative, or take the one out of the way that stood against it. The verdict
// follows from what was seen; whoever says that it was seen so has the right to.
func (m *mendTry) freed(d *decision) (out []gate.Finding) {
	for _, v := range m.frees {
		out = append(out, gate.Finding{Field: "value", Right: gate.Lead,
			Message: fmt.Sprintf("With this the pectin of %s counts as gone since %s, by the test that then stands. Is that what the tubes showed?", v.Plate, d.s.Clock(v.Now.PectinGone))})
	}
	return out
}

// frees are the vessels whose pectin counts as gone in an outlook, and does not now.
func (o *outlook) frees() (out []*Vessel) {
	for _, p := range o.touched() {
		if w := o.vessel(p); !w.Now.PectinGone.IsZero() && w.Now.Check() == nil && o.s.vessels[p].Now.PectinGone.IsZero() {
			out = append(out, w)
		}
	}
	return out
}

// retimed asks about a temperature that a contact went by: with it another time was set.
func (m *mendTry) retimed(d *decision) (out []gate.Finding) {
	for _, x := range m.retimes {
		becomes := x.now.Verb + " at " + d.s.Clock(x.now.Due)
		if x.now.Verb == CannotTell {
			becomes = "its time " + CannotTell
		}
		out = append(out, gate.Finding{Of: d.s.vessels[x.of].Ref(), Field: "value", Right: gate.Anyone,
			Message: fmt.Sprintf("The contact of %s went by %s, %s at %s. With %s: %s. Is this what was read?",
				x.of, d.s.MendText(m.field, m.was), x.was.Verb, d.s.Clock(x.was.Due), d.s.MendText(m.field, m.now), becomes)})
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
