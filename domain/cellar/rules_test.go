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
	`20:30 NS {"do":"check","vessel":"101"}`,
	`20:35 NS {"do":"check-read","vessel":"101","sample":"large flocs","control":"flocs"}`,
}

// negative101 goes on to a valid negative at a quarter to midnight.
var negative101 = append(append([]string{}, dosed101...),
	`23:40 NS {"do":"check","vessel":"101"}`,
	`23:45 NS {"do":"check-read","vessel":"101","sample":"clear","control":"flocs"}`)

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
		{"H02", "grapes onto a closed lot", []string{weighed}, `20:10 NS {"do":"tip","load":"0501","to":"102","kind":"juice"}`, true, false, ""},
		{"H02", "grapes into a clean vessel", []string{weighed}, `20:10 NS {"do":"tip","load":"0501","to":"103","kind":"juice"}`, false, false, ""},
		{"H02", "grapes into a dirty vessel", []string{weighed, `20:05 NS {"do":"stage","vessel":"103","stage":"empty dirty"}`}, `20:10 NS {"do":"tip","load":"0501","to":"103","kind":"juice"}`, true, false, ""},
		{"D14", "a trailer a ton heavier than it was", []string{booked0502, trailer}, `20:30 NS {"do":"load","load":"0502","variety":"Muscat","gross":"30000 kg","tare":"13000 kg","trailer":"t7"}`, true, false, ""},
		{"D14", "a trailer as it was", []string{booked0502, trailer}, `20:30 NS {"do":"load","load":"0502","variety":"Muscat","gross":"30000 kg","tare":"12100 kg","trailer":"T7"}`, false, false, ""},
		{"D14", "another trailer", []string{booked0502, trailer}, `20:30 NS {"do":"load","load":"0502","variety":"Muscat","gross":"30000 kg","tare":"13000 kg","trailer":"T8"}`, false, false, ""},
		{"D15", "Muscat where Sauvignon is booked", nil, `20:00 NS {"do":"load","load":"0501","variety":"Muscat","gross":"30000 kg","tare":"12000 kg"}`, true, false, ""},
		{"D15", "as it is booked", nil, `20:00 NS {"do":"load","load":"0501","variety":"sauvignon","gross":"30000 kg","tare":"12000 kg"}`, false, false, ""},
		{"D32", "another load's number without its nought", nil, `20:30 NS {"do":"load","load":"501","variety":"Sauvignon","gross":"30000 kg","tare":"12000 kg"}`, true, false, ""},
		{"D32", "another load's number in another hand", nil, `20:30 NS {"do":"load","load":"05-01","variety":"Sauvignon","gross":"30000 kg","tare":"12000 kg"}`, true, false, ""},
		{"D32", "another load's number, booked", nil, `19:30 NS {"do":"book","load":"501","variety":"Sauvignon","booked":"2026-09-24T23:00:00+02:00"}`, true, false, ""},
		{"D32", "the number itself, booked again", nil, `19:30 NS {"do":"book","load":"0501","variety":"Sauvignon","booked":"2026-09-24T23:00:00+02:00"}`, false, false, ""},
		{"D33", "on after a lock-out", lockedOut, `22:30 NS {"do":"press-go","press":"P1"}`, true, false, ""},
		{"D33", "freed after a lock-out", lockedOut, `22:30 NS {"do":"press-free","press":"P1","more":true}`, true, false, ""},
		{"D33", "on after a stop", append(inP1[:3:3], halt), `22:30 NS {"do":"press-go","press":"P1"}`, false, false, ""},
		{"D33", "locked out and off", append(lockedOut[:4:4], goes), `22:40 NS {"do":"press-stop","press":"P1","reason":"noise"}`, false, false, ""},
		{"D32", "the number itself", nil, weighed, false, false, ""},
		{"D32", "another number", nil, `20:30 NS {"do":"load","load":"5010","variety":"Sauvignon","gross":"30000 kg","tare":"12000 kg"}`, false, false, ""},
		{"D23", "a second load where one is booked", []string{weighed}, `20:30 NS {"do":"load","load":"0503","variety":"Sauvignon","gross":"20000 kg","tare":"12000 kg"}`, true, false, ""},
		{"D23", "a variety of which none is booked", nil, `20:30 NS {"do":"load","load":"0503","variety":"Syrah","gross":"20000 kg","tare":"12000 kg"}`, true, false, ""},
		{"D23", "a fifth more than booked", []string{plan15}, `20:30 NS {"do":"load","load":"0501","gross":"30000 kg","tare":"12000 kg"}`, true, false, ""},
		{"D23", "a tenth more than booked", []string{plan15}, `20:30 NS {"do":"load","load":"0501","gross":"28500 kg","tare":"12000 kg"}`, false, false, ""},
		{"D23", "as it is booked", nil, weighed, false, false, ""},
		{"D23", "the same variety of another grower", []string{weighed}, `20:30 NS {"do":"load","load":"0503","variety":"Sauvignon","grower":"east slope","gross":"20000 kg","tare":"12000 kg"}`, true, false, ""},
		{"H02", "press juice into a tank nobody named", append(append([]string{}, inP1...), pressed[0]), `22:00 NS {"do":"juice","press":"P1","to":"102","volume":"20 hL"}`, true, false, ""},
		{"H02", "press juice into the tank that was named", append(append([]string{}, inP1...), pressed[0]), `22:00 NS {"do":"juice","press":"P1","to":"103","volume":"20 hL"}`, false, false, ""},
		{"H06", "over the working limit", nil, `20:00 NS {"do":"move","from":"101","to":[{"vessel":"201","volume":"190 hL"}],"part":true}`, true, false, ""},
		{"H06", "over 98 % of the brim", nil, `20:00 NS {"do":"move","from":"101","to":[{"vessel":"201","volume":"198 hL"}],"part":true}`, true, true, ""},
		{"H06", "within the limit", nil, `20:00 NS {"do":"move","from":"101","to":[{"vessel":"201","volume":"170 hL"}],"part":true}`, false, false, ""},
		{"H07", "a second enzyme dose", dosed101, `20:50 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL"}`, true, false, ""},
		{"H07", "over the card's maximum", dosed101, `20:50 NS {"do":"dose","vessel":"101","product":"E-1","rate":"4.1 g/hL"}`, true, false, ""},
		{"H07", "a first dose", nil, `20:50 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL"}`, false, false, ""},
		{"H07", "a second small SO2 dose only asks", []string{`19:00 NS {"do":"dose","vessel":"101","product":"S-1","rate":"2 g/hL"}`}, `20:50 NS {"do":"dose","vessel":"101","product":"S-1","rate":"2 g/hL"}`, true, false, ""},
		{"H07", "a sum of SO2 over the house maximum", []string{`19:00 NS {"do":"dose","vessel":"101","product":"S-1","rate":"4 g/hL"}`}, `20:50 NS {"do":"dose","vessel":"101","product":"S-1","rate":"4 g/hL"}`, true, false, ""},
		{"H07", "after much other juice came in", append(append([]string{}, dosed101...), `20:40 MA {"do":"move","from":"102","to":[{"vessel":"101","volume":"30 hL"}],"part":true,"blend":true}`), `20:50 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL"}`, false, false, ""},
		{"H09", "flotation after a positive", dosed101, `20:50 NS {"do":"stage","vessel":"101","stage":"flotation"}`, true, true, maker("H09", `20:50 NS {"do":"stage","vessel":"101","stage":"flotation"}`)},
		{"H09", "flotation after a valid negative", negative101, `23:50 NS {"do":"stage","vessel":"101","stage":"flotation"}`, false, false, ""},
		{"H09", "bentonite on a running contact", dosed101[:1], `20:50 NS {"do":"dose","vessel":"101","product":"B-1","rate":"30 g/hL"}`, true, true, maker("H09", `20:50 NS {"do":"dose","vessel":"101","product":"B-1","rate":"30 g/hL"}`)},
		{"H09", "flotation when juice came in after the negative", append(append([]string{}, negative101...), `23:46 MA {"do":"move","from":"102","to":[{"vessel":"101","volume":"5 hL"}],"part":true,"blend":true}`), `23:50 NS {"do":"stage","vessel":"101","stage":"flotation"}`, true, true, ""},
		{"D27", "unchanged after a minute", []string{`20:30 NS {"do":"check","vessel":"101"}`, `20:35 NS {"do":"check-read","vessel":"101","sample":"faint haze","control":"flocs"}`}, `20:36 NS {"do":"check-read","vessel":"101","second":"unchanged"}`, true, false, ""},
		{"D27", "unchanged at the end", []string{`20:30 NS {"do":"check","vessel":"101"}`, `20:35 NS {"do":"check-read","vessel":"101","sample":"faint haze","control":"flocs"}`}, `20:39 NS {"do":"check-read","vessel":"101","second":"unchanged"}`, false, false, ""},
		{"D27", "flocs after a minute", []string{`20:30 NS {"do":"check","vessel":"101"}`, `20:35 NS {"do":"check-read","vessel":"101","sample":"faint haze","control":"flocs"}`}, `20:36 NS {"do":"check-read","vessel":"101","second":"flocs"}`, false, false, ""},
		{"H10", "read before its time", []string{`20:30 NS {"do":"check","vessel":"101"}`}, `20:32 NS {"do":"check-read","vessel":"101","sample":"clear","control":"flocs"}`, true, true, ""},
		{"H10", "read after void", []string{`20:30 NS {"do":"check","vessel":"101"}`}, `20:41 NS {"do":"check-read","vessel":"101","sample":"clear","control":"flocs"}`, true, false, ""},
		{"H10", "a clear sample without a control", []string{`20:30 NS {"do":"check","vessel":"101"}`}, `20:35 NS {"do":"check-read","vessel":"101","sample":"clear","control":"none"}`, true, false, ""},
		{"H10", "juice that came in after the sample", []string{`20:30 NS {"do":"check","vessel":"101"}`, `20:32 MA {"do":"move","from":"102","to":[{"vessel":"101","volume":"5 hL"}],"part":true,"blend":true}`}, `20:35 NS {"do":"check-read","vessel":"101","sample":"clear","control":"flocs"}`, true, false, ""},
		{"H10", "flocs without a control", []string{`20:30 NS {"do":"check","vessel":"101"}`}, `20:35 NS {"do":"check-read","vessel":"101","sample":"fine flocs","control":"none"}`, false, false, ""},
		{"H10", "read at the void time", []string{`20:30 NS {"do":"check","vessel":"101"}`}, `20:40 NS {"do":"check-read","vessel":"101","sample":"clear","control":"flocs"}`, false, false, ""},
		{"D10", "settled where a flotation was ordered", append(append([]string{}, negative101...), `23:46 NS {"do":"order","act":"float","vessel":"101","from":"OF"}`), `23:50 NS {"do":"stage","vessel":"101","stage":"settling"}`, true, false, ""},
		{"D10", "done as it was ordered", append(append([]string{}, negative101...), `23:46 NS {"do":"order","act":"float","vessel":"101","from":"OF"}`), `23:50 NS {"do":"stage","vessel":"101","stage":"flotation"}`, false, false, ""},
		{"D10", "settled with the order's word", append(append([]string{}, negative101...), `23:46 NS {"do":"order","act":"float","vessel":"101","from":"OF"}`), `23:50 NS {"do":"stage","vessel":"101","stage":"settling","answers":[{"rule":"D10","reason":"OF by phone"}]}`, false, false, ""},
		{"D11", "a dip far from the ledger", nil, `20:00 NS {"do":"reading","vessel":"101","dip":"150 hL"}`, true, false, ""},
		{"D11", "a dip as near as a stick reads", nil, `20:00 NS {"do":"reading","vessel":"101","dip":"197 hL"}`, false, false, ""},
		{"H11", "racking onto another lot", nil, `20:00 NS {"do":"move","from":"101","to":[{"vessel":"102","volume":"10 hL"}],"part":true}`, true, false, ""},
		{"H11", "racking into a dirty vessel", []string{`19:00 NS {"do":"stage","vessel":"201","stage":"empty dirty"}`}, `20:00 NS {"do":"move","from":"101","to":[{"vessel":"201","volume":"10 hL"}],"part":true}`, true, false, ""},
		{"H11", "a blend that was said", nil, `20:00 NS {"do":"move","from":"101","to":[{"vessel":"102","volume":"10 hL"}],"part":true,"blend":true}`, false, false, ""},
		{"H11", "onto the fraction of other grapes", muscat401, `20:00 NS {"do":"move","from":"102","to":[{"vessel":"401","volume":"10 hL"}],"part":true}`, true, false, ""},
		{"H11", "onto the fraction of other grapes, said to be a blend", muscat401, `20:00 NS {"do":"move","from":"102","to":[{"vessel":"401","volume":"10 hL"}],"part":true,"blend":true}`, false, false, ""},
		{"H11", "onto the fraction of its own grapes", muscat401, `20:00 NS {"do":"move","from":"101","to":[{"vessel":"401","volume":"10 hL"}],"part":true}`, false, false, ""},
		{"H11", "onto other grapes that still run in", append(append([]string{}, inP1...), pressed...), `22:10 NS {"do":"move","from":"101","to":[{"vessel":"103","volume":"10 hL"}],"part":true}`, true, false, ""},
		{"H11", "onto its own grapes that still run in", append(append([]string{}, inP1...), pressed...), `22:10 NS {"do":"move","from":"102","to":[{"vessel":"103","volume":"10 hL"}],"part":true}`, false, false, ""},
		{"H02", "a fraction onto that of other grapes", append(append([]string{}, muscat401...), inP1...), `20:45 NS {"do":"press-start","press":"P1","programme":"W-120","main":"103","fraction":"401"}`, true, false, ""},
		{"H11", "lees onto lees", nil, `20:00 NS {"do":"move","from":"101","to":[{"vessel":"201","volume":"10 hL"}],"lees":{"vessel":"701","volume":"2 hL"},"part":true}`, false, false, ""},
		{"H15", "out of a vessel on hold", []string{`19:00 MA {"do":"hold","vessel":"101","reason":"wrong juice in it","releaser":"OF"}`}, `20:00 NS {"do":"move","from":"101","to":[{"vessel":"201","volume":"10 hL"}],"part":true}`, true, true, maker("H15", `20:00 NS {"do":"move","from":"101","to":[{"vessel":"201","volume":"10 hL"}],"part":true}`)},
		{"H15", "after the release", []string{`19:00 MA {"do":"hold","vessel":"101","reason":"wrong juice in it","releaser":"OF"}`, `19:30 OF {"do":"release","vessel":"101","reason":"tasted"}`}, `20:00 NS {"do":"move","from":"101","to":[{"vessel":"201","volume":"10 hL"}],"part":true}`, false, false, ""},
		{"W09", "juice under the card's floor", nil, `20:00 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL","temp":"9.4 °C"}`, true, false, ""},
		{"W09", "juice on the card", nil, `20:00 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL","temp":"13 °C"}`, false, false, ""},
		{"W10", "enzyme soon after SO2", []string{`19:50 NS {"do":"dose","vessel":"101","product":"S-1","rate":"3 g/hL"}`}, `20:00 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL"}`, true, false, ""},
		{"W10", "twenty minutes after SO2", []string{`19:40 NS {"do":"dose","vessel":"101","product":"S-1","rate":"3 g/hL"}`}, `20:00 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL"}`, false, false, ""},
		{"W21", "a test typed before the row ends", nil, `20:00 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL","temp":"14.8 °C","test_at":"2026-09-24T22:00:00+02:00"}`, true, false, ""},
		{"W21", "a test typed after the row ends", nil, `20:00 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL","temp":"14.8 °C","test_at":"2026-09-24T23:10:00+02:00"}`, false, false, ""},
		{"H03", "red must into a settling tank", []string{weighed}, `20:10 NS {"do":"tip","load":"0501","to":"103","kind":"red must"}`, true, false, ""},
		{"H03", "must on skins into a vat for must", vat, `21:30 NS {"do":"move","from":"X1","to":[{"vessel":"R1","volume":"50 hL"}]}`, false, false, ""},
		{"H03", "juice drained into a vat for must", append(append([]string{}, vat...), `21:10 NS {"do":"stage","vessel":"X1","stage":"draining"}`), `21:30 NS {"do":"move","from":"X1","to":[{"vessel":"R1","volume":"20 hL"}],"part":true}`, true, false, ""},
		{"H03", "juice into a fermenter", nil, `20:00 NS {"do":"move","from":"101","to":[{"vessel":"201","volume":"10 hL"}],"part":true}`, false, false, ""},
		{"H04", "more than the press takes", []string{`20:00 NS {"do":"load","load":"0501","gross":"36000 kg","tare":"12000 kg"}`}, `20:10 NS {"do":"tip","load":"0501","to":"P1"}`, true, true, ""},
		{"H04", "what the press takes", []string{weighed}, `20:10 NS {"do":"tip","load":"0501","to":"P1"}`, false, false, ""},
		{"H05", "no tank for the fraction", inP1, `20:45 NS {"do":"press-start","press":"P1","programme":"W-120","main":"103"}`, true, false, ""},
		{"H05", "both tanks named", inP1, `20:45 NS {"do":"press-start","press":"P1","programme":"W-120","main":"103","fraction":"401"}`, false, false, ""},
		{"H08", "over the card's ceiling", nil, `20:00 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL","temp":"48 °C"}`, true, true, ""},
		{"H08", "below it", nil, `20:00 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL","temp":"44 °C"}`, false, false, ""},
		{"D04", "racked hours too early", settled, `20:00 NS {"do":"move","from":"102","to":[{"vessel":"201","volume":"112 hL"}],"lees":{"vessel":"701","volume":"8 hL"},"loss":"0.5 hL"}`, true, false, ""},
		{"D04", "called racked too early", settled, `20:00 NS {"do":"stage","vessel":"102","stage":"racked"}`, true, false, ""},
		{"D04", "racked after its time", settled, `09:00 NS {"do":"move","from":"102","to":[{"vessel":"201","volume":"112 hL"}],"lees":{"vessel":"701","volume":"8 hL"},"loss":"0.5 hL"}`, false, false, ""},
		{"H15", "yeast into a vessel on hold", append([]string{`19:00 MA {"do":"hold","vessel":"102","reason":"do not inoculate","releaser":"OF"}`}, yeast...), `20:00 NS {"do":"dose","vessel":"102","product":"Y-1","rate":"20 g/hL","temp":"14 °C"}`, true, true, ""},
		{"D02", "a programme ended long before its time", append(append([]string{}, inP1...), `20:45 NS {"do":"press-start","press":"P1","programme":"W-120","main":"103","fraction":"401"}`), `20:50 NS {"do":"juice","press":"P1","share":"fraction","volume":"2 hL","end":true}`, true, false, ""},
		{"D02", "no volume of press fraction", append(append([]string{}, inP1...), `20:45 NS {"do":"press-start","press":"P1","programme":"W-120","main":"103","fraction":"401"}`), `22:45 NS {"do":"juice","press":"P1","share":"fraction","end":true}`, true, false, ""},
		{"D02", "an end as it should be", append(append([]string{}, inP1...), `20:45 NS {"do":"press-start","press":"P1","programme":"W-120","main":"103","fraction":"401"}`), `22:45 NS {"do":"juice","press":"P1","share":"fraction","volume":"24 hL","end":true}`, false, false, ""},
		{"D03", "a slip of a reading", nil, `20:00 NS {"do":"reading","vessel":"101","temp":"41.9 °C"}`, true, false, ""},
		{"D03", "a reading as it may be", nil, `20:00 NS {"do":"reading","vessel":"101","temp":"15 °C"}`, false, false, ""},
		{"D05", "a control of yesterday", nil, `20:00 NS {"do":"check","vessel":"101","source":"raw juice, fridge","taken_at":"2026-09-23T19:00:00+02:00"}`, true, false, ""},
		{"D05", "a control bottle opened often, said on reading", []string{`20:00 NS {"do":"check","vessel":"101"}`}, `20:05 NS {"do":"check-read","vessel":"101","sample":"clear","control":"flocs","openings":4}`, true, false, ""},
		{"D05", "a control of today", nil, `20:00 NS {"do":"check","vessel":"101","source":"raw juice, fridge","taken_at":"2026-09-24T08:00:00+02:00","openings":3}`, false, false, ""},
		{"D06", "alcohol weaker than the recipe's", []string{`19:00 NS {"do":"bottle","bottle":"A-1","abv":90}`}, `20:00 NS {"do":"check","vessel":"101"}`, true, false, ""},
		{"D06", "alcohol open for weeks", []string{`19:00 NS {"do":"bottle","bottle":"A-1","abv":96,"opened":"2026-09-09T12:00:00+02:00"}`}, `20:00 NS {"do":"check","vessel":"101"}`, true, false, ""},
		{"D06", "a fresh bottle is used by itself", []string{`19:00 NS {"do":"bottle","bottle":"A-1","abv":90,"opened":"2026-09-09T12:00:00+02:00"}`, `19:30 NS {"do":"bottle","bottle":"A-2","abv":96}`}, `20:00 NS {"do":"check","vessel":"101"}`, false, false, ""},
		{"D06", "no bottle is known", nil, `20:00 NS {"do":"check","vessel":"101"}`, false, false, ""},
		{"D07", "a cloudy racking", append(append([]string{}, settled...), `07:00 NS {"do":"reading","vessel":"102","ntu":460}`), `08:00 NS {"do":"move","from":"102","to":[{"vessel":"201","volume":"112 hL"}],"lees":{"vessel":"701","volume":"8 hL"},"loss":"0.5 hL"}`, true, false, ""},
		{"D07", "a thin juice called racked", append(append([]string{}, settled...), `07:00 NS {"do":"reading","vessel":"102","ntu":28}`), `08:00 NS {"do":"stage","vessel":"102","stage":"racked"}`, true, false, ""},
		{"D07", "a racking as usual", append(append([]string{}, settled...), `07:00 NS {"do":"reading","vessel":"102","ntu":152}`), `08:00 NS {"do":"move","from":"102","to":[{"vessel":"201","volume":"112 hL"}],"lees":{"vessel":"701","volume":"8 hL"},"loss":"0.5 hL"}`, false, false, ""},
		{"D07", "read before it settled", append([]string{`18:10 NS {"do":"reading","vessel":"102","ntu":560}`}, settled...), `08:00 NS {"do":"stage","vessel":"102","stage":"racked"}`, false, false, ""},
		{"D13", "floated while juice runs in", stillOpen, `22:20 NS {"do":"stage","vessel":"103","stage":"flotation","bar":5}`, true, false, with("D13", `22:20 NS {"do":"stage","vessel":"103","stage":"flotation","bar":5}`)},
		{"D13", "bentonite while juice runs in", stillOpen, `22:30 NS {"do":"dose","vessel":"103","product":"B-1","rate":"30 g/hL"}`, true, false, ""},
		{"D13", "floated when the tank is closed", append(append([]string{}, stillOpen...), `22:18 NS {"do":"juice","press":"P1","reads":"80 hL","closed":true}`), `22:20 NS {"do":"stage","vessel":"103","stage":"flotation","bar":5}`, false, false, ""},
		{"D01", "g/hL typed for a label in pounds", pounds, `20:00 NS {"do":"dose","vessel":"101","product":"E-2","rate":"1.6 lb/1000 gal"}`, true, false, ""},
		{"D01", "the label's own unit", pounds, `20:00 NS {"do":"dose","vessel":"101","product":"E-2","rate":"0.14 lb/1000 gal"}`, false, false, ""},
		{"D12", "a jump from the last dose of the class", append(append([]string{}, noCard...), dosed101[0]), `20:50 NS {"do":"dose","vessel":"102","product":"E-3","rate":"1.6 lb/1000 gal","test_at":"2026-09-24T23:50:00+02:00"}`, true, false, ""},
		{"D12", "a dose like the last one", append(append([]string{}, noCard...), dosed101[0]), `20:50 NS {"do":"dose","vessel":"102","product":"E-3","rate":"0.14 lb/1000 gal","test_at":"2026-09-24T23:50:00+02:00"}`, false, false, ""},
		{"D12", "g/hL for a label in pounds, the first time", noCard, `20:50 NS {"do":"dose","vessel":"102","product":"E-3","rate":"1.6 g/hL","test_at":"2026-09-24T23:50:00+02:00"}`, true, false, ""},
		{"D12", "g/hL for a label in pounds, as before", append(append([]string{}, noCard...), `19:00 NS {"do":"dose","vessel":"101","product":"E-3","rate":"1.6 g/hL","test_at":"2026-09-24T22:00:00+02:00","answers":[{"rule":"D12"}]}`),
			`20:50 NS {"do":"dose","vessel":"102","product":"E-3","rate":"1.6 g/hL","test_at":"2026-09-24T23:50:00+02:00"}`, false, false, ""},
		{"D12", "on juice, for a label on grapes", noCard, `20:50 NS {"do":"dose","vessel":"102","product":"X-3","rate":"3 g/hL"}`, true, false, ""},
		{"D12", "where the label gives a range", pounds, `20:00 NS {"do":"dose","vessel":"101","product":"E-2","rate":"1.6 g/hL"}`, false, false, ""},
		{"H12", "too full for a cap", append([]string{`18:01 MA {"do":"correct","of":14,"vessel":"101","field":"volume","value":"225 hL","reason":"dip read again"}`}, negative101...), `23:50 NS {"do":"stage","vessel":"101","stage":"flotation"}`, true, false, ""},
		{"H12", "over the plate of the plant", negative101, `23:50 NS {"do":"stage","vessel":"101","stage":"flotation","bar":6.5}`, true, true, ""},
		{"H12", "room and pressure as they should be", negative101, `23:50 NS {"do":"stage","vessel":"101","stage":"flotation","bar":5}`, false, false, ""},
		{"H13", "a plate not read back", readBack, `20:00 NS {"do":"move","from":"101","to":[{"vessel":"206","volume":"10 hL"}],"part":true}`, true, false, ""},
		{"H13", "another plate seen at the valve", readBack, `20:00 NS {"do":"move","from":"101","to":[{"vessel":"206","volume":"10 hL","seen":"201"}],"part":true}`, true, true, ""},
		{"H13", "read back", readBack, `20:00 NS {"do":"move","from":"101","to":[{"vessel":"206","volume":"10 hL","seen":"206"}],"part":true}`, false, false, ""},
		{"H13", "a plate that looks like another", alike, `20:00 NS {"do":"move","from":"101","to":[{"vessel":"206","volume":"10 hL"}],"part":true}`, true, false, ""},
		{"H13", "its twin seen at the valve", alike, `20:00 NS {"do":"move","from":"101","to":[{"vessel":"206","volume":"10 hL","seen":"209"}],"part":true}`, true, true, ""},
		{"H13", "a plate that looks like another, read back", alike, `20:00 NS {"do":"move","from":"101","to":[{"vessel":"206","volume":"10 hL","seen":"206"}],"part":true}`, false, false, ""},
		{"H13", "a plate that the house mistakes", mistaken, `20:00 NS {"do":"move","from":"101","to":[{"vessel":"201","volume":"10 hL"}],"part":true}`, true, false, ""},
		{"H13", "a twin that never takes such content", alike, `20:00 NS {"do":"move","from":"101","to":[{"vessel":"103","volume":"10 hL"}],"part":true}`, false, false, ""},
		{"H13", "a twin that stands clean and empty", clean209, `20:00 NS {"do":"move","from":"101","to":[{"vessel":"206","volume":"10 hL"}],"part":true}`, false, false, ""},
		{"H13", "a twin that is being cleaned", append(append([]string{}, clean209...), `18:40 MA {"do":"stage","vessel":"209","stage":"cleaning"}`), `20:00 NS {"do":"move","from":"101","to":[{"vessel":"206","volume":"10 hL"}],"part":true}`, true, false, ""},
		{"H13", "a twin into which a pump runs", append(append([]string{}, clean209...), `19:00 MA {"do":"move-start","from":"102","to":[{"vessel":"209","volume":"10 hL"}]}`), `20:00 NS {"do":"move","from":"101","to":[{"vessel":"206","volume":"10 hL"}],"part":true}`, true, false, ""},
		{"H13", "a dose beside a twin that could take it", both, `20:00 NS {"do":"dose","vessel":"206","product":"S-1","rate":"2 g/hL"}`, true, false, ""},
		{"H13", "a dose at the twin", both, `20:00 NS {"do":"dose","vessel":"206","product":"S-1","rate":"2 g/hL","seen":"209"}`, true, true, ""},
		{"H13", "a dose read back", both, `20:00 NS {"do":"dose","vessel":"206","product":"S-1","rate":"2 g/hL","seen":"206"}`, false, false, ""},
		{"H13", "a dose that only stands weighed", both, `20:00 NS {"do":"weighed","vessel":"206","product":"S-1","rate":"2 g/hL"}`, false, false, ""},
		{"H13", "a dose whose twin is empty", append(append([]string{}, clean209...), both[len(both)-1]), `20:00 NS {"do":"dose","vessel":"206","product":"S-1","rate":"2 g/hL"}`, false, false, ""},
		{"H13", "look-alikes switched off", append(append([]string{}, alike...), `19:10 MA {"do":"house","look_alikes":"off"}`), `20:00 NS {"do":"move","from":"101","to":[{"vessel":"206","volume":"10 hL"}],"part":true}`, false, false, ""},
		{"H13", "read when the pump started", append(append([]string{}, alike...), `19:10 NS {"do":"move-start","from":"101","to":[{"vessel":"206","volume":"10 hL","seen":"206"}]}`), `20:00 NS {"do":"move","from":"101","to":[{"vessel":"206","volume":"10 hL"}],"part":true}`, false, false, ""},
		{"H14", "hot must to the press", hotMust, `20:00 NS {"do":"move","from":"H1","to":[{"vessel":"P1","volume":"50 hL"}]}`, true, true, ""},
		{"H14", "cooled must to the press", append(append([]string{}, hotMust...), `19:30 NS {"do":"reading","vessel":"H1","temp":"44 °C"}`), `20:00 NS {"do":"move","from":"H1","to":[{"vessel":"P1","volume":"50 hL"}]}`, false, false, ""},
		{"H16", "caustic beside a full vessel", manifold, `20:00 NS {"do":"stage","vessel":"M1","stage":"cleaning"}`, true, true, `20:00 NS {"do":"stage","vessel":"M1","stage":"cleaning","blanked":true}`},
		{"H16", "caustic where nothing is shared", nil, `20:00 NS {"do":"stage","vessel":"103","stage":"cleaning"}`, false, false, ""},
		{"H17", "into a vessel with nothing", nil, `20:15 NS {"do":"enter-vessel","place":"307","permit":"17"}`, true, true, ""},
		{"H17", "under a live permit with attendant and reading", []string{gasOf307, permitOf307}, intoOf307, false, false, ""},
		{"H17", "no override, nor that it happened", nil, strings.TrimSuffix(intoOf307, "}") + `,"happened":true}`, true, true, ""},
		{"H17", "the attendant goes", []string{gasOf307, permitOf307, intoOf307}, `20:30 OF {"do":"out"}`, true, true, ""},
		{"H17", "the attendant goes on a break", []string{gasOf307, permitOf307, intoOf307}, `20:30 OF {"do":"break","for":"20min"}`, true, true, ""},
		{"H17", "the attendant goes when they are out", []string{gasOf307, permitOf307, intoOf307, `20:25 OF {"do":"left-vessel","who":"NS"}`}, `20:30 OF {"do":"out"}`, false, false, ""},
		{"H17", "the attendant has gone, asked once", []string{gasOf307, permitOf307, intoOf307}, `20:30 MA {"do":"out","who":"OF","happened":true}`, true, false, ""},
		{"W01", "a load that has waited", []string{weighed}, `22:00 NS {"do":"tip","load":"0501","to":"P1"}`, true, false, ""},
		{"W01", "a load that has not", []string{weighed}, `21:00 NS {"do":"tip","load":"0501","to":"P1"}`, false, false, ""},
		{"W02", "warm white grapes", nil, `20:00 NS {"do":"load","load":"0501","gross":"30000 kg","tare":"12000 kg","temp":"27 °C","route":"white, settled"}`, true, false, ""},
		{"W02", "warm red grapes", nil, `20:00 NS {"do":"load","load":"0501","gross":"30000 kg","tare":"12000 kg","temp":"27 °C","route":"red"}`, false, false, ""},
		{"W03", "rot", nil, `20:00 NS {"do":"load","load":"0501","gross":"30000 kg","tare":"12000 kg","rot":6}`, true, false, ""},
		{"W03", "little rot", nil, `20:00 NS {"do":"load","load":"0501","gross":"30000 kg","tare":"12000 kg","rot":2}`, false, false, ""},
		{"W04", "skins drained early", leastSkins, `20:00 NS {"do":"move","from":"X1","to":[{"vessel":"103","volume":"20 hL"}],"part":true}`, true, false, ""},
		{"W04", "skins called drained early", leastSkins, `20:00 NS {"do":"stage","vessel":"X1","stage":"draining"}`, true, false, ""},
		{"W04", "skins drained after their least time", leastSkins, `21:30 NS {"do":"stage","vessel":"X1","stage":"draining"}`, false, false, ""},
		{"W05", "skins over their time", skins, `22:30 NS {"do":"move","from":"X1","to":[{"vessel":"103","volume":"20 hL"}],"part":true}`, true, false, ""},
		{"W05", "drawn off over their time", skins, `22:30 NS {"do":"stage","vessel":"X1","stage":"draining"}`, true, false, ""},
		{"W05", "drawn off in time", skins, `22:00 NS {"do":"stage","vessel":"X1","stage":"draining"}`, false, false, ""},
		{"W05", "skins in time", skins, `21:30 NS {"do":"move","from":"X1","to":[{"vessel":"103","volume":"20 hL"}],"part":true}`, false, false, ""},
		{"W06", "a press less than half full", []string{weighed, `20:05 NS {"do":"tip","load":"0501","to":"P1","mass":"8 t"}`, `20:40 NS {"do":"tipped","load":"0501","to":"P1"}`}, `20:45 NS {"do":"press-start","press":"P1","programme":"W-120","main":"103","fraction":"401"}`, true, false, ""},
		{"W06", "a press well filled", inP1, `20:45 NS {"do":"press-start","press":"P1","programme":"W-120","main":"103","fraction":"401"}`, false, false, ""},
		{"W07", "no room for the fraction", append([]string{`19:00 MA {"do":"move","from":"102","to":[{"vessel":"401","volume":"40 hL"}],"part":true}`}, inP1...), `20:45 NS {"do":"press-start","press":"P1","programme":"W-120","main":"103","fraction":"401"}`, true, false, ""},
		{"W07", "room for the fraction", inP1, `20:45 NS {"do":"press-start","press":"P1","programme":"W-120","main":"103","fraction":"401"}`, false, false, ""},
		{"W11", "the third positive in a row", append(append([]string{}, dosed101...), `23:00 NS {"do":"check","vessel":"101"}`, `23:05 NS {"do":"check-read","vessel":"101","sample":"small flocs","control":"flocs"}`, `00:30 NS {"do":"check","vessel":"101"}`), `00:35 NS {"do":"check-read","vessel":"101","sample":"fine flocs","control":"flocs"}`, true, false, ""},
		{"W11", "still positive nine hours after the first dose", append(append([]string{}, dosed101...), `03:00 NS {"do":"check","vessel":"101"}`), `03:05 NS {"do":"check-read","vessel":"101","sample":"fine flocs","control":"flocs"}`, true, false, ""},
		{"W11", "a negative nine hours after the first dose", append(append([]string{}, dosed101...), `03:00 NS {"do":"check","vessel":"101"}`), `03:05 NS {"do":"check-read","vessel":"101","sample":"clear","control":"flocs"}`, false, false, ""},
		{"W11", "the second", append(append([]string{}, dosed101...), `23:00 NS {"do":"check","vessel":"101"}`), `23:05 NS {"do":"check-read","vessel":"101","sample":"small flocs","control":"flocs"}`, false, false, ""},
		{"W12", "warm juice to settle", []string{`19:00 NS {"do":"reading","vessel":"102","temp":"17 °C"}`}, `20:00 NS {"do":"stage","vessel":"102","stage":"settling"}`, true, false, ""},
		{"W12", "cool juice to settle", nil, `20:00 NS {"do":"stage","vessel":"102","stage":"settling"}`, false, false, ""},
		{"W13", "too much lees", settled, `08:00 NS {"do":"move","from":"102","to":[{"vessel":"201","volume":"100.5 hL"}],"lees":{"vessel":"701","volume":"20 hL"}}`, true, false, ""},
		{"W13", "no lees and a loss, one question", settled, `08:00 NS {"do":"move","from":"102","to":[{"vessel":"201","volume":"116.5 hL"}],"loss":"4 hL"}`, false, false, ""},
		{"W15", "no lees and a loss, one question", settled, `08:00 NS {"do":"move","from":"102","to":[{"vessel":"201","volume":"116.5 hL"}],"loss":"4 hL"}`, true, false, ""},
		{"W13", "lees as usual", settled, `08:00 NS {"do":"move","from":"102","to":[{"vessel":"201","volume":"112 hL"}],"lees":{"vessel":"701","volume":"8 hL"},"loss":"0.5 hL"}`, false, false, ""},
		{"W14", "cold flotation", append(append([]string{}, negative101...), `23:46 NS {"do":"reading","vessel":"101","temp":"10 °C"}`), `23:50 NS {"do":"stage","vessel":"101","stage":"flotation"}`, true, false, ""},
		{"W14", "flotation as usual", negative101, `23:50 NS {"do":"stage","vessel":"101","stage":"flotation"}`, false, false, ""},
		{"W12", "settling juice that warms", append(append([]string{}, settled...), `19:00 NS {"do":"reading","vessel":"102","temp":"12 °C"}`), `21:00 NS {"do":"reading","vessel":"102","temp":"12.8 °C"}`, true, false, ""},
		{"W12", "settling juice that warms slowly", append(append([]string{}, settled...), `19:00 NS {"do":"reading","vessel":"102","temp":"12 °C"}`), `21:00 NS {"do":"reading","vessel":"102","temp":"12.5 °C"}`, false, false, ""},
		{"W12", "settling juice read as warm", settled, `21:00 NS {"do":"reading","vessel":"102","temp":"15.4 °C"}`, true, false, ""},
		{"W12", "warming said an hour ago", append(append([]string{}, settled...), `19:00 NS {"do":"reading","vessel":"102","temp":"12 °C"}`, `21:00 NS {"do":"reading","vessel":"102","temp":"12.8 °C","answers":[{"rule":"W12","by":"NS"}]}`), `22:00 NS {"do":"reading","vessel":"102","temp":"13.3 °C"}`, false, false, ""},
		{"W16", "held hot for hours", hotHeld, `23:30 NS {"do":"stage","vessel":"H1","stage":"cooled down"}`, true, false, ""},
		{"W16", "held hot past its own longest time", hotHeldMost, `20:45 NS {"do":"stage","vessel":"H1","stage":"cooled down"}`, true, false, ""},
		{"W16", "cooled down in time", hotHeldMost, `20:20 NS {"do":"stage","vessel":"H1","stage":"cooled down"}`, false, false, ""},
		{"W17", "red must over thirty", redMust, `21:00 NS {"do":"reading","vessel":"R1","temp":"30.5 °C"}`, true, false, ""},
		{"W17", "red must on its way to thirty", redMust, `21:00 NS {"do":"reading","vessel":"R1","temp":"28.4 °C"}`, true, false, ""},
		{"W17", "red must that rises slowly", redMust, `21:00 NS {"do":"reading","vessel":"R1","temp":"27.4 °C"}`, false, false, ""},
		{"W17", "two readings too near for a slope", redMust, `19:20 NS {"do":"reading","vessel":"R1","temp":"27.6 °C"}`, false, false, ""},
		{"W17", "said an hour ago", append(append([]string{}, redMust...), `21:00 NS {"do":"reading","vessel":"R1","temp":"30.5 °C","answers":[{"rule":"W17","by":"NS"}]}`), `22:00 NS {"do":"reading","vessel":"R1","temp":"30.6 °C"}`, false, false, ""},
		{"W18", "cold inoculation", yeast, `20:00 NS {"do":"dose","vessel":"102","product":"Y-1","rate":"20 g/hL","temp":"9.4 °C"}`, true, false, ""},
		{"W18", "a white sown cold", yeast, `20:00 NS {"do":"dose","vessel":"102","product":"Y-1","rate":"20 g/hL","temp":"10.6 °C"}`, false, false, ""},
		{"W18", "cold by the house's own limit", append([]string{`18:20 MA {"do":"house","limits":{"cold_yeast":"12 °C"}}`}, yeast...), `20:00 NS {"do":"dose","vessel":"102","product":"Y-1","rate":"20 g/hL","temp":"10.6 °C"}`, true, false, ""},
		{"W18", "inoculation as usual", yeast, `20:00 NS {"do":"dose","vessel":"102","product":"Y-1","rate":"20 g/hL","temp":"14 °C"}`, false, false, ""},
		{"W08", "juice of a load that came hours later", laterLoad, `01:30 NS {"do":"juice","press":"P1","to":"103","volume":"20 hL"}`, true, false, ""},
		{"W08", "juice of the load that is in it", append(append([]string{}, inP1...), pressed...), `22:30 NS {"do":"juice","press":"P1","to":"103","volume":"20 hL"}`, false, false, ""},
		{"D21", "clean and nobody has looked into it", unseen, `20:00 NS {"do":"move","from":"101","to":[{"vessel":"103","volume":"10 hL"}],"part":true}`, true, false, ""},
		{"D21", "a tank named for a press that nobody has rinsed", append(append([]string{}, inP1...), `20:41 NS {"do":"stage","vessel":"103","stage":"empty dirty"}`, `20:42 NS {"do":"stage","vessel":"103","stage":"empty clean"}`), pressed[0], true, false, ""},
		{"D21", "looked into since", append(append([]string{}, unseen...), `19:30 NS {"do":"stage","vessel":"103","stage":"empty clean","seen_to":["looked into"]}`), `20:00 NS {"do":"move","from":"101","to":[{"vessel":"103","volume":"10 hL"}],"part":true}`, false, false, ""},
		{"D22", "SO2 on an estimate", guessed, `20:00 NS {"do":"dose","vessel":"103","product":"S-1","rate":"2 g/hL"}`, true, false, ""},
		{"D22", "an estimate that may be over the limit", guessed, `20:00 NS {"do":"move","from":"103","to":[{"vessel":"401","volume":"55 hL"}],"part":true}`, true, false, ""},
		{"D22", "an estimate that is far from the limit", guessed, `20:00 NS {"do":"move","from":"103","to":[{"vessel":"401","volume":"20 hL"}],"part":true}`, false, false, ""},
		{"D22", "SO2 on what was dipped since", append(append([]string{}, guessed...), `19:30 NS {"do":"reading","vessel":"103","dip":"79 hL"}`), `20:00 NS {"do":"dose","vessel":"103","product":"S-1","rate":"2 g/hL"}`, false, false, ""},
		{"D22", "SO2 on the ledger", nil, `20:00 NS {"do":"dose","vessel":"101","product":"S-1","rate":"2 g/hL"}`, false, false, ""},
		{"W19", "cleaned long ago", []string{`18:30 MA {"do":"house","limits":{"clean_for":"1h"}}`, weighed}, `20:10 NS {"do":"tip","load":"0501","to":"103","kind":"juice"}`, true, false, ""},
		{"W19", "cleaned lately", []string{weighed}, `20:10 NS {"do":"tip","load":"0501","to":"103","kind":"juice"}`, false, false, ""},
		{"D20", "moved out of a contact", dosed101[:1], `19:00 MA {"do":"move","from":"101","to":[{"vessel":"103","volume":"50 hL"}],"part":true}`, true, false, ""},
		{"D20", "a move begun out of a contact", dosed101[:1], `19:00 MA {"do":"move-start","from":"101","to":[{"vessel":"103","volume":"50 hL"}]}`, true, false, ""},
		{"D20", "moved while its check runs", dosed101[:2], `20:32 MA {"do":"move","from":"101","to":[{"vessel":"103","volume":"50 hL"}],"part":true}`, true, false, ""},
		{"D20", "moved while it fills", append(append([]string{}, inP1...), pressed...), `22:10 MA {"do":"move","from":"103","to":[{"vessel":"201","volume":"50 hL"}],"part":true}`, true, false, ""},
		{"D20", "moved after a valid negative", negative101, `23:50 MA {"do":"move","from":"101","to":[{"vessel":"103","volume":"50 hL"}],"part":true}`, false, false, ""},
		{"D20", "hot must before it is cooled down", hotUntil, `20:00 NS {"do":"move","from":"H1","to":[{"vessel":"H2","volume":"50 hL"}]}`, true, false, ""},
		{"D20", "hot must when it is to be", hotUntil, `21:00 NS {"do":"move","from":"H1","to":[{"vessel":"H2","volume":"50 hL"}]}`, false, false, ""},
		{"D20", "moved in its flotation run", floated101, `00:30 MA {"do":"move","from":"101","to":[{"vessel":"103","volume":"50 hL"}],"part":true}`, true, false, ""},
		{"D20", "written as done in its flotation run", floated101, `00:30 MA {"do":"move","from":"101","to":[{"vessel":"103","volume":"50 hL"}],"part":true,"happened":true}`, true, false, ""},
		{"D20", "moved while the cap rises", capOn101, `01:30 MA {"do":"move","from":"101","to":[{"vessel":"103","volume":"50 hL"}],"part":true}`, false, false, ""},
		{"D04", "racked while the cap rises", capOn101, `01:30 MA {"do":"move","from":"101","to":[{"vessel":"103","volume":"50 hL"}],"part":true}`, true, false, ""},
		{"D04", "written as racked while the cap rises", capOn101, `01:30 MA {"do":"move","from":"101","to":[{"vessel":"103","volume":"50 hL"}],"part":true,"happened":true}`, true, false, ""},
		{"D04", "racked when the cap has risen", capOn101, `02:40 MA {"do":"move","from":"101","to":[{"vessel":"103","volume":"50 hL"}],"part":true}`, false, false, ""},
		{"H18", "an emergency ended over bad air", badAir, `01:50 MA {"do":"end-emergency","of":"300 pit","how":"fans on"}`, true, false, ""},
		{"H18", "an emergency ended on a lower reading", append(slices.Clone(badAir), lowAir), `02:20 NS {"do":"end-emergency","of":"300 pit","how":"fans on"}`, false, false, ""},
		{"D26", "a press emptied that gave nothing", notRun, `22:50 NS {"do":"press-free","press":"P1"}`, true, false, ""},
		{"D26", "a press emptied whose juice is written", ended, `22:50 NS {"do":"press-free","press":"P1"}`, false, false, ""},
		{"D26", "a press emptied, more to follow from another", notRun, `22:50 NS {"do":"press-free","press":"P1","more":true}`, false, false, ""},
		{"W15", "a litre more than there is", nil, `20:00 NS {"do":"move","from":"101","to":[{"vessel":"201","volume":"150 hL"},{"vessel":"103","volume":"50.01 hL"}],"happened":true}`, true, false, ""},
		{"W15", "a litre more than there is, some stays", nil, `20:00 NS {"do":"move","from":"101","to":[{"vessel":"201","volume":"150 hL"},{"vessel":"103","volume":"50.01 hL"}],"part":true}`, true, false, ""},
		{"W15", "all there is", nil, `20:00 NS {"do":"move","from":"101","to":[{"vessel":"201","volume":"150 hL"},{"vessel":"103","volume":"50 hL"}]}`, false, false, ""},
		{"W23", "water of three hundredths", nil, `20:00 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL","temp":"14 °C","water":"600 L"}`, true, false, ""},
		{"W23", "water of a hundredth", nil, `20:00 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL","temp":"14 °C","water":"200 L"}`, false, false, ""},
		{"W23", "water of before", []string{`19:00 NS {"do":"dose","vessel":"101","product":"S-1","rate":"3 g/hL","water":"150 L"}`}, `20:00 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL","temp":"14 °C","water":"51 L"}`, true, false, ""},
		{"D24", "a temperature that a contact went by", []string{dose101}, `20:00 NS {"do":"correct","of":16,"vessel":"101","field":"temp","value":"11 °C","reason":"misread"}`, true, false, ""},
		{"D24", "a temperature of the same row", []string{dose101}, `20:00 NS {"do":"correct","of":16,"vessel":"101","field":"temp","value":"14.5 °C","reason":"misread"}`, false, false, ""},
		{"W15", "half of it lost", nil, `20:00 NS {"do":"move","from":"101","to":[{"vessel":"201","volume":"100 hL"}],"loss":"100 hL"}`, true, false, ""},
		{"W15", "a little lost", nil, `20:00 NS {"do":"move","from":"101","to":[{"vessel":"201","volume":"165 hL"},{"vessel":"103","volume":"34 hL"}],"loss":"1 hL"}`, false, false, ""},
		{"D08", "settled where the route says float", []string{`18:30 MA {"do":"route","vessel":"102","route":"float"}`}, `20:00 NS {"do":"stage","vessel":"102","stage":"settling","reason":"x"}`, true, false, ""},
		{"D08", "settled as the route says", []string{`18:30 MA {"do":"route","vessel":"102","route":"settle"}`}, `20:00 NS {"do":"stage","vessel":"102","stage":"settling","reason":"x"}`, false, false, ""},
		{"D09", "twice the dose that was ordered", []string{`18:30 MA {"do":"order","act":"dose","vessel":"102","product":"E-1","rate":"1.5 g/hL","from":"OF"}`}, `20:00 NS {"do":"dose","vessel":"102","product":"E-1","rate":"3 g/hL","temp":"14 °C"}`, true, false, ""},
		{"D09", "the dose that was ordered", []string{`18:30 MA {"do":"order","act":"dose","vessel":"102","product":"E-1","rate":"1.5 g/hL","from":"OF"}`}, `20:00 NS {"do":"dose","vessel":"102","product":"E-1","rate":"1.5 g/hL","temp":"14 °C"}`, false, false, ""},
		{"D30", "handed over hours before its end", []string{shiftToSix}, `21:35 MA {"do":"shift-end","to":"OF"}`, true, false, ""},
		{"D30", "a new shift of somebody else hours before", []string{shiftToSix}, `21:35 OF {"do":"shift-start","lead":"OF"}`, true, false, ""},
		{"D30", "handed over at its end", []string{shiftToSix}, `05:40 MA {"do":"shift-end","to":"OF"}`, false, false, ""},
		{"D30", "a shift of the same lead again", []string{shiftToSix}, `21:35 MA {"do":"shift-start","lead":"MA","crew":["NS","OF"]}`, false, false, ""},
		{"D25", "seven kilograms of eighteen tons", []string{weighed}, `20:10 NS {"do":"tip","load":"0501","to":"P1","mass":"7 kg"}`, true, false, ""},
		{"D25", "the little that is left", []string{weighed, `20:05 NS {"do":"tip","load":"0501","to":"P1","mass":"17900 kg"}`}, `20:10 NS {"do":"tip","load":"0501","to":"P1"}`, false, false, ""},
		{"D25", "half a load", []string{weighed}, `20:10 NS {"do":"tip","load":"0501","to":"P1","mass":"9 t"}`, false, false, ""},
		{"D24", "a volume corrected to a fifth", nil, `20:00 NS {"do":"correct","of":14,"vessel":"101","field":"volume","value":"40 hL","reason":"x"}`, true, false, ""},
		{"D24", "a dose corrected from grams to kilograms", []string{`18:05 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL"}`}, `20:00 NS {"do":"correct","of":%,"vessel":"101","field":"amount","value":"2.6 kg","reason":"x"}`, true, false, ""},
		{"D24", "a load corrected by a figure", []string{weighed}, `20:00 NS {"do":"correct","of":%,"field":"tare","value":"1200 kg","reason":"x"}`, true, false, ""},
		{"D24", "a correction near the old figure", nil, `20:00 NS {"do":"correct","of":14,"vessel":"101","field":"volume","value":"50 hL","reason":"x"}`, false, false, ""},
		{"D31", "a void test in time after all", []string{dose101, check101, `22:15 NS {"do":"check-read","vessel":"101","sample":"clear","control":"flocs","answers":[{"rule":"H10"}]}`}, `23:00 NS {"do":"correct","of":18,"vessel":"101","field":"at","value":"2026-09-24T22:05:00+02:00","reason":"x"}`, true, false, ""},
		{"D31", "a negative that stays one", []string{dose101, check101, clear101}, `23:00 NS {"do":"correct","of":18,"vessel":"101","field":"at","value":"2026-09-24T22:06:00+02:00","reason":"x"}`, false, false, ""},
		{"W22", "a hot vessel nearly full", hotEmpty, `20:00 NS {"do":"tipped","load":"0501","to":"H2","volume":"108.6 hL"}`, true, false, ""},
		{"W22", "a hot vessel with room", hotEmpty, `20:00 NS {"do":"tipped","load":"0501","to":"H2","volume":"98 hL"}`, false, false, ""},
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

