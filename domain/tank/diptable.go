package tank

import (
	"errors"
	"math"
	"sort"

	"cellar.example/mustwatch/domain/quantity"
)

// Mark is one line of a dip table: the liquid at a height is so much.
type Mark struct {
	Height Length
	Volume quantity.Volume
}

// Table is the house's own dip table, from the lowest mark to the highest. Between
// marks it runs smoothly and never falls (Fritsch–Carlson). The first mark is at 0,
// with the volume below the stick; above the last there is no answer.
type Table []Mark

// Check refuses fewer than two marks, marks that are not in order, and volumes
// that do not rise with the height.
func (t Table) Check() error {
	if len(t) < 2 {
		return errors.New("A dip table has at least two marks, such as 0 cm 0 hL and 100 cm 40 hL.")
	}
	for i, m := range t {
		switch {
		case !(m.Height >= 0 && m.Height <= farthest) || m.Volume < 0:
			return errors.New("The marks of a dip table are heights from 0 to 100 m and volumes of zero or more.")
		case i > 0 && (m.Height <= t[i-1].Height || m.Volume < t[i-1].Volume):
			return errors.New("The marks of a dip table rise: type them from the bottom up, each higher and fuller " +
				"than the one before.")
		}
	}
	if t[0].Height != 0 {
		return errors.New("A dip table begins where the stick stands: type its first mark at 0 cm, with what lies " +
			"below it, such as 0 cm 0.4 hL.")
	}
	return nil
}

// Height is the highest mark.
func (t Table) Height() Length {
	if len(t) == 0 {
		return 0
	}
	return t[len(t)-1].Height
}

func (t Table) formula() string {
	return "the dip table of the vessel, smoothly between its marks and never falling"
}

func (t Table) cubic(h float64) float64 {
	x, y := t.columns()
	i := max(0, min(sort.SearchFloat64s(x, h)-1, len(x)-2))
	m := slopes(x, y)
	w := x[i+1] - x[i]
	s := (h - x[i]) / w
	// Hermite's cubic between two marks.
	return y[i]*(1+2*s)*(1-s)*(1-s) + m[i]*w*s*(1-s)*(1-s) + y[i+1]*s*s*(3-2*s) + m[i+1]*w*s*s*(s-1)
}

func (t Table) columns() (x, y []float64) {
	for _, m := range t {
		x, y = append(x, float64(m.Height)), append(y, m.Volume.HL()/10)
	}
	return x, y
}

// slopes are the tangents at the marks that keep the curve from falling: zero at
// a flat place, else the harmonic mean of the neighbours, weighted by their
// widths; at the ends three-point, cut where they would overshoot.
func slopes(x, y []float64) []float64 {
	n := len(x)
	w, d := make([]float64, n-1), make([]float64, n-1)
	for i := range w {
		w[i] = x[i+1] - x[i]
		d[i] = (y[i+1] - y[i]) / w[i]
	}
	m := make([]float64, n)
	if n == 2 {
		m[0], m[1] = d[0], d[0]
		return m
	}
	for i := 1; i < n-1; i++ {
		if d[i-1]*d[i] <= 0 {
			continue
		}
		a, b := 2*w[i]+w[i-1], w[i]+2*w[i-1]
		m[i] = (a + b) / (a/d[i-1] + b/d[i])
	}
	m[0] = endSlope(w[0], w[1], d[0], d[1])
	m[n-1] = endSlope(w[n-2], w[n-3], d[n-2], d[n-3])
	return m
}

func endSlope(w0, w1, d0, d1 float64) float64 {
	m := ((2*w0+w1)*d0 - w0*d1) / (w0 + w1)
	switch {
	case m*d0 <= 0:
		return 0
	case d0*d1 <= 0 && math.Abs(m) > 3*math.Abs(d0):
		return 3 * d0
	}
	return m
}
