package cellar

import (
	"fmt"
	"strings"
	"time"

	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/quantity"
)

// findUnnamed is H05: no programme starts without a tank for its juice and one
// for its press fraction. Hot must leaves no fraction apart.
func findUnnamed(t *trying) (out []gate.Finding) {
	if t.press == nil || !t.starts {
		return nil
	}
	if t.main == "" {
		out = append(out, gate.Finding{Field: "main", Message: "No tank is named for the juice of " + string(t.press.Plate) + ".", Right: gate.Lead, Reason: true})
	}
	if t.fraction == "" && t.press.Kind != HotMust {
		out = append(out, gate.Finding{Field: "fraction", Message: "No tank is named for the press fraction of " + string(t.press.Plate) + ".", Right: gate.Lead, Reason: true})
	}
	return out
}

// findOverPress is H04: no word lifts it, for the membrane and the door.
func findOverPress(t *trying) []gate.Finding {
	if t.press == nil || t.pressed == 0 || t.pressed <= max(t.press.Rated, t.press.WholeBunch) {
		return nil
	}
	takes, would := t.press.Rated.LoadBeside(t.pressed, t.d.s.House.Units)
	return []gate.Finding{{Field: "mass", Right: gate.Nobody,
		Message: fmt.Sprintf("%s takes %s; with this it would hold %s.", t.press.Plate, takes, would)}}
}

// findWaiting is W01: warm, oxidising, it starts.
func findWaiting(t *trying) []gate.Finding {
	if !t.tipped || t.load == nil {
		return nil
	}
	wait, limit := t.d.at.Sub(t.load.Arrived), t.d.s.House.Limits.LoadWaits.Duration()
	if t.load.In > 0 || wait <= limit {
		return nil
	}
	return []gate.Finding{{Field: "load", Right: gate.Anyone,
		Message: fmt.Sprintf("Load %s has waited %s.", t.load.ID, quantity.Span(wait.Truncate(time.Minute)))}}
}

// findWarmGrapes is W02.
func findWarmGrapes(t *trying) []gate.Finding {
	if t.load == nil || t.tipped {
		return nil
	}
	limit := t.d.s.House.Limits.WarmGrapes
	light := strings.Contains(t.load.Route, "white") || strings.Contains(t.load.Route, "ros") || strings.Contains(t.load.Route, "bunch")
	if !light || t.load.Temp <= limit {
		return nil
	}
	return []gate.Finding{{Field: "temp", Right: gate.Anyone,
		Message: fmt.Sprintf("Grapes for %s at %s: cool them or press them first.", t.load.Route, t.load.Temp.Text(t.d.s.House.Units))}}
}

// findRot is W03.
func findRot(t *trying) []gate.Finding {
	if t.load == nil || t.tipped || t.load.Rot < 5 {
		return nil
	}
	return []gate.Finding{{Field: "rot", Right: gate.Anyone,
		Message: fmt.Sprintf("%.0f %% rot: slower to clear, a route of its own.", t.load.Rot)}}
}

// findPressFill is W06.
func findPressFill(t *trying) []gate.Finding {
	if t.press == nil || !t.starts || t.press.Mass() == 0 {
		return nil
	}
	switch share := float64(t.press.Mass()) / float64(t.press.Rated); {
	case share < 0.5:
		return []gate.Finding{{Field: "press", Right: gate.Anyone, Message: fmt.Sprintf("%s is only %.0f %% full: it drains badly.", t.press.Plate, 100*share)}}
	case share > 0.95+1e-9:
		return []gate.Finding{{Field: "press", Right: gate.Anyone, Message: fmt.Sprintf("%s is %.0f %% full: it may stop.", t.press.Plate, 100*share)}}
	}
	return nil
}

