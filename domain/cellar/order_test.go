package cellar_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
)

func (h *house) orders(p cellar.TankNumber) int { return len(h.s.OpenOrders(p, h.now)) }

// TestAnActTicksItsOrderOff: what the winemaker has said is open until somebody
// does it, and the one who does it need not think of it.
func TestAnActTicksItsOrderOff(t *testing.T) {
	for _, c := range []struct{ name, order, act string }{
		{"float", `20:00 NS {"do":"order","act":"float","vessel":"101","from":"OF","text":"when a slot is free"}`,
			`23:50 NS {"do":"stage","vessel":"101","stage":"flotation"}`},
		{"settle", `20:00 NS {"do":"order","act":"settle","vessel":"101","from":"OF"}`,
			`23:50 NS {"do":"stage","vessel":"101","stage":"settling"}`},
		{"dose", `20:00 NS {"do":"order","act":"dose","vessel":"101","product":"S-1","from":"MA"}`,
			`23:50 NS {"do":"dose","vessel":"101","product":"S-1","rate":"3 g/hL"}`},
		{"check", `23:46 NS {"do":"order","act":"check","vessel":"101","from":"MA"}`,
			`23:50 NS {"do":"pectin-test","vessel":"101"}`},
		{"rack", `20:00 NS {"do":"order","act":"rack","vessel":"101","from":"OF"}`,
			`23:50 NS {"do":"move","from":"101","to":[{"vessel":"201","volume":"10 hL"}],"part":true}`},
	} {
		t.Run(c.name, func(t *testing.T) {
			h := openHouse(t)
			h.say(t, dosed101...)
			h.say(t, c.order)
			h.say(t, negative101[3:]...)
			require.Equal(t, 1, h.orders("101"), "other acts leave it")
			v, _ := h.s.Vessel("101")
			require.Contains(t, h.s.StandingOf(v, h.now).Text, "order")
			listed := func() (n int) {
				for _, d := range h.s.Next(h.now) {
					if d.Notice == "ordered" {
						n++
					}
				}
				return n
			}
			require.Equal(t, 1, listed(), "it stands among what is due, last and without an alarm")
			h.say(t, c.act)
			require.Zero(t, listed())
			require.Zero(t, h.orders("101"))
			require.Equal(t, "done by NS", h.s.Words(h.s.Orders[0].How))
		})
	}
}

// TestAStandingOrder holds for every dose of a lot until its end, and asks where a
// dose differs.
func TestAStandingOrder(t *testing.T) {
	h := openHouse(t)
	h.say(t, `20:00 NS {"do":"order","act":"dose","product":"E-1","rate":"1.6 g/hL","text":"tonight","from":"OF",`+
		`"until":"2026-09-25T06:00:00+02:00"}`)
	n := h.asked(t, `20:10 NS {"do":"dose","vessel":"102","product":"E-1","rate":"2.4 g/hL","temp":"14 °C"}`)
	require.Equal(t, "OF ordered dose 1.6 g/hL of E-1, tonight at 20:00; this is 2.4 g/hL.", n["D09"])
	h.say(t, `20:10 NS {"do":"dose","vessel":"102","product":"E-1","rate":"1.6 g/hL","temp":"14 °C"}`)
	require.Equal(t, 1, h.orders(""), "one dose does not end it")
	h.now = at("06:01")
	require.Zero(t, h.orders(""), "its end does")
}

func TestAnOrderIsCalledBack(t *testing.T) {
	h := openHouse(t)
	h.say(t, `20:00 NS {"do":"order","act":"float","vessel":"101","from":"OF"}`)
	id := h.s.Orders[0].ID
	require.ErrorContains(t, h.hear(`20:05 NS {"do":"order-end","order":"`+id+`","off":true}`), "cancelled")
	h.say(t, `20:05 NS {"do":"order-end","order":"`+id+`","off":true,"reason":"OF by phone: settle it"}`)
	require.ErrorContains(t, h.hear(`20:06 NS {"do":"order-end","order":"`+id+`"}`),
		"that order already ended at 20:05")
}

