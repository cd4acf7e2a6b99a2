package contact

import (
	"math"
	"slices"
)

const (
	kelvin = 273.15         // K at 0 °C
	gasR   = 8.314462618e-3 // kJ/(mol·K)

	// coldStop is the temperature in °C below which the model gives no credit;
	// the edge itself counts.
	coldStop = 5.0
)

// point is one middle of the card: ln hours at a temperature.
type point struct {
	celsius  float64
	inverse  float64 // 1/K
	logHours float64
}

// model is the card as a rate of progress: k(T) = 1/t(T) in 1/h, with ln t
// linear in 1/T between neighbouring middles, the warmest hours above, and a
// slope of at least Ea below the coldest.
type model struct {
	points  []point // from cold to warm
	slope   float64 // K; d ln t / d(1/T) below the coldest middle
	ceiling float64 // °C, +Inf for none
}

// newModel makes the model of a card; ok is false when it has no row that can be
// calculated with.
func newModel(c Card) (m model, ok bool) {
	for _, r := range c.sorted() {
		mid := r.middle()
		if r.Wait <= 0 || !finite(mid) || mid <= -kelvin {
			continue
		}
		p := point{celsius: mid, inverse: 1 / (mid + kelvin), logHours: math.Log(r.Wait.Duration().Hours())}
		if n := len(m.points); n > 0 && m.points[n-1].inverse <= p.inverse {
			continue // no warmer than the one before: a card that Validate refuses
		}
		m.points = append(m.points, p)
	}
	ea := c.Ea
	if !(ea > 0) || math.IsInf(ea, 0) {
		ea = defaultEa
	}
	m.slope = ea / gasR
	if len(m.points) > 1 {
		m.slope = max(m.slope, slope(m.points[0], m.points[1]))
	}
	m.ceiling = math.Inf(1)
	if c.Ceiling != 0 && finite(float64(c.Ceiling)) {
		m.ceiling = float64(c.Ceiling)
	}
	return m, len(m.points) > 0
}

// slope is d ln t / d(1/T) between two middles, in K.
func slope(cold, warm point) float64 {
	return (cold.logHours - warm.logHours) / (cold.inverse - warm.inverse)
}

// why says what stops the progress at a temperature in °C.
func (m model) why(t float64) Why {
	switch {
	case t < coldStop:
		return TooCold
	case t > m.ceiling:
		return TooHot
	}
	return ""
}

// rate is the progress at a temperature in °C, per hour.
func (m model) rate(t float64) float64 {
	if m.why(t) != "" {
		return 0
	}
	return m.bare(t)
}

// bare is rate without the stops at 5 °C and at the ceiling.
func (m model) bare(t float64) float64 {
	if last := m.points[len(m.points)-1]; t >= last.celsius {
		return math.Exp(-last.logHours)
	}
	inverse := 1 / (t + kelvin)
	cold, steep := m.points[0], m.slope
	for i := 1; i < len(m.points) && t >= cold.celsius; i++ {
		if t < m.points[i].celsius {
			steep = slope(cold, m.points[i])
			break
		}
		cold = m.points[i]
	}
	return math.Exp(-(cold.logHours + steep*(inverse-cold.inverse)))
}

// ramp is a stretch of the log in which the temperature runs straight: hours
// from the start of the run, °C at both ends.
type ramp struct {
	from, to   float64 // h
	begin, end float64 // °C at from and at to
}

func (r ramp) at(h float64) float64 {
	if r.to <= r.from {
		return r.begin
	}
	return r.begin + (r.end-r.begin)*(h-r.from)/(r.to-r.from)
}

// cuts returns the hours inside the ramp at which the rate has a kink or a jump,
// with both ends.
func (m model) cuts(r ramp) []float64 {
	out := []float64{r.from, r.to}
	if r.begin == r.end {
		return out
	}
	marks := []float64{coldStop, m.ceiling}
	for _, p := range m.points {
		marks = append(marks, p.celsius)
	}
	for _, mark := range marks {
		h := r.from + (mark-r.begin)/(r.end-r.begin)*(r.to-r.from)
		if h > r.from && h < r.to { // false for a ceiling of +Inf
			out = append(out, h)
		}
	}
	slices.Sort(out)
	return out
}

// Gauss–Legendre nodes and weights of order 8 on [-1, 1], half of them (from
// memory; the tests check them on polynomials). Between two cuts the rate is
// smooth, and the error is far below 1e-9.
var (
	gaussX = [4]float64{0.1834346424956498, 0.5255324099163290, 0.7966664774136267, 0.9602898564975363}
	gaussW = [4]float64{0.3626837833783620, 0.3137066458778873, 0.2223810344533745, 0.1012285362903763}
)

// smooth integrates the rate over [a, b] inside a ramp, between two cuts.
func (m model) smooth(r ramp, a, b float64) float64 {
	half, mid := (b-a)/2, (a+b)/2
	if half <= 0 || m.why(r.at(mid)) != "" {
		return 0
	}
	sum := 0.0
	for i, x := range gaussX {
		sum += gaussW[i] * (m.bare(r.at(mid-half*x)) + m.bare(r.at(mid+half*x)))
	}
	return sum * half
}

// over integrates the rate over a ramp. When the progress made so far reaches 1
// within it, hour is where and reached is true.
func (m model) over(r ramp, sofar float64) (progress, hour float64, reached bool) {
	progress = sofar
	cuts := m.cuts(r)
	for i := 1; i < len(cuts); i++ {
		a, b := cuts[i-1], cuts[i]
		part := m.smooth(r, a, b)
		if !reached && progress < 1 && progress+part >= 1 {
			hour, reached = m.find(r, a, b, 1-progress), true
		}
		progress += part
	}
	return progress, hour, reached
}

// find returns the hour in [a, b] at which the integral from a comes to want, to
// about a millisecond.
func (m model) find(r ramp, a, b, want float64) float64 {
	low, high := a, b
	for range 60 {
		mid := (low + high) / 2
		if m.smooth(r, a, mid) < want {
			low = mid
		} else {
			high = mid
		}
	}
	return high
}
