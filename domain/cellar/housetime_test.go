package cellar_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/clocks"
	"cellar.example/mustwatch/domain/handover"
	"cellar.example/mustwatch/domain/sheet"
)

// dosed is a house in which 101 got its enzyme at 20:00, at 13.5 °C: 3 h by its card.
func dosed(t *testing.T) *house {
	h := openHouse(t)
	h.say(t, `20:00 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL","temp":"13.5 °C"}`)
	h.say(t, `20:05 NS {"do":"clock","subject":"pump","verb":"look","in":"2h"}`)
	h.say(t, `20:05 NS {"do":"clock","subject":"office","verb":"call","due":"2026-09-24T23:30:00+02:00"}`)
	return h
}

func dueOf(t *testing.T, h *house, subject string) string {
	t.Helper()
	k := h.s.ClocksOf(h.s.Known(subject))
	require.Len(t, k, 1, subject)
	return h.s.Clock(k[0].Due)
}

// The machine writes with nobody's name; a step moves no deadline.
func TestAStepMovesNoDeadline(t *testing.T) {
	h := dosed(t)
	tie := clocks.Anchor{House: at("21:00"), Wall: at("22:00"), BootID: "one", Boot: time.Hour}
	_, err := h.try(&cellar.StepClock{From: at("21:00"), To: at("22:00"), Tie: tie}, at("21:00"))
	require.NoError(t, err)
	require.Equal(t, "23:00", dueOf(t, h, "101"))
	require.Equal(t, time.Hour, h.s.Time.Anchor.Ahead())
	events := h.s.EventsOf(h.s.Known("house"))
	require.Equal(t, "the machine's clock was stepped +60 min, from Thu 21:00 to Thu 22:00; deadlines stay",
		events[len(events)-1].Text)
	require.Empty(t, events[len(events)-1].By)
	_, err = h.try(&cellar.WriteNote{Text: "no name"}, at("21:00"))
	require.ErrorContains(t, err, "initials", "a person is asked for theirs")
}

// A person says that the wall is right: what counts elapsed time rings when it
// would have, also when a reading moves it afterwards; a time of day stays.
func TestATimePutRightKeepsElapsedTime(t *testing.T) {
	h := dosed(t)
	tie := clocks.Anchor{House: at("21:00"), Wall: at("22:00"), BootID: "one", Boot: time.Hour}
	_, err := h.try(&cellar.ConfirmTime{Head: cellar.Head{By: "MA"}, Now: at("22:00"), Tie: tie}, at("22:00"))
	require.NoError(t, err)
	require.Equal(t, "00:00", dueOf(t, h, "101"), "two of its three hours are left")
	require.Equal(t, "23:05", dueOf(t, h, "pump"))
	require.Equal(t, "23:30", dueOf(t, h, "office"), "the office closes when it closes")
	v, _ := h.s.Vessel("101")
	k, ok := h.s.ContactOf(v, at("22:00"))
	require.True(t, ok)
	require.Equal(t, "21:00", h.s.Clock(k.Start))
	h.say(t, `22:10 NS {"do":"reading","vessel":"101","temp":"11 °C"}`)
	require.Equal(t, "01:00", dueOf(t, h, "101"), "four hours by its card, from the shifted start")
	require.Zero(t, h.s.Time.Anchor.Ahead())
	require.True(t, h.s.LastAt.Equal(at("22:10")))
}

// A person says that the board is right: nothing moves, and the wall's error is
// known from then on.
func TestTheBoardIsConfirmed(t *testing.T) {
	h := dosed(t)
	tie := clocks.Anchor{House: at("21:00"), Wall: at("22:00"), BootID: "one", Boot: time.Hour}
	_, err := h.try(&cellar.ConfirmTime{Head: cellar.Head{By: "MA"}, Now: at("21:00"), Tie: tie}, at("21:00"))
	require.NoError(t, err)
	require.Equal(t, "23:00", dueOf(t, h, "101"))
	require.Equal(t, time.Hour, h.s.Time.Granted)
}

// TestTrustRow05TimeIsSaidByAPerson: after a dead clock what passed meanwhile did
// pass; and a last entry from the future is no wall to run against, with a reason.
func TestTrustRow05TimeIsSaidByAPerson(t *testing.T) {
	h := dosed(t)
	tie := clocks.Anchor{House: at("20:05"), Wall: time.Unix(60, 0).UTC(), BootID: "one", Boot: time.Hour}
	_, err := h.try(&cellar.ConfirmTime{Head: cellar.Head{By: "MA"}, Now: at("23:40"), Tie: tie, Lost: true},
		at("23:40"))
	require.NoError(t, err)
	require.Equal(t, "23:00", dueOf(t, h, "101"))
	require.Len(t, h.s.Alarms(at("23:40")), 3)

	early := &cellar.ConfirmTime{Head: cellar.Head{By: "MA"}, Now: at("19:00"), Tie: tie, Lost: true}
	_, err = h.try(early, at("19:00"))
	require.ErrorContains(t, err, "the last entry was saved at Thu 23:40")
	early.Reason = "the machine ran hours ahead"
	_, err = h.try(early, at("19:00"))
	require.NoError(t, err)
	require.True(t, h.s.LastAt.Equal(at("19:00")), "entries go on from there")
}

