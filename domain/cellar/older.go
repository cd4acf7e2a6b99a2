package cellar

import (
	"sort"
	"time"
)

// What came due in this shift and the last stands in its own lines. What is older is counted
// in one, or the forgotten clocks of a fortnight hide tonight's test.

// At least so long counts as this shift and the last, and at most so long: a start that was
// saved twice folds nothing of tonight, and one that was forgotten keeps nothing of last week
// (common practice, no source).
const (
	leastRecent = UsualShift
	mostRecent  = 3 * UsualShift
)

// Recent is the instant from which on what came due is of this shift or the last.
func (s *State) Recent(now time.Time) time.Time {
	from := s.Shift.Before
	switch least, most := now.Add(-leastRecent), now.Add(-mostRecent); {
	case from.IsZero():
		return now.Add(-2 * UsualShift)
	case from.After(least):
		return least
	case from.Before(most):
		return most
	}
	return from
}

// Older reports whether a clock came due before this shift and the last. One that was snoozed
// or given another due since is of now; one that says where a person is never grows old.
func (s *State) Older(c *AlarmClock, now time.Time) bool {
	if c.Kind == KindPermit || c.Kind == KindBreak {
		return false
	}
	if v := s.vesselOf(c.Subject); v != nil {
		if _, in := s.Inhabited(v.Number); in {
			return false
		}
	}
	from := s.Recent(now)
	rings, _ := c.RingsAt()
	return c.Due.Before(from) && rings.Before(from)
}

// fold puts what is older into one line, behind all that is overdue.
func (s *State) fold(all []Due, now time.Time) (out []Due) {
	from := s.Recent(now)
	line := Due{Verb: "older", Kind: NotBefore}
	after := 0
	for _, d := range all {
		old := d.At.Before(from)
		if c := s.clocks[d.Clock]; c != nil {
			old = s.Older(c, now)
		} else if l, ok := s.Load(LoadID(d.Subject.Name)); ok && l.Ref() == d.Subject && d.Notice == "" {
			old = old || l.Overdue(now)
		}
		if !old || d.Amiss {
			if out = append(out, d); d.Late(now) {
				after = len(out)
			}
			continue
		}
		if line.Folded = append(line.Folded, d); d.Late(now) {
			line.Kind = ActAt
		}
	}
	if len(line.Folded) == 0 {
		return out
	}
	sort.SliceStable(line.Folded, func(i, j int) bool { return line.Folded[i].At.Before(line.Folded[j].At) })
	line.At = line.Folded[0].At
	return append(out[:after:after], append([]Due{line}, out[after:]...)...)
}

// OlderDue lists what Next counts in one line, the oldest first.
func (s *State) OlderDue(now time.Time) []Due {
	for _, d := range s.Next(now) {
		if len(d.Folded) > 0 {
			return d.Folded
		}
	}
	return nil
}

// Late reports whether something was to be done by now: a clock that rings, or a load that has
// not come.
func (d Due) Late(now time.Time) bool {
	if len(d.Folded) > 0 {
		return d.Kind == ActAt
	}
	return d.Raised || d.Clock == "" && d.Notice == "" && !d.At.After(now)
}
