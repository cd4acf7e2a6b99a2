package cellar_test

import (
	"cmp"
	"fmt"
	"slices"
	"sort"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/handover"
	"cellar.example/mustwatch/domain/sheet"
)

// kindCase is what is decided of one kind of fact: it is taken back, and the cellar is the
// one in which it was never said, or it says why not and what to do instead.
type kindCase struct {
	given  []string // said before
	says   string   // the line that makes it
	then   []string // said after it, and it stands without it
	by     string   // who takes it back, NS unless said
	when   string   // and when, 23:55 unless said
	answer string   // to the rules, as JSON
	why    string   // what the refusal says; "" where it is taken back
}

func lines(l ...string) []string { return l }

func also(a []string, b ...string) []string { return append(slices.Clone(a), b...) }

var (
	inside = lines(`19:50 MA {"do":"shift-start","lead":"MA","crew":["NS","OF"],"ends":"2026-09-25T06:00:00+02:00"}`,
		gasOf307, permitOf307)
	held      = `19:00 NS {"do":"hold","vessel":"101","reason":"valve drips","releaser":"OF"}`
	testBegun = `20:00 NS {"do":"pectin-test","vessel":"101"}`
	weighing  = `19:00 NS {"do":"weighed","vessel":"101","product":"E-1","rate":"2 g/hL","temp":"14 °C"}`
	pumps     = `19:00 NS {"do":"move-start","from":"102","to":[{"vessel":"201","volume":"50 hL"}],"rate":"50 hL"}`
	alarm     = `19:00 NS {"do":"clock","subject":"101","verb":"call","in":"20m"}`
	pressRuns = also(inP1, pressed[0])
)

