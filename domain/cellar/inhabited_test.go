package cellar_test

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/clocks"
	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/handover"
	"cellar.example/mustwatch/domain/sheet"
)

// inside103 is NS in the empty tank 103, under permit 18, and P1 full.
var inside103 = append(append([]string{}, inP1...),
	`20:41 NS {"do":"gas","place":"103","co2":700,"o2":20.9,"meter":"G2"}`,
	`20:42 MA {"do":"permit","number":"18","place":"103","given_by":"K. Moor, site safety","holder":"NS",`+
		`"attendant":"OF","until":"2026-09-24T21:30:00+02:00"}`,
	`20:43 NS {"do":"enter-vessel","place":"103","permit":"18"}`)

// TestNothingRunsWhereSomebodyIs: cannot be overridden. What has happened all the
// same is written, with the rule it broke.
func TestNothingRunsWhereSomebodyIs(t *testing.T) {
	for name, line := range map[string]string{
		"a move":       `20:50 MA {"do":"move","from":"101","to":[{"vessel":"103","volume":"50 hL"}],"part":true%s}`,
		"a move begun": `20:50 MA {"do":"move-start","from":"101","to":[{"vessel":"103","volume":"50 hL"}]%s}`,
		"a press start": `20:50 MA {"do":"press-start","press":"P1","programme":"W-120","free_run":"103",` +
			`"pressings":"401"%s}`,
		"its fraction": `20:50 MA {"do":"press-start","press":"P1","programme":"W-120","free_run":"201",` +
			`"pressings":"103"%s}`,
		"cleaning": `20:50 MA {"do":"stage","vessel":"103","stage":"cleaning"%s}`,
	} {
		t.Run(name, func(t *testing.T) {
			for _, more := range []string{"", `,"answers":[{"rule":"H17","by":"MA","second":"OF","reason":"quick"},` +
				`{"rule":"H11"},{"rule":"H03","by":"MA","reason":"x"}]`} {
				h := openHouse(t)
				h.say(t, inside103...)
				said := h.asked(t, fill(line, more))
				require.Contains(t, said["H17"], "NS IN 103 since 20:43, not logged out. Stop, shut both valves, "+
					"lock it.")
				if more != "" {
					require.Contains(t, said["H17"]+h.hear(fill(line, more)).Error(), "This cannot be overridden.")
				}
			}
		})
	}
	h := openHouse(t)
	h.say(t, inside103...)
	h.say(t, `20:50 MA {"do":"move","from":"101","to":[{"vessel":"103","volume":"1 hL"}],"part":true,"happened":true}`)
	var broke []gate.Code
	for _, a := range h.s.Answered {
		if a.Broken {
			broke = append(broke, a.Rule)
		}
	}
	require.Contains(t, broke, gate.Code("H17"))

	h = openHouse(t)
	h.say(t, inside103...)
	h.say(t, `20:49 OF {"do":"leave-vessel","who":"NS"}`, `20:50 MA {"do":"press-start","press":"P1",`+
		`"programme":"W-120","free_run":"103","pressings":"401"}`)
}

// TestAPressDoesNotTurnOnSomebody: neither the programme nor the restart.
func TestAPressDoesNotTurnOnSomebody(t *testing.T) {
	h := openHouse(t)
	h.say(t, inP1...)
	h.say(t, `20:45 NS {"do":"press-start","press":"P1","programme":"W-120","free_run":"103","pressings":"401"}`)
	permit := `21:02 MA {"do":"permit","number":"19","place":"P1","given_by":"K. Moor, site safety","holder":"NS",` +
		`"attendant":"OF","until":"2026-09-24T21:30:00+02:00","co2":600,"o2":20.9,"meter":"G2"}`
	require.ErrorContains(t, h.hear(permit), "no permit is saved for P1: P1 is pressing: lock and tag in your own "+
		"name before you reach in")
	h.say(t, `21:00 NS {"do":"press-stop","press":"P1","reason":"stuck","locked":true}`, permit,
		`21:03 NS {"do":"enter-vessel","place":"P1","permit":"19"}`)
	require.Contains(t, h.asked(t, `21:05 MA {"do":"press-resume","press":"P1"}`)["H17"], "NS IN P1 since 21:03")
	h.say(t, `21:06 OF {"do":"leave-vessel","who":"NS"}`, `21:07 MA {"do":"press-resume","press":"P1",`+
		`"answers":[{"rule":"D33","reason":"my lock, taken off by me"}]}`)
}

