package cellar_test

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/gate"
)

// at writes an instant of the night, "22:15", into a line; hours below noon
// belong to the next morning.
func at(clock string) time.Time {
	t, err := time.Parse("15:04", clock)
	if err != nil {
		panic(err)
	}
	day := 24
	if t.Hour() < 12 {
		day = 25
	}
	return time.Date(2026, 9, day, t.Hour()-2, t.Minute(), 0, 0, time.UTC)
}

// say plays lines of the form "22:15 NS {…}".
func (h *house) say(t *testing.T, lines ...string) {
	t.Helper()
	for _, l := range lines {
		require.NoError(t, h.hear(l), l)
	}
}

func (h *house) hear(l string) error {
	f := strings.SplitN(l, " ", 3)
	c, err := cellar.ParseLine([]byte(f[2]))
	if err != nil {
		return err
	}
	head := cellar.HeadOf(c)
	head.By = cellar.Initials(f[1])
	if head.At.IsZero() {
		head.At = at(f[0])
	}
	_, err = h.try(c, at(f[0]))
	return err
}

// dosed101 is a contact on 101 with its check positive at half past eight.
var dosed101 = []string{
	`18:05 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL","temp":"14 °C"}`,
	`20:30 NS {"do":"pectin-test","vessel":"101"}`,
	`20:35 NS {"do":"pectin-test-read","vessel":"101","sample":"large flocs","control":"flocs"}`,
}

// negative101 goes on to a valid negative at a quarter to midnight.
var negative101 = append(append([]string{}, dosed101...),
	`23:40 NS {"do":"pectin-test","vessel":"101"}`,
	`23:45 NS {"do":"pectin-test-read","vessel":"101","sample":"clear","control":"flocs"}`)