// byKind says of every kind of fact whether it can be taken back.
var byKind = map[string]kindCase{
	// loads and presses
	"load-booked": {says: `19:00 MA {"do":"book","load":"0502","variety":"Riesling",` +
		`"booked":"2026-09-24T23:00:00+02:00"}`},
	"load-weighed": {says: weighed, then: lines(`20:05 NS {"do":"reading","vessel":"101","temp":"13 °C"}`)},
	"load-cancelled": {given: lines(`19:00 MA {"do":"book","load":"0502","variety":"Riesling",` +
		`"booked":"2026-09-24T23:00:00+02:00"}`), says: `20:00 MA {"do":"book-cancel","load":"0502","reason":"rain"}`},
	"lot-ended":    {says: `19:00 MA {"do":"lot-end","product":"B-1","reason":"handed back"}`},
	"tipping":      {given: lines(weighed), says: `20:05 NS {"do":"tip","load":"0501","to":"P1","mass":"4 t"}`},
	"tipped":       {given: inP1[:2], says: inP1[2]},
	"press-begun":  {given: inP1, says: pressed[0]},
	"press-halted": {given: pressRuns, says: `21:00 NS {"do":"press-stop","press":"P1","reason":"door sensor"}`},
	"press-resumed": {given: also(pressRuns, `21:00 NS {"do":"press-stop","press":"P1","reason":"door sensor"}`),
		says: `21:10 NS {"do":"press-resume","press":"P1"}`},
	"juice-ran": {given: pressRuns, says: pressed[1]},
	"juice-closed": {given: also(ended, `23:00 NS {"do":"press-free","press":"P1","more":true}`),
		says: `23:05 NS {"do":"juice-close","vessel":"103"}`},
	"press-ended": {given: also(pressRuns, pressed[1]),
		says: `22:45 NS {"do":"juice","press":"P1","share":"pressings","volume":"20 hL","end":true}`},
	"press-freed": {given: ended, says: `23:20 NS {"do":"press-free","press":"P1","more":true}`},
	// juice
	"moved": {says: `19:00 NS {"do":"move","from":"102","to":[{"vessel":"201","volume":"120.5 hL"}]}`,
		then: lines(`19:30 NS {"do":"reading","vessel":"101","temp":"13 °C"}`)},
	"dosed": {given: lines(`18:50 NS {"do":"clock","subject":"101","verb":"dose E-1","in":"30m"}`,
		`18:51 NS {"do":"order","act":"dose","vessel":"101","product":"E-1","from":"OF"}`),
		says: `19:00 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL","temp":"14 °C"}`},
	"dose-weighed": {says: weighing},
	"weighed-back": {given: lines(weighing), says: `19:20 NS {"do":"weighed-back","vessel":"101","product":"E-1",` +
		`"reason":"not now"}`},
	"tub-opened": {says: `19:00 NS {"do":"tub","product":"E-1"}`,
		then: lines(`19:10 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL","temp":"14 °C"}`)},
	"stock-counted": {says: `19:00 NS {"do":"tub","product":"E-1","count":"1.5 kg"}`,
		then: lines(`19:10 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL","temp":"14 °C"}`)},
	"reading-taken":     {says: `19:00 NS {"do":"reading","vessel":"101","words":"smells of pears"}`},
	"pectin-test-begun": {says: testBegun},
	"pectin-test-read": {given: lines(testBegun), says: `20:05 NS {"do":"pectin-test-read","vessel":"101",` +
		`"sample":"clear","control":"flocs"}`},
	"paper-drop":     {says: `19:00 NS {"do":"paper-drop","vessel":"101","method":"a","ring":"wide ring"}`},
	"staged":         {says: `19:00 NS {"do":"stage","vessel":"101","stage":"settling","for":"2h"}`},
	"routed":         {says: `19:00 NS {"do":"route","vessel":"101","route":"float"}`},
	"move-begun":     {says: pumps},
	"put-on-hold":    {says: held, by: "OF"},
	"released":       {given: lines(held), says: `19:30 OF {"do":"release","vessel":"101","reason":"seal changed"}`},
	"releaser-named": {given: lines(held), says: `19:30 OF {"do":"hand-on","to":"MA"}`, by: "MA"},
	"gas-read":       {says: gasOf307},
	// beside the book
	"noted": {says: `19:00 NS {"do":"note","subject":"101","text":"pump is loud","what":"promise","for":"MA",` +
		`"until":"2026-09-24T23:00:00+02:00"}`},
	"note-ended": {given: lines(`19:00 NS {"do":"note","subject":"101","text":"pump is loud","what":"promise",` +
		`"for":"MA","until":"2026-09-24T23:00:00+02:00"}`),
		says: `19:30 NS {"do":"note-done","subject":"101"}`},
	"ordered": {says: `19:00 NS {"do":"order","act":"float","vessel":"101","from":"OF"}`},
	"order-ended": {given: lines(`19:00 NS {"do":"order","act":"float","vessel":"101","from":"OF"}`),
		says: `19:30 NS {"do":"order-end","vessel":"101","off":true,"reason":"settle it"}`},
	"bottle-set": {given: lines(`18:30 NS {"do":"bottle","bottle":"A-1","abv":96}`),
		says: `19:00 NS {"do":"bottle","bottle":"A-1","abv":69}`,
		then: lines(`19:05 NS {"do":"bottle","bottle":"A-2","abv":96}`)},
	"clock-set":   {says: alarm},
	"person-left": {given: also(inside, intoOf307), says: `20:40 NS {"do":"leave-vessel","who":"NS"}`},
	"person-entered": {given: inside, says: intoOf307, by: "MA", when: "20:20",
		answer: `{"rule":"H17","by":"MA","reason":"NS stands beside me"}`},
	"shift-started": {given: inside[:1], says: `20:00 OF {"do":"shift-start","lead":"OF",` +
		`"ends":"2026-09-25T07:00:00+02:00","answers":[{"rule":"D30","by":"OF","reason":"x"}]}`, by: "MA"},
	// what stays
	"permit-written": {given: lines(gasOf307), says: permitOf307, why: "end the permit"},
	"permit-ended": {given: lines(gasOf307, permitOf307), says: `20:30 MA {"do":"permit-end","number":"17"}`,
		why: "get a new permit on paper"},
	"attendant-named": {given: also(inside, intoOf307),
		says: `20:20 MA {"do":"attendant","number":"17","attendant":"MA"}`, why: "name another attendant"},
	"came-in":   {says: `19:00 NS {"do":"in","who":"OF"}`, why: "save that they left (z o)"},
	"handed-on": {given: lines(alarm), says: `19:05 NS {"do":"hand-on","to":"MA"}`, why: "hand it on again"},
	"went-out": {given: lines(`19:00 NS {"do":"in","who":"OF"}`), says: `19:10 NS {"do":"out","who":"OF"}`,
		why: "save that they are in (z i)"},
	"break-begun": {says: `19:00 NS {"do":"break","for":"20m"}`, why: "save that they are back (z k)"},
	"break-ended": {given: lines(`19:00 NS {"do":"break","for":"20m"}`), says: `19:10 NS {"do":"back"}`,
		why: "save the break again (z b)"},
	"heads-counted": {says: `19:00 NS {"do":"head-count","counted":["NS"]}`, why: "count heads again (z h)"},
	"emergency-ended": {given: lines(`19:00 NS {"do":"gas","place":"300 pit","co2":45000,"meter":"G2"}`),
		says: `19:10 MA {"do":"end-emergency","of":"300 pit","who":"MA","how":"fans on","answers":[{"rule":"H18",` +
			`"of":"300 pit","by":"MA","reason":"all out"}]}`, why: "raise the emergency again"},
	"gas-details-given": {given: lines(`19:00 NS {"do":"gas","co2":16000}`),
		says: `19:01 NS {"do":"gas-details","place":"300 pit","meter":"G2"}`, why: "read the air again"},
	"clock-moved": {given: lines(alarm), says: rebase("19:05", "101", "call", "19:40"),
		why: "give the clock its time again"},
	"clock-answered": {given: lines(alarm), says: `19:05 NS {"do":"clock-move","subject":"101","verb":"call",` +
		`"done":true}`, why: "take back the entry that answered it"},
	"clock-cancelled": {given: lines(alarm), says: `19:05 NS {"do":"clock-move","subject":"101","verb":"call",` +
		`"off":true,"reason":"x"}`, why: "set the clock again"},
	"clock-acknowledged": {given: lines(alarm), says: `19:25 NS {"do":"acknowledge","subject":"101","verb":"call"}`,
		why: "snooze it or do what it asks"},
	"clock-snoozed": {given: lines(alarm), says: `19:25 NS {"do":"snooze","subject":"101","verb":"call",` +
		`"in":"10m","reason":"x"}`, why: "acknowledge it"},
	"shift-ended": {given: inside[:1], says: `20:00 MA {"do":"shift-end","to":"OF","answers":[{"rule":"D30",` +
		`"by":"MA","reason":"x"}]}`, why: "start the shift again"},
	"season-begun":  {why: "leave it: the journal goes on"},
	"season-closed": {why: "season 2026 was closed at"},
	"sheet-printed": {says: `19:00 MA {"do":"sheet"}`, why: "print another sheet"},
	"corrected": {given: lines(alarm), says: `19:05 NS {"do":"correct","of":15,"take_back":true,"reason":"x"}`,
		why: "correct the entry again"},
	"saved-together": {says: `19:00 NS {"do":"together","lines":[{"do":"reading","vessel":"101","temp":"13 °C"}]}`,
		why: "take the lines of the batch back"},
	"same-entry": {given: lines(`19:00 NS {"do":"dose","vessel":"101","product":"S-1","rate":"2 g/hL"}`),
		says: `19:05 MA {"do":"dose","vessel":"101","product":"S-1","rate":"2 g/hL","same":true}`,
		why:  "take the entry back that was saved twice"},
	"rule-answered": {given: lines(held), why: "what was answered",
		says: `19:30 MA {"do":"release","vessel":"101","reason":"seal changed","answers":[{"rule":"H15","by":"OF",` +
			`"reason":"by phone"}]}`},
	"stopped": {given: lines(`19:00 NS {"do":"dose","vessel":"101","product":"S-1","rate":"2 g/hL"}`),
		says: `19:30 NS {"do":"dose","vessel":"101","product":"S-1","rate":"2 g/hL","not_done":true}`,
		why:  "what was stopped"},
	"product-booked": {says: `19:00 MA {"do":"product","product":"B-2","name":"bentonite","class":"bentonite",` +
		`"unit":"g/hL","open":"5 kg"}`, why: "save its card"},
	"card-set": {says: `19:00 MA {"do":"product","product":"B-1","name":"bentonite","class":"bentonite",` +
		`"unit":"g/hL"}`, why: "save the card again"},
	"house-set":       {why: "change the house itself"},
	"vessel-added":    {why: "leave the tank"},
	"vessel-changed":  {says: `19:00 MA {"do":"vessel","vessel":"101","brim":"260 hL"}`, why: "save the vessel again"},
	"press-added":     {why: "leave the press"},
	"cellar-opened":   {why: "touches several vessels"}, // it is taken back line by line, see TestOpening…
	"rehearsal-begun": {says: "-", why: "start another rehearsal"},
	"clock-anchored": {says: `19:00 MA {"do":"clock-anchor","house":"2026-09-24T19:00:00+02:00",` +
		`"wall":"2026-09-24T19:00:00+02:00","boot_id":"1","boot_ns":60000000000}`, why: "confirm the time"},
	"clock-stepped": {says: `19:00 MA {"do":"clock-step","from":"2026-09-24T19:00:00+02:00",` +
		`"to":"2026-09-24T20:00:00+02:00"}`, why: "confirm the time"},
	"machine-slept": {says: `19:00 MA {"do":"machine-sleep","from":"2026-09-24T18:40:00+02:00",` +
		`"until":"2026-09-24T18:50:00+02:00"}`, why: "save a note"},
	"time-confirmed": {says: `19:00 MA {"do":"time","now":"2026-09-24T19:00:00+02:00"}`,
		why: "confirm the time again"},
}

