package cellar

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/subject"
)

// A reminder puts an alarm off: at most this long, and this often for one due
// (common practice, no source). It comes back by itself.
const (
	maxRemind  = 30 * time.Minute
	maxReminds = 3
)

// Reminder is an alarm snoozed once, by whom and why.
type Reminder struct {
	At     time.Time
	Until  time.Time
	By     Initials
	Reason string
}

// RingsAt is the instant from which the alarm of now could be heard: the first one,
// or the end of the last reminder. ok is false for a notice.
func (c *AlarmClock) RingsAt() (t time.Time, ok bool) {
	t, ok = c.Rang()
	if n := len(c.Reminders); ok && n > 0 && c.Reminders[n-1].Until.After(t) {
		t = c.Reminders[n-1].Until
	}
	return t, ok
}

// Snoozed is the reminder that runs at now; ok is false when none does.
func (c *AlarmClock) Snoozed(now time.Time) (r Reminder, ok bool) {
	if n := len(c.Reminders); n > 0 && !c.Done && now.Before(c.Reminders[n-1].Until) {
		return c.Reminders[n-1], true
	}
	return Reminder{}, false
}

// RemindedText says how often and by whom an alarm was snoozed: "reminded 2 of 3
// by MA", "" when it was not.
func (c *AlarmClock) RemindedText() string {
	n := len(c.Reminders)
	if n == 0 {
		return ""
	}
	return fmt.Sprintf("snoozed %d of %d by %s", n, maxReminds, c.Reminders[n-1].By)
}

// Remind puts an alarm off. It is not a seeing: who has seen it stands, and who
// has not, has not.
type Remind struct {
	Head
	Clock   ClockID       `json:"clock,omitempty"`
	Subject subject.Ref   `json:"subject,omitzero"`
	Verb    string        `json:"verb,omitempty"`
	Was     time.Time     `json:"was,omitzero"` // the due that it has
	Of      LineName      `json:"of,omitzero"`  // the line that it rests on
	Until   time.Time     `json:"until,omitzero"`
	In      quantity.Span `json:"in,omitzero"`
	Reason  string        `json:"reason"`
}

func (c *Remind) decide(d *decision) ([]Fact, error) {
	k, err := d.clock(clockPick{c.Clock, c.Subject, c.Verb, c.Was, c.Of})
	if err != nil {
		return nil, err
	}
	if strings.TrimSpace(c.Reason) == "" {
		return nil, reject("reason", "reason", "say why {verb} on {subject} waits", k.Says(), k.Subject)
	}
	if why := d.s.noReminder(k, d.now); why != "" {
		return nil, reject("snooze", "clock", "{why}", why)
	}
	until := Instant(c.Until)
	if c.Until.IsZero() {
		until = d.now.Add(c.In.Duration())
	}
	last := d.now.Add(maxRemind)
	because := "a snooze lasts 30 min at most"
	if end := d.s.Shift.Ends; d.s.Shift.Ended.IsZero() && !end.IsZero() && end.Before(last) {
		last, because = end, fmt.Sprintf("the shift of %s ends then; a snooze cannot go past it", d.s.Shift.Lead)
	}
	if !k.Until.IsZero() && k.Until.Before(last) {
		last, because = k.Until, "the reading is void after that"
	}
	switch {
	case !last.After(d.now):
		return nil, reject("snooze", "until", "nothing can be snoozed past {time}: {because}", d.says(last), because)
	case !until.After(d.now) || until.After(last):
		return nil, reject("until", "until", "type a time after {time}, {latest} at the latest: {because}",
			d.says(d.now), d.says(last), because)
	}
	return []Fact{&ClockReminded{Clock: k.ID, Until: until, Reason: c.Reason}}, nil
}

// noReminder says why an alarm cannot be snoozed at all, "" when it can.
func (s *State) noReminder(k *AlarmClock, now time.Time) string {
	t, alarm := k.AlarmAt()
	off, isOff := k.Snoozed(now)
	switch {
	case !alarm:
		return fmt.Sprintf("%s on %s is a notice; there is nothing to snooze", k.Says(), k.Subject)
	case now.Before(t):
		return fmt.Sprintf("%s on %s is not due before %s", k.Says(), k.Subject, s.At(now).Clock(k.Due))
	case isOff:
		return fmt.Sprintf("%s already snoozed it until %s: %s", off.By, s.At(now).Clock(off.Until), off.Reason)
	case len(k.Reminders) >= maxReminds:
		text := "it was snoozed three times:"
		for i, r := range k.Reminders {
			if i > 0 {
				text += ","
			}
			text += fmt.Sprintf(" %s at %s", r.By, s.At(now).Clock(r.At))
		}
		return text + "; answer it, or move it with a reason"
	}
	return ""
}

// ClockReminded is an alarm snoozed for a while.
type ClockReminded struct {
	Clock  ClockID   `json:"clock"`
	Until  time.Time `json:"until"`
	Reason string    `json:"reason"`
}

func (f *ClockReminded) apply(s *State, r Record) {
	c := s.clocks[f.Clock]
	if c == nil || c.Done {
		return
	}
	c.Reminders = append(c.Reminders, Reminder{At: r.At, Until: f.Until, By: r.By, Reason: f.Reason})
	s.log(r, c.Subject, "{verb}: {reminded_text}, until {time}: {reason}", c.Says(), c.RemindedText(), f.Until,
		f.Reason)
}

// endReminders brings back what was snoozed: who takes over has put nothing off.
func (s *State) endReminders(r Record) {
	for _, c := range slices.Clone(s.Clocks()) {
		off, is := c.Snoozed(r.At)
		if !is {
			continue
		}
		all := append([]Reminder(nil), c.Reminders...)
		all[len(all)-1].Until = r.At
		c.Reminders = all
		s.log(r, c.Subject, "{verb}: snoozed until {time} by {who}, back at the change of shift", c.Says(), off.Until,
			off.By)
	}
}

var (
	_ = command[Remind]("snooze")
	_ = fact[ClockReminded]("clock-snoozed")
)
