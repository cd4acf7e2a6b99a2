package cellar_test

import (
	"errors"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
)

// Bad input is refused at the field where it was made, and nothing is written.
func TestRefusals(t *testing.T) {
	for _, c := range []struct{ name, line, field, says string }{
		{"unknown number", `20:00 NS {"do":"reading","vessel":"110","temp":"12 °C"}`, "vessel", "101 102 103"},
		{"impossible volume", `20:00 NS {"do":"move","from":"101","to":[{"vessel":"201","volume":"220 hL"}]}`, "to",
			"holds 200.0 hL"},
		{"reading out of range", `20:00 NS {"do":"reading","vessel":"101","temp":"108 °C"}`, "temp",
			"-5.0 °C to 95.0 °C"},
		{"dip over the brim", `20:00 NS {"do":"reading","vessel":"101","dip":"1110 hL"}`, "dip", "brim"},
		{"ten times the card's middle", `20:00 NS {"do":"dose","vessel":"101","product":"E-1","rate":"26 g/hL"}`,
			"rate", "ten times"},
		{"another basis", `20:00 NS {"do":"dose","vessel":"101","product":"E-1","rate":"3 mL/hL"}`, "rate", ""},
		{"no rate", `20:00 NS {"do":"dose","vessel":"101","product":"E-1"}`, "rate", "type the rate"},
		{"dose on more than there is", `20:00 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL",` +
			`"volume":"230 hL"}`, "volume", "too much"},
		{"weighed far off", `20:00 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL","amount":"800 g"}`,
			"amount", "off"},
		{"more than there is", `20:00 NS {"do":"dose","vessel":"101","product":"B-1","rate":"400 g/hL"}`, "product",
			"use another lot"},
		{"more than the tub holds, by a slip", `20:00 NS {"do":"dose","vessel":"101","product":"E-1","rate":"11 g/hL"}`,
			"rate", "outside the label of E-1 (1 g/hL to 4 g/hL). Did you mean 11 mg/L (1.1 g/hL)? This is 10 times " +
				"that. The open tub holds 2 kg"},
		{"the same as nothing", `20:00 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL","same":true}`, "",
			"nothing like it"},
		{"back into the tub what was not weighed", `20:00 NS {"do":"weighed-back","vessel":"101","product":"E-1",` +
			`"reason":"x"}`, "product", "no E-1 is weighed for 101"},
		{"weighed more than there is", `20:00 NS {"do":"weighed","vessel":"101","product":"B-1","rate":"400 g/hL"}`,
			"product", "use another lot"},
		{"dose into an empty vessel", `20:00 NS {"do":"dose","vessel":"103","product":"E-1","rate":"2 g/hL"}`, "vessel",
			"nothing to dose"},
		{"unknown product", `20:00 NS {"do":"dose","vessel":"101","product":"E-9","rate":"2 g/hL"}`, "product",
			"book it in"},
		{"unknown person", `20:00 ZZ {"do":"reading","vessel":"101","temp":"12 °C"}`, "by", "MA NS OF"},
		{"closed what does not fill", `20:00 NS {"do":"juice-close","vessel":"101"}`, "vessel",
			"nothing runs into 101"},
		{"check without one running", `20:00 NS {"do":"pectin-test-read","vessel":"101","sample":"clear",` +
			`"control":"flocs"}`, "vessel", "start one first"},
		{"control of the future", `20:00 NS {"do":"pectin-test","vessel":"101","taken_at":"2026-09-24T20:30:00+02:00"}`,
			"taken_at", "a control drawn at 20:30 is later than the test;"},
		{"a bottle opened less than never", `20:00 NS {"do":"pectin-test","vessel":"101","openings":-1}`, "openings",
			"type how often the bottle was opened, 0 or more"},
		{"sample from nowhere", `20:00 NS {"do":"pectin-test","vessel":"101","from":"sight glass"}`, "from",
			"racking valve"},
		{"a bottle nobody wrote down", `20:00 NS {"do":"pectin-test","vessel":"101","bottle":"A-7"}`, "bottle", "A-7"},
		{"a bottle without a name", `20:00 NS {"do":"bottle","abv":96}`, "bottle", "written on"},
		{"stronger than alcohol", `20:00 NS {"do":"bottle","bottle":"A-1","abv":196}`, "abv", "up to 100"},
		{"opened in the future",
			`20:00 NS {"do":"bottle","bottle":"A-1","abv":96,"opened":"2026-09-24T21:00:00+02:00"}`, "opened",
			"type the time it was opened"},
		{"a paper test of no kind", `20:00 NS {"do":"paper-drop","vessel":"101","ring":"wide ring"}`, "method",
			"choose the paper test"},
		{"a paper test that shows nothing", `20:00 NS {"do":"paper-drop","vessel":"101","method":"a"}`, "ring",
			"what did the paper show"},
		{"a ring that is none", `20:00 NS {"do":"paper-drop","vessel":"101","method":"a","ring":"oval"}`, "ring",
			"no ring"},
		{"a ring wider than paper", `20:00 NS {"do":"paper-drop","vessel":"101","method":"a","mm":900}`, "mm", "200"},
		{"a run without its pair", `20:00 NS {"do":"paper-drop","vessel":"101","method":"c","treated":"62 mL"}`,
			"untreated", "untreated must too"},
		{"a run of a bucket", `20:00 NS {"do":"paper-drop","vessel":"101","method":"c","treated":"62 L",` +
			`"untreated":"50 mL"}`, "treated", "10 L"},
		{"a run of a night", `20:00 NS {"do":"paper-drop","vessel":"101","method":"c","seconds":36000}`, "seconds",
			"3600 s"},
		{"a paper test of an empty vessel", `20:00 NS {"do":"paper-drop","vessel":"103","method":"a",` +
			`"ring":"wide ring"}`, "vessel", "nothing to test"},
		{"a band upside down", `20:00 MA {"do":"house","limits":{"ntu_low":200,"ntu_high":100}}`, "limits",
			"lower turbidity of the house band first, not 200 to 100 NTU"},
		{"handed over to nobody", `20:00 MA {"do":"shift-end"}`, "to", "no shift is open"},
		{"least longer than the whole", `20:00 NS {"do":"stage","vessel":"101","stage":"settling","min":"5h",` +
			`"for":"4h"}`, "min", "not be longer"},
		{"longest shorter than planned", `20:00 NS {"do":"stage","vessel":"101","stage":"settling","max":"1h",` +
			`"for":"4h"}`, "max", "not be shorter"},
		{"a volume found by a guess", `20:00 NS {"do":"move","from":"101","to":[{"vessel":"103","volume":"10 hL"}],` +
			`"part":true,"how":"guess"}`, "how", "meter, dip, estimate"},
		{"move out of an empty vessel", `20:00 NS {"do":"move","from":"103","to":[{"vessel":"201","volume":"1 hL"}]}`,
			"from", "nothing can leave"},
		{"move that does not balance", `20:00 NS {"do":"move","from":"101","to":[{"vessel":"201","volume":"150 hL"}]}`,
			"loss", "accounted for"},
		{"out of the house nobody says how", `20:00 NS {"do":"move","from":"101","out":{"volume":"50 hL"},` +
			`"part":true}`, "out", "type how it leaves the house: bottled, tanker, sold, distilled or lees"},
		{"out of the house nobody says how much", `20:00 NS {"do":"move","from":"101","out":{"as":"sold"},"part":true}`,
			"out_volume", "how much left the house"},
		{"move into itself", `20:00 NS {"do":"move","from":"101","to":[{"vessel":"101","volume":"200 hL"}]}`, "to",
			"into itself"},
		{"over the brim", `20:00 NS {"do":"move","from":"101","to":[{"vessel":"401","volume":"61 hL"}],"part":true}`,
			"to", "brim"},
		{"illegal stage", `20:00 NS {"do":"stage","vessel":"101","stage":"maceration"}`, "stage", "cannot follow that"},
		{"stage of a full vessel to clean", `20:00 NS {"do":"stage","vessel":"101","stage":"empty clean",` +
			`"steps":["rinsed","drained","looked into"]}`, "stage", "not empty"},
		{"a step of cleaning that is none", `20:00 NS {"do":"stage","vessel":"103","stage":"empty dirty",` +
			`"steps":["gone in"]}`, "steps", "rinsed, drained, sanitised, looked into"},
		{"clean and full", `20:00 NS {"do":"stage","vessel":"101","stage":"settling","steps":["rinsed"]}`, "steps",
			"cleaning steps go with empty clean"},
		{"a cleaning list of no steps", `20:00 MA {"do":"house","clean_list":["gone in"]}`, "clean_list", "gone in"},
		{"stage without its reason", `20:00 NS {"do":"stage","vessel":"201","stage":"settling"}`, "stage",
			"save first what came in"},
		{"promise without a time", `20:00 NS {"do":"note","text":"later","what":"promise"}`, "until", "by when"},
		{"hold without a reason", `20:00 NS {"do":"hold","vessel":"101","releaser":"OF"}`, "reason", "must not move"},
		{"time unsaid", `20:00 NS {"do":"time"}`, "now", "what time it is"},
		{"time in another century", `20:00 NS {"do":"time","now":"1970-01-01T02:00:00Z"}`, "now", "type today"},
		{"time before the last entry", `20:00 NS {"do":"time","now":"2026-09-24T12:00:00Z","lost":true}`, "now",
			"the last entry was saved at"},
		{"a step from nowhere", `20:00 NS {"do":"clock-step","to":"2026-09-24T20:00:00Z"}`, "from", "before and after"},
		{"a sleep that ends first", `20:00 NS {"do":"machine-sleep","from":"2026-09-24T20:00:00Z",` +
			`"until":"2026-09-24T19:00:00Z"}`, "until", "after it begins"},
		{"clock without a verb", `20:00 NS {"do":"clock","subject":"101","in":"30min"}`, "verb", "say what to do"},
		{"clock of no length", `20:00 NS {"do":"clock","subject":"101","verb":"look"}`, "due",
			"a clock runs from 1 minute"},
		{"gas without a meter", `20:00 NS {"do":"gas","place":"300 pit","co2":900}`, "meter", "which meter"},
		{"gas without a place", `20:00 NS {"do":"gas","co2":900,"meter":"G2"}`, "place", "where"},
		{"gas that was not read", `20:00 NS {"do":"gas","place":"300 pit","meter":"G2"}`, "co2",
			"what the meter showed"},
		{"gas in percent for ppm", `20:00 NS {"do":"gas","place":"300 pit","co2":2.5,"meter":"G2"}`, "co2",
			"1 % is 10000 ppm)"},
		{"more gas than there is", `20:00 NS {"do":"gas","place":"300 pit","co2":1000001,"meter":"G2"}`, "co2", "ppm"},
		{"gas told of no reading", `20:00 NS {"do":"gas-details","place":"300 pit"}`, "of",
			"no gas reading needs anything more"},
		{"an emergency that does not stand", `20:00 NS {"do":"end-emergency","of":"300 pit","how":"aired"}`, "of",
			"no emergency at 20:00 that a person can end"},
		{"oxygen over what there is", `20:00 NS {"do":"gas","place":"300 pit","o2":209,"meter":"G2"}`, "o2",
			"up to 25"},
		{"permit without its number", `20:00 MA {"do":"permit","place":"307","given_by":"K","holder":"NS",` +
			`"attendant":"OF","until":"2026-09-24T21:00:00+02:00"}`, "number", "only records"},
		{"permit without a place", `20:00 MA {"do":"permit","number":"17","given_by":"K","holder":"NS",` +
			`"attendant":"OF","until":"2026-09-24T21:00:00+02:00"}`, "place", "one place"},
		{"permit nobody gave", `20:00 MA {"do":"permit","number":"17","place":"307","holder":"NS","attendant":"OF",` +
			`"until":"2026-09-24T21:00:00+02:00"}`, "given_by", "who gave it"},
		{"permit with one person", `20:00 MA {"do":"permit","number":"17","place":"307","given_by":"K",` +
			`"holder":"NS","attendant":"NS","until":"2026-09-24T21:00:00+02:00","co2":900,"meter":"G2"}`, "attendant",
			"stays outside"},
		{"permit for a stranger", `20:00 MA {"do":"permit","number":"17","place":"307","given_by":"K","holder":"ZZ",` +
			`"attendant":"NS","until":"2026-09-24T21:00:00+02:00"}`, "holder", "MA NS OF"},
		{"permit that has ended", `20:00 MA {"do":"permit","number":"17","place":"307","given_by":"K","holder":"NS",` +
			`"attendant":"OF","until":"2026-09-24T20:00:00+02:00","co2":900,"meter":"G2"}`, "until", "after 20:00"},
		{"permit for days", `20:00 MA {"do":"permit","number":"17","place":"307","given_by":"K","holder":"NS",` +
			`"attendant":"OF","until":"2026-09-26T21:00:00+02:00","co2":900,"meter":"G2"}`, "until", "24 hours"},
		{"permit without gas", `20:00 MA {"do":"permit","number":"17","place":"307","given_by":"K","holder":"NS",` +
			`"attendant":"OF","until":"2026-09-24T21:00:00+02:00"}`, "co2", "no gas reading"},
		{"end of no permit", `20:00 MA {"do":"permit-end","number":"17"}`, "number", "no permit"},
		{"attendant under no permit", `20:00 MA {"do":"attendant","number":"17","attendant":"MA"}`, "number",
			"no permit"},
		{"came out of nowhere", `20:00 NS {"do":"leave-vessel"}`, "who", "is not logged as in a vessel"},
		{"out without being in", `20:00 NS {"do":"out"}`, "who", "not signed in (z i)"},
		{"break without an end", `20:00 NS {"do":"break"}`, "until", "when they are back"},
		{"break of days", `20:00 NS {"do":"break","for":"30h"}`, "until", "1 minute to 12 hours"},
		{"back from no break", `20:00 NS {"do":"back"}`, "who", "on break"},
		{"head count of nobody", `20:00 MA {"do":"head-count"}`, "counted", "initials"},
		{"counted twice", `20:00 MA {"do":"head-count","counted":["NS","NS"]}`, "counted", "twice"},
		{"counted a stranger", `20:00 MA {"do":"head-count","counted":["ZZ"]}`, "counted", "MA NS OF"},
		{"gross and tare swapped", `20:00 NS {"do":"load","load":"0501","gross":"12000 kg","tare":"30000 kg"}`, "tare",
			"swapped"},
		{"grapes too hot to be grapes", `20:00 NS {"do":"load","load":"0501","gross":"30000 kg","tare":"12000 kg",` +
			`"temp":"61 °C"}`, "temp", ""},
		{"press not filled", `20:00 NS {"do":"press-start","press":"P1","programme":"W-120","free_run":"103",` +
			`"pressings":"401"}`, "press", "fill it first"},
		{"correction without a reason",
			`20:00 NS {"do":"correct","of":14,"vessel":"101","value":"190 hL","reason":" "}`, "reason", "say why"},
		{"a second route without a reason", `20:00 NS {"do":"stage","vessel":"101","stage":"maceration"}`, "stage",
			"cannot follow that"},
		{"route of an empty vessel", `20:00 NS {"do":"route","vessel":"103","route":"float"}`, "vessel", "no juice"},
		{"no route", `20:00 NS {"do":"route","vessel":"101","route":"filter"}`, "route", "settle or float"},
		{"load of no style", `20:00 NS {"do":"load","load":"0501","variety":"Riesling","gross":"30000 kg",` +
			`"tare":"12000 kg","style":"white, settle"}`, "style", "white, rose, whole-bunch, red or thermo"},
		{"load of no route", `20:00 NS {"do":"book","load":"0501","booked":"2026-09-24T22:00:00+02:00",` +
			`"route":"white"}`, "route", "settle or float"},
		{"order without its vessel", `20:00 NS {"do":"order","act":"float","from":"OF"}`, "vessel", "which vessel"},
		{"order of somebody without the right", `20:00 NS {"do":"order","act":"float","vessel":"101","from":"NS"}`,
			"from", "winemaker or a lead"},
		{"order of nobody", `20:00 NS {"do":"order","act":"float","vessel":"101"}`, "from", "nobody"},
		{"order of no act", `20:00 NS {"do":"order","act":"filter","vessel":"101","from":"OF"}`, "act",
			"is not an act"},
		{"order on a lot without a rate", `20:00 NS {"do":"order","act":"dose","product":"E-1","from":"OF"}`, "rate",
			"needs a rate"},
		{"order that has passed", `20:00 NS {"do":"order","act":"float","vessel":"101","from":"OF",` +
			`"until":"2026-09-24T19:00:00+02:00"}`, "until", "is past"},
		{"end of no order", `20:00 NS {"do":"order-end","order":"o99"}`, "order", "no order"},
		{"make-up water that scalds", `20:00 NS {"do":"product","product":"X-8","class":"other","unit":"g/hL",` +
			`"card":{"make_up":10,"water_temp":"80 °C"}}`, "water_temp", "hotter water destroys"},
		{"made up for days", `20:00 NS {"do":"product","product":"X-8","class":"other","unit":"g/hL",` +
			`"card":{"make_up":10,"use_within":"72h"}}`, "use_within", "48 hours"},
		{"correction of nothing", `20:00 NS {"do":"correct","of":4000,"value":"190 hL","reason":"x"}`, "of",
			"there is no entry 4000"},
	} {
		t.Run(c.name, func(t *testing.T) {
			h := openHouse(t)
			before := h.s.Seq
			err := h.hear(c.line)
			var rej *cellar.Rejection
			require.Truef(t, errors.As(err, &rej), "want a rejection, got %v", err)
			require.Equal(t, c.field, rej.Field, rej.Message())
			require.Contains(t, rej.Message(), c.says)
			require.Equal(t, before, h.s.Seq, "nothing is written")
		})
	}
}