// beside is what the ledger does not tell of a cellar: notes, orders, bottles, clocks that
// people set, who is in a vessel and who has a permit.
func besideLedger(s *cellar.State) string {
	var out []string
	say := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	for _, n := range s.Notes {
		say("note of %s: %s %s, done %v by %s", n.Subject.Full(), n.Text, n.Until, n.Done, n.DoneBy)
	}
	for _, o := range s.Orders {
		say("order %s of %s, done %v %s", s.Words(o.Say()), o.From, o.Done, s.Words(o.How))
	}
	for _, b := range s.Bottles() {
		say("bottle %s %g %s", b.ID, b.Strength, b.Opened)
	}
	for _, k := range s.Clocks() {
		if !k.Derived {
			say("clock %s %s %s %s", k.Subject.Full(), k.Says(), k.DueKind, k.Due)
		}
	}
	for _, g := range s.GasReadings() {
		if !g.TakenBack {
			say("air %s", g.Text())
		}
	}
	for _, in := range s.InVessels() {
		say("%s in %s by %s since %s", in.Who, in.Place, in.Number, in.Since)
	}
	for _, p := range s.OnSite() {
		say("%s on site since %s, break %v", p.Who, p.In, p.Break)
	}
	say("shift of %s, %v, %s to %s, next %s", s.Shift.Lead, s.Shift.Crew, s.Shift.Started, s.Shift.Ends, s.Shift.Next)
	sort.Strings(out)
	return strings.Join(out, "\n")
}

