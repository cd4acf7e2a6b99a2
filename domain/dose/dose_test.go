package dose_test

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"cellar.example/mustwatch/domain/dose"
	"cellar.example/mustwatch/domain/quantity"
)

func g(x float64) quantity.Amount { return quantity.Amount{Mass: quantity.Grams(x)} }
func ml(x int64) quantity.Amount {
	return quantity.Amount{Volume: quantity.Volume(x) * quantity.Millilitre}
}

func TestRoundingIsHalfUp(t *testing.T) {
	for _, c := range []struct {
		hl, value float64
		unit      quantity.RateUnit
		want      quantity.Amount
	}{
		{104, 1.5, quantity.GPerHL, g(156)},
		{104.1, 1.5, quantity.GPerHL, g(156.2)},    // 156.15: a half goes up
		{104.0999, 1.5, quantity.GPerHL, g(156.1)}, // 156.14985
		{98, 4, quantity.MLPerHL, ml(392)},
		{108.6, 4, quantity.MLPerHL, ml(434)}, // 434.4
		{0.125, 4, quantity.MLPerHL, quantity.Amount{Volume: quantity.Millilitre / 2}},
		{249.9, 4, quantity.MLPerHL, ml(1000)},
		{301, 4, quantity.MLPerHL, ml(1200)}, // 1.204 L, in a jug
		{10, 1.5, quantity.MgPerL, g(1.5)},
		{192, 0.134, quantity.LbPer1000Gal, g(308.3)},
		{192, 2.14, quantity.OzPer1000Gal, g(307.7)},
	} {
		got, err := dose.OnJuice(quantity.HL(c.hl), quantity.Rate{Value: c.value, Unit: c.unit})
		require.NoError(t, err)
		assert.Equal(t, c.want, got, "%v hL × %v %s", c.hl, c.value, c.unit)
	}
	got, err := dose.OnGrapes(17_800*quantity.Kilogram, quantity.Rate{Value: 30, Unit: quantity.MLPerT})
	require.NoError(t, err)
	assert.Equal(t, ml(534), got)
	got, err = dose.OnGrapes(quantity.Mass(907_184_740), quantity.Rate{Value: 0.06, Unit: quantity.LbPerShortTon})
	require.NoError(t, err)
	assert.Equal(t, g(27.2), got)
	got, err = dose.OnGrapes(quantity.Mass(907_184_740), quantity.Rate{Value: 2, Unit: quantity.FlOzPerShortTon})
	require.NoError(t, err)
	assert.Equal(t, ml(59), got)
}

// TestSmallDosesKeepTheDigitThatMatters: half a millilitre is not a whole one, and what
// no scale and no pipette of a cellar tells from nothing is said to be so.
func TestSmallDosesKeepTheDigitThatMatters(t *testing.T) {
	for _, c := range []struct {
		litres, rate float64
		unit         quantity.RateUnit
		says, step   string
	}{
		{litres: 25, rate: 2, unit: quantity.MLPerHL, says: "0.5 mL", step: "0.01 mL"},
		{litres: 70, rate: 2, unit: quantity.MLPerHL, says: "1.4 mL", step: "0.01 mL"},
		{litres: 7, rate: 2, unit: quantity.MLPerHL, says: "0.14 mL", step: "0.01 mL"},
		{litres: 720, rate: 2, unit: quantity.MLPerHL, says: "14.4 mL", step: "0.1 mL"},
		{litres: 5000, rate: 2, unit: quantity.MLPerHL, says: "100 mL", step: "1 mL"},
		{litres: 7, rate: 2, unit: quantity.GPerHL, says: "0.14 g", step: "0.01 g"},
		{litres: 70, rate: 2, unit: quantity.GPerHL, says: "1.4 g", step: "0.01 g"},
		{litres: 104.17, rate: 2, unit: quantity.GPerHL, says: "2.1 g", step: "0.1 g"},
	} {
		r := quantity.Rate{Value: c.rate, Unit: c.unit}
		a, err := dose.OnJuice(quantity.HL(c.litres/100), r)
		require.NoError(t, err, c.says)
		assert.Equal(t, c.says, a.Text(quantity.Metric))
		assert.Equal(t, c.says, a.String(), "the screen shows what is calculated with")
		assert.Equal(t, c.step, dose.Step(a).String())
	}
	_, err := dose.OnJuice(quantity.Litre, quantity.Rate{Value: 2, Unit: quantity.MLPerHL})
	require.EqualError(t, err, "That comes to 0.02 mL; less than 0.05 mL cannot be measured: dilute the product "+
		"first, or check the dose and the volume.")
	_, err = dose.OnJuice(quantity.Litre, quantity.Rate{Value: 2, Unit: quantity.GPerHL})
	require.EqualError(t, err, "That comes to 0.02 g; less than 0.05 g cannot be weighed: make a solution first, or "+
		"check the dose and the volume or the mass.")
}

