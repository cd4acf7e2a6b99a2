package cellar

import (
	"cellar.example/mustwatch/domain/caution"
	"cellar.example/mustwatch/domain/stage"
)

// Which caution stands where. What it says stands in package caution; forms, the
// vessel's own page and calculations ask here and there, and keep no text of their
// own.

// forms are the cautions of a class of product, as a powder and as a liquid.
type forms struct{ powder, liquid []caution.Code }

// byClass has every class. A powder has a line on what is breathed in, a liquid one
// on skin and eyes.
var byClass = map[Class]forms{
	EnzymeClarify: enzymes, EnzymeSkin: enzymes, EnzymeHeat: enzymes,
	SO2:       {powder: []caution.Code{caution.Sulphite}, liquid: []caution.Code{caution.Sulphite}},
	Bentonite: dusts, Carbon: dusts, Silica: dusts,
	Protein: {powder: []caution.Code{caution.Powder, caution.Allergen}, liquid: []caution.Code{caution.Label,
		caution.Allergen}},
	Tannin: {powder: []caution.Code{caution.Powder}, liquid: []caution.Code{caution.Label}},
	YeastClass: {powder: []caution.Code{caution.Powder, caution.CO2}, liquid: []caution.Code{caution.Label,
		caution.CO2}},
	Nutrient: labelled, Acid: labelled, OtherClass: labelled,
}

var (
	enzymes  = forms{powder: []caution.Code{caution.Powder}, liquid: []caution.Code{caution.Enzyme}}
	dusts    = forms{powder: []caution.Code{caution.Dust}, liquid: []caution.Code{caution.Label}} // made up, or a sol
	labelled = forms{powder: []caution.Code{caution.Label, caution.Powder}, liquid: []caution.Code{caution.Label}}
)

// Cautions are those of a class of product in a form. A class that no list has is
// treated as other.
func (k Class) Cautions(liquid bool) []caution.Code {
	of, ok := byClass[k]
	if !ok {
		of = labelled
	}
	if liquid {
		return of.liquid
	}
	return of.powder
}

// Cautions are those of a product lot in the form in which it leaves the tub.
func (p *Product) Cautions() []caution.Code { return p.Class.Cautions(p.Poured()) }

// Receives are the cautions of a product that goes into a vessel. A powder makes an active
// ferment erupt, and so does yeast food that was dissolved before.
func (s *State) Receives(v *Vessel, p *Product) []caution.Code {
	out := s.CautionsOf(v)
	switch {
	case !s.Ferments(v):
	case !p.Poured():
		out = append(out, caution.Eruption)
	case p.Class == Nutrient:
		out = append(out, caution.Foaming)
	}
	return append(out, p.Cautions()...)
}

// CautionsOf are those of whoever opens a vessel, by the state of what is in it.
func (s *State) CautionsOf(v *Vessel) (out []caution.Code) {
	if v.Now.Scalds() {
		out = append(out, caution.Scald)
	}
	if s.Ferments(v) {
		out = append(out, caution.CO2)
	}
	return out
}

// Scalds reports whether what is in a vessel is hot enough to scald: by its last
// reading, or, where nobody has read it, because it was heated. In a hot hold it is hot
// or on its way there, whatever was read before.
func (c *Content) Scalds() bool {
	switch {
	case c.Stage.Empty():
		return false
	case c.Stage == stage.HotHold:
		return true
	case c.Last.Temp != nil:
		return caution.Hot(*c.Last.Temp)
	}
	return c.Kind == stage.HotMust || c.Stage == stage.CooledBack
}

// Ferments reports whether what is in a vessel gives off CO2: as its stage says, as a
// starter does, or because juice has started by itself.
func (s *State) Ferments(v *Vessel) bool {
	c := &v.Now
	switch {
	case c.Stage.Empty():
		return false
	case c.Stage == stage.Fermenting, c.Stage == stage.Maceration, c.Kind == stage.Yeast,
		c.Stage == stage.DrawingOff && c.Kind == stage.RedMust:
		return true
	}
	_, _, started := s.StartedByItself(v)
	return started
}

// Cautions are those of whoever works at a press. Hot must is pressed hot; nobody
// reads it there.
func (p *Press) Cautions() []caution.Code {
	out := []caution.Code{caution.Machine}
	if p.Stands() {
		out = append(out, caution.Restart)
	}
	return append(out, p.Opened()...)
}

// Opened are the cautions of whoever lets juice out of a press.
func (p *Press) Opened() []caution.Code {
	if p.Kind == stage.HotMust && len(p.Parts) > 0 {
		return []caution.Code{caution.Scald}
	}
	return nil
}
