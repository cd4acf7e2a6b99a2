package cellar_test

import (
	"errors"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/room"
	"cellar.example/mustwatch/domain/stage"
)

// TestWhereJuiceCanGo: the vessels that take juice are of the right use, clean or the
// same open lot, and nothing else is on its way into them.
func TestWhereJuiceCanGo(t *testing.T) {
	for _, c := range []struct {
		at, why string
		wanted  room.Wanted
		say     string
	}{
		{"23:40", "402 holds the same grapes, 401 and 406 do not, 405 and 407 are taken",
			room.Wanted{Share: cellar.ShareFraction, Variety: "Sauvignon", Volume: quantity.HL(26.3)},
			"fits 503 (skin contact); room: 402 8.0 hL (same grapes)"},
		{"02:10", "503 is named for P2, whose grapes are the same, and takes both",
			room.Wanted{Share: cellar.ShareFraction, From: "P1", Variety: "Sauvignon", Volume: quantity.HL(24.6)},
			"fits 503 (same grapes); room: 402 8.0 hL (same grapes)"},
		{"02:10", "503 is named for other grapes", room.Wanted{Share: cellar.ShareFraction, Variety: "Chardonnay",
			Volume: quantity.HL(25)}, "fits 403 (same grapes); room: 401 9.0 hL (same grapes)"},
		{"02:10", "103 fills with Sauvignon and no other", room.Wanted{Share: cellar.ShareMain, Variety: "Chardonnay"},
			"fits 101, 105"},
		{"02:10", "103 is open for the same grapes", room.Wanted{Share: cellar.ShareMain, From: "P1",
			Variety: "Sauvignon"}, "fits 103 (same grapes), 101, 105"},
		{"03:17", "601 still runs into 602, and 105 is clean", room.Wanted{Share: cellar.ShareMain,
			Variety: "Riesling"}, "fits 101, 105"},
		{"05:55", "no settling tank is free", room.Wanted{Share: cellar.ShareMain, Variety: "Muscat"},
			"fits 210 (fermenter)"},
		{"05:55", "nothing takes it", room.Wanted{Share: cellar.ShareFraction, Variety: "Riesling",
			Volume: quantity.HL(28.6)}, "room: K3 9.8 hL"},
	} {
		require.Equal(t, c.say, room.Say(nightUntil(t, c.at).s, c.wanted), "%s: %s", c.at, c.why)
	}
	h := nightUntil(t, "05:55")
	h.plays(t, &cellar.HoldVessel{Head: cellar.Head{By: "MA", At: nightAt("05:56")}, Vessel: "K3", Reason: "smells",
		Releaser: "OF"})
	require.Equal(t, "no tank has room", room.Say(h.s, room.Wanted{Share: cellar.ShareFraction, Variety: "Riesling",
		Volume: quantity.HL(28.6)}), "K3 is held")
}

// TestNoTakerIsAsked: at any quarter of an hour of the night, whoever writes that a
// press runs into the vessels that fit is asked nothing about them: not about what is in
// them, nor their use, nor their room.
func TestNoTakerIsAsked(t *testing.T) {
	asked := []string{"H02", "H03", "H06", "H11", "H15", "W07", "W08"}
	tried := 0
	for at := nightAt("18:15"); at.Before(nightAt("06:01")); at = at.Add(15 * time.Minute) {
		h := night{playNight(t, at)}
		for _, p := range h.s.Presses() {
			if len(p.Parts) == 0 || p.State != cellar.PressFull && p.State != cellar.PressRunning {
				continue
			}
			for _, share := range []string{cellar.ShareMain, cellar.ShareFraction} {
				w, _ := room.Wants(h.s, p, share)
				if share == cellar.ShareFraction && p.Kind == stage.HotMust {
					continue
				}
				for _, taker := range room.Takers(h.s, w) {
					if taker.Room < w.Volume {
						continue
					}
					tried++
					_, err := cellar.Decide(h.s, &cellar.PressJuiceOut{Head: cellar.Head{By: "TQ", At: at},
						Press: p.Number, To: taker.Number, Share: share, Volume: quantity.Hectolitre}, at)
					var needs *cellar.Needs
					if errors.As(err, &needs) {
						for _, f := range needs.Findings {
							require.NotContains(t, asked, string(f.Rule), "%s: %s of %s into %s: %s", h.s.Clock(at),
								share, p.Number, taker.Number, needs.Message(f))
						}
					} else {
						require.NoError(t, err)
					}
					require.Nil(t, taker.Hold)
				}
			}
		}
	}
	require.Greater(t, tried, 50)
}

// TestOneListOfJuiceWithoutATank: main juice and press fraction each stand on it until a
// tank is named, and what is named and too small does.
func TestOneListOfJuiceWithoutATank(t *testing.T) {
	list := func(at string) (out []string) {
		h := nightUntil(t, at)
		for _, x := range room.Without(h.s) {
			out = append(out, room.Brief(h.s, x))
		}
		return out
	}
	require.Equal(t, []string{"P1 free run: 103, 101 or 105?", "P1 pressings 24.6 hL to 503?"}, list("02:10"))
	require.Equal(t, []string{"P1 pressings 28.6 hL: no room", "P2 pressings 22.4 hL: no room"}, list("05:55"))
	require.Equal(t, []string{"P2 pressings 28.6 hL: 401 too small"}, list("20:50"))
	require.Empty(t, list("22:00"), "all that presses has a tank")
	h := nightUntil(t, "23:20")
	require.False(t, slices.ContainsFunc(room.Without(h.s), func(x room.Homeless) bool {
		return x.Share == cellar.ShareFraction && slices.Contains(x.From, cellar.TankNumber("P1"))
	}),
		"hot must leaves no fraction apart")
}
