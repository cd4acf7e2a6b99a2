package quantity_test

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	. "cellar.example/mustwatch/domain/quantity"
)

func TestVolumeText(t *testing.T) {
	for _, c := range []struct {
		v                Volume
		text, metric, us string
	}{
		{HL(192), "192 hL", "192.0 hL", "5072 gal"},
		{350_123 * Millilitre, "3.50123 hL", "3.5 hL", "92.5 gal"},
		{392 * Millilitre, "0.00392 hL", "392 mL", "392 mL"},
		{3890 * Millilitre, "0.0389 hL", "3.89 L", "3.89 L"},
		{3894 * Millilitre, "0.03894 hL", "3.89 L", "3.89 L"},
		{9996 * Millilitre, "0.09996 hL", "0.1 hL", "2.6 gal"},
		{10 * Litre, "0.1 hL", "0.1 hL", "2.6 gal"},
		{25 * Litre, "0.25 hL", "0.25 hL", "6.6 gal"},
		{125 * Litre, "1.25 hL", "1.25 hL", "33.0 gal"},
		{150 * Litre, "1.5 hL", "1.5 hL", "39.6 gal"},
		{Volume(14_600_000), "0.146 hL", "0.15 hL", "3.9 gal"},
		{19_205 * Litre, "192.05 hL", "192.1 hL", "5073 gal"},
		{0, "0 hL", "0.0 hL", "0 gal"},
		{-350 * Litre, "-3.5 hL", "-3.5 hL", "-92.5 gal"},
		{-5 * Millilitre, "-0.00005 hL", "-5 mL", "-5 mL"},
		{Millilitre, "0.00001 hL", "1 mL", "1 mL"},
		{Millilitre / 2, "0.000005 hL", "0.5 mL", "0.5 mL"},
		{1400, "0.000014 hL", "1.4 mL", "1.4 mL"},
		{1456, "0.00001456 hL", "1.46 mL", "1.46 mL"},
		{14_560, "0.0001456 hL", "14.6 mL", "14.6 mL"},
		{392_400, "0.003924 hL", "392 mL", "392 mL"},
		{999_700, "0.009997 hL", "1.00 L", "1.00 L"},
		{4, "0.00000004 hL", "0.004 mL", "0.004 mL"},
	} {
		assert.Equal(t, c.text, c.v.String())
		assert.Equal(t, c.metric, c.v.Text(Metric))
		assert.Equal(t, c.us, c.v.Text(US))
	}
}

func TestMassText(t *testing.T) {
	for _, c := range []struct {
		m                Mass
		text, metric, us string
	}{
		{156 * Gram, "156 g", "156 g", "156 g"},
		{Grams(100.3), "100.3 g", "100.3 g", "100.3 g"},
		{Grams(100.26), "100.26 g", "100.3 g", "100.3 g"},
		{Kilograms(2.52), "2.52 kg", "2.52 kg", "5.56 lb"},
		{Kilograms(2.525), "2.525 kg", "2.53 kg", "5.57 lb"},
		{14600 * Kilogram, "14600 kg", "14600 kg", "32187 lb"},
		{Grams(999.96), "999.96 g", "1 kg", "2.2 lb"},
		{1, "0.001 g", "0.001 g", "0.001 g"},
		{140, "0.14 g", "0.14 g", "0.14 g"},
		{Grams(2.15), "2.15 g", "2.2 g", "2.2 g"},
		{0, "0 g", "0 g", "0 g"},
		{Grams(-249.6), "-249.6 g", "-249.6 g", "-249.6 g"},
		{Kilograms(123.456), "123.456 kg", "123.5 kg", "272.2 lb"},
	} {
		assert.Equal(t, c.text, c.m.String())
		assert.Equal(t, c.metric, c.m.Text(Metric))
		assert.Equal(t, c.us, c.m.Text(US))
	}
	load := Kilograms(17800)
	assert.Equal(t, "17.8 t", load.Load(Metric))
	assert.Equal(t, "19.6 short tons", load.Load(US))
	assert.Equal(t, 17.8, load.Tonnes())
	assert.Equal(t, 17800.0, load.Kilograms())
	assert.Equal(t, 1.5, Mass(1500).Grams())
}