// From 0.2 mL on no rounding is more than a fortieth of what is measured.
func TestRoundingHidesLittle(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		ml := rapid.Float64Range(0.2001, 1e5).Draw(t, "mL")
		a, err := dose.OnJuice(quantity.Hectolitre, quantity.Rate{Value: ml, Unit: quantity.MLPerHL})
		require.NoError(t, err)
		require.InEpsilon(t, ml, 1000*a.Volume.Litres(), 1.0/40+1e-9)
		gas := quantity.Grams(ml)
		require.InEpsilon(t, gas.Grams(), 1000*dose.Stock(gas, 1000).Litres(), 1.0/40+1e-9)
	})
}

func TestRefusals(t *testing.T) {
	juice := quantity.Rate{Value: 3, Unit: quantity.GPerHL}
	grapes := quantity.Rate{Value: 3, Unit: quantity.GPer100Kg}
	errs := []error{}
	add := func(_ any, err error) { errs = append(errs, err) }
	add(dose.OnJuice(quantity.HL(10), grapes))
	add(dose.OnJuice(0, juice))
	add(dose.OnJuice(-5, juice))
	add(dose.OnGrapes(quantity.Tonne, juice))
	add(dose.OnGrapes(0, grapes))
	add(dose.JuiceBasis(juice, 7.2))
	for _, x := range []float64{0, -1, math.NaN(), math.Inf(1), math.Inf(-1), 1e300} {
		add(dose.JuiceBasis(grapes, x))
	}
	for _, x := range []float64{0, -1, math.NaN(), math.Inf(1), math.Inf(-1), 1e-300} {
		add(dose.OnJuice(quantity.HL(10), quantity.Rate{Value: x, Unit: quantity.GPerHL}))
		add(dose.OnGrapes(quantity.Tonne, quantity.Rate{Value: x, Unit: quantity.MLPerT}))
	}
	add(dose.OnJuice(quantity.HL(10), quantity.Rate{Value: 1, Unit: "cups"}))
	add(dose.OnGrapes(quantity.Tonne, quantity.Rate{Value: 1, Unit: "cups"}))
	add(dose.OnGrapes(quantity.Tonne, quantity.Rate{}))
	add(dose.JuiceBasis(quantity.Rate{Value: 1, Unit: "cups"}, 7))
	for i, err := range errs {
		require.Error(t, err, i)
		assert.True(t, strings.HasSuffix(err.Error(), "."), err)
		assert.NotContains(t, err.Error(), "\n")
	}
}

func TestJuiceBasisOfLiquids(t *testing.T) {
	r, err := dose.JuiceBasis(quantity.Rate{Value: 30, Unit: quantity.MLPerT}, 7.5)
	require.NoError(t, err)
	assert.Equal(t, quantity.Rate{Value: 4, Unit: quantity.MLPerHL}, r)
	r, err = dose.JuiceBasis(quantity.Rate{Value: 30, Unit: quantity.GPerT}, 7.5)
	require.NoError(t, err)
	assert.Equal(t, quantity.Rate{Value: 4, Unit: quantity.GPerHL}, r)
}

