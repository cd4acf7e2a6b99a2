package cellar

import (
	"slices"
	"time"
)

// An opening says many things under one number, each of one vessel and of its own time:
// what is corrected is one of them, and all else that it says stands.

// twin is which dose of its product an earlier dose is, counted from 1.
func (o OpenVessel) twin(i int) (n int) {
	for _, x := range o.Doses[:i+1] {
		if x.Product == o.Doses[i].Product {
			n++
		}
	}
	return n
}

// opensAt refuses a time of an opening that is none of what it says.
func (d *decision) opensAt(e *entry, v *Vessel, it *Item, t time.Time) error {
	switch {
	case it.Dose == nil && it.Stage == nil:
		return reject("opening", "value", "the opening says of {tank} when it was dosed and since when it is in its "+
			"stage: correct the time of one of these. What it held and what was read is of {time}, the "+
			"opening itself",
			v.Number, d.says(e.At))
	case t.After(e.At):
		return reject("opening", "value", "{time} is after the opening, {opened}, which knows only what was before "+
			"it: take the line back and save it at its time", d.saysDay(t), d.saysDay(e.At))
	}
	return nil
}

// mended is the opening with one line of one vessel corrected. shift is what its clock
// was found to be off by.
func (f *CellarOpened) mended(c *Corrected, shift time.Duration) *CellarOpened {
	x := *f
	x.Vessels = slices.Clone(f.Vessels)
	i := slices.IndexFunc(x.Vessels, func(o OpenVessel) bool { return o.Vessel == c.Vessel })
	if i < 0 {
		return &x
	}
	o := &x.Vessels[i]
	o.Doses = slices.Clone(o.Doses)
	at, _ := time.Parse(time.RFC3339, c.Now)
	at = Instant(at).Add(-shift)
	dosed := func() *OpenDose {
		for i, y := range o.Doses {
			it := Item{Dose: &Dose{Product: y.Product, twin: o.twin(i)}}
			if it.says().Same(c.What) {
				return &o.Doses[i]
			}
		}
		return nil
	}
	switch y := dosed(); {
	case c.Field == "at" && y != nil:
		y.At = at
	case c.Field == "at" && c.What.Same(lineStage.Say(o.Stage)):
		o.Since = at
	case c.Field == "amount" && y != nil:
		_ = y.Amount.UnmarshalText([]byte(c.Now))
	case c.Field == "volume":
		_ = o.Volume.UnmarshalText([]byte(c.Now))
	case c.Field == "temp", c.Field == "density":
		m := Measured{Temp: o.Temp, Density: o.Density}
		m.set(c.Field, c.Now)
		o.Temp, o.Density = m.Temp, m.Density
	}
	return &x
}
