package must

import (
	"errors"
)

// water20 is the density of water at 20 °C in kg/L (OIML R22).
const water20 = 0.9982012

// beyond is how far past an end of the OIV table a figure is still given, marked
// as extrapolated, in °Brix.
const beyond = 2.0

// What figures rest on, for whoever reads them.
const (
	byDefinition = "definition"
	byOIV        = "OIV-MA-AS2-02 Table II"
	byC440       = "NBS C440 Table 114 (pure sucrose)"
)

// Figure is one number with what it rests on. Without Known there is none, and
// Basis says why. Extrapolated says that it lies outside the table it comes from.
type Figure struct {
	Value        float64
	Known        bool
	Extrapolated bool
	Basis        string
}

// Scales is one must on every scale, at 20 °C.
type Scales struct {
	Given     Reading
	Brix      Figure // °Brix by refractometer
	SG        Figure // 20/20 °C
	Density   Figure // kg/L
	Oechsle   Figure // °Oe
	Baume     Figure // °Bé, modulus 145
	KMW       Figure // °KMW
	Sugar     Figure // g/L
	SugarMass Figure // g/kg
	Index     Figure // refractive index
	Spindle   Figure // °Brix as a spindle shows it: pure sucrose of that SG
}

// In returns the figure on a scale.
func (s Scales) In(scale Scale) Figure {
	switch scale {
	case Brix:
		return s.Brix
	case SG:
		return s.SG
	case Density:
		return s.Density
	case Oechsle:
		return s.Oechsle
	case Baume:
		return s.Baume
	case KMW:
		return s.KMW
	case Sugar:
		return s.Sugar
	case SugarPer:
		return s.SugarMass
	}
	return Figure{Basis: "no such scale"}
}

// The spans in which a reading is taken for one; outside it is a slip.
var spans = map[Scale]struct {
	low, high float64
	wanted    string
}{
	Brix:     {0, 95, "Type the °Brix from 0 to 95, such as 21.5."},
	SG:       {0.980, 1.200, "Type the SG from 0.980 to 1.200, such as 1.090."},
	Density:  {0.980, 1.200, "Type the density from 0.980 to 1.200 kg/L, such as 1.088."},
	Oechsle:  {-20, 200, "Type the °Oe from -20 to 200, such as 90."},
	Baume:    {0, 24, "Type the °Bé from 0 to 24, such as 12."},
	KMW:      {-4, 38, "Type the °KMW from -4 to 38, such as 17."},
	Sugar:    {0, 400, "Type the sugar from 0 to 400 g/L, such as 203."},
	SugarPer: {0, 400, "Type the sugar from 0 to 400 g/kg, such as 190."},
}

// Convert puts a reading on every scale. Between °Brix, density and sugar it goes
// by the OIV table of must, 10 to 30 °Brix; two degrees beyond either end the
// figures are marked as extrapolated, and farther out they are not Known. A
// reading that no must has, or sugar outside the table, is an error.
func Convert(r Reading) (Scales, error) {
	span, ok := spans[r.Scale]
	if !ok {
		return Scales{}, errors.New(readingWanted)
	}
	if !(r.Value >= span.low && r.Value <= span.high) {
		return Scales{}, errors.New(span.wanted)
	}
	s := Scales{Given: r}
	switch r.Scale {
	case Brix:
		s.fromBrix(r.Value)
	case Sugar, SugarPer:
		column := columnSugar
		if r.Scale == SugarPer {
			column = columnMass
		}
		b, ok := backFrom(column, r.Value)
		if !ok {
			return Scales{}, errors.New("No table of must stands for that much sugar: type 61 to 334 g/L, or a " +
				"reading in °Oe.")
		}
		s.fromBrix(b)
	default:
		s.fromGravity(gravity(r))
	}
	s.keep(r)
	return s, nil
}

// keep puts the reading itself back where it came from, unrounded.
func (s *Scales) keep(r Reading) {
	f := map[Scale]*Figure{Brix: &s.Brix, SG: &s.SG, Density: &s.Density, Oechsle: &s.Oechsle, Baume: &s.Baume,
		KMW: &s.KMW, Sugar: &s.Sugar, SugarPer: &s.SugarMass}[r.Scale]
	*f = Figure{Value: r.Value, Known: true, Basis: "given"}
}

// fromBrix fills all scales from °Brix, by the table of must.
func (s *Scales) fromBrix(b float64) {
	s.fromTable(b)
	if d := s.Density; d.Known {
		s.fill(d.Value/water20, d.Extrapolated, byOIV)
		return
	}
	for _, f := range []*Figure{&s.SG, &s.Oechsle, &s.Baume, &s.KMW, &s.Spindle} {
		*f = Figure{Basis: outside}
	}
}

// fromGravity fills all scales from SG 20/20.
func (s *Scales) fromGravity(sg float64) {
	s.fill(sg, false, byDefinition)
	b, ok := backFrom(columnDensity, sg*water20)
	if !ok {
		b = -1
	}
	density := s.Density
	s.fromTable(b)
	s.Density = density
}

// outside says why a figure of must is not given.
const outside = "no table of must stands under 8 or over 32 °Brix"

// fromTable fills what the table of must holds at a °Brix.
func (s *Scales) fromTable(b float64) {
	s.Brix, s.Density, s.Sugar = tabled(columnBrix, b), tabled(columnDensity, b), tabled(columnSugar, b)
	s.SugarMass, s.Index = tabled(columnMass, b), tabled(columnIndex, b)
}

// fill fills what follows from SG 20/20 alone.
func (s *Scales) fill(sg float64, extrapolated bool, basis string) {
	f := func(x float64) Figure { return Figure{x, true, extrapolated, basis} }
	oe := (sg - 1) * 1000
	s.SG, s.Density, s.Oechsle, s.KMW = f(sg), f(sg*water20), f(oe), f(kmwOf(oe))
	s.Baume = f(baumeModulus - baumeModulus/sg)
	if sg < 1 {
		s.Baume = Figure{Basis: "a Baumé spindle begins at SG 1"}
	}
	s.Spindle = Figure{Basis: "the table of sucrose begins at SG 1"}
	if b, err := SucroseBrix(sg); err == nil {
		s.Spindle = Figure{float64(b), true, extrapolated, byC440}
	}
}
