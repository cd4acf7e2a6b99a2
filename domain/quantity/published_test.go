package quantity_test

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	. "cellar.example/mustwatch/domain/quantity"

	"cellar.example/mustwatch/testdata/tables"
)

// viaRate converts one of a rate unit into another.
func viaRate(t *testing.T, from string, to RateUnit, per float64) float64 {
	t.Helper()
	r, err := Habit{}.Rate(from, "")
	require.NoError(t, err, from)
	out, err := r.To(to)
	require.NoError(t, err, from)
	return out.Value * per
}

// factors are the factors of the table that this package uses, each as the
// package calculates it, under "from>to".
func factors(t *testing.T) map[string]func() float64 {
	volume := func(s string) float64 {
		v, err := Metric.Habit().Volume(s)
		require.NoError(t, err)
		return v.Litres()
	}
	mass := func(s string) float64 {
		m, err := Metric.Habit().Mass(s, Gram)
		require.NoError(t, err)
		return m.Kilograms()
	}
	bar := func(s string) float64 {
		var b Bar
		require.NoError(t, b.UnmarshalText([]byte(s)))
		return float64(b)
	}
	// Volumes and masses are counted in whole mL and mg, so they are asked for a
	// million at once.
	return map[string]func() float64{
		"1 US gal>L":            func() float64 { return volume("1000000 US gal") / 1e6 },
		"1 imp gal>L":           func() float64 { return volume("1000000 imp gal") / 1e6 },
		"1 hL>US gal":           func() float64 { return 100 / (volume("1000000 US gal") / 1e6) },
		"1 hL>imp gal":          func() float64 { return 100 / (volume("1000000 imp gal") / 1e6) },
		"1 lb>kg":               func() float64 { return mass("1000000 lb") / 1e6 },
		"1 oz av>g":             func() float64 { return mass("1000000 oz") / 1e3 },
		"1 short ton>kg":        func() float64 { return mass("1000 short tons") / 1e3 },
		"1 long ton>kg":         func() float64 { return mass("1000 long tons") / 1e3 },
		"1 g/hL>mg/L":           func() float64 { return viaRate(t, "1 g/hL", MgPerL, 1) },
		"1 mg/L>g/hL":           func() float64 { return viaRate(t, "1 mg/L", GPerHL, 1) },
		"1 lb/1000 US gal>g/hL": func() float64 { return viaRate(t, "1 lb/1000 US gal", GPerHL, 1) },
		"1 lb/1000 US gal>mg/L": func() float64 { return viaRate(t, "1 lb/1000 US gal", MgPerL, 1) },
		"1 lb/1000 US gal>g/L":  func() float64 { return viaRate(t, "1 lb/1000 US gal", MgPerL, 1e-3) },
		"1 g/hL>lb/1000 US gal": func() float64 { return viaRate(t, "1 g/hL", LbPer1000Gal, 1) },
		"1 oz/1000 US gal>mg/L": func() float64 { return viaRate(t, "1 oz/1000 gal", MgPerL, 1) },
		"1 mg/L>oz/1000 US gal": func() float64 { return viaRate(t, "1 mg/L", OzPer1000Gal, 1) },
		"1 g/100 kg>g/t":        func() float64 { return viaRate(t, "1 g/100 kg", GPerT, 1) },
		"1 g/t>lb/short ton":    func() float64 { return viaRate(t, "1 g/t", LbPerShortTon, 1) },
		"1 lb/short ton>g/t":    func() float64 { return viaRate(t, "1 lb/short ton", GPerT, 1) },
		"1 bar>psi":             func() float64 { return 1 / bar("1 psi") },
		"1 psi>bar":             func() float64 { return bar("1 psi") },
		"1 psi>kPa":             func() float64 { return bar("1 psi") / bar("1 kPa") },
	}
}

// TestPublishedUnitFactors checks every factor of the table that this package
// uses. Source: NIST SP 811 for the exact ones (from memory), GNU units 2.22 for
// the others, as marked in the table. The tolerance is half a unit of the last
// digit printed.
func TestPublishedUnitFactors(t *testing.T) {
	source, rows := tables.Published(t, "unit_factors.csv")
	got := factors(t)
	checked, worst := 0, 0.0
	for _, row := range rows {
		f, ok := got[row["from"]+">"+row["to"]]
		if !ok {
			continue
		}
		want := tables.Number(t, row["factor"])
		_, decimals, _ := strings.Cut(row["factor"], ".")
		half := 0.5000001 * math.Pow10(-len(decimals))
		if strings.HasPrefix(row["status"], "exact") {
			half = want * 1e-12
		}
		off := math.Abs(f() - want)
		require.LessOrEqual(t, off, half, "%s in %s", row["from"], row["to"])
		checked++
		worst = max(worst, off/want)
	}
	require.Equal(t, len(got), checked)
	t.Logf("source: %s; rows %d of %d (the others are no quantity of this package); worst relative error %.1e",
		source, checked, len(rows), worst)
}

// TestPublishedFahrenheit checks the one exact formula of the table that is no
// factor, °F = 1.8·°C + 32, at points that everyone knows (from memory).
func TestPublishedFahrenheit(t *testing.T) {
	points := map[string]float64{"32F": 0, "212F": 100, "-40F": -40, "50 °F": 10, "59F": 15, "98.6F": 37}
	worst := 0.0
	for in, want := range points {
		c, err := Metric.Habit().Celsius(in)
		require.NoError(t, err)
		worst = max(worst, math.Abs(float64(c)-want))
	}
	require.Zero(t, worst)
	t.Logf("source: definition of the Fahrenheit scale, from memory; rows %d; worst error %g °C", len(points), worst)
}

// TestPublishedDualUnitLimits checks lb/1000 gal against the metric limits that
// the rule prints beside them. Source: 27 CFR 24.246 (2015 annual edition), read.
func TestPublishedDualUnitLimits(t *testing.T) {
	source, rows := tables.Published(t, "cfr_24_246_dual_unit_limits.csv")
	worst := 0.0
	for _, row := range rows {
		gPerL := viaRate(t, row["value"]+" "+row["unit"], MgPerL, 1e-3)
		stated := tables.Number(t, strings.TrimSuffix(row["stated_metric"], " g/L"))
		require.InDelta(t, stated, gPerL, 0.006, row["material"])
		require.InDelta(t, tables.Number(t, row["calc_g_per_L"]), gPerL, 5e-7, row["material"])
		worst = max(worst, math.Abs(stated-gPerL))
	}
	// The other pairs of the same section, as read there.
	for lb, stated := range map[string]float64{"5.8": 0.7, "8": 0.96, "60": 7.19} {
		gPerL := viaRate(t, lb+" lb/1000 gal", MgPerL, 1e-3)
		require.InDelta(t, stated, gPerL, 0.006, lb)
		worst = max(worst, math.Abs(stated-gPerL))
	}
	t.Logf("source: %s; rows %d; worst error %.4f g/L (the rule rounds)", source, len(rows)+3, worst)
}
