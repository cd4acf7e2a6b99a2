package contact_test

import (
	"math"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/integrate/quad"
	"pgregory.net/rapid"

	. "cellar.example/mustwatch/domain/contact"
	"cellar.example/mustwatch/domain/quantity"
)

// rateOf is the model written a second time, from its description and in other
// terms: ln t against 1/T by Lagrange between two middles.
func rateOf(c Card, celsius float64) float64 {
	if celsius < 5 || (c.Ceiling != 0 && celsius > float64(c.Ceiling)) {
		return 0
	}
	type node struct{ mid, x, y float64 }
	var nodes []node
	for _, r := range c.Rows {
		mid := 0.5*float64(r.From) + 0.5*float64(r.To)
		nodes = append(nodes, node{mid, 1 / (273.15 + mid), math.Log(time.Duration(r.Wait).Hours())})
	}
	slices.SortFunc(nodes, func(a, b node) int { return int(math.Copysign(1, a.mid-b.mid)) })
	ea := c.Ea
	if ea == 0 {
		ea = 41.8
	}
	x := 1 / (273.15 + celsius)
	hi := len(nodes) - 1
	if celsius >= nodes[hi].mid {
		return 1 / math.Exp(nodes[hi].y)
	}
	for i := range hi {
		a, b := nodes[i], nodes[i+1]
		if celsius >= a.mid && celsius < b.mid {
			return 1 / math.Exp(a.y*(x-b.x)/(a.x-b.x)+b.y*(x-a.x)/(b.x-a.x))
		}
	}
	steep := ea * 1000 / 8.314462618
	if hi > 0 {
		steep = math.Max(steep, (nodes[0].y-nodes[1].y)/(nodes[0].x-nodes[1].x))
	}
	return 1 / math.Exp(nodes[0].y+steep*(x-nodes[0].x))
}

// temperatureOf is the log between its readings, hours after the start.
func temperatureOf(readings []Reading, start time.Time) func(h float64) float64 {
	return func(h float64) float64 {
		at := func(r Reading) float64 { return r.At.Sub(start).Hours() }
		if h <= at(readings[0]) {
			return float64(readings[0].T)
		}
		for i := 1; i < len(readings); i++ {
			if a, b := readings[i-1], readings[i]; h <= at(b) {
				w := (h - at(a)) / (at(b) - at(a))
				return (1-w)*float64(a.T) + w*float64(b.T)
			}
		}
		return float64(readings[len(readings)-1].T)
	}
}

// crossings finds by bisection where the temperature, straight from a to b, passes
// a mark.
func crossings(temp func(float64) float64, a, b float64, marks []float64) []float64 {
	var out []float64
	for _, mark := range marks {
		lo, hi := a, b
		side := temp(lo) < mark
		if (temp(hi) < mark) == side {
			continue
		}
		for range 80 {
			if m := (lo + hi) / 2; (temp(m) < mark) == side {
				lo = m
			} else {
				hi = m
			}
		}
		out = append(out, hi)
	}
	return out
}

// independent integrates the rate with gonum's Gauss–Legendre rule of order 20
// over panels that end at the readings and wherever the rate jumps or bends.
func independent(r Run, readings []Reading, end float64) float64 {
	temp := temperatureOf(readings, r.Start)
	marks := []float64{5, float64(r.Card.Ceiling)}
	for _, row := range r.Card.Rows {
		marks = append(marks, 0.5*float64(row.From)+0.5*float64(row.To))
	}
	edges := []float64{0, end}
	for _, x := range readings {
		if h := x.At.Sub(r.Start).Hours(); h > 0 && h < end {
			edges = append(edges, h)
		}
	}
	slices.Sort(edges)
	stretches := slices.Clone(edges)
	for i := 1; i < len(stretches); i++ {
		edges = append(edges, crossings(temp, stretches[i-1], stretches[i], marks)...)
	}
	slices.Sort(edges)
	sum := 0.0
	for i := 1; i < len(edges); i++ {
		if a, b := edges[i-1], edges[i]; b > a {
			rate := func(h float64) float64 { return rateOf(r.Card, temp(h)) }
			sum += quad.Fixed(rate, a, (a+b)/2, 20, quad.Legendre{}, 0) + quad.Fixed(rate, (a+b)/2, b, 20,
				quad.Legendre{}, 0)
		}
	}
	return sum
}

