package press_test

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/press"
	"cellar.example/mustwatch/testdata"
)

// TestPublishedConductivity is T21: the rises of three zones and what they come to.
func TestPublishedConductivity(t *testing.T) {
	source, rows, err := testdata.Published("settling_and_cut.csv")
	require.NoError(t, err)
	for _, r := range rows {
		if r["case"] != "T21" {
			continue
		}
		var rises []float64
		for _, s := range strings.Fields(r["input"]) {
			rises = append(rises, float(t, s))
		}
		require.Equal(t, press.Rises, rises)
		off := math.Abs(press.Compound(rises...) - float(t, r["expected"]))
		require.LessOrEqual(t, off, float(t, r["tolerance"]))
		t.Logf("source: %s; rows 1; worst error %.2f points", source, off)
		return
	}
	t.Fatal("T21 is not in the table")
}

func float(t *testing.T, s string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(s, 64)
	require.NoError(t, err)
	return x
}

func TestConduction(t *testing.T) {
	for _, c := range []struct {
		now, rise float64
		zone      int
	}{{2.40, 0, 0}, {2.30, -4.17, 0}, {2.66, 10.83, 0}, {2.664, 11, 1}, {2.85, 18.75, 2}, {3.42, 42.5, 2},
		{3.43, 42.9, 3}} {
		rise, zone, err := press.Conduction(2.40, c.now)
		require.NoError(t, err)
		assert.InDelta(t, c.rise, rise, 0.05, "%v", c.now)
		assert.Equal(t, c.zone, zone, "%v", c.now)
	}
	for _, c := range [][2]float64{{2400, 2850}, {2.4, 2850}, {0, 2}, {2, math.NaN()}, {math.Inf(1), 2}, {-2, 2}} {
		_, _, err := press.Conduction(c[0], c[1])
		require.ErrorContains(t, err, "from 0.2 to 20 mS/cm", "%v", c)
	}
	_, _, err := press.Conduction(2, 9)
	require.ErrorContains(t, err, "of the same juice?")
}