// TestAPartOfALoad: what a load weighs is not what is in the vessel when only a
// part of it came there.
func TestAPartOfALoad(t *testing.T) {
	h := openHouse(t)
	h.say(t, append(append([]string{}, skins...), noCard...)...)
	require.ErrorContains(t, h.hear(`20:00 NS {"do":"dose","vessel":"X1","product":"X-3","rate":"3 g/100 kg"}`),
		"too much for its 50.0 hL")
	h.say(t, `20:00 NS {"do":"dose","vessel":"X1","product":"X-3","rate":"3 g/100 kg","mass":"6 t"}`)
}

// A reading at the wrong moment or off the wrong tube is refused with a sentence:
// before its time, off another vessel's tube. One after its void time or without a
// control is asked about, kept, and does not clear the tank to move.
func TestReadingsThatAreNone(t *testing.T) {
	read := func(clock, rest string) (*house, error) {
		h := openHouse(t)
		h.say(t, `20:00 NS {"do":"pectin-test","vessel":"101"}`)
		return h, h.hear(clock + ` NS {"do":"pectin-test-read","vessel":"101","sample":"clear",` + rest + `}`)
	}
	var needs *cellar.Needs
	_, err := read("20:03", `"control":"flocs"`)
	require.ErrorAs(t, err, &needs)
	require.True(t, needs.Final())
	require.ErrorContains(t, err, "Too early: the tubes are read at 20:05")
	_, err = read("20:05", `"control":"flocs","tube":"102"`)
	var rej *cellar.Rejection
	require.ErrorAs(t, err, &rej)
	require.Equal(t, "tube", rej.Field)
	require.Equal(t, "the tube is marked 102, but this is the test of 101: read the tube of 101, or save it at 102",
		rej.Message())
	h, err := read("20:05", `"control":"flocs","tube":"101"`)
	require.NoError(t, err)
	v, _ := h.s.Vessel("101")
	require.False(t, v.Now.PectinGone.IsZero())
	for clock, rest := range map[string]string{"20:12": `"control":"flocs"`, "20:05": `"control":"none"`} {
		_, err = read(clock, rest)
		require.ErrorAs(t, err, &needs)
		require.Contains(t, needs.Error(), "does not clear the tank to move")
		h, err = read(clock, rest+`,"answers":[{"rule":"H10","by":"NS"}]`)
		require.NoError(t, err)
		v, _ = h.s.Vessel("101")
		require.Len(t, v.Now.Checks, 1, "it is kept")
		require.True(t, v.Now.PectinGone.IsZero(), "and does not clear the tank to move")
	}
}

