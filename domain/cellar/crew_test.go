package cellar_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/handover"
	"cellar.example/mustwatch/domain/sheet"
)

const (
	gasOf307    = `20:05 NS {"do":"gas","place":"307","co2":900,"o2":20.8,"meter":"G2"}`
	permitOf307 = `20:10 MA {"do":"permit","number":"17","place":"307","given_by":"K. Moor, site safety",` +
		`"holder":"NS","attendant":"OF","until":"2026-09-24T21:30:00+02:00"}`
	intoOf307 = `20:15 NS {"do":"enter-vessel","place":"307","who":"NS","permit":"17"}`
)

func lastEvent(s *cellar.State) string {
	for e := range s.LatestEvents {
		return e.Text
	}
	return ""
}

// TestGasIsANoteNeverAPermission: whatever was read, nothing that is written
// says that anything may be done, and from the commonly published 5 000 ppm CO2
// (job: 8 h) or under 20.5 % O2 (common practice) it says to leave.
func TestGasIsANoteNeverAPermission(t *testing.T) {
	for _, c := range []struct {
		line  string
		leave bool
		says  string
	}{
		{line: `20:05 NS {"do":"gas","place":"300 pit","co2":400,"o2":20.9,"meter":"G2"}`,
			says: "CO2 400 ppm, O2 20.9 %, meter G2"},
		{line: `20:05 NS {"do":"gas","place":"300 pit","co2":4999,"meter":"G2"}`, says: "4999 ppm"},
		{line: `20:05 NS {"do":"gas","place":"300 pit","co2":5000,"meter":"G2"}`, leave: true, says: "5000 ppm"},
		{line: `20:05 NS {"do":"gas","place":"300 pit","o2":20.4,"meter":"G2","note":"from the door"}`, leave: true,
			says: "O2 20.4 %, meter G2. Local rules first: leave, ventilate, call."},
		{line: `20:05 NS {"do":"gas","place":"300 pit","o2":20.5,"meter":"G2"}`, says: "O2 20.5 %"},
	} {
		h := openHouse(t)
		h.say(t, c.line)
		text := lastEvent(h.s)
		require.Contains(t, text, c.says)
		require.Equal(t, c.leave, strings.Contains(text, "leave, ventilate, call"), text)
		for _, never := range []string{"safe", "clear", " ok", "may ", "allowed", "fine", "good"} {
			require.NotContains(t, strings.ToLower(text), never)
		}
		g, ok := h.s.LastGas()
		require.True(t, ok)
		require.Equal(t, "G2", g.Meter)
		require.Equal(t, cellar.Initials("NS"), g.By)
		require.Equal(t, "20:05", h.s.Clock(g.At))
	}
}

// TestGasIsTakenBackNeverRewritten: a mistyped reading stops standing, is in the
// sheet's corrections, and no lower figure can be put in its place.
func TestGasIsTakenBackNeverRewritten(t *testing.T) {
	h := openHouse(t)
	h.say(t, gasOf307, permitOf307)
	of := fmt.Sprintf(`"of":%d`, correctables(h)[0].Of)
	for line, says := range map[string]string{
		`20:11 NS {"do":"correct",` + of +
			`,"field":"co2","value":"400","reason":"mistyped"}`: "take the gas reading back and read the air again",
		`20:11 NS {"do":"correct",` + of + `,"take_back":true,"reason":" "}`: "say why",
	} {
		require.ErrorContains(t, h.hear(line), says)
	}
	h.say(t, `20:12 NS {"do":"correct",`+of+`,"take_back":true,"reason":"it was 9 000"}`)
	require.Equal(t, "taken back: gas reading, CO2 900 ppm, O2 20.8 %, meter G2, it was 9 000", lastEvent(h.s))
	_, ok := h.s.LastGasAt("307")
	require.False(t, ok)
	require.ErrorContains(t, h.hear(intoOf307), "no gas reading")
	require.ErrorContains(t, h.hear(`20:16 NS {"do":"correct",`+of+`,"take_back":true,"reason":"again"}`),
		"taken back already")
	require.Contains(t, fmt.Sprint(handover.Sheet(h.s, at("20:20"), sheet.Mark{})),
		"corrected, gas reading, entry: CO2 900 ppm, O2 20.8 %, meter G2 -> taken back (it was 9 000)")
	for c := range h.s.Correctables("") {
		require.Empty(t, c.Place)
	}
}

