package cellar_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/handover"
	"cellar.example/mustwatch/domain/sheet"
	"cellar.example/mustwatch/domain/subject"
)

func (h *house) inStore(id cellar.ProductID) bool {
	for _, p := range h.s.InStore() {
		if p.ID == id {
			return true
		}
	}
	return false
}

// An empty lot stood in every picker and under SHORT for the rest of the season. What was
// poured of it stays, and it comes back where some of it is found.
func TestALotEnds(t *testing.T) {
	h := openHouse(t)
	h.say(t, `19:00 MA {"do":"product","product":"B-2","name":"bentonite","class":"bentonite","unit":"g/hL",`+
		`"open":"5 kg","sealed":1,"size":"5 kg","expiry":"2026-09-30"}`)
	short := func() string { return flat(handover.Sheet(h.s, h.now, sheet.Mark{}).Short) }
	require.Contains(t, short(), "B-2")

	h.say(t, `19:10 MA {"do":"tub","product":"B-2","count":"0 g"}`)
	require.True(t, h.inStore("B-2"), "one container is sealed still")
	h.say(t, `19:20 MA {"do":"tub","product":"B-2"}`, `19:30 MA {"do":"tub","product":"B-2","count":"0 g"}`)
	require.False(t, h.inStore("B-2"))
	require.NotContains(t, short(), "B-2")
	require.ErrorContains(t, h.hear(`19:35 NS {"do":"dose","vessel":"101","product":"B-2","rate":"20 g/hL"}`),
		"counted to zero")
	h.say(t, `19:40 MA {"do":"tub","product":"B-2","count":"2 kg"}`)
	require.True(t, h.inStore("B-2"))

	h.refused(t, `19:50 MA {"do":"lot-end","product":"B-2","reason":""}`, "reason", "handed back")
	h.say(t, `19:50 MA {"do":"lot-end","product":"B-2","reason":"handed back"}`)
	require.False(t, h.inStore("B-2"))
	require.NotContains(t, short(), "B-2")
	h.refused(t, `19:55 MA {"do":"lot-end","product":"B-2","reason":"again"}`, "product", "ended at Thu 19:50")
	p, ok := h.s.Product("B-2")
	require.True(t, ok, "it stays in the book")
	require.Equal(t, "handed back", h.s.Words(p.End.Why))
	h.say(t, `20:00 MA {"do":"product","product":"B-2","name":"bentonite","class":"bentonite","unit":"g/hL"}`)
	require.False(t, h.inStore("B-2"), "a card brings nothing back")
}

// A lot that is weighed for a tank is not gone.
func TestALotThatStandsWeighedDoesNotEnd(t *testing.T) {
	h := openHouse(t)
	h.say(t, weighing)
	h.refused(t, `19:30 MA {"do":"lot-end","product":"E-1","reason":"handed back"}`, "product", "weighed for 101")
}

// A card that was saved again without its expiry lost it, and the lot never expired.
func TestACardKeepsItsExpiry(t *testing.T) {
	h := openHouse(t)
	card := func(clock, more string) string {
		return clock + ` MA {"do":"product","product":"B-2","name":"bentonite","class":"bentonite","unit":"g/hL"` +
			more + `}`
	}
	h.say(t, card("19:00", `,"open":"5 kg","expiry":"2026-09-30"`), card("19:10", ""))
	p, _ := h.s.Product("B-2")
	require.Equal(t, "2026-09-30", p.Expiry)
	require.False(t, p.Expires.IsZero())
	h.say(t, card("19:20", `,"expiry":"none"`))
	p, _ = h.s.Product("B-2")
	require.Empty(t, p.Expiry)
	require.True(t, p.Expires.IsZero())
	h.refused(t, card("19:30", `,"expiry":"soon"`), "expiry", "none")
}

// What is past its expiry is asked about until somebody ends the lot.
func TestAnExpiredLotIsAskedAbout(t *testing.T) {
	h := openHouse(t)
	h.say(t, `19:00 MA {"do":"product","product":"B-2","name":"bentonite","class":"bentonite","unit":"g/hL",`+
		`"open":"5 kg","expiry":"2026-09-25"}`)
	asks := func(now time.Time) bool {
		for _, d := range h.s.Next(now) {
			if d.Subject == subject.Of(subject.Product, "B-2") && d.Notice == "expired" {
				return true
			}
		}
		return false
	}
	later := at("19:00").Add(48 * time.Hour)
	require.False(t, asks(at("20:00")))
	require.True(t, asks(later))
	h.say(t, `20:00 MA {"do":"lot-end","product":"B-2","reason":"handed back"}`)
	require.False(t, asks(later))
}
