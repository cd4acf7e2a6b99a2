package cellar

import (
	"iter"
	"time"
)

// Lot is what one vessel held from when it was emptied of what was in it before, to when
// it was emptied of this: its cleaning stands at its beginning.
type Lot struct {
	From  time.Time // when it was emptied before; zero for the first
	Until time.Time // when it was emptied; zero for what is in it now
	// Vessel is the vessel with what it held last of this lot.
	Vessel *Vessel
}

// Lots goes over the lots of a vessel from the one of now back, and looks no further than
// it is asked to.
func (s *State) Lots(v *Vessel) iter.Seq[Lot] {
	return func(yield func(Lot) bool) {
		lot, empty, at := Lot{Vessel: v}, false, time.Time{}
		for step := range v.book.Back(place{number: v.Number}) {
			if step.Line == nil {
				break
			}
			held := step.After.contents()
			if empty && !held.Stage.Empty() { // the line after this one emptied it
				lot.From = at
				if !yield(lot) {
					return
				}
				lot = Lot{Until: at, Vessel: &Vessel{VesselSetup: v.VesselSetup, Now: *held, amiss: step.After.amiss(),
					book: v.book}}
			}
			empty, at = held.Stage.Empty(), step.Line.Key.At
		}
		yield(lot)
	}
}

// LotBack is the n-th lot before the one of now; ok is false where there is none.
func (s *State) LotBack(v *Vessel, n int) (Lot, bool) {
	for lot := range s.Lots(v) {
		if n == 0 {
			return lot, true
		}
		n--
	}
	return Lot{}, false
}

// Holds reports whether an instant is of this lot.
func (l Lot) Holds(t time.Time) bool {
	return (l.From.IsZero() || t.After(l.From)) && (l.Until.IsZero() || !t.After(l.Until))
}

// Past reports whether a lot has left the vessel.
func (l Lot) Past() bool { return !l.Until.IsZero() }