// TestLastGasIsTheLatestTrueOne: a reading written late does not hide a later one.
func TestLastGasIsTheLatestTrueOne(t *testing.T) {
	h := openHouse(t)
	h.say(t, `20:05 NS {"do":"gas","place":"300 pit","co2":9500,"meter":"G2"}`)
	c, err := cellar.ParseLine([]byte(`{"do":"gas","by":"NS","at":"2026-09-24T19:50:00+02:00","place":"300 pit",` +
		`"co2":4800,"meter":"G2"}`))
	require.NoError(t, err)
	_, err = h.try(c, at("20:10"))
	require.NoError(t, err)
	g, _ := h.s.LastGas()
	require.Equal(t, 9500.0, *g.CO2)
}

// TestEntryIsWhatThePaperSays: the words name the permit and who gave it; the
// line of the faces follows, and a permit that ends over somebody's head is said
// before all else.
func TestEntryIsWhatThePaperSays(t *testing.T) {
	h := openHouse(t)
	require.Equal(t, "NO TANK ENTRY: no live permit", h.s.EntryLine(at("20:00")))
	h.say(t, gasOf307, permitOf307)
	require.Equal(t, "NO TANK ENTRY EXCEPT UNDER PERMIT 17 (307, NS, attendant OF, until 21:30)",
		h.s.EntryLine(at("20:12")))
	require.Len(t, h.s.LivePermits(at("20:12")), 1)
	require.Empty(t, h.s.LivePermits(at("20:09")), "not before it was given")
	require.Empty(t, h.s.LivePermits(at("21:30")), "not from its end on")
	h.say(t, intoOf307)
	require.Equal(t, "by permit 17 of K. Moor, site safety NS went in; attendant OF", lastEvent(h.s))
	require.Equal(t, "NS IN 307 since 20:15; NO TANK ENTRY EXCEPT UNDER PERMIT 17 (307, NS, attendant OF, until 21:30)",
		h.s.EntryLine(at("20:20")))
	require.Equal(t, "NS WENT INTO 307 AND PERMIT 17 ENDED: GET HELP, STAY OUT. NOBODY ENTERS",
		h.s.EntryLine(at("21:31")))
	require.ErrorContains(t, h.hear(`20:30 MA {"do":"permit-end","number":"17"}`), "NS has been in 307")
	require.ErrorContains(t, h.hear(`20:30 NS {"do":"out"}`), "save first that NS came out")
	require.ErrorContains(t, h.hear(`20:30 OF {"do":"break","for":"20min"}`), "is the attendant and must not leave")
	h.say(t, `20:40 OF {"do":"leave-vessel","who":"NS"}`, `20:45 MA {"do":"permit-end","number":"17"}`)
	require.ErrorContains(t, h.hear(`20:50 NS {"do":"permit-end","number":"17"}`), "MA ended permit 17 at 20:45")
	require.Empty(t, h.s.InVessels())
	require.Empty(t, h.s.ClocksOf(h.s.Known("307")), "the permit's clock is answered")
	require.Equal(t, "NO TANK ENTRY: no live permit", h.s.EntryLine(at("20:50")))
}

// TestPermitClockComesBeforeItsEnd: the alarm for "all out" is the attendant's,
// a quarter of an hour before.
func TestPermitClockComesBeforeItsEnd(t *testing.T) {
	h := openHouse(t)
	h.say(t, gasOf307, permitOf307)
	require.Empty(t, h.s.Alarms(at("21:14")))
	due := h.s.Alarms(at("21:15"))
	require.Len(t, due, 1)
	require.Equal(t, "307 all out OF", due[0].Subject.Name+" "+due[0].Says()+" "+string(due[0].Owner))
}

