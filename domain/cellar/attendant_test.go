package cellar_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/handover"
	"cellar.example/mustwatch/domain/sheet"
)

// shiftOf is a shift of MA with NS and OF, and nsIn307 NS in 307 with OF outside.
const shiftOf = `18:00 MA {"do":"shift-start","lead":"MA","crew":["NS","OF"],"ends":"2026-09-25T06:00:00+02:00"}`

var nsIn307 = []string{shiftOf, gasOf307, permitOf307, intoOf307}

// TestTheAttendantDoesNotLeave: neither off the site nor on a break nor with the
// shift, and cannot be overridden; it is said who is in, who watches and what comes first.
func TestTheAttendantDoesNotLeave(t *testing.T) {
	const early = `,"answers":[{"rule":"D30"}]` // it has hours to go
	for name, line := range map[string]string{
		"off the site":   `20:30 MA {"do":"out","who":"OF"%s}`,
		"on a break":     `20:30 OF {"do":"break","for":"20min"%s}`,
		"with the shift": `20:30 MA {"do":"shift-end","to":"MA","told":["307 all out"]%s}`,
		"a new shift":    `20:30 MA {"do":"shift-start","lead":"MA","crew":["NS"]%s}`,
	} {
		t.Run(name, func(t *testing.T) {
			for _, more := range []string{"", `,"answers":[{"rule":"H17","by":"MA","second":"NS","reason":"quick"}]`} {
				h := openHouse(t)
				h.say(t, nsIn307...)
				before := h.s.Seq
				said := h.asked(t, fill(line, more))["H17"]
				require.Contains(t, said, "NS IN 307 since 20:15, not logged out. OF is the attendant and must not")
				require.Contains(t, said, "First log that NS is out (z c), or name another attendant (z a).")
				require.Equal(t, before, h.s.Seq)
				require.Contains(t, h.s.EntryLine(at("20:31")), "attendant OF")
			}
			h := openHouse(t)
			h.say(t, nsIn307...)
			h.say(t, `20:25 MA {"do":"attendant","number":"17","attendant":"MA"}`)
			if name != "a new shift" {
				h.say(t, fill(line, early))
				require.Contains(t, h.s.EntryLine(at("20:31")), "attendant MA")
				require.Empty(t, peril(h.s, at("20:31")))
			}
			h = openHouse(t)
			h.say(t, nsIn307...)
			h.say(t, `20:25 OF {"do":"leave-vessel","who":"NS"}`, fill(line, early))
		})
	}
}