// saidOf is the house in which lines were said, and the last record of a kind in it.
func saidOf(t *testing.T, kind string, given, says, then []string) (h *house, of cellar.Seq) {
	h = openHouse(t)
	h.t = t
	h.say(t, given...)
	h.saw = func(r cellar.Record) {
		if cellar.Kind(r.Fact) == kind {
			of = r.Seq
		}
	}
	h.say(t, says...)
	h.saw = nil
	h.say(t, then...)
	return h, of
}

// TestEveryKindIsTakenBackOrSaysWhy goes over every kind of fact that there is: taken back,
// it leaves the cellar in which it was never said; or it says what to do instead.
func TestEveryKindIsTakenBackOrSaysWhy(t *testing.T) {
	for _, kind := range cellar.Kinds() {
		t.Run(kind, func(t *testing.T) {
			c, decided := byKind[kind]
			require.True(t, decided, "decide whether %s can be taken back: correct_line.go, correct_aside.go or "+
				"correct_never.go, and a row here", kind)
			h, of := saidOf(t, kind, c.given, rest(c.says), c.then)
			switch {
			case of != 0:
			case kind == "rehearsal-begun":
				h = newHouse(t)
				require.NoError(t, h.line(`{"do":"rehearse","at":"2026-09-24T18:00:00+02:00","title":"a night"}`))
				for _, l := range smallHouse {
					require.NoError(t, h.line(l))
				}
				of = 1
			case kind == "season-begun":
				h = newHouse(t)
				h.now = sixPM
				h.does(t, &cellar.BeginSeason{Head: cellar.Head{At: sixPM}, After: cellar.Former{Season: "2025"}})
				for _, l := range smallHouse {
					require.NoError(t, h.line(l))
				}
				of = 1
			case kind == "season-closed":
				h.does(t, &cellar.CloseSeason{Head: cellar.Head{By: "MA"}, Season: "2026"})
				of = h.s.Seq
			default:
				of = map[string]cellar.Seq{"house-set": 1, "vessel-added": 2, "press-added": 9,
					"cellar-opened": h.s.Seq}[kind]
			}
			require.NotZero(t, of, "no %s was saved", kind)
			by, when := cmp.Or(c.by, "NS"), cmp.Or(c.when, "23:55")
			take := func(more string) error {
				return h.hear(fmt.Sprintf(`%s %s {"do":"correct","of":%d,"take_back":true,"reason":"mistyped"%s}`, when,
					by, of, more))
			}
			if c.why != "" {
				require.ErrorContains(t, take(""), c.why)
				for x := range h.s.Correctables("") {
					require.False(t, x.Of == of && kind != "cellar-opened", "%s is offered: %v", kind, x)
				}
				return
			}
			require.True(t, slices.ContainsFunc(correctables(h), func(x cellar.Correctable) bool {
				return x.Of == of &&
					x.Says != ""
			}), "nobody is offered to take it back")
			if c.answer != "" {
				require.Error(t, take(""), "it is asked about")
				c.answer = `,"answers":[` + c.answer + `]`
			}
			require.NoError(t, take(c.answer))
			require.True(t, logs(h.s, "taken back: "), "the log says it")
			told := fmt.Sprint(handover.Sheet(h.s, at("23:58"), sheet.Mark{}))
			require.True(t, strings.Contains(told, "taken back, ") || strings.Contains(told, "-> taken back"),
				"the next sheet says it")
			require.False(t, slices.ContainsFunc(correctables(h),
				func(x cellar.Correctable) bool { return x.Of == of }), "it is taken back already")
			require.ErrorContains(t, take(c.answer), "taken back already")
			never, _ := saidOf(t, kind, c.given, others(c, kind), c.then)
			require.Equal(t, standing(never.s), standing(h.s))
			require.Equal(t, besideLedger(never.s), besideLedger(h.s))
		})
	}
	for kind := range byKind {
		require.Contains(t, cellar.Kinds(), kind)
	}
}

