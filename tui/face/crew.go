package face

import (
	"fmt"
	"strings"
	"time"

	"cellar.example/mustwatch/domain/caution"
	"cellar.example/mustwatch/domain/cellar"
)

// How long the last gas reading stays on a face: a night.
const crewShown = 12 * time.Hour

// The hours in which sums and valves go wrong at night, and how long a shift may
// have lasted (common practice, no source for the hours; more than 12 h on shift is
// commonly warned of).
const (
	tiredFrom, tiredTo = 3, 6
	tiredAfter         = 12 * time.Hour
)

// TiredLine stands on the board in the tired hours; it asks for nothing.
func TiredLine(s *cellar.State, now time.Time) string {
	h := now.In(s.Zone()).Hour()
	long := !s.Shift.Started.IsZero() && s.Shift.Ended.IsZero() && now.Sub(s.Shift.Started) > tiredAfter
	if h < tiredFrom || h >= tiredTo {
		if !long {
			return ""
		}
	}
	return "You are tired: read back every valve, sit down to calculate."
}

// GasLine is every place whose last reading of this night says to leave, worst
// first, and the last reading of any place with its meter and its age; "" when
// none was written. It never says what may be done.
func GasLine(s *cellar.State, now time.Time) string {
	var out []string
	g, ok := s.LastGas()
	for _, bad := range BadAir(s, now) {
		out = append(out, gasAt(bad, now)+": "+caution.BadGas.Text())
		ok = ok && bad.Place != g.Place
	}
	if ok && now.Sub(g.At) <= crewShown {
		out = append(out, gasAt(g, now))
	}
	return strings.Join(out, " · ")
}

// BadAir are the places whose last reading of this night says to leave, the worst
// first.
func BadAir(s *cellar.State, now time.Time) []cellar.GasReading {
	return s.GasLeaves(now.Add(-crewShown))
}

func gasAt(g cellar.GasReading, now time.Time) string {
	return fmt.Sprintf("gas %s: %s, %s", g.Where(), g.Text(), Ago(g.At, now))
}

// Ago is how long an instant is past, in words: "just now", "25 min ago".
func Ago(t, now time.Time) string {
	d := now.Sub(t)
	if d < time.Minute {
		return "just now"
	}
	return Length(d) + " ago"
}
