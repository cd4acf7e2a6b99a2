package contact

import (
	"math"
	"time"
)

// The published activation energies of pectinases run from 9.2 kJ/mol, the only one
// measured in grape must (Front. Sustain. Food Syst. 2023, 1053013), to 80.3 (Int.
// J. Biol. Macromol. 2019, 126, 820).
const flattest, steepest = 9.2, 80.3

// Spread returns the earliest and the latest of three forecasts of the end of the
// contact, as known at an instant: the model's own, and the row of the card, taken
// from its middle to the temperatures that were read by each of the published
// extremes of activation energy, 9.2 and 80.3 kJ/mol. The model's own belongs
// among them because it stays level above the warmest row, where both extremes go
// on getting faster. It is worth showing only when it is at least 15 min wide; ok
// is false when it is not, and where there is no row, no temperature or no end in
// sight.
func (r Run) Spread(at time.Time) (early, late time.Time, ok bool) {
	d := r.Deadline(at)
	known := r.known(at)
	if !d.OnCard || r.Start.IsZero() || len(known) == 0 {
		return time.Time{}, time.Time{}, false
	}
	flat, okFlat, _ := r.dueBy(anchored(r.Card, d.Row, flattest), known)
	steep, okSteep, _ := r.dueBy(anchored(r.Card, d.Row, steepest), known)
	if !okFlat || !okSteep || !d.HasModel {
		return time.Time{}, time.Time{}, false
	}
	early, late = flat, flat
	for _, t := range []time.Time{steep, d.Model} {
		if t.Before(early) {
			early = t
		}
		if t.After(late) {
			late = t
		}
	}
	return early, late, late.Sub(early) >= worthShowing
}

// anchored is the model of one row and one activation energy alone, at every
// temperature from 5 °C to the ceiling of the card.
func anchored(c Card, row Row, ea float64) model {
	mid := row.middle()
	const hottest = 150.0
	anchor := point{celsius: mid, inverse: 1 / (mid + kelvin), logHours: math.Log(row.Wait.Duration().Hours())}
	far := point{celsius: hottest, inverse: 1 / (hottest + kelvin)}
	m := model{slope: ea / gasR, ceiling: math.Inf(1)}
	far.logHours = anchor.logHours + m.slope*(far.inverse-anchor.inverse)
	m.points = []point{anchor, far}
	if c.Ceiling != 0 && finite(float64(c.Ceiling)) {
		m.ceiling = float64(c.Ceiling)
	}
	return m
}
