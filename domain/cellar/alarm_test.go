package cellar_test

import (
	"errors"
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
)

const shiftToSix = `18:00 MA {"do":"shift-start","lead":"MA","crew":["NS"],"ends":"2026-09-25T06:00:00+02:00"}`

func clockAt(subject, due string) string {
	return fmt.Sprintf(`20:00 NS {"do":"clock","subject":%q,"verb":"look","due":%q}`, subject,
		at(due).Format(time.RFC3339))
}

// TestReminderComesBack: snoozed it is no alarm and still due; it comes back by
// itself, says how often and by whom, and nobody has seen it by that.
func TestReminderComesBack(t *testing.T) {
	h := openHouse(t)
	h.say(t, shiftToSix, clockAt("101", "22:00"), `22:05 MA {"do":"snooze","subject":"101","verb":"look","in":"20m",`+
		`"reason":"the pump runs"}`)
	k := h.s.ClocksOf(h.s.Known("101"))[0]
	require.Empty(t, h.s.Alarms(at("22:24")))
	require.Equal(t, 24*time.Minute, k.Overdue(at("22:24")), "still overdue")
	v, _ := h.s.Vessel("101")
	require.Equal(t, "look again", h.s.StandingOf(v, at("22:24")).Text)
	require.Len(t, h.s.Alarms(at("22:25")), 1)
	require.Empty(t, k.AcknowledgedBy)
	require.Equal(t, "snoozed 1 of 3 by MA", k.RemindedText())
	h.say(t, `22:26 NS {"do":"acknowledge","subject":"101","verb":"look"}`,
		`22:27 MA {"do":"snooze","subject":"101","verb":"look","in":"5m","reason":"still"}`)
	require.Equal(t, cellar.Initials("NS"), k.AcknowledgedBy, "who has seen it stands")
	require.Equal(t, "snoozed 2 of 3 by MA", k.RemindedText())
	h.say(t, fmt.Sprintf(`22:40 MA {"do":"clock-move","subject":"101","verb":"look","due":%q,"reason":"hose"}`,
		at("23:00").Format(time.RFC3339)))
	require.Empty(t, k.RemindedText(), "another due begins again")
}

// TestRemindersAreBounded: half an hour, three for one due, not over the end of
// the shift, not past a void reading, not what is no alarm; each refusal says who
// and when.
func TestRemindersAreBounded(t *testing.T) {
	remind := func(when, in string) string {
		return fmt.Sprintf(`%s MA {"do":"snooze","subject":"101","verb":"look","in":%q,"reason":"the pump runs"}`, when,
			in)
	}
	for _, c := range []struct {
		name        string
		given       []string
		line        string
		field, says string
	}{
		{name: "no reason", line: `22:05 MA {"do":"snooze","subject":"101","verb":"look","in":"20m","reason":" "}`,
			field: "reason", says: "say why"},
		{name: "not due yet", line: remind("21:59", "5m"), field: "clock", says: "not due before 22:00"},
		{name: "31 minutes", line: remind("22:05", "31m"), field: "until",
			says: "type a time after 22:05, 22:35 at the latest: a snooze lasts 30 min at most"},
		{name: "no length", line: remind("22:05", "0m"), field: "until", says: "type a time after 22:05"},
		{name: "two at once", given: []string{remind("22:05", "20m")}, line: remind("22:06", "5m"), field: "clock",
			says: "MA already snoozed it until 22:25: the pump runs"},
		{name: "a fourth", given: []string{remind("22:05", "5m"), remind("22:10", "5m"), remind("22:15", "5m")},
			line: remind("22:20", "5m"), field: "clock", says: "MA at 22:05, MA at 22:10, MA at 22:15; answer it"},
		{name: "over the end of the shift", given: []string{clockAt("102", "05:40")},
			line: `05:50 MA {"do":"snooze","subject":"102","verb":"look","in":"15m","reason":"x"}`, field: "until",
			says: "type a time after 05:50, 06:00 at the latest: the shift of MA ends then"},
		{name: "after the end of the shift", given: []string{clockAt("102", "05:40")},
			line: `06:05 MA {"do":"snooze","subject":"102","verb":"look","in":"5m","reason":"x"}`, field: "until",
			says: "past 06:00"},
		{name: "a notice", given: []string{`20:00 NS {"do":"clock","subject":"102","verb":"rack",` +
			`"what":"not-before","in":"1h"}`}, line: `21:05 MA {"do":"snooze","subject":"102","verb":"rack",` +
			`"in":"5m","reason":"x"}`, field: "clock", says: "is a notice"},
		{name: "what somebody has done", given: []string{`22:04 NS {"do":"clock-move","subject":"101","verb":"look",` +
			`"done":true}`}, line: remind("22:05", "5m"), field: "subject",
			says: "look on 101 has ended: NS at 22:04, done"},
		{name: "what was done, by seeing", given: []string{`22:04 NS {"do":"clock-move","subject":"101",` +
			`"verb":"look","done":true}`}, line: `22:05 MA {"do":"acknowledge","subject":"101","verb":"look"}`,
			field: "subject", says: "NS at 22:04, done"},
		{name: "past a void reading", given: []string{`21:00 NS {"do":"pectin-test","vessel":"102"}`},
			line: `21:06 MA {"do":"snooze","subject":"102","verb":"read","in":"15m","reason":"x"}`, field: "until",
			says: "void after that"},
	} {
		t.Run(c.name, func(t *testing.T) {
			h := openHouse(t)
			h.say(t, append([]string{shiftToSix, clockAt("101", "22:00")}, c.given...)...)
			before := h.s.Seq
			var rej *cellar.Rejection
			err := h.hear(c.line)
			require.Truef(t, errors.As(err, &rej), "%v", err)
			require.Contains(t, rej.Message(), c.says)
			require.Equal(t, c.field, rej.Field)
			require.Equal(t, before, h.s.Seq)
		})
	}
}

