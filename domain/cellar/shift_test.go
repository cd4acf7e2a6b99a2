package cellar_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
)

// A shift goes to somebody who is named and was told of every open alarm, snoozed ones
// too; which ones is kept. On paper it may have gone without.
func TestItem18WhoTakesOverIsToldOfEachAlarm(t *testing.T) {
	h := openHouse(t)
	h.say(t, shiftToSix, clockAt("101", "05:30"), clockAt("102", "05:40"), clockAt("103", "07:00"),
		`05:41 MA {"do":"snooze","subject":"102","verb":"look","in":"10m","reason":"pump"}`)
	for line, want := range map[string][2]string{
		`05:45 MA {"do":"shift-end"}`: {"to", "type who takes over: one of MA NS OF"},
		`05:45 MA {"do":"shift-end","to":"OF"}`: {"told",
			"open and not told to OF: 101 look, 102 look;"},
		`05:45 MA {"do":"shift-end","to":"OF","told":["102 look"]}`:    {"told", "not told to OF: 101 look;"},
		`05:45 MA {"do":"shift-end","to":"OF","told":["101","102"]}`:   {"told", "101 look, 102 look"},
		`05:45 MA {"do":"shift-end","to":"OF","told":["101 look",""]}`: {"told", "not told to OF: 102 look;"},
	} {
		var no *cellar.Rejection
		require.ErrorAs(t, h.hear(line), &no, line)
		require.Equal(t, want[0], no.Field, line)
		require.Contains(t, no.Message(), want[1], line)
		require.True(t, h.s.Shift.Ended.IsZero())
	}
	h.say(t, `05:45 MA {"do":"shift-end","to":"OF","told":["101 Look","102 look"]}`)
	require.Equal(t, cellar.Initials("OF"), h.s.Shift.Leads())
	require.Equal(t, "handed over to OF, told of 101 look, 102 look", lastEvent(h.s))

	h = openHouse(t)
	h.say(t, shiftToSix, clockAt("101", "05:30"), `06:20 MA {"do":"shift-end","at":"2026-09-25T05:50:00+02:00",`+
		`"to":"OF","happened":true}`)
	require.Equal(t, "handed over to OF", lastEvent(h.s))
}
