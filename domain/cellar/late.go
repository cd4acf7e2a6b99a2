package cellar

import "time"

// An account is kept by the time at which things were so. What is written late,
// or whose time or volume is corrected, comes before other entries: these must
// still be possible, see fault.go.

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

// asOf is a vessel as the decision means it: with what it held at its true time, where
// that is something else than it holds now.
func (d *decision) asOf(v *Vessel) *Vessel {
	if !d.late(v) {
		return v
	}
	then := d.then(v)
	if then.Lot == v.Now.Lot && !then.Stage.Empty() || then.Stage.Empty() && !d.happened() {
		return v // held says so at the field of the time
	}
	w := *v
	w.Now = then
	return &w
}

// then is what a vessel held at the true time of a decision.
func (d *decision) then(v *Vessel) Content {
	return *v.book.Until(place{number: v.Number}, d.moment()).contents()
}

// late reports whether anything is said of a vessel for a later time.
func (d *decision) late(v *Vessel) bool { return v.book.After(place{number: v.Number}, d.moment()) }

// past reports whether a decision is about what was before.
func (d *decision) past() bool { return d.at.Before(d.now) }

// happened reports whether what is written can only have happened.
func (d *decision) happened() bool { return d.head.Happened || d.tubes && d.past() }

// held refuses what is said of a vessel for a time at which it held nothing: it would
// be written and count for nothing. What it held then may have gone elsewhere since;
// what is written of it follows it there. What has happened is saved, with the fault.
func (d *decision) held(v *Vessel) error {
	if !d.past() || d.happened() || v.book.Empty(place{number: v.Number}) {
		return nil
	}
	if was := d.then(v); was.Stage.Empty() {
		template := "{tank} was {stage} at {time}; save first where its juice came from, or say that it has happened"
		if !v.Now.Stage.Empty() {
			template = "{tank} was {stage} at {time}; what is in it now came later: save first where its juice came " +
				"from, or say that it has happened"
		}
		return reject("late", "at", template, v.Number, was.Stage, d.says(d.at))
	}
	return nil
}

// pressThen is a press as it was at the true time of a decision.
func (d *decision) pressThen(p *Press) *Press {
	if !d.at.Before(d.now) {
		return p
	}
	return d.s.book.Until(place{kind: aPress, number: p.Number}, d.moment()).pressed(p.PressSetup)
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
	for step := range v.book.Back(place{number: v.Number}) {
		if step.Line == nil {
			break
		}
		until = step.Line.Key.At
		if before, _, _ := v.book.Around(place{number: v.Number}, step.Line); before.contents().Volume > 0 {
			return *before.contents(), until, now.Sub(until) < lateWithin
		}
	}
	return last, until, false
}
