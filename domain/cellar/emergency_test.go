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

var badAir = []string{`01:45 NS {"do":"gas","place":"300 pit","co2":25000,"o2":18.5,"meter":"G2"}`}

const lowAir = `02:10 NS {"do":"gas","place":"300 pit","co2":2900,"o2":20.8,"meter":"G2"}`

// shown are the emergencies of a moment in one word each.
func shown(s *cellar.State, now string) string {
	var out []string
	for _, e := range s.Emergencies(at(now)) {
		out = append(out, string(e.Kind)+" "+e.Subject())
	}
	return strings.Join(out, ", ")
}

// TestGasLimits: at 15 000 ppm CO2 (HSE EH40/2005, fifteen minutes) or below 19.5 % O2
// (29 CFR 1910.146) it is an emergency; from 5 000 ppm (2006/15/EC, HSE EH40/2005, OSHA,
// eight hours) everybody leaves, and nothing more.
func TestGasLimits(t *testing.T) {
	for _, c := range []struct {
		read             string
		leave, emergency bool
	}{
		{read: `"co2":4999`}, {read: `"co2":5000`, leave: true}, {read: `"co2":14999`, leave: true},
		{read: `"co2":15000`, leave: true, emergency: true}, {read: `"co2":1000000`, leave: true, emergency: true},
		{read: `"o2":20.5`}, {read: `"o2":20.4`, leave: true}, {read: `"o2":19.5`, leave: true}, {read: `"o2":19.4`,
			leave: true, emergency: true}, {read: `"o2":0`, leave: true, emergency: true},
		{read: `"co2":400,"o2":19.4`, leave: true, emergency: true},
	} {
		h := openHouse(t)
		h.say(t, `20:05 NS {"do":"gas","place":"300 pit",`+c.read+`,"meter":"G2"}`)
		g, _ := h.s.LastGas()
		require.Equal(t, c.leave, h.s.Leave(g), c.read)
		require.Equal(t, c.emergency, len(h.s.Emergencies(at("20:05"))) == 1, c.read)
		require.Empty(t, h.s.Alarms(at("20:05")), "it is no clock that is seen or snoozed")
	}
}

// TestGasLimitsAreTheHouses: they are set, bounded, and none is moved away from under
// an emergency that stands. A journal older than they are has the defaults.
func TestGasLimitsAreTheHouses(t *testing.T) {
	h := openHouse(t)
	require.Equal(t, cellar.Limits{}.Whole().CO2Emergency, 15000.0)
	h.say(t, `20:00 MA {"do":"house","limits":{"co2_emergency":9000,"o2_emergency":19}}`,
		`20:05 NS {"do":"gas","place":"300 pit","co2":9000,"meter":"G2"}`,
		`20:06 NS {"do":"gas","place":"201","o2":19.2,"meter":"G2"}`)
	require.Equal(t, "gas 300 pit", shown(h.s, "20:06"))
	h.say(t, `20:10 MA {"do":"house","limits":{"co2_emergency":30000}}`)
	require.Equal(t, "gas 300 pit", shown(h.s, "20:10"))
	for _, bad := range []string{`"co2_emergency":50000`, `"co2_emergency":4000`, `"co2_leave":500`,
		`"o2_emergency":10`, `"o2_emergency":20.8`, `"o2_leave":21`} {
		require.ErrorContains(t, h.hear(`20:11 MA {"do":"house","limits":{`+bad+`}}`), "must be between", bad)
	}
}