// The rule table: for each rule a case that fires it, one that does not, and
// one in which the answer lifts it or cannot. A rule without them fails here.
func TestRules(t *testing.T) {
	lead := `"answers":[{"rule":"%","by":"MA","second":"NS","reason":"meant"},{"rule":"D01"}]`
	with := func(rule, line string) string {
		return strings.TrimSuffix(line, "}") + "," + strings.ReplaceAll(lead, "%", rule) + "}"
	}
	maker := func(rule, line string) string { return strings.ReplaceAll(with(rule, line), `"by":"MA"`, `"by":"OF"`) }
	fired, silent := map[string]bool{}, map[string]bool{}
	for _, c := range []struct {
		rule, name string
		given      []string
		when       string
		fires      bool
		final      bool // no answer of the lead's lifts it
		lifted     string
	}{
		{rule: "H02", name: "grapes onto a closed lot", given: []string{weighed},
			when: `20:10 NS {"do":"tip","load":"0501","to":"102","kind":"juice"}`, fires: true},
		{rule: "H02", name: "grapes into a clean vessel", given: []string{weighed},
			when: `20:10 NS {"do":"tip","load":"0501","to":"103","kind":"juice"}`},
		{rule: "H02", name: "grapes into a dirty vessel", given: []string{weighed,
			`20:05 NS {"do":"stage","vessel":"103","stage":"empty dirty"}`},
			when: `20:10 NS {"do":"tip","load":"0501","to":"103","kind":"juice"}`, fires: true},
		{rule: "D14", name: "a trailer a ton heavier than it was", given: []string{booked0502, trailer},
			when: `20:30 NS {"do":"load","load":"0502","variety":"Muscat","gross":"30000 kg","tare":"13000 kg",` +
				`"trailer":"t7"}`, fires: true},
		{rule: "D14", name: "a trailer as it was", given: []string{booked0502, trailer},
			when: `20:30 NS {"do":"load","load":"0502","variety":"Muscat","gross":"30000 kg","tare":"12100 kg",` +
				`"trailer":"T7"}`},
		{rule: "D14", name: "another trailer", given: []string{booked0502, trailer},
			when: `20:30 NS {"do":"load","load":"0502","variety":"Muscat","gross":"30000 kg","tare":"13000 kg",` +
				`"trailer":"T8"}`},
		{rule: "D15", name: "Muscat where Sauvignon is booked",
			when:  `20:00 NS {"do":"load","load":"0501","variety":"Muscat","gross":"30000 kg","tare":"12000 kg"}`,
			fires: true},
		{rule: "D15", name: "as it is booked", when: `20:00 NS {"do":"load","load":"0501","variety":"sauvignon",` +
			`"gross":"30000 kg","tare":"12000 kg"}`},
		{rule: "D32", name: "another load's number without its zero",
			when:  `20:30 NS {"do":"load","load":"501","variety":"Sauvignon","gross":"30000 kg","tare":"12000 kg"}`,
			fires: true},
		{rule: "D32", name: "another load's number in another hand",
			when:  `20:30 NS {"do":"load","load":"05-01","variety":"Sauvignon","gross":"30000 kg","tare":"12000 kg"}`,
			fires: true},
		{rule: "D32", name: "another load's number, booked",
			when:  `19:30 NS {"do":"book","load":"501","variety":"Sauvignon","booked":"2026-09-24T23:00:00+02:00"}`,
			fires: true},
		{rule: "D32", name: "the number itself, booked again",
			when: `19:30 NS {"do":"book","load":"0501","variety":"Sauvignon","booked":"2026-09-24T23:00:00+02:00"}`},
		{rule: "D33", name: "on after a lock-out", given: lockedOut,
			when: `22:30 NS {"do":"press-resume","press":"P1"}`, fires: true},
		{rule: "D33", name: "freed after a lock-out", given: lockedOut,
			when: `22:30 NS {"do":"press-free","press":"P1","more":true}`, fires: true},
		{rule: "D33", name: "on after a stop", given: append(inP1[:3:3], halt),
			when: `22:30 NS {"do":"press-resume","press":"P1"}`},
		{rule: "D33", name: "locked out and off", given: append(lockedOut[:4:4], goes),
			when: `22:40 NS {"do":"press-stop","press":"P1","reason":"noise"}`},
		{rule: "D32", name: "the number itself", when: weighed},
		{rule: "D32", name: "another number", when: `20:30 NS {"do":"load","load":"5010","variety":"Sauvignon",` +
			`"gross":"30000 kg","tare":"12000 kg"}`},
		{rule: "D23", name: "a second load where one is booked", given: []string{weighed},
			when:  `20:30 NS {"do":"load","load":"0503","variety":"Sauvignon","gross":"20000 kg","tare":"12000 kg"}`,
			fires: true},
		{rule: "D23", name: "a variety of which none is booked",
			when:  `20:30 NS {"do":"load","load":"0503","variety":"Syrah","gross":"20000 kg","tare":"12000 kg"}`,
			fires: true},
		{rule: "D23", name: "a fifth more than booked", given: []string{plan15},
			when: `20:30 NS {"do":"load","load":"0501","gross":"30000 kg","tare":"12000 kg"}`, fires: true},
		{rule: "D23", name: "a tenth more than booked", given: []string{plan15},
			when: `20:30 NS {"do":"load","load":"0501","gross":"28500 kg","tare":"12000 kg"}`},
		{rule: "D23", name: "as it is booked", when: weighed},
		{rule: "D23", name: "the same variety of another grower", given: []string{weighed},
			when: `20:30 NS {"do":"load","load":"0503","variety":"Sauvignon","grower":"east slope",` +
				`"gross":"20000 kg","tare":"12000 kg"}`, fires: true},
		{rule: "H02", name: "press juice into a tank nobody named", given: append(append([]string{}, inP1...),
			pressed[0]), when: `22:00 NS {"do":"juice","press":"P1","to":"102","volume":"20 hL"}`, fires: true},
		{rule: "H02", name: "press juice into the tank that was named", given: append(append([]string{}, inP1...),
			pressed[0]), when: `22:00 NS {"do":"juice","press":"P1","to":"103","volume":"20 hL"}`},
		{rule: "H06", name: "over the working limit", when: `20:00 NS {"do":"move","from":"101",` +
			`"to":[{"vessel":"201","volume":"190 hL"}],"part":true}`, fires: true},
		{rule: "H06", name: "over 98 % of the brim", when: `20:00 NS {"do":"move","from":"101",` +
			`"to":[{"vessel":"201","volume":"198 hL"}],"part":true}`, fires: true, final: true},
		{rule: "H06", name: "within the limit", when: `20:00 NS {"do":"move","from":"101","to":[{"vessel":"201",` +
			`"volume":"170 hL"}],"part":true}`},
		{rule: "H07", name: "a second enzyme dose", given: dosed101,
			when: `20:50 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL"}`, fires: true},
		{rule: "H07", name: "over the card's maximum", given: dosed101,
			when: `20:50 NS {"do":"dose","vessel":"101","product":"E-1","rate":"4.1 g/hL"}`, fires: true},
		{rule: "H07", name: "a first dose", when: `20:50 NS {"do":"dose","vessel":"101","product":"E-1",` +
			`"rate":"2 g/hL"}`},
		{rule: "H07", name: "a second small SO2 dose only asks",
			given: []string{`19:00 NS {"do":"dose","vessel":"101","product":"S-1","rate":"2 g/hL"}`},
			when:  `20:50 NS {"do":"dose","vessel":"101","product":"S-1","rate":"2 g/hL"}`, fires: true},
		{rule: "H07", name: "a sum of SO2 over the house maximum",
			given: []string{`19:00 NS {"do":"dose","vessel":"101","product":"S-1","rate":"4 g/hL"}`},
			when:  `20:50 NS {"do":"dose","vessel":"101","product":"S-1","rate":"4 g/hL"}`, fires: true},
		{rule: "H07", name: "after much other juice came in", given: append(append([]string{}, dosed101...),
			`20:40 MA {"do":"move","from":"102","to":[{"vessel":"101","volume":"30 hL"}],"part":true,"blend":true}`),
			when: `20:50 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL"}`},
		{rule: "H09", name: "flotation after a positive", given: dosed101,
			when: `20:50 NS {"do":"stage","vessel":"101","stage":"flotation"}`, fires: true, final: true,
			lifted: maker("H09", `20:50 NS {"do":"stage","vessel":"101","stage":"flotation"}`)},
		{rule: "H09", name: "flotation after a valid negative", given: negative101,
			when: `23:50 NS {"do":"stage","vessel":"101","stage":"flotation"}`},
		{rule: "H09", name: "bentonite on a running contact", given: dosed101[:1],
			when: `20:50 NS {"do":"dose","vessel":"101","product":"B-1","rate":"30 g/hL"}`, fires: true, final: true,
			lifted: maker("H09", `20:50 NS {"do":"dose","vessel":"101","product":"B-1","rate":"30 g/hL"}`)},
		{rule: "H09", name: "flotation when juice came in after the negative", given: append(append([]string{},
			negative101...), `23:46 MA {"do":"move","from":"102","to":[{"vessel":"101","volume":"5 hL"}],`+
			`"part":true,"blend":true}`), when: `23:50 NS {"do":"stage","vessel":"101","stage":"flotation"}`,
			fires: true, final: true},
		{rule: "D27", name: "unchanged after a minute", given: []string{`20:30 NS {"do":"pectin-test","vessel":"101"}`,
			`20:35 NS {"do":"pectin-test-read","vessel":"101","sample":"faint haze","control":"flocs"}`},
			when: `20:36 NS {"do":"pectin-test-read","vessel":"101","second":"unchanged"}`, fires: true},
		{rule: "D27", name: "unchanged at the end", given: []string{`20:30 NS {"do":"pectin-test","vessel":"101"}`,
			`20:35 NS {"do":"pectin-test-read","vessel":"101","sample":"faint haze","control":"flocs"}`},
			when: `20:39 NS {"do":"pectin-test-read","vessel":"101","second":"unchanged"}`},
		{rule: "D27", name: "flocs after a minute", given: []string{`20:30 NS {"do":"pectin-test","vessel":"101"}`,
			`20:35 NS {"do":"pectin-test-read","vessel":"101","sample":"faint haze","control":"flocs"}`},
			when: `20:36 NS {"do":"pectin-test-read","vessel":"101","second":"flocs"}`},
		{rule: "H10", name: "read before its time", given: []string{`20:30 NS {"do":"pectin-test","vessel":"101"}`},
			when: `20:32 NS {"do":"pectin-test-read","vessel":"101","sample":"clear","control":"flocs"}`, fires: true,
			final: true},
		{rule: "H10", name: "read after void", given: []string{`20:30 NS {"do":"pectin-test","vessel":"101"}`},
			when: `20:41 NS {"do":"pectin-test-read","vessel":"101","sample":"clear","control":"flocs"}`, fires: true},
		{rule: "H10", name: "a clear sample without a control",
			given: []string{`20:30 NS {"do":"pectin-test","vessel":"101"}`},
			when:  `20:35 NS {"do":"pectin-test-read","vessel":"101","sample":"clear","control":"none"}`, fires: true},
		{rule: "H10", name: "juice that came in after the sample",
			given: []string{`20:30 NS {"do":"pectin-test","vessel":"101"}`,
				`20:32 MA {"do":"move","from":"102","to":[{"vessel":"101","volume":"5 hL"}],"part":true,"blend":true}`},
			when: `20:35 NS {"do":"pectin-test-read","vessel":"101","sample":"clear","control":"flocs"}`, fires: true},
		{rule: "H10", name: "flocs without a control", given: []string{`20:30 NS {"do":"pectin-test","vessel":"101"}`},
			when: `20:35 NS {"do":"pectin-test-read","vessel":"101","sample":"fine flocs","control":"none"}`},
		{rule: "H10", name: "read at the void time", given: []string{`20:30 NS {"do":"pectin-test","vessel":"101"}`},
			when: `20:40 NS {"do":"pectin-test-read","vessel":"101","sample":"clear","control":"flocs"}`},
		{rule: "D10", name: "settled where a flotation was ordered", given: append(append([]string{}, negative101...),
			`23:46 NS {"do":"order","act":"float","vessel":"101","from":"OF"}`),
			when: `23:50 NS {"do":"stage","vessel":"101","stage":"settling"}`, fires: true},
		{rule: "D10", name: "done as it was ordered", given: append(append([]string{}, negative101...),
			`23:46 NS {"do":"order","act":"float","vessel":"101","from":"OF"}`),
			when: `23:50 NS {"do":"stage","vessel":"101","stage":"flotation"}`},
		{rule: "D10", name: "settled with the order's word", given: append(append([]string{}, negative101...),
			`23:46 NS {"do":"order","act":"float","vessel":"101","from":"OF"}`),
			when: `23:50 NS {"do":"stage","vessel":"101","stage":"settling","answers":[{"rule":"D10",` +
				`"reason":"OF by phone"}]}`},
		{rule: "D11", name: "a dip far from the ledger",
			when: `20:00 NS {"do":"reading","vessel":"101","dip":"150 hL"}`, fires: true},
		{rule: "D11", name: "a dip as near as a stick reads",
			when: `20:00 NS {"do":"reading","vessel":"101","dip":"197 hL"}`},
		{rule: "H11", name: "racking onto another lot",
			when:  `20:00 NS {"do":"move","from":"101","to":[{"vessel":"102","volume":"10 hL"}],"part":true}`,
			fires: true},
		{rule: "H11", name: "racking into a dirty vessel",
			given: []string{`19:00 NS {"do":"stage","vessel":"201","stage":"empty dirty"}`},
			when:  `20:00 NS {"do":"move","from":"101","to":[{"vessel":"201","volume":"10 hL"}],"part":true}`,
			fires: true},
		{rule: "H11", name: "a blend that was said", when: `20:00 NS {"do":"move","from":"101",` +
			`"to":[{"vessel":"102","volume":"10 hL"}],"part":true,"blend":true}`},
		{rule: "H11", name: "onto the fraction of other grapes", given: muscat401,
			when:  `20:00 NS {"do":"move","from":"102","to":[{"vessel":"401","volume":"10 hL"}],"part":true}`,
			fires: true},
		{rule: "H11", name: "onto the fraction of other grapes, said to be a blend", given: muscat401,
			when: `20:00 NS {"do":"move","from":"102","to":[{"vessel":"401","volume":"10 hL"}],"part":true,` +
				`"blend":true}`},
		{rule: "H11", name: "onto the fraction of its own grapes", given: muscat401,
			when: `20:00 NS {"do":"move","from":"101","to":[{"vessel":"401","volume":"10 hL"}],"part":true}`},
		{rule: "H11", name: "onto other grapes that still run in", given: append(append([]string{}, inP1...),
			pressed...), when: `22:10 NS {"do":"move","from":"101","to":[{"vessel":"103","volume":"10 hL"}],` +
			`"part":true}`, fires: true},
		{rule: "H11", name: "onto its own grapes that still run in", given: append(append([]string{}, inP1...),
			pressed...), when: `22:10 NS {"do":"move","from":"102","to":[{"vessel":"103","volume":"10 hL"}],` +
			`"part":true}`},
		{rule: "H02", name: "a fraction onto that of other grapes", given: append(append([]string{}, muscat401...),
			inP1...), when: `20:45 NS {"do":"press-start","press":"P1","programme":"W-120","free_run":"103",` +
			`"pressings":"401"}`, fires: true},
		{rule: "H11", name: "lees onto lees", when: `20:00 NS {"do":"move","from":"101","to":[{"vessel":"201",` +
			`"volume":"10 hL"}],"lees":{"vessel":"701","volume":"2 hL"},"part":true}`},
		{rule: "H15", name: "out of a vessel on hold",
			given: []string{`19:00 MA {"do":"hold","vessel":"101","reason":"wrong juice in it","releaser":"OF"}`},
			when:  `20:00 NS {"do":"move","from":"101","to":[{"vessel":"201","volume":"10 hL"}],"part":true}`,
			fires: true, final: true, lifted: maker("H15", `20:00 NS {"do":"move","from":"101",`+
				`"to":[{"vessel":"201","volume":"10 hL"}],"part":true}`)},
		{rule: "H15", name: "after the release",
			given: []string{`19:00 MA {"do":"hold","vessel":"101","reason":"wrong juice in it","releaser":"OF"}`,
				`19:30 OF {"do":"release","vessel":"101","reason":"tasted"}`},
			when: `20:00 NS {"do":"move","from":"101","to":[{"vessel":"201","volume":"10 hL"}],"part":true}`},
		{rule: "W09", name: "juice under the card's floor",
			when: `20:00 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL","temp":"9.4 °C"}`, fires: true},
		{rule: "W09", name: "juice on the card", when: `20:00 NS {"do":"dose","vessel":"101","product":"E-1",` +
			`"rate":"2 g/hL","temp":"13 °C"}`},
		{rule: "W10", name: "enzyme soon after SO2",
			given: []string{`19:50 NS {"do":"dose","vessel":"101","product":"S-1","rate":"3 g/hL"}`},
			when:  `20:00 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL"}`, fires: true},
		{rule: "W10", name: "twenty minutes after SO2",
			given: []string{`19:40 NS {"do":"dose","vessel":"101","product":"S-1","rate":"3 g/hL"}`},
			when:  `20:00 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL"}`},
		{rule: "W21", name: "a test typed before the row ends",
			when: `20:00 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL","temp":"14.8 °C",` +
				`"test_at":"2026-09-24T22:00:00+02:00"}`, fires: true},
		{rule: "W21", name: "a test typed after the row ends",
			when: `20:00 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL","temp":"14.8 °C",` +
				`"test_at":"2026-09-24T23:10:00+02:00"}`},
		{rule: "H03", name: "red must into a settling tank", given: []string{weighed},
			when: `20:10 NS {"do":"tip","load":"0501","to":"103","kind":"red must"}`, fires: true},
		{rule: "H03", name: "must on skins into a tank for must", given: redTank,
			when: `21:30 NS {"do":"move","from":"X1","to":[{"vessel":"R1","volume":"50 hL"}]}`},
		{rule: "H03", name: "juice drained into a tank for must", given: append(append([]string{}, redTank...),
			`21:10 NS {"do":"stage","vessel":"X1","stage":"draining"}`),
			when:  `21:30 NS {"do":"move","from":"X1","to":[{"vessel":"R1","volume":"20 hL"}],"part":true}`,
			fires: true},
		{rule: "H03", name: "juice into a fermenter", when: `20:00 NS {"do":"move","from":"101",` +
			`"to":[{"vessel":"201","volume":"10 hL"}],"part":true}`},
		{rule: "H04", name: "more than the press takes",
			given: []string{`20:00 NS {"do":"load","load":"0501","gross":"36000 kg","tare":"12000 kg"}`},
			when:  `20:10 NS {"do":"tip","load":"0501","to":"P1"}`, fires: true, final: true},
		{rule: "H04", name: "what the press takes", given: []string{weighed},
			when: `20:10 NS {"do":"tip","load":"0501","to":"P1"}`},
		{rule: "H05", name: "no tank for the fraction", given: inP1,
			when: `20:45 NS {"do":"press-start","press":"P1","programme":"W-120","free_run":"103"}`, fires: true},
		{rule: "H05", name: "both tanks named", given: inP1,
			when: `20:45 NS {"do":"press-start","press":"P1","programme":"W-120","free_run":"103","pressings":"401"}`},
		{rule: "H08", name: "over the card's ceiling",
			when: `20:00 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL","temp":"48 °C"}`, fires: true,
			final: true},
		{rule: "H08", name: "below it", when: `20:00 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL",` +
			`"temp":"44 °C"}`},
		{rule: "D04", name: "racked hours too early", given: settled,
			when: `20:00 NS {"do":"move","from":"102","to":[{"vessel":"201","volume":"112 hL"}],` +
				`"lees":{"vessel":"701","volume":"8 hL"},"loss":"0.5 hL"}`, fires: true},
		{rule: "D04", name: "called racked too early", given: settled,
			when: `20:00 NS {"do":"stage","vessel":"102","stage":"racked"}`, fires: true},
		{rule: "D04", name: "racked after its time", given: settled,
			when: `09:00 NS {"do":"move","from":"102","to":[{"vessel":"201","volume":"112 hL"}],` +
				`"lees":{"vessel":"701","volume":"8 hL"},"loss":"0.5 hL"}`},
		{rule: "H15", name: "yeast into a vessel on hold",
			given: append([]string{`19:00 MA {"do":"hold","vessel":"102","reason":"do not inoculate","releaser":"OF"}`},
				yeast...), when: `20:00 NS {"do":"dose","vessel":"102","product":"Y-1","rate":"20 g/hL","temp":"14 °C"}`, fires: true, final: true},
		{rule: "D02", name: "a programme ended long before its time", given: append(append([]string{}, inP1...),
			`20:45 NS {"do":"press-start","press":"P1","programme":"W-120","free_run":"103","pressings":"401"}`),
			when: `20:50 NS {"do":"juice","press":"P1","share":"pressings","volume":"2 hL","end":true}`, fires: true},
		{rule: "D02", name: "no volume of press fraction", given: append(append([]string{}, inP1...),
			`20:45 NS {"do":"press-start","press":"P1","programme":"W-120","free_run":"103","pressings":"401"}`),
			when: `22:45 NS {"do":"juice","press":"P1","share":"pressings","end":true}`, fires: true},
		{rule: "D02", name: "an end as it should be", given: append(append([]string{}, inP1...),
			`20:45 NS {"do":"press-start","press":"P1","programme":"W-120","free_run":"103","pressings":"401"}`),
			when: `22:45 NS {"do":"juice","press":"P1","share":"pressings","volume":"24 hL","end":true}`},
		{rule: "D03", name: "a slip of a reading", when: `20:00 NS {"do":"reading","vessel":"101","temp":"41.9 °C"}`,
			fires: true},
		{rule: "D03", name: "a reading as it may be", when: `20:00 NS {"do":"reading","vessel":"101","temp":"15 °C"}`},
		{rule: "D05", name: "a control of yesterday", when: `20:00 NS {"do":"pectin-test","vessel":"101",` +
			`"source":"raw juice, fridge","taken_at":"2026-09-23T19:00:00+02:00"}`, fires: true},
		{rule: "D05", name: "a control bottle opened often, said on reading",
			given: []string{`20:00 NS {"do":"pectin-test","vessel":"101"}`},
			when:  `20:05 NS {"do":"pectin-test-read","vessel":"101","sample":"clear","control":"flocs","openings":4}`,
			fires: true},
		{rule: "D05", name: "a control of today", when: `20:00 NS {"do":"pectin-test","vessel":"101",` +
			`"source":"raw juice, fridge","taken_at":"2026-09-24T08:00:00+02:00","openings":3}`},
		{rule: "D06", name: "alcohol weaker than the recipe's",
			given: []string{`19:00 NS {"do":"bottle","bottle":"A-1","abv":90}`},
			when:  `20:00 NS {"do":"pectin-test","vessel":"101"}`, fires: true},
		{rule: "D06", name: "alcohol open for weeks",
			given: []string{`19:00 NS {"do":"bottle","bottle":"A-1","abv":96,"opened":"2026-09-09T12:00:00+02:00"}`},
			when:  `20:00 NS {"do":"pectin-test","vessel":"101"}`, fires: true},
		{rule: "D06", name: "a fresh bottle is used by itself",
			given: []string{`19:00 NS {"do":"bottle","bottle":"A-1","abv":90,"opened":"2026-09-09T12:00:00+02:00"}`,
				`19:30 NS {"do":"bottle","bottle":"A-2","abv":96}`},
			when: `20:00 NS {"do":"pectin-test","vessel":"101"}`},
		{rule: "D06", name: "there is no bottle is known", when: `20:00 NS {"do":"pectin-test","vessel":"101"}`},
		{rule: "D07", name: "a cloudy racking", given: append(append([]string{}, settled...),
			`07:00 NS {"do":"reading","vessel":"102","ntu":460}`),
			when: `08:00 NS {"do":"move","from":"102","to":[{"vessel":"201","volume":"112 hL"}],` +
				`"lees":{"vessel":"701","volume":"8 hL"},"loss":"0.5 hL"}`, fires: true},
		{rule: "D07", name: "a thin juice called racked", given: append(append([]string{}, settled...),
			`07:00 NS {"do":"reading","vessel":"102","ntu":28}`),
			when: `08:00 NS {"do":"stage","vessel":"102","stage":"racked"}`, fires: true},
		{rule: "D07", name: "a racking as usual", given: append(append([]string{}, settled...),
			`07:00 NS {"do":"reading","vessel":"102","ntu":152}`),
			when: `08:00 NS {"do":"move","from":"102","to":[{"vessel":"201","volume":"112 hL"}],` +
				`"lees":{"vessel":"701","volume":"8 hL"},"loss":"0.5 hL"}`},
		{rule: "D07", name: "read before it settled",
			given: append([]string{`18:10 NS {"do":"reading","vessel":"102","ntu":560}`}, settled...),
			when:  `08:00 NS {"do":"stage","vessel":"102","stage":"racked"}`},
		{rule: "D13", name: "floated while juice runs in", given: stillOpen,
			when: `22:20 NS {"do":"stage","vessel":"103","stage":"flotation","bar":5}`, fires: true, lifted: with("D13",
				`22:20 NS {"do":"stage","vessel":"103","stage":"flotation","bar":5}`)},
		{rule: "D13", name: "bentonite while juice runs in", given: stillOpen,
			when: `22:30 NS {"do":"dose","vessel":"103","product":"B-1","rate":"30 g/hL"}`, fires: true},
		{rule: "D13", name: "floated when the tank is closed", given: append(append([]string{}, stillOpen...),
			`22:18 NS {"do":"juice","press":"P1","reads":"80 hL","closed":true}`),
			when: `22:20 NS {"do":"stage","vessel":"103","stage":"flotation","bar":5}`},
		{rule: "D01", name: "g/hL typed for a label in pounds", given: pounds,
			when: `20:00 NS {"do":"dose","vessel":"101","product":"E-2","rate":"1.6 lb/1000 gal"}`, fires: true},
		{rule: "D01", name: "the label's own unit", given: pounds,
			when: `20:00 NS {"do":"dose","vessel":"101","product":"E-2","rate":"0.14 lb/1000 gal"}`},
		{rule: "D12", name: "a jump from the last dose of the class", given: append(append([]string{}, noCard...),
			dosed101[0]), when: `20:50 NS {"do":"dose","vessel":"102","product":"E-3","rate":"1.6 lb/1000 gal",` +
			`"test_at":"2026-09-24T23:50:00+02:00"}`, fires: true},
		{rule: "D12", name: "a dose like the last one", given: append(append([]string{}, noCard...), dosed101[0]),
			when: `20:50 NS {"do":"dose","vessel":"102","product":"E-3","rate":"0.14 lb/1000 gal",` +
				`"test_at":"2026-09-24T23:50:00+02:00"}`},
		{rule: "D12", name: "g/hL for a label in pounds, the first time", given: noCard,
			when: `20:50 NS {"do":"dose","vessel":"102","product":"E-3","rate":"1.6 g/hL",` +
				`"test_at":"2026-09-24T23:50:00+02:00"}`, fires: true},
		{rule: "D12", name: "g/hL for a label in pounds, as before", given: append(append([]string{}, noCard...),
			`19:00 NS {"do":"dose","vessel":"101","product":"E-3","rate":"1.6 g/hL",`+
				`"test_at":"2026-09-24T22:00:00+02:00","answers":[{"rule":"D12"}]}`),
			when: `20:50 NS {"do":"dose","vessel":"102","product":"E-3","rate":"1.6 g/hL",` +
				`"test_at":"2026-09-24T23:50:00+02:00"}`},
		{rule: "D12", name: "on juice, for a label on grapes", given: noCard,
			when: `20:50 NS {"do":"dose","vessel":"102","product":"X-3","rate":"3 g/hL"}`, fires: true},
		{rule: "D12", name: "where the label gives a range", given: pounds,
			when: `20:00 NS {"do":"dose","vessel":"101","product":"E-2","rate":"1.6 g/hL"}`},
		{rule: "H12", name: "too full for a cap",
			given: append([]string{`18:01 MA {"do":"correct","of":14,"vessel":"101","field":"volume",` +
				`"value":"225 hL","reason":"dip read again"}`}, negative101...),
			when: `23:50 NS {"do":"stage","vessel":"101","stage":"flotation"}`, fires: true},
		{rule: "H12", name: "over the number of the plant", given: negative101,
			when: `23:50 NS {"do":"stage","vessel":"101","stage":"flotation","bar":6.5}`, fires: true, final: true},
		{rule: "H12", name: "room and pressure as they should be", given: negative101,
			when: `23:50 NS {"do":"stage","vessel":"101","stage":"flotation","bar":5}`},
		{rule: "H13", name: "a number not read back", given: readBack,
			when:  `20:00 NS {"do":"move","from":"101","to":[{"vessel":"206","volume":"10 hL"}],"part":true}`,
			fires: true},
		{rule: "H13", name: "another number seen at the valve", given: readBack,
			when: `20:00 NS {"do":"move","from":"101","to":[{"vessel":"206","volume":"10 hL","read_back":"201"}],` +
				`"part":true}`, fires: true, final: true},
		{rule: "H13", name: "read back", given: readBack,
			when: `20:00 NS {"do":"move","from":"101","to":[{"vessel":"206","volume":"10 hL","read_back":"206"}],` +
				`"part":true}`},
		{rule: "H13", name: "a number that looks like another", given: alike,
			when:  `20:00 NS {"do":"move","from":"101","to":[{"vessel":"206","volume":"10 hL"}],"part":true}`,
			fires: true},
		{rule: "H13", name: "its twin seen at the valve", given: alike,
			when: `20:00 NS {"do":"move","from":"101","to":[{"vessel":"206","volume":"10 hL","read_back":"209"}],` +
				`"part":true}`, fires: true, final: true},
		{rule: "H13", name: "a number that looks like another, read back", given: alike,
			when: `20:00 NS {"do":"move","from":"101","to":[{"vessel":"206","volume":"10 hL","read_back":"206"}],` +
				`"part":true}`},
		{rule: "H13", name: "a number that the house mistakes", given: mistaken,
			when:  `20:00 NS {"do":"move","from":"101","to":[{"vessel":"201","volume":"10 hL"}],"part":true}`,
			fires: true},
		{rule: "H13", name: "a twin that never takes such content", given: alike,
			when: `20:00 NS {"do":"move","from":"101","to":[{"vessel":"103","volume":"10 hL"}],"part":true}`},
		{rule: "H13", name: "a twin that stands clean and empty", given: clean209,
			when: `20:00 NS {"do":"move","from":"101","to":[{"vessel":"206","volume":"10 hL"}],"part":true}`},
		{rule: "H13", name: "a twin that is being cleaned", given: append(append([]string{}, clean209...),
			`18:40 MA {"do":"stage","vessel":"209","stage":"cleaning"}`),
			when:  `20:00 NS {"do":"move","from":"101","to":[{"vessel":"206","volume":"10 hL"}],"part":true}`,
			fires: true},
		{rule: "H13", name: "a twin into which a pump runs", given: append(append([]string{}, clean209...),
			`19:00 MA {"do":"move-start","from":"102","to":[{"vessel":"209","volume":"10 hL"}]}`),
			when:  `20:00 NS {"do":"move","from":"101","to":[{"vessel":"206","volume":"10 hL"}],"part":true}`,
			fires: true},
		{rule: "H13", name: "a dose beside a twin that could take it", given: both,
			when: `20:00 NS {"do":"dose","vessel":"206","product":"S-1","rate":"2 g/hL"}`, fires: true},
		{rule: "H13", name: "a dose at the twin", given: both,
			when:  `20:00 NS {"do":"dose","vessel":"206","product":"S-1","rate":"2 g/hL","read_back":"209"}`,
			fires: true, final: true},
		{rule: "H13", name: "a dose read back", given: both,
			when: `20:00 NS {"do":"dose","vessel":"206","product":"S-1","rate":"2 g/hL","read_back":"206"}`},
		{rule: "H13", name: "a dose that only stands weighed", given: both,
			when: `20:00 NS {"do":"weighed","vessel":"206","product":"S-1","rate":"2 g/hL"}`},
		{rule: "H13", name: "a dose whose twin is empty", given: append(append([]string{}, clean209...),
			both[len(both)-1]), when: `20:00 NS {"do":"dose","vessel":"206","product":"S-1","rate":"2 g/hL"}`},
		{rule: "H13", name: "look-alikes switched off", given: append(append([]string{}, alike...),
			`19:10 MA {"do":"house","similar_numbers":"off"}`),
			when: `20:00 NS {"do":"move","from":"101","to":[{"vessel":"206","volume":"10 hL"}],"part":true}`},
		{rule: "H13", name: "read when the pump started", given: append(append([]string{}, alike...),
			`19:10 NS {"do":"move-start","from":"101","to":[{"vessel":"206","volume":"10 hL","read_back":"206"}]}`),
			when: `20:00 NS {"do":"move","from":"101","to":[{"vessel":"206","volume":"10 hL"}],"part":true}`},
		{rule: "H14", name: "hot must to the press", given: hotMust,
			when: `20:00 NS {"do":"move","from":"H1","to":[{"vessel":"P1","volume":"50 hL"}]}`, fires: true,
			final: true},
		{rule: "H14", name: "cooled must to the press", given: append(append([]string{}, hotMust...),
			`19:30 NS {"do":"reading","vessel":"H1","temp":"44 °C"}`),
			when: `20:00 NS {"do":"move","from":"H1","to":[{"vessel":"P1","volume":"50 hL"}]}`},
		{rule: "H16", name: "caustic beside a full vessel", given: manifold,
			when: `20:00 NS {"do":"stage","vessel":"M1","stage":"cleaning"}`, fires: true, final: true,
			lifted: `20:00 NS {"do":"stage","vessel":"M1","stage":"cleaning","blanked":true}`},
		{rule: "H16", name: "caustic where nothing is shared",
			when: `20:00 NS {"do":"stage","vessel":"103","stage":"cleaning"}`},
		{rule: "H17", name: "into a vessel with nothing",
			when: `20:15 NS {"do":"enter-vessel","place":"307","permit":"17"}`, fires: true, final: true},
		{rule: "H17", name: "under a live permit with attendant and reading", given: []string{gasOf307, permitOf307},
			when: intoOf307},
		{rule: "H17", name: "no override, nor that it happened", when: strings.TrimSuffix(intoOf307,
			"}") + `,"happened":true}`, fires: true, final: true},
		{rule: "H17", name: "the attendant goes", given: []string{gasOf307, permitOf307, intoOf307},
			when: `20:30 OF {"do":"out"}`, fires: true, final: true},
		{rule: "H17", name: "the attendant goes on a break", given: []string{gasOf307, permitOf307, intoOf307},
			when: `20:30 OF {"do":"break","for":"20min"}`, fires: true, final: true},
		{rule: "H17", name: "the attendant goes when they are out", given: []string{gasOf307, permitOf307, intoOf307,
			`20:25 OF {"do":"leave-vessel","who":"NS"}`}, when: `20:30 OF {"do":"out"}`},
		{rule: "H17", name: "the attendant has gone, asked once", given: []string{gasOf307, permitOf307, intoOf307},
			when: `20:30 MA {"do":"out","who":"OF","happened":true}`, fires: true},
		{rule: "W01", name: "a load that has waited", given: []string{weighed},
			when: `22:00 NS {"do":"tip","load":"0501","to":"P1"}`, fires: true},
		{rule: "W01", name: "a load that has not", given: []string{weighed},
			when: `21:00 NS {"do":"tip","load":"0501","to":"P1"}`},
		{rule: "W02", name: "warm white grapes", when: `20:00 NS {"do":"load","load":"0501","gross":"30000 kg",` +
			`"tare":"12000 kg","temp":"27 °C","style":"white","route":"settle"}`, fires: true},
		{rule: "W02", name: "warm red grapes", when: `20:00 NS {"do":"load","load":"0501","gross":"30000 kg",` +
			`"tare":"12000 kg","temp":"27 °C","style":"red"}`},
		{rule: "W03", name: "rot", when: `20:00 NS {"do":"load","load":"0501","gross":"30000 kg","tare":"12000 kg",` +
			`"rot":6}`, fires: true},
		{rule: "W03", name: "little rot", when: `20:00 NS {"do":"load","load":"0501","gross":"30000 kg",` +
			`"tare":"12000 kg","rot":2}`},
		{rule: "W04", name: "skins drained early", given: leastSkins,
			when:  `20:00 NS {"do":"move","from":"X1","to":[{"vessel":"103","volume":"20 hL"}],"part":true}`,
			fires: true},
		{rule: "W04", name: "skins called drained early", given: leastSkins,
			when: `20:00 NS {"do":"stage","vessel":"X1","stage":"draining"}`, fires: true},
		{rule: "W04", name: "skins drained after their least time", given: leastSkins,
			when: `21:30 NS {"do":"stage","vessel":"X1","stage":"draining"}`},
		{rule: "W05", name: "skins over their time", given: skins,
			when:  `22:30 NS {"do":"move","from":"X1","to":[{"vessel":"103","volume":"20 hL"}],"part":true}`,
			fires: true},
		{rule: "W05", name: "drawn off over their time", given: skins,
			when: `22:30 NS {"do":"stage","vessel":"X1","stage":"draining"}`, fires: true},
		{rule: "W05", name: "drawn off in time", given: skins,
			when: `22:00 NS {"do":"stage","vessel":"X1","stage":"draining"}`},
		{rule: "W05", name: "skins in time", given: skins,
			when: `21:30 NS {"do":"move","from":"X1","to":[{"vessel":"103","volume":"20 hL"}],"part":true}`},
		{rule: "W06", name: "a press less than half full", given: []string{weighed,
			`20:05 NS {"do":"tip","load":"0501","to":"P1","mass":"8 t"}`,
			`20:40 NS {"do":"tipped","load":"0501","to":"P1"}`},
			when:  `20:45 NS {"do":"press-start","press":"P1","programme":"W-120","free_run":"103","pressings":"401"}`,
			fires: true},
		{rule: "W06", name: "a press well filled", given: inP1,
			when: `20:45 NS {"do":"press-start","press":"P1","programme":"W-120","free_run":"103","pressings":"401"}`},
		{rule: "W07", name: "no room for the fraction",
			given: append([]string{`19:00 MA {"do":"move","from":"102","to":[{"vessel":"401","volume":"40 hL"}],` +
				`"part":true}`}, inP1...), when: `20:45 NS {"do":"press-start","press":"P1","programme":"W-120",` +
				`"free_run":"103","pressings":"401"}`, fires: true},
		{rule: "W07", name: "room for the fraction", given: inP1,
			when: `20:45 NS {"do":"press-start","press":"P1","programme":"W-120","free_run":"103","pressings":"401"}`},
		{rule: "W11", name: "the third positive in a row", given: append(append([]string{}, dosed101...),
			`23:00 NS {"do":"pectin-test","vessel":"101"}`, `23:05 NS {"do":"pectin-test-read","vessel":"101",`+
				`"sample":"small flocs","control":"flocs"}`, `00:30 NS {"do":"pectin-test","vessel":"101"}`),
			when:  `00:35 NS {"do":"pectin-test-read","vessel":"101","sample":"fine flocs","control":"flocs"}`,
			fires: true},
		{rule: "W11", name: "still positive nine hours after the first dose", given: append(append([]string{},
			dosed101...), `03:00 NS {"do":"pectin-test","vessel":"101"}`),
			when:  `03:05 NS {"do":"pectin-test-read","vessel":"101","sample":"fine flocs","control":"flocs"}`,
			fires: true},
		{rule: "W11", name: "a negative nine hours after the first dose", given: append(append([]string{}, dosed101...),
			`03:00 NS {"do":"pectin-test","vessel":"101"}`),
			when: `03:05 NS {"do":"pectin-test-read","vessel":"101","sample":"clear","control":"flocs"}`},
		{rule: "W11", name: "the second", given: append(append([]string{}, dosed101...),
			`23:00 NS {"do":"pectin-test","vessel":"101"}`),
			when: `23:05 NS {"do":"pectin-test-read","vessel":"101","sample":"small flocs","control":"flocs"}`},
		{rule: "W12", name: "warm juice to settle",
			given: []string{`19:00 NS {"do":"reading","vessel":"102","temp":"17 °C"}`},
			when:  `20:00 NS {"do":"stage","vessel":"102","stage":"settling"}`, fires: true},
		{rule: "W12", name: "cool juice to settle", when: `20:00 NS {"do":"stage","vessel":"102","stage":"settling"}`},
		{rule: "W13", name: "too much lees", given: settled,
			when: `08:00 NS {"do":"move","from":"102","to":[{"vessel":"201","volume":"100.5 hL"}],` +
				`"lees":{"vessel":"701","volume":"20 hL"}}`, fires: true},
		{rule: "W13", name: "no lees and a loss, one question", given: settled,
			when: `08:00 NS {"do":"move","from":"102","to":[{"vessel":"201","volume":"116.5 hL"}],"loss":"4 hL"}`},
		{rule: "W15", name: "no lees and a loss, one question", given: settled,
			when:  `08:00 NS {"do":"move","from":"102","to":[{"vessel":"201","volume":"116.5 hL"}],"loss":"4 hL"}`,
			fires: true},
		{rule: "W13", name: "lees as usual", given: settled,
			when: `08:00 NS {"do":"move","from":"102","to":[{"vessel":"201","volume":"112 hL"}],` +
				`"lees":{"vessel":"701","volume":"8 hL"},"loss":"0.5 hL"}`},
		{rule: "W14", name: "cold flotation", given: append(append([]string{}, negative101...),
			`23:46 NS {"do":"reading","vessel":"101","temp":"10 °C"}`),
			when: `23:50 NS {"do":"stage","vessel":"101","stage":"flotation"}`, fires: true},
		{rule: "W14", name: "flotation as usual", given: negative101,
			when: `23:50 NS {"do":"stage","vessel":"101","stage":"flotation"}`},
		{rule: "W12", name: "settling juice that warms", given: append(append([]string{}, settled...),
			`19:00 NS {"do":"reading","vessel":"102","temp":"12 °C"}`),
			when: `21:00 NS {"do":"reading","vessel":"102","temp":"12.8 °C"}`, fires: true},
		{rule: "W12", name: "settling juice that warms slowly", given: append(append([]string{}, settled...),
			`19:00 NS {"do":"reading","vessel":"102","temp":"12 °C"}`),
			when: `21:00 NS {"do":"reading","vessel":"102","temp":"12.5 °C"}`},
		{rule: "W12", name: "settling juice read as warm", given: settled,
			when: `21:00 NS {"do":"reading","vessel":"102","temp":"15.4 °C"}`, fires: true},
		{rule: "W12", name: "warming said an hour ago", given: append(append([]string{}, settled...),
			`19:00 NS {"do":"reading","vessel":"102","temp":"12 °C"}`,
			`21:00 NS {"do":"reading","vessel":"102","temp":"12.8 °C","answers":[{"rule":"W12","by":"NS"}]}`),
			when: `22:00 NS {"do":"reading","vessel":"102","temp":"13.3 °C"}`},
		{rule: "W16", name: "held hot for hours", given: hotHeld,
			when: `23:30 NS {"do":"stage","vessel":"H1","stage":"cooled down"}`, fires: true},
		{rule: "W16", name: "held hot past its own longest time", given: hotHeldMost,
			when: `20:45 NS {"do":"stage","vessel":"H1","stage":"cooled down"}`, fires: true},
		{rule: "W16", name: "cooled down in time", given: hotHeldMost,
			when: `20:20 NS {"do":"stage","vessel":"H1","stage":"cooled down"}`},
		{rule: "W17", name: "red must over thirty", given: redMust,
			when: `21:00 NS {"do":"reading","vessel":"R1","temp":"30.5 °C"}`, fires: true},
		{rule: "W17", name: "red must on its way to thirty", given: redMust,
			when: `21:00 NS {"do":"reading","vessel":"R1","temp":"28.4 °C"}`, fires: true},
		{rule: "W17", name: "red must that rises slowly", given: redMust,
			when: `21:00 NS {"do":"reading","vessel":"R1","temp":"27.4 °C"}`},
		{rule: "W17", name: "two readings too near for a slope", given: redMust,
			when: `19:20 NS {"do":"reading","vessel":"R1","temp":"27.6 °C"}`},
		{rule: "W17", name: "said an hour ago", given: append(append([]string{}, redMust...),
			`21:00 NS {"do":"reading","vessel":"R1","temp":"30.5 °C","answers":[{"rule":"W17","by":"NS"}]}`),
			when: `22:00 NS {"do":"reading","vessel":"R1","temp":"30.6 °C"}`},
		{rule: "W18", name: "cold inoculation", given: yeast,
			when:  `20:00 NS {"do":"dose","vessel":"102","product":"Y-1","rate":"20 g/hL","temp":"9.4 °C"}`,
			fires: true},
		{rule: "W18", name: "a white inoculated cold", given: yeast,
			when: `20:00 NS {"do":"dose","vessel":"102","product":"Y-1","rate":"20 g/hL","temp":"10.6 °C"}`},
		{rule: "W18", name: "cold by the house's own limit",
			given: append([]string{`18:20 MA {"do":"house","limits":{"cold_yeast":"12 °C"}}`}, yeast...),
			when:  `20:00 NS {"do":"dose","vessel":"102","product":"Y-1","rate":"20 g/hL","temp":"10.6 °C"}`,
			fires: true},
		{rule: "W18", name: "inoculation as usual", given: yeast,
			when: `20:00 NS {"do":"dose","vessel":"102","product":"Y-1","rate":"20 g/hL","temp":"14 °C"}`},
		{rule: "W08", name: "juice of a load that came hours later", given: laterLoad,
			when: `01:30 NS {"do":"juice","press":"P1","to":"103","volume":"20 hL"}`, fires: true},
		{rule: "W08", name: "juice of the load that is in it", given: append(append([]string{}, inP1...), pressed...),
			when: `22:30 NS {"do":"juice","press":"P1","to":"103","volume":"20 hL"}`},
		{rule: "D21", name: "clean and nobody has looked into it", given: unseen,
			when:  `20:00 NS {"do":"move","from":"101","to":[{"vessel":"103","volume":"10 hL"}],"part":true}`,
			fires: true},
		{rule: "D21", name: "a tank named for a press that nobody has rinsed", given: append(append([]string{},
			inP1...), `20:41 NS {"do":"stage","vessel":"103","stage":"empty dirty"}`,
			`20:42 NS {"do":"stage","vessel":"103","stage":"empty clean"}`), when: pressed[0], fires: true},
		{rule: "D21", name: "looked into since", given: append(append([]string{}, unseen...),
			`19:30 NS {"do":"stage","vessel":"103","stage":"empty clean","steps":["looked into"]}`),
			when: `20:00 NS {"do":"move","from":"101","to":[{"vessel":"103","volume":"10 hL"}],"part":true}`},
		{rule: "D22", name: "SO2 on an estimate", given: guessed,
			when: `20:00 NS {"do":"dose","vessel":"103","product":"S-1","rate":"2 g/hL"}`, fires: true},
		{rule: "D22", name: "an estimate that may be over the limit", given: guessed,
			when:  `20:00 NS {"do":"move","from":"103","to":[{"vessel":"401","volume":"55 hL"}],"part":true}`,
			fires: true},
		{rule: "D22", name: "an estimate that is far from the limit", given: guessed,
			when: `20:00 NS {"do":"move","from":"103","to":[{"vessel":"401","volume":"20 hL"}],"part":true}`},
		{rule: "D22", name: "SO2 on what was dipped since", given: append(append([]string{}, guessed...),
			`19:30 NS {"do":"reading","vessel":"103","dip":"79 hL"}`),
			when: `20:00 NS {"do":"dose","vessel":"103","product":"S-1","rate":"2 g/hL"}`},
		{rule: "D22", name: "SO2 on the ledger", when: `20:00 NS {"do":"dose","vessel":"101","product":"S-1",` +
			`"rate":"2 g/hL"}`},
		{rule: "W19", name: "cleaned long ago", given: []string{`18:30 MA {"do":"house","limits":{"clean_for":"1h"}}`,
			weighed}, when: `20:10 NS {"do":"tip","load":"0501","to":"103","kind":"juice"}`, fires: true},
		{rule: "W19", name: "cleaned lately", given: []string{weighed},
			when: `20:10 NS {"do":"tip","load":"0501","to":"103","kind":"juice"}`},
		{rule: "D20", name: "moved out of a contact", given: dosed101[:1],
			when:  `19:00 MA {"do":"move","from":"101","to":[{"vessel":"103","volume":"50 hL"}],"part":true}`,
			fires: true},
		{rule: "D20", name: "a move begun out of a contact", given: dosed101[:1],
			when: `19:00 MA {"do":"move-start","from":"101","to":[{"vessel":"103","volume":"50 hL"}]}`, fires: true},
		{rule: "D20", name: "moved while its check runs", given: dosed101[:2],
			when:  `20:32 MA {"do":"move","from":"101","to":[{"vessel":"103","volume":"50 hL"}],"part":true}`,
			fires: true},
		{rule: "D20", name: "moved while it fills", given: append(append([]string{}, inP1...), pressed...),
			when:  `22:10 MA {"do":"move","from":"103","to":[{"vessel":"201","volume":"50 hL"}],"part":true}`,
			fires: true},
		{rule: "D20", name: "moved after a valid negative", given: negative101,
			when: `23:50 MA {"do":"move","from":"101","to":[{"vessel":"103","volume":"50 hL"}],"part":true}`},
		{rule: "D20", name: "hot must before it is cooled down", given: hotUntil,
			when: `20:00 NS {"do":"move","from":"H1","to":[{"vessel":"H2","volume":"50 hL"}]}`, fires: true},
		{rule: "D20", name: "hot must when it is to be", given: hotUntil,
			when: `21:00 NS {"do":"move","from":"H1","to":[{"vessel":"H2","volume":"50 hL"}]}`},
		{rule: "D20", name: "moved in its flotation run", given: floated101,
			when:  `00:30 MA {"do":"move","from":"101","to":[{"vessel":"103","volume":"50 hL"}],"part":true}`,
			fires: true},
		{rule: "D20", name: "written as done in its flotation run", given: floated101,
			when: `00:30 MA {"do":"move","from":"101","to":[{"vessel":"103","volume":"50 hL"}],"part":true,` +
				`"happened":true}`, fires: true},
		{rule: "D20", name: "moved while the cap rises", given: capOn101,
			when: `01:30 MA {"do":"move","from":"101","to":[{"vessel":"103","volume":"50 hL"}],"part":true}`},
		{rule: "D04", name: "racked while the cap rises", given: capOn101,
			when:  `01:30 MA {"do":"move","from":"101","to":[{"vessel":"103","volume":"50 hL"}],"part":true}`,
			fires: true},
		{rule: "D04", name: "written as racked while the cap rises", given: capOn101,
			when: `01:30 MA {"do":"move","from":"101","to":[{"vessel":"103","volume":"50 hL"}],"part":true,` +
				`"happened":true}`, fires: true},
		{rule: "D04", name: "racked when the cap has risen", given: capOn101,
			when: `02:40 MA {"do":"move","from":"101","to":[{"vessel":"103","volume":"50 hL"}],"part":true}`},
		{rule: "H18", name: "an emergency ended over bad air", given: badAir,
			when: `01:50 MA {"do":"end-emergency","of":"300 pit","how":"fans on"}`, fires: true},
		{rule: "H18", name: "an emergency ended on a lower reading", given: append(slices.Clone(badAir), lowAir),
			when: `02:20 NS {"do":"end-emergency","of":"300 pit","how":"fans on"}`},
		{rule: "D26", name: "a press emptied that gave nothing", given: notRun,
			when: `22:50 NS {"do":"press-free","press":"P1"}`, fires: true},
		{rule: "D26", name: "a press emptied whose juice is written", given: ended,
			when: `22:50 NS {"do":"press-free","press":"P1"}`},
		{rule: "D26", name: "a press emptied, more to follow from another", given: notRun,
			when: `22:50 NS {"do":"press-free","press":"P1","more":true}`},
		{rule: "W15", name: "a litre more than there is",
			when: `20:00 NS {"do":"move","from":"101","to":[{"vessel":"201","volume":"150 hL"},{"vessel":"103",` +
				`"volume":"50.01 hL"}],"happened":true}`, fires: true},
		{rule: "W15", name: "a litre more than there is, some stays",
			when: `20:00 NS {"do":"move","from":"101","to":[{"vessel":"201","volume":"150 hL"},{"vessel":"103",` +
				`"volume":"50.01 hL"}],"part":true}`, fires: true},
		{rule: "W15", name: "all there is", when: `20:00 NS {"do":"move","from":"101","to":[{"vessel":"201",` +
			`"volume":"150 hL"},{"vessel":"103","volume":"50 hL"}]}`},
		{rule: "W23", name: "water of three hundredths",
			when: `20:00 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL","temp":"14 °C","water":"600 L"}`, fires: true},
		{rule: "W23", name: "water of a hundredth", when: `20:00 NS {"do":"dose","vessel":"101","product":"E-1",` +
			`"rate":"2 g/hL","temp":"14 °C","water":"200 L"}`},
		{rule: "W23", name: "water of before",
			given: []string{`19:00 NS {"do":"dose","vessel":"101","product":"S-1","rate":"3 g/hL","water":"150 L"}`},
			when:  `20:00 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL","temp":"14 °C","water":"51 L"}`, fires: true},
		{rule: "D24", name: "a temperature that a contact went by", given: []string{dose101},
			when:  `20:00 NS {"do":"correct","of":16,"vessel":"101","field":"temp","value":"11 °C","reason":"misread"}`,
			fires: true},
		{rule: "D24", name: "a temperature of the same row", given: []string{dose101},
			when: `20:00 NS {"do":"correct","of":16,"vessel":"101","field":"temp","value":"14.5 °C","reason":"misread"}`},
		{rule: "W15", name: "half of it lost", when: `20:00 NS {"do":"move","from":"101","to":[{"vessel":"201",` +
			`"volume":"100 hL"}],"loss":"100 hL"}`, fires: true},
		{rule: "W15", name: "a little lost", when: `20:00 NS {"do":"move","from":"101","to":[{"vessel":"201",` +
			`"volume":"165 hL"},{"vessel":"103","volume":"34 hL"}],"loss":"1 hL"}`},
		{rule: "D08", name: "settled where the route says float",
			given: []string{`18:30 MA {"do":"route","vessel":"102","route":"float"}`},
			when:  `20:00 NS {"do":"stage","vessel":"102","stage":"settling","reason":"x"}`, fires: true},
		{rule: "D08", name: "settled as the route says",
			given: []string{`18:30 MA {"do":"route","vessel":"102","route":"settle"}`},
			when:  `20:00 NS {"do":"stage","vessel":"102","stage":"settling","reason":"x"}`},
		{rule: "D09", name: "twice the dose that was ordered",
			given: []string{`18:30 MA {"do":"order","act":"dose","vessel":"102","product":"E-1","rate":"1.5 g/hL",` +
				`"from":"OF"}`}, when: `20:00 NS {"do":"dose","vessel":"102","product":"E-1","rate":"3 g/hL",` +
				`"temp":"14 °C"}`, fires: true},
		{rule: "D09", name: "the dose that was ordered",
			given: []string{`18:30 MA {"do":"order","act":"dose","vessel":"102","product":"E-1","rate":"1.5 g/hL",` +
				`"from":"OF"}`}, when: `20:00 NS {"do":"dose","vessel":"102","product":"E-1","rate":"1.5 g/hL",` +
				`"temp":"14 °C"}`},
		{rule: "D30", name: "handed over hours before its end", given: []string{shiftToSix},
			when: `21:35 MA {"do":"shift-end","to":"OF"}`, fires: true},
		{rule: "D30", name: "a new shift of somebody else hours before", given: []string{shiftToSix},
			when: `21:35 OF {"do":"shift-start","lead":"OF"}`, fires: true},
		{rule: "D30", name: "handed over at its end", given: []string{shiftToSix},
			when: `05:40 MA {"do":"shift-end","to":"OF"}`},
		{rule: "D30", name: "a shift of the same lead again", given: []string{shiftToSix},
			when: `21:35 MA {"do":"shift-start","lead":"MA","crew":["NS","OF"]}`},
		{rule: "D25", name: "seven kilograms of eighteen tons", given: []string{weighed},
			when: `20:10 NS {"do":"tip","load":"0501","to":"P1","mass":"7 kg"}`, fires: true},
		{rule: "D25", name: "the little that is left", given: []string{weighed,
			`20:05 NS {"do":"tip","load":"0501","to":"P1","mass":"17900 kg"}`},
			when: `20:10 NS {"do":"tip","load":"0501","to":"P1"}`},
		{rule: "D25", name: "half a load", given: []string{weighed},
			when: `20:10 NS {"do":"tip","load":"0501","to":"P1","mass":"9 t"}`},
		{rule: "D24", name: "a volume corrected to a fifth",
			when:  `20:00 NS {"do":"correct","of":14,"vessel":"101","field":"volume","value":"40 hL","reason":"x"}`,
			fires: true},
		{rule: "D24", name: "a dose corrected from grams to kilograms",
			given: []string{`18:05 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL"}`},
			when:  `20:00 NS {"do":"correct","of":%,"vessel":"101","field":"amount","value":"2.6 kg","reason":"x"}`,
			fires: true},
		{rule: "D24", name: "a load corrected by a figure", given: []string{weighed},
			when: `20:00 NS {"do":"correct","of":%,"field":"tare","value":"1200 kg","reason":"x"}`, fires: true},
		{rule: "D24", name: "a correction near the old figure",
			when: `20:00 NS {"do":"correct","of":14,"vessel":"101","field":"volume","value":"50 hL","reason":"x"}`},
		{rule: "D31", name: "a void test in time after all", given: []string{dose101, check101,
			`22:15 NS {"do":"pectin-test-read","vessel":"101","sample":"clear","control":"flocs",` +
				`"answers":[{"rule":"H10"}]}`}, when: `23:00 NS {"do":"correct","of":18,"vessel":"101","field":"at",` +
			`"value":"2026-09-24T22:05:00+02:00","reason":"x"}`, fires: true},
		{rule: "D31", name: "a negative that stays one", given: []string{dose101, check101, clear101},
			when: `23:00 NS {"do":"correct","of":18,"vessel":"101","field":"at","value":"2026-09-24T22:06:00+02:00",` +
				`"reason":"x"}`},
		{rule: "W22", name: "a hot vessel nearly full", given: hotEmpty,
			when: `20:00 NS {"do":"tipped","load":"0501","to":"H2","volume":"108.6 hL"}`, fires: true},
		{rule: "W22", name: "a hot vessel with room", given: hotEmpty,
			when: `20:00 NS {"do":"tipped","load":"0501","to":"H2","volume":"98 hL"}`},
	} {
		fired[c.rule], silent[c.rule] = fired[c.rule] || c.fires, silent[c.rule] || !c.fires
		t.Run(c.rule+" "+c.name, func(t *testing.T) {
			play := func() *house {
				h := openHouse(t)
				h.now = at("18:00")
				h.give(t, c.given)
				c.when = strings.ReplaceAll(c.when, `"of":%`, fmt.Sprintf(`"of":%d`, latest(h)))
				return h
			}
			h := play()
			err := h.hear(c.when)
			var needs *cellar.Needs
			if !c.fires {
				if errors.As(err, &needs) {
					require.NotContains(t, codes(needs), c.rule, err.Error())
				} else {
					require.NoError(t, err)
				}
				return
			}
			require.ErrorAs(t, err, &needs)
			require.Contains(t, codes(needs), c.rule)
			f := strings.SplitN(with(c.rule, c.when), " ", 3)
			err = play().hear(strings.Join(f, " "))
			if c.final {
				require.Error(t, err, "no word of the lead's lifts this one")
			} else {
				require.NoError(t, err)
			}
			if c.lifted != "" {
				require.NoError(t, play().hear(c.lifted))
			}
		})
	}
	for _, r := range cellar.Rules() {
		if !fired[string(r.Code)] {
			t.Errorf("%s, %s: no case fires it and is answered", r.Code, r.Title)
		}
		if !silent[string(r.Code)] {
			t.Errorf("%s, %s: no case passes it", r.Code, r.Title)
		}
	}
}

