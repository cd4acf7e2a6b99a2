package must

import (
	"errors"

	"cellar.example/mustwatch/domain/quantity"
)

// Instrument is what the sugar was read with.
type Instrument int

// The instruments. Each has its own correction: at 30 °C and 20 °Brix they differ
// by 0.11 °Brix.
const (
	Refractometer Instrument = iota
	Hydrometer
)

// Correction is a reading brought to 20 °C. Extrapolated says that the reading lies
// outside the columns of the table, Recalled that the rows used were written down
// from memory.
type Correction struct {
	Brix         quantity.Brix // at 20 °C
	Add          float64       // what was added, °Brix
	Extrapolated bool
	Recalled     bool
	Basis        string
}

// columnsBeyond is how far outside the columns of °Brix a correction is still
// given.
const columnsBeyond = 5.0

// To20 brings a reading in °Brix, taken at t, to 20 °C. A refractometer without
// compensation: OIV-MA-AS2-02 Table I, 5 to 30 °C, 10 to 30 °Brix (to 40 from 10
// to 17 °C); only for must that does not ferment, for alcohol turns the light. A
// Brix hydrometer made for 20 °C: NBS C440, 10 to 35 °C, 0 to 30 °Brix. Up to 5
// °Brix outside the columns it is extrapolated; farther, and outside the rows, it
// is an error. Between rows and columns it runs straight.
func To20(i Instrument, b quantity.Brix, t quantity.Celsius) (Correction, error) {
	g, basis := refractometerGrid, "OIV-MA-AS2-02 Table I (refractometer)"
	if i == Hydrometer {
		g, basis = hydrometerGrid, "NBS C440, Brix hydrometers at 20 °C"
	}
	add, out, recalled, ok := g.at(float64(b), float64(t))
	if !ok || b < 0 {
		return Correction{}, errors.New(g.wanted())
	}
	return Correction{b + quantity.Brix(add), add, out, recalled, basis}, nil
}

func (g grid) wanted() string {
	first, last := g.rows[0], g.rows[len(g.rows)-1]
	low := max(g.brix[0]-columnsBeyond, 0)
	high := g.brix[len(last.add)-1] + columnsBeyond
	return "The table corrects readings from " + trimmed(low, 0) + " to " + trimmed(high, 0) + " °Brix, taken from " +
		trimmed(first.celsius, 0) + " to " + trimmed(last.celsius, 0) + " °C: cool or warm the sample into that range."
}

// at is the correction at a reading and a temperature.
func (g grid) at(b, t float64) (add float64, out, recalled, ok bool) {
	last := len(g.rows) - 1
	if !finite(b, t) || t < g.rows[0].celsius || t > g.rows[last].celsius {
		return 0, false, false, false
	}
	i := 0
	for i < last-1 && t >= g.rows[i+1].celsius {
		i++
	}
	low, high := g.rows[i], g.rows[i+1]
	share := (t - low.celsius) / (high.celsius - low.celsius)
	x, outLow, okLow := g.along(low.add, b)
	y, outHigh, okHigh := g.along(high.add, b)
	switch share {
	case 0:
		return x, outLow, low.recalled, okLow
	case 1:
		return y, outHigh, high.recalled, okHigh
	}
	return x + (y-x)*share, outLow || outHigh, low.recalled || high.recalled, okLow && okHigh
}

// along reads one row at a °Brix.
func (g grid) along(add []float64, b float64) (x float64, out, ok bool) {
	n := len(add) - 1
	if b < g.brix[0]-columnsBeyond || b > g.brix[n]+columnsBeyond {
		return 0, false, false
	}
	i := 0
	for i < n-1 && b >= g.brix[i+1] {
		i++
	}
	share := (b - g.brix[i]) / (g.brix[i+1] - g.brix[i])
	return add[i] + (add[i+1]-add[i])*share, b < g.brix[0] || b > g.brix[n], true
}
