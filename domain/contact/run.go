package contact

import (
	"math"
	"slices"
	"time"

	"cellar.example/mustwatch/domain/quantity"
)

// farthest is how far ahead a forecast may lie, as long as a clock may be set. A
// contact that would take longer is too cold, not slow.
const farthest = 30 * 24 * time.Hour

// Reading is a temperature of the juice at an instant.
type Reading struct {
	At time.Time        `json:"at"`
	T  quantity.Celsius `json:"t"`
}

// Run is one contact: a card, the instant at which the clock began (last dose
// poured, or last untreated juice in, whichever is later), and the readings of
// the vessel.
//
// Readings may stand in any order. Of two in the same minute the one later in the
// slice wins; one that is no number is passed over. Between readings the
// temperature runs straight, after the last it is held, before the first it is
// held back. Readings before Start count: they say what it was at Start.
type Run struct {
	Card     Card
	Start    time.Time
	Readings []Reading
	Units    quantity.System // in which the basis is put into words
}

// Why says why there is no forecast.
type Why string

// The reasons for which the model has no due. A card without rows has none
// either, with no reason.
const (
	TooCold       Why = "too cold"
	TooHot        Why = "too hot"
	NoTemperature Why = "no temperature"
)

// Progress returns P, the integral of the rate from Start to at, over all
// readings: 0 at the start, 1 when the card's hours are used up, more after. It
// is 0 before the start, and without a temperature, rows or start.
func (r Run) Progress(at time.Time) float64 {
	m, ok := newModel(r.Card)
	if !ok || r.Start.IsZero() || !at.After(r.Start) {
		return 0
	}
	p := 0.0
	for _, s := range r.ramps(oneAMinute(r.Readings), at) {
		p, _, _ = m.over(s, p)
	}
	return p
}

// ModelDue returns the instant at which P reaches 1, to the second, as it was
// forecast at an instant: from the readings known then, the last one held. The
// instant may have passed. Without a due, why says what is missing.
func (r Run) ModelDue(at time.Time) (due time.Time, ok bool, why Why) {
	m, ok := newModel(r.Card)
	if !ok || r.Start.IsZero() {
		return time.Time{}, false, ""
	}
	known := r.known(at)
	if len(known) == 0 {
		return time.Time{}, false, NoTemperature
	}
	return r.dueBy(m, known)
}

// dueBy is the due of a model, from readings of which there is at least one.
func (r Run) dueBy(m model, known []Reading) (due time.Time, ok bool, why Why) {
	last := known[len(known)-1]
	from := last.At
	if from.Before(r.Start) {
		from = r.Start
	}
	p := 0.0
	for _, s := range r.ramps(known, from) {
		var hour float64
		var reached bool
		if p, hour, reached = m.over(s, p); reached {
			return r.after(hour), true, ""
		}
	}
	if why := m.why(float64(last.T)); why != "" {
		return time.Time{}, false, why
	}
	left := (1 - p) / m.rate(float64(last.T))
	if !(left <= farthest.Hours()) {
		return time.Time{}, false, TooCold
	}
	return r.after(r.hours(from) + left), true, ""
}

// after returns the instant so many hours after the start, to the second. What a
// time.Duration cannot hold stops at some 285 years.
func (r Run) after(hours float64) time.Time {
	const most = 2.5e6
	return r.Start.Add(time.Duration(math.Round(min(hours, most)*3600)) * time.Second)
}

func (r Run) hours(at time.Time) float64 { return at.Sub(r.Start).Hours() }

// known returns the readings that had been taken at an instant, one a minute, in
// order of time.
func (r Run) known(at time.Time) []Reading {
	var out []Reading
	for _, x := range r.Readings {
		if !x.At.After(at) {
			out = append(out, x)
		}
	}
	return oneAMinute(out)
}

// oneAMinute returns the readings in order of time, and of those in one minute
// the last in the slice. It leaves the slice as it was.
func oneAMinute(readings []Reading) []Reading {
	out := make([]Reading, 0, len(readings))
	for _, x := range readings {
		if finite(float64(x.T)) {
			out = append(out, x)
		}
	}
	minute := func(x Reading) time.Time { return x.At.Truncate(time.Minute) }
	slices.SortStableFunc(out, func(a, b Reading) int { return minute(a).Compare(minute(b)) })
	kept := out[:0]
	for _, x := range out {
		if n := len(kept); n > 0 && minute(kept[n-1]).Equal(minute(x)) {
			kept[n-1] = x
			continue
		}
		kept = append(kept, x)
	}
	return kept
}

// ramps lays the temperature out from Start to at in straight stretches, in
// hours after Start.
func (r Run) ramps(readings []Reading, at time.Time) []ramp {
	end := r.hours(at)
	if len(readings) == 0 || end <= 0 {
		return nil
	}
	first, last := readings[0], readings[len(readings)-1]
	var out []ramp
	add := func(s ramp) {
		a, b := max(s.from, 0), min(s.to, end)
		if b > a {
			out = append(out, ramp{from: a, to: b, begin: s.at(a), end: s.at(b)})
		}
	}
	add(ramp{from: 0, to: r.hours(first.At), begin: float64(first.T), end: float64(first.T)})
	for i := 1; i < len(readings); i++ {
		p, q := readings[i-1], readings[i]
		add(ramp{from: r.hours(p.At), to: r.hours(q.At), begin: float64(p.T), end: float64(q.T)})
	}
	add(ramp{from: r.hours(last.At), to: end, begin: float64(last.T), end: float64(last.T)})
	return out
}