// Make-up water: 1 : 10 by common practice, and 10 g in 200 mL (common practice,
// no source).
func TestWater(t *testing.T) {
	assert.Equal(t, 1560*quantity.Millilitre, dose.Water(g(156), 10))
	assert.Equal(t, 200*quantity.Millilitre, dose.Water(g(10), 20))
	assert.Equal(t, 3920*quantity.Millilitre, dose.Water(ml(392), 10))
	assert.Equal(t, quantity.Millilitre/2, dose.Water(g(0.05), 10))
	for _, x := range []float64{0, -1, math.NaN(), math.Inf(1), math.Inf(-1)} {
		assert.Zero(t, dose.Water(g(156), x))
		assert.Zero(t, dose.Stock(quantity.Gram, x))
		assert.Zero(t, dose.Powder(quantity.Gram, x))
	}
	assert.Zero(t, dose.Water(quantity.Amount{}, 10))
	assert.Zero(t, dose.Stock(0, 100))
	assert.Zero(t, dose.Stock(-5, 100))
	assert.Zero(t, dose.Powder(0, 0.57))
	assert.Zero(t, dose.Powder(5, 1.5))
}

func TestShares(t *testing.T) {
	assert.InDelta(t, 384.0/424, dose.TubShare(g(384), g(424)), 1e-12)
	assert.Greater(t, dose.TubShare(g(125.4), g(40)), 1.0)
	assert.Equal(t, 999.0, dose.TubShare(g(1), quantity.Amount{}))
	assert.Equal(t, 999.0, dose.TubShare(g(1), g(-5)))
	assert.Equal(t, 999.0, dose.TubShare(g(1), ml(500)), "a powder from a tub of liquid")
	assert.Equal(t, 0.0, dose.TubShare(quantity.Amount{}, g(5)))
	assert.Equal(t, 0.0, dose.TubShare(quantity.Amount{}, quantity.Amount{}))

	assert.InDelta(t, 390.0/384-1, dose.Weighed(g(384), g(390)), 1e-12)
	assert.InDelta(t, -0.5, dose.Weighed(ml(392), ml(196)), 1e-12)
	assert.Equal(t, -1.0, dose.Weighed(g(384), quantity.Amount{}))
	assert.Equal(t, 0.0, dose.Weighed(quantity.Amount{}, quantity.Amount{}))
	assert.Equal(t, 999.0, dose.Weighed(quantity.Amount{}, g(1)))
	assert.Equal(t, 999.0, dose.Weighed(g(384), ml(384)))

	assert.Equal(t, 0.0, dose.WaterShare(0, 0))
	assert.Equal(t, 999.0, dose.WaterShare(1, 0))
	assert.Equal(t, 0.01, dose.WaterShare(quantity.Litre, quantity.Hectolitre))

	assert.Equal(t, 4.0, dose.PerHL(ml(392), quantity.HL(98)))
	assert.Equal(t, 3.0, dose.PerHL(g(576), quantity.HL(192)))
	assert.Equal(t, 0.0, dose.PerHL(g(576), 0))
}

// Whatever is asked for, the answer is a number, and the amount given back for a
// volume is the rate within half a step of the scale.
func TestDoseProperties(t *testing.T) {
	units := []quantity.RateUnit{quantity.GPerHL, quantity.MgPerL, quantity.LbPer1000Gal, quantity.OzPer1000Gal,
		quantity.MLPerHL}
	rapid.Check(t, func(t *rapid.T) {
		v := quantity.HL(rapid.Float64Range(0.1, 1000).Draw(t, "hL"))
		r := quantity.Rate{Value: rapid.Float64Range(0.01, 500).Draw(t, "rate"), Unit: rapid.SampledFrom(units).Draw(t,
			"unit")}
		a, err := dose.OnJuice(v, r)
		if err != nil {
			return // less than can be weighed
		}
		base := quantity.GPerHL
		half := dose.Step(a).Mass.Grams() / 2
		if r.Unit.Liquid() {
			base, half = quantity.MLPerHL, 500*dose.Step(a).Volume.Litres()
		}
		per, err := r.To(base)
		require.NoError(t, err)
		assert.InDelta(t, per.Value*v.HL(), dose.PerHL(a, v)*v.HL(), half+1e-6)
		for _, x := range []float64{dose.TubShare(a, a), dose.Weighed(a, a), dose.WaterShare(v, v)} {
			assert.False(t, math.IsNaN(x) || math.IsInf(x, 0))
		}
		assert.Equal(t, r.Unit.Liquid(), a.Liquid())
	})
}
