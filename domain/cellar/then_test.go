package cellar_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/quantity"
)

// TestALateDoseIsReckonedOnWhatWasThere: juice that came after it had none of it, and
// a temperature read since was not its temperature.
func TestALateDoseIsReckonedOnWhatWasThere(t *testing.T) {
	h := openHouse(t)
	h.say(t, inP1...)
	h.say(t, pressed[0], `21:30 NS {"do":"juice","press":"P1","volume":"71 hL"}`,
		`22:10 NS {"do":"juice","press":"P1","volume":"47.3 hL","closed":true}`,
		`22:20 NS {"do":"reading","vessel":"103","temp":"46 °C"}`)
	v, _ := h.s.Vessel("103")
	then, known := v.Then(at("21:40"))
	require.True(t, known)
	require.Equal(t, quantity.HL(71), then.Volume)
	require.True(t, then.Open)
	_, known = v.Then(at("21:00"))
	require.False(t, known, "it filled, and nobody had written how much")

	late := func(clock, more string) string {
		return `22:30 NS {"do":"dose","at":"2026-09-24T` + clock +
			`:00+02:00","vessel":"103","product":"E-1","rate":"2 g/hL"` + more + `}`
	}
	require.ErrorContains(t, h.hear(late("21:00", "")), "volume: the record does not say what 103 held at 21:00; "+
		"type the volume")
	h.say(t, late("21:40", "")) // 46 °C, read since, is over the card's ceiling and would have stopped it
	x := v.Now.Doses[0]
	require.Equal(t, "142 g", x.Drawn.String(), "2 g/hL on 71 hL")
	require.Equal(t, quantity.HL(71), x.Treated)

	h = openHouse(t)
	h.say(t, inP1...)
	h.say(t, pressed[0], `21:30 NS {"do":"juice","press":"P1","volume":"71 hL"}`,
		`22:10 NS {"do":"juice","press":"P1","volume":"47.3 hL","closed":true}`)
	h.say(t, late("21:00", `,"volume":"60 hL"`),
		late("21:40", `,"volume":"110 hL","answers":[{"rule":"H07","by":"MA","second":"NS","reason":"x"}]`))
	require.ErrorContains(t, h.hear(late("21:40", `,"volume":"140 hL"`)),
		"103 holds 118.3 hL; a dose for 140.0 hL is too much")
}
