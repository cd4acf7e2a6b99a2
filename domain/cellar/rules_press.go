package cellar

import (
	"strings"
	"time"

	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/stage"
	"cellar.example/mustwatch/domain/text"
)

var (
	noTankForJuice    = text.New("no-tank-for-juice", "No tank is named for the juice of {press}.")
	noTankForFraction = text.New("no-tank-for-fraction", "No tank is named for the pressings of {press}.")
)

// unnamed is H05: no programme starts without a tank for its juice and one
// for its press fraction. Hot must leaves no fraction apart.
func (t *programmeTry) unnamed(d *decision) (out []gate.Finding) {
	if t.main == "" {
		out = append(out, gate.Finding{Field: "free_run", Say: noTankForJuice.Say(t.press.Number), Right: gate.Lead,
			Reason: true})
	}
	if t.fraction == "" && t.press.Kind != stage.HotMust {
		out = append(out, gate.Finding{Field: "pressings", Say: noTankForFraction.Say(t.press.Number), Right: gate.Lead,
			Reason: true})
	}
	return out
}

var overPressSays = text.New("over-press",
	"{press} takes {takes}; with this it would hold {holds}.")

// overPress is H04: cannot be overridden, for the membrane and the door.
func (t *pressTipTry) overPress(d *decision) []gate.Finding {
	would := t.press.Mass() + t.mass
	if would <= max(t.press.Rated, t.press.WholeBunch) {
		return nil
	}
	takes, holds := t.press.Rated.LoadBeside(would, d.s.House.Units)
	return []gate.Finding{{Field: "mass", Right: gate.Nobody,
		Say: overPressSays.Say(t.press.Number, takes, holds)}}
}

var loadWaiting = text.New("load-waiting",
	"Load {load} has waited {wait}.")

// waiting is W01: warm, oxidising, it starts.
func (t tipTry) waiting(d *decision) []gate.Finding {
	wait, limit := d.at.Sub(t.load.Arrived), d.s.House.Limits.LoadWaits.Duration()
	if t.load.In > 0 || t.load.Arrived.IsZero() || wait <= limit {
		return nil
	}
	return []gate.Finding{{Field: "load", Right: gate.Anyone,
		Say: loadWaiting.Say(t.load.ID, quantity.Span(wait.Truncate(time.Minute)))}}
}

var warmGrapesSays = text.New("warm-grapes",
	"Grapes for {style} at {temp}: cool them or press them first.")

// warmGrapes is W02.
func (t *loadTry) warmGrapes(d *decision) []gate.Finding {
	limit := d.s.House.Limits.WarmGrapes
	if !t.load.Style.pressedFresh() || t.load.Temp <= limit {
		return nil
	}
	return []gate.Finding{{Field: "temp", Right: gate.Anyone,
		Say: warmGrapesSays.Say(t.load.Style, t.load.Temp)}}
}

var rotten = text.New("rotten",
	"{rot:%.0f} % rot: it clears slowly, keep it apart.")

// rot is W03.
func (t *loadTry) rot(d *decision) []gate.Finding {
	if t.load.Rot < 5 {
		return nil
	}
	return []gate.Finding{{Field: "rot", Right: gate.Anyone,
		Say: rotten.Say(t.load.Rot)}}
}

var (
	pressHardlyFull = text.New("press-hardly-full",
		"{press} is only {share:%.0f} % full: it drains badly.")
	pressTooFull = text.New("press-too-full",
		"{press} is {share:%.0f} % full: it can stop.")
)

// pressFill is W06.
func (t *programmeTry) pressFill(d *decision) []gate.Finding {
	if t.press.Mass() == 0 {
		return nil
	}
	switch share := float64(t.press.Mass()) / float64(t.press.Rated); {
	case share < 0.5:
		return []gate.Finding{{Field: "press", Right: gate.Anyone, Say: pressHardlyFull.Say(t.press.Number, 100*share)}}
	case share > 0.95+1e-9:
		return []gate.Finding{{Field: "press", Right: gate.Anyone, Say: pressTooFull.Say(t.press.Number, 100*share)}}
	}
	return nil
}

var fractionRoomSays = text.New("fraction-room",
	"About {comes} of pressings will come; {tank} has room for {room} to its limit.")

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
	return []gate.Finding{{Field: "pressings", Right: gate.Anyone,
		Say: fractionRoomSays.Say(comes, v.Number, room)}}
}

var (
	endsEarly = text.New("ends-early",
		"{programme} ends {left} early (planned {time}).")
	noFractionGiven = text.New("no-fraction-given",
		"No volume of pressings is given; {fraction} is named for them.",
		"Did none run?")
)

// oddEnd is D02, a rule of our own: a programme that ends long before its
// time, or with a tank named for its fraction and no volume given.
func (t *endTry) oddEnd(d *decision) (out []gate.Finding) {
	if left := t.press.End.Sub(d.at); left > 15*time.Minute {
		out = append(out, gate.Finding{Field: "what", Right: gate.Anyone,
			Say: endsEarly.Say(t.press.Programme, quantity.Span(left.Truncate(time.Minute)), t.press.End)})
	}
	if t.ends.Volume == 0 && t.ends.Reads == 0 && t.press.Fraction != "" && t.press.FracOut == 0 {
		out = append(out, gate.Finding{Field: "volume", Right: gate.Anyone,
			Say: noFractionGiven.Say(t.press.Fraction)})
	}
	return out
}

// tareApart is how far an empty trailer may weigh from what it weighed before, as a
// share: more is another trailer, or the two weights are swapped (common practice,
// no source).
const tareApart = 0.05

var oddTareSays = text.New("odd-tare",
	"Trailer {trailer} weighed {tare} empty with load {id} at {time}; {now} now.",
	"Another trailer, or mistyped?")

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
	return []gate.Finding{{Field: "tare", Right: gate.Anyone,
		Say: oddTareSays.Say(t.load.Trailer, last.Tare, last.ID, last.Arrived, t.load.Tare)}}
}

var otherVarietySays = text.New("other-variety",
	"Load {load} is booked as {booked}.",
	"Is it {variety}, or another load?")

// otherVariety is D15, a rule of our own: what came is not what was booked
// under this number.
func (t *loadTry) otherVariety(d *decision) []gate.Finding {
	booked, ok := d.s.Load(t.load.ID)
	if !ok || booked.Variety == "" || strings.EqualFold(booked.Variety, t.load.Variety) {
		return nil
	}
	return []gate.Finding{{Field: "variety", Right: gate.Anyone,
		Say: otherVarietySays.Say(t.load.ID, booked.Variety, t.load.Variety)}}
}

// leastShare is the share of a load below which a part of it that is tipped is asked
// about: it is a slip of the unit or of the field (common practice, no source).
const leastShare = 0.02

var tinyPart = text.New("tiny-part",
	"{mass} of load {load} is {share:%.2g} % of its {net}.",
	"Is the amount right?")

// crumb is D25, a rule of our own. What is left of a load may be little.
func (t tipTry) crumb(d *decision) []gate.Finding {
	l := t.load
	if l.Net == 0 || t.mass >= quantity.Mass(leastShare*float64(l.Net)) || t.mass == l.Net-l.In {
		return nil
	}
	return []gate.Finding{{Field: "mass", Right: gate.Anyone,
		Say: tinyPart.Say(t.mass, l.ID, 100*float64(t.mass)/float64(l.Net), l.Net)}}
}
