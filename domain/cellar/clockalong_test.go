package cellar_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
)

// A clock that somebody gave another due goes where its juice goes, or is said to end: it
// never vanishes without a word.

const byHand = `20:00 NS {"do":"clock-move","subject":"101","verb":"test","due":"2026-09-24T23:30:00+02:00",` +
	`"reason":"the lab comes then"}`

func allTo(when, from, to string) string {
	return fmt.Sprintf(`%s MA {"do":"move","from":%q,"to":[{"vessel":%q,"volume":"200 hL"}],"happened":true,`+
		`"answers":[{"rule":"D20"}]}`, when, from, to)
}

func TestAClockMovedByHandGoesWithItsJuice(t *testing.T) {
	h := openHouse(t)
	h.say(t, dose101, byHand)
	c, err := cellar.ParseLine([]byte(`{"do":"move","by":"MA","from":"101","to":[{"vessel":"201",` +
		`"volume":"200 hL"}],"happened":true}`))
	require.NoError(t, err)
	seen, _, err := h.s.Foresee(c, at("20:29"))
	require.NoError(t, err)
	foresaw := ""
	for _, f := range seen {
		if f.Subject.Name == "201" {
			foresaw += f.Verb + " " + h.s.Clock(f.Due) + " " + f.Basis
		}
	}
	require.Equal(t, "test 23:30 set by hand at 101: the lab comes then", foresaw)
	of := seqOf[*cellar.Moved](t, h, func() { h.say(t, allTo("20:30", "101", "201")) })
	require.Equal(t, "23:30", dueOf(t, h, "201"))
	require.Contains(t, h.said("201"), "clock: test at 23:30, set by hand at 101: the lab comes then")
	require.Contains(t, h.said("101"), "clock ends here: test at 23:30, set by hand; moved")
	h.say(t, `21:00 NS {"do":"reading","vessel":"201","temp":"9 °C"}`)
	require.Equal(t, "23:30", dueOf(t, h, "201"), "it stays where it was put")

	h.say(t, fmt.Sprintf(`21:10 NS {"do":"correct","of":%d,"vessel":"201","take_back":true,"reason":"it was 102"}`, of))
	require.Equal(t, "23:30", dueOf(t, h, "101"), "taken back, the clock is where it was")
	require.Empty(t, h.s.ClocksOf(h.s.Known("201")))
}

// Also when the move is saved after the clock was put elsewhere, and had been before.
func TestAClockMovedByHandGoesWithALateMove(t *testing.T) {
	h := openHouse(t)
	h.say(t, dose101, byHand)
	require.NoError(t, h.late(t, "20:40", allTo("19:50", "101", "201")))
	require.Equal(t, "23:30", dueOf(t, h, "201"))
}

// Where the juice comes to a contact of its own, the clock there goes by that, and it is
// said that the other ended.
func TestAClockMovedByHandIsSaidToEnd(t *testing.T) {
	h := openHouse(t)
	h.say(t, dose101, byHand, `20:10 NS {"do":"dose","vessel":"102","product":"E-1","rate":"2 g/hL","temp":"14 °C"}`)
	own := dueOf(t, h, "102")
	h.say(t, `20:20 MA {"do":"move","from":"101","to":[{"vessel":"102","volume":"60 hL"}],"part":true,"blend":true,`+
		`"happened":true,"answers":[{"rule":"D20"}]}`)
	require.Equal(t, "23:30", dueOf(t, h, "101"), "what stays keeps it")
	require.Equal(t, own, dueOf(t, h, "102"))
	h.say(t, `20:30 NS {"do":"stage","vessel":"101","stage":"empty dirty","happened":true,`+
		`"reason":"pumped to the drain","answers":[{"rule":"S02"},{"rule":"D08"}]}`)
	require.Contains(t, h.said("101"), "clock ends here: test at 23:30, set by hand; empty dirty")
}

// A contact starts with the last untreated juice, wherever its juice is moved then: it is
// never due earlier for having been pumped.
func TestAContactStartsNoEarlierElsewhere(t *testing.T) {
	h := openHouse(t)
	h.say(t, inP1...)
	h.say(t, `20:45 NS {"do":"press-start","press":"P1","programme":"W-120","free_run":"103","pressings":"401"}`,
		`21:00 NS {"do":"juice","press":"P1","volume":"50 hL"}`,
		`21:05 NS {"do":"dose","vessel":"103","product":"E-1","rate":"2 g/hL","temp":"14 °C"}`,
		`22:30 NS {"do":"juice","press":"P1","volume":"30 hL","closed":true}`)
	was := dueOf(t, h, "103")
	h.say(t, `22:40 MA {"do":"move","from":"103","to":[{"vessel":"201","volume":"80 hL"}],"happened":true,`+
		`"answers":[{"rule":"D20"}]}`)
	require.Equal(t, was, dueOf(t, h, "201"))
}
