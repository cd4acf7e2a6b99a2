package strength_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"cellar.example/mustwatch/domain/must/strength"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/testdata/tables"
)

// TestPublishedR22Densities checks every row of the density of ethanol and water at
// 20 °C, the 19 that stand in print and those computed.
func TestPublishedR22Densities(t *testing.T) {
	source, rows := tables.Published(t, "ethanol_r22_density_20C.csv")
	require.Len(t, rows, 101)
	var worst, computed float64
	printed := 0
	for _, r := range rows {
		rho, err := strength.EthanolDensity(strength.ABV(tables.Number(t, r["abv_pct_vol"])), 20)
		require.NoError(t, err)
		computed = max(computed, math.Abs(rho-tables.Number(t, r["rho20_calc"])))
		if r["rho_published"] != "" {
			printed++
			worst = max(worst, math.Abs(rho-tables.Number(t, r["rho_published"])))
		}
	}
	require.Equal(t, 19, printed)
	require.LessOrEqual(t, worst, 0.00501)
	require.LessOrEqual(t, computed, 0.00501)
	t.Logf("source: %s; rows %d, %d of them printed; worst error %.4f kg/m³ against print, %.4f against the rest",
		source, len(rows), printed, worst, computed)
}

// TestPublishedMixes checks mixes with their contraction. Source: computed by OIML
// R22, read coefficients.
func TestPublishedMixes(t *testing.T) {
	worst := 0.0
	for _, c := range []struct {
		a, b   strength.ABV
		abv, l float64
	}{{96, 0, 49.505, 1.9392}, {100, 0, 51.833, 1.9293}, {96, 12, 55.455, 1.9475}} {
		m, err := strength.Mix(strength.Part{Volume: 1000, ABV: c.a}, strength.Part{Volume: 1000, ABV: c.b})
		require.NoError(t, err)
		require.InDelta(t, c.abv, float64(m.ABV), 0.0006)
		require.InDelta(t, c.l, float64(m.Volume)/1000, 0.00006)
		worst = max(worst, math.Abs(c.abv-float64(m.ABV)))
	}
	m, err := strength.Mix(strength.Part{Volume: 5, ABV: 96}, strength.Part{Volume: 5})
	require.NoError(t, err)
	require.InDelta(t, 3.04, 100*m.Contraction, 0.005)
	require.Equal(t, strength.ABV(48), m.Naive)
	for target, litres := range map[strength.ABV]float64{50: 0.9802, 40: 1.4705, 20: 3.8726, 18: 4.4043} {
		w, err := strength.WaterTo(strength.Part{Volume: 1000, ABV: 96}, target)
		require.NoError(t, err)
		require.InDelta(t, litres, float64(w)/1000, 0.00006)
	}
	// 2 volumes of 96 % in 1 of juice: 64 % where nothing contracts.
	m, err = strength.Mix(strength.Part{Volume: 2.5}, strength.Part{Volume: 5, ABV: 96})
	require.NoError(t, err)
	require.InDelta(t, 64, float64(m.Naive), 1e-9)
	require.Greater(t, float64(m.ABV), 64.0)
	t.Logf("source: OIML R22, computed; rows 8; worst error %.4f %% vol", worst)
}

// Pure ethanol and pure water poured to their own kind stay what they are.
func TestPureStaysPure(t *testing.T) {
	for _, abv := range []strength.ABV{0, 100} {
		m, err := strength.Mix(strength.Part{Volume: 1, ABV: abv}, strength.Part{Volume: 1, ABV: abv})
		require.NoError(t, err)
		require.InDelta(t, float64(abv), float64(m.ABV), 1e-9)
		require.InDelta(t, 0, m.Contraction, 1e-12)
	}
	rho, err := strength.EthanolDensity(100, 20)
	require.NoError(t, err)
	require.InDelta(t, 789.24, rho, 0.005, "OIML R22 prints 789.24")
}

