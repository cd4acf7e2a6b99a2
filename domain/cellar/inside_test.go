package cellar_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
)

// TestAStickSaysAVolume: 101 of the demo night is upright with a cone and dipped
// from the top; the volume is that of plain geometry, the frustum of a cone and a
// cylinder.
func TestAStickSaysAVolume(t *testing.T) {
	h := playNight(t, at("18:00"))
	h.say(t, `18:30 NS {"do":"reading","vessel":"101","stick":"1 m","answers":[{"rule":"D11"}]}`)
	v, _ := h.s.Vessel("101")
	// 3.5 m stand in it: 0.6 m of cone (radii 0.05 and 1.4 m), 2.9 m of wall.
	// π/3·0.6·(0.05² + 0.05·1.4 + 1.4²) + π·1.4²·2.9 = 1.277 + 17.857 m³.
	require.InDelta(t, 191.34, v.Now.Last.Volume.HL(), 0.01)
	require.Contains(t, h.said("101"), "(stick 1 m)")
}

func TestWhatAVesselCannotBe(t *testing.T) {
	const x1 = `"vessel":"X1","brim":"250 hL","use":"settle",`
	for rest, field := range map[string]string{
		`"inside":{"shape":"ball"}`:                                      "inside",
		`"inside":{"shape":"upright","diameter":"2.8 m","wall":"2 m"}`:   "inside",
		`"inside":{"marks":["0 cm = 0 hL","1 m = 100 hL"]}`:              "inside",
		`"inside":{"marks":["1 m = 9 hL","4 m = 250 hL"]}`:               "inside",
		`"inside":{"marks":["0 m = 0 hL","4 m = 250 hL"],"from":"side"}`: "inside",
		`"ua_kw_k":2`:                   "coolant",
		`"ua_kw_k":-2,"coolant":"2 °C"`: "ua_kw_k",
		`"coolant":"-40 °C"`:            "coolant",
		`"jacket_kw":900`:               "jacket_kw",
	} {
		h := openHouse(t)
		c, err := cellar.ParseLine([]byte(`{"do":"vessel","by":"NS",` + x1 + rest + `}`))
		require.NoError(t, err, rest)
		_, err = cellar.Decide(h.s, c, h.now)
		var no *cellar.Rejection
		require.ErrorAs(t, err, &no, rest)
		require.Equal(t, field, no.Field, rest)
	}
	h := openHouse(t)
	for _, line := range []string{`{"do":"reading","by":"NS","vessel":"102","stick":"1 m"}`} {
		c, err := cellar.ParseLine([]byte(line))
		require.NoError(t, err)
		_, err = cellar.Decide(h.s, c, h.now)
		var no *cellar.Rejection
		require.ErrorAs(t, err, &no)
		require.Equal(t, "dip", no.Field, "no inside is known")
	}
}
