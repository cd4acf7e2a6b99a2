package cellar

import (
	"context"
	"slices"
	"time"
)

// PastShift is a shift, and what of the journal is its own: all from its begin until the
// next began. What was done after it had ended and before another began is its, and what
// was done before the first one is the first one's: so each entry belongs to one shift.
type PastShift struct {
	Shift
	First bool
	Until time.Time // when the next began, zero for the last
	By    Initials  // who led that
}

// Holds reports whether an instant belongs to a shift.
func (p PastShift) Holds(t time.Time) bool {
	return (p.First || !t.Before(p.Started)) && (p.Until.IsZero() || t.Before(p.Until))
}

// Open reports whether a shift still runs.
func (p PastShift) Open() bool { return p.Ended.IsZero() && p.Until.IsZero() }

// Forgotten reports whether a shift was never handed over, and ended when the next began.
func (p PastShift) Forgotten() bool { return p.Ended.IsZero() && !p.Until.IsZero() }

// Over is when a shift ended: as it was said, or when the next began. Zero while it runs.
func (p PastShift) Over() time.Time {
	if p.Ended.IsZero() {
		return p.Until
	}
	return p.Ended
}

// Last is the last instant that belongs to a shift that another has followed.
func (p PastShift) Last() time.Time { return p.Until.Add(-time.Second) }

// Plan is when a shift is to end: as it was said, or after the usual length.
func (s Shift) Plan() time.Time {
	if s.Ends.IsZero() {
		return s.Started.Add(UsualShift)
	}
	return s.Ends
}

// Shifts lists all shifts, the earliest first.
func (s *State) Shifts() []PastShift {
	all := slices.Clone(s.lateShifts)
	for _, b := range s.shifts {
		all = append(all, b.was)
	}
	all = append(all, s.Shift)
	slices.SortStableFunc(all, func(a, b Shift) int { return a.Started.Compare(b.Started) })
	var out []PastShift
	for _, x := range all {
		if x.Started.IsZero() {
			continue
		}
		n := len(out)
		if n > 0 && out[n-1].Started.Equal(x.Started) { // it was said again, and nothing was done meanwhile
			n--
			out = out[:n]
		}
		if n > 0 {
			out[n-1].Until, out[n-1].By = x.Started, x.Lead
		}
		out = append(out, PastShift{Shift: x, First: n == 0})
	}
	return out
}

// endsBefore is the earlier shift whose end was forgotten and that ran at an instant; ok is
// false where that is the shift that stands now. The instant at which the next began is
// its last.
func (s *State) endsBefore(at time.Time) (p PastShift, ok bool) {
	if at.After(s.Shift.Started) {
		return p, false
	}
	for _, x := range s.Shifts() {
		if x.Forgotten() && x.Started.Before(at) && !at.After(x.Until) {
			return x, true
		}
	}
	return p, false
}

// setEnd is the end of an earlier shift, which was forgotten.
func (s *State) setEnd(of PastShift, at time.Time, to Initials) {
	ends := func(x *Shift) bool {
		if !x.Started.Equal(of.Started) || !x.Ended.IsZero() {
			return false
		}
		x.Ended = at
		if to != "" {
			x.Next = to
		}
		return true
	}
	for i, b := range s.shifts {
		again := *b
		if ends(&again.was) {
			s.shifts = slices.Clone(s.shifts)
			s.shifts[i] = &again
		}
	}
	s.lateShifts = slices.Clone(s.lateShifts)
	for i := range s.lateShifts {
		ends(&s.lateShifts[i])
	}
}

// startMissed is a shift of earlier whose start was forgotten: it takes the cellar from
// nobody.
func (s *State) startMissed(f *ShiftStarted, r Record) {
	x := f.Shift
	x.Started = r.At
	s.lateShifts = append(slices.Clone(s.lateShifts), x)
	s.log(r, theHouse, "shift of {lead} began then", f.Lead)
}

// earlierShift is a shift that began before the one that stands now.
func (s *State) earlierShift(at time.Time) bool {
	return !s.Shift.Started.IsZero() && at.Before(s.Shift.Started)
}

// shiftShifts moves all shifts along with a time corrected. A planned end is a time of day.
func (s *State) shiftShifts(by time.Duration) {
	moves := func(x *Shift) {
		shiftTime(&x.Started, by)
		shiftTime(&x.Ended, by)
		shiftTime(&x.Before, by)
	}
	moves(&s.Shift)
	s.shifts, s.lateShifts = slices.Clone(s.shifts), slices.Clone(s.lateShifts)
	for i, b := range s.shifts {
		again := *b
		moves(&again.was)
		s.shifts[i] = &again
	}
	for i := range s.lateShifts {
		moves(&s.lateShifts[i])
	}
}

// When a shift is asked about (common practice, no source): so long after its end was due,
// so long after one has ended, and again after so long.
const (
	endOverdue   = 90 * time.Minute
	startOverdue = 30 * time.Minute
	asksFor      = UsualShift
)

// ShiftLapse is what nobody has said of a shift.
type ShiftLapse string

// The lapses.
const (
	LapseEnd    ShiftLapse = "end"    // it was to end and goes on
	LapseBefore ShiftLapse = "before" // another began and this one has no end
	LapseStart  ShiftLapse = "start"  // it has ended, and people go on saving
)

// ShiftLapse is what must be asked about shifts, and of which; "" for nothing. A house that
// keeps no shifts is never asked.
func (s *State) ShiftLapse(now time.Time) (ShiftLapse, PastShift) {
	all := s.Shifts()
	if len(all) == 0 || !s.Season.Closed.IsZero() {
		return "", PastShift{}
	}
	last := all[len(all)-1]
	switch {
	case last.Open() && now.Sub(last.Plan()) > endOverdue:
		return LapseEnd, last
	case !last.Open() && s.savedAfter(last.Ended.Add(startOverdue)):
		return LapseStart, last
	case len(all) > 1 && now.Sub(last.Started) < asksFor:
		if before := all[len(all)-2]; before.Forgotten() && before.Lead != last.Lead { // who begins again goes on
			return LapseBefore, before
		}
	}
	return "", PastShift{}
}

// savedAfter reports whether a person has saved something after an instant.
func (s *State) savedAfter(at time.Time) bool {
	for who, when := range s.wrote {
		if _, ok := s.House.Person(who); ok && when.After(at) {
			return true
		}
	}
	return false
}

// ShiftSeen is the cellar as it was when a shift gave way to the next, by all that is known
// of it now. The last shift is seen as things stand.
func ShiftSeen(ctx context.Context, j Journal, now *State, p PastShift) (*State, error) {
	if p.Until.IsZero() {
		return now, nil
	}
	then, _, err := Hindsight(ctx, j, now, p.Last())
	return then, err
}
