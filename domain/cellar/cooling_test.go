package cellar_test

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// TestCoolingOf104 is E068 of the demo night against the vectors C27 and C28 of
// the reckoning notes: 104 hL by 5.0 K is 57.4 kWh, at 25 kW 2.30 h.
func TestCoolingOf104(t *testing.T) {
	h := playNight(t, at("22:20"))
	v, _ := h.s.Vessel("104")
	k, ok := h.s.CoolingOf(v)
	require.True(t, ok)
	require.InDelta(t, 57.4, k.Energy.KWh(), 0.05)
	require.Equal(t, "00:38", h.s.Clock(k.ByPower))
	require.True(t, k.ByFit.IsZero(), "one reading makes no line")
}

// TestCoolingByItsReadings: two readings make a line; the hour it meets the
// target is that of the line through both.
func TestCoolingByItsReadings(t *testing.T) {
	h := openHouse(t)
	h.say(t, `18:30 NS {"do":"stage","vessel":"102","stage":"settling","target":"8 °C"}`,
		`19:00 NS {"do":"reading","vessel":"102","temp":"13 °C"}`, `21:00 NS {"do":"reading","vessel":"102","temp":"12 °C"}`)
	v, _ := h.s.Vessel("102")
	k, ok := h.s.CoolingOf(v)
	require.True(t, ok)
	require.Equal(t, 2, k.Fitted)
	require.Equal(t, "05:00", h.s.Clock(k.ByFit), "half a kelvin an hour, from 12 at 21:00 to 8")
	require.True(t, k.ByPower.IsZero(), "no jacket is known")
}
