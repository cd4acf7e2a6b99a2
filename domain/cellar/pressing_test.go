package cellar_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
)

func pressOf(t *testing.T, h *house, p cellar.Plate) *cellar.Press {
	t.Helper()
	x, ok := h.s.Press(p)
	require.True(t, ok, p)
	return x
}

// TestAPressGoesOnWithWhatItDid: whatever it was doing when it came to stand, a
// second stop or not.
func TestAPressGoesOnWithWhatItDid(t *testing.T) {
	const (
		stop = `22:50 NS {"do":"press-stop","press":"P1","reason":"noise"}`
		lock = `22:51 NS {"do":"press-stop","press":"P1","reason":"fitter","locked":true}`
		goes = `22:55 NS {"do":"press-go","press":"P1"}`
	)
	run := append(append([]string{}, inP1...), `21:00 NS {"do":"press-start","press":"P1","programme":"W-120","main":"103","fraction":"401"}`)
	ended := append(append([]string{}, run...), `22:45 NS {"do":"juice","press":"P1","share":"fraction","volume":"20 hL","end":true}`)
	for _, c := range []struct {
		given []string
		as    cellar.PressState
		says  string
	}{
		{nil, cellar.PressReady, "ready again, stood 5 min"},
		{inP1[:2], cellar.PressFilling, "goes on filling, stood 5 min"},
		{inP1, cellar.PressFull, "full again, stood 5 min"},
		{run, cellar.PressRunning, "runs again after 5 min"},
		{ended, cellar.PressEmptying, "goes on emptying, stood 5 min"},
	} {
		t.Run(string(c.as), func(t *testing.T) {
			h := openHouse(t)
			h.say(t, append(append([]string{}, c.given...), stop, lock, goes)...)
			require.Equal(t, c.as, pressOf(t, h, "P1").State)
			require.Contains(t, h.said("P1"), c.says)
		})
	}
}

// TestNoProgrammeOnNothing: an empty press that is said to fill is free with one
// word, and starts nothing.
func TestNoProgrammeOnNothing(t *testing.T) {
	h := openHouse(t)
	require.ErrorContains(t, h.hear(`22:00 NS {"do":"press-start","press":"P1","programme":"W-120","main":"103","fraction":"401"}`), "P1 is ready and holds nothing")
}
