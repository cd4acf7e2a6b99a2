package must_test

import (
	"errors"
	"math"
	"os"
	"os/exec"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"cellar.example/mustwatch/domain/must"
	"cellar.example/mustwatch/domain/must/strength"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/testdata/tables"
)

func abv(x float64) strength.ABV { return strength.ABV(x) }

func TestParseReading(t *testing.T) {
	for in, want := range map[string]must.Reading{
		"60oe": {Value: 60, Scale: must.Oechsle}, "60 °Oe": {Value: 60, Scale: must.Oechsle}, "21.5 brix": {Value: 21.5,
			Scale: must.Brix},
		"21,5°Bx": {Value: 21.5, Scale: must.Brix}, "1.090 sg": {Value: 1.09, Scale: must.SG}, "1,090 SG": {Value: 1.09,
			Scale: must.SG},
		"1090sg": {Value: 1.09, Scale: must.SG}, "1.088 kg/L": {Value: 1.088, Scale: must.Density},
		"1088 g/L":   {Value: 1.088, Scale: must.Density},
		"1088 kg/m³": {Value: 1.088, Scale: must.Density}, "203 g/L": {Value: 203, Scale: must.Sugar},
		"203 g/L sugar": {Value: 203, Scale: must.Sugar},
		"190 g/kg":      {Value: 190, Scale: must.SugarPer}, "12 bé": {Value: 12, Scale: must.Baume},
		"12be": {Value: 12,
			Scale: must.Baume}, "17 KMW": {Value: 17, Scale: must.KMW},
	} {
		got, err := must.ParseReading(in, quantity.Habit{})
		require.NoError(t, err, in)
		assert.Equal(t, want.Scale, got.Scale, in)
		assert.InDelta(t, want.Value, got.Value, 1e-12, in)
		again, err := must.ParseReading(got.String(), quantity.Habit{})
		require.NoError(t, err, got.String())
		assert.Equal(t, got.Scale, again.Scale)
	}
	for in, options := range map[string][]string{
		"21.5": {"21.5 brix", "21.5 kmw", "21.5 bé", "21.5 oe"}, "1.090": {"1.090 brix", "1.090 kmw", "1.090 bé",
			"1.090 sg", "1.090 kg/L"},
		"90": {"90 oe"}, "1,500 oe": {"1.5 oe", "1500 oe"}, "220": {"220 g/L sugar"},
	} {
		_, err := must.ParseReading(in, quantity.Habit{})
		var ask *quantity.AskError
		require.ErrorAs(t, err, &ask, in)
		assert.Equal(t, options, ask.Options, in)
	}
	for _, in := range []string{"", "brix", "21 cups", "600 g/L", "NaN brix", "1e3 oe", "700", "-90000 oe",
		strings.Repeat("1", 200) + " oe"} {
		_, err := must.ParseReading(in, quantity.Habit{})
		require.Error(t, err, in)
		assert.Regexp(t, `^[A-Z"].*\.$`, err.Error(), in)
	}
}

// What no must reads, and what no table holds, is refused with a sentence that says
// what would be taken.
func TestConvertRefuses(t *testing.T) {
	for _, r := range []must.Reading{
		{Value: -1, Scale: must.Brix}, {Value: 96, Scale: must.Brix}, {Value: 1.3, Scale: must.SG},
		{Value: 0.9, Scale: must.Density},
		{Value: 300, Scale: must.Oechsle}, {Value: -1, Scale: must.Baume}, {Value: 60, Scale: must.KMW},
		{Value: 20, Scale: must.Sugar},
		{Value: 399, Scale: must.Sugar}, {Value: math.NaN(), Scale: must.Brix}, {Value: math.Inf(1), Scale: must.SG},
		{Value: 1},
	} {
		_, err := must.Convert(r)
		require.Error(t, err, "%+v", r)
		assert.Regexp(t, `^(Type|No table) .*\.$`, err.Error())
	}
	s := convert(t, 5, must.Brix)
	assert.False(t, s.Sugar.Known)
	assert.Contains(t, s.Sugar.Basis, "no table of must")
	_, err := must.Potential(s, must.By1683)
	assert.ErrorContains(t, err, "No table of must")
	_, err = must.Potential(convert(t, 20, must.Brix), "by guess")
	assert.Error(t, err)
	light := convert(t, 0.995, must.SG)
	assert.False(t, light.Baume.Known)
	assert.True(t, light.Oechsle.Known)
	for _, bad := range []quantity.PH{2.4, 4.6, quantity.PH(math.NaN())} {
		_, err := must.FreeFor(0.8, bad, must.CautiousPKa)
		assert.Error(t, err)
	}
	_, err = must.HotVolume(quantity.HL(1), 19)
	assert.Error(t, err)
	_, err = must.SucroseSG(96)
	assert.Error(t, err)
	_, err = must.PKaAt(16, 20)
	assert.Error(t, err)
}