// latest is the number of the entry written last that can be corrected.
func latest(h *house) cellar.Seq { return correctables(h)[0].Of }

const trailer = `20:00 NS {"do":"load","load":"0501","gross":"30000 kg","tare":"12000 kg","trailer":"T7"}`

const booked0502 = `18:20 MA {"do":"book","load":"0502","variety":"Muscat","booked":"2026-09-24T20:30:00+02:00"}`

const plan15 = `18:20 MA {"do":"book","load":"0501","variety":"Sauvignon","net":"15 t",` +
	`"booked":"2026-09-24T20:30:00+02:00"}`

const weighed = `20:00 NS {"do":"load","load":"0501","gross":"30000 kg","tare":"12000 kg"}`

var (
	inP1 = []string{weighed, `20:05 NS {"do":"tip","load":"0501","to":"P1"}`,
		`20:40 NS {"do":"tipped","load":"0501","to":"P1"}`}
	pressed = []string{`20:45 NS {"do":"press-start","press":"P1","programme":"W-120","free_run":"103",` +
		`"pressings":"401"}`, `22:00 NS {"do":"juice","press":"P1","volume":"80 hL"}`}
	ended = append(append(append([]string{}, inP1...), pressed...),
		`22:45 NS {"do":"juice","press":"P1","share":"pressings","volume":"20 hL","end":true}`)
	notRun = append(append(append([]string{}, inP1...), pressed[0]),
		`22:45 NS {"do":"juice","press":"P1","share":"pressings","volume":"20 hL","end":true}`)
	lockedOut = append(inP1[:3:3], second)
	// laterLoad: a second load, four hours after the first, in the press whose
	// juice goes to the same tank.
	laterLoad = append(append(append([]string{}, inP1...), pressed...),
		`22:45 NS {"do":"juice","press":"P1","share":"pressings","volume":"20 hL","end":true}`,
		`23:20 NS {"do":"press-free","press":"P1","more":true}`,
		`23:30 MA {"do":"book","load":"0502","variety":"Sauvignon","booked":"2026-09-25T00:00:00+02:00"}`,
		`00:05 NS {"do":"load","load":"0502","variety":"Sauvignon","gross":"30000 kg","tare":"12000 kg"}`,
		`00:10 NS {"do":"tip","load":"0502","to":"P1"}`, `00:40 NS {"do":"tipped","load":"0502","to":"P1"}`,
		`00:45 NS {"do":"press-start","press":"P1","programme":"W-120","free_run":"103","pressings":"401"}`)
	// stillOpen is a tank with a valid negative into which P1 still runs.
	stillOpen = append(append(append([]string{}, inP1...), pressed...),
		`22:05 NS {"do":"dose","vessel":"103","product":"E-1","rate":"2 g/hL","temp":"14 °C"}`,
		`22:10 NS {"do":"pectin-test","vessel":"103"}`, `22:15 NS {"do":"pectin-test-read","vessel":"103",`+
			`"sample":"clear","control":"flocs"}`)
	pounds = []string{`18:30 MA {"do":"product","product":"E-2","name":"strong enzyme","class":"enzyme-clarify",` +
		`"unit":"lb/1000 gal","open":"5 kg","card":{"rows":[{"from":"12 °C","to":"20 °C","wait":"3h"}],` +
		`"low":"0.13 lb/1000 gal","high":"0.25 lb/1000 gal"}}`}
	noCard = []string{`18:30 MA {"do":"product","product":"E-3","name":"strong enzyme","class":"enzyme-clarify",` +
		`"unit":"lb/1000 gal","open":"5 kg"}`,
		`18:30 MA {"do":"product","product":"X-3","name":"skin enzyme","class":"enzyme-skin","unit":"g/100 kg",` +
			`"open":"5 kg"}`}
	muscat401 = []string{`19:00 MA {"do":"move","from":"101","to":[{"vessel":"401","volume":"20 hL"}],"part":true}`}
	readBack  = []string{`19:00 MA {"do":"house","read_back":["206"]}`}
	// alike has a twin to 206 that is on hold, and one to 103 for red must.
	alike = []string{`18:30 MA {"do":"house","similar_numbers":"ask"}`,
		`18:30 MA {"do":"vessel","vessel":"209","row":"row 2 right","brim":"200 hL","use":"ferment"}`,
		`18:31 MA {"do":"stage","vessel":"209","stage":"empty clean","steps":["rinsed","drained","looked into"]}`,
		`18:32 MA {"do":"move","from":"102","to":[{"vessel":"209","volume":"50 hL","read_back":"209"}],"part":true}`,
		`18:33 MA {"do":"hold","vessel":"209","reason":"wrong juice in it","releaser":"OF"}`,
		`18:34 MA {"do":"vessel","vessel":"301","brim":"180 hL","use":"red ferment"}`}
	clean209 = alike[:3]
	guessed  = []string{`19:00 NS {"do":"move","from":"101","to":[{"vessel":"103","volume":"80 hL"}],"part":true,` +
		`"how":"estimate"}`}
	both = append(append([]string{}, alike[:4]...), `18:35 MA {"do":"move","from":"101","to":[{"vessel":"206",`+
		`"volume":"50 hL","read_back":"206"}],"part":true}`)
	mistaken = []string{`19:00 MA {"do":"house","look_alikes":[["201","206"],["101","401"]]}`}
	unseen   = []string{`18:30 NS {"do":"stage","vessel":"103","stage":"cleaning"}`,
		`19:00 NS {"do":"stage","vessel":"103","stage":"empty clean","steps":["rinsed","drained"]}`}
	settled = []string{`18:30 NS {"do":"stage","vessel":"102","stage":"settling","until":"2026-09-25T06:00:00+02:00"}`}
	yeast   = []string{`18:30 MA {"do":"product","product":"Y-1","name":"yeast","class":"yeast","unit":"g/hL",` +
		`"open":"25 kg"}`}
	manifold = []string{`18:30 MA {"do":"vessel","vessel":"M1","brim":"100 hL","use":"settle","manifold":"M2"}`,
		`18:31 MA {"do":"vessel","vessel":"M3","brim":"100 hL","use":"settle","manifold":"M2"}`,
		`18:32 MA {"do":"stage","vessel":"M3","stage":"empty clean","steps":["rinsed","drained","looked into"]}`,
		`18:33 MA {"do":"move","from":"101","to":[{"vessel":"M3","volume":"20 hL"}],"part":true}`}
	hotEmpty = []string{weighed, `20:00 MA {"do":"vessel","vessel":"H2","brim":"120 hL","use":"hot"}`,
		`20:00 MA {"do":"stage","vessel":"H2","stage":"empty clean","steps":["rinsed","drained","looked into"]}`,
		`20:00 NS {"do":"tip","load":"0501","to":"H2"}`}
	hotMust = []string{`18:30 MA {"do":"vessel","vessel":"H1","brim":"120 hL","use":"hot"}`,
		`18:30 MA {"do":"stage","vessel":"H1","stage":"empty clean","steps":["rinsed","drained","looked into"]}`,
		`18:31 NS {"do":"load","load":"0501","gross":"30000 kg","tare":"12000 kg"}`,
		`18:32 NS {"do":"tip","load":"0501","to":"H1","mass":"6 t"}`,
		`18:50 NS {"do":"tipped","load":"0501","to":"H1","volume":"50 hL"}`,
		`19:00 NS {"do":"reading","vessel":"H1","temp":"68 °C"}`}
	skins = []string{`18:30 MA {"do":"vessel","vessel":"X1","brim":"80 hL","use":"on skins"}`,
		`18:30 MA {"do":"stage","vessel":"X1","stage":"empty clean","steps":["rinsed","drained","looked into"]}`,
		`18:31 NS {"do":"load","load":"0501","gross":"30000 kg","tare":"12000 kg"}`,
		`18:32 NS {"do":"tip","load":"0501","to":"X1","mass":"6 t"}`,
		`18:50 NS {"do":"tipped","load":"0501","to":"X1","volume":"50 hL"}`,
		`18:51 NS {"do":"clock","subject":"X1","verb":"drain","kind":"skin contact","what":"not-after",` +
			`"due":"2026-09-24T22:00:00+02:00"}`}
)

