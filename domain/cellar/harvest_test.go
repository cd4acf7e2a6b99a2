package cellar_test

import (
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/show"
	"cellar.example/mustwatch/testdata/harvest"
)

// longHarvest is the harvest that lists for people are held against: sixty days, sixty
// tanks.
var longHarvest = sync.OnceValue(func() harvest.Harvest {
	return harvest.Plan{Days: 60, Tanks: 60, Presses: 2}.Make()
})

// after plays so many days of a harvest, 0 for all of it.
func after(tb testing.TB, x harvest.Harvest, days int) *house {
	tb.Helper()
	h := &house{s: cellar.NewState()}
	for i, l := range x.Lines {
		c, err := cellar.ParseLine([]byte(l))
		require.NoError(tb, err, l)
		if days > 0 && cellar.HeadOf(c).At.After(x.Opens.AddDate(0, 0, days)) {
			break
		}
		if err := h.line(l); err != nil {
			tb.Fatalf("line %d: %s\n%v", i+1, l, err)
		}
	}
	return h
}

// A harvest adds up: what was pressed stands in the vessels or has left the house, by an
// account that knows nothing of this program.
func TestAHarvestAddsUp(t *testing.T) {
	x := harvest.Plan{Days: 25, Tanks: 40, Presses: 2}.Make()
	h := after(t, x, 25)
	require.NotZero(t, x.Left)
	var stands quantity.Volume
	for _, v := range h.s.Vessels() {
		stands += v.Now.Volume
	}
	require.InDelta(t, float64(x.Juice-x.Left-x.Lost)/10, stands.HL(), 0.001)
	all := show.Cellar(h.s, h.now).Total
	require.True(t, all.AddsUp())
	require.InDelta(t, float64(x.Left)/10, float64(all.Sent)/100_000, 0.001, "out of the house")
	require.InDelta(t, float64(x.Lost)/10, float64(all.Loss)/100_000, 0.001, "and lost")
}