// logs reports whether one of the last lines of the log begins with words.
func logs(s *cellar.State, words string) bool {
	n := 0
	for e := range s.LatestEvents {
		if n++; strings.HasPrefix(e.Text, words) {
			return true
		}
		if n > 20 {
			break
		}
	}
	return false
}

func rest(line string) []string {
	if line == "" || line == "-" {
		return nil
	}
	return lines(line)
}

// others is what else the line of a case says: taken back is one record of it.
func others(c kindCase, kind string) []string {
	when := c.says[:6]
	switch kind {
	case "dosed", "dose-weighed":
		return lines(when + `NS {"do":"reading","vessel":"101","temp":"14 °C"}`)
	case "press-ended":
		return lines(strings.Replace(c.says, `,"end":true`, "", 1))
	}
	return nil
}

// A hold that is taken back ends by its releaser's word alone, whoever put it on.
func TestAHoldIsTakenBackByItsReleasersWord(t *testing.T) {
	h, of := saidOf(t, "put-on-hold", nil, lines(held), nil)
	take := fmt.Sprintf(`19:10 NS {"do":"correct","of":%d,"take_back":true,"happened":true,"reason":"wrong tank"`, of)
	require.ErrorContains(t, h.hear(take+`}`), "H15")
	require.ErrorContains(t, h.hear(take+`,"answers":[{"rule":"H15","by":"NS","reason":"mine"}]}`), "H15")
	v, _ := h.s.Vessel("101")
	require.NotNil(t, v.Hold)
	h.say(t, take+`,"answers":[{"rule":"H15","by":"OF","reason":"by phone"}]}`)
	require.Nil(t, v.Hold)
	require.Contains(t, fmt.Sprint(h.s.Answered[len(h.s.Answered)-1]), "by phone")
}