func TestSmallText(t *testing.T) {
	assert.Equal(t, "9.4 °C", Celsius(9.4).Text(Metric))
	assert.Equal(t, "48.9 °F", Celsius(9.4).Text(US))
	assert.Equal(t, "9.0 °C", Celsius(9).String())
	assert.Equal(t, "15.5556 °C", Celsius(15.5556).String())
	assert.Equal(t, "0.0 °C", Celsius(-0.04).Text(Metric))
	assert.Equal(t, "1.089", Density(1.089).String())
	assert.Equal(t, "1.100", Density(1.1).String())
	assert.Equal(t, "1.0895", Density(1.0895).String())
	assert.Equal(t, "?", Density(0).String())
	assert.Equal(t, "120 NTU", NTU(120).String())
	assert.Equal(t, "3.20", PH(3.2).String())
	assert.Equal(t, "21.5 °Brix", Brix(21.5).String())
	assert.Equal(t, "5.5 bar", Bar(5.5).Text(Metric))
	assert.Equal(t, "80 psi", Bar(5.5).Text(US))
	assert.Equal(t, "5.5 %", Percent(5.5).String())
	assert.Equal(t, "us", US.String())
	assert.Equal(t, "metric", Metric.String())
}

func TestSpanText(t *testing.T) {
	for _, c := range []struct {
		d            time.Duration
		text, marked string
	}{
		{3 * time.Hour, "3 h", "3h"}, {90 * time.Minute, "1 h 30", "1h30m"}, {45 * time.Minute, "45 min", "45m"},
		{65 * time.Minute, "1 h 05", "1h5m"}, {0, "0 min", "0m"}, {150 * time.Second, "2 min 30 s", "2m30s"},
		{10 * time.Hour, "10 h", "10h"}, {-45 * time.Minute, "-45 min", "-45m"}, {3605 * time.Second, "1 h 5 s",
			"1h0m5s"},
		{30 * time.Second, "30 s", "30s"},
	} {
		s := Span(c.d)
		assert.Equal(t, c.text, s.String())
		text, err := s.MarshalText()
		require.NoError(t, err)
		assert.Equal(t, c.marked, string(text))
	}
}

func TestRateTo(t *testing.T) {
	juice := []RateUnit{GPerHL, MgPerL, LbPer1000Gal, OzPer1000Gal}
	grapes := []RateUnit{GPer100Kg, GPerT, LbPerShortTon}
	groups := [][]RateUnit{juice, {MLPerHL}, grapes, {MLPerT, FlOzPerShortTon}}
	for i, from := range groups {
		for j, to := range groups {
			for _, a := range from {
				assert.True(t, a.Known())
				assert.Equal(t, i >= 2, a.OnGrapes())
				assert.Equal(t, i%2 == 1, a.Liquid())
				for _, b := range to {
					r, err := Rate{2.5, a}.To(b)
					if i != j {
						sentence(t, err)
						continue
					}
					require.NoError(t, err)
					back, err := r.To(a)
					require.NoError(t, err)
					assert.InEpsilon(t, 2.5, back.Value, 1e-14)
				}
			}
		}
	}
	got, err := Rate{0.1, GPerHL}.To(MgPerL)
	require.NoError(t, err)
	assert.Equal(t, Rate{1, MgPerL}, got, "a tenth times ten is one")
	for _, bad := range []Rate{{1, "cups"}, {math.NaN(), GPerHL}, {math.Inf(1), GPerHL}, {}} {
		_, err := bad.To(MgPerL)
		sentence(t, err)
	}
	_, err = Rate{1, GPerHL}.To("cups")
	sentence(t, err)
	assert.False(t, RateUnit("cups").Known())
}

