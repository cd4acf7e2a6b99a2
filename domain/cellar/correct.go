package cellar

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/subject"
	"cellar.example/mustwatch/domain/text"
)

// Correct replaces one value of one earlier entry, or takes the entry back.
// Nothing is lost: the old value and the reason stay with it.
type Correct struct {
	Head
	Of       Seq        `json:"of"`
	Vessel   TankNumber `json:"vessel,omitempty"` // where one entry touched several
	Says     string     `json:"item,omitempty"`   // which line, where the opening says several: E-1, waiting
	Field    string     `json:"field,omitempty"`  // volume, holds, amount, temp, density, ntu, brix, ph, dip, at
	Value    string     `json:"value,omitempty"`
	TakeBack bool       `json:"take_back,omitempty"`
	Reason   string     `json:"reason"`
}

func (c *Correct) decide(d *decision) ([]Fact, error) {
	if strings.TrimSpace(c.Reason) == "" {
		return nil, reject("reason", "reason", "say why; the old value stays beside the new one")
	}
	gas, e := d.s.gasOf(c.Of), d.s.entryOf(c.Of)
	switch {
	case gas != nil:
		return c.gas(gas)
	case e == nil:
		return c.aside(d)
	case never[Kind(e.Fact)] != "":
		return nil, neverTaken(c.Of, Kind(e.Fact))
	}
	if l := d.s.lineOf(e); !l.says.IsZero() {
		load, fill := d.s.loadOf(c.Of), d.s.fillOf(c.Of)
		switch {
		case c.TakeBack || c.Field == "at":
		case fill != nil && !fill.Vessel:
			return c.fill(d, fill)
		case load != nil:
			return c.load(d, load)
		}
		return c.line(d, e, l)
	}
	v, it, err := c.find(d)
	if err != nil {
		return nil, err
	}
	f := &Corrected{Of: c.Of, Vessel: v.Number, Reason: c.Reason, TakeBack: c.TakeBack, What: it.says(),
		Inflow: it.In != nil}
	if c.TakeBack {
		f.Field = "entry"
	} else if err := c.value(d, v, it, f); err != nil {
		return nil, err
	}
	d.correctedBefore(it, f)
	o := d.draftOf(f)
	d.mend(v.Ref(), &mendTry{field: f.Field, what: f.What, inflow: f.Inflow, was: f.Was, now: f.Now, by: it.By,
		at:    it.At,
		frees: o.frees(), retimes: o.retimes()})
	if err := d.possible(o, "value", func(n Seq) bool { return n == c.Of }); err != nil {
		return nil, err
	}
	w := o.vessel(v.Number)
	facts := append([]Fact{f}, f.broke(d, v, w, it)...)
	return facts, nil
}

// instead is how the cellar would be with one entry in the place of another.
func (d *decision) instead(was, now *entry) *outlook {
	o := &outlook{s: d.s, book: d.s.book.draft(), all: true}
	o.flows = now.again(d.s)
	o.book.edit(was, o.flows)
	return o
}

// draftOf is how the cellar would be with a correction.
func (d *decision) draftOf(f *Corrected) *outlook {
	e := d.s.entryOf(f.Of)
	d.draft = d.instead(e, f.fresh(e, Record{}))
	return d.draft
}

// find looks the entry up; with no vessel named it must touch only one.
func (c *Correct) find(d *decision) (*Vessel, *Item, error) {
	var hitV *Vessel
	var hit *Item
	var fit []string
	e := d.s.entryOf(c.Of)
	for _, p := range d.s.vesselOrder {
		v := d.s.vessels[p]
		if e == nil || c.Vessel != "" && v.Number != c.Vessel {
			continue
		}
		for _, it := range v.said(e) {
			if it.Out != nil && it.Out.Sent == nil || !c.TakeBack && !it.has(c.Field) ||
				c.Says != "" && d.s.At(it.At).Words(it.says()) != c.Says {
				continue
			}
			fit = append(fit, d.s.At(it.At).Words(it.says()))
			if hit != nil && (hitV == v || c.TakeBack && e.whole()) {
				continue // an opening books several lines at once
			}
			if hit != nil {
				return nil, nil, reject("vessel", "vessel", "entry {of} touches several vessels; say which one", c.Of)
			}
			hitV, hit = v, it
		}
	}
	if hit == nil {
		return nil, nil, reject("of", "of", "there is no such entry to correct")
	}
	if len(fit) > 1 && !e.whole() && !c.TakeBack && (c.Field == "at" || c.Field == "amount") {
		return nil, nil, reject("item", "item", "the opening says several things of {tank}; which one is meant: "+
			"{lines}?", hitV.Number, strings.Join(fit, ", "))
	}
	if hit.TakenBack {
		return nil, nil, reject("taken-back", "of", "that entry is taken back already{taken_back_by}",
			d.s.takenBackBy(c.Of))
	}
	return hitV, hit, nil
}

