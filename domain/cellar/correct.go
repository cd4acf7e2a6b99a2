package cellar

import (
	"fmt"
	"slices"
	"sort"
	"strconv"
	"strings"
	"time"

	"cellar.example/mustwatch/domain/quantity"
)

// Correct replaces one value of one earlier entry, or strikes the entry out.
// Nothing is lost: the old value and the reason stay with it.
type Correct struct {
	Head
	Of     Seq    `json:"of"`
	Vessel Plate  `json:"vessel,omitempty"` // where one entry touched several
	Field  string `json:"field,omitempty"`  // volume, holds, amount, temp, density, ntu, brix, ph, dip, at
	Value  string `json:"value,omitempty"`
	Strike bool   `json:"strike,omitempty"`
	Reason string `json:"reason"`
}

// Do implements Command.
func (*Correct) Do() string { return "correct" }

func (c *Correct) decide(d *decision) ([]Fact, error) {
	gas, load, fill := d.s.gasOf(c.Of), d.s.loadOf(c.Of), d.s.fillOf(c.Of)
	var v *Vessel
	var it *Item
	if fill == nil && (gas == nil && load == nil || c.Vessel != "") {
		var err error
		if v, it, err = c.find(d); err != nil {
			return nil, err
		}
	}
	switch {
	case strings.TrimSpace(c.Reason) == "":
		return nil, reject("reason", "reason", "say why; the old value stays beside the new one")
	case fill != nil:
		return c.fill(d, fill)
	case v == nil && load != nil:
		return c.load(d, load)
	case v == nil:
		return c.gas(gas)
	}
	f := &Corrected{Of: c.Of, Vessel: v.Plate, Reason: c.Reason, Strike: c.Strike, What: it.says()}
	if c.Strike {
		if err := it.strikable(); err != nil {
			return nil, err
		}
		f.Field = "entry"
		f.Was = it.says()
	} else if err := c.value(d, v, it, f); err != nil {
		return nil, err
	} else {
		d.mend(string(v.Plate), &mendTry{field: f.Field, what: f.What, was: f.Was, now: f.Now, by: it.By, at: it.At})
	}
	fresh := f.mended(it, Record{})
	w := f.after(v, it, fresh)
	if !f.Strike && it.In != nil && fresh.In.Volume < 0 {
		before := w.upTo(it.At.Add(-time.Second)).Volume
		return nil, reject("volume", "value", "%s held %s before that; what ran in is not less than nothing", v.Plate, before.Text(d.s.House.Units))
	}
	if w.Now.Volume < 0 || w.Now.Volume > w.Brim {
		would, brim := w.Now.Volume.Beside(v.Brim, d.s.House.Units)
		return nil, reject("volume", "value", "%s would hold %s; its brim is %s", v.Plate, would, brim)
	}
	if err := w.judgedAlike(c.Of); err != nil {
		return nil, err
	}
	for _, u := range d.s.Vessels() {
		if u == v || it.In != nil && u.has(c.Of) {
			if err := d.possible(u, f.after(u, it, fresh), "value"); err != nil {
				return nil, err
			}
		}
	}
	facts := append([]Fact{f}, f.broke(d, v, w, it, fresh)...)
	facts = append(facts, d.recontactOf(v, w)...)
	if cur := d.s.openClock(string(v.Plate), KindContact); f.Strike && cur != nil && it.Dose != nil && it.Dose.Class.contact() && w.Now.lastContactDose().Product == "" {
		facts = append(facts, &ClockCancelled{Clock: cur.ID, Reason: "its dose was struck out"})
	}
	return facts, nil
}

// strikable refuses to take out what other entries stand on.
func (it *Item) strikable() error {
	switch {
	case it.In != nil || it.Out != nil:
		return reject("strike", "of", "volumes are not struck out: correct the volume, or write the move back")
	case it.Begun != nil:
		return reject("strike", "of", "a check that was begun is not struck out: strike its reading out, or test again")
	case it.Stage != nil:
		return reject("strike", "of", "a stage is not struck out: write the stage it is in")
	}
	return nil
}