// The grape doses that a US house and a metric one write for the same thing;
// arithmetic on the exact units.
func TestRateText(t *testing.T) {
	for in, want := range map[string][2]string{
		"0.134 lb/1000 gal": {"1.606 g/hL", "0.134 lb/1000 gal"},
		"30 mg/L":           {"3 g/hL", "0.25 lb/1000 gal"},
		"30 g/t":            {"3 g/100 kg", "0.06 lb/short ton"},
		"30 mL/t":           {"30 mL/t", "0.92 fl oz/short ton"},
		"4 mL/hL":           {"4 mL/hL", "4 mL/hL"},
	} {
		r, err := Habit{}.Rate(in, "")
		require.NoError(t, err)
		assert.Equal(t, in, r.String())
		assert.Equal(t, want[0], r.Text(Metric))
		assert.Equal(t, want[1], r.Text(US))
	}
	assert.Equal(t, "", Rate{}.String())
	assert.Equal(t, "", Rate{}.Text(US))
	assert.True(t, Rate{}.IsZero())
	assert.False(t, Rate{0, GPerHL}.IsZero())
	assert.Equal(t, "? g/hL", Rate{math.NaN(), GPerHL}.String())
}

func TestAmount(t *testing.T) {
	g := func(x float64) Amount { return Amount{Mass: Grams(x)} }
	ml := func(x int64) Amount { return Amount{Volume: Volume(x) * Millilitre} }
	for _, c := range []struct {
		a                Amount
		text, metric, us string
	}{
		{g(384), "384 g", "384 g", "384 g"}, {g(2520), "2.52 kg", "2.52 kg", "5.56 lb"}, {ml(392), "392 mL", "392 mL",
			"392 mL"},
		{ml(3840), "3.84 L", "3.84 L", "3.84 L"}, {ml(60_000), "60 L", "60 L", "15.9 gal"}, {ml(12_345), "12.345 L",
			"12.3 L", "3.3 gal"},
		{Amount{}, "", "0 g", "0 g"}, {g(-249.6), "-249.6 g", "-249.6 g", "-249.6 g"}, {ml(9_999), "9.999 L", "10 L",
			"2.6 gal"},
	} {
		assert.Equal(t, c.text, c.a.String())
		assert.Equal(t, c.metric, c.a.Text(Metric))
		assert.Equal(t, c.us, c.a.Text(US))
	}
	assert.Equal(t, g(540), g(156).Add(g(384)))
	assert.Equal(t, ml(434), ml(392).Add(ml(42)))
	assert.Equal(t, g(40), g(424).Sub(g(384)))
	assert.Equal(t, g(-249.6), g(64).Sub(g(313.6)))
	assert.Equal(t, g(5), g(5).Add(ml(5)), "a mass and a volume have no sum")
	assert.Equal(t, ml(5), ml(5).Sub(g(5)))
	assert.Equal(t, ml(5), Amount{}.Add(ml(5)))
	assert.True(t, g(5).Sub(g(5)).IsZero())
	assert.True(t, ml(5).Liquid())
	assert.False(t, g(5).Liquid())
	top := Amount{Mass: math.MaxInt64}
	assert.Positive(t, top.Add(top).Mass)
	_, err := Amount{Mass: 1, Volume: 1}.MarshalText()
	sentence(t, err)
}

func TestConstructors(t *testing.T) {
	assert.Equal(t, Volume(19_200_000_000), HL(192))
	assert.Equal(t, Volume(350_123_000), HL(3.50123))
	assert.Equal(t, Millilitre, HL(0.000005))
	assert.Equal(t, 3.5, (350 * Litre).HL())
	assert.Equal(t, 1.5, (1500 * Millilitre).Litres())
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), 1e300} {
		// No number is zero, and too much stops: nothing wraps round.
		assert.Equal(t, x > 0, HL(x) > 0)
		assert.Equal(t, x > 0, Grams(x) > 0)
		assert.Equal(t, x > 0, Kilograms(x) > 0)
		assert.Equal(t, x < 0, HL(x) < 0)
	}
	for _, v := range []int64{math.MaxInt64, math.MinInt64} {
		for _, sys := range []System{Metric, US} {
			assert.NotEmpty(t, Volume(v).Text(sys))
			assert.NotEmpty(t, Mass(v).Text(sys))
			assert.NotEmpty(t, Mass(v).Load(sys))
			assert.NotEmpty(t, Span(v).String())
			assert.NotEmpty(t, Amount{Volume: Volume(v)}.Text(sys))
		}
		assert.NotEmpty(t, Volume(v).String())
		assert.NotEmpty(t, Mass(v).String())
	}
}
