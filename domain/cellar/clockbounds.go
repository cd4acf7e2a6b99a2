package cellar

import (
	"time"

	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/subject"
)

// The length of a clock, from the instant of the action that makes it. Below it is
// a slip or has passed, above it nobody in this harvest waits for it (common
// practice, no source).
const (
	minClock = time.Minute
	maxClock = 30 * 24 * time.Hour
)

// typedIn names the field in which a person typed when the clock is due, or how
// long it runs: a due that cannot be is refused there.
func (f *ClockSet) typedIn(field string) *ClockSet {
	f.field = field
	return f
}

// bounded refuses clocks that cannot be meant, whatever action makes them. A due
// that was calculated may have passed, when what it counts from is written late.
func (d *decision) bounded(facts []Fact) error {
	for _, f := range facts {
		k, ok := f.(*ClockSet)
		if !ok {
			continue
		}
		if n := k.Due.Sub(d.at); n > maxClock || n < minClock && k.field != "" {
			return d.noClock(k.field, k.Says(), k.Subject, k.Due, d.at)
		}
	}
	return nil
}

// ahead refuses another due for a running clock: it is given now, and for what is
// to come.
func (d *decision) ahead(field string, k *AlarmClock, due time.Time) error {
	if n := due.Sub(d.now); n < minClock || n > maxClock {
		return d.noClock(field, k.Says(), k.Subject, due, d.now)
	}
	return nil
}

func (d *decision) noClock(field, verb string, of subject.Ref, due, from time.Time) error {
	form := "15:04"
	if due.Sub(from).Abs() > 12*time.Hour {
		form = "Mon 2 Jan 2006 15:04"
	}
	return reject("length", field, "{verb} on {what} would be due at {time}; a clock runs from 1 minute to 30 days, "+
		"from {start}", verb, of, d.s.shown(due.In(d.s.Zone()), form), d.says(from))
}

// lengthOf is how long a volume takes at so much an hour, cut off well above
// maxClock, for what is slower counts as no pump at all.
func lengthOf(v, anHour quantity.Volume) time.Duration {
	hours := min(float64(v)/float64(anHour), 2*maxClock.Hours())
	return time.Duration(hours * float64(time.Hour))
}

// clockLengths refuses lengths of the house from which actions would make clocks
// that cannot be; one that is not set has none.
func (h House) clockLengths() error {
	l, w := h.Limits, h.Waits
	for _, x := range []struct {
		field, name string
		span        quantity.Span
	}{
		{"limits", "settle_for", l.SettleFor}, {"limits", "repeat_test", l.RepeatTest}, {"limits", "clean_takes",
			l.CleanTakes},
		{"limits", "float_cap", l.CapRise}, {"limits", "float_run", l.FloatRun}, {"limits", "pour_within",
			l.PourWithin},
		{"limits", "route_within", l.RouteWithin}, {"waits", "large", w.Large}, {"waits", "small", w.Small},
		{"waits", "fine", w.Fine}, {"waits", "hot", w.Hot},
	} {
		if n := x.span.Duration(); n != 0 && (n < minClock || n > maxClock) {
			return reject("length", x.field, "{name} cannot be {span}; type 1 minute to 30 days", x.name, x.span)
		}
	}
	return nil
}
