package cellar_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
)

// Item 4 of the nights: a vessel is divided into lots from empty to empty, each with what it
// held last and with when; on day 60 of a harvest no page is longer than its lot.
func TestAVesselsPageIsOfItsLot(t *testing.T) {
	h := after(t, longHarvest(), 60)
	v, _ := h.s.Vessel("101")
	var lots []cellar.Lot
	for lot := range h.s.Lots(v) {
		lots = append(lots, lot)
	}
	require.Greater(t, len(lots), 15, "settled a load and was emptied, day after day")
	for i, lot := range lots {
		n := 0
		for e := range h.s.LatestOf(v.Ref()) {
			if lot.Holds(e.At) {
				n++
			}
		}
		require.Less(t, n, 25, "of lot %d", i)
		if i == 0 {
			require.False(t, lot.Past())
			continue
		}
		require.True(t, lot.Past())
		require.Equal(t, lot.Until, lots[i-1].From, "one begins where the other ends")
		require.Positive(t, lot.Vessel.Now.Volume)
		require.Len(t, lot.Vessel.Now.Parts, 1, "of one load")
	}
	require.NotEqual(t, lots[1].Vessel.Now.Parts[0].Load, lots[2].Vessel.Now.Parts[0].Load)
	require.True(t, lots[len(lots)-1].From.IsZero())
	first, ok := h.s.LotBack(v, len(lots)-1)
	require.True(t, ok)
	require.Equal(t, lots[len(lots)-1].Until, first.Until)
	_, ok = h.s.LotBack(v, len(lots))
	require.False(t, ok)
}