// TestNobodyWatchesIsSaid: that the attendant has gone is written once it was asked
// about, with the rule it broke; every face says it until a name is written again,
// and that they are back is none.
func TestNobodyWatchesIsSaid(t *testing.T) {
	for name, line := range map[string]string{
		"out":       `20:30 MA {"do":"out","who":"OF","happened":true%s}`,
		"break":     `20:30 MA {"do":"break","who":"OF","for":"20min","happened":true%s}`,
		"shift":     `20:30 MA {"do":"shift-end","to":"MA","happened":true%s}`,
		"new shift": `20:30 MA {"do":"shift-start","lead":"MA","crew":["NS"],"happened":true%s}`,
	} {
		t.Run(name, func(t *testing.T) {
			h := openHouse(t)
			h.say(t, nsIn307...)
			require.Contains(t, h.asked(t, fill(line, ""))["H17"], "Then NS has no attendant. Get help, do not go in.")
			h.say(t, fill(line, `,"answers":[{"rule":"H17"}]`))
			a := h.s.Answered[len(h.s.Answered)-1]
			require.True(t, a.Broken && a.Stop)
			require.NotContains(t, h.s.Words(a.Said), "This cannot be overridden. lifts")
			require.Equal(t, "NS IS IN 307 WITHOUT AN ATTENDANT SINCE 20:30: GET HELP, STAY OUT",
				peril(h.s, at("20:31")))
			require.NotContains(t, h.s.EntryLine(at("20:31")), "attendant OF")
			require.Equal(t, "NS WENT INTO 307 WITHOUT AN ATTENDANT AND PERMIT 17 ENDED: GET HELP, STAY OUT",
				peril(h.s, at("21:31")))
			in, _ := h.s.Inhabited("307")
			require.Equal(t, "NS IN, NO ATTENDANT", h.s.Words(in.Short()))
			for _, k := range h.s.ClocksOf(h.s.Known("307")) {
				require.Empty(t, k.Owner, "all out is the attendant's, and there is none")
			}
			e := h.s.Emergencies(at("20:31"))
			require.Len(t, e, 1)
			require.Equal(t, "inside 307 NS 20:30", string(e[0].Kind)+" "+e[0].Place+" "+string(e[0].Who[0])+" "+
				h.s.Clock(e[0].Rings), "it rings")
			require.ErrorContains(t, h.hear(`20:32 MA {"do":"end-emergency","of":"307","how":"seen"}`),
				"there was no emergency at 20:32 that a person can end")
			came := openHouse(t)
			came.say(t, nsIn307...)
			came.say(t, fill(line, `,"answers":[{"rule":"H17"}]`), `20:33 MA {"do":"leave-vessel","who":"NS"}`)
			require.Len(t, came.s.ClocksOf(came.s.Known("307")), 1, "the permit's own")
			require.Contains(t, fmt.Sprint(h.s.InhabitedSays("307", at("20:31"))),
				"NO ATTENDANT since 20:30: GET HELP, STAY OUT.")
			rows := fmt.Sprint(handover.Sheet(h.s, at("20:35"), sheet.Mark{}).Safety)
			require.Contains(t, rows, "N (NS) WENT IN on permit 17 issued by K. Moor, site safety, NO ATTENDANT "+
				"since "+
				"20:30; not signed out.")
			require.NotContains(t, rows, "attendant O (OF)")
			if name == "break" {
				h.say(t, `20:36 OF {"do":"back"}`)
				require.Contains(t, peril(h.s, at("20:37")), "WITHOUT AN ATTENDANT",
					"back on site is not at the manhole")
			}
			if name != "out" {
				h.say(t, `20:40 OF {"do":"attendant","number":"17","attendant":"OF"}`)
			} else {
				require.ErrorContains(t, h.hear(`20:40 OF {"do":"attendant","number":"17","attendant":"OF"}`),
					"attendant: OF left the site at 20:30")
				h.say(t, `20:39 OF {"do":"in"}`, `20:40 OF {"do":"attendant","number":"17","attendant":"OF"}`)
			}
			require.Empty(t, peril(h.s, at("20:41")))
			require.Len(t, h.s.ClocksOf(h.s.Known("307")), 1, "the permit's own")
			h.say(t, `20:50 OF {"do":"leave-vessel","who":"NS"}`)
			require.Contains(t, fmt.Sprint(handover.Sheet(h.s, at("20:55"), sheet.Mark{}).Happened),
				"N (NS) was in it until 20:50 on permit 17 issued by K. Moor, site safety, attendant O (OF), from "+
					"20:30 "+
					"NOBODY WATCHED, from 20:40 O (OF).")
		})
	}
}