func drawCard(t *rapid.T) Card {
	c := Card{Ceiling: quantity.Celsius(rapid.IntRange(40, 55).Draw(t, "ceiling"))}
	if rapid.Bool().Draw(t, "own Ea") {
		c.Ea = rapid.Float64Range(9, 80).Draw(t, "Ea")
	}
	edge := rapid.Float64Range(2, 14).Draw(t, "coldest")
	wait := rapid.Float64Range(2, 8).Draw(t, "longest")
	for range rapid.IntRange(1, 4).Draw(t, "rows") {
		width := rapid.Float64Range(1, 6).Draw(t, "width")
		from, to := quantity.Celsius(edge), quantity.Celsius(edge+width)
		c.Rows = append(c.Rows, Row{From: from, To: to, Wait: hours(wait)})
		edge = float64(to) + rapid.SampledFrom([]float64{0, 0, 2}).Draw(t, "gap")
		wait *= rapid.Float64Range(0.4, 1).Draw(t, "faster")
	}
	if rapid.Bool().Draw(t, "reversed") {
		slices.Reverse(c.Rows)
	}
	return c
}

func drawRun(t *rapid.T) (Run, []Reading) {
	r := Run{Card: drawCard(t), Start: evening.Add(20 * time.Hour)}
	at := r.Start.Add(time.Duration(rapid.IntRange(-180, 90).Draw(t, "first")) * time.Minute)
	var ordered []Reading
	for range rapid.IntRange(1, 6).Draw(t, "readings") {
		ordered = append(ordered, Reading{At: at, T: quantity.Celsius(rapid.Float64Range(-2, 60).Draw(t, "T"))})
		at = at.Add(time.Duration(rapid.IntRange(1, 240).Draw(t, "step")) * time.Minute)
	}
	r.Readings = slices.Clone(ordered)
	if rapid.Bool().Draw(t, "out of order") {
		slices.Reverse(r.Readings)
	}
	return r, ordered
}

// The integral agrees with an independent quadrature over random cards and random
// ramps to 1e-6 of the progress, by far.
func TestProgressAgainstGonum(t *testing.T) {
	worst := 0.0
	rapid.Check(t, func(t *rapid.T) {
		r, ordered := drawRun(t)
		require.NoError(t, r.Card.Validate())
		end := rapid.Float64Range(0.1, 16).Draw(t, "hours")
		at := r.Start.Add(time.Duration(end * float64(time.Hour))).Truncate(time.Second)
		got, want := r.Progress(at), independent(r, ordered, at.Sub(r.Start).Hours())
		off := math.Abs(got-want) / math.Max(1, want)
		worst = math.Max(worst, off)
		assert.LessOrEqual(t, off, 1e-6)
	})
	t.Logf("worst difference from the independent quadrature: %.1e of the progress", worst)
}

// The forecast is where the progress reaches 1: at the due, by the readings known
// when it was made, P is 1 within what a second is worth.
func TestDueIsWhereProgressReachesOne(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r, ordered := drawRun(t)
		at := ordered[rapid.IntRange(0, len(ordered)-1).Draw(t, "known up to")].At
		due, ok, why := r.ModelDue(at)
		known := r
		known.Readings = nil
		for _, x := range ordered {
			if !x.At.After(at) {
				known.Readings = append(known.Readings, x)
			}
		}
		last := known.Readings[len(known.Readings)-1].T
		if !ok {
			assert.NotEqual(t, NoTemperature, why)
			assert.Less(t, known.Progress(at), 1.0)
			assert.Equal(t, why == TooHot, last > r.Card.Ceiling)
			return
		}
		top := 0.0
		for _, row := range r.Card.Rows {
			top = math.Max(top, 1/row.Wait.Duration().Hours())
		}
		assert.InDelta(t, 1, known.Progress(due), top/3600)
		assert.Zero(t, due.Sub(r.Start)%time.Second)
	})
}

// Progress never falls with time, a colder night is never faster below the
// ceiling, and the order of the readings in the slice does not matter.
func TestProgressProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r, ordered := drawRun(t)
		before := 0.0
		for h := range 12 {
			p := r.Progress(r.Start.Add(time.Duration(h) * time.Hour))
			assert.False(t, math.IsNaN(p) || math.IsInf(p, 0))
			assert.GreaterOrEqual(t, p, before-1e-12) // the last digit may differ, the stretches being cut again
			before = p
		}
		end := r.Start.Add(12 * time.Hour)
		sorted := r
		sorted.Readings = ordered
		assert.Equal(t, sorted.Progress(end), r.Progress(end))
		open := r
		open.Card.Ceiling = 0
		colder := open
		colder.Readings = slices.Clone(r.Readings)
		for i := range colder.Readings {
			colder.Readings[i].T -= quantity.Celsius(rapid.Float64Range(0, 5).Draw(t, "colder"))
		}
		assert.LessOrEqual(t, colder.Progress(end), open.Progress(end)+1e-9)
	})
}
