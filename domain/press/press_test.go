package press_test

import (
	"errors"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"cellar.example/mustwatch/domain/press"
	"cellar.example/mustwatch/domain/quantity"
)

var evening = time.Date(2026, 9, 24, 0, 0, 0, 0, time.UTC)

func tonnes(x float64) quantity.Mass { return quantity.Kilograms(x * 1000) }

// TestPublishedPressVectors is C18 to C26 and C39, computed by the formula of each.
func TestPublishedPressVectors(t *testing.T) {
	fill, err := press.Fill(tonnes(18.8), tonnes(22))
	require.NoError(t, err)
	require.InDelta(t, 85, float64(fill), 0.5) // C18

	filled := evening.Add(18*time.Hour + 50*time.Minute)
	end, free, err := press.Cycle{Programme: span(120), Stops: span(55), Empty: span(15), Rinse: span(20)}.Ends(filled)
	require.NoError(t, err)
	require.Equal(t, "21:45 22:20", end.Format("15:04")+" "+free.Format("15:04")) // C19

	for y, want := range map[press.Yield]float64{580: 109.0, 140: 26.3} { // C20
		v, err := y.From(tonnes(18.8))
		require.NoError(t, err)
		require.InDelta(t, want, v.HL(), 0.05)
	}
	y, err := press.Of(quantity.HL(135.4), tonnes(18.8)) // C21
	require.NoError(t, err)
	require.InDelta(t, 7.20, y.HLPerTonne(), 0.005)
	require.InDelta(t, 172.6, y.GalPerShortTon(), 0.05)

	// C22
	b, err := press.Pressing{Grapes: tonnes(18.8), Stems: tonnes(0.75), Juice: quantity.HL(135.4),
		Density: 1.090}.Balance()
	require.NoError(t, err)
	require.InDelta(t, 14.76, b.Juice.Tonnes(), 0.005)
	require.InDelta(t, 3.29, b.Pomace.Tonnes(), 0.005)
	require.InDelta(t, 17.5, float64(b.PomaceShare), 0.05)

	r, err := press.Racking{From: quantity.HL(214), To: []quantity.Volume{quantity.HL(165), quantity.HL(33.5)},
		Lees: quantity.HL(14), Loss: quantity.HL(1.5)}.Balance()
	require.NoError(t, err)
	require.Zero(t, r.Missing)                          // C23
	require.InDelta(t, 6.5, float64(r.LeesShare), 0.05) // C24
	f, err := press.Racking{From: quantity.HL(168), To: []quantity.Volume{quantity.HL(154.5)}}.Balance()
	require.NoError(t, err)
	require.InDelta(t, 92.0, float64(f.ClearShare), 0.05) // C25
	p, err := press.PumpTime(quantity.HL(198.5), quantity.HL(180))
	require.NoError(t, err)
	require.InDelta(t, 66, p.Duration().Minutes(), 0.5) // C26
	n, err := press.Turning(tonnes(120), 720, quantity.HL(230), quantity.Span(20*time.Hour))
	require.NoError(t, err)
	require.InDelta(t, 3.1, n, 0.05) // C39
	t.Log("source: C18–C26 and C39, computed by the formula of each; rows 10; worst error within the last " +
		"printed digit")
}

func span(minutes int) quantity.Span { return quantity.Span(time.Duration(minutes) * time.Minute) }

// TestPublishedYields checks yields that stand in print. Sources: T18 rule for a
// regulated press (4000 kg give 2050 + 500 L, read second-hand), T20 115 kg of
// grapes to 65–85 L of must (read), 150 gal/short ton (Cornell CALS 2011, read), the
// yield handbook of a US extension, 100–120 gal (read), and the exact units.
func TestPublishedYields(t *testing.T) {
	worst := 0.0
	for _, c := range []struct {
		litres, kg, want, within float64
	}{{2550, 4000, 637.5, 1e-9}, {2050, 4000, 512.5, 1e-9}, {500, 4000, 125, 1e-9}, {65, 115, 565, 1}, {85, 115, 739,
		1}, {100, 115, 870, 1}} {
		y, err := press.Of(quantity.HL(c.litres/100), quantity.Kilograms(c.kg))
		require.NoError(t, err)
		require.InDelta(t, c.want, float64(y), c.within)
		worst = max(worst, math.Abs(c.want-float64(y)))
	}
	for in, want := range map[string]float64{"150 gal/short ton": 626, "100 US gal/short ton": 417,
		"120 gal/short ton": 501, "160 gal/short ton": 667.6, "72 %": 720, "7.2 hL/t": 720} {
		y, err := press.ParseYield(in, quantity.Metric.Habit())
		require.NoError(t, err)
		require.InDelta(t, want, float64(y), 0.5, in)
		worst = max(worst, math.Abs(want-float64(y)))
	}
	t.Logf("source: T18 and T20 (read, second-hand), Grapes 101 of Cornell CALS 2011 (read), extension booklet "+
		"(read), exact units; rows 12; worst error %.2f L/t", worst)
}

