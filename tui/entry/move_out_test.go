package entry_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/tui/intent"
)

// What leaves the house is picked in the move form, with all that is left proposed.
func TestAMoveOutOfTheHouse(t *testing.T) {
	h := newHouse(t)
	h.at("21:15")
	e := h.open(intent.FormMove, "101")
	e.Form.Focus("out")
	h.types(e, "t")
	assert.Equal(t, "214.0", e.Form.Value("out_volume"))
	e.Form.Focus("out_to")
	h.types(e, "plate K 41")
	assert.Empty(t, e.Form.Value("loss"))
	c := h.typed(e, "<enter>").(*cellar.Move)
	require.NotNil(t, c.Out)
	assert.Equal(t, cellar.Sent{As: cellar.OutTanker, Volume: c.Out.Volume, To: "plate K 41"}, *c.Out)
	assert.Equal(t, 214.0, c.Out.Volume.HL())
	assert.Empty(t, c.To)
	assert.Contains(t, screen(e, 80, 24), "Out of the house")
}

// A clean tank that was cleaned long ago is rinsed again at the keys.
func TestACleanTankIsRinsedAgain(t *testing.T) {
	h := newHouse(t)
	e := h.open(intent.FormStage, "103")
	assert.Contains(t, screen(e, 100, 30), "empty clean, rinsed again")
	c := h.typed(e, "8yyy<enter>").(*cellar.SetStage)
	assert.Equal(t, []cellar.CleanStep{cellar.Rinsed, cellar.Drained, cellar.LookedInto}, c.SeenTo)
}