// TestNoPermitForWhatIsNotEmpty: the board knows what is in a vessel and what is
// on its way there.
func TestNoPermitForWhatIsNotEmpty(t *testing.T) {
	permit := `20:50 MA {"do":"permit","number":"18","place":"%s","given_by":"K. Moor, site safety","holder":"NS",` +
		`"attendant":"OF","until":"2026-09-24T21:30:00+02:00","co2":700,"o2":20.9,"meter":"G2"}`
	for _, c := range []struct {
		place string
		given []string
		says  string
	}{
		{"101", nil, "200.0 hL of juice are in it"},
		{"103", append(append([]string{}, inP1...), `20:45 NS {"do":"press-start","press":"P1","programme":"W-120",`+
			`"free_run":"103","pressings":"401"}`), "the juice of P1 goes there"},
		{"401", append(append([]string{}, inP1...), `20:45 NS {"do":"press-start","press":"P1","programme":"W-120",`+
			`"free_run":"103","pressings":"401"}`), "the juice of P1 goes there"},
		{"201", []string{`20:45 NS {"do":"move-start","from":"101","to":[{"vessel":"201","volume":"50 hL"}]}`},
			"101 is being moved there"},
		{"103", []string{`20:45 NS {"do":"stage","vessel":"103","stage":"empty dirty"}`,
			`20:46 NS {"do":"stage","vessel":"103","stage":"cleaning"}`}, "it is being cleaned"},
		{"R1", redMust, "50.0 hL of red must are in it"},
		{"R1", append(append([]string{}, redMust...), `20:40 NS {"do":"stage","vessel":"R1","stage":"draining"}`), ""},
		{"103", nil, ""},
		{"300 pit", nil, ""},
	} {
		h := openHouse(t)
		h.say(t, c.given...)
		err := h.hear(fill(permit, c.place))
		if c.says == "" {
			require.NoError(t, err, c.place)
			continue
		}
		require.ErrorContains(t, err, c.says)
	}
}

// A meter that shows no oxygen at all shows the worst air there is: it is not
// taken for a figure that was left out.
func TestNoOxygenIsAReading(t *testing.T) {
	h := openHouse(t)
	h.say(t, `20:50 MA {"do":"permit","number":"18","place":"103","given_by":"K. Moor","holder":"NS",`+
		`"attendant":"OF","until":"2026-09-24T21:30:00+02:00","co2":900,"o2":0,"meter":"G2"}`)
	require.Empty(t, h.s.LivePermits(at("20:51")))
	require.Contains(t, h.s.Words(h.s.Stopped[0].Why), "no permit is saved on such air (CO2 900 ppm, O2 0.0 %, "+
		"meter G2)")
	h.say(t, `20:51 NS {"do":"gas","place":"103","co2":0,"o2":0,"meter":"G2"}`)
	require.Contains(t, lastEvent(h.s), "gas read: CO2 0 ppm, O2 0.0 %, meter G2. Local rules first: leave, "+
		"ventilate, call.")
	require.ErrorContains(t, h.hear(`20:52 NS {"do":"gas","place":"103","o2":-1,"meter":"G2"}`), "O2 is read in %")
}

// TestAPermitEndsWithTheShift: the attendant goes home then.
func TestAPermitEndsWithTheShift(t *testing.T) {
	h := openHouse(t)
	h.say(t, `18:01 MA {"do":"shift-start","lead":"MA","crew":["NS","OF"],"ends":"2026-09-25T06:00:00+02:00"}`)
	require.ErrorContains(t, h.hear(`20:50 MA {"do":"permit","number":"18","place":"103","given_by":"K. Moor",`+
		`"holder":"NS","attendant":"OF","until":"2026-09-25T07:00:00+02:00","co2":900,"o2":20.9,"meter":"G2"}`),
		"until: the shift ends at 06:00 and the attendant goes with it")
}

