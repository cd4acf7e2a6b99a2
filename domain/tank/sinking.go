package tank

import (
	"errors"
	"math"

	"cellar.example/mustwatch/domain/quantity"
)

// Particle is a solid that sinks through still juice by itself, far from others.
type Particle struct {
	Diameter  float64 // µm
	Heavier   float64 // kg/m³, its density less that of the juice
	Viscosity float64 // mPa·s of the juice; water at 20 °C is 1
}

const (
	gravity = 9.80665 // m/s², standard
	// mostReynolds is where Stokes' law is off by about a twentieth.
	mostReynolds = 0.3
	juiceDensity = 1090 // kg/m³, for the Reynolds number only
)

// Sinking returns how fast the particle sinks, in metres an hour, by Stokes' law
// v = g·D²·Δρ ÷ (18·µ): dilute, round, no convection, so it is only an indication
// (White Wine Technology, 2022, ch. 8.4). What does not sink, and what sinks too
// fast for the law, is an error.
func (p Particle) Sinking() (metresPerHour float64, err error) {
	switch {
	case !(p.Diameter >= 0.1 && p.Diameter <= 1000):
		return 0, errors.New("Type the particle from 0.1 to 1000 µm, such as 50 µm.")
	case !(p.Heavier > 0 && p.Heavier <= 2000):
		return 0, errors.New("Type by how much the particle is heavier than the juice, up to 2000 kg/m3, such as " +
			"50; what is lighter floats.")
	case !(p.Viscosity >= 0.2 && p.Viscosity <= 100):
		return 0, errors.New("Type the viscosity from 0.2 to 100 mPa·s; juice is about 2.")
	}
	d, mu := p.Diameter*1e-6, p.Viscosity*1e-3
	v := gravity * d * d * p.Heavier / (18 * mu)
	if juiceDensity*v*d/mu > mostReynolds {
		return 0, errors.New("That sinks too fast for Stokes' law: it is down in minutes.")
	}
	return v * 3600, nil
}

// Down returns how long the particle takes through so many metres of still juice.
func (p Particle) Down(height Length) (quantity.Span, error) {
	v, err := p.Sinking()
	if err != nil {
		return 0, err
	}
	if !(height > 0) || float64(height) > 30 {
		return 0, errors.New("Type the height of the juice, up to 30 m, such as 3.2 m.")
	}
	hours := float64(height) / v
	if hours > 10000 {
		return 0, errors.New("That takes more than a year: it does not settle by itself.")
	}
	return quantity.Span(math.Round(hours*3600) * 1e9), nil
}