// leastSkins stand to 21:00 at least; hotHeld is hot from 18:50, by hotHeldMost to
// 20:40 at the longest; redMust was 27 °C at 19:00.
var (
	intoSkins  = skins[:len(skins)-1]
	leastSkins = append(append([]string{}, intoSkins...), `19:00 NS {"do":"clock","subject":"X1","verb":"drain",`+
		`"what":"not-before","in":"2h"}`)
	hotUntil = append(append([]string{}, hotMust...), `19:00 NS {"do":"clock","subject":"H1","kind":"hot hold",`+
		`"verb":"cool down","in":"2h"}`,
		`19:01 MA {"do":"vessel","vessel":"H2","brim":"120 hL","use":"hot"}`,
		`19:02 MA {"do":"stage","vessel":"H2","stage":"empty clean","steps":["rinsed","drained","looked into"]}`)
	hotHeld     = append(append([]string{}, hotMust...), `19:10 NS {"do":"reading","vessel":"H1","temp":"69 °C"}`)
	hotHeldMost = append(append([]string{}, hotMust...), `19:10 NS {"do":"clock","subject":"H1","verb":"cool down",`+
		`"what":"not-after","in":"1h30"}`)
	redTank = append(append([]string{}, skins...), `19:00 MA {"do":"vessel","vessel":"R1","brim":"120 hL",`+
		`"use":"red ferment"}`, `19:00 MA {"do":"stage","vessel":"R1","stage":"empty clean","steps":["rinsed",`+
		`"drained","looked into"]}`)
	redMust = []string{`18:30 MA {"do":"vessel","vessel":"R1","brim":"120 hL","use":"red ferment"}`,
		`18:30 MA {"do":"stage","vessel":"R1","stage":"empty clean","steps":["rinsed","drained","looked into"]}`,
		`18:31 NS {"do":"load","load":"0501","gross":"30000 kg","tare":"12000 kg","style":"red"}`,
		`18:32 NS {"do":"tip","load":"0501","to":"R1","mass":"6 t","kind":"red must"}`,
		`18:50 NS {"do":"tipped","load":"0501","to":"R1","volume":"50 hL"}`,
		`18:55 NS {"do":"stage","vessel":"R1","stage":"maceration"}`,
		`19:00 NS {"do":"reading","vessel":"R1","temp":"27 °C"}`}
)

