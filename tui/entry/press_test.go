package entry_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"cellar.example/mustwatch/tui/intent"
)

// At the end of a programme only what is not there yet is asked for, and the form says
// what is.
func TestTheEndOfAProgrammeAsksForWhatIsNotThere(t *testing.T) {
	h := newHouse(t)
	h.pressing("P2")
	e := h.open(intent.FormPress, "P2")
	h.types(e, "e")
	shown := screen(e, 80, 30)
	assert.Contains(t, shown, "Pressings ")
	assert.Contains(t, shown, "free run: none saved in 103 yet (press f)")

	h.lines(`{"do":"juice","by":"TQ","press":"P2","volume":"80 hL","closed":true}
{"do":"juice","by":"TQ","press":"P2","share":"pressings","volume":"20 hL"}`)
	e = h.open(intent.FormPress, "P2")
	h.types(e, "e")
	shown = screen(e, 80, 30)
	assert.NotContains(t, shown, "Pressings ")
	assert.Contains(t, shown, "free run: 80.0 hL saved")
	assert.Contains(t, shown, "pressings: 20.0 hL saved")
	assert.NotContains(t, shown, "No volume of pressings is given")
}

// A press that stands says since when it stopped.
func TestTheFormOfAPressSaysSinceWhenItStopped(t *testing.T) {
	h := newHouse(t)
	h.pressing("P2")
	h.at("18:40")
	h.lines(`{"do":"press-stop","by":"TQ","press":"P2","reason":"belt"}`)
	assert.Contains(t, screen(h.open(intent.FormPress, "P2"), 80, 30), "P2 stopped since 18:40")
}