func TestTimeInTheFutureIsRefused(t *testing.T) {
	h := openHouse(t)
	c, err := cellar.ParseLine([]byte(`{"do":"reading","by":"NS","vessel":"101","temp":"12 °C",` +
		`"at":"2026-09-24T22:00:00+02:00"}`))
	require.NoError(t, err)
	_, err = h.try(c, at("20:00"))
	require.ErrorContains(t, err, "type the time it happened")
}

func TestExpiredLotIsRefused(t *testing.T) {
	h := openHouse(t)
	h.say(t, `18:30 MA {"do":"product","product":"E-OLD","name":"old enzyme","class":"enzyme-clarify","unit":"g/hL",`+
		`"open":"500 g","expiry":"2026-08"}`)
	require.ErrorContains(t, h.hear(`20:00 NS {"do":"dose","vessel":"101","product":"E-OLD","rate":"2 g/hL"}`),
		"expired")
	require.NoError(t,
		h.hear(`20:00 NS {"do":"dose","vessel":"101","product":"E-OLD","rate":"2 g/hL","happened":true}`),
		"what happened is written")
}

func TestLinesThatAreNone(t *testing.T) {
	for _, l := range []string{``, `{`, `[]`, `null`, `{"do":7}`, `{"do":"fly"}`, `{"do":"reading","vessl":"101"}`,
		`{"do":"reading","temp":"warm"}`,
		`{"do":"clock","due":"tomorrow"}`, "\x00\xff", `{"do":"dose","rate":"1,500 g/hL"}`} {
		_, err := cellar.ParseLine([]byte(l))
		var rej *cellar.Rejection
		require.Truef(t, errors.As(err, &rej), "%q: %v", l, err)
		require.NotEmpty(t, rej.Message())
	}
}

