package quantity

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

func TestBesideShowsTheDigitThatDecides(t *testing.T) {
	two := func(a, b string) string { return a + " | " + b }
	for _, c := range []struct{ got, want string }{
		{two(Rate{5.04, GPerHL}.Beside(Rate{5, GPerHL})), "5.04 g/hL | 5 g/hL"},
		{two(Rate{7, GPerHL}.Beside(Rate{6, GPerHL})), "7.0 g/hL | 6 g/hL"},
		{two(Rate{5, GPerHL}.Beside(Rate{5, GPerHL})), "5.0 g/hL | 5 g/hL"},
		{two(Rate{6.01, GPerHL}.Beside(Rate{0.5, LbPer1000Gal})), "0.502 lb/1000 gal | 0.5 lb/1000 gal"},
		{two(Rate{60.2, MgPerL}.Beside(Rate{6, GPerHL})), "6.02 g/hL | 6 g/hL"},
		{two(Rate{3, GPer100Kg}.Beside(Rate{5, GPerHL})), "3 g/100 kg | 5 g/hL"},
		{two(HL(212.54).Beside(HL(212.5), Metric)), "212.54 hL | 212.50 hL"},
		{two(HL(213).Beside(HL(212.5), Metric)), "213.0 hL | 212.5 hL"},
		{two(HL(212.53).Beside(HL(212.52), US)), "5614.4 gal | 5614.2 gal"},
		{two(Volume(3_843_000).Beside(3_840_000, Metric)), "3.843 L | 3.840 L"},
		{two(Kilograms(2.524).Beside(Kilograms(2.52), Metric)), "2.524 kg | 2.520 kg"},
		{two(Kilograms(2.524).Beside(Kilograms(2.522), US)), "5.564 lb | 5.560 lb"},
		{two(Amount{Mass: Grams(156.04)}.Beside(Amount{Mass: Grams(156)}, Metric)), "156.04 g | 156.00 g"},
		{two(Amount{Volume: 60_040 * Millilitre}.Beside(Amount{Volume: 60 * Litre}, Metric)), "60.04 L | 60.00 L"},
		{two(Amount{Volume: 392 * Millilitre}.Beside(Amount{Mass: Grams(392)}, Metric)), "392 mL | 392 g"},
		{two(Celsius(45.04).Beside(45, Metric)), "45.04 °C | 45.00 °C"},
		{two(Celsius(45.01).Beside(45, US)), "113.02 °F | 113.00 °F"},
		{two(Percent(85.04).Beside(85)), "85.04 % | 85 %"},
		{two(Percent(92).Beside(85)), "92 % | 85 %"},
	} {
		assert.Equal(t, c.want, c.got)
	}
}

// Whatever two volumes, masses or temperatures: they read the same only if they
// are, and the greater never reads as the smaller.
func TestBesideNeverReadsAlike(t *testing.T) {
	size := func(t *rapid.T, text string, parse func(string) (float64, error)) float64 {
		x, err := parse(strings.Replace(text, "gal", "US gal", 1))
		if err != nil {
			t.Fatalf("%q: %v", text, err)
		}
		return x
	}
	rapid.Check(t, func(t *rapid.T) {
		sys := rapid.SampledFrom([]System{Metric, US}).Draw(t, "house")
		n := rapid.Int64Range(0, 50_000_000).Draw(t, "count")
		off := rapid.Int64Range(0, 2000).Draw(t, "more")
		for _, c := range []struct {
			write func(a, b int64) (string, string)
			parse func(string) (float64, error)
		}{
			{func(a, b int64) (string, string) { return Volume(a).Beside(Volume(b), sys) },
				func(s string) (float64, error) {
					v, err := (Habit{Decimal: Point}).Volume(s)
					return float64(v),
						err
				}},
			{func(a, b int64) (string, string) { return Mass(a).Beside(Mass(b), sys) },
				func(s string) (float64, error) {
					m, err := (Habit{Decimal: Point}).Mass(s, 0)
					return float64(m),
						err
				}},
			{func(a, b int64) (string, string) {
				return Amount{Volume: Volume(a)}.Beside(Amount{Volume: Volume(b)}, sys)
			}, func(s string) (float64, error) {
				if strings.HasSuffix(s, " g") { // none of a product is "0 g"
					return 0, nil
				}
				v, err := (Habit{Decimal: Point}).Volume(s)
				return float64(v), err
			}},
			{func(a, b int64) (string, string) { return Celsius(float64(a)/1e6).Beside(Celsius(float64(b)/1e6), sys) },
				func(s string) (float64, error) {
					c, err := (Habit{Decimal: Point}).Celsius(s)
					return float64(c),
						err
				}},
		} {
			more, less := c.write(n+off, n)
			x, y := size(t, more, c.parse), size(t, less, c.parse)
			if off == 0 && more != less || off > 0 && more == less || x < y {
				t.Fatalf("%d and %d more read %q and %q", n, off, less, more)
			}
		}
	})
}

// Something never reads as nothing.
func TestSmallFiguresNeverReadAsNone(t *testing.T) {
	for grams, want := range map[float64]string{0.6: "0.021 oz", 0.1: "0.0035 oz", 28.349523125: "1 oz", 156: "5.5 oz",
		384: "13.5 oz", 4000: "141.1 oz", 4535.9237: "10.0 lb", 0: "0 oz", -0.6: "-0.021 oz"} {
		assert.Equal(t, want, Grams(grams).Ounces(), grams)
	}
	for rate, want := range map[Rate]string{{0.02, GPerHL}: "0.0017 lb/1000 gal", {1.5, GPerHL}: "0.125 lb/1000 gal",
		{0.0001, GPerT}: "0.0000002 lb/short ton"} {
		assert.Equal(t, want, rate.Text(US), rate.String())
	}
	rapid.Check(t, func(t *rapid.T) {
		m := Mass(rapid.Int64Range(1, 1000).Draw(t, "mg"))
		if strings.HasPrefix(m.Ounces(), "0 ") {
			t.Fatalf("%d mg read %q", m, m.Ounces())
		}
	})
}
