package cellar_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
)

// A turbidity is put beside the house's own band, its edges within it; a house
// written down before there was a band has the usual one.
func TestTurbidityBesideTheBand(t *testing.T) {
	for ntu, want := range map[float64]string{
		152: "152 NTU: in the house band 100–200", 100: "100 NTU: in the house band 100–200",
		200: "200 NTU: in the house band 100–200",
		99:  "99 NTU: below the house band 100–200", 201: "201 NTU: above the house band 100–200",
	} {
		require.Equal(t, want, cellar.DefaultLimits().Band(ntu))
	}
	h := openHouse(t)
	require.NoError(t, h.hear(`18:00 MA {"do":"house","limits":{"ntu_low":50,"ntu_high":120}}`))
	require.Equal(t, "152 NTU: above the house band 50–120", h.s.House.Limits.Band(152))
}
