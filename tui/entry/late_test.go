package entry_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/tui/intent"
)

// On a tank that is empty now a move, a dose and a check ask first when it was, and calculate
// on what it held then.
func TestFormsOnATankThatIsEmptyNowAskWhenFirst(t *testing.T) {
	h := newHouse(t)
	h.at("20:00")
	h.lines(`{"do":"move","by":"MA","from":"104","to":[{"vessel":"103","volume":"104 hL"}],"happened":true,` +
		`"answers":[{"rule":"D20"}]}`)
	h.at("21:00")
	e := h.open(intent.FormMove, "104")
	require.Equal(t, "at", e.Form.Focused())
	assert.Contains(t, screen(e, 100, 30), "empty since 20:00")
	assert.Contains(t, screen(e, 100, 30), "when it was: before 20:00")
	c := h.typed(e, "1930<tab>203<tab><enter>").(*cellar.Move)
	assert.True(t, c.Happened)
	assert.Equal(t, "19:30", h.look().State.Clock(c.At))
	assert.Equal(t, quantity.HL(104), c.Sum(), "all that it held then")

	e = h.open(intent.FormCheck, "104")
	require.Equal(t, "at", e.Form.Focused())
	k := h.typed(e, "1930<enter>").(*cellar.StartCheck)
	assert.Equal(t, "19:30", h.look().State.Clock(k.At))
}

// Tubes that were read before their tank was emptied are read at its form still.
func TestTubesOfATankThatIsEmptyNowAreRead(t *testing.T) {
	h := newHouse(t)
	h.at("20:00")
	h.lines(`{"do":"pectin-test","by":"NS","vessel":"104","source":"press juice"}`)
	h.at("20:10")
	h.lines(`{"do":"move","by":"MA","from":"104","to":[{"vessel":"103","volume":"104 hL"}],"happened":true,` +
		`"answers":[{"rule":"D20"}]}`)
	h.at("20:30")
	e := h.open(intent.FormCheck, "104")
	require.Equal(t, "at", e.Form.Focused())
	assert.Contains(t, screen(e, 100, 30), "alcohol in at 20:00")
	c := h.typed(e, "2005<tab>lf<enter>").(*cellar.ReadCheck)
	h.write(c)
	assert.Equal(t, "positive in 104", h.vessel("103").Now.BroughtLast().Say())
}
