package cellar_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/clocks"
)

// putRight says at an instant by the wrong clock what time it is.
func putRight(t *testing.T, h *house, was, now string) {
	t.Helper()
	tie := clocks.Anchor{House: at(was), Wall: at(now), BootID: "one", Boot: time.Hour}
	_, err := h.try(&cellar.ConfirmTime{Head: cellar.Head{By: "MA"}, Now: at(now), Tie: tie}, at(was))
	require.NoError(t, err)
}

// A reminder is half an hour at the most, by whatever clock.
func TestAReminderMovesWithATimePutRight(t *testing.T) {
	for _, now := range []string{"17:22", "23:22"} {
		h := openHouse(t)
		h.say(t, `20:00 NS {"do":"clock","subject":"101","verb":"look","kind":"look again","in":"20min"}`,
			`20:21 NS {"do":"snooze","subject":"101","in":"30min","reason":"pump"}`)
		putRight(t, h, "20:22", now)
		require.Empty(t, h.s.Alarms(at(now).Add(28*time.Minute)))
		require.Len(t, h.s.Alarms(at(now).Add(29*time.Minute)), 1, now)
	}
}

// Two minutes after the alcohol stay two minutes after the alcohol.
func TestACheckMovesWithATimePutRight(t *testing.T) {
	h := openHouse(t)
	h.say(t, dose101, check101)
	putRight(t, h, "22:01", "22:05")
	read := `NS {"do":"pectin-test-read","vessel":"101","sample":"clear","control":"flocs"}`
	require.ErrorContains(t, h.hear("22:06 "+read), "read at 22:09")
	h.say(t, "22:09 "+read)
	require.NotZero(t, vesselOf(t, h, "101").Now.PectinGone)

	h = openHouse(t)
	h.say(t, dose101, check101)
	putRight(t, h, "22:01", "19:01")
	h.say(t, "19:05 "+read, `19:10 NS {"do":"stage","vessel":"101","stage":"flotation"}`)
}

// What comes in after a clock was put back comes after what was written before it.
func TestJuiceAfterATimePutBackTakesTheGateAway(t *testing.T) {
	h := openHouse(t)
	h.say(t, dose101, check101, clear101)
	putRight(t, h, "22:06", "19:06")
	h.say(t, `19:10 MA `+onto101)
	require.Zero(t, vesselOf(t, h, "101").Now.PectinGone)
	require.ErrorContains(t, h.hear(`19:20 NS {"do":"stage","vessel":"101","stage":"flotation"}`), "H09")

	h = openHouse(t)
	h.say(t, dose101, check101, clear101)
	_, err := h.try(&cellar.ConfirmTime{Head: cellar.Head{By: "MA"}, Now: at("19:06"), Lost: true,
		Reason: "it ran hours ahead",
		Tie:    clocks.Anchor{House: at("22:06"), Wall: at("19:06"), BootID: "two"}}, at("22:06"))
	require.NoError(t, err)
	h.say(t, `19:10 MA `+onto101)
	require.Zero(t, vesselOf(t, h, "101").Now.PectinGone)
}

// A gas reading does not grow fresh by a clock that is put back.
func TestAGasReadingKeepsItsAge(t *testing.T) {
	h := openHouse(t)
	h.say(t, `20:00 NS {"do":"gas","place":"307","co2":900,"meter":"G2"}`)
	putRight(t, h, "21:00", "19:00")
	g, ok := h.s.LastGas()
	require.True(t, ok)
	require.True(t, g.At.Equal(at("18:00")), g.At)
}

// Who takes over has put nothing off.
func TestAReminderDoesNotCrossAShiftHandedOverEarly(t *testing.T) {
	h := openHouse(t)
	h.say(t, `18:30 MA {"do":"shift-start","lead":"MA","crew":["NS"],"ends":"2026-09-24T22:00:00+02:00"}`,
		`21:00 NS {"do":"clock","subject":"101","verb":"look","in":"20min"}`,
		`21:31 NS {"do":"snooze","subject":"101","in":"29min","reason":"pump"}`)
	require.Empty(t, h.s.Alarms(at("21:35")))
	h.say(t, `21:35 MA {"do":"shift-end","to":"OF","told":["101 look"]}`)
	require.Len(t, h.s.Alarms(at("21:35")), 1)
}

// A press that ends at a time of day somebody named ends then by the right time too,
// and its clock and its row say the same.
func TestAPressEndsWithItsClockAfterATimePutRight(t *testing.T) {
	h := openHouse(t)
	h.say(t, pressing...)
	p, _ := h.s.Press("P1")
	putRight(t, h, "19:30", "19:50")
	require.Equal(t, "21:40", h.s.Clock(p.End), "two hours stay two hours")
	h.say(t, rebase("19:55", "P1", "empty", "22:00"))
	putRight(t, h, "20:00", "20:20")
	require.Equal(t, "22:00", dueOf(t, h, "P1"))
	require.Equal(t, "22:00", h.s.Clock(p.End))
}

// A dip of an hour ago is an hour old by the right clock too, wherever the juice went.
func TestTheSourceOfAVolumeMovesWithATimePutRight(t *testing.T) {
	h := openHouse(t)
	h.say(t, `18:30 NS {"do":"reading","vessel":"101","dip":"199.5 hL"}`,
		`18:40 NS {"do":"move","from":"101","to":[{"vessel":"103","volume":"80 hL"}],"part":true}`)
	putRight(t, h, "19:30", "22:30")
	require.True(t, vesselOf(t, h, "101").Now.Gauge.At.Equal(at("21:30")))
	require.True(t, vesselOf(t, h, "103").Now.Gauge.At.Equal(at("21:30")))
}