// TestBadAirStandsUntilAPersonEndsIt: no lower reading, no hour and no other place
// ends it; the words carry what was read, by whom and what is newer, and nothing in
// them permits anything.
func TestBadAirStandsUntilAPersonEndsIt(t *testing.T) {
	h := openHouse(t)
	h.say(t, badAir...)
	e := h.s.Emergencies(at("01:53"))[0]
	require.Equal(t, "300 PIT: STAY OUT. CO2 25000 ppm, O2 18.5 %, meter G2, read 01:45 by NS, 8 min ago. GET OUT. "+
		"VENTILATE. CALL. Never go in after anyone.", e.Line())
	h.say(t, lowAir, `02:11 NS {"do":"gas","place":"201","co2":450,"meter":"G2"}`)
	e = h.s.Emergencies(at("02:12"))[0]
	require.Contains(t, e.Line(), "newer reading, 02:10 by NS: CO2 2900 ppm, O2 20.8 %, meter G2")
	require.Equal(t, "gas 300 pit", shown(h.s, "11:00"))
	for _, never := range []string{"safe", "clear", " ok", "may ", "allowed", "fine", "good", " in "} {
		require.NotContains(t, strings.ToLower(strings.TrimSuffix(e.Line(), e.Act)), never)
	}
	require.ErrorContains(t, h.hear(`02:15 NS {"do":"end-emergency","of":"300 pit","how":" "}`),
		"say what was found and done")
	require.ErrorContains(t, h.hear(`02:15 NS {"do":"end-emergency","of":"300 pit","who":"XX","how":"fans"}`),
		"not on the list of people; choose from MA NS OF")
	require.ErrorContains(t, h.hear(`02:15 NS {"do":"end-emergency","of":"301","how":"fans"}`), "which one? 300 pit")
	h.say(t, `02:15 NS {"do":"end-emergency","of":"300 PIT","who":"MA","how":"fans 18 min, read twice from the door"}`)
	require.Empty(t, h.s.Emergencies(at("02:16")))
	require.Equal(t, "emergency ended by MA: fans 18 min, read twice from the door. This is no permission to enter",
		lastEvent(h.s))
	h.say(t, `02:20 NS {"do":"gas","place":"300 pit","co2":16000,"meter":"G2"}`)
	require.Equal(t, "gas 300 pit", shown(h.s, "02:21"), "a new one is a new one")
	h.say(t, strings.Replace(lowAir, "02:10", "02:25", 1))
	late := `02:24 NS {"do":"end-emergency","how":"written late","at":"2026-09-25T02:18:00+02:00"}`
	require.ErrorContains(t, h.hear(late), "there was no emergency at 02:18", "what was read after it is not ended")
}

// TestABadReadingIsNeverHeldUp: without a place, without a meter, from a place the
// house does not know it is saved and raised, and what is missing is asked after.
func TestABadReadingIsNeverHeldUp(t *testing.T) {
	for name, c := range map[string]struct{ read, shown, told, then string }{
		"no place": {`"co2":25000,"meter":"G2"`, "gas place not said", `"place":"201"`, "gas 201"},
		"no meter": {`"place":"201","o2":18.5`, "gas 201", `"meter":"G2"`, "gas 201"},
		"neither":  {`"co2":25000`, "gas place not said", `"place":"300 pit","meter":"G2"`, "gas 300 pit"},
		"slip":     {`"place":"210","co2":25000,"meter":"G2"`, "gas 210", `"place":"201"`, "gas 201"},
		"a new name": {`"place":"lower gallery","co2":25000,"meter":"G2"`, "gas lower gallery",
			`"place":"lower gallery"`, "gas lower gallery"},
	} {
		t.Run(name, func(t *testing.T) {
			h := openHouse(t)
			h.say(t, `20:05 NS {"do":"gas",`+c.read+`}`)
			require.Equal(t, c.shown, shown(h.s, "20:06"))
			ask, ok := h.s.GasAsks()
			require.True(t, ok)
			require.Equal(t, h.s.Seq, ask.Of)
			h.say(t, `20:07 NS {"do":"gas-details",`+c.told+`}`)
			_, ok = h.s.GasAsks()
			require.False(t, ok, "asked once")
			require.Equal(t, c.then, shown(h.s, "20:08"))
		})
	}
}