// A stop that is taken back would have the press turn: not while somebody is in it, and
// whose lock it was is asked as when it goes on.
func TestAStopIsNotTakenBackWhileSomebodyIsIn(t *testing.T) {
	h, of := saidOf(t, "press-halted", pressRuns, lines(`21:00 NS {"do":"press-stop","press":"P1","reason":"jam",`+
		`"locked":true}`),
		lines(`21:01 MA {"do":"shift-start","lead":"MA","crew":["NS","OF"]}`,
			`21:02 NS {"do":"gas","place":"P1","co2":900,"o2":20.8,"meter":"G2"}`,
			`21:03 MA {"do":"permit","number":"18","place":"P1","given_by":"site safety","holder":"NS",`+
				`"attendant":"OF","until":"2026-09-24T22:00:00+02:00"}`,
			`21:04 NS {"do":"enter-vessel","place":"P1","permit":"18"}`))
	take := fmt.Sprintf(`21:10 MA {"do":"correct","of":%d,"take_back":true,"reason":"it was P2"`, of)
	require.ErrorContains(t, h.hear(take+`}`), "H17: NS IN P1")
	require.ErrorContains(t, h.hear(take+`,"answers":[{"rule":"H17","by":"OF","second":"MA","reason":"x"}]}`), "H17")
	h.say(t, `21:15 NS {"do":"leave-vessel"}`)
	take = strings.Replace(take, "21:10", "21:16", 1)
	require.ErrorContains(t, h.hear(take+`}`), "D33", "and whose lock it was is asked")
	h.say(t, take+`,"answers":[{"rule":"D33","by":"MA","reason":"it hangs on P2"}]}`)
	p, _ := h.s.Press("P1")
	require.Equal(t, cellar.PressRunning, p.State)
}

// Somebody's entry is taken back by the lead alone, never while it calls for help, and it
// stays to be seen; that somebody came out is taken back by anybody, and nobody watches.
func TestAPersonsEntryIsTakenBackByTheLead(t *testing.T) {
	h, of := saidOf(t, "person-entered", inside, lines(intoOf307), nil)
	take := func(when, by, more string) error {
		return h.hear(fmt.Sprintf(`%s %s {"do":"correct","of":%d,"take_back":true,"happened":true,`+
			`"reason":"NS never went in"%s}`, when, by, of, more))
	}
	require.ErrorContains(t, take("20:20", "NS", ""), "H17: The board then no longer says that NS is in 307.")
	require.ErrorContains(t, take("20:20", "NS", `,"answers":[{"rule":"H17","by":"NS","reason":"x"}]`), "H17")
	require.ErrorContains(t, take("21:45", "MA", `,"answers":[{"rule":"H17","by":"MA","reason":"x"}]`), "find NS first",
		"the permit has ended")
	require.NoError(t, take("20:20", "MA", `,"answers":[{"rule":"H17","by":"MA","reason":"NS stands beside me"}]`))
	require.Empty(t, h.s.InVessels())
	require.Equal(t, cellar.Initials("MA"), h.s.Stays()[0].Taken)
	require.Contains(t, fmt.Sprint(handover.Sheet(h.s, at("21:00"), sheet.Mark{})),
		"on permit 17 was taken back at 20:20 by")

	h, of = saidOf(t, "person-left", also(inside, intoOf307), lines(`20:40 NS {"do":"leave-vessel","who":"NS"}`), nil)
	h.say(t, fmt.Sprintf(`20:41 OF {"do":"correct","of":%d,"take_back":true,"reason":"that was MA"}`, of))
	require.Len(t, h.s.InVessels(), 1)
	require.False(t, h.s.InVessels()[0].Alone.IsZero(), "who watches is to be named again")
	require.True(t, logs(h.s, "NO ATTENDANT FOR NS"))
}

