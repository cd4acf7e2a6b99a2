package cellar

import (
	"time"
)

// A time that was corrected tells by how much the clock was off by which
// everything before was written. What the rules and the clocks calculate with moves
// along, so that an hour stays an hour and what was written after stays after. The
// history keeps what was written.

// shiftAll moves what was written before a time was corrected.
func (s *State) shiftAll(r Record, by time.Duration) {
	s.shiftClocks(r, by)
	s.shiftBook(r, by)
	for _, h := range s.sheets {
		shiftTime(&h.at, by)
	}
	shiftTime(&s.Opened, by)
	s.shiftShifts(by)
	for i := range s.gas { // an old reading must not pass for a fresh one
		shiftTime(&s.gas[i].At, by)
	}
	for _, e := range s.emergencies {
		for _, t := range []*time.Time{&e.at, &e.rings, &e.over, &e.count.At} {
			shiftTime(t, by)
		}
	}
	for _, c := range s.Clocks() { // a time of day stays, and with it what ends then
		s.follow(c)
	}
}

func shiftTime(t *time.Time, by time.Duration) {
	if !t.IsZero() {
		*t = t.Add(by)
	}
}

// shiftBook puts all that was said by the clock that was off where it belongs.
func (s *State) shiftBook(r Record, by time.Duration) {
	marks := map[place][]mark{}
	for p := range s.vessels {
		at := place{number: p}
		for step := range s.book.Steps(at) {
			for _, m := range step.Marks {
				m.at += int64(by / time.Second)
				marks[at] = append(marks[at], m)
			}
		}
	}
	s.book.Clear()
	s.book.readings.shifts = append(s.book.readings.shifts, shifted{r.Seq, by})
	for at, all := range marks {
		for _, m := range all {
			s.book.Mark(at, m)
		}
	}
	var lines []*line
	for _, e := range s.said {
		e.At, e.shift = e.At.Add(by), e.shift+by
		e.seq = e.again(s)
		lines = append(lines, e.seq...)
	}
	s.book.Add(lines...)
	s.refresh(r)
}

// shiftClocks moves what counts elapsed time along with a time corrected.
func (s *State) shiftClocks(r Record, by time.Duration) {
	for _, id := range s.clockOrder {
		c := s.clocks[id]
		if c.Done { // it began and ended by the clock that was off
			for _, t := range []*time.Time{&c.Start, &c.Due, &c.Known, &c.AcknowledgedAt, &c.FirstSeen, &c.DoneAt} {
				shiftTime(t, by)
			}
			continue
		}
		s.shiftTaken(c, by)
		if c.byTimeOfDay() {
			continue
		}
		was := c.Due
		for _, t := range []*time.Time{&c.Start, &c.Due, &c.Until, &c.Model} {
			shiftTime(t, by)
		}
		s.log(r, c.Subject, "{verb}: due {was} → {due}, the clock was corrected", c.Says(), was, c.Due)
	}
}

// shiftTaken moves what people did about an alarm along with a time corrected. A
// reminder is a length, whatever its clock stands for, and stays as long; over the
// end of the shift, which is a time of day, it does not come to reach by that.
func (s *State) shiftTaken(c *AlarmClock, by time.Duration) {
	shiftTime(&c.Known, by)
	shiftTime(&c.AcknowledgedAt, by)
	shiftTime(&c.FirstSeen, by)
	all := append([]Reminder(nil), c.Reminders...)
	for i := range all {
		shiftTime(&all[i].At, by)
		shiftTime(&all[i].Until, by)
		if end := s.Shift.Ends; s.Shift.Ended.IsZero() && !end.IsZero() && all[i].Until.After(end) {
			all[i].Until = end
		}
	}
	c.Reminders = all
}