// TestAReminderEndsWithTheShift: handed over early, by an end written or by a new
// shift alone, the new lead hears at once what the old one snoozed, also when it
// is written late; what rings by itself then is not touched.
func TestAReminderEndsWithTheShift(t *testing.T) {
	for _, change := range []string{`21:35 MA {"do":"shift-end","to":"OF","told":["101 look","102 look"],` +
		`"answers":[{"rule":"D30"}]}`,
		`21:35 OF {"do":"shift-start","lead":"OF","ends":"2026-09-25T06:00:00+02:00","answers":[{"rule":"D30"}]}`} {
		h := openHouse(t)
		h.say(t, shiftToSix, clockAt("101", "21:30"), clockAt("102", "21:20"),
			`21:21 MA {"do":"snooze","subject":"102","verb":"look","in":"5m","reason":"x"}`,
			`21:32 MA {"do":"snooze","subject":"101","verb":"look","in":"28m","reason":"the pump runs"}`)
		require.Len(t, h.s.Alarms(at("21:34")), 1)
		h.say(t, change)
		require.Len(t, h.s.Alarms(at("21:35")), 2, change)
		k := h.s.ClocksOf(h.s.Known("101"))[0]
		require.Equal(t, "snoozed 1 of 3 by MA", k.RemindedText(), "it counts")
		rang, _ := k.RingsAt()
		require.Equal(t, "21:35", h.s.Clock(rang), "followed up from then")
		rang, _ = h.s.ClocksOf(h.s.Known("102"))[0].RingsAt()
		require.Equal(t, "21:26", h.s.Clock(rang))
		require.Contains(t, h.said("101"), "snoozed until 22:00 by MA, back at the change of shift")
	}
}