// Grapes are not taken out from under juice that ran; the juice is taken back first, or
// both together in that order.
func TestGrapesAreNotTakenBackUnderTheirJuice(t *testing.T) {
	h, of := saidOf(t, "tipping", lines(weighed), lines(inP1[1]), append(lines(inP1[2]), pressed...))
	take := fmt.Sprintf(`{"do":"correct","of":%d,"take_back":true,"reason":"wrong press"}`, of)
	require.ErrorContains(t, h.hear("22:10 NS "+take), "80.0 hL ran from P1; with this it had 0.0 t of grapes. Take "+
		"that juice back first")
	ran := slices.IndexFunc(correctables(h), func(x cellar.Correctable) bool {
		return x.Says == "in from P1" &&
			x.Field == "volume"
	})
	h.say(t, fmt.Sprintf(`22:10 NS {"do":"together","lines":[{"do":"correct","of":%d,"take_back":true,`+
		`"reason":"wrong press"},%s]}`, correctables(h)[ran].Of, take))
	p, _ := h.s.Press("P1")
	require.Empty(t, p.Parts)
}

// What has no value is given its true time, and what was counted or weighed its amount: the
// cellar is the one in which it was said right the first time.
func TestActsAreGivenTheirTrueTime(t *testing.T) {
	for kind, c := range map[string]struct {
		given             []string
		wrong, field, now string
		right             string
	}{
		"press-halted": {given: pressRuns, wrong: `21:00 NS {"do":"press-stop","press":"P1","reason":"jam"}`,
			field: "at", now: "2026-09-24T20:50:00+02:00",
			right: `20:50 NS {"do":"press-stop","press":"P1","reason":"jam"}`},
		"tipping": {given: lines(weighed), wrong: inP1[1], field: "at", now: "2026-09-24T20:02:00+02:00",
			right: strings.Replace(inP1[1], "20:05", "20:02", 1)},
		"load-weighed": {wrong: weighed, field: "at", now: "2026-09-24T17:20:00+02:00", right: strings.Replace(weighed,
			"20:00", "17:20", 1)},
		"put-on-hold": {wrong: held, field: "at", now: "2026-09-24T18:30:00+02:00", right: strings.Replace(held,
			"19:00", "18:30", 1)},
		"tub-opened": {wrong: `19:00 NS {"do":"tub","product":"E-1"}`, field: "at", now: "2026-09-24T18:30:00+02:00",
			right: `18:30 NS {"do":"tub","product":"E-1"}`},
		"stock-counted": {wrong: `19:00 NS {"do":"tub","product":"E-1","count":"1.5 kg"}`, field: "count",
			now: "1.2 kg", right: `19:00 NS {"do":"tub","product":"E-1","count":"1.2 kg"}`},
		"dose-weighed": {wrong: weighing, field: "amount", now: "390 g", right: strings.Replace(weighing, `"temp"`,
			`"amount":"390 g","temp"`, 1)},
		"routed": {wrong: `19:00 NS {"do":"route","vessel":"101","route":"float"}`, field: "at",
			now: "2026-09-24T18:30:00+02:00", right: `18:30 NS {"do":"route","vessel":"101","route":"float"}`},
	} {
		t.Run(kind, func(t *testing.T) {
			h, of := saidOf(t, kind, c.given, lines(c.wrong), nil)
			h.say(t, fmt.Sprintf(`22:30 NS {"do":"correct","of":%d,"field":%q,"value":%q,"reason":"mistyped"}`, of,
				c.field, c.now))
			want, _ := saidOf(t, kind, c.given, lines(c.right), nil)
			require.Equal(t, standing(want.s), standing(h.s))
			for line, says := range map[string]string{
				fmt.Sprintf(`22:31 NS {"do":"correct","of":%d,"field":"volume","value":"1 hL","reason":"x"}`,
					of): "take it back and save it as it was",
				fmt.Sprintf(`22:31 NS {"do":"correct","of":%d,"field":"at","value":"2026-09-24T23:59:00+02:00",`+
					`"reason":"x"}`, of): "not in the future",
			} {
				if kind != "load-weighed" && kind != "tipping" || strings.Contains(says, "future") {
					require.ErrorContains(t, h.hear(line), says)
				}
			}
		})
	}
}