// takenBackBy says who took an entry back, when and why.
func (s *State) takenBackBy(of Seq) string {
	if e := s.entryOf(of); e != nil {
		for _, m := range slices.Backward(e.mends) {
			if m.Field == "entry" {
				return s.phrase(", by {who} at {time}: {reason}", m.By, m.At, m.Reason)
			}
		}
	}
	return ""
}

// mendedTwice is the code under which it is asked whether what somebody else has
// corrected is to be corrected again.
const mendedTwice = "S03"

var correctedBeforeSays = text.New("corrected-before",
	"{who} corrected it at {time} already: {was} → {now} ({reason}).",
	"Correct it again?")

// correctedBefore asks about a value that somebody else has corrected since it was
// written: who corrects it may have the old one before them.
func (d *decision) correctedBefore(it *Item, f *Corrected) {
	for _, m := range slices.Backward(it.Mended) {
		if m.Field == f.Field && m.By != d.head.By {
			d.found = append(d.found, gate.Finding{Rule: mendedTwice, Field: "value", Right: gate.Anyone,
				Say: correctedBeforeSays.Say(m.By, m.At, d.s.MendText(m.Field, m.Was), d.s.MendText(m.Field, m.Now),
					m.Reason)})
			return
		}
	}
}

// has reports whether an item has a field to correct; every item has its instant
// and can be named as a whole.
func (it *Item) has(field string) bool {
	all := it.fields(quantity.Metric)
	if field == "" {
		return len(all) > 0 || it.Read != nil || it.Drop != nil
	}
	for _, f := range all {
		if f.name == field {
			return true
		}
	}
	return field == "at" || field == "entry"
}

// value checks the new value and puts both into words.
func (c *Correct) value(d *decision, v *Vessel, it *Item, f *Corrected) error {
	fields := it.fields(quantity.Metric)
	f.Field = c.Field
	if f.Field == "" && len(fields) == 1 {
		f.Field = fields[0].name
	}
	if f.Field == "at" {
		t, err := time.Parse(time.RFC3339, c.Value)
		if err != nil || t.After(d.now) {
			return reject("value", "value", "type the true time, not in the future, as 2026-09-24T22:15:00+02:00")
		}
		f.Was, f.Now, f.Turn = it.At.Format(time.RFC3339), Instant(t).Format(time.RFC3339), d.turn
		if e := d.s.entryOf(c.Of); !e.whole() {
			return d.opensAt(e, v, it, t)
		}
		return d.opened(t, "value")
	}
	for _, x := range fields {
		if x.name == f.Field {
			f.Was = it.exact(f.Field)
		}
	}
	if f.Was == "" {
		return reject("field", "field", "that entry has no {field:%q}", c.Field)
	}
	now, err := exactValue(f.Field, c.Value, it, d.s.House.Habit())
	if err != nil {
		return reject("value", "value", "{why}", err)
	}
	if f.Field == "amount" && isNothing(now) {
		return reject("value", "value", "a dose of zero was none: take it back")
	}
	if now == f.Was {
		return reject("value", "value", "it says {value} already", c.Value)
	}
	f.Now = now
	if it.Reading != nil {
		m := *it.Reading
		m.set(f.Field, f.Now)
		if no, ok := m.hard(v, d.s.House.Units).(*Rejection); ok {
			return reject(no.Code, "value", "{message}", no.Message())
		}
	}
	return nil
}

// isNothing tells an amount of nothing, as the journal keeps it.
func isNothing(amount string) bool {
	var a quantity.Amount
	return a.UnmarshalText([]byte(amount)) != nil || a.IsZero()
}

