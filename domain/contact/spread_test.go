package contact_test

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	. "cellar.example/mustwatch/domain/contact"
	"cellar.example/mustwatch/domain/quantity"
)

// The spread is the row's hours at the row's middle, taken to another temperature
// by each of the two published extremes of activation energy.
func TestSpread(t *testing.T) {
	at := clock(t, "20:00")
	for _, c := range []struct {
		temp   string
		middle float64
		wait   float64
		shown  bool
	}{{"12.1", 13.5, 3, true}, {"14.9", 13.5, 3, true}, {"13.5", 13.5, 3, false}, {"15.5", 17.5, 2, true}, {"8.0", 0, 0, false}} {
		r := Run{Card: demo(), Start: at, Readings: logged(t, "20:00="+c.temp)}
		early, late, ok := r.Spread(at)
		require.Equal(t, c.shown, ok, c.temp)
		if !ok {
			continue
		}
		celsius := float64(r.Readings[0].T)
		hour := func(ea float64) float64 {
			return c.wait * math.Exp(ea*1000/8.314462618*(1/(celsius+273.15)-1/(c.middle+273.15)))
		}
		low, high := min(hour(9.2), hour(80.3)), max(hour(9.2), hour(80.3))
		assert.InDelta(t, low, early.Sub(at).Hours(), 1e-3, c.temp)
		assert.InDelta(t, high, late.Sub(at).Hours(), 1e-3, c.temp)
	}
	for _, r := range []Run{{}, {Card: demo(), Start: at}, {Start: at, Readings: logged(t, "20:00=13")}, {Card: demo(), Start: at, Readings: []Reading{{At: at, T: quantity.Celsius(math.NaN())}}}} {
		_, _, ok := r.Spread(at)
		assert.False(t, ok)
	}
	// Hot: the ceiling stops both.
	_, _, ok := Run{Card: demo(), Start: at, Readings: logged(t, "20:00=46")}.Spread(at.Add(time.Hour))
	assert.False(t, ok)
}