// judgedAlike refuses times of a check by which its verdict would be another one:
// a verdict is reckoned when the tubes are read and is not made afterwards.
func (v *Vessel) judgedAlike(of Seq) error {
	for _, it := range v.Items {
		if it.Seq != of || it.Begun == nil && it.Read == nil || it.Struck {
			continue
		}
		for _, k := range v.Now.Checks {
			if mine := it.Begun != nil && it.Begun.ID == k.ID || it.Read != nil && it.Read.ID == k.ID; !mine || k.ReadAt.IsZero() {
				continue
			}
			if would := k.judge().Verdict; would != k.Verdict {
				return reject("verdict", "value", "by these times the check would be %s, not %s: strike its reading out and test again", would, k.Verdict)
			}
		}
	}
	return nil
}

// find looks the entry up; with no vessel named it must touch only one.
func (c *Correct) find(d *decision) (*Vessel, *Item, error) {
	var hitV *Vessel
	var hit *Item
	for _, p := range d.s.vesselOrder {
		v := d.s.vessels[p]
		if c.Vessel != "" && v.Plate != c.Vessel {
			continue
		}
		for _, it := range v.Items {
			if it.Seq != c.Of || it.Out != nil || !it.has(c.Field) {
				continue
			}
			if hit != nil && hitV == v {
				continue // an opening books several lines at once; the first that fits is meant
			}
			if hit != nil {
				return nil, nil, reject("vessel", "vessel", "entry %d touches several vessels; say which one", c.Of)
			}
			hitV, hit = v, it
		}
	}
	if hit == nil {
		return nil, nil, reject("of", "of", "there is no such entry to correct")
	}
	if hit.Struck {
		return nil, nil, reject("struck", "of", "that entry is struck out already")
	}
	return hitV, hit, nil
}