// TestTheRouteChanges: booked with the load, changed with a reason, and followed by
// the stage that was begun the other way.
func TestTheRouteChanges(t *testing.T) {
	h := openHouse(t)
	v, _ := h.s.Vessel("101")
	require.Empty(t, h.s.RouteOf(v), "nobody has said")
	h.say(t, `20:00 NS {"do":"route","vessel":"101","route":"float"}`)
	require.ErrorContains(t, h.hear(`20:01 NS {"do":"route","vessel":"101","route":"settle"}`), "say why it changes")
	n := h.asked(t, `20:02 NS {"do":"stage","vessel":"101","stage":"settling"}`)
	require.Contains(t, n["D08"], "The route of 101 is float")
	h.say(t, `20:03 OF {"do":"stage","vessel":"101","stage":"settling","answers":[{"rule":"D08","by":"OF",`+
		`"reason":"no nitrogen tonight"}]}`)
	v, _ = h.s.Vessel("101")
	require.Equal(t, cellar.RouteSettle, h.s.RouteOf(v))
	require.Contains(t, h.said("101"), "route: float → settle, no nitrogen tonight")
}

// TestNoControlStaysNone: a check begun without a control has no tube to read as
// flocs, so no negative comes of it; and another way of clearing wants a reason.
func TestNoControlStaysNone(t *testing.T) {
	h := openHouse(t)
	h.say(t, dosed101[0], `20:30 NS {"do":"pectin-test","vessel":"101","source":"none"}`)
	require.ErrorContains(t, h.hear(`20:35 NS {"do":"pectin-test-read","vessel":"101","sample":"clear",`+
		`"control":"flocs"}`), "choose none run, or start a new test with a control")
	h.say(t, `20:35 NS {"do":"pectin-test-read","vessel":"101","sample":"fine flocs","control":"none"}`)
	h = openHouse(t)
	h.say(t, negative101...)
	h.say(t, `23:50 NS {"do":"stage","vessel":"101","stage":"settling"}`)
	require.ErrorContains(t, h.hear(`23:55 NS {"do":"stage","vessel":"101","stage":"flotation"}`),
		"another route; say why")
	h.say(t, `23:55 NS {"do":"stage","vessel":"101","stage":"flotation","reason":"slot free"}`)
	require.ErrorContains(t, h.hear(`00:30 NS {"do":"stage","vessel":"101","stage":"flotation"}`), "second run")
}

// TestTheRouteOfTheDemoNight comes from the bookings: 0414 and 0415 in 103 are
// "white, float", 104 was filled before the night and nobody has said.
func TestTheRouteOfTheDemoNight(t *testing.T) {
	h := playNight(t, at("05:55"))
	for number, route := range map[cellar.TankNumber]cellar.Route{"103": cellar.RouteFloat, "104": ""} {
		v, _ := h.s.Vessel(number)
		require.Equal(t, route, h.s.RouteOf(v), number)
	}
	require.Empty(t, h.s.OpenOrders("102", at("05:55")), "the order of E116 ended at 04:30")
	h = playNight(t, at("02:30"))
	require.Len(t, h.s.OpenOrders("102", at("02:30")), 1)
}

// asked is what the rules ask about a line, by their codes.
func (h *house) asked(t *testing.T, line string) map[string]string {
	t.Helper()
	var needs *cellar.Needs
	require.ErrorAs(t, h.hear(line), &needs, line)
	out := map[string]string{}
	for _, f := range needs.Findings {
		out[string(f.Rule)] = needs.Message(f)
	}
	return out
}

// said is all that was written about a subject, in one text.
func (h *house) said(subject string) string {
	text := ""
	for _, e := range h.s.EventsOf(h.s.Known(subject)) {
		text += e.Text + "\n"
	}
	return text
}
