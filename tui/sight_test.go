package tui_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/tui/tuitest"
)

// TestOneKeyDerivesTheSightOnce: whatever a key does, and however many fields look
// at the cellar, what is seen is worked out once for it and the frame that follows.
func TestOneKeyDerivesTheSightOnce(t *testing.T) {
	d := sit(t, "02:10", 120, 40)
	for _, script := range []string{"<down>", "<up>", "1", "0", "2", "d", "E", "2", "<enter>", "1", "0", "<tab>",
		"<esc>", "=", "<esc>", "c", "<esc>", "b", "<esc>", "?", "<esc>", "m", "5", "<esc>"} {
		for _, key := range tuitest.Keys(t, script) {
			before := d.Root.Derived()
			d.Root.Update(key)
			_ = d.Root.View()
			require.Equal(t, 1, d.Root.Derived()-before, "key %q", script)
		}
	}
}

// TestTheSightIsOfNow: what is kept for a message is never shown after it.
func TestTheSightIsOfNow(t *testing.T) {
	d := sit(t, "02:14", 120, 40)
	d.Shows("108  Chardonnay").Hides("▲ 108")
	require.Len(t, d.Root.Sight().Alarms(), 1)
	d.Wait(time.Minute)
	require.Len(t, d.Root.Sight().Alarms(), 2, "108 came due")
	d.Press("-").Shows("no colours")
	seq := d.Root.Sight().State.Seq
	d.Press("108r").Words("14.1").Press("<enter>")
	require.Greater(t, d.Root.Sight().State.Seq, seq)
	d.Shows("14.1 °C")
}