// exact is the value as the journal keeps it.
func (it *Item) exact(field string) string {
	switch field {
	case "volume":
		if it.Out != nil {
			return it.Out.Sent.Volume.String()
		}
		return it.In.Volume.String()
	case "holds":
		return it.In.Reads.String()
	case "amount":
		return it.Dose.Drawn.String()
	case "temp":
		return it.Reading.Temp.String()
	case "density":
		return it.Reading.Density.String()
	case "dip":
		return it.Reading.Volume.String()
	case "ntu":
		return number(it.Reading.Turbidity)
	case "brix":
		return number(it.Reading.Brix)
	case "ph":
		return number(it.Reading.PH)
	}
	return ""
}

func number(x *float64) string { return strconv.FormatFloat(*x, 'f', -1, 64) }

func exactValue(field, typed string, it *Item, h quantity.Habit) (string, error) {
	switch field {
	case "volume", "dip", "holds":
		v, err := h.Volume(typed)
		if err == nil && v <= 0 {
			err = fmt.Errorf("a volume is more than nothing")
		}
		return v.String(), err
	case "amount":
		a, err := h.Amount(typed, it.Dose.Drawn.Liquid())
		return a.String(), err
	case "temp":
		t, err := h.Celsius(typed)
		return t.String(), err
	case "density":
		x, err := h.Density(typed)
		return x.String(), err
	}
	span := meterSpans[field]
	x, err := h.Number(typed, span.low, span.high)
	return strconv.FormatFloat(x, 'f', -1, 64), err
}

// meterSpans are what the meters of a cellar can show: a number outside is not what a
// hand meant that typed one with two readings.
var meterSpans = map[string]struct{ low, high float64 }{
	"ntu": {0, 9999}, "brix": {-10, 80}, "ph": {0, 14}, "rot": {0, 100},
}

// Corrected is one value of an earlier entry replaced, or an entry taken back.
type Corrected struct {
	Of       Seq         `json:"of"`
	Vessel   TankNumber  `json:"vessel"`
	Place    string      `json:"place,omitempty"` // of a gas reading, the load, or the press
	About    subject.Ref `json:"about,omitzero"`  // of what no account of a vessel tells
	Load     *Load       `json:"load,omitempty"`  // as it stands now
	Fill     bool        `json:"fill,omitempty"`  // it is of a load that went into the press
	What     text.Say    `json:"what"`
	Inflow   bool        `json:"inflow,omitempty"` // What is where it came in from
	Field    string      `json:"field"`
	Was      string      `json:"was"`
	Now      string      `json:"now,omitempty"`
	TakeBack bool        `json:"take_back,omitempty"`
	Reason   string      `json:"reason"`
	Turn     int         `json:"turn,omitempty"` // among what is of the time that is right
}

// mendable is a fact of which values can be corrected.
type mendable interface {
	flower
	// mend is the fact with a value replaced, as the journal keeps it, of what it says
	// of one vessel.
	mend(at TankNumber, field, value string) flower
}

func (f *JuiceRan) mend(_ TankNumber, field, value string) flower {
	x := *f
	if field == "holds" {
		_ = x.Reads.UnmarshalText([]byte(value))
	} else {
		_ = x.Volume.UnmarshalText([]byte(value))
	}
	return &x
}

func (f *Tipped) mend(_ TankNumber, _, value string) flower {
	x := *f
	_ = x.Volume.UnmarshalText([]byte(value))
	return &x
}

func (f *Moved) mend(at TankNumber, _, value string) flower {
	x := *f
	if at == f.From && f.Out != nil {
		out := *f.Out
		_ = out.Volume.UnmarshalText([]byte(value))
		x.Out = &out
		return &x
	}
	x.To = slices.Clone(f.To)
	for i := range x.To {
		if x.To[i].Vessel == at {
			_ = x.To[i].Volume.UnmarshalText([]byte(value))
			return &x
		}
	}
	if x.Lees != nil && x.Lees.Vessel == at {
		lees := *x.Lees
		_ = lees.Volume.UnmarshalText([]byte(value))
		x.Lees = &lees
	}
	return &x
}

func (f *Dosed) mend(_ TankNumber, _, value string) flower {
	x := *f
	x.Dose = f.draws(value)
	return &x
}

