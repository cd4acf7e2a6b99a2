package cellar

import (
	"fmt"
	"slices"
	"time"

	"cellar.example/mustwatch/domain/quantity"
)

// An account is kept by the time at which things were so. What is written late,
// or whose time or volume is put right, comes before other entries: these must
// still be possible.

// fault is an entry of an account that cannot have been so, with why and by how
// much.
type fault struct {
	seq Seq
	off quantity.Volume
	why string
}

// faults lists what in an account cannot have been: more left than there was, a
// vessel was called empty that held something, or held more than its brim.
func (v *Vessel) faults(s *State) (out []fault) {
	w := &Vessel{VesselSetup: v.VesselSetup, Now: Content{Stage: Clean}}
	c, u := &w.Now, s.House.Units
	for _, it := range v.Items {
		if it.Struck {
			continue
		}
		say := func(off quantity.Volume, format string, args ...any) {
			out = append(out, fault{it.Seq, off, fmt.Sprintf("then "+format, args...)})
		}
		switch {
		case it.Out != nil && c.Stage.Empty():
			say(it.Out.Volume, "%s was empty at %s, when %s left it", v.Plate, s.Clock(it.At), it.Out.Volume.Text(u))
		case it.Out != nil && it.Out.Volume > c.Volume+balanceSlack:
			say(it.Out.Volume-c.Volume, "%s held %s at %s, when %s left it", v.Plate, c.Volume.Text(u), s.Clock(it.At), it.Out.Volume.Text(u))
		case it.Out != nil && it.Out.Empties && c.Volume > it.Out.Volume+balanceSlack:
			say(c.Volume-it.Out.Volume, "%s held %s at %s, when it was emptied of %s", v.Plate, c.Volume.Text(u), s.Clock(it.At), it.Out.Volume.Text(u))
		case it.Stage != nil && it.Stage.Stage.Empty() && c.Volume > 0:
			say(c.Volume, "%s held %s at %s, when it was %s", v.Plate, c.Volume.Text(u), s.Clock(it.At), it.Stage.Stage)
		}
		w.fold(it)
		if it.In != nil && c.Volume > v.Brim {
			held, brim := c.Volume.Beside(v.Brim, u)
			say(c.Volume-v.Brim, "%s held %s at %s; its brim is %s", v.Plate, held, s.Clock(it.At), brim)
		}
	}
	return out
}

// possible refuses an account that has a fault which it had not before, or a
// greater one.
func (d *decision) possible(was, now *Vessel, field string) error {
	had := was.faults(d.s)
	for _, f := range now.faults(d.s) {
		if !slices.ContainsFunc(had, func(x fault) bool { return x.seq == f.seq && f.off <= x.off }) {
			return reject("late", field, "%s; give the true time, or correct that entry first", f.why)
		}
	}
	return nil
}

// late tells whether anything stands in an account after an instant.
func (v *Vessel) late(at time.Time) bool {
	n := len(v.Items)
	return n > 0 && v.Items[n-1].At.After(at)
}

// Then is what a vessel held at an instant, by what is written of it; ok is false where
// it had a content of which no volume was written by then, or was empty.
func (v *Vessel) Then(at time.Time) (c Content, ok bool) {
	c = v.Now
	if v.late(at) {
		c = v.upTo(at)
	}
	return c, !c.Stage.Empty() && c.Volume > 0
}

// fits holds items that are being posted late against what follows them.
func (d *decision) fits(v *Vessel, field string, items ...*Item) error {
	if !v.late(d.at) {
		return nil
	}
	return d.possible(v, v.preview(items...), field)
}

// held refuses what is said of a vessel for a time at which it held nothing, or
// something else: it would be written and count for nothing.
func (d *decision) held(v *Vessel) error {
	if !d.at.Before(d.now) || len(v.Items) == 0 {
		return nil
	}
	switch was := v.upTo(d.at); {
	case was.Stage.Empty():
		return reject("late", "at", "%s was %s at %s; what is in it now came later", v.Plate, was.Stage, d.s.Clock(d.at))
	case was.Lot != v.Now.Lot:
		return reject("late", "at", "what was in %s at %s has left it since; write it where it is now, as a note with its time", v.Plate, d.s.Clock(d.at))
	}
	return nil
}
