package entry_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/tui/intent"
)

// A dose that went in a while ago is offered what was in the tank and what was read
// then; a reading that stands written is not written a second time.
func TestALateDoseIsOfferedWhatWasKnownThen(t *testing.T) {
	h := newHouse(t)
	h.pressing("P2")
	h.at("20:50")
	h.lines(`{"do":"juice","by":"TQ","press":"P2","volume":"71 hL"}
{"do":"reading","by":"NS","vessel":"103","temp":"13 °C"}`)
	h.at("21:10")
	h.lines(`{"do":"juice","by":"TQ","press":"P2","volume":"47.3 hL","closed":true}`)
	h.at("21:40")
	h.lines(`{"do":"reading","by":"NS","vessel":"103","temp":"16 °C"}`)
	h.at("21:45")
	e := h.open(intent.FormDose, "103")
	assert.Equal(t, "118.3", e.Form.Value("volume"))
	assert.Equal(t, "16.0", e.Form.Value("temp"))
	e.Form.Focus("at")
	h.types(e, "45min ago")
	assert.Equal(t, "71.0", e.Form.Value("volume"))
	assert.Equal(t, "13.0", e.Form.Value("temp"))
	assert.Contains(t, screen(e, 100, 30), "saved by 21:00, more was still running in")
	assert.Contains(t, screen(e, 100, 30), "(read 20:50)")
	e.Form.Focus("product")
	c := h.typed(e, "2204<tab>2<enter>").(*cellar.GiveDose)
	assert.Nil(t, c.Temp, "it was read at ten to nine and stands so")
	temps := h.vessel("103").Now.Temps
	h.write(c)
	assert.Equal(t, "142 g", h.vessel("103").Now.Doses[0].Drawn.String())
	assert.Equal(t, temps, h.vessel("103").Now.Temps)

	e = h.open(intent.FormDose, "103")
	e.Form.Focus("at")
	h.types(e, "2030")
	assert.Empty(t, e.Form.Value("temp"))
	assert.Empty(t, e.Form.Value("volume"))
	assert.Contains(t, screen(e, 100, 30), "no volume is saved for 20:30: type it")
}

// Typed, the same figure is a reading of its own.
func TestATemperatureTypedIsRead(t *testing.T) {
	h := newHouse(t)
	h.lines(`{"do":"reading","by":"NS","vessel":"104","temp":"13 °C"}`)
	h.now = h.now.Add(5 * time.Minute)
	e := h.open(intent.FormDose, "104")
	require.Equal(t, "13.0", e.Form.Value("temp"))
	c := h.typed(e, "2204<tab>2<tab>13.0<enter>").(*cellar.GiveDose)
	require.NotNil(t, c.Temp)
	assert.Equal(t, 13.0, float64(*c.Temp))
}