// TestEscalation: the steps of an alarm nobody takes, at the house's lengths and
// at those of a house that sets none. Snoozed, or seen and left, it comes back.
func TestEscalation(t *testing.T) {
	steps := func(h *house, when string) (out []string) {
		for _, x := range h.s.Escalation(at(when)) {
			out = append(out, fmt.Sprintf("%s %s%d %s", h.s.Clock(x.At), x.Kind, x.N, x.Call))
		}
		return out
	}
	h := openHouse(t)
	h.say(t, shiftToSix, clockAt("101", "22:00"))
	require.Empty(t, steps(h, "22:04"))
	require.Equal(t, []string{"22:05 ring0 MA"}, steps(h, "22:05"))
	require.Equal(t, []string{"22:05 ring0 MA", "22:15 ring1 MA", "22:15 call0 MA"}, steps(h, "22:15"),
		"no command unless the house has one")
	h.say(t, `22:16 MA {"do":"snooze","subject":"101","verb":"look","in":"10m","reason":"x"}`)
	require.Empty(t, steps(h, "22:20"))
	require.Equal(t, []string{"22:31 ring0 MA"}, steps(h, "22:31"), "counted from when it came back")
	h.say(t, `22:32 NS {"do":"acknowledge","subject":"101"}`)
	require.Empty(t, steps(h, "23:01"), "NS has it in hand")
	require.ErrorContains(t, h.hear(`23:01 OF {"do":"acknowledge","subject":"101"}`), "NS acknowledged it at 22:32")
	require.Equal(t, []string{"23:02 ring2 MA"}, steps(h, "23:02"), "seen is not done: it comes back with the bell")
	require.Equal(t, []string{"23:02 ring2 MA", "23:07 ring0 MA", "23:17 ring1 MA", "23:17 call0 MA"},
		steps(h, "23:17"))
	h.say(t, `23:18 OF {"do":"acknowledge","subject":"101"}`,
		`23:20 MA {"do":"snooze","subject":"101","verb":"look","in":"5m","reason":"x"}`)
	require.Empty(t, steps(h, "23:29"), "taken again, and snoozed")
	require.Equal(t, []string{"23:30 ring0 MA"}, steps(h, "23:30"),
		"what was seen before it was snoozed comes back with it")
	require.Equal(t, 32*time.Minute, h.s.AlarmFigures(at("22:00"), at("23:59")).Longest, "it was first taken at 22:32")

	h = openHouse(t)
	h.say(t, shiftToSix, clockAt("101", "22:00"), `21:50 MA {"do":"shift-end","to":"OF","answers":[{"rule":"D30"}]}`)
	require.Equal(t, []string{"22:05 ring0 OF"}, steps(h, "22:05"), "who has left is not called")

	h = openHouse(t)
	h.say(t, shiftToSix, `18:30 MA {"do":"house","escalate":{"repeat":["2m"],"call":["NS","OF","MA"],`+
		`"call_after":"4m"}}`,
		`19:00 OF {"do":"in"}`, clockAt("101", "22:00"))
	require.Equal(t, []string{"22:02 ring0 OF", "22:04 call0 OF"}, steps(h, "22:06"), "NS owns it, OF comes next")
	h.say(t, `22:07 OF {"do":"break","for":"1h"}`)
	require.Equal(t, "MA", string(h.s.Escalation(at("22:08"))[0].Call), "who is not on break is passed over")
	h.say(t, `22:09 MA {"do":"note","text":"x"}`)
	require.Equal(t, "OF", string(h.s.Escalation(at("22:13"))[0].Call),
		"MA is at the keys, where it is on the top line")
	require.Equal(t, "MA", string(h.s.Escalation(at("22:14"))[0].Call))
	h.say(t, `22:15 OF {"do":"back"}`, `22:15 MA {"do":"note","text":"y"}`)
	require.Empty(t, h.s.Escalation(at("22:16"))[0].Call, "nobody is left to be called")

	for line, says := range map[string]string{
		`19:00 MA {"do":"house","escalate":{"repeat":["20h"]}}`: "follow up an unanswered alarm after 1 minute " +
			"to 12 hours",
		`19:00 MA {"do":"house","escalate":{"repeat":["0m"]}}`: "follow up an unanswered alarm after 1 minute " +
			"to 12 hours",
		`19:00 MA {"do":"house","escalate":{"call":["ZZ"]}}`: "not on the list of people",
		`19:00 MA {"do":"house","escalate":{"command_after":"13h"}}`: "follow up an unanswered alarm after 1 minute " +
			"to 12 hours",
	} {
		require.ErrorContains(t, openHouse(t).hear(line), says)
	}
}

// TestAnAlarmWrittenLateIsFollowedUpFromThen: how late it is counts from its due,
// what follows when nobody takes it, and the figures, from when it was written;
// nobody has seen it before, and a time corrected changes none of it.
func TestAnAlarmWrittenLateIsFollowedUpFromThen(t *testing.T) {
	h := openHouse(t)
	h.say(t, shiftToSix)
	// due 22:00
	require.NoError(t, h.late(t, "23:00", `20:00 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL",`+
		`"temp":"16 °C"}`))
	k := h.s.ClocksOf(h.s.Known("101"))[0]
	require.Len(t, h.s.Alarms(at("23:00")), 1, "it is due at once")
	require.Equal(t, time.Hour, k.Overdue(at("23:00")), "with its true lateness")
	require.Empty(t, h.s.Escalation(at("23:04")))
	require.Len(t, h.s.Escalation(at("23:05")), 1)
	require.ErrorContains(t, h.late(t, "23:06", `22:30 NS {"do":"acknowledge","subject":"101"}`), "rang at 23:00")
	require.Equal(t, 6*time.Minute, h.s.AlarmFigures(at("22:00"), at("23:06")).Longest)
	putRight(t, h, "23:06", "21:06")
	require.Empty(t, h.s.Escalation(at("21:04")))
	require.Len(t, h.s.Escalation(at("21:05")), 1, "two hours earlier by the right time")

	require.NoError(t, h.late(t, "21:31", `20:01 NS {"do":"clock","subject":"103","verb":"look",`+
		`"due":"2026-09-24T21:15:00+02:00"}`))
	before := h.s.AlarmFigures(at("18:00"), at("21:40")).Alarms
	require.NoError(t, h.late(t, "21:32", `21:20 NS {"do":"clock-move","subject":"103","verb":"look","done":true}`))
	require.Equal(t, before-1, h.s.AlarmFigures(at("18:00"), at("21:40")).Alarms,
		"what was done before the board knew of it rang for nobody")
}

