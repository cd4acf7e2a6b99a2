package heat_test

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/diff/fd"
	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"

	"cellar.example/mustwatch/domain/must/heat"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/testdata/tables"
)

func body(hl float64, d quantity.Density, cp heat.SpecificHeat) heat.Body {
	return heat.Body{Volume: quantity.HL(hl), Density: d, Cp: cp}
}

// TestPublishedSpecificHeat checks cp at every row, and prints how far the formula
// for sucrose lies from the mixing rule beside it. Source in the table; the
// coefficients are from memory.
func TestPublishedSpecificHeat(t *testing.T) {
	source, rows := tables.Published(t, "heat_points.csv")
	var worst, other, warm float64
	for _, r := range rows {
		b := tables.Number(t, r["brix"])
		cp, err := heat.Cp(quantity.Brix(b), 20)
		require.NoError(t, err)
		worst = max(worst, math.Abs(float64(cp)-tables.Number(t, r["cp_bubnik_20C"])))
		if b >= 18 && b <= 26 {
			other = max(other, math.Abs(float64(cp)/tables.Number(t, r["cp_choi_okos_20C"])-1))
		}
		e, err := heat.Between(body(1, quantity.Density(tables.Number(t, r["rho_sucrose_20C"])/1000), cp), 10, 20)
		require.NoError(t, err)
		warm = max(warm, math.Abs(e.MJ()-tables.Number(t, r["MJ_per_hL_per_10K"])))
	}
	require.LessOrEqual(t, worst, 0.00051)
	require.LessOrEqual(t, warm, 0.0006)
	require.Less(t, other, 0.006)
	t.Logf("source: %s; rows %d, two columns; worst error %.4f kJ/(kg·K), %.4f MJ; %.2f %% from Choi and Okos at 18 "+
		"to 26 °Brix", source, len(rows), worst, warm, 100*other)
}

// TestPublishedHeatVectors is C27 to C32 and the worked examples of the notes on
// heat (computed).
func TestPublishedHeatVectors(t *testing.T) {
	hours := func(s quantity.Span, err error) float64 {
		require.NoError(t, err)
		return s.Duration().Hours()
	}
	c104 := body(104, 1.089, heat.HouseCp)
	e, err := heat.Between(c104, 13.5, 8.5)
	require.NoError(t, err)
	require.InDelta(t, 57.4, e.KWh(), 0.05)
	require.InDelta(t, 2.30, hours(heat.AtPower(e, 25)), 0.005)
	big, err := heat.Between(body(192, 1.092, heat.HouseCp), 13.6, 8) // the vector does not print its density
	require.NoError(t, err)
	require.InDelta(t, 1.49, hours(heat.AtPower(big, 80)), 0.005)
	require.InDelta(t, 2.66, hours(heat.ByJacket(c104, 2, 0, 13.5, 8.5)), 0.005)
	p, err := heat.HeaterPower(10*quantity.Tonne, 37, heat.MashCp)
	require.NoError(t, err)
	require.InDelta(t, 360, float64(p), 0.5)
	for use, want := range map[float64]float64{1.25: 0.18, 2.9: 0.41} {
		d, err := heat.Drift(use)
		require.NoError(t, err)
		require.InDelta(t, want, d, 0.005)
	}
	require.InDelta(t, 9.8, hours(heat.UntilLimit(26, 30, 0.41)), 0.05)
	// 100 hL of 22 °Brix from 25 to 12 °C: 10 899 kg, 505 MJ, 140.3 kWh, 4.68 h at 30 kW.
	cp, err := heat.Cp(22, 20)
	require.NoError(t, err)
	hundred := body(100, 1.0899, cp)
	require.InDelta(t, 10899, hundred.Mass().Kilograms(), 0.5)
	e, err = heat.Between(hundred, 25, 12)
	require.NoError(t, err)
	require.InDelta(t, 505, e.MJ(), 0.5)
	require.InDelta(t, 140.3, e.KWh(), 0.1)
	require.InDelta(t, 4.68, hours(heat.AtPower(e, 30)), 0.005)
	t.Logf("source: C27–C32, computed by the formula of each; 100 hL example computed; rows 12; worst error within " +
		"the last printed digit")
}

var dusk = time.Date(2026, 9, 24, 20, 0, 0, 0, time.UTC)

