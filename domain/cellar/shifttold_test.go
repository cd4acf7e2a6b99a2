package cellar_test

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// An emergency that stands is told to the one who takes over, like an open alarm.
func TestAnEmergencyIsToldAtTheHandover(t *testing.T) {
	h := openHouse(t)
	h.say(t, shiftToSix, `05:30 NS {"do":"gas","place":"cellar","co2":25000,"meter":"G2"}`)
	require.Len(t, h.s.Emergencies(at("05:50")), 1)
	key := h.s.Emergencies(at("05:50"))[0].Key()
	h.refused(t, `05:50 MA {"do":"shift-end","to":"NS"}`, "told", "open and not told to NS: "+key)
	h.say(t, `05:50 MA {"do":"shift-end","to":"NS","told":["`+key+`"]}`)
	require.Contains(t, h.said("house"), "told of "+key)
}

// The worst reading of a shift is not hidden by a better one after it.
func TestTheWorstGasOfTheShiftIsKept(t *testing.T) {
	h := openHouse(t)
	h.say(t, `20:00 NS {"do":"gas","place":"cellar","co2":9000,"o2":20.1,"meter":"G2"}`,
		`21:00 NS {"do":"gas","place":"cellar","co2":800,"o2":20.9,"meter":"G2"}`)
	w, ok := h.s.GasWorst("Cellar", at("19:00"))
	require.True(t, ok)
	require.Equal(t, "CO2 9000 ppm, O2 20.1 %", w.Air())
	w, _ = h.s.GasWorst("cellar", at("20:30"))
	require.Equal(t, "CO2 800 ppm, O2 20.9 %", w.Air(), "of the time that is asked about")
}