// TestGasPlacesAreTheHouses: its own list, written as it stands there, and its vessels
// and presses; another place is saved first, and asked about until somebody says that
// it is right.
func TestGasPlacesAreTheHouses(t *testing.T) {
	h := openHouse(t)
	h.say(t, `20:00 MA {"do":"house","gas_places":["300 pit","lower gallery"]}`)
	for typed, kept := range map[string]string{"300 PIT": "300 pit", " lower gallery ": "lower gallery", "p1": "P1",
		"201": "201"} {
		h.say(t, fmt.Sprintf(`20:05 NS {"do":"gas","place":%q,"co2":900,"meter":"G2"}`, typed))
		g, _ := h.s.LastGas()
		require.Equal(t, kept, g.Place)
		_, asks := h.s.GasAsks()
		require.False(t, asks, typed)
	}
	h.say(t, `20:06 NS {"do":"gas","place":"300 pti","co2":900,"meter":"G2"}`)
	ask, ok := h.s.GasAsks()
	require.True(t, ok && ask.Place && !ask.Meter)
	require.ErrorContains(t, h.hear(`20:07 NS {"do":"gas-details","meter":"G3"}`), "that reading is of meter G2")
	h.say(t, `20:07 NS {"do":"gas-details","place":"300 Pit"}`)
	g, _ := h.s.LastGasAt("300 pit")
	require.Equal(t, "20:06", h.s.Clock(g.At))
	require.Equal(t, "the gas reading of 20:06 is of here: CO2 900 ppm, meter G2; first saved for 300 pti",
		lastEvent(h.s))
	require.ErrorContains(t, h.hear(fmt.Sprintf(`20:08 NS {"do":"gas-details","of":%d,"place":"201"}`, g.Seq)),
		"that reading is of 300 pit", "a reading is not moved elsewhere")
	for _, bad := range []string{`[""]`, `["a","A"]`, `[" a"]`} {
		require.ErrorContains(t, h.hear(`20:09 MA {"do":"house","gas_places":`+bad+`}`), "gas place")
	}
}

// TestAMissingPersonIsAnEmergency: with who was last where; whoever is counted is
// found, and nothing else but a person's word ends it.
func TestAMissingPersonIsAnEmergency(t *testing.T) {
	h := openHouse(t)
	h.say(t, shiftOf, `00:25 NS {"do":"note","subject":"pomace trailer","text":"Full."}`,
		`01:10 OF {"do":"reading","vessel":"101","temp":"14 °C"}`,
		`01:20 MA {"do":"head-count","counted":["MA"]}`)
	e := h.s.Emergencies(at("01:22"))
	require.Len(t, e, 1)
	require.Equal(t, "MISSING: NS OF. 1 of 3 counted at 01:20 by MA, 2 min ago. NS last entry at 00:25: pomace "+
		"trailer. OF last entry at 01:10: 101. Shout their name. Meter before any pit. Nobody goes down alone.",
		e[0].Line())
	h.say(t, `01:25 MA {"do":"head-count","counted":["MA","OF"]}`)
	require.Equal(t, "missing NS", shown(h.s, "01:26"))
	h.say(t, `01:27 MA {"do":"out","who":"NS"}`, `01:28 MA {"do":"head-count","counted":["MA","OF"]}`)
	require.Equal(t, "missing NS", shown(h.s, "23:00"), "off the list is not found")
	h.say(t, `01:30 OF {"do":"end-emergency","of":"ns","how":"at home, answers the phone"}`)
	require.Empty(t, h.s.Emergencies(at("01:31")))
	require.Equal(t, "NS is no longer missing, says OF: at home, answers the phone", lastEvent(h.s))
}

// TestACountWrittenLateRaisesNobodyWhoWasCountedSince: nor does it find who was
// missing after it.
func TestACountWrittenLateRaisesNobodyWhoWasCountedSince(t *testing.T) {
	late := func(h *house, now, at, counted string) {
		h.say(t, fmt.Sprintf(`%s MA {"do":"head-count","counted":[%s],"at":"2026-09-25T%s:00+02:00"}`, now, counted,
			at))
	}
	h := openHouse(t)
	h.say(t, shiftOf, `01:20 MA {"do":"head-count","counted":["MA","OF"]}`)
	late(h, "01:30", "01:10", `"MA","NS"`)
	require.Equal(t, "missing NS", shown(h.s, "01:30"))
}