// latest is the number of the entry written last that can be put right.
func latest(h *house) cellar.Seq { return correctables(h)[0].Of }

const trailer = `20:00 NS {"do":"load","load":"0501","gross":"30000 kg","tare":"12000 kg","trailer":"T7"}`

const booked0502 = `18:20 MA {"do":"book","load":"0502","variety":"Muscat","booked":"2026-09-24T20:30:00+02:00"}`

const plan15 = `18:20 MA {"do":"book","load":"0501","variety":"Sauvignon","net":"15 t","booked":"2026-09-24T20:30:00+02:00"}`

const weighed = `20:00 NS {"do":"load","load":"0501","gross":"30000 kg","tare":"12000 kg"}`

var (
	inP1      = []string{weighed, `20:05 NS {"do":"tip","load":"0501","to":"P1"}`, `20:40 NS {"do":"tipped","load":"0501","to":"P1"}`}
	pressed   = []string{`20:45 NS {"do":"press-start","press":"P1","programme":"W-120","main":"103","fraction":"401"}`, `22:00 NS {"do":"juice","press":"P1","volume":"80 hL"}`}
	ended     = append(append(append([]string{}, inP1...), pressed...), `22:45 NS {"do":"juice","press":"P1","share":"fraction","volume":"20 hL","end":true}`)
	notRun    = append(append(append([]string{}, inP1...), pressed[0]), `22:45 NS {"do":"juice","press":"P1","share":"fraction","volume":"20 hL","end":true}`)
	lockedOut = append(inP1[:3:3], second)
	// laterLoad: a second load, four hours after the first, in the press whose
	// juice goes to the same tank.
	laterLoad = append(append(append([]string{}, inP1...), pressed...), `22:45 NS {"do":"juice","press":"P1","share":"fraction","volume":"20 hL","end":true}`,
		`23:20 NS {"do":"press-free","press":"P1","more":true}`, `23:30 MA {"do":"book","load":"0502","variety":"Sauvignon","booked":"2026-09-25T00:00:00+02:00"}`, `00:05 NS {"do":"load","load":"0502","variety":"Sauvignon","gross":"30000 kg","tare":"12000 kg"}`,
		`00:10 NS {"do":"tip","load":"0502","to":"P1"}`, `00:40 NS {"do":"tipped","load":"0502","to":"P1"}`,
		`00:45 NS {"do":"press-start","press":"P1","programme":"W-120","main":"103","fraction":"401"}`)
	// stillOpen is a tank with a valid negative into which P1 still runs.
	stillOpen = append(append(append([]string{}, inP1...), pressed...), `22:05 NS {"do":"dose","vessel":"103","product":"E-1","rate":"2 g/hL","temp":"14 °C"}`,
		`22:10 NS {"do":"check","vessel":"103"}`, `22:15 NS {"do":"check-read","vessel":"103","sample":"clear","control":"flocs"}`)
	pounds = []string{`18:30 MA {"do":"product","product":"E-2","name":"strong enzyme","class":"enzyme-clarify","unit":"lb/1000 gal","open":"5 kg","card":{"rows":[{"from":"12 °C","to":"20 °C","wait":"3h"}],"low":"0.13 lb/1000 gal","high":"0.25 lb/1000 gal"}}`}
	noCard = []string{`18:30 MA {"do":"product","product":"E-3","name":"strong enzyme","class":"enzyme-clarify","unit":"lb/1000 gal","open":"5 kg"}`,
		`18:30 MA {"do":"product","product":"X-3","name":"skin enzyme","class":"enzyme-skin","unit":"g/100 kg","open":"5 kg"}`}
	muscat401 = []string{`19:00 MA {"do":"move","from":"101","to":[{"vessel":"401","volume":"20 hL"}],"part":true}`}
	readBack  = []string{`19:00 MA {"do":"house","read_back":["206"]}`}
	// alike has a twin to 206 that is on hold, and one to 103 for red must.
	alike = []string{`18:30 MA {"do":"house","look_alikes":"ask"}`, `18:30 MA {"do":"vessel","vessel":"209","row":"row 2 right","brim":"200 hL","use":"ferment"}`,
		`18:31 MA {"do":"stage","vessel":"209","stage":"empty clean","seen_to":["rinsed","drained","looked into"]}`, `18:32 MA {"do":"move","from":"102","to":[{"vessel":"209","volume":"50 hL","seen":"209"}],"part":true}`,
		`18:33 MA {"do":"hold","vessel":"209","reason":"wrong juice in it","releaser":"OF"}`, `18:34 MA {"do":"vessel","vessel":"301","brim":"180 hL","use":"red ferment"}`}
	clean209 = alike[:3]
	guessed  = []string{`19:00 NS {"do":"move","from":"101","to":[{"vessel":"103","volume":"80 hL"}],"part":true,"how":"estimate"}`}
	both     = append(append([]string{}, alike[:4]...), `18:35 MA {"do":"move","from":"101","to":[{"vessel":"206","volume":"50 hL","seen":"206"}],"part":true}`)
	mistaken = []string{`19:00 MA {"do":"house","alike":[["201","206"],["101","401"]]}`}
	unseen   = []string{`18:30 NS {"do":"stage","vessel":"103","stage":"cleaning"}`, `19:00 NS {"do":"stage","vessel":"103","stage":"empty clean","seen_to":["rinsed","drained"]}`}
	settled  = []string{`18:30 NS {"do":"stage","vessel":"102","stage":"settling","until":"2026-09-25T06:00:00+02:00"}`}
	yeast    = []string{`18:30 MA {"do":"product","product":"Y-1","name":"yeast","class":"yeast","unit":"g/hL","open":"25 kg"}`}
	manifold = []string{`18:30 MA {"do":"vessel","vessel":"M1","brim":"100 hL","use":"settle","manifold":"M2"}`,
		`18:31 MA {"do":"vessel","vessel":"M3","brim":"100 hL","use":"settle","manifold":"M2"}`, `18:32 MA {"do":"stage","vessel":"M3","stage":"empty clean","seen_to":["rinsed","drained","looked into"]}`,
		`18:33 MA {"do":"move","from":"101","to":[{"vessel":"M3","volume":"20 hL"}],"part":true}`}
	hotEmpty = []string{weighed, `20:00 MA {"do":"vessel","vessel":"H2","brim":"120 hL","use":"hot"}`, `20:00 MA {"do":"stage","vessel":"H2","stage":"empty clean","seen_to":["rinsed","drained","looked into"]}`,
		`20:00 NS {"do":"tip","load":"0501","to":"H2"}`}
	hotMust = []string{`18:30 MA {"do":"vessel","vessel":"H1","brim":"120 hL","use":"hot"}`, `18:30 MA {"do":"stage","vessel":"H1","stage":"empty clean","seen_to":["rinsed","drained","looked into"]}`,
		`18:31 NS {"do":"load","load":"0501","gross":"30000 kg","tare":"12000 kg"}`, `18:32 NS {"do":"tip","load":"0501","to":"H1","mass":"6 t"}`,
		`18:50 NS {"do":"tipped","load":"0501","to":"H1","volume":"50 hL"}`, `19:00 NS {"do":"reading","vessel":"H1","temp":"68 °C"}`}
	skins = []string{`18:30 MA {"do":"vessel","vessel":"X1","brim":"80 hL","use":"on skins"}`, `18:30 MA {"do":"stage","vessel":"X1","stage":"empty clean","seen_to":["rinsed","drained","looked into"]}`,
		`18:31 NS {"do":"load","load":"0501","gross":"30000 kg","tare":"12000 kg"}`, `18:32 NS {"do":"tip","load":"0501","to":"X1","mass":"6 t"}`,
		`18:50 NS {"do":"tipped","load":"0501","to":"X1","volume":"50 hL"}`,
		`18:51 NS {"do":"clock","subject":"X1","verb":"drain","kind":"skin contact","what":"not-after","due":"2026-09-24T22:00:00+02:00"}`}
)