// Whatever is poured together, the strength lies between those of the parts, the
// volume grows by no more than weak alcohols do in R22, and diluting by the water
// calculated comes out right.
func TestMixProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		draw := func(name string) strength.Part {
			return strength.Part{Volume: strength.Millilitres(rapid.Float64Range(0.1, 1e6).Draw(t, name)),
				ABV: strength.ABV(rapid.Float64Range(0, 100).Draw(t, name+" abv"))}
		}
		a, b := draw("a"), draw("b")
		m, err := strength.Mix(a, b)
		if err != nil {
			t.Fatal(err)
		}
		if m.ABV < min(a.ABV, b.ABV)-1e-6 || m.ABV > max(a.ABV, b.ABV)+1e-6 || m.Volume > m.Poured*(1+2e-3) {
			t.Fatalf("%+v", m)
		}
		other, _ := strength.Mix(b, a)
		if math.Abs(float64(other.ABV-m.ABV)) > 1e-9 {
			t.Fatal("the order of pouring matters")
		}
		if a.ABV < 1 {
			return
		}
		target := a.ABV * strength.ABV(rapid.Float64Range(0.05, 1).Draw(t, "target"))
		w, err := strength.WaterTo(a, target)
		if err != nil {
			t.Fatal(err)
		}
		d, err := strength.Mix(a, strength.Part{Volume: w})
		if err != nil || math.Abs(float64(d.ABV-target)) > 1e-3 {
			t.Fatalf("%g instead of %g", d.ABV, target)
		}
	})
}

func TestParsePart(t *testing.T) {
	for in, want := range map[string]strength.Part{
		"5mL@96%": {Volume: 5, ABV: 96}, "2.5 mL @ 96": {Volume: 2.5, ABV: 96}, "2,5ml@0%": {Volume: 2.5},
		"1L@12,5%": {Volume: 1000, ABV: 12.5},
		"1 hL@12":  {Volume: 100_000, ABV: 12}, "1 US gal@96%": {Volume: 3785.412, ABV: 96}, "0.5 dL@40 % vol": {},
	} {
		got, err := strength.ParsePart(in, quantity.Metric.Habit())
		if want == (strength.Part{}) {
			require.Error(t, err, in)
			continue
		}
		require.NoError(t, err, in)
		assert.Equal(t, want, got, in)
	}
	for _, in := range []string{"", "5mL", "5@96", "5mL@101", "5mL@-1", "-5mL@96", "x@y", "5cups@3", "5mL@NaN"} {
		_, err := strength.ParsePart(in, quantity.Metric.Habit())
		require.Error(t, err, in)
		assert.Regexp(t, `^Type .*\.$`, err.Error(), in)
	}
	for _, in := range []string{"1 gal@96", "1,500 mL@96"} {
		_, err := strength.ParsePart(in, quantity.Metric.Habit())
		var ask *quantity.AskError
		require.ErrorAs(t, err, &ask, in)
	}
	_, err := strength.ParsePart("1 gal@96", quantity.US.Habit())
	require.NoError(t, err)
}

func TestStrengthRefuses(t *testing.T) {
	nan := math.NaN()
	for _, p := range []strength.Part{{}, {Volume: -1, ABV: 5}, {Volume: 1, ABV: 101},
		{Volume: strength.Millilitres(nan)}, {Volume: 1, ABV: strength.ABV(nan)},
		{Volume: strength.Millilitres(math.Inf(1))}} {
		_, err := strength.Mix(p)
		assert.Error(t, err, "%+v", p)
	}
	_, err := strength.Mix()
	assert.Error(t, err)
	_, err = strength.WaterTo(strength.Part{Volume: 1, ABV: 40}, 41)
	assert.ErrorContains(t, err, "below 40.0 % vol")
	_, err = strength.EthanolDensity(5, 41)
	assert.Error(t, err)
	_, err = strength.EthanolDensity(101, 20)
	assert.Error(t, err)
}

func FuzzParsePart(f *testing.F) {
	for _, s := range []string{"5mL@96%", "1,500 mL@96", "gal@", "@@", "1 gal@5", "\xff@1", "1e9 L@3"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		for _, sys := range []quantity.System{quantity.Metric, quantity.US} {
			p, err := strength.ParsePart(s, sys.Habit())
			if err != nil {
				if err.Error() == "" {
					t.Fatal("an error without a sentence")
				}
				continue
			}
			if !(p.Volume >= 0) || !(p.ABV >= 0 && p.ABV <= 100) {
				t.Fatalf("%q gives %+v", s, p)
			}
			_, _ = strength.Mix(p)
		}
	})
}
