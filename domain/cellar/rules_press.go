package cellar

import (
	"fmt"
	"strings"
	"time"

	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/stage"
)

// unnamed is H05: no programme starts without a tank for its juice and one
// for its press fraction. Hot must leaves no fraction apart.
func (t *programmeTry) unnamed(d *decision) (out []gate.Finding) {
	if t.main == "" {
		out = append(out, gate.Finding{Field: "main", Message: "No tank is named for the juice of " + string(t.press.Plate) + ".", Right: gate.Lead, Reason: true})
	}
	if t.fraction == "" && t.press.Kind != stage.HotMust {
		out = append(out, gate.Finding{Field: "fraction", Message: "No tank is named for the press fraction of " + string(t.press.Plate) + ".", Right: gate.Lead, Reason: true})
	}
	return out
}

// overPress is H04: no word lifts it, for the membrane and the door.
func (t *pressTipTry) overPress(d *decision) []gate.Finding {
	would := t.press.Mass() + t.mass
	if would <= max(t.press.Rated, t.press.WholeBunch) {
		return nil
	}
	takes, holds := t.press.Rated.LoadBeside(would, d.s.House.Units)
	return []gate.Finding{{Field: "mass", Right: gate.Nobody,
		Message: fmt.Sprintf("%s takes %s; with this it would hold %s.", t.press.Plate, takes, holds)}}
}

// waiting is W01: warm, oxidising, it starts.
func (t tipTry) waiting(d *decision) []gate.Finding {
	wait, limit := d.at.Sub(t.load.Arrived), d.s.House.Limits.LoadWaits.Duration()
	if t.load.In > 0 || wait <= limit {
		return nil
	}
	return []gate.Finding{{Field: "load", Right: gate.Anyone,
		Message: fmt.Sprintf("Load %s has waited %s.", t.load.ID, quantity.Span(wait.Truncate(time.Minute)))}}
}

// warmGrapes is W02.
func (t *loadTry) warmGrapes(d *decision) []gate.Finding {
	limit := d.s.House.Limits.WarmGrapes
	light := strings.Contains(t.load.Route, "white") || strings.Contains(t.load.Route, "ros") || strings.Contains(t.load.Route, "bunch")
	if !light || t.load.Temp <= limit {
		return nil
	}
	return []gate.Finding{{Field: "temp", Right: gate.Anyone,
		Message: fmt.Sprintf("Grapes for %s at %s: cool them or press them first.", t.load.Route, t.load.Temp.Text(d.s.House.Units))}}
}

// rot is W03.
func (t *loadTry) rot(d *decision) []gate.Finding {
	if t.load.Rot < 5 {
		return nil
	}
	return []gate.Finding{{Field: "rot", Right: gate.Anyone,
		Message: fmt.Sprintf("%.0f %% rot: slower to clear, a route of its own.", t.load.Rot)}}
}

// pressFill is W06.
func (t *programmeTry) pressFill(d *decision) []gate.Finding {
	if t.press.Mass() == 0 {
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

// fractionRoom is W07: where the press fraction goes is looked at before the
// programme starts, not at the cut.
func (t *programmeTry) fractionRoom(d *decision) []gate.Finding {
	if t.fraction == "" {
		return nil
	}
	v := d.s.vessels[t.fraction]
	expect, _, known := d.s.PressFraction(t.press)
	if v == nil || !known {
		return nil
	}
	if v.Now.Volume+expect <= v.Limit() {
		return nil
	}
	comes, room := expect.Beside(max(0, v.Limit()-v.Now.Volume), d.s.House.Units)
	return []gate.Finding{{Field: "fraction", Right: gate.Anyone,
		Message: fmt.Sprintf("About %s of press fraction will come; %s has room for %s to its limit.", comes, v.Plate, room)}}
}

// oddEnd is D02, a rule of our own: a programme that ends long before its
// time, or with a tank named for its fraction and no volume given.
func (t *endTry) oddEnd(d *decision) (out []gate.Finding) {
	if left := t.press.End.Sub(d.at); left > 15*time.Minute {
		out = append(out, gate.Finding{Field: "what", Right: gate.Anyone,
			Message: fmt.Sprintf("%s ends %s before its time (%s).", t.press.Programme, quantity.Span(left.Truncate(time.Minute)), d.s.Clock(t.press.End))})
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

// oddTare is D14, a rule of our own.
func (t *loadTry) oddTare(d *decision) []gate.Finding {
	if t.load.Tare <= 0 {
		return nil
	}
	last, ok := d.s.LastTare(t.load.Trailer)
	if !ok || last.ID == t.load.ID {
		return nil
	}
	if off := float64(t.load.Tare-last.Tare) / float64(last.Tare); off >= -tareApart && off <= tareApart {
		return nil
	}
	u := d.s.House.Units
	return []gate.Finding{{Field: "tare", Right: gate.Anyone,
		Message: fmt.Sprintf("Trailer %s weighed %s empty with load %s at %s; %s now. Another trailer, or mistyped?", t.load.Trailer, last.Tare.Text(u), last.ID, d.s.Clock(last.Arrived), t.load.Tare.Text(u))}}
}

// otherVariety is D15, a rule of our own: what came is not what was booked
// under this number.
func (t *loadTry) otherVariety(d *decision) []gate.Finding {
	booked, ok := d.s.Load(t.load.ID)
	if !ok || booked.Variety == "" || strings.EqualFold(booked.Variety, t.load.Variety) {
		return nil
	}
	return []gate.Finding{{Field: "variety", Right: gate.Anyone,
		Message: fmt.Sprintf("Load %s is booked as %s. Is it %s, or another load?", t.load.ID, booked.Variety, t.load.Variety)}}
}

// leastShare is the share of a load below which a part of it that is tipped is asked
// about: it is a slip of the unit or of the field (common practice, no source).
const leastShare = 0.02

// crumb is D25, a rule of our own. What is left of a load may be little.
func (t tipTry) crumb(d *decision) []gate.Finding {
	l := t.load
	if t.mass >= quantity.Mass(leastShare*float64(l.Net)) || t.mass == l.Net-l.In {
		return nil
	}
	u := d.s.House.Units
	return []gate.Finding{{Field: "mass", Right: gate.Anyone,
		Message: fmt.Sprintf("%s of load %s is %.2g %% of its %s. Is the figure right?", t.mass.Text(u), l.ID, 100*float64(t.mass)/float64(l.Net), l.Net.Text(u))}}
}