// give plays what was given, the lead answering whatever asks.
func (h *house) give(t *testing.T, lines []string) {
	t.Helper()
	for _, l := range lines {
		err := h.hear(l)
		var needs *cellar.Needs
		if errors.As(err, &needs) {
			t.Fatalf("given %s asks: %v", l, err)
		}
		require.NoError(t, err, l)
	}
}

func codes(n *cellar.Needs) []string {
	var out []string
	for _, f := range n.Findings {
		out = append(out, string(f.Rule))
	}
	return out
}

// TestASlipOfTheUnitIsNamed: the dose in both units, and the figure that would
// make sense. 1 lb/1000 gal is 11.98 g/hL (453.59237 g in 1000 times 3.785411784 L).
func TestASlipOfTheUnitIsNamed(t *testing.T) {
	h := openHouse(t)
	h.say(t, append(append([]string{}, pounds...), noCard...)...)
	h.say(t, dosed101[0])
	for _, c := range []struct{ dose, says string }{
		{`"E-2","rate":"1.6 lb/1000 gal"`, "D01: 1.6 lb/1000 gal = 19.2 g/hL is outside the label of E-2 (0.13 " +
			"lb/1000 gal to 0.25 lb/1000 gal). Did you mean 1.6 g/hL (0.134 lb/1000 gal)? This is 12 times that."},
		{`"E-2","rate":"0.134 g/hL"`, "D01: 0.134 g/hL = 0.0112 lb/1000 gal is outside the label of E-2 (0.13 " +
			"lb/1000 gal to 0.25 lb/1000 gal). Did you mean 0.134 lb/1000 gal? This is one 12th of that."},
		{`"E-2","rate":"0.014 lb/1000 gal"`, "Did you mean 0.14 lb/1000 gal? This is one 10th of that."},
		{`"E-2","rate":"2.4 lb/1000 gal"`, "rate: 2.4 lb/1000 gal is more than ten times the middle of the label's " +
			"range (0.19 lb/1000 gal); check g, kg and the decimal point. Did you mean 2.4 g/hL (0.2 lb/1000 gal)? " +
			"This is 12 times that."},
		{`"E-3","rate":"1.6 lb/1000 gal","test_at":"2026-09-24T23:50:00+02:00"`,
			"D12: 1.6 lb/1000 gal = 19.2 g/hL; the last enzyme-clarify in this cellar was E-1 2 g/hL on 101 at " +
				"18:05. Did you mean 1.6 g/hL (0.134 lb/1000 gal)? This is 12 times that."},
		{`"E-3","rate":"1.6 g/hL","test_at":"2026-09-24T23:50:00+02:00"`,
			"D12: 1.6 g/hL is 0.134 lb/1000 gal; the label of E-3 is in lb/1000 gal. Does it say 0.134?"},
		{`"X-3","rate":"3 g/hL"`, "D12: 3 g/hL is on the juice; the label of X-3 is on the grapes, in g/100 kg."},
	} {
		err := h.hear(`20:00 NS {"do":"dose","vessel":"102","product":` + c.dose + `}`)
		require.ErrorContains(t, err, c.says)
		var needs *cellar.Needs
		if errors.As(err, &needs) {
			require.Len(t, needs.Findings, 1, "one slip is asked about once: %s", c.dose)
		}
	}
}