// leastSkins stand to 21:00 at least; hotHeld is hot from 18:50, by hotHeldMost to
// 20:40 at the longest; redMust was 27 °C at 19:00.
var (
	intoSkins  = skins[:len(skins)-1]
	leastSkins = append(append([]string{}, intoSkins...), `19:00 NS {"do":"clock","subject":"X1","verb":"drain","what":"not-before","in":"2h"}`)
	hotUntil   = append(append([]string{}, hotMust...), `19:00 NS {"do":"clock","subject":"H1","kind":"hot hold","verb":"cool down","in":"2h"}`,
		`19:01 MA {"do":"vessel","vessel":"H2","brim":"120 hL","use":"hot"}`, `19:02 MA {"do":"stage","vessel":"H2","stage":"empty clean","seen_to":["rinsed","drained","looked into"]}`)
	hotHeld     = append(append([]string{}, hotMust...), `19:10 NS {"do":"reading","vessel":"H1","temp":"69 °C"}`)
	hotHeldMost = append(append([]string{}, hotMust...), `19:10 NS {"do":"clock","subject":"H1","verb":"cool down","what":"not-after","in":"1h30"}`)
	vat         = append(append([]string{}, skins...), `19:00 MA {"do":"vessel","vessel":"R1","brim":"120 hL","use":"red ferment"}`, `19:00 MA {"do":"stage","vessel":"R1","stage":"empty clean","seen_to":["rinsed","drained","looked into"]}`)
	redMust     = []string{`18:30 MA {"do":"vessel","vessel":"R1","brim":"120 hL","use":"red ferment"}`, `18:30 MA {"do":"stage","vessel":"R1","stage":"empty clean","seen_to":["rinsed","drained","looked into"]}`,
		`18:31 NS {"do":"load","load":"0501","gross":"30000 kg","tare":"12000 kg","route":"red"}`, `18:32 NS {"do":"tip","load":"0501","to":"R1","mass":"6 t","kind":"red must"}`,
		`18:50 NS {"do":"tipped","load":"0501","to":"R1","volume":"50 hL"}`, `18:55 NS {"do":"stage","vessel":"R1","stage":"maceration"}`, `19:00 NS {"do":"reading","vessel":"R1","temp":"27 °C"}`}
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
		{`"E-2","rate":"1.6 lb/1000 gal"`, "D01: 1.6 lb/1000 gal = 19.2 g/hL is outside the label of E-2 (0.13 lb/1000 gal to 0.25 lb/1000 gal). Is 1.6 g/hL (0.134 lb/1000 gal) meant? This is 12 times that."},
		{`"E-2","rate":"0.134 g/hL"`, "D01: 0.134 g/hL = 0.0112 lb/1000 gal is outside the label of E-2 (0.13 lb/1000 gal to 0.25 lb/1000 gal). Is 0.134 lb/1000 gal meant? This is one 12th of that."},
		{`"E-2","rate":"0.014 lb/1000 gal"`, "Is 0.14 lb/1000 gal meant? This is one 10th of that."},
		{`"E-2","rate":"2.4 lb/1000 gal"`, "rate: 2.4 lb/1000 gal is more than ten times the middle of the card (0.19 lb/1000 gal); check g, kg and the decimal point. Is 2.4 g/hL (0.2 lb/1000 gal) meant? This is 12 times that."},
		{`"E-3","rate":"1.6 lb/1000 gal","test_at":"2026-09-24T23:50:00+02:00"`, "D12: 1.6 lb/1000 gal = 19.2 g/hL; the last enzyme-clarify in this cellar was E-1 2 g/hL on 101 at 18:05. Is 1.6 g/hL (0.134 lb/1000 gal) meant? This is 12 times that."},
		{`"E-3","rate":"1.6 g/hL","test_at":"2026-09-24T23:50:00+02:00"`, "D12: 1.6 g/hL is 0.134 lb/1000 gal; the label of E-3 is in lb/1000 gal. Does it say 0.134?"},
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
	h.say(t, `18:31 NS {"do":"load","load":"0501","gross":"10000 kg","tare":"4000 kg"}`, `18:32 NS {"do":"tip","load":"0501","to":"103","kind":"juice"}`,
		`18:50 NS {"do":"tipped","load":"0501","to":"103","volume":"50 hL"}`)
	require.ErrorContains(t, h.hear(`20:00 NS {"do":"dose","vessel":"103","product":"X-3","rate":"3 g/hL"}`), "Here 3 g/hL is 2.5 g/100 kg, at 8.3 hL/t.")
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
	require.Contains(t, all[len(all)-1].Text, "the same that NS wrote for 19:40, not counted again")

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
		`20:00 NS {"do":"move","from":"101","to":[{"vessel":"102","volume":"3.5 hL"}],"part":true,"happened":true,"meant":"201"}`)
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
		`23:35 MA {"do":"dose","vessel":"101","product":"S-1","rate":"4 g/hL","leave":true}`)
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
		`20:30 NS {"do":"check","vessel":"101"}`, `20:35 NS {"do":"check-read","vessel":"101","sample":"large flocs","control":"flocs"}`,
		`22:30 NS {"do":"check","vessel":"101"}`, `22:35 NS {"do":"check-read","vessel":"101","sample":"small flocs","control":"flocs"}`,
		`00:30 NS {"do":"check","vessel":"101"}`, `00:35 NS {"do":"check-read","vessel":"101","sample":"fine flocs","control":"flocs","answers":[{"rule":"W11","by":"NS"}]}`,
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
		{"nothing said", nil, false},
		{"a negative", []string{`01:40 NS {"do":"check","vessel":"101"}`, `01:45 NS {"do":"check-read","vessel":"101","sample":"clear","control":"flocs"}`}, true},
		{"an invalid test decides nothing", []string{`01:40 NS {"do":"check","vessel":"101"}`, `01:45 NS {"do":"check-read","vessel":"101","sample":"clear","control":"clear"}`}, false},
		{"cold settling instead", []string{`01:00 MA {"do":"stage","vessel":"101","stage":"settling","reason":"OF by phone: settle"}`}, true},
		{"the lead ticks it off", []string{`01:00 MA {"do":"clock-move","subject":"101","verb":"decide the route","done":true,"reason":"OF: wait to 04:30"}`}, true},
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