// TestTrustRow05EntriesWait: what would carry a time waits; what tells it does not.
func TestTrustRow05EntriesWait(t *testing.T) {
	require.ErrorContains(t, cellar.Waits(&cellar.SetClock{}, "nobody knows the time"), "at: nobody knows the time")
	require.NoError(t, cellar.Waits(&cellar.ConfirmTime{}, "x"))
	require.NoError(t, cellar.Waits(&cellar.StepClock{}, "x"))
}

func TestTheClockStandsOnTheBackOfTheSheet(t *testing.T) {
	h := dosed(t)
	_, err := h.try(&cellar.NoteSleep{From: at("20:10"), Until: at("20:55")}, at("20:55"))
	require.NoError(t, err)
	back := handover.Sheet(h.s, at("21:00"), sheet.Mark{}).Back.Clock
	require.Len(t, back, 1)
	require.Equal(t, "the machine slept from Thu 20:10 to Thu 20:55, 45 min; nothing could ring", back[0].What)
}

// putRight is a person's word that the board, at an instant, is off by a length.
func (h *house) putRight(t *testing.T, clock string, by time.Duration) {
	t.Helper()
	was, now := at(clock), at(clock).Add(by)
	tie := clocks.Anchor{House: was, Wall: now, BootID: "one", Boot: time.Hour}
	_, err := h.try(&cellar.ConfirmTime{Head: cellar.Head{By: "MA"}, Now: now, Tie: tie}, now)
	require.NoError(t, err)
}

// TestAReminderMovesWithTheTime: half an hour stays half an hour when the time is
// corrected, back or forth; over the end of the shift it does not come to reach.
func TestAReminderMovesWithTheTime(t *testing.T) {
	putOff := []string{`20:00 NS {"do":"clock","subject":"101","verb":"look","in":"20m"}`,
		`20:21 NS {"do":"snooze","subject":"101","verb":"look","in":"30m","reason":"the pump runs"}`}
	for _, c := range []struct {
		by    time.Duration
		rings string
	}{{-3 * time.Hour, "17:51"}, {3 * time.Hour, "23:51"}} {
		h := openHouse(t)
		h.say(t, putOff...)
		h.putRight(t, "20:22", c.by)
		require.Empty(t, h.s.Alarms(at(c.rings).Add(-time.Second)), c.rings)
		require.Len(t, h.s.Alarms(at(c.rings)), 1, c.rings)
	}
	h := openHouse(t)
	h.say(t, append([]string{shiftToSix}, putOff...)...)
	h.putRight(t, "20:22", 9*time.Hour+15*time.Minute) // 05:37; it would ring at 06:06
	require.Empty(t, h.s.Alarms(at("05:59")))
	require.Len(t, h.s.Alarms(at("06:00")), 1)
}

// TestAReminderOfATimeOfDayMovesToo: the due stays where it was typed; what was
// snoozed by the wrong clock rings no later than that due says.
func TestAReminderOfATimeOfDayMovesToo(t *testing.T) {
	h := openHouse(t)
	h.say(t, clockAt("101", "20:20"), `20:21 NS {"do":"snooze","subject":"101","verb":"look","in":"30m",`+
		`"reason":"the pump runs"}`)
	h.putRight(t, "20:22", -3*time.Hour)
	require.Empty(t, h.s.Alarms(at("20:19")))
	require.Len(t, h.s.Alarms(at("20:20")), 1)
}

// TestWhatIsOnPaperStays: the end of a permit and the planned end of the shift are
// times of day, and a clock corrected does not move them.
func TestWhatIsOnPaperStays(t *testing.T) {
	h := openHouse(t)
	h.say(t, shiftToSix,
		`19:00 MA {"do":"permit","number":"17","place":"300 pit","given_by":"K","holder":"NS","attendant":"OF",`+
			`"until":"2026-09-24T21:00:00+02:00","co2":900,"meter":"G2"}`)
	h.putRight(t, "19:30", time.Hour)
	require.Equal(t, "21:00", dueOf(t, h, "300 pit"))
	require.Equal(t, "06:00", dueOf(t, h, "shift"))
}

// TestSeenMovesWithTheTime: who has seen an alarm did so as long after it rang.
func TestSeenMovesWithTheTime(t *testing.T) {
	h := openHouse(t)
	h.say(t, `20:00 NS {"do":"clock","subject":"101","verb":"look","in":"20m"}`,
		`20:25 NS {"do":"acknowledge","subject":"101"}`)
	h.putRight(t, "20:30", -3*time.Hour)
	f := h.s.AlarmFigures(at("17:00"), at("18:00"))
	require.Equal(t, 5*time.Minute, f.Longest)
}
