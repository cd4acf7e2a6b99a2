package blend_test

import (
	"errors"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/must/blend"
	"cellar.example/mustwatch/domain/quantity"
)

// Units behind the @ are read, and what is not the unit in which the property adds
// up is turned into it by its table: OIV-MA-AS2-02 Table II has 191.9 g/L and 1.0818
// kg/L at 20.0 °Brix, and 214.7 g/L at 22.0.
func TestBlendReadsUnits(t *testing.T) {
	for _, c := range []struct {
		p      blend.Property
		text   string
		sys    quantity.System
		want   float64
		within float64
		turned bool
	}{
		{p: blend.SugarGL, text: "210", sys: quantity.Metric, want: 210},
		{p: blend.SugarGL, text: "210g/L", sys: quantity.Metric, want: 210},
		{p: blend.SugarGL, text: "210 g/L sugar", sys: quantity.Metric, want: 210},
		{p: blend.SugarGL, text: "21.5 g/L", sys: quantity.Metric, want: 21.5},
		{p: blend.SugarGL, text: "20brix", sys: quantity.Metric, want: 191.9, within: 0.05, turned: true},
		{p: blend.SugarGL, text: "22 °Bx", sys: quantity.Metric, want: 214.7, within: 0.05, turned: true},
		{p: blend.SugarGL, text: "83.7oe", sys: quantity.Metric, want: 191.9, within: 0.5, turned: true},
		{p: blend.Acidity, text: "6.5", sys: quantity.Metric, want: 6.5},
		{p: blend.Acidity, text: "6.5 g/l", sys: quantity.Metric, want: 6.5},
		{p: blend.Weight, text: "1.0818", sys: quantity.Metric, want: 1.0818},
		{p: blend.Weight, text: "1.0818kg/L", sys: quantity.Metric, want: 1.0818},
		{p: blend.Weight, text: "20 brix", sys: quantity.Metric, want: 1.0818, within: 0.00005, turned: true},
		{p: blend.Weight, text: "1.0837sg", sys: quantity.Metric, want: 1.0818, within: 0.0001, turned: true},
		{p: blend.DegreesOe, text: "90", sys: quantity.Metric, want: 90},
		{p: blend.DegreesOe, text: "90 °Oe", sys: quantity.Metric, want: 90},
		{p: blend.Warmth, text: "13.5C", sys: quantity.US, want: 13.5},
		{p: blend.Warmth, text: "59", sys: quantity.US, want: 15, within: 1e-9},
		{p: blend.SO2, text: "50", sys: quantity.Metric, want: 50},
		{p: blend.SO2, text: "50ppm", sys: quantity.Metric, want: 50},
		{p: blend.SO2, text: "3g/hL", sys: quantity.Metric, want: 30, within: 1e-9, turned: true},
		{p: blend.SO2, text: "1 lb/1000 gal", sys: quantity.US, want: 119.826, within: 0.001, turned: true},
		{p: blend.Dose, text: "3", sys: quantity.Metric, want: 3},
		{p: blend.Dose, text: "0.25 lb/1000 gal", sys: quantity.US, want: 2.9957, within: 0.0001, turned: true},
	} {
		x, from, err := c.p.Read(c.text, c.sys.Habit())
		require.NoError(t, err, c.text)
		assert.InDelta(t, c.want, x, c.within+1e-12, c.text)
		assert.Equal(t, c.turned, from != "", "%s: %s", c.text, from)
	}
}

// A sugar without a unit that may be either is asked about, and what cannot be the
// property is refused: °Brix is no g/L.
func TestBlendAsksForTheUnit(t *testing.T) {
	for _, s := range []string{"21.5", "31", "8,5"} {
		_, _, err := blend.SugarGL.Read(s, quantity.Habit{})
		var ask *quantity.AskError
		require.True(t, errors.As(err, &ask), s)
		for _, o := range ask.Options {
			_, _, err := blend.SugarGL.Read(o, quantity.Habit{})
			assert.NoError(t, err, o)
		}
	}
	for _, c := range []struct {
		p    blend.Property
		text string
		says string
	}{
		{blend.SugarGL, "6mg/L", "Type a reading with its scale"}, {blend.SugarGL, "40brix", "no table of must"},
		{blend.Acidity, "0.65%", "in g/L"},
		{blend.SO2, "4mL/hL", "in mg/L"}, {blend.Nitrogen, "4g/t", "in mg/L"}, {blend.Dose, "4mL/hL", "79hL@3g/hL"},
		{blend.PH, "3.2", "mix a sample"},
		{blend.Warmth, "13 hL", "Type a temperature"}, {blend.SugarGL, "x", "Type a reading"}, {blend.Weight, "",
			"Type a reading"},
	} {
		_, _, err := c.p.Read(c.text, quantity.Habit{})
		assert.ErrorContains(t, err, c.says, "%s %s", c.p, c.text)
	}
	_, err := blend.ParseProperty("Brix")
	assert.ErrorContains(t, err, "does not add up by volume")
}

func TestBlendWritesUnits(t *testing.T) {
	for p, want := range map[blend.Property]string{blend.SugarGL: "1.5 g/L", blend.Acidity: "1.50 g/L",
		blend.Weight:    "1.5000 kg/L",
		blend.DegreesOe: "1.5 °Oe", blend.SO2: "1.5 mg/L", blend.Nitrogen: "1.5 mg/L", blend.Dose: "1.50 g/hL"} {
		assert.Equal(t, want, p.Text(1.5, quantity.Metric))
	}
	assert.Equal(t, "34.7 °F", blend.Warmth.Text(1.5, quantity.US))
	assert.Equal(t, "0.125 lb/1000 gal", blend.Dose.Text(1.5, quantity.US))
}
