package dose_test

import (
	"math"
	"os"
	"os/exec"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/dose"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/testdata/tables"
)

// TestPublishedGNUUnits holds doses in every unit of a label against the GNU units
// program, which knows nothing of this one. It stays within what that program is
// right about: masses, volumes and what is made of them.
func TestPublishedGNUUnits(t *testing.T) {
	program, err := exec.LookPath("units")
	if err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("GNU units is not installed: install the package units, this check may not be left out here")
		}
		t.Skip("GNU units is not installed on this machine: the check against its factors is left out")
	}
	gnu := func(from, to string) float64 {
		out, err := exec.Command(program, "--terse", "--digits", "15", from, to).CombinedOutput()
		require.NoError(t, err, "%s", out)
		return tables.Number(t, strings.TrimSpace(string(out)))
	}
	worst, rows := 0.0, 0
	check := func(want, got float64, what string) {
		off := math.Abs(got/want - 1)
		require.Less(t, off, 1e-7, what)
		worst, rows = max(worst, off), rows+1
	}
	for unit, c := range map[quantity.RateUnit]struct{ spelled, to, grams string }{
		quantity.GPerHL: {"g/hectoliter", "juice", "g"}, quantity.MgPerL: {"mg/liter", "juice", "g"},
		quantity.LbPer1000Gal: {"pound/(1000 usgallon)", "juice", "g"}, quantity.OzPer1000Gal: {"ounce/(1000 usgallon)",
			"juice", "g"},
		quantity.GPer100Kg: {"g/(100 kg)", "grapes", "g"}, quantity.GPerT: {"g/tonne", "grapes", "g"},
		quantity.LbPerShortTon: {"pound/shortton", "grapes", "g"},
		quantity.MLPerHL:       {"ml/hectoliter", "juice", "ml"}, quantity.MLPerT: {"ml/tonne", "grapes", "ml"},
		quantity.FlOzPerShortTon: {"usfloz/shortton", "grapes", "ml"},
	} {
		// So much that rounding to 0.1 g or 10 mL does not show.
		r := quantity.Rate{Value: 12_345, Unit: unit}
		var got quantity.Amount
		of := "100000 hectoliter"
		if c.to == "grapes" {
			of = "100000 tonne"
			got, err = dose.OnGrapes(100_000*quantity.Tonne, r)
		} else {
			got, err = dose.OnJuice(quantity.HL(100_000), r)
		}
		require.NoError(t, err)
		x := got.Mass.Grams()
		if c.grams == "ml" {
			x = float64(got.Volume) / float64(quantity.Millilitre)
		}
		check(gnu("12345 "+c.spelled+" * "+of, c.grams), x, string(unit))
	}
	for typed, spelled := range map[string]string{"1000000 US gal": "1000000 usgallon",
		"1000000 imp gal": "1000000 brgallon", "5 hL": "5 hectoliter"} {
		check(gnu(spelled, "liter"), volume(t, typed).Litres(), typed)
	}
	for typed, spelled := range map[string]string{"1000000 lb": "1000000 pound", "1000000 oz": "1000000 ounce",
		"1000 short tons": "1000 shortton", "1000 long tons": "1000 longton", "3 t": "3 tonne"} {
		check(gnu(spelled, "g"), mass(t, typed).Grams(), typed)
	}
	t.Logf("source: GNU units; rows %d; worst relative error %.1e", rows, worst)
}