// TestEmergenciesInOrder: a person in bad air stands before who is missing, before
// bad air where nobody is known to be; each place once, the latest reading of it.
func TestEmergenciesInOrder(t *testing.T) {
	h := openHouse(t)
	h.say(t, badAir...)
	h.say(t, `01:50 NS {"do":"gas","place":"300 pit","co2":30000,"meter":"G2"}`,
		`01:51 NS {"do":"gas","place":"201","co2":15000,"meter":"G2"}`)
	require.Equal(t, "gas 201, gas 300 pit", shown(h.s, "01:52"))
	require.Contains(t, h.s.Emergencies(at("01:52"))[1].Line(), "CO2 30000 ppm")
	h = openHouse(t)
	h.say(t, nsIn307...)
	h.say(t, `20:16 MA {"do":"head-count","counted":["MA","OF"]}`,
		`20:20 OF {"do":"gas","place":"307","co2":16000,"meter":"G2"}`)
	require.Equal(t, "inside 307, missing NS, gas 307", shown(h.s, "20:21"))
}

// TestAnEmergencyIsFollowedUp: it rings at once, calls at once, and rings again every minute as long as it stands.
func TestAnEmergencyIsFollowedUp(t *testing.T) {
	h := openHouse(t)
	h.say(t, badAir...)
	steps := func(now time.Time) (out []string) {
		for _, x := range h.s.Escalation(now) {
			out = append(out, fmt.Sprint(x.Kind, x.N, " ", x.Subject, " ", x.Verb))
		}
		return out
	}
	require.Equal(t, []string{"ring0 300 pit EMERGENCY", "call0 300 pit EMERGENCY"}, steps(at("01:45")))
	require.Contains(t, steps(at("01:48")), "ring3 300 pit EMERGENCY")
	h.say(t, `01:49 MA {"do":"end-emergency","how":"fans","answers":[{"rule":"H18","reason":"meter broken"}]}`)
	require.Empty(t, steps(at("01:50")))
}

// TestTheSheetSaysTheEmergency: before all else while it stands, and with what
// happened once it is over.
func TestTheSheetSaysTheEmergency(t *testing.T) {
	h := openHouse(t)
	h.say(t, shiftOf)
	h.say(t, badAir...)
	s := handover.Sheet(h.s, at("02:00"), sheet.Mark{})
	require.Equal(t, []string{"300 PIT: STAY OUT. CO2 25000 ppm, O2 18.5 %, meter G2, read 01:45 by NS, 15 min " +
		"ago. GET OUT. VENTILATE. CALL. Never go in after anyone. Stays until a person ends it by name. A lower " +
		"reading does not."}, s.Safety.Emergencies)
	h.say(t, lowAir, `02:15 NS {"do":"end-emergency","who":"MA","how":"fans on"}`)
	s = handover.Sheet(h.s, at("02:20"), sheet.Mark{})
	require.Empty(t, s.Safety.Emergencies)
	require.Contains(t, fmt.Sprint(s.Happened), "EMERGENCY, CO2 25000 ppm, O2 18.5 %, meter G2, ended 02:15 by M "+
		"(MA): fans on.")
}

// TestAPermitOnBadAirSavesTheReading: the paper is not written, the air is.
func TestAPermitOnBadAirSavesTheReading(t *testing.T) {
	h := openHouse(t)
	h.say(t, strings.Replace(permitGas, `"co2":900`, `"co2":25000`, 1))
	require.Equal(t, "gas 307", shown(h.s, "20:11"))
	require.Empty(t, h.s.LivePermits(at("20:11")))
	require.Equal(t, "permit 17", h.s.Words(h.s.Stopped[0].What))
}
