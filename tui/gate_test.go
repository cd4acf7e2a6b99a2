package tui_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/stage"
	"cellar.example/mustwatch/tui/tuitest"
)

// TestGoingOnIsNeverWhatEnterTakes: a question about going on stands on leaving it,
// whether it warns or stops, so a hand that presses Enter twice writes nothing.
func TestGoingOnIsNeverWhatEnterTakes(t *testing.T) {
	for _, c := range []struct{ keys, says string }{
		{"103s<right>settling<tab>no nitrogen<enter>", "look D08"},
		{"104m209<tab>1<tab><tab><tab><tab><tab><tab><tab><tab><tab>209<enter>", "stop "},
	} {
		d := sit(t, "05:55", 120, 40)
		moves := len(d.State().Moves())
		d.Press(c.keys).Shows(c.says, "[x don't do it]").Press("<enter>")
		require.Regexp(t, "^stopped: ", lastEvent(d).Text)
		require.Len(t, d.State().Moves(), moves)
		v, _ := d.State().Vessel("103")
		require.NotEqual(t, stage.Settling, v.Now.Stage)
	}
}

func lastEvent(d *tuitest.Desk) (last cellar.Event) {
	for e := range d.State().LatestEvents {
		return e
	}
	return last
}