// TestWhoIsInAVesselIsCounted: on break or not, who is in a vessel and was not
// counted is missing; who was counted and is still written as in is named.
func TestWhoIsInAVesselIsCounted(t *testing.T) {
	h := openHouse(t)
	h.say(t, `18:01 MA {"do":"shift-start","lead":"MA","crew":["OF"]}`)
	h.say(t, inside103...)
	h.say(t, `20:50 MA {"do":"head-count","counted":["MA","OF"]}`)
	count, _ := h.s.LastCount()
	require.Equal(t, []cellar.Initials{"NS"}, count.Missing, "NS came with no shift and is in 103")
	h.say(t, `20:51 MA {"do":"head-count","counted":["MA","OF","NS"]}`)
	count, _ = h.s.LastCount()
	require.Empty(t, count.Missing)
	require.Contains(t, count.Text(), "counted, but saved as in a vessel: NS")
	v, _ := h.s.Vessel("103")
	require.Equal(t, cellar.Standing{Text: "NS IS IN IT", Mark: cellar.MarkOver}, h.s.StandingOf(v, at("20:52")))
}

// TestTheSheetTellsWhoWasIn: what is over is told, too: who was in, the air that
// said leave, and a count at which somebody was missing.
func TestTheSheetTellsWhoWasIn(t *testing.T) {
	h := openHouse(t)
	h.say(t, `18:01 MA {"do":"shift-start","lead":"MA","crew":["NS","OF"],"ends":"2026-09-25T06:00:00+02:00"}`)
	h.say(t, inside103...)
	h.say(t, `20:45 MA {"do":"head-count","counted":["MA","OF"]}`, `20:50 OF {"do":"leave-vessel","who":"NS"}`,
		`20:55 MA {"do":"permit-end","number":"18"}`,
		`21:00 NS {"do":"gas","place":"300 pit","co2":60000,"o2":14,"meter":"G2"}`,
		`21:30 NS {"do":"gas","place":"300 pit","co2":900,"o2":20.9,"meter":"G2"}`)
	told := fmt.Sprint(handover.Sheet(h.s, at("22:00"), sheet.Mark{}).Happened)
	require.Contains(t, told, "20:43 103 N (NS) was in it until 20:50 on permit 18 issued by K. Moor, site safety, "+
		"attendant "+
		"O (OF).")
	require.Contains(t, told, "21:00 300 pit gas over the limit: CO2 60000 ppm, O2 14.0 %, meter G2.")
	require.Contains(t, told, "20:45 crew head count 2 (3 on the list): MA OF; MISSING: NS.")
}

// TestAPermitEndsByItsPaper: its alarm is not ticked off and not put elsewhere, and
// a clock corrected moves neither it nor the planned end of the shift.
func TestAPermitEndsByItsPaper(t *testing.T) {
	permit := `19:00 MA {"do":"permit","number":"17","place":"300 pit","given_by":"K. Moor","holder":"NS",` +
		`"attendant":"OF","until":"2026-09-24T21:00:00+02:00","co2":900,"meter":"G2"}`
	h := openHouse(t)
	h.say(t, permit)
	for line, says := range map[string]string{
		`20:50 NS {"do":"clock-move","subject":"300 pit","due":"2026-09-24T22:00:00+02:00","reason":"nearly done"}`: "permit 17 says " +
			"21:00 on paper",
		`20:50 NS {"do":"clock-move","subject":"300 pit","done":true}`: "permit 17 for 300 pit ends when it is " +
			"handed back:",
		`20:50 NS {"do":"clock-move","subject":"300 pit","off":true,"reason":"x"}`: "permit 17 for 300 pit " +
			"ends when it is handed back:",
	} {
		require.ErrorContains(t, h.hear(line), says)
	}
	h.say(t, `20:55 NS {"do":"permit-end","number":"17"}`)
	require.Empty(t, h.s.ClocksOf(h.s.Known("300 pit")))

	h = openHouse(t)
	h.say(t, `18:01 MA {"do":"shift-start","lead":"MA","crew":["NS","OF"],"ends":"2026-09-25T06:00:00+02:00"}`, permit)
	tie := clocks.Anchor{House: at("19:30"), Wall: at("20:30"), BootID: "one", Boot: time.Hour}
	_, err := h.try(&cellar.ConfirmTime{Head: cellar.Head{By: "MA"}, Now: at("20:30"), Tie: tie}, at("20:30"))
	require.NoError(t, err)
	require.Equal(t, "21:00", h.s.Clock(h.s.ClocksOf(h.s.Known("300 pit"))[0].Due))
	require.Equal(t, "06:00", h.s.Clock(h.s.ClocksOf(h.s.Known("shift"))[0].Due))
}
