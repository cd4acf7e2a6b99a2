package cellar

import (
	"fmt"
	"strings"
	"time"

	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/stage"
	"cellar.example/mustwatch/domain/text"
)

// liquids are what nobody stands in, and neither does anybody in must before it is
// drawn off. Skins and pomace are raked out, and whether that may be done from inside
// is for the paper to say.
var liquids = map[stage.Substance]bool{stage.Juice: true, stage.PressJuice: true, stage.ClearJuice: true,
	stage.Lees: true, stage.Wine: true, stage.HotMust: true, stage.Yeast: true}

var (
	pressTurns     = text.New("press-turns", "{press} is {state}: lock and tag in your own name before you reach in")
	isInIt         = text.New("is-in-it", "{volume} of {substance} are in it")
	underGas       = text.New("under-gas", "it stands under gas")
	beingCleaned   = text.New("being-cleaned", "it is being cleaned")
	juiceGoesThere = text.New("juice-goes-there", "the juice of {press} goes there")
	movedOutOf     = text.New("moved-out-of", "it is being moved out of")
	movedThere     = text.New("moved-there", "{tank} is being moved there")
)

// notEmpty says why nobody can be meant to go into a place, by what the board
// knows of it; "" says nothing about anybody's safety.
func (s *State) notEmpty(place string) text.Say {
	if p := s.presses[TankNumber(place)]; p != nil {
		if p.State == PressRunning || p.State == PressFilling {
			return pressTurns.Say(p.Number, p.State)
		}
		return text.Say{}
	}
	v := s.vessels[TankNumber(place)]
	if v == nil {
		return text.Say{}
	}
	switch c := &v.Now; {
	case c.Volume > 0 && (liquids[c.Kind] || c.Stage != stage.DrawingOff):
		return isInIt.Say(c.Volume, c.Kind)
	case c.Stage == stage.Flotation || c.Stage == stage.CapRise:
		return underGas.Say()
	case c.Stage == stage.Cleaning:
		return beingCleaned.Say()
	}
	return s.runsInto(v.Number)
}

// runsInto says what is on its way into a vessel.
func (s *State) runsInto(to TankNumber) text.Say {
	for _, p := range s.Presses() {
		running := p.State == PressRunning || p.State == PressStopped || p.State == PressLocked
		if running && (p.Main == to || p.Fraction == to) {
			return juiceGoesThere.Say(p.Number)
		}
	}
	for _, m := range s.RunningMoves() {
		if m.From == to {
			return movedOutOf.Say()
		}
		for _, x := range m.To {
			if x.Vessel == to {
				return movedThere.Say(m.From)
			}
		}
	}
	return text.Say{}
}

// inhabitant is who is in a place, by what was written.
func (s *State) inhabitant(place string) (Inside, bool) {
	for _, in := range s.inside {
		if strings.EqualFold(in.Place, place) {
			return in, true
		}
	}
	return Inside{}, false
}

// Inhabited is what stands at a vessel or a press that somebody is in; "" says
// only that nothing was written.
func (s *State) Inhabited(p TankNumber) string {
	in, ok := s.inhabitant(string(p))
	if !ok {
		return ""
	}
	if !in.Alone.IsZero() {
		return fmt.Sprintf("%s IN, NO ATTENDANT", in.Who)
	}
	return fmt.Sprintf("%s IS IN IT", in.Who)
}

// InhabitedSays is what stops everything at a vessel or a press that somebody is
// in: who, since when, under which permit, and that nothing may be done there. ""
// says only that nothing was written.
func (s *State) InhabitedSays(p TankNumber, now time.Time) []string {
	in, ok := s.inhabitant(string(p))
	if !ok {
		return nil
	}
	out := []string{fmt.Sprintf("H17: %s IS IN %s since %s, by the record.", in.Who, in.Place, s.Clock(in.Since))}
	if !in.Alone.IsZero() {
		out = append(out, fmt.Sprintf("NOBODY WATCHES since %s: GET HELP, STAY OUT. Save who attends now (z a).",
			s.Clock(in.Alone)))
	}
	if x := s.permit(in.Permit); x != nil && x.Live(now) {
		out = append(out, fmt.Sprintf("Permit %s, given by %s, until %s; %s.", in.Number, in.Given, s.Clock(x.Until),
			s.attendantWords(x)))
	} else {
		out = append(out, fmt.Sprintf("THE PERMIT %s ENDED: GET HELP, STAY OUT.", in.Number))
	}
	return append(out, "Do not run, turn or pour anything there until they are out and that is logged (z c). This "+
		"cannot be overridden.")
}

// site is a place at which something is tried, and the field that names it.
type site struct {
	number TankNumber
	field  string
}

var inhabitedSays = text.New("inhabited",
	"{who} IS IN {place} since {time}, by the record.",
	"Stop, shut both valves, lock it. Do not run, turn or pour anything there until they are out and that is logged "+
		"(z c).")

// inhabited is the other half of H17: nothing runs into a vessel, out of it,
// is poured into it or turns while somebody is in it by what was written. No word
// lifts it; what has happened is written, and stands above everything as it is.
func (d *decision) inhabited(places ...site) []gate.Finding {
	for _, x := range places {
		if in, ok := d.s.inhabitant(string(x.number)); ok {
			return []gate.Finding{{Field: x.field, Right: gate.Nobody,
				Say: inhabitedSays.Say(in.Who, in.Place, in.Since)}}
		}
	}
	return nil
}

func (t inflows) sites() (out []site) {
	for _, in := range t {
		out = append(out, site{in.vessel.Number, in.field})
	}
	return out
}

func (t inflows) inhabited(d *decision) []gate.Finding { return d.inhabited(t.sites()...) }

func (t onVessel) inhabited(d *decision) []gate.Finding {
	return d.inhabited(site{t.of.Number, "vessel"})
}

func (t onPress) inhabited(d *decision) []gate.Finding {
	return d.inhabited(site{t.press.Number, "press"})
}

func (t *programmeTry) inhabited(d *decision) []gate.Finding {
	return d.inhabited(append(t.sites(), site{t.press.Number, "press"})...)
}

func (t *moveTry) inhabited(d *decision) []gate.Finding {
	all := append(t.sites(), site{t.out.Number, "from"})
	if t.press != nil {
		all = append(all, site{t.press.Number, "press"})
	}
	return d.inhabited(all...)
}
