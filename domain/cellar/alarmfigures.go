package cellar

import (
	"slices"
	"sort"
	"time"
)

// alarmRun is one time an alarm rang: from when it could first be heard until it was
// answered, taken off or moved. A clock that was moved after it rang has several; one
// that was answered before the board knew of it has none.
type alarmRun struct {
	clock     ClockID
	rang      time.Time
	seen      time.Time // first, zero when nobody took it
	ended     time.Time // zero while it stands
	reminders int
}

// endRun keeps the time a clock rang before it gets another due.
func (s *State) endRun(c *AlarmClock, at time.Time) {
	if t, ok := c.Rang(); ok && !at.Before(t) {
		s.runs = append(s.runs, alarmRun{clock: c.ID, rang: t, seen: c.FirstSeen, ended: at,
			reminders: len(c.Reminders)})
	}
}

// alarmRuns lists the times alarms rang within a span, by their time.
func (s *State) alarmRuns(from, to time.Time) []alarmRun {
	all := append([]alarmRun(nil), s.runs...)
	for _, id := range s.clockOrder {
		c := s.clocks[id]
		t, ok := c.Rang()
		if !ok || c.Done && c.DoneAt.Before(t) {
			continue
		}
		all = append(all, alarmRun{clock: id, rang: t, seen: c.FirstSeen, ended: c.DoneAt, reminders: len(c.Reminders)})
	}
	all = slices.DeleteFunc(all, func(r alarmRun) bool { return r.rang.Before(from) || r.rang.After(to) })
	sort.SliceStable(all, func(i, j int) bool { return all[i].rang.Before(all[j].rang) })
	return all
}

// A flood is ten alarms within ten minutes: the definition of the alarm
// standards ISA-18.2 and IEC 62682 (from memory).
const (
	FloodOf     = 10
	FloodWithin = 10 * time.Minute
)

// AlarmFigures are the figures of a shift's alarms.
type AlarmFigures struct {
	Alarms   int           // that rang
	PerHour  float64       // over the span
	Taken    int           // seen by somebody, or answered
	Median   time.Duration // from when it could be heard to being taken
	Longest  time.Duration // unacknowledged, those still so counted to the end
	On       string        // subject and verb of the longest
	Floods   int           // ten within ten minutes; those that touch are one
	Reminded int           // times an alarm was snoozed
	Open     int           // never answered in the span
}

// AlarmFigures calculates the figures of the alarms that rang from an instant to
// another, both included.
func (s *State) AlarmFigures(from, to time.Time) (f AlarmFigures) {
	runs := s.alarmRuns(from, to)
	f.Alarms = len(runs)
	if h := to.Sub(from).Hours(); h > 0 {
		f.PerHour = float64(f.Alarms) / h
	}
	var taken []time.Duration
	for _, r := range runs {
		f.Reminded += r.reminders
		if r.ended.IsZero() || r.ended.After(to) {
			f.Open++
		}
		at := to
		for _, t := range []time.Time{r.seen, r.ended} {
			if !t.IsZero() && t.Before(at) {
				at = t
			}
		}
		wait := max(at.Sub(r.rang), 0)
		if acknowledged := !r.seen.IsZero() && !r.seen.After(to) || !r.ended.IsZero() &&
			!r.ended.After(to); acknowledged {
			taken = append(taken, wait)
		}
		if wait > f.Longest {
			c := s.clocks[r.clock]
			f.Longest, f.On = wait, c.Name()
		}
	}
	f.Taken, f.Median, f.Floods = len(taken), median(taken), floods(runs)
	return f
}

func median(all []time.Duration) time.Duration {
	n := len(all)
	if n == 0 {
		return 0
	}
	slices.Sort(all)
	return (all[(n-1)/2] + all[n/2]) / 2
}

func floods(runs []alarmRun) (n int) {
	last := time.Time{} // end of the flood counted last
	for i := FloodOf - 1; i < len(runs); i++ {
		first := runs[i-FloodOf+1].rang
		if runs[i].rang.Sub(first) > FloodWithin {
			continue
		}
		if last.IsZero() || first.After(last) {
			n++
		}
		last = runs[i].rang
	}
	return n
}
