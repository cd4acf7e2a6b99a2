package strength_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/must/strength"
	"cellar.example/mustwatch/testdata/tables"
)

// TestPublishedFlashPoints is T32 and the rows about it; between two rows it is
// the stronger one's.
func TestPublishedFlashPoints(t *testing.T) {
	source, rows := tables.Published(t, "ethanol_flash_point.csv")
	require.Len(t, rows, 7)
	for _, r := range rows {
		at := tables.Number(t, r["percent"])
		c, known, err := strength.FlashPoint(strength.ABV(at))
		require.NoError(t, err)
		require.True(t, known)
		require.Equal(t, tables.Number(t, r["flash_celsius"]), c, "%v %%", at)
		if at > 10 {
			weaker, _, err := strength.FlashPoint(strength.ABV(at - 0.5))
			require.NoError(t, err)
			require.Equal(t, c, weaker, "a little weaker than %v %%", at)
		}
	}
	_, known, err := strength.FlashPoint(9.9)
	require.NoError(t, err)
	require.False(t, known, "weaker than what is printed")
	for _, wrong := range []strength.ABV{-0.1, 100.1} {
		_, _, err := strength.FlashPoint(wrong)
		require.EqualError(t, err, "A strength is from 0 to 100 % vol.")
	}
	t.Logf("source: %s; rows %d; worst error 0 °C", source, len(rows))
}
