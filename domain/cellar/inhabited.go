package cellar

import (
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

// site is a place at which something is tried, and the field that names it.
type site struct {
	number TankNumber
	field  string
}

var inhabitedSays = text.New("inhabited",
	"{who} IN {place} since {time}, not logged out.",
	"Stop, shut both valves, lock it. Do not run, turn or pour anything there until they are out and that is logged "+
		"(z c).")

// inhabited is the other half of H17: nothing runs into a vessel, out of it,
// is poured into it or turns while somebody is in it by what was written. No word
// lifts it; what has happened is written, and stands above everything as it is.
func (d *decision) inhabited(places ...site) []gate.Finding {
	for _, x := range places {
		if in, ok := d.s.Inhabited(x.number); ok {
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
