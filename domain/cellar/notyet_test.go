package cellar_test

import (
	"errors"
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/quantity"
)

var (
	// floated101 is in its flotation run until 01:10, rises from 01:00.
	floated101 = append(append([]string{}, negative101...), `23:50 NS {"do":"stage","vessel":"101",`+
		`"stage":"flotation","for":"1h20","bar":5}`)
	capOn101 = append(append([]string{}, floated101...), `01:00 NS {"do":"stage","vessel":"101",`+
		`"stage":"float cap forming","for":"1h30"}`)
)

// TestNotYetIsAskedAtTheMove: what the board calls not yet is asked about when
// it is moved, planned, begun or done, for every vessel through the night.
func TestNotYetIsAskedAtTheMove(t *testing.T) {
	notYet := 0
	for _, clock := range []string{"19:00", "21:05", "22:30", "00:30", "02:22", "03:40", "04:30", "05:45"} {
		h := nightUntil(t, clock)
		now := nightAt(clock)
		for _, v := range h.s.Vessels() {
			if v.Now.Stage.Empty() || v.Now.Volume < 2*quantity.Hectolitre {
				continue
			}
			all := h.s.Steps(v, "MA", now)
			if step := all[len(all)-1]; step.May || step.Rule == "H15" {
				continue
			}
			notYet++
			to := []cellar.Portion{{Vessel: other(h.s, v), Volume: quantity.Hectolitre}}
			for name, c := range map[string]cellar.Command{
				"planned": &cellar.Move{Head: cellar.Head{By: "MA"}, From: v.Number, To: to, Part: true},
				"begun":   &cellar.StartMove{Head: cellar.Head{By: "MA"}, From: v.Number, To: to},
				"done": &cellar.Move{Head: cellar.Head{By: "MA", Happened: true}, From: v.Number, To: to,
					Part: true},
			} {
				var needs *cellar.Needs
				_, err := cellar.Decide(h.s, c, now)
				require.Truef(t, errors.As(err, &needs), "%s %s %s: %v", clock, v.Number, name, err)
				require.True(t, asksNotYet(needs), "%s %s %s: %v", clock, v.Number, name, err)
			}
		}
	}
	require.Greater(t, notYet, 30, "fills, contacts, checks, runs, caps and settlings of a whole night")
}

// other is a vessel with room that is not the one.
func other(s *cellar.State, not *cellar.Vessel) cellar.TankNumber {
	for _, v := range s.Vessels() {
		if v != not && v.Brim-v.Now.Volume > 5*quantity.Hectolitre {
			return v.Number
		}
	}
	return ""
}

func asksNotYet(n *cellar.Needs) bool {
	for _, f := range n.Findings {
		if f.Rule == "D04" || f.Rule == "D20" || f.Rule == "W04" {
			return true
		}
	}
	return false
}

// TestWrittenLateIsHeldAgainstThen: a move that was done while the run went on is
// asked about though the cap has risen since, and one done before it is not.
func TestWrittenLateIsHeldAgainstThen(t *testing.T) {
	late := func(clock string) string {
		return fmt.Sprintf(`01:20 NS {"do":"move","from":"101","to":[{"vessel":"103","volume":"10 hL"}],"part":true,`+
			`"happened":true,"at":"2026-09-2%s:00+02:00"}`, clock)
	}
	h := openHouse(t)
	h.say(t, capOn101...)
	got := h.asked(t, late("5T00:55"))
	require.Equal(t, "101 is not ready to move: the flotation is running: end run at 01:10.", got["D20"])
	require.NotContains(t, got, "D04", "the cap's clock did not run yet")
	require.Contains(t, h.asked(t, late("5T01:10"))["D04"], "rack not before 02:30 (float cap forming)")
	require.NoError(t, h.hear(late("4T23:48")), "it was free of pectin and nothing ran")

	h = openHouse(t)
	h.say(t, capOn101...)
	h.say(t, late("5T01:10")[:len(late("5T01:10"))-1]+`,"answers":[{"rule":"D04"}]}`)
	require.Equal(t, "D04", string(h.s.Answered[len(h.s.Answered)-1].Rule))
}