// has tells whether an item has a field to correct; every item has its instant
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
			return reject("value", "value", "write the true time, not in the future, as 2026-09-24T22:15:00+02:00")
		}
		f.Was, f.Now = it.At.Format(time.RFC3339), Instant(t).Format(time.RFC3339)
		return nil
	}
	for _, x := range fields {
		if x.name == f.Field {
			f.Was = it.exact(f.Field)
		}
	}
	if f.Was == "" {
		return reject("field", "field", "that entry has no %q", c.Field)
	}
	now, err := exactValue(f.Field, c.Value, it, d.s.House.Habit())
	if err != nil {
		return reject("value", "value", "%v", err)
	}
	if f.Field == "amount" && isNothing(now) {
		return reject("value", "value", "a dose of nothing was none: strike it out")
	}
	if now == f.Was {
		return reject("value", "value", "it says %s already", c.Value)
	}
	f.Now = now
	if it.Reading != nil {
		return f.mended(it, Record{}).Reading.hard(v, d.s.House.Units)
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

// Corrected is one value of an earlier entry replaced, or an entry struck out.
type Corrected struct {
	Of     Seq    `json:"of"`
	Vessel Plate  `json:"vessel"`
	Place  string `json:"place,omitempty"` // of a gas reading, the load, or the press
	Load   *Load  `json:"load,omitempty"`  // as it stands now
	Fill   bool   `json:"fill,omitempty"`  // it is of a load that went into the press
	What   string `json:"what"`
	Field  string `json:"field"`
	Was    string `json:"was"`
	Now    string `json:"now,omitempty"`
	Strike bool   `json:"strike,omitempty"`
	Reason string `json:"reason"`
}

// Kind implements Fact.
func (*Corrected) Kind() string { return "corrected" }

// mended returns a copy of an item with the correction in it.
func (f *Corrected) mended(it *Item, r Record) *Item {
	x := *it
	x.Mended = append(x.Mended[:len(x.Mended):len(x.Mended)], Mend{Seq: r.Seq, At: r.At, By: r.By, Field: f.Field, Was: f.Was, Now: f.Now, Reason: f.Reason})
	if f.Strike {
		x.Struck = true
		return &x
	}
	switch {
	case f.Field == "at":
		if t, err := time.Parse(time.RFC3339, f.Now); err == nil {
			x.At = Instant(t)
		}
	case x.In != nil:
		in := *x.In
		if f.Field == "holds" {
			was := in.Reads
			_ = in.Reads.UnmarshalText([]byte(f.Now))
			in.Volume += in.Reads - was
		} else {
			_ = in.Volume.UnmarshalText([]byte(f.Now))
		}
		in.Parts = scaleParts(in.Parts, in.Volume)
		x.In = &in
	case x.Dose != nil:
		dose := *x.Dose
		_ = dose.Drawn.UnmarshalText([]byte(f.Now))
		if !dose.Drawn.Liquid() || dose.Amount.Liquid() {
			dose.Amount = dose.Drawn
		}
		x.Dose = &dose
	case x.Reading != nil:
		m := *x.Reading
		m.set(f.Field, f.Now)
		x.Reading = &m
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
	if f.Place != "" {
		switch {
		case f.Fill:
			f.applyFill(s, r)
		case f.Load != nil:
			f.applyLoad(s)
		default:
			f.applyGas(s)
		}
		f.tell(s, r, f.Place)
		return
	}
	v := s.vessels[f.Vessel]
	if v == nil {
		return
	}
	for i, it := range v.Items {
		if it.Seq != f.Of || it.Out != nil || !it.has(f.Field) || f.Strike && it.says() != f.What {
			continue
		}
		fresh := f.mended(it, r)
		v.Items[i] = fresh
		f.carry(s, v, it, fresh)
		break
	}
	sort.SliceStable(v.Items, func(i, j int) bool { return before(v.Items[i], v.Items[j]) })
	v.refold()
	f.tell(s, r, string(f.Vessel))
}

// after is a vessel as it will be with the correction: of the item itself, and of
// what is the same event in its account. The original is not touched.
func (f *Corrected) after(u *Vessel, was, now *Item) *Vessel {
	w := &Vessel{VesselSetup: u.VesselSetup, Hold: u.Hold}
	for _, x := range u.Items {
		w.Items = append(w.Items, f.follow(u, x, was, now))
	}
	sort.SliceStable(w.Items, func(i, j int) bool { return before(w.Items[i], w.Items[j]) })
	w.refold()
	return w
}

// follow is an item of an account beside a corrected one: what ran in left its
// source by as much, and the whole of a move was at one time.
func (f *Corrected) follow(u *Vessel, x, was, now *Item) *Item {
	switch {
	case x == was:
		return now
	case was.In == nil || x.Seq != f.Of || was.In.FromLot == "" || x.In == nil && x.Out == nil:
		return x
	case f.Field == "at":
		y := *x
		y.At = now.At
		return &y
	case x.Out != nil && u.Plate == Plate(was.In.From):
		y, out := *x, *x.Out
		out.Volume += now.In.Volume - was.In.Volume
		y.Out = &out
		return &y
	}
	return x
}

// has tells whether an entry stands in the account.
func (v *Vessel) has(seq Seq) bool {
	return slices.ContainsFunc(v.Items, func(it *Item) bool { return it.Seq == seq })
}

// carry takes a correction to what hangs on the item: the source of a move, the
// stock, the sums of a press, and doses that were reckoned on the old volume.
func (f *Corrected) carry(s *State, v *Vessel, was, now *Item) {
	switch {
	case was.In != nil:
		delta := now.In.Volume - was.In.Volume
		for _, u := range s.vessels {
			if u != v && u.has(f.Of) {
				w := f.after(u, was, now)
				u.Items, u.Now, u.Looked = w.Items, w.Now, w.Looked
			}
		}
		for _, m := range s.Moves {
			if m.Seq == f.Of {
				m.At = now.At
			}
		}
		if p := s.presses[Plate(was.In.From)]; p != nil && was.In.Share == ShareMain {
			p.MainOut += delta
		}
		for i, it := range v.Items {
			if it.Dose != nil && !it.At.Before(was.At) && it.Dose.Treated > 0 && delta != 0 {
				x, dose := *it, *it.Dose
				dose.LookAt = fmt.Sprintf("reckoned on %s before %s was corrected", dose.Treated, f.What)
				x.Dose = &dose
				v.Items[i] = &x
			}
		}
	case was.Dose != nil && !was.Dose.Counted:
		if p := s.products[was.Dose.Product]; p != nil {
			p.Open = p.Open.Add(was.Dose.Drawn)
			if !now.Struck {
				p.Open = p.Open.Sub(now.Dose.Drawn)
			}
		}
	}
}

var (
	_ = command(func() Command { return &Correct{} })
	_ = register(func() Fact { return &Corrected{} })
)