func log(at float64, t float64) heat.Logged {
	return heat.Logged{At: dusk.Add(time.Duration(at * float64(time.Hour))), T: quantity.Celsius(t)}
}

// TestPublishedCoolingCurve is the worked example: 25 °C, coolant 2 °C, 15 °C after
// 6 h, so k 0.0951 an hour and 12 °C at 8.76 h (computed).
func TestPublishedCoolingCurve(t *testing.T) {
	c, err := heat.FitTowards([]heat.Logged{log(6, 15), log(0, 25)}, 2)
	require.NoError(t, err)
	require.InDelta(t, 0.0951, c.PerHour, 0.00005)
	at, err := c.Meets(12)
	require.NoError(t, err)
	require.InDelta(t, 8.76, at.Sub(dusk).Hours(), 0.005)
	require.Less(t, c.Worst, 1e-6)
	t.Logf("source: Newton's law, computed; rows 2; worst error %.1e h", math.Abs(at.Sub(dusk).Hours()-8.76))
}

// The fit and the hour it meets its target agree with gonum: both unknowns at once
// by its least squares, the root by Newton with its derivative.
func TestCurveAgreesWithGonum(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		begin, coolant := rapid.Float64Range(12, 30).Draw(r, "begin"), rapid.Float64Range(-4, 4).Draw(r, "coolant")
		k := rapid.Float64Range(0.03, 0.5).Draw(r, "k")
		var rs []heat.Logged
		for i := range rapid.IntRange(3, 9).Draw(r, "readings") {
			h := float64(i) * 0.75
			noise := rapid.Float64Range(-0.1, 0.1).Draw(r, "noise")
			rs = append(rs, log(h, math.Round((coolant+(begin-coolant)*math.Exp(-k*h)+noise)*10)/10))
		}
		c, err := heat.FitTowards(rs, quantity.Celsius(coolant))
		if err != nil {
			r.Fatal(err)
		}
		x := gaussNewton(r, rs, coolant, begin, k)
		if math.Abs(x[0]-float64(c.Begin)) > 1e-5 || math.Abs(x[1]-c.PerHour) > 1e-6 {
			r.Fatalf("%.6f °C and %.6f /h, gonum finds %.6f and %.6f", c.Begin, c.PerHour, x[0], x[1])
		}
		target := coolant + (begin-coolant)*0.3
		at, err := c.Meets(quantity.Celsius(target))
		if err != nil {
			r.Fatal(err)
		}
		away := func(h float64) float64 { return coolant + (x[0]-coolant)*math.Exp(-x[1]*h) - target }
		h := 0.0
		for range 60 { // Newton, with the derivative by gonum
			h -= away(h) / fd.Derivative(away, h, nil)
		}
		if off := math.Abs(at.Sub(dusk).Hours() - h); off > 1e-3 {
			r.Fatalf("%.4f h, gonum finds %.4f", at.Sub(dusk).Hours(), h)
		}
	})
}

// gaussNewton fits beginning and pace again, with gonum's least squares and
// derivatives.
func gaussNewton(r *rapid.T, rs []heat.Logged, coolant, begin, k float64) [2]float64 {
	x := [2]float64{begin, k}
	for range 50 {
		jac, rest := mat.NewDense(len(rs), 2, nil), mat.NewVecDense(len(rs), nil)
		for i, one := range rs {
			h := one.At.Sub(dusk).Hours()
			at := func(p []float64) float64 { return coolant + (p[0]-coolant)*math.Exp(-p[1]*h) }
			g := fd.Gradient(nil, at, x[:], &fd.Settings{Formula: fd.Central})
			jac.SetRow(i, g)
			rest.SetVec(i, float64(one.T)-at(x[:]))
		}
		var step mat.VecDense
		if err := step.SolveVec(jac, rest); err != nil {
			r.Fatal(err)
		}
		x[0], x[1] = x[0]+step.AtVec(0), x[1]+step.AtVec(1)
	}
	return x
}

