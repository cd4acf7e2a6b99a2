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
	u := s.House.Units
	c := &Content{Stage: Clean}
	for l, h := range v.book.Lines(place{plate: v.Plate}) {
		after := h.content
		for _, it := range h.items {
			if it.Struck {
				continue
			}
			say := func(off quantity.Volume, format string, args ...any) {
				out = append(out, fault{it.Seq, off, fmt.Sprintf(format, args...)})
			}
			at := s.Clock(l.Key.At)
			switch {
			case it.Out != nil && c.Stage.Empty():
				say(it.Out.Volume, "%s was empty at %s, when %s left it", v.Plate, at, it.Out.Volume.Text(u))
			case it.Out != nil && it.Out.Volume > c.Volume+balanceSlack:
				say(it.Out.Volume-c.Volume, "%s held %s at %s, when %s left it", v.Plate, c.Volume.Text(u), at, it.Out.Volume.Text(u))
			case it.Out != nil && it.Out.Empties && c.Volume > it.Out.Volume+balanceSlack:
				say(c.Volume-it.Out.Volume, "%s held %s at %s, when it was emptied of %s", v.Plate, c.Volume.Text(u), at, it.Out.Volume.Text(u))
			case it.Stage != nil && it.Stage.Stage.Empty() && c.Volume > 0:
				say(c.Volume, "%s held %s at %s, when it was %s", v.Plate, c.Volume.Text(u), at, it.Stage.Stage)
			case it.In != nil && it.In.Reads > 0 && it.In.Reads < c.Volume:
				say(c.Volume-it.In.Reads, "%s held %s at %s, before it was read to hold %s", v.Plate, c.Volume.Text(u), at, it.In.Reads.Text(u))
			case it.In != nil && after.Volume > v.Brim:
				held, brim := after.Volume.Beside(v.Brim, u)
				say(after.Volume-v.Brim, "%s held %s at %s; its brim is %s", v.Plate, held, at, brim)
			}
		}
		c = after
	}
	return out
}

// possible refuses an account that has a fault which it had not before, or a
// greater one.
func (d *decision) possible(was, now *Vessel, field string) error {
	had := was.faults(d.s)
	for _, f := range now.faults(d.s) {
		if !slices.ContainsFunc(had, func(x fault) bool { return x.seq == f.seq && f.off <= x.off }) {
			return reject("late", field, "then %s; give the true time, or correct that entry first", f.why)
		}
	}
	return nil
}

// late reports whether anything stands in an account after an instant.
func (v *Vessel) late(at time.Time) bool {
	for it := range v.Latest {
		return it.At.After(at)
	}
	return false
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

// fits holds what is posted late against what follows it, wherever that is.
func (d *decision) fits(o *outlook, field string) error {
	for _, p := range o.touched() {
		v := d.s.vessels[p]
		if !v.late(d.at) {
			continue
		}
		if err := d.possible(v, o.vessel(p), field); err != nil {
			return err
		}
	}
	return nil
}

// asOf is a vessel as the decision means it: with what it held at its true time, where
// that is something else than it holds now.
func (d *decision) asOf(v *Vessel) *Vessel {
	if !v.late(d.at) {
		return v
	}
	then := v.upTo(d.at)
	if then.Stage.Empty() || then.Lot == v.Now.Lot {
		return v // held says so at the field of the time
	}
	w := *v
	w.Now = then
	return &w
}

// held refuses what is said of a vessel for a time at which it held nothing: it would
// be written and count for nothing. What it held then may have gone elsewhere since;
// what is written of it follows it there.
func (d *decision) held(v *Vessel) error {
	if !d.at.Before(d.now) || v.book.Empty(place{plate: v.Plate}) {
		return nil
	}
	if was := v.upTo(d.at); was.Stage.Empty() {
		return reject("late", "at", "%s was %s at %s; what is in it now came later", v.Plate, was.Stage, d.s.Clock(d.at))
	}
	return nil
}

// pressThen is a press as it was at the true time of a decision.
func (d *decision) pressThen(p *Press) *Press {
	if !d.at.Before(d.now) {
		return p
	}
	return d.s.book.At(place{true, p.Plate}, d.at).pressed(p.PressSetup)
}

// lateWithin is for how long after a vessel was emptied the board offers to save what
// was done to what it held (common practice, no source: a shift and a night's sleep).
const lateWithin = 24 * time.Hour

// Held is what an empty vessel held last, and until when; ok is false where it holds
// something, or was emptied too long ago for anybody to have forgotten an entry.
func (s *State) Held(v *Vessel, now time.Time) (last Content, until time.Time, ok bool) {
	if !v.Now.Stage.Empty() {
		return last, until, false
	}
	for step := range v.book.Back(place{plate: v.Plate}) {
		if step.Line == nil {
			break
		}
		until = step.Line.Key.At
		if before, _, _ := v.book.Around(place{plate: v.Plate}, step.Line); before.contents().Volume > 0 {
			return *before.contents(), until, now.Sub(until) < lateWithin
		}
	}
	return last, until, false
}
