package wall

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// TestReadingDistance holds the rule against a table of four screens of 24 rows.
// Source: the rule of thumb for critical text (character height about 1/200 of
// the viewing distance, 20 to 22 minutes of arc preferred, 16 the floor). The
// heights of the screens are the geometry of 16 to 9.
func TestReadingDistance(t *testing.T) {
	const capital = 0.68 // of a row, from the table itself: 8 to 9 mm of 12.5
	for _, row := range []struct {
		inches       int
		height, cell float64 // mm
		reads        float64 // m, one row of ordinary capitals
		rowsForFive  float64 // figures needed at 5 m
	}{
		{inches: 24, height: 299, cell: 12.5, reads: 1.7, rowsForFive: 4},
		{inches: 27, height: 336, cell: 14, reads: 2.0, rowsForFive: 4},
		{inches: 32, height: 398, cell: 16.6, reads: 2.3, rowsForFive: 3},
		{inches: 43, height: 535, cell: 22, reads: 3.1, rowsForFive: 3},
	} {
		assert.InDelta(t, row.height, screenHeight(row.inches), 0.6, "%d in", row.inches)
		assert.InDelta(t, row.cell, screenHeight(row.inches)/24, 0.4, "%d in", row.inches)
		assert.InDelta(t, row.reads, metres(capital, 24, row.height), 0.1, "%d in", row.inches)
		needed := metres(row.rowsForFive, 24, row.height)
		assert.Greater(t, needed, 5.0, "%d in", row.inches)
		assert.Greater(t, eased(needed), 5.0, "with ease too")
		assert.Less(t, metres(1, 24, row.height), 5.0, "one row is not enough")
	}
	// 23 mm, the least at 5 m, is 16 minutes of arc; 25 mm are 1/200, 32 mm are 22.
	assert.InDelta(t, 5, metres(1, 1, 25), 1e-9)
	assert.InDelta(t, 5, eased(metres(1, 1, 32)), 0.01)
	assert.Zero(t, metres(4, 0, 299))
}