// draws is a dose of which another amount was weighed: what it holds goes by that.
func (x Dose) draws(value string) Dose {
	_ = x.Drawn.UnmarshalText([]byte(value))
	x.ByRate = false
	if holds := x.Strength.Active(x.Drawn); holds.Liquid() == x.Amount.Liquid() {
		x.Amount = holds
	}
	return x
}

func (f *WasRead) mend(_ TankNumber, field, value string) flower {
	x := *f
	x.set(field, value)
	return &x
}

// whole reports whether an entry is taken back as one: all of it, wherever it is.
func (e *entry) whole() bool {
	_, opening := e.Fact.(*CellarOpened)
	return !opening
}

// fresh is an entry with the correction in it; the one it is made of stays as it is.
func (f *Corrected) fresh(e *entry, r Record) *entry {
	x := *e
	x.seq, x.mark = nil, nil
	x.mends = append(e.mends[:len(e.mends):len(e.mends)], mended{f.Vessel, f.What, Mend{Seq: r.Seq, At: r.At, By: r.By,
		Field: f.Field, Was: f.Was, Now: f.Now, Reason: f.Reason}})
	opening, opens := e.Fact.(*CellarOpened)
	switch m, ok := e.Fact.(mendable); {
	case f.TakeBack && e.whole():
		x.taken = []takenPart{{all: true}}
	case f.TakeBack:
		x.taken = append(e.taken[:len(e.taken):len(e.taken)], takenPart{at: f.Vessel, says: f.What})
	case opens:
		x.Fact = opening.mended(f, e.shift)
	case f.Field == "at":
		if t, err := time.Parse(time.RFC3339, f.Now); err == nil {
			x.At, x.Turn = Instant(t), f.Turn
		}
	case f.Load != nil:
		if w, ok := e.Fact.(*LoadWeighed); ok {
			x.Fact = w.corrected(f.Field, f.Load)
		}
	case ok:
		x.Fact = m.mend(f.Vessel, f.Field, f.Now)
	}
	return &x
}

// set puts one value, given as the journal keeps it.
func (m *Measured) set(field, text string) {
	n, _ := strconv.ParseFloat(text, 64)
	switch field {
	case "temp":
		m.Temp = new(quantity.Celsius)
		_ = m.Temp.UnmarshalText([]byte(text))
	case "density":
		m.Density = new(quantity.Density)
		_ = m.Density.UnmarshalText([]byte(text))
	case "dip":
		m.Volume, m.Stick = new(quantity.Volume), nil
		_ = m.Volume.UnmarshalText([]byte(text))
	case "ntu":
		m.Turbidity = &n
	case "brix":
		m.Brix = &n
	case "ph":
		m.PH = &n
	}
}

func (f *Corrected) apply(s *State, r Record) {
	of := vesselRef(f.Vessel)
	if f.Place != "" {
		of = s.where(f.Place)
	}
	switch {
	case f.Load != nil:
		of = loadRef(f.Load.ID)
	case !f.About.IsZero():
		of = f.About
	}
	if e := s.entryOf(f.Of); e != nil {
		was := *e
		if s.replace(r, e, f.fresh(e, r)); f.TakeBack && e.whole() {
			s.undone(r, &was)
		}
		if x := s.fillOf(f.Of); x != nil && f.Fill {
			s.log(r, loadRef(x.Load), "corrected mass into {press}: {was} → {now}, {reason}", x.To, s.MendText("mass",
				f.Was), s.MendText("mass", f.Now), f.Reason)
		}
	} else if a := s.asideOf(f.Of); a != nil {
		s.takeAside(r, a)
	} else if f.Place == "" {
		return
	} else {
		f.applyGas(s)
	}
	f.tell(s, r, of)
}

// replace puts an entry of the book in the place of an earlier state of it.
func (s *State) replace(r Record, e, fresh *entry) {
	was := *e
	if e.mark != nil { // it is a line from now on
		s.book.readings.rows.at(int(e.mark.row)).line = true
		s.said = slices.Insert(s.said, s.saidAt(e.Seq), e)
	}
	*e = *fresh
	e.seq = e.again(s)
	s.book.edit(&was, e.seq)
	s.refresh(r)
}

var (
	_ = command[Correct]("correct")
	_ = fact[Corrected]("corrected")
)
