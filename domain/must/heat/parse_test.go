package heat_test

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/must/heat"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/testdata/tables"
)

// TestPublishedPowerUnits checks the factors of power and energy of the table.
func TestPublishedPowerUnits(t *testing.T) {
	source, rows := tables.Published(t, "unit_factors.csv")
	got := map[string]float64{"1 kWh>MJ": heat.Energy(3600).MJ()}
	for name, typed := range map[string]string{"1 ton refrigeration>kW": "1 TR",
		"1 kfrig/h (1000 kcal_IT/h)>kW": "1000 kcal/h"} {
		p, err := heat.ParsePower(typed, quantity.Habit{})
		require.NoError(t, err)
		got[name] = float64(p)
	}
	checked, worst := 0, 0.0
	for _, r := range rows {
		x, ok := got[r["from"]+">"+r["to"]]
		if !ok {
			continue
		}
		off := math.Abs(x - tables.Number(t, r["factor"]))
		require.LessOrEqual(t, off, 5.1e-8, r["from"])
		checked, worst = checked+1, max(worst, off)
	}
	require.Equal(t, len(got), checked)
	t.Logf("source: %s; rows %d of %d (power and energy); worst error %.1e", source, checked, len(rows), worst)
}

func TestParsePower(t *testing.T) {
	for in, want := range map[string]float64{"25kW": 25, "25": 25, "2,5 kW": 2.5, "2500 W": 2.5,
		"12000 BTU/h": 3.5168528, "1 TR": 3.5168528, "1 kfrig/h": 1.163, "1 hp": 0.7457} {
		p, err := heat.ParsePower(in, quantity.Habit{})
		require.NoError(t, err, in)
		assert.InDelta(t, want, float64(p), 5e-5, in)
	}
	for _, in := range []string{"", "kW", "0", "-1 kW", "7 tons", "1e3 kW", "NaN", "9999999 MW"} {
		_, err := heat.ParsePower(in, quantity.Habit{})
		require.Error(t, err, in)
		assert.Regexp(t, `^Type a power .*\.$`, err.Error())
	}
	_, err := heat.ParsePower("1,500 kW", quantity.Habit{})
	var ask *quantity.AskError
	require.ErrorAs(t, err, &ask)
	assert.Equal(t, []string{"1.5 kW", "1500 kW"}, ask.Options)
}

func FuzzParsePower(f *testing.F) {
	for _, s := range []string{"25 kW", "1,500 kW", "7 TR", "\xff", "1 kcal/h", ""} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		p, err := heat.ParsePower(s, quantity.Habit{})
		var ask *quantity.AskError
		if err == nil && !(p > 0 && p <= 1e6) || err != nil && err.Error() == "" || errors.As(err, &ask) &&
			len(ask.Options) == 0 {
			t.Fatalf("%q gives %v %v", s, p, err)
		}
	})
}
