package dose_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/dose"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/testdata/tables"
)

type row map[string]string

func mass(t *testing.T, s string) quantity.Mass {
	t.Helper()
	m, err := quantity.Habit{}.Mass(s, quantity.Gram)
	require.NoError(t, err)
	return m
}

func volume(t *testing.T, s string) quantity.Volume {
	t.Helper()
	v, err := quantity.Habit{}.Volume(s)
	require.NoError(t, err)
	return v
}

func rate(t *testing.T, s string) quantity.Rate {
	t.Helper()
	r, err := quantity.Habit{}.Rate(s, "")
	require.NoError(t, err)
	return r
}

func weighed(t *testing.T, s string) quantity.Amount {
	t.Helper()
	return quantity.Amount{Mass: mass(t, s)}
}

// calculate does what a row of the table asks and returns the number in its unit.
var calculate = map[string]func(t *testing.T, r row) float64{
	"on juice": func(t *testing.T, r row) float64 {
		a, err := dose.OnJuice(volume(t, r["a"]), rate(t, r["b"]))
		require.NoError(t, err)
		return in(a, r["unit"])
	},
	"on grapes": func(t *testing.T, r row) float64 {
		a, err := dose.OnGrapes(mass(t, r["a"]), rate(t, r["b"]))
		require.NoError(t, err)
		return in(a, r["unit"])
	},
	"rate": func(t *testing.T, r row) float64 {
		out, err := rate(t, r["a"]).To(quantity.RateUnit(r["b"]))
		require.NoError(t, err)
		return out.Value
	},
	"juice basis": func(t *testing.T, r row) float64 {
		out, err := dose.JuiceBasis(rate(t, r["a"]), tables.Number(t, r["b"]))
		require.NoError(t, err)
		require.Equal(t, r["unit"], string(out.Unit))
		return out.Value
	},
	"stock": func(t *testing.T, r row) float64 {
		return in(quantity.Amount{Volume: dose.Stock(mass(t, r["a"]), tables.Number(t, r["b"]))}, r["unit"])
	},
	"weighed": func(t *testing.T, r row) float64 {
		return dose.Weighed(weighed(t, r["a"]), weighed(t, r["b"]))
	},
	"powder": func(t *testing.T, r row) float64 {
		return dose.Powder(mass(t, r["a"]), tables.Number(t, r["b"])).Grams()
	},
	"per hL": func(t *testing.T, r row) float64 {
		return dose.PerHL(weighed(t, r["a"]), volume(t, r["b"]))
	},
	"water share": func(t *testing.T, r row) float64 {
		return dose.WaterShare(dose.Water(weighed(t, r["a"]), tables.Number(t, r["b"])), volume(t, r["c"]))
	},
	"water": func(t *testing.T, r row) float64 {
		return in(quantity.Amount{Volume: dose.Water(weighed(t, r["a"]), tables.Number(t, r["b"]))}, r["unit"])
	},
}

func in(a quantity.Amount, unit string) float64 {
	switch unit {
	case "L":
		return a.Volume.Litres()
	case "mL":
		return float64(a.Volume) / float64(quantity.Millilitre)
	}
	return a.Mass.Grams()
}

// TestPublishedDoses checks the dose vectors C01–C11 (arithmetic) and the worked
// examples T14, T15, T23–T25 and W3; each row of the table names its formula or
// its source.
func TestPublishedDoses(t *testing.T) {
	source, rows := tables.Published(t, "dose_vectors.csv")
	worst := 0.0
	for _, r := range rows {
		f, ok := calculate[r["what"]]
		require.True(t, ok, r["what"])
		want, got := tables.Number(t, r["expected"]), f(t, r)
		require.InDelta(t, want, got, tables.Number(t, r["tolerance"])+1e-9, "%s: %s", r["case"], r["source"])
		worst = max(worst, math.Abs(got-want)/math.Abs(want))
	}
	t.Logf("source: %s; rows %d; worst relative error %.1e (printed results are rounded)", source, len(rows), worst)
}

// TestPublishedWaterLimit checks T23 on the limit itself: 60 g/hL of bentonite in
// 16.7 L/kg of water is just over 1 %. Source: 27 CFR 24.246(a)(2), read; the
// bentonite figures are read inputs.
func TestPublishedWaterLimit(t *testing.T) {
	juice := quantity.HL(192)
	bentonite, err := dose.OnJuice(juice, quantity.Rate{Value: 60, Unit: quantity.GPerHL})
	require.NoError(t, err)
	share := dose.WaterShare(dose.Water(bentonite, 16.7), juice)
	require.Greater(t, share, 0.01)
	require.InDelta(t, 0.01002, share, 0.00005)
	t.Logf("source: 27 CFR 24.246(a)(2); rows 1; worst error %.1e", math.Abs(share-0.01002))
}

// TestPublishedGallonPairs checks T17 through the dose itself: lb/1000 gal on a
// hectolitre is a tenth of the g/L that the rule prints. Source: 27 CFR 24.246.
func TestPublishedGallonPairs(t *testing.T) {
	pairs := map[string]float64{
		"2": 0.24, "5.8": 0.7, "8": 0.96, "25": 3.0, "30": 3.59, "35": 4.19, "60": 7.19,
	}
	worst := 0.0
	for lb, want := range pairs {
		a, err := dose.OnJuice(quantity.HL(10), rate(t, lb+" lb/1000 gal"))
		require.NoError(t, err)
		got := a.Mass.Grams() / 1000
		require.InDelta(t, want, got, 0.006, lb)
		worst = max(worst, math.Abs(got-want))
	}
	t.Logf("source: 27 CFR 24.246 (2015 annual edition), read; rows %d; worst error %.4f g/L (the rule rounds)",
		len(pairs), worst)
}
