package cellar_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
)

const (
	dose101  = `18:05 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL","temp":"14 °C"}`
	dose102  = `18:06 NS {"do":"dose","vessel":"102","product":"E-1","rate":"2 g/hL","temp":"14 °C"}`
	check101 = `22:00 NS {"do":"check","vessel":"101"}`
	clear101 = `22:05 NS {"do":"check-read","vessel":"101","sample":"clear","control":"flocs"}`
	float101 = `22:20 NS {"do":"stage","vessel":"101","stage":"flotation"}`
	onto101  = `{"do":"move","from":"102","to":[{"vessel":"101","volume":"5 hL"}],"part":true,"blend":true}`
	again101 = `{"do":"dose","vessel":"101","product":"E-1","rate":"1 g/hL","answers":[{"rule":"H07","by":"MA","second":"NS","reason":"meant"}]}`
)

func vesselOf(t *testing.T, h *house, p cellar.Plate) *cellar.Vessel {
	t.Helper()
	v, ok := h.s.Vessel(p)
	require.True(t, ok, p)
	return v
}

// What came into a vessel after its sample was drawn was not in the tube: the
// check says nothing of it, whatever it was.
func TestACheckStandsOnlyForWhatItSaw(t *testing.T) {
	for name, between := range map[string]string{
		"treated juice":                          `22:01 MA ` + onto101,
		"treated juice in the minute it began":   `22:00 MA ` + onto101,
		"enzyme in the minute in which it began": `22:00 NS ` + again101,
	} {
		t.Run(name, func(t *testing.T) {
			h := openHouse(t)
			h.say(t, dose102, dose101, check101, between, clear101)
			require.Zero(t, vesselOf(t, h, "101").Now.PectinGone)
			require.ErrorContains(t, h.hear(float101), "H09")
		})
	}
	h := openHouse(t)
	h.say(t, dose102, dose101, `21:59 MA `+onto101, check101, clear101, float101)
}