// TestTheOtherBasisByTheYieldOfTheVessel: 6 t of grapes gave 50 hL, 8.3 hL/t.
func TestTheOtherBasisByTheYieldOfTheVessel(t *testing.T) {
	h := openHouse(t)
	h.say(t, noCard...)
	h.say(t, `18:31 NS {"do":"load","load":"0501","gross":"10000 kg","tare":"4000 kg"}`,
		`18:32 NS {"do":"tip","load":"0501","to":"103","kind":"juice"}`,
		`18:50 NS {"do":"tipped","load":"0501","to":"103","volume":"50 hL"}`)
	require.ErrorContains(t, h.hear(`20:00 NS {"do":"dose","vessel":"103","product":"X-3","rate":"3 g/hL"}`),
		"Here 3 g/hL is 2.5 g/100 kg, at 8.3 hL/t.")
}

// TestWrittenTwiceCountsOnce: what two people write of one dose is one dose. It
// is asked about also when it is said to have happened; anybody's word that it
// was one more is then enough, for what happened is always written.
func TestWrittenTwiceCountsOnce(t *testing.T) {
	h := openHouse(t)
	h.say(t, `19:40 NS {"do":"dose","vessel":"101","product":"S-1","rate":"4 g/hL"}`)
	p, _ := h.s.Product("S-1")
	stock, late := p.Open, `19:50 MA {"do":"dose","vessel":"101","product":"S-1","rate":"4 g/hL"%s}`
	var needs *cellar.Needs
	require.ErrorAs(t, h.hear(strings.Replace(late, "%s", "", 1)), &needs)
	require.NotZero(t, needs.Findings[0].Like)
	require.ErrorAs(t, h.hear(strings.Replace(late, "%s", `,"happened":true`, 1)), &needs)
	require.Contains(t, needs.Error(), "Is this the same one, or one more?")
	require.False(t, needs.Findings[0].Stop())

	h.say(t, strings.Replace(late, "%s", `,"happened":true,"same":true`, 1))
	v, _ := h.s.Vessel("101")
	require.Len(t, v.Now.Doses, 1)
	require.Equal(t, stock, p.Open)
	require.Empty(t, h.s.Answered)
	require.Empty(t, h.s.Stopped, "it is no near miss")
	all := h.s.EventsOf(h.s.Known("101"))
	require.Contains(t, all[len(all)-1].Text, "the same that NS saved for 19:40, not counted again")

	h.say(t, strings.Replace(late, "%s", `,"happened":true,"answers":[{"rule":"H07"}]`, 1))
	require.Len(t, v.Now.Doses, 2)
	require.True(t, h.s.Answered[0].Broken)
	require.Equal(t, gate.Code("H07"), h.s.Answered[0].Rule)
}