// findFractionRoom is W07: where the press fraction goes is looked at before the
// programme starts, not at the cut.
func findFractionRoom(t *trying) []gate.Finding {
	if t.press == nil || t.fraction == "" || !t.starts {
		return nil
	}
	v := t.d.s.vessels[t.fraction]
	expect, _, known := t.d.s.PressFraction(t.press)
	if v == nil || !known {
		return nil
	}
	if v.Now.Volume+expect <= v.Limit() {
		return nil
	}
	comes, room := expect.Beside(max(0, v.Limit()-v.Now.Volume), t.d.s.House.Units)
	return []gate.Finding{{Field: "fraction", Right: gate.Anyone,
		Message: fmt.Sprintf("About %s of press fraction will come; %s has room for %s to its limit.", comes, v.Plate, room)}}
}

// findOddEnd is D02, a rule of our own: a programme that ends long before its
// time, or with a tank named for its fraction and no volume given.
func findOddEnd(t *trying) (out []gate.Finding) {
	if t.ends == nil {
		return nil
	}
	if left := t.press.End.Sub(t.d.at); left > 15*time.Minute {
		out = append(out, gate.Finding{Field: "what", Right: gate.Anyone,
			Message: fmt.Sprintf("%s ends %s before its time (%s).", t.press.Programme, quantity.Span(left.Truncate(time.Minute)), t.d.s.Clock(t.press.End))})
	}
	if t.ends.Volume == 0 && t.ends.Reads == 0 && t.press.Fraction != "" {
		out = append(out, gate.Finding{Field: "volume", Right: gate.Anyone,
			Message: fmt.Sprintf("No volume of press fraction is given; %s is named for it. Did none run?", t.press.Fraction)})
	}
	return out
}

// tareApart is how far an empty trailer may weigh from what it weighed before, as a
// share: more is another trailer, or the two weights are swapped (common practice,
// no source).
const tareApart = 0.05

// findOddTare is D14, a rule of our own.
func findOddTare(t *trying) []gate.Finding {
	if t.load == nil || t.tipped || t.load.Tare <= 0 {
		return nil
	}
	last, ok := t.d.s.LastTare(t.load.Trailer)
	if !ok || last.ID == t.load.ID {
		return nil
	}
	if off := float64(t.load.Tare-last.Tare) / float64(last.Tare); off >= -tareApart && off <= tareApart {
		return nil
	}
	u := t.d.s.House.Units
	return []gate.Finding{{Field: "tare", Right: gate.Anyone,
		Message: fmt.Sprintf("Trailer %s weighed %s empty with load %s at %s; %s now. Another trailer, or mistyped?", t.load.Trailer, last.Tare.Text(u), last.ID, t.d.s.Clock(last.Arrived), t.load.Tare.Text(u))}}
}

// findOtherVariety is D15, a rule of our own: what came is not what was booked
// under this number.
func findOtherVariety(t *trying) []gate.Finding {
	if t.load == nil || t.tipped {
		return nil
	}
	booked, ok := t.d.s.Load(t.load.ID)
	if !ok || booked.Variety == "" || strings.EqualFold(booked.Variety, t.load.Variety) {
		return nil
	}
	return []gate.Finding{{Field: "variety", Right: gate.Anyone,
		Message: fmt.Sprintf("Load %s is booked as %s. Is it %s, or another load?", t.load.ID, booked.Variety, t.load.Variety)}}
}

// leastShare is the share of a load below which a part of it that is tipped is asked
// about: it is a slip of the unit or of the field (common practice, no source).
const leastShare = 0.02

// findCrumb is D25, a rule of our own. What is left of a load may be little.
func findCrumb(t *trying) []gate.Finding {
	l := t.load
	if !t.tipped || l == nil || t.tips >= quantity.Mass(leastShare*float64(l.Net)) || t.tips == l.Net-l.In {
		return nil
	}
	u := t.d.s.House.Units
	return []gate.Finding{{Field: "mass", Right: gate.Anyone,
		Message: fmt.Sprintf("%s of load %s is %.2g %% of its %s. Is the figure right?", t.tips.Text(u), l.ID, 100*float64(t.tips)/float64(l.Net), l.Net.Text(u))}}
}
