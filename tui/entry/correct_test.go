package entry_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/tui/intent"
)

// What the cursor stands on comes first, however much was written elsewhere since,
// and apart from the rest: the first figure never puts another tank right.
func TestCorrectBeginsWithWhatTheCursorStandsOn(t *testing.T) {
	h := newHouse(t)
	h.lines(`{"do":"reading","by":"MA","vessel":"104","temp":"13 °C"}`)
	for range 16 {
		h.now = h.now.Add(time.Minute)
		h.lines(`{"do":"reading","by":"MA","vessel":"102","temp":"14 °C"}`)
	}
	list := func(on string) string { return screen(h.open(intent.FormCorrect, on), 80, 30) }
	assert.NotContains(t, list(""), "104")
	shown := list("104")
	assert.Contains(t, shown, "104, newest first")
	assert.Contains(t, shown, "1 104: temp 13.0 °C, reading, 18:00 MA")
	assert.Less(t, strings.Index(shown, "104: volume"), strings.Index(shown, " elsewhere"))
	assert.Less(t, strings.Index(shown, " elsewhere"), strings.Index(shown, "102"))
	c := h.typed(h.open(intent.FormCorrect, "104"), "112.5<enter>").(*cellar.Correct)
	assert.Equal(t, cellar.TankNumber("104"), c.Vessel)
	assert.True(t, strings.HasPrefix(c.Value, "12.5"))
	assert.Contains(t, list("103"), "nothing saved about 103; elsewhere, newest first")
}

// A press has what went into it and what ran out of it.
func TestCorrectOnAPressBeginsWithItsFillsAndJuice(t *testing.T) {
	h := newHouse(t)
	h.pressing("P2")
	h.lines(`{"do":"juice","by":"TQ","press":"P2","volume":"20 hL"}`)
	h.lines(`{"do":"reading","by":"MA","vessel":"102","temp":"14 °C"}`)
	shown := screen(h.open(intent.FormCorrect, "P2"), 80, 30)
	assert.Contains(t, shown, "P2, newest first")
	assert.Contains(t, shown, "1 103: volume 20.0 hL, in from P2, 18:00 TQ")
	assert.Contains(t, shown, "2 P2: mass 20400 kg, load 0409, 18:00 TQ")
	assert.Contains(t, shown, "take it back, or change its time")
	assert.Contains(t, shown, "3 P2: programme W-120 started, 18:00 TQ")
	c := h.typed(h.open(intent.FormCorrect, "P2"), "219500<enter>").(*cellar.Correct)
	assert.Equal(t, "19500 kg", c.Value)
	h.write(c)
	p, _ := h.s.Press("P2")
	assert.Equal(t, "19500 kg", p.Mass().String())
}

// A bare figure has the unit of what stands there, the field says which, and nothing
// of a figure is rounded away.
func TestACorrectionKeepsTheUnitOfWhatStands(t *testing.T) {
	h := newHouse(t)
	h.lines(`{"do":"dose","by":"MA","vessel":"209","product":"BEN","rate":"100 g/hL","amount":"16 kg","happened":true}`)
	e := h.open(intent.FormCorrect, "209")
	h.types(e, "1<tab>")
	assert.NotContains(t, screen(e, 80, 30), "already")
	assert.Regexp(t, `New value +16\|_+ kg`, screen(e, 80, 30))
	c := h.typed(e, "15.1250<enter>").(*cellar.Correct)
	assert.Equal(t, "amount", c.Field)
	h.write(c)
	assert.Equal(t, "15.125 kg", h.vessel("209").Now.Doses[0].Drawn.String())
	assert.True(t, slices.ContainsFunc(slices.Collect(h.s.LatestEvents),
		func(e cellar.Event) bool { return strings.Contains(e.Text, "16 kg → 15.1250 kg") }))
	shown := screen(h.open(intent.FormCorrect, "209"), 80, 30)
	assert.Contains(t, shown, "1 209: amount 15.1250 kg, BEN, 18:00 MA")
	c = h.typed(h.open(intent.FormCorrect, "209"), "115200 g<enter>").(*cellar.Correct)
	assert.Equal(t, "15200 g", c.Value, "a unit that was typed is the one meant")
}
