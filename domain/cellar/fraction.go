package cellar

import (
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/stage"
)

// mustPerTonne is the hL of destemmed must that a tonne of grapes makes, to calculate
// from must that nobody weighed to its grapes and back (common practice, no source).
const mustPerTonne = 9

// PressFraction is the press fraction a press load gives by the house's hL a tonne,
// with how it was calculated; ok is false where nobody can say. Must and skins were
// never weighed: they count as the grapes of the must they were before any juice
// was drained. Hot must leaves none apart.
func (s *State) PressFraction(p *Press) (v quantity.Volume, how string, ok bool) {
	if p.Kind == stage.HotMust || len(p.Parts) == 0 {
		return 0, "", false
	}
	var must quantity.Volume
	for _, x := range p.Parts {
		switch {
		case x.Mass > 0:
		case x.Must > 0:
			must += x.Must
		case x.Volume > 0:
			must += x.Volume
		default:
			return 0, "", false
		}
	}
	tonnes, per := p.Mass().Tonnes()+must.HL()/mustPerTonne, s.House.Limits.PressFraction
	how = s.phrase("{mass:%.1f} t at {yield:%.1f} hL/t", tonnes, per)
	if must > 0 {
		how += s.phrase("; {must} of must taken as {mass:%.1f} t at {per:%.0f} hL/t", must, must.HL()/mustPerTonne,
			float64(mustPerTonne))
	}
	return quantity.HL(tonnes * per), how, true
}

// skins says of what goes to a press how much must it was part of before juice was
// drained off: what came into its vessel, by the share of the skins that goes there.
func (x *Flow) skins(src *Content) {
	left := src.Volume
	for _, l := range x.Legs {
		if !l.Press {
			left -= l.Volume
		}
	}
	for i := range x.Legs {
		leg := &x.Legs[i]
		switch {
		case !leg.Press:
		case left <= 0 || leg.Volume >= left:
			leg.Must = max(src.Came, leg.Volume)
		default:
			leg.Must = max(leg.Volume, quantity.Volume(float64(src.Came)*float64(leg.Volume)/float64(left)))
		}
	}
}
