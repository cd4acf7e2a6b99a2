package cellar

import (
	"slices"
	"strings"
	"unicode/utf8"
)

// Where a meter is held: the vessels and presses, and the places the house names. A
// reading from anywhere else is written first and asked about afterwards, so that no
// slip of the pen holds up a bad one.

// maxPlace is how long the name of a place may be.
const maxPlace = 40

// checkGasPlaces refuses names of places that are none, or stand there twice.
func (h House) checkGasPlaces() error {
	for i, p := range h.GasPlaces {
		switch n := utf8.RuneCountInString(p); {
		case n == 0 || n > maxPlace || strings.TrimSpace(p) != p:
			return reject("gas-place", "gas_places", "a gas place needs 1 to {max_place} characters with no space "+
				"at the ends, not {name:%q}", maxPlace, p)
		case slices.ContainsFunc(h.GasPlaces[:i], func(q string) bool { return strings.EqualFold(p, q) }):
			return reject("gas-place", "gas_places", "the gas place {name:%q} is listed twice", p)
		}
	}
	return nil
}

// gasPlace is a place as the house writes it; ok is false where it is none of the
// house's and nobody has said that it is right.
func (s *State) gasPlace(typed string) (place string, ok bool) {
	typed = strings.TrimSpace(typed)
	if p := TankNumber(strings.ToUpper(typed)); s.vessels[p] != nil || s.presses[p] != nil {
		return string(p), true
	}
	for _, p := range s.House.GasPlaces {
		if strings.EqualFold(p, typed) {
			return p, true
		}
	}
	return typed, s.told[strings.ToLower(typed)]
}

// GasAsk is what is still to be said about a reading that is written.
type GasAsk struct {
	Of           Seq
	Reading      GasReading
	Place, Meter bool // it is asked about
}

// GasAsks is the latest reading of which something is asked; ok is false for none.
func (s *State) GasAsks() (ask GasAsk, ok bool) {
	for i := len(s.gas) - 1; i >= 0; i-- {
		g := s.gas[i]
		_, known := s.gasPlace(g.Place)
		if a := (GasAsk{g.Seq, g, !known, g.Meter == ""}); !g.TakenBack && (a.Place || a.Meter) {
			return a, true
		}
	}
	return GasAsk{}, false
}

// TellGas says what was left open of a gas reading that is written: where the meter
// was held, and which it was. Its figures are never touched.
type TellGas struct {
	Head
	Of    Seq    `json:"of,omitempty"` // the reading; left out, the latest that is asked about
	Place string `json:"place,omitempty"`
	Meter string `json:"meter,omitempty"`
}

func (c *TellGas) decide(d *decision) ([]Fact, error) {
	ask, ok := d.s.GasAsks()
	if c.Of != 0 {
		g := d.s.gasOf(c.Of)
		if g == nil || g.TakenBack {
			return nil, reject("gas", "of", "there is no gas reading number {of}", c.Of)
		}
		_, known := d.s.gasPlace(g.Place)
		ask, ok = GasAsk{g.Seq, *g, !known, g.Meter == ""}, true
	}
	place, _ := d.s.gasPlace(c.Place)
	f := &GasTold{Of: ask.Of, Place: place, Meter: strings.TrimSpace(c.Meter)}
	switch {
	case !ok:
		return nil, reject("gas", "of", "no gas reading needs anything more")
	case f.Place == "" && f.Meter == "":
		return nil, reject("place", "place", "say where the meter was held, or which meter it was")
	case utf8.RuneCountInString(place) > maxPlace:
		return nil, reject("place", "place", "the name of a place has at most {max_place} characters", maxPlace)
	case f.Place != "" && !ask.Place && !strings.EqualFold(f.Place, ask.Reading.Place):
		return nil, reject("gas", "place", "that reading is of {place}; if that is wrong, take it back and save a "+
			"new one", ask.Reading.Place)
	case f.Meter != "" && !ask.Meter && f.Meter != ask.Reading.Meter:
		return nil, reject("gas", "meter", "that reading is of meter {meter}; if that is wrong, take it back and "+
			"save a new one", ask.Reading.Meter)
	}
	return []Fact{f}, nil
}

// GasTold is what was said afterwards of a gas reading; "" leaves a thing as it is.
type GasTold struct {
	Of    Seq    `json:"of"`
	Place string `json:"place,omitempty"`
	Meter string `json:"meter,omitempty"`
}

func (f *GasTold) apply(s *State, r Record) {
	g := s.gasOf(f.Of)
	if g == nil {
		return
	}
	was := g.Where()
	if f.Place != "" {
		if s.told == nil {
			s.told = map[string]bool{}
		}
		g.Place, s.told[strings.ToLower(f.Place)] = f.Place, true
	}
	if f.Meter != "" {
		g.Meter = f.Meter
	}
	text := "the gas reading of " + s.Clock(g.At) + " is of here: " + g.Text()
	if was != g.Where() {
		text += "; first saved for " + was
	}
	s.log(r, s.where(g.Where()), "{what}", text)
}

var (
	_ = command[TellGas]("gas-details")
	_ = fact[GasTold]("gas-details-given")
)
