package cellar_test

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/stage"
)

// TestWeighedAndPoured: what is weighed leaves the stock at once, is asked for
// until it is poured, and is not counted again then.
func TestWeighedAndPoured(t *testing.T) {
	h := openHouse(t)
	p, _ := h.s.Product("E-1")
	v, _ := h.s.Vessel("101")
	h.say(t, `21:40 NS {"do":"weighed","vessel":"101","product":"E-1","rate":"2 g/hL","temp":"14 °C","second":"MA"}`)
	require.Equal(t, "1.6 kg", p.Open.String())
	require.Empty(t, v.Now.Doses)
	require.Equal(t, stage.Waiting, v.Now.Stage, "no contact before it is in")
	due := h.s.ClocksOf(h.s.Known("101"))[0]
	require.Equal(t, "101 pour E-1", due.Subject.Name+" "+due.Says())
	require.Equal(t, "weighed 21:40, 400 g", h.s.Words(due.Basis))
	require.False(t, due.Raised(at("21:50")))
	require.True(t, h.s.Next(at("21:56"))[0].Raised)
	st := h.s.StandingOf(v, at("21:56"))
	require.Equal(t, "pour E-1", st.Text)
	require.Equal(t, cellar.MarkOver, st.Mark)
	steps := h.s.Steps(v, "NS", at("21:56"))
	require.Contains(t, steps[len(steps)-1].Why, "E-1 weighed for it at 21:40 is not poured.")

	require.ErrorContains(t, h.hear(`21:57 MA {"do":"weighed","vessel":"101","product":"E-1","rate":"2 g/hL"}`),
		"E-1 for 101 has been weighed since 21:40 by NS")
	h.say(t, `22:00 NS {"do":"dose","vessel":"101","product":"E-1"}`)
	require.Equal(t, "1.6 kg", p.Open.String(), "not counted again")
	require.Equal(t, "400 g", v.Now.Doses[0].Drawn.String())
	require.Equal(t, cellar.Initials("MA"), v.Now.Doses[0].Second)
	require.Empty(t, h.s.WeighedFor("101"))
	require.Equal(t, "test", h.s.ClocksOf(h.s.Known("101"))[0].Says())
	require.Equal(t, "01:00", h.s.Clock(h.s.ClocksOf(h.s.Known("101"))[0].Due), "the contact counts from the pouring")
}

// TestPouredOtherThanWeighed: the stock follows what went in.
func TestPouredOtherThanWeighed(t *testing.T) {
	h := openHouse(t)
	p, _ := h.s.Product("E-1")
	h.say(t, `21:40 NS {"do":"weighed","vessel":"101","product":"E-1","rate":"2 g/hL"}`,
		`21:45 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL","amount":"380 g"}`)
	require.Equal(t, "1.62 kg", p.Open.String())
	require.Empty(t, h.s.WeighedFor("101"))
}

// TestWeighedBack: with a reason it goes back into the tub.
func TestWeighedBack(t *testing.T) {
	h := openHouse(t)
	p, _ := h.s.Product("E-1")
	h.say(t, `21:40 NS {"do":"weighed","vessel":"101","product":"E-1","rate":"2 g/hL"}`)
	require.ErrorContains(t, h.hear(`21:45 NS {"do":"weighed-back","vessel":"101","product":"E-1"}`), "reason: say why")
	h.say(t, `21:50 NS {"do":"weighed-back","vessel":"101","product":"E-1","reason":"too cold, warmed first"}`)
	require.Equal(t, "2 kg", p.Open.String())
	require.Empty(t, h.s.ClocksOf(h.s.Known("101")))
	all := h.s.EventsOf(h.s.Known("101"))
	require.Contains(t, all[len(all)-1].Text, "400 g E-1 weighed back, not poured: too cold, warmed first")
}

// TestRulesAreAskedWhereItIsWeighed: and not a second time where it is poured.
func TestRulesAreAskedWhereItIsWeighed(t *testing.T) {
	h := openHouse(t)
	h.say(t, dosed101...)
	var needs *cellar.Needs
	require.ErrorAs(t, h.hear(`21:00 NS {"do":"weighed","vessel":"101","product":"E-1","rate":"2 g/hL"}`), &needs)
	require.Equal(t, []string{"H07"}, codes(needs))
	h.say(t, `21:00 NS {"do":"weighed","vessel":"101","product":"E-1","rate":"2 g/hL","answers":[{"rule":"H07",`+
		`"by":"MA","second":"NS","reason":"positive"}]}`,
		`21:10 NS {"do":"dose","vessel":"101","product":"E-1"}`)
	require.Len(t, h.s.Answered, 1)
}

// TestAnOlderHouseHasATimeToPour: limits written before there was this one do
// not make every weighing overdue at once.
func TestAnOlderHouseHasATimeToPour(t *testing.T) {
	h := openHouse(t)
	h.s.House.Limits.PourWithin = 0
	h.say(t, `21:40 NS {"do":"weighed","vessel":"101","product":"E-1","rate":"2 g/hL"}`)
	require.Equal(t, 15*time.Minute, h.s.ClocksOf(h.s.Known("101"))[0].Due.Sub(at("21:40")))
}

// TestStockIsSaidOneDoseAhead: what is left is said with the dose after which
// there is not one more like it, and stands on the sheet.
func TestStockIsSaidOneDoseAhead(t *testing.T) {
	h := openHouse(t)
	h.say(t, `20:00 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL"}`)
	require.NotContains(t, h.said("101"), "less than", "1.6 kg are left after 400 g")
	h.say(t, `20:05 NS {"do":"tub","product":"E-1","count":"700 g"}`,
		`20:50 NS {"do":"weighed","vessel":"101","product":"E-1","rate":"2 g/hL","answers":[{"rule":"H07","by":"MA",`+
			`"second":"NS","reason":"positive"}]}`)
	require.Contains(t, h.said("101"), "not poured yet; 300 g left in the open container of E-1, less than one more "+
		"dose, 2 sealed")
	h.say(t, `20:55 NS {"do":"dose","vessel":"101","product":"E-1"}`)
	require.Equal(t, 2, strings.Count(h.said("101"), "300 g left in the open container of E-1"))
}