func FuzzParseLine(f *testing.F) {
	for _, l := range smallHouse {
		f.Add([]byte(l))
	}
	f.Fuzz(func(t *testing.T, l []byte) {
		c, err := cellar.ParseLine(l)
		if err != nil {
			return
		}
		again, err := cellar.FormatLine(c)
		require.NoError(t, err)
		_, err = cellar.ParseLine(again)
		require.NoError(t, err, string(again))
	})
}

// TestNoContactWithoutAClock: an enzyme whose card is not entered yet wants a
// typed time for its test; a contact that nothing calls for would be forgotten.
func TestNoContactWithoutAClock(t *testing.T) {
	h := openHouse(t)
	h.say(t, `18:30 MA {"do":"product","product":"E-NEW","name":"new enzyme","class":"enzyme-clarify",`+
		`"unit":"lb/1000 gal","open":"1 kg"}`)
	require.ErrorContains(t,
		h.hear(`20:00 NS {"do":"dose","vessel":"101","product":"E-NEW","rate":"0.134 lb/1000 gal"}`),
		"type when to test")
	h.say(t, `20:00 NS {"do":"dose","vessel":"101","product":"E-NEW","rate":"0.134 lb/1000 gal",`+
		`"test_at":"2026-09-25T00:10:00+02:00"}`)
	require.Equal(t, "00:10", h.s.Clock(h.s.ClocksOf(h.s.Known("101"))[0].Due))
}