// TestAlarmFiguresByHand: two hours worked out with a pencil.
//
//	alarm  rang   taken          how                         ended   waited
//	101    20:10  20:12          seen                        20:30    2 min
//	102    20:20  20:26          answered                    20:26    6 min
//	103    20:40  21:05          snoozed once, then seen     21:30   25 min
//	201    21:00  21:15          moved                       21:15   15 min
//	201    21:40  -              nobody                      -       20 min
//
// 5 alarms in 2 h are 2.5 an hour; of 2, 6, 15 and 25 the median is 10.5 min.
// What is a notice, or was done or taken off before its due, rang never.
func TestAlarmFiguresByHand(t *testing.T) {
	h := openHouse(t)
	h.say(t, shiftToSix, clockAt("101", "20:10"), clockAt("102", "20:20"), clockAt("103", "20:40"), clockAt("201",
		"21:00"), clockAt("206", "21:00"), clockAt("401", "21:00"),
		`20:00 NS {"do":"clock","subject":"701","verb":"rack","what":"not-before","in":"1h"}`,
		`20:12 NS {"do":"acknowledge","subject":"101"}`, `20:26 NS {"do":"clock-move","subject":"102","done":true}`,
		`20:30 NS {"do":"clock-move","subject":"101","done":true}`,
		`20:41 MA {"do":"snooze","subject":"103","in":"19m","reason":"x"}`,
		`20:50 NS {"do":"clock-move","subject":"206","done":true}`,
		`20:51 NS {"do":"clock-move","subject":"401","off":true,"reason":"x"}`,
		`21:05 NS {"do":"acknowledge","subject":"103"}`,
		fmt.Sprintf(`21:15 NS {"do":"clock-move","subject":"201","due":%q,"reason":"x"}`,
			at("21:40").Format(time.RFC3339)),
		`21:30 NS {"do":"clock-move","subject":"103","done":true}`)
	require.Equal(t, cellar.AlarmFigures{Alarms: 5, PerHour: 2.5, Taken: 4, Median: 10*time.Minute + 30*time.Second,
		Longest: 25 * time.Minute, On: "103 look", Reminded: 1, Open: 1}, h.s.AlarmFigures(at("20:00"), at("22:00")))
	require.Zero(t, h.s.AlarmFigures(at("18:00"), at("20:09")).Alarms, "nothing rang before")
}

// TestFloods: ten alarms within ten minutes are one flood, however many more
// follow on; ten within eleven are none (ISA-18.2, IEC 62682, from memory).
func TestFloods(t *testing.T) {
	for _, c := range []struct {
		name  string
		dues  []int // minutes after 21:00
		flood int
	}{
		{"nine at once", []int{0, 0, 0, 0, 0, 0, 0, 0, 0}, 0},
		{"ten at once", []int{0, 0, 0, 0, 0, 0, 0, 0, 0, 0}, 1},
		{"ten in ten minutes", []int{0, 1, 2, 3, 4, 5, 6, 7, 8, 10}, 1},
		{"ten in eleven", []int{0, 1, 2, 3, 4, 5, 6, 7, 8, 11}, 0},
		{"fifteen on end", []int{0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14}, 1},
		{"two apart", []int{0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30}, 2},
	} {
		h := openHouse(t)
		for i, m := range c.dues {
			h.say(t, fmt.Sprintf(`20:00 NS {"do":"clock","subject":"s%d","verb":"look","in":"%dm"}`, i, 60+m))
		}
		require.Equal(t, c.flood, h.s.AlarmFigures(at("20:00"), at("22:00")).Floods, c.name)
	}
}
