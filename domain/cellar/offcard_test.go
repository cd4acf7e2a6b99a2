package cellar_test

import (
	"errors"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
)

// TestOffTheCardTheClockStands: below the card's floor nobody can say when to test, and
// somebody is called for that; warm again it is due no earlier than by the coldest row,
// in whatever order the readings were saved.
func TestOffTheCardTheClockStands(t *testing.T) {
	off, warm := `20:00 NS {"do":"reading","vessel":"101","temp":"9 °C"}`,
		`20:30 NS {"do":"reading","vessel":"101","temp":"14 °C"}`
	h := openHouse(t)
	h.say(t, dose101)
	require.Equal(t, "21:05", dueOf(t, h, "101"))
	h.say(t, off)
	k := h.s.ClocksOf(h.s.Known("101"))
	require.Len(t, k, 1)
	require.Equal(t, cellar.CannotTell, k[0].Verb)
	require.Equal(t, "9.0 °C is off the card", h.s.Words(k[0].Basis))
	require.NotEmpty(t, h.s.Alarms(at("20:01")), "somebody is called")
	v, _ := h.s.Vessel("101")
	require.Equal(t, "no test time at this temperature: warm it or ask", h.s.StandingOf(v, at("20:10")).Text)
	h.say(t, warm)
	require.Equal(t, "22:35", dueOf(t, h, "101"), "4 h of the coldest row, and half an hour off the card")
	require.Equal(t, "test", h.s.ClocksOf(h.s.Known("101"))[0].Says())

	h = openHouse(t)
	h.say(t, dose101, warm)
	require.NoError(t, h.late(t, "20:40", off))
	require.Equal(t, "22:35", dueOf(t, h, "101"))
}

// TestNoReadingOutsideWhatJuiceCanHave is refused at the field in which it was typed.
func TestNoReadingOutsideWhatJuiceCanHave(t *testing.T) {
	h := openHouse(t)
	h.say(t, dose101)
	for line, field := range map[string]string{
		`20:00 NS {"do":"reading","vessel":"101","temp":"-8 °C"}`:                                           "temp",
		`20:00 NS {"do":"dose","vessel":"102","product":"E-1","rate":"2 g/hL","temp":"120 °C"}`:             "temp",
		`20:00 NS {"do":"correct","of":16,"vessel":"101","field":"temp","value":"-8 °C","reason":"typing"}`: "value",
	} {
		var no *cellar.Rejection
		require.True(t, errors.As(h.hear(line), &no), line)
		require.Equal(t, field, no.Field, line)
		require.Contains(t, no.Message(), "cannot be", line)
	}
	h = &house{t: t, s: cellar.NewState(), now: sixPM}
	for _, l := range smallHouse[:len(smallHouse)-1] {
		require.NoError(t, h.line(l))
	}
	require.ErrorContains(t, h.line(strings.Replace(smallHouse[len(smallHouse)-1], "13.5 °C", "-13.5 °C", 1)),
		"101: -13.5 °C cannot be")
}
