package cellar_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/handover"
	"cellar.example/mustwatch/domain/sheet"
	"cellar.example/mustwatch/domain/show"
	"cellar.example/mustwatch/domain/stage"
)

// Item 13 of the nights: a known vessel written again is changed; what the line leaves out
// stays, and the brim is never below what it held.
func TestAVesselIsChanged(t *testing.T) {
	h := openHouse(t)
	v, _ := h.s.Vessel("103")
	was := v.VesselSetup
	h.say(t, `19:00 MA {"do":"vessel","vessel":"103","row":"by the door","limit_pct":80}`)
	require.Equal(t, "by the door", v.Row)
	require.Equal(t, 80.0, v.LimitPct)
	require.Equal(t, was.Brim, v.Brim)
	require.Equal(t, was.Use, v.Use)
	h.say(t, `19:01 MA {"do":"vessel","vessel":"103","use":"ferment"}`)
	require.Equal(t, stage.UseFerment, v.Use)
	require.Equal(t, 80.0, v.LimitPct, "a limit that was typed stays")

	require.ErrorContains(t, h.hear(`19:05 MA {"do":"vessel","vessel":"101","brim":"150 hL"}`),
		"brim: 101 held 200.0 hL; a brim of 150.0 hL cannot be")
	h.say(t, `19:10 NS {"do":"move","from":"101","out":{"as":"sold","volume":"200 hL"}}`)
	require.Error(t, h.hear(`19:15 MA {"do":"vessel","vessel":"101","brim":"150 hL"}`), "its account is of 200 hL")
	h.say(t, `19:20 MA {"do":"vessel","vessel":"101","brim":"240 hL"}`)
	x, _ := h.s.Vessel("101")
	require.Equal(t, 240.0, x.Brim.HL())
	addsUp(t, show.Cellar(h.s, h.now))
}

// A vessel that is retired is on no list any more and takes nothing; what was in it counts on,
// and its number can be set up again.
func TestAVesselIsRetired(t *testing.T) {
	h := openHouse(t)
	retire := `19:05 MA {"do":"vessel","vessel":"101","retired":true}`
	require.ErrorContains(t, h.hear(retire), "retired: 101 holds")
	h.say(t, `19:10 NS {"do":"move","from":"101","out":{"as":"sold","volume":"200 hL"}}`,
		`19:15 MA {"do":"vessel","vessel":"101","retired":true}`)
	for _, v := range h.s.Vessels() {
		require.NotEqual(t, cellar.TankNumber("101"), v.Number)
	}
	require.NotContains(t, fmt.Sprint(handover.Sheet(h.s, h.now, sheet.Mark{}).Tanks), "101")
	addsUp(t, show.Cellar(h.s, h.now))
	require.ErrorContains(t, h.hear(`19:20 NS {"do":"reading","vessel":"101","temp":"9 °C"}`),
		"101 has been out of the house since")
	h.say(t, `18:50 NS {"do":"reading","vessel":"101","temp":"9 °C"}`) // of before, saved late
	h.say(t, `19:30 MA {"do":"vessel","vessel":"101","brim":"260 hL","use":"settle"}`)
	v, ok := h.s.Vessel("101")
	require.True(t, ok && v.InUse())
	h.say(t, `19:35 NS {"do":"stage","vessel":"101","stage":"empty clean","steps":["rinsed","drained","looked into"]}`)
}