// TestNothingLiftsH17: neither the lead's word nor that it has happened, and each
// thing that is missing is named.
func TestNothingLiftsH17(t *testing.T) {
	for _, c := range []struct {
		name  string
		given []string
		line  string
		lack  []string
	}{
		{"nothing there", nil, `20:15 NS {"do":"enter-vessel","place":"307","permit":""}`, []string{"no permit number",
			"no attendant", "no gas reading"}},
		{"another place", []string{gasOf307, permitOf307}, `20:15 NS {"do":"enter-vessel","place":"308","permit":"17"}`,
			[]string{"permit 17 is for 307", "no gas reading"}},
		{"the attendant himself", []string{gasOf307, permitOf307},
			`20:15 OF {"do":"enter-vessel","place":"307","permit":"17"}`, []string{"OF cannot attend to themselves."}},
		{"the attendant on break", []string{gasOf307, permitOf307, `20:12 OF {"do":"break","for":"20min"}`}, intoOf307,
			[]string{"OF is on break since 20:12"}},
		{"after its end", []string{gasOf307, permitOf307, `21:25 NS {"do":"gas","place":"307","co2":900,"meter":"G2"}`},
			`21:30 NS {"do":"enter-vessel","place":"307","permit":"17"}`,
			[]string{"permit 17 was live from 20:10 to 21:30"}},
		{"an old reading", []string{gasOf307, permitOf307},
			`20:36 NS {"do":"enter-vessel","place":"307","permit":"17"}`, []string{"31 min old"}},
		{"somebody else than the paper says", []string{gasOf307, permitOf307},
			`20:15 MA {"do":"enter-vessel","place":"307","who":"MA","permit":"17"}`, []string{"permit 17 is for NS"}},
		{"who is not on break", []string{gasOf307, permitOf307, `20:12 NS {"do":"break","for":"20min"}`}, intoOf307,
			[]string{"NS has been on break since 20:12"}},
		{"a meter that shows no oxygen", []string{gasOf307, permitOf307,
			`20:12 NS {"do":"gas","place":"307","co2":900,"o2":0,"meter":"G2"}`}, intoOf307,
			[]string{"the gas reading of 20:12 says leave (CO2 900 ppm, O2 0.0 %, meter G2)"}},
		{"a reading that says leave", []string{permitGas,
			`20:12 NS {"do":"gas","place":"307","co2":6000,"meter":"G2"}`}, intoOf307, []string{"says leave"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			for _, more := range []string{``, `,"happened":true`,
				`,"answers":[{"rule":"H17","by":"MA","second":"OF","reason":"he is in there"}]`,
				`,"happened":true,"answers":[{"rule":"H17","by":"OF","second":"MA","reason":"phone"}]`} {
				h := openHouse(t)
				h.say(t, c.given...)
				before := h.s.Seq
				err := h.hear(strings.TrimSuffix(c.line, "}") + more + "}")
				var needs *cellar.Needs
				require.Truef(t, errors.As(err, &needs), "%v", err)
				require.True(t, needs.Final())
				require.Equal(t, gate.Code("H17"), needs.Findings[0].Rule)
				for _, l := range c.lack {
					require.Contains(t, needs.Message(needs.Findings[0]), l)
				}
				require.Equal(t, before, h.s.Seq, "nothing is written")
			}
		})
	}
	h := openHouse(t)
	h.say(t, `21:10 NS {"do":"enter-vessel","place":"307","permit":"","not_done":true}`)
	require.Equal(t, "NS into 307", h.s.Words(h.s.Stopped[0].What), "that it was tried is kept")
	require.Empty(t, h.s.InVessels())
}

const permitGas = `20:10 MA {"do":"permit","number":"17","place":"307","given_by":"K. Moor","holder":"NS",` +
	`"attendant":"OF","until":"2026-09-24T21:30:00+02:00","co2":900,"o2":20.8,"meter":"G2"}`

// TestWhoIsIn: the shift's list is in at its start; breaks keep people on the
// list with a clock of their own; a head count names who is missing.
func TestWhoIsIn(t *testing.T) {
	h := openHouse(t)
	h.say(t, `18:00 MA {"do":"shift-start","lead":"MA","crew":["NS"],"ends":"2026-09-25T06:00:00+02:00"}`,
		`18:30 OF {"do":"in"}`)
	require.Len(t, h.s.OnSite(), 3)
	require.ErrorContains(t, h.hear(`18:31 OF {"do":"in"}`), "OF has been on site since 18:30")
	h.say(t, `23:30 NS {"do":"break","until":"2026-09-25T00:00:00+02:00"}`)
	k := h.s.ClocksOf(h.s.Known("NS"))[0]
	require.Equal(t, "back NS act-at 00:00", k.Says()+" "+string(k.Owner)+" "+string(k.DueKind)+" "+h.s.Clock(k.Due))
	require.True(t, h.s.OnSite()[1].Break)
	h.say(t, `23:40 MA {"do":"head-count","counted":["MA"],"others":2,"place":"yard"}`)
	got, _ := h.s.LastCount()
	require.Equal(t, []cellar.Initials{"OF"}, got.Missing)
	require.Equal(t, "head count 3 (3 on the list): MA and 2 others; on break, not counted: NS; MISSING: OF",
		got.Text())
	h.say(t, `00:05 NS {"do":"back"}`, `00:10 OF {"do":"out"}`)
	require.Empty(t, h.s.ClocksOf(h.s.Known("NS")))
	h.say(t, `00:20 MA {"do":"head-count","counted":["NS","MA"]}`)
	got, _ = h.s.LastCount()
	require.Equal(t, "head count 2 (2 on the list): MA NS; none missing", got.Text())
}