// TestHappenedIsAlwaysWritten: what has happened is written with the rules it
// broke; somebody without the right is marked for the lead.
func TestHappenedIsAlwaysWritten(t *testing.T) {
	h := openHouse(t)
	h.say(t, `19:00 MA {"do":"hold","vessel":"101","reason":"wrong juice in it","releaser":"OF"}`,
		`20:00 NS {"do":"move","from":"101","to":[{"vessel":"102","volume":"3.5 hL"}],"part":true,"happened":true,`+
			`"intended":"201"}`)
	var got []string
	for _, a := range h.s.Answered {
		got = append(got, string(a.Rule))
		require.True(t, a.Broken)
		require.True(t, a.ToConfirm)
	}
	require.ElementsMatch(t, []string{"H11", "H15"}, got)
	v, _ := h.s.Vessel("102")
	require.Equal(t, "124 hL", v.Now.Volume.String())
	require.Equal(t, "Muscat", v.Now.Strangers()[0].Variety)
}

// TestWhatIsMissingAfterAMove is W15: a move that has happened is written though
// it does not balance, by one word, and what is missing stands with it.
func TestWhatIsMissingAfterAMove(t *testing.T) {
	h := openHouse(t)
	gone := `20:00 NS {"do":"move","from":"101","to":[{"vessel":"201","volume":"160 hL"}],"happened":true%s}`
	require.Contains(t, h.asked(t, fill(gone, ""))["W15"], "40.0 hL of 200.0 hL")
	h.say(t, fill(gone, `,"answers":[{"rule":"W15"}]`))
	require.Equal(t, gate.Code("W15"), h.s.Answered[0].Rule)
	require.Contains(t, h.s.Words(h.s.Answered[0].Said), "40.0 hL of 200.0 hL")
	require.Equal(t, "40 hL", h.s.Moves()[0].Unexplained.String())
	h = openHouse(t)
	h.say(t, `20:00 NS {"do":"move","from":"101","to":[{"vessel":"201","volume":"160 hL"}],"part":true,"happened":true}`)
	require.Empty(t, h.s.Answered, "the rest stays")
}