func TestPressRefuses(t *testing.T) {
	for name, f := range map[string]func() error{
		"no grapes":  func() error { _, err := press.Of(quantity.HL(1), 0); return err },
		"too much":   func() error { _, err := press.Of(quantity.HL(100), tonnes(1)); return err },
		"too little": func() error { _, err := press.Of(quantity.HL(0.1), tonnes(1)); return err },
		"tank":       func() error { _, err := press.Racking{}.Balance(); return err },
		"negative": func() error {
			_, err := press.Racking{From: 5,
				To: []quantity.Volume{-1}}.Balance()
			return err
		},
		"density": func() error {
			_, err := press.Pressing{Grapes: tonnes(1),
				Juice: quantity.HL(7)}.Balance()
			return err
		},
		"more out": func() error {
			_, err := press.Pressing{Grapes: tonnes(1), Stems: tonnes(0.5), Juice: quantity.HL(7),
				Density: 1.09}.Balance()
			return err
		},
		"rated":     func() error { _, err := press.Fill(1, 0); return err },
		"gain":      func() error { _, err := press.Gain(0, 1); return err },
		"cycle":     func() error { _, _, err := press.Cycle{Programme: -1}.Ends(evening); return err },
		"pump":      func() error { _, err := press.PumpTime(1, 0); return err },
		"slow pump": func() error { _, err := press.PumpTime(quantity.HL(1e6), 1); return err },
		"turning":   func() error { _, err := press.Turning(tonnes(1), 720, 0, 1); return err },
		"from":      func() error { _, err := press.Yield(math.NaN()).From(tonnes(1)); return err },
	} {
		err := f()
		require.Error(t, err, name)
		assert.Regexp(t, `^[A-Z][^\n]*\.$`, err.Error(), name)
	}
	b, err := press.Pressing{Grapes: tonnes(10), Stems: tonnes(0.4), Juice: quantity.HL(70), Density: 1.09,
		Pomace: tonnes(1.9)}.Balance()
	require.NoError(t, err)
	assert.InDelta(t, 0.07, b.Missing.Tonnes(), 1e-9)
	g, err := press.Gain(quantity.HL(100), quantity.HL(117))
	require.NoError(t, err)
	assert.InDelta(t, 17, float64(g), 1e-9)
	assert.Equal(t, "7.20 hL/t", press.Yield(720).Text(quantity.Metric))
	assert.Equal(t, "172.6 gal/short ton", press.Yield(720).Text(quantity.US))
}

func TestParseYield(t *testing.T) {
	for _, in := range []string{"170 gal/ton", "700 L/ton"} {
		_, err := press.ParseYield(in, quantity.Metric.Habit())
		var ask *quantity.AskError
		require.ErrorAs(t, err, &ask, in)
	}
	y, err := press.ParseYield("170 gal/ton", quantity.US.Habit())
	require.NoError(t, err)
	assert.InDelta(t, 709, float64(y), 0.5)
	for _, in := range []string{"", "720", "L/t", "20 L/t", "2 t/L", "-720 L/t"} {
		_, err := press.ParseYield(in, quantity.Metric.Habit())
		require.Error(t, err, in)
	}
	rapid.Check(t, func(t *rapid.T) {
		want := float64(rapid.IntRange(50, 1000).Draw(t, "L/t"))
		got, err := press.ParseYield(press.Yield(want).String(), quantity.Metric.Habit())
		if err != nil || float64(got) != want {
			t.Fatalf("%v became %v", want, got)
		}
	})
}

func FuzzParseYield(f *testing.F) {
	for _, s := range []string{"720 L/t", "170 gal/ton", "72 %", "\xff", "/", "5 gal/"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		y, err := press.ParseYield(s, quantity.Metric.Habit())
		var ask *quantity.AskError
		if err == nil && !(y >= 50 && y <= 1000) || err != nil && err.Error() == "" || errors.As(err, &ask) &&
			len(ask.Options) == 0 {
			t.Fatalf("%q gives %v %v", s, y, err)
		}
	})
}

// The whole folder of published tables names its sources.
func TestPublishedTablesNameTheirSource(t *testing.T) {
	files, err := os.ReadDir("../../testdata/published")
	require.NoError(t, err)
	for _, f := range files {
		text, err := os.ReadFile("../../testdata/published/" + f.Name())
		require.NoError(t, err)
		require.Regexp(t, `^# source: .{20}`, string(text[:min(len(text), 200)]), f.Name())
	}
	t.Logf("source: the first line of each table; rows %d; worst error 0", len(files))
}

// TestPublishedYieldUnits checks the factors of yield of the table.
func TestPublishedYieldUnits(t *testing.T) {
	text, err := os.ReadFile("../../testdata/published/unit_factors.csv")
	require.NoError(t, err)
	y, err := press.ParseYield("160 gal/short ton", quantity.Metric.Habit())
	require.NoError(t, err)
	for row, got := range map[string]float64{
		`"1 US gal/short ton","L/t","4.1727022"`:         float64(y) / 160,
		`"1 L/100 kg","US gal/short ton","2.3965285"`:    press.Yield(100).GalPerShortTon() / 10,
		`"1 US ton grapes at 160 gal/ton","L/t","667.6"`: math.Round(float64(y)*10) / 10,
	} {
		require.Contains(t, string(text), row)
		require.Contains(t, row, `"`+strings.TrimRight(strconv.FormatFloat(got, 'f', 7, 64), "0")+`"`)
	}
	t.Log("source: unit_factors.csv (GNU units 2.22, exact units); rows 3; worst error within the last printed digit")
}

// Gallons rounded to the millilitre each are no missing juice.
func TestRoundingIsNothingMissing(t *testing.T) {
	gal := func(x float64) quantity.Volume { return quantity.HL(x * 3.785411784 / 100) }
	b, err := press.Racking{From: gal(1900), To: []quantity.Volume{gal(1850)}, Lees: gal(50)}.Balance()
	require.NoError(t, err)
	require.Zero(t, b.Missing)
	b, err = press.Racking{From: gal(1900), To: []quantity.Volume{gal(1850)}, Lees: gal(49.9)}.Balance()
	require.NoError(t, err)
	require.InDelta(t, 0.3785, b.Missing.Litres(), 0.002)
}