// TestShiftEndIsANotice: it never rings, is answered by the handover, and a new
// shift has its own.
func TestShiftEndIsANotice(t *testing.T) {
	h := openHouse(t)
	h.say(t, `18:00 MA {"do":"shift-start","lead":"MA","ends":"2026-09-24T22:00:00+02:00"}`)
	k := h.s.ClocksOf(h.s.Known("shift"))[0]
	require.Equal(t, "hand over not-before MA", k.Says()+" "+string(k.DueKind)+" "+string(k.Owner))
	require.Empty(t, h.s.Alarms(at("23:00")), "a notice is no alarm")
	h.say(t, `22:05 MA {"do":"shift-start","lead":"NS","ends":"2026-09-25T06:00:00+02:00"}`)
	require.Len(t, h.s.ClocksOf(h.s.Known("shift")), 1)
	h.say(t, `05:55 NS {"do":"shift-end","to":"MA"}`)
	require.Empty(t, h.s.ClocksOf(h.s.Known("shift")))
}

// TestSheetSaysWhoIsInAndWhatWasRead: permits not handed back, people not
// written out, the last gas reading of each place with its age.
func TestSheetSaysWhoIsInAndWhatWasRead(t *testing.T) {
	h := openHouse(t)
	h.say(t, `18:00 MA {"do":"shift-start","lead":"MA","crew":["NS","OF"],"ends":"2026-09-25T06:00:00+02:00"}`,
		`19:00 NS {"do":"gas","place":"300 pit","co2":7000,"meter":"G1"}`, gasOf307, permitOf307, intoOf307,
		`20:20 MA {"do":"head-count","counted":["MA","OF"]}`)
	s := handover.Sheet(h.s, at("21:40"), sheet.Mark{})
	require.Equal(t, "NS WENT INTO 307 AND PERMIT 17 ENDED: GET HELP, STAY OUT. NOBODY ENTERS.",
		s.Safety.NoEntry)
	var got []string
	for _, r := range s.Safety.Rows {
		got = append(got, r.When+" "+r.Where+": "+r.What)
	}
	require.Equal(t, []string{
		"19:00 300 pit: CO2 7000 ppm, meter G1, read 2 h 40 ago. Local rules first: leave, ventilate, call. CO2 " +
			"settles " +
			"low.",
		"20:05 307: CO2 900 ppm, O2 20.8 %, meter G2, read 1 h 35 ago: read again.",
		"20:10 307: permit 17 issued by K. Moor, site safety: N (NS), attendant O (OF), until 21:30. EXPIRED, not " +
			"handed back.",
		"20:15 307: N (NS) WENT IN on permit 17 issued by K. Moor, site safety, attendant O (OF); not signed out.",
		"20:20 crew: head count 2 (3 on the list): MA OF; MISSING: NS. On site: MA NS OF.",
	}, got)
}

// TestSheetHoldsTheHeadCountAgainstWhoIsInNow: who was on break, came since or has
// gone is named, so that the number and the names agree; a fresh reading is no old
// one, and lets nobody in anyway.
func TestSheetHoldsTheHeadCountAgainstWhoIsInNow(t *testing.T) {
	h := openHouse(t)
	h.say(t, `18:00 MA {"do":"shift-start","lead":"MA","crew":["NS"],"ends":"2026-09-25T06:00:00+02:00"}`,
		`20:00 NS {"do":"break","for":"1h"}`,
		`20:20 MA {"do":"head-count","counted":["MA"],"others":1}`, `20:50 NS {"do":"back"}`, `21:00 MA {"do":"out"}`,
		`21:10 OF {"do":"in"}`,
		`21:39 OF {"do":"gas","place":"300 pit","co2":900,"meter":"G1"}`)
	rows := handover.Sheet(h.s, at("21:40"), sheet.Mark{}).Safety.Rows
	require.Equal(t,
		"head count 2, 1 not crew, NS on break, none missing. On site: NS, OF since 21:10; gone: MA.",
		rows[0].What)
	require.Contains(t, rows[1].What, "1 min before this sheet. Read again before anybody goes in.")
	require.NotContains(t, rows[1].What, "old")
}