// TestLeftAloneIsWrittenAsStopped: the near miss names who and when.
func TestLeftAloneIsWrittenAsStopped(t *testing.T) {
	h := openHouse(t)
	h.say(t, `19:40 NS {"do":"dose","vessel":"101","product":"S-1","rate":"4 g/hL"}`,
		`23:35 MA {"do":"dose","vessel":"101","product":"S-1","rate":"4 g/hL","not_done":true}`)
	require.Len(t, h.s.Stopped, 1)
	require.Equal(t, gate.Code("H07"), h.s.Stopped[0].Rule)
	require.Contains(t, h.s.Words(h.s.Stopped[0].Why), "NS")
	require.Contains(t, h.s.Words(h.s.Stopped[0].Why), "19:40")
	v, _ := h.s.Vessel("101")
	require.Len(t, v.Now.Doses, 1, "nothing was poured")
}

// TestRouteIsToBeDecided: from the third positive in a row the lead has a time
// by which the route is decided; a negative, or another route, answers it.
func TestRouteIsToBeDecided(t *testing.T) {
	third := []string{
		`18:01 MA {"do":"shift-start","lead":"MA","crew":["NS"]}`,
		`18:05 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL","temp":"14 °C"}`,
		`20:30 NS {"do":"pectin-test","vessel":"101"}`, `20:35 NS {"do":"pectin-test-read","vessel":"101",` +
			`"sample":"large flocs","control":"flocs"}`,
		`22:30 NS {"do":"pectin-test","vessel":"101"}`, `22:35 NS {"do":"pectin-test-read","vessel":"101",` +
			`"sample":"small flocs","control":"flocs"}`,
		`00:30 NS {"do":"pectin-test","vessel":"101"}`, `00:35 NS {"do":"pectin-test-read","vessel":"101",` +
			`"sample":"fine flocs","control":"flocs","answers":[{"rule":"W11","by":"NS"}]}`,
	}
	route := func(h *house) *cellar.AlarmClock {
		for _, k := range h.s.ClocksOf(h.s.Known("101")) {
			if k.Kind == cellar.KindRoute {
				return k
			}
		}
		return nil
	}
	for _, c := range []struct {
		name     string
		then     []string
		answered bool
	}{
		{name: "nothing said"},
		{name: "a negative", then: []string{`01:40 NS {"do":"pectin-test","vessel":"101"}`,
			`01:45 NS {"do":"pectin-test-read","vessel":"101","sample":"clear","control":"flocs"}`}, answered: true},
		{name: "an invalid test decides nothing", then: []string{`01:40 NS {"do":"pectin-test","vessel":"101"}`,
			`01:45 NS {"do":"pectin-test-read","vessel":"101","sample":"clear","control":"clear"}`}},
		{name: "cold settling instead", then: []string{`01:00 MA {"do":"stage","vessel":"101","stage":"settling",` +
			`"reason":"OF by phone: settle"}`}, answered: true},
		{name: "the lead ticks it off", then: []string{`01:00 MA {"do":"clock-move","subject":"101",` +
			`"verb":"settle or float?","done":true,"reason":"OF: wait to 04:30"}`}, answered: true},
	} {
		h := openHouse(t)
		h.say(t, third[:6]...)
		require.Nil(t, route(h), "not before the third")
		h.say(t, third[6:]...)
		k := route(h)
		require.NotNil(t, k)
		require.Equal(t, cellar.NotAfter, k.DueKind)
		require.Equal(t, cellar.Initials("MA"), k.Owner, "the lead's, though NS read it")
		require.Equal(t, "02:35", h.s.Clock(k.Due))
		h.say(t, c.then...)
		require.Equal(t, c.answered, route(h) == nil, c.name)
	}
	h := openHouse(t)
	h.say(t, `18:00 MA {"do":"house","limits":{"route_within":"45m"}}`)
	h.say(t, third...)
	require.Equal(t, "01:20", h.s.Clock(route(h).Due), "the house's own time")
}
