package wall

import (
	"fmt"
	"strings"
	"time"

	"cellar.example/mustwatch/tui/face"
)

// permit and gas are what the strip says of them.
type permit struct {
	place, number    string
	holder, standing string // initials: who is inside, who stands outside
	until            time.Time
}

type gas struct {
	place    string
	co2      float64 // ppm, 0 when it was not read
	oxygen   float64 // percent, 0 when it was not read
	meter    string
	at       time.Time
	initials string
}

// livePermits and lastGas are where permits and room readings come from. None
// can be entered yet, so none is live and none was read.
func livePermits(face.Sight) []permit { return nil }
func lastGas(face.Sight) (gas, bool)  { return gas{}, false }

// entryLine is the standing caution, as two large words and a sentence. It never
// says that anybody may go in: a permit is told as what was noted, no more.
func entryLine(g face.Sight) (large, says string) {
	live := livePermits(g)
	if len(live) == 0 {
		return "NO ENTRY", "NOBODY ENTERS ANY VESSEL: no permit is live"
	}
	p := live[0]
	says = fmt.Sprintf("PERMIT noted: %s no. %s, %s in, %s outside, until %s", p.place, p.number, p.holder, p.standing,
		face.Clock(p.until, g.Now, g.State.Zone()))
	if len(live) > 1 {
		says += fmt.Sprintf(", and %d more", len(live)-1)
	}
	return "PERMIT", says + ". All others stay out."
}

// gasLine is the last reading in the room with its age and its meter.
func gasLine(g face.Sight) string {
	r, ok := lastGas(g)
	if !ok {
		return "no gas reading entered"
	}
	var parts []string
	if r.co2 != 0 {
		parts = append(parts, fmt.Sprintf("CO2 %.0f ppm", r.co2))
	}
	if r.oxygen != 0 {
		parts = append(parts, fmt.Sprintf("O2 %.1f %%", r.oxygen))
	}
	return fmt.Sprintf("gas %s: %s, meter %s, %s old", r.place, strings.Join(parts, ", "), r.meter, face.Length(g.Now.Sub(r.at)))
}

// holds are the plates on hold: in large letters, and as a sentence of at most
// w cells.
func holds(g face.Sight, w int) (large, says string) {
	var plates, told []string
	for _, v := range g.State.Vessels() {
		if h := v.Hold; h != nil {
			plates = append(plates, string(v.Plate))
			one := fmt.Sprintf("%s, %s releases", v.Plate, h.Releaser)
			if !h.Until.IsZero() {
				one += " by " + face.Clock(h.Until, g.Now, g.State.Zone())
			}
			told = append(told, one)
		}
	}
	switch {
	case len(plates) == 0:
		return "", "nothing is on hold"
	case len(plates) <= 2:
		large = "HOLD " + spell(strings.Join(plates, " "))
	default:
		large = fmt.Sprintf("HOLD %s +%d", spell(plates[0]), len(plates)-1)
	}
	for _, try := range []string{"× on hold: " + strings.Join(told, "; "), "× HOLD " + strings.Join(plates, " "), fmt.Sprintf("× HOLD %d vessels", len(plates))} {
		if says = try; len([]rune(try)) <= w {
			break
		}
	}
	return large, says
}
