package quantity_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	. "cellar.example/mustwatch/domain/quantity"
)

// number of a field that reads any quantity, in the base unit of its type.
type field func(text string, h Habit) (float64, error)

var fields = map[string]field{
	"volume": func(s string, h Habit) (float64, error) { v, err := h.Volume(s); return v.Litres(), err },
	"grapes": func(s string, h Habit) (float64, error) {
		m, err := h.Mass(s, Kilogram)
		return m.Kilograms(), err
	},
	"stock": func(s string, h Habit) (float64, error) {
		a, err := h.Amount(s, false)
		return a.Mass.Grams(), err
	},
	"rate":  func(s string, h Habit) (float64, error) { r, err := h.Rate(s, GPerHL); return r.Value, err },
	"span":  func(s string, h Habit) (float64, error) { d, err := h.Span(s); return d.Duration().Hours(), err },
	"temp":  func(s string, h Habit) (float64, error) { c, err := h.Celsius(s); return float64(c), err },
	"dens":  func(s string, h Habit) (float64, error) { d, err := h.Density(s); return float64(d), err },
	"brix":  func(s string, h Habit) (float64, error) { var b Brix; err := b.ReadTyped(s, h); return float64(b), err },
	"ntu":   func(s string, h Habit) (float64, error) { var n NTU; err := n.ReadTyped(s, h); return float64(n), err },
	"plain": func(s string, h Habit) (float64, error) { return h.Number(s, 0, 1e6) },
}

// TestThreeDigitsBehindAPoint: a point with three digits is asked about like a comma
// where the field can hold both readings, and taken where it can hold one.
func TestThreeDigitsBehindAPoint(t *testing.T) {
	for _, c := range []struct {
		field, text string
		options     []string
	}{
		{"volume", "4.000 L", []string{"4 L", "4000 L"}}, {"volume", "4,000 L", []string{"4 L", "4000 L"}},
		{"volume", "1.500", []string{"1.5", "1500"}}, {"grapes", "14.600kg", []string{"14.6 kg", "14600 kg"}},
		{"grapes", "14.625 kg", []string{"14.6250 kg", "14625 kg"}}, {"stock", "2.500 g", []string{"2.5 g", "2500 g"}},
		{"rate", "1.500 g/hL", []string{"1.5 g/hL", "1500 g/hL"}}, {"span", "1.500 h", []string{"1.5 h", "1500 h"}},
		{"ntu", "1.200", []string{"1.2", "1200"}}, {"plain", "25.000", []string{"25", "25000"}},
	} {
		_, err := fields[c.field](c.text, Habit{})
		asked(t, err, c.options...)
		for _, o := range c.options {
			_, err := fields[c.field](o, Habit{})
			assert.NoError(t, err, o)
		}
	}
	for _, c := range []struct {
		field, text string
		want        float64
	}{
		{"rate", "0.134", 0.134}, {"rate", "0,134", 0.134}, {"dens", "1.083", 1.083}, {"dens", "1,083", 1.083},
		{"dens", "1083", 1.083},
		{"temp", "13.500", 13.5}, {"temp", "13,500", 13.5}, {"brix", "21.500", 21.5}, {"volume", "138.125 hL", 13812.5},
		{"grapes", "14.600 t", 14600}, {"volume", "4.0000 L", 4}, {"volume", "4 000 L", 4000}, {"volume", "4.00 L", 4},
	} {
		for _, d := range []Decimal{"", "ask"} {
			got, err := fields[c.field](c.text, Habit{Decimal: d})
			require.NoError(t, err, c.text)
			assert.InDelta(t, c.want, got, 1e-9, c.text)
		}
	}
}

// TestTheHousesDecimalSign: a house that has named it is not asked, the other sign
// parts thousands; in US units it is the point.
func TestTheHousesDecimalSign(t *testing.T) {
	point, comma, us := Habit{Decimal: Point}, Habit{Decimal: Comma}, US.Habit()
	for _, c := range []struct {
		h     Habit
		field string
		text  string
		want  float64
	}{
		{point, "volume", "4.000 L", 4}, {point, "volume", "4,000 L", 4000}, {comma, "volume", "4.000 L", 4000},
		{comma, "volume", "4,000 L", 4},
		{us, "grapes", "16,200 lb", 7348.196394}, {us, "grapes", "16.200 lb", 7.348196394}, {us, "grapes",
			"1,016,200.5 kg", 1016200.5},
		{point, "grapes", "14,600.5 kg", 14600.5}, {comma, "grapes", "14.600,5 kg", 14600.5}, {comma, "grapes",
			"1.014.600 kg", 1014600},
		{comma, "volume", "1.5 L", 1.5}, {point, "volume", "1,5 L", 1.5}, {comma, "dens", "1.083", 1.083},
		{comma, "rate", "0.134", 0.134},
		{comma, "temp", "13.500", 13.5}, {Habit{US, Comma}, "volume", "4.000 L", 4000},
	} {
		got, err := fields[c.field](c.text, c.h)
		require.NoError(t, err, "%v %s", c.h, c.text)
		assert.InDelta(t, c.want, got, 1e-6, "%v %s", c.h, c.text)
	}
	for text, h := range map[string]Habit{"1.500,5 L": point, "1,500.5 L": comma, "1.500.000 g": us, "1,500 L": {US,
		"ask"}} {
		_, err := h.Volume(text)
		_, errMass := h.Mass(text, Gram)
		assert.True(t, isAsk(err) || isAsk(errMass), text)
	}
	var d Decimal
	for text, want := range map[string]Decimal{",": Comma, "comma": Comma, "Point": Point, ".": Point, "ask": "ask",
		"": ""} {
		require.NoError(t, d.UnmarshalText([]byte(text)))
		assert.Equal(t, want, d)
	}
	sentence(t, d.UnmarshalText([]byte(";")))
}

func isAsk(err error) bool { _, ok := err.(*AskError); return ok }

// What the program writes for a hand to change can be typed again in every house.
func TestWhatIsProposedCanBeTyped(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := Habit{rapid.SampledFrom([]System{Metric, US}).Draw(t, "units"), rapid.SampledFrom([]Decimal{"", Point,
			Comma, "ask"}).Draw(t, "decimal")}
		r := Rate{Value: float64(rapid.Int64Range(1, 1e8).Draw(t, "rate")) / 1e4, Unit: GPerHL}
		got, err := h.Rate(ToType(r.String()), "")
		require.NoError(t, err)
		require.Equal(t, r, got)
	})
	for text, want := range map[string]string{"14.625 kg": "14.6250 kg", "-1.500": "-1.5000", "0.134 g": "0.134 g",
		"1.5 L": "1.5 L", "1500.125": "1500.125", "x": "x", "": ""} {
		assert.Equal(t, want, ToType(text))
	}
}
