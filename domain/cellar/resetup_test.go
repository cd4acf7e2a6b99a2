package cellar_test

import (
	"testing"

	"github.com/stretchr/testify/require"

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