// TestWhoMayAttend: somebody on site, not on break, not in a vessel, and not who
// goes in; the alarm "all out" is theirs from then on.
func TestWhoMayAttend(t *testing.T) {
	for _, c := range []struct {
		given []string
		who   string
		says  string
	}{
		{nil, "NS", "the attendant stays outside"},
		{nil, "ZZ", `"ZZ" is not on the list of people; choose from MA NS OF`},
		{nil, "GW", `"GW" is not on the list of people; choose from MA NS OF`},
		{nil, "OF", "OF is already the attendant under permit 17"},
		{[]string{`20:20 MA {"do":"break","for":"20min"}`}, "MA", "MA is on break since 20:20"},
		{[]string{`20:20 MA {"do":"out"}`}, "MA", "MA left the site at 20:20"},
		{[]string{`20:25 OF {"do":"leave-vessel","who":"NS"}`, `20:26 OF {"do":"permit-end","number":"17"}`}, "MA",
			"OF ended permit 17 at 20:26"},
	} {
		h := openHouse(t)
		h.say(t, nsIn307...)
		h.say(t, c.given...)
		require.ErrorContains(t, h.hear(fmt.Sprintf(`20:30 OF {"do":"attendant","number":"17","attendant":%q}`, c.who)),
			c.says)
	}
	h := openHouse(t)
	h.say(t, `18:00 NS {"do":"shift-start","lead":"NS","crew":["OF"]}`, gasOf307, permitOf307)
	require.ErrorContains(t, h.hear(`20:30 NS {"do":"attendant","number":"17","attendant":"MA"}`),
		"MA is not signed in; only somebody on site can attend: sign in first (z i)")
	require.ErrorContains(t, h.hear(`21:31 NS {"do":"attendant","number":"17","attendant":"OF"}`),
		"permit 17 was live from 20:10 to 21:30")
	h = openHouse(t)
	h.say(t, nsIn307...)
	h.say(t, `20:30 OF {"do":"attendant","number":"17","attendant":"MA"}`, `20:31 OF {"do":"out"}`)
	require.Equal(t, cellar.Initials("MA"), h.s.ClocksOf(h.s.Known("307"))[0].Owner)
}

// TestAPermitWithoutItsAttendantSaysSo: while nobody is in, they may go; the faces
// name no attendant who is not there, and nobody goes in without one. Who watches one
// vessel goes into no other.
func TestAPermitWithoutItsAttendantSaysSo(t *testing.T) {
	for name, line := range map[string]string{
		"left the site at 20:12":       `20:12 OF {"do":"out"}`,
		"is on break since 20:12":      `20:12 OF {"do":"break","for":"20min"}`,
		"went with the shift at 20:12": `20:12 MA {"do":"shift-end","to":"MA","answers":[{"rule":"D30"}]}`,
	} {
		h := openHouse(t)
		h.say(t, shiftOf, gasOf307, permitOf307, line)
		require.Equal(t, "NO TANK ENTRY: permit 17 for 307 has NO ATTENDANT", h.s.EntryLine(at("20:13")))
		require.Contains(t, h.asked(t, intoOf307)["H17"], "the attendant OF "+name)
		h.say(t, `20:16 MA {"do":"attendant","number":"17","attendant":"MA"}`)
		require.Equal(t, "NO TANK ENTRY EXCEPT UNDER PERMIT 17 (307, NS, attendant MA, until 21:30)",
			h.s.EntryLine(at("20:17")))
	}
	h := openHouse(t)
	h.say(t, nsIn307...)
	permit := `20:20 MA {"do":"permit","number":"18","place":"103","given_by":"K. Moor","holder":"OF",` +
		`"attendant":"MA","until":"2026-09-24T21:30:00+02:00","co2":900,"o2":20.9,"meter":"G2"}`
	require.ErrorContains(t, h.hear(permit), "holder: OF is the attendant of NS; the attendant stays outside")
	h = openHouse(t)
	h.say(t, shiftOf, gasOf307, permitOf307, permit, intoOf307)
	require.Contains(t, h.asked(t, `20:25 MA {"do":"enter-vessel","place":"103","who":"OF","permit":"18",`+
		`"happened":true}`)["H17"], "OF is the attendant of NS and must not leave")
	h = openHouse(t)
	h.say(t, shiftOf, gasOf307, strings.Replace(permitOf307, `"OF"`, `"MA"`, 1), intoOf307)
	require.Contains(t, h.s.EntryLine(at("20:20")), "attendant MA", "who writes may be who watches")
}

// peril is what stands above everything of those in vessels, "" for nothing.
func peril(s *cellar.State, now time.Time) string {
	out := ""
	for _, e := range s.Emergencies(now) {
		if e.Kind == cellar.EmergencyInside {
			out += e.Title + ": " + strings.TrimSuffix(e.Act, ".")
		}
	}
	return out
}
