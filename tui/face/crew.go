package face

import (
	"fmt"
	"time"

	"cellar.example/mustwatch/domain/cellar"
)

// How long the last gas reading and a head count with somebody missing stay on a
// face: a night.
const crewShown = 12 * time.Hour

// GasLine is the last gas reading of any place with its meter and its age, ""
// when none was written this night. It never says what may be done.
func GasLine(s *cellar.State, now time.Time) string {
	g, ok := s.LastGas()
	age := now.Sub(g.At)
	if !ok || age > crewShown {
		return ""
	}
	text := fmt.Sprintf("gas %s: %s, %s ago", g.Place, g.Text(), Length(max(age, 0)))
	if g.Leave() {
		text += ": LEAVE, AIR IT, CALL"
	}
	return text
}

// MissingLine names who was missing at the last head count, "" when nobody was.
// Only another count takes it away.
func MissingLine(s *cellar.State, now time.Time) string {
	h, ok := s.LastCount()
	if !ok || len(h.Missing) == 0 || now.Sub(h.At) > crewShown {
		return ""
	}
	text := fmt.Sprintf("HEAD COUNT %s, MISSING:", Clock(h.At, now, s.Zone()))
	for _, who := range h.Missing {
		text += " " + string(who)
	}
	return text
}
