package wall

import (
	"fmt"
	"strings"

	"cellar.example/mustwatch/tui/face"
)

// entryLine is the standing caution, as two large words and a sentence. It never
// says that anybody may go in: a permit is told as what was noted, no more.
func entryLine(g face.Sight) (large, says string) {
	says = g.State.EntryLine(g.Now)
	switch {
	case face.Peril(g.State, g.Now) != "":
		return "CALL", face.Peril(g.State, g.Now)
	case len(g.State.LivePermits(g.Now)) > 0:
		return "PERMIT", says
	}
	return "NO ENTRY", says
}

// gasLine is what the readings in the rooms say, with their ages and meters.
func gasLine(g face.Sight) string {
	if text := face.GasLine(g.State, g.Now); text != "" {
		return text
	}
	return "no gas reading entered"
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