func TestStraightLine(t *testing.T) {
	c, err := heat.FitStraight([]heat.Logged{log(0, 18), log(1, 17.5), log(2, 17)})
	require.NoError(t, err)
	assert.InDelta(t, -0.5, c.PerHour, 1e-9)
	at, err := c.Meets(15)
	require.NoError(t, err)
	assert.Equal(t, dusk.Add(6*time.Hour), at)
	assert.InDelta(t, 16.5, float64(c.At(dusk.Add(3*time.Hour))), 1e-9)
	flat, err := heat.FitStraight([]heat.Logged{log(0, 18), log(1, 18)})
	require.NoError(t, err)
	_, err = flat.Meets(15)
	assert.ErrorContains(t, err, "never comes to 15.0 °C")
}

func TestHeatRefuses(t *testing.T) {
	nan := quantity.Celsius(math.NaN())
	ok := body(100, 1.09, 3.6)
	for name, f := range map[string]func() error{
		"no volume":   func() error { _, err := heat.Between(heat.Body{Density: 1.09, Cp: 3.6}, 1, 2); return err },
		"no density":  func() error { _, err := heat.Between(body(1, 0, 3.6), 1, 2); return err },
		"no cp":       func() error { _, err := heat.Between(body(1, 1.09, 0), 1, 2); return err },
		"nan":         func() error { _, err := heat.Between(ok, nan, 2); return err },
		"hot":         func() error { _, err := heat.Between(ok, 500, 2); return err },
		"power":       func() error { _, err := heat.AtPower(1, 0); return err },
		"weak":        func() error { _, err := heat.AtPower(1e12, 1e-6); return err },
		"jacket":      func() error { _, err := heat.ByJacket(ok, 2, 10, 13, 9); return err },
		"jacket at":   func() error { _, err := heat.ByJacket(ok, 2, 9, 13, 9); return err },
		"away":        func() error { _, err := heat.ByJacket(ok, 2, 0, 9, 13); return err },
		"no ua":       func() error { _, err := heat.ByJacket(ok, 0, 0, 13, 9); return err },
		"drift":       func() error { _, err := heat.Drift(-1); return err },
		"limit":       func() error { _, err := heat.UntilLimit(26, 30, -0.1); return err },
		"limit zero":  func() error { _, err := heat.UntilLimit(26, 30, 0); return err },
		"both zero":   func() error { _, err := heat.UntilLimit(26, 26, 0); return err },
		"cp far":      func() error { _, err := heat.Cp(41, 20); return err },
		"heater":      func() error { _, err := heat.HeaterPower(0, 10, 3.5); return err },
		"one reading": func() error { _, err := heat.FitTowards([]heat.Logged{log(0, 20)}, 2); return err },
		"too near": func() error {
			_, err := heat.FitStraight([]heat.Logged{log(0, 20),
				log(0.01, 19)})
			return err
		},
		"beyond": func() error {
			_, err := heat.FitTowards([]heat.Logged{log(0, 20), log(1, 1)},
				2)
			return err
		},
		"does not cool": func() error {
			_, err := heat.FitTowards([]heat.Logged{log(0, 20), log(1, 21)},
				2)
			return err
		},
		"reading nan": func() error {
			_, err := heat.FitStraight([]heat.Logged{log(0, 20), {At: dusk.Add(time.Hour), T: nan}})
			return err
		},
		"months": func() error { _, err := heat.FitStraight([]heat.Logged{log(0, 20), log(5000, 19)}); return err },
		"beyond coolant": func() error {
			c, _ := heat.FitTowards([]heat.Logged{log(0, 20), log(1, 15)}, 2)
			_, err := c.Meets(1)
			return err
		},
		"at the coolant": func() error {
			c, _ := heat.FitTowards([]heat.Logged{log(0, 20), log(1, 15)}, 2)
			_, err := c.Meets(2)
			return err
		},
		"target nan": func() error {
			c, _ := heat.FitStraight([]heat.Logged{log(0, 20), log(1, 15)})
			_, err := c.Meets(nan)
			return err
		},
	} {
		err := f()
		require.Error(t, err, name)
		assert.Regexp(t, `^[A-Z][^\n]*\.$`, err.Error(), name)
	}
	assert.Equal(t, "57.4 kWh (207 MJ)", heat.Energy(206_640).String())
	assert.Equal(t, "25 kW", heat.Power(25).String())
	assert.Equal(t, "0.7 kW", heat.Power(0.7).String())
	assert.Equal(t, "3.65 kJ/(kg·K)", heat.HouseCp.String())
	assert.Equal(t, "2 kW/K", heat.Conductance(2).String())
}