// TestAContactIsAnsweredByItsCheck: it is not ticked off like a job; it may be
// taken off, with a reason.
func TestAContactIsAnsweredByItsCheck(t *testing.T) {
	h := openHouse(t)
	h.say(t, dosed101[0])
	require.ErrorContains(t, h.hear(`20:00 NS {"do":"clock-move","subject":"101","verb":"test","done":true,`+
		`"reason":"done"}`), "a contact ends with its pectin test (c)")
	require.ErrorContains(t, h.hear(`20:00 NS {"do":"clock-move","subject":"101","verb":"test","off":true}`), "say why")
	h.say(t, `20:00 NS {"do":"clock-move","subject":"101","verb":"test","off":true,`+
		`"reason":"OF: it ferments on its pectin"}`)
	require.Empty(t, h.s.ClocksOf(h.s.Known("101")))
}

// TestTheOpenTubIsTooSmall: what the label allows and the open tub does not hold
// is refused with the number of those that are sealed.
func TestTheOpenTubIsTooSmall(t *testing.T) {
	for _, do := range []string{"dose", "weighed"} {
		h := openHouse(t)
		h.say(t, `19:00 NS {"do":"tub","product":"E-1","count":"100 g"}`)
		err := h.hear(`20:00 NS {"do":"` + do + `","vessel":"101","product":"E-1","rate":"2 g/hL"}`)
		var rej *cellar.Rejection
		require.ErrorAs(t, err, &rej)
		require.Equal(t, "product", rej.Field)
		require.Equal(t, "the open tub of E-1 holds 100 g and you need 400 g; open another first (u), 2 sealed",
			rej.Message())
	}
}