// What is converted to any scale and back is what it was, as far as its scale is
// read, and nothing that is no number comes out.
func TestConvertRoundTrips(t *testing.T) {
	scales := []must.Scale{must.Brix, must.SG, must.Density, must.Oechsle, must.Baume, must.KMW, must.Sugar,
		must.SugarPer}
	rapid.Check(t, func(t *rapid.T) {
		b := rapid.Float64Range(8.01, 31.99).Draw(t, "brix")
		s, err := must.Convert(must.Reading{Value: b, Scale: must.Brix})
		if err != nil {
			t.Fatal(err)
		}
		to := rapid.SampledFrom(scales).Draw(t, "scale")
		f := s.In(to)
		back, err := must.Convert(must.Reading{Value: f.Value, Scale: to})
		if err != nil || !f.Known {
			t.Fatal(err)
		}
		for _, scale := range scales {
			if x, y := s.In(scale).Value, back.In(scale).Value; math.Abs(x-y) > 1e-6*max(1, math.Abs(x)) {
				t.Fatalf("%s: %g became %g over %s", scale, x, y, to)
			}
		}
	})
}

func TestNothingThatIsNoNumberComesOut(t *testing.T) {
	odd := []float64{math.NaN(), math.Inf(1), math.Inf(-1), 0, -1, 1e300, 1.09, 20}
	for _, x := range odd {
		for _, scale := range []must.Scale{must.Brix, must.SG, must.Density, must.Oechsle, must.Baume, must.KMW,
			must.Sugar, must.SugarPer} {
			s, err := must.Convert(must.Reading{Value: x, Scale: scale})
			if err != nil {
				continue
			}
			for _, to := range []must.Scale{must.Brix, must.SG, must.Density, must.Oechsle, must.Baume, must.KMW,
				must.Sugar, must.SugarPer} {
				f := s.In(to)
				assert.False(t, math.IsNaN(f.Value) || math.IsInf(f.Value, 0), "%g %s", x, scale)
			}
		}
		for _, y := range odd {
			f, err := must.FreeFor(must.MgL(x), quantity.PH(y), must.CautiousPKa)
			assert.True(t, err != nil || !math.IsNaN(float64(f)) && !math.IsInf(float64(f), 0))
			rho, err := must.SucroseDensity(quantity.Brix(x), quantity.Celsius(y))
			assert.True(t, err != nil || rho > 900 && rho < 2000)
		}
	}
}

func FuzzParseReading(f *testing.F) {
	for _, s := range []string{"60oe", "21,5 °Brix", "1,090", "1.090 sg", "203 g/L", "\xff", "1e9 oe", "−5 oe", "١ oe",
		"1 090 kg/m³", "12 bé"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		r, err := must.ParseReading(s, quantity.Habit{})
		if err != nil {
			var ask *quantity.AskError
			if err.Error() == "" || errors.As(err, &ask) && len(ask.Options) == 0 {
				t.Fatalf("%q: an error that says nothing", s)
			}
			return
		}
		if math.IsNaN(r.Value) || math.IsInf(r.Value, 0) || r.Scale == "" {
			t.Fatalf("%q gives %+v", s, r)
		}
		_, _ = must.Convert(r)
	})
}

// TestPublishedGNUUnits holds the table of sucrose against the GNU units program,
// which carries it on its own. Its brix() is a density in air, SG × 0.99717 g/cm³.
func TestPublishedGNUUnits(t *testing.T) {
	program, err := exec.LookPath("units")
	if err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("GNU units is not installed: install the package units, this check may not be left out here")
		}
		t.Skip("GNU units is not installed on this machine: the check against its table of sucrose is left out")
	}
	worst := 0.0
	for b := 0; b <= 95; b += 5 {
		out, err := exec.Command(program, "--terse", "--digits", "12", "brix("+strconv.Itoa(b)+")",
			"g/cm^3").CombinedOutput()
		require.NoError(t, err, string(out))
		rho := tables.Number(t, regexp.MustCompile(`[0-9.]+`).FindString(string(out)))
		sg, err := must.SucroseSG(quantity.Brix(b))
		require.NoError(t, err)
		worst = max(worst, math.Abs(rho/0.99717-sg))
	}
	require.Less(t, worst, 2e-5)
	t.Logf("source: GNU units, brix(), after NBS C440; rows 20; worst error %.1e SG", worst)
}
