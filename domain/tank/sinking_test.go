package tank_test

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/tank"
	"cellar.example/mustwatch/testdata/tables"
)

// TestPublishedSettling is T26: Stokes' law on inputs that stand in print.
func TestPublishedSettling(t *testing.T) {
	source, rows := tables.Published(t, "settling_and_cut.csv")
	worst, n := 0.0, 0
	for _, r := range rows {
		if !strings.HasPrefix(r["case"], "T26") {
			continue
		}
		n++
		in := strings.Fields(r["input"])
		p := tank.Particle{Diameter: tables.Number(t, in[0]), Heavier: tables.Number(t, in[1]),
			Viscosity: tables.Number(t, in[2])}
		v, err := p.Sinking()
		require.NoError(t, err)
		got := 1000 * v
		if r["case"] == "T26 time" {
			down, err := p.Down(tank.Length(tables.Number(t, in[3])))
			require.NoError(t, err)
			got = down.Duration().Hours()
		}
		want := tables.Number(t, r["expected"])
		require.InDelta(t, want, got, tables.Number(t, r["tolerance"]), r["case"])
		worst = max(worst, math.Abs(got/want-1))
	}
	require.Equal(t, 2, n)
	t.Logf("source: %s; rows %d; worst error %.3f %%", source, n, 100*worst)
}

func TestSinkingRefuses(t *testing.T) {
	good := tank.Particle{Diameter: 50, Heavier: 50, Viscosity: 2}
	for says, p := range map[string]tank.Particle{
		"the particle from":  {Diameter: 0, Heavier: 50, Viscosity: 2},
		"what is lighter":    {Diameter: 50, Heavier: -1, Viscosity: 2},
		"viscosity from 0.2": {Diameter: 50, Heavier: 50, Viscosity: math.NaN()},
		"down in minutes":    {Diameter: 900, Heavier: 500, Viscosity: 1},
	} {
		_, err := p.Sinking()
		require.ErrorContains(t, err, says)
	}
	for _, h := range []tank.Length{0, -1, 31, tank.Length(math.NaN())} {
		_, err := good.Down(h)
		require.ErrorContains(t, err, "height of the juice")
	}
	_, err := tank.Particle{Diameter: 0.1, Heavier: 1, Viscosity: 100}.Down(10)
	require.ErrorContains(t, err, "more than a year")
}
