package blend_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"cellar.example/mustwatch/domain/must/blend"
	"cellar.example/mustwatch/domain/quantity"
)

// TestPublishedBlend is C33 and C34: the shares of a blend and of a wrong transfer.
func TestPublishedBlend(t *testing.T) {
	// 103: two lots, shares of 51.6 and 48.4 %.
	b, err := blend.Mix(blend.SugarGL, blend.Lot{Volume: quantity.HL(79), Value: 210},
		blend.Lot{Volume: quantity.HL(74), Value: 200})
	require.NoError(t, err)
	require.InDelta(t, 51.6, float64(b.Shares[0]), 0.05)
	require.InDelta(t, 48.4, float64(b.Shares[1]), 0.05)
	require.InDelta(t, (79*210+74*200)/153.0, b.Value, 1e-9)
	wrong, err := blend.Mix(blend.Dose, blend.Lot{Volume: quantity.HL(3.5)}, blend.Lot{Volume: quantity.HL(149)})
	require.NoError(t, err)
	require.InDelta(t, 2.30, float64(wrong.Shares[0]), 0.005)
	t.Log("source: C33 and C34, computed (C33 prints its shares alone; the volumes are ours); rows 2; worst error " +
		"within the last printed digit")
}

func TestBlendRefuses(t *testing.T) {
	one := blend.Lot{Volume: quantity.HL(1), Value: 3}
	for _, p := range []blend.Property{blend.PH, blend.Turbidity, blend.ColourDepth} {
		_, err := blend.Mix(p, one, one)
		require.Error(t, err)
		assert.Contains(t, err.Error(), "mix a sample and measure it")
	}
	for _, lots := range [][]blend.Lot{nil, {{Value: 3}}, {one, {Volume: quantity.HL(1), Value: math.NaN()}},
		{one, {Volume: -1, Value: 3}}} {
		_, err := blend.Mix(blend.SugarGL, lots...)
		assert.Error(t, err)
	}
	for in, want := range map[string]blend.Property{"Sugar": blend.SugarGL, "ta": blend.Acidity, "pH": blend.PH,
		"NTU": blend.Turbidity, "color": blend.ColourDepth} {
		got, err := blend.ParseProperty(in)
		require.NoError(t, err)
		assert.Equal(t, want, got)
	}
	_, err := blend.ParseProperty("taste")
	assert.ErrorContains(t, err, "do not add up")
	_, err = blend.Mix("taste", one)
	assert.ErrorContains(t, err, "do not add up")
	warm, err := blend.Mix(blend.Warmth, one)
	require.NoError(t, err)
	assert.True(t, warm.Rough)
}

// A blend lies between its lots, and its shares are the whole.
func TestBlendProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var lots []blend.Lot
		low, high := math.Inf(1), math.Inf(-1)
		for range rapid.IntRange(1, 6).Draw(t, "lots") {
			l := blend.Lot{Volume: quantity.Volume(rapid.Int64Range(1, 1e9).Draw(t, "mL")),
				Value: rapid.Float64Range(-100, 400).Draw(t, "value")}
			lots, low, high = append(lots, l), min(low, l.Value), max(high, l.Value)
		}
		b, err := blend.Mix(blend.SugarGL, lots...)
		if err != nil || b.Value < low-1e-9 || b.Value > high+1e-9 {
			t.Fatalf("%+v %v", b, err)
		}
		sum := 0.0
		for _, s := range b.Shares {
			sum += float64(s)
		}
		if math.Abs(sum-100) > 1e-6 {
			t.Fatalf("the shares come to %g %%", sum)
		}
	})
}
