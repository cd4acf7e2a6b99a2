package cellar_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/clarity"
)

const (
	dose101  = `18:05 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL","temp":"14 °C"}`
	dose102  = `18:06 NS {"do":"dose","vessel":"102","product":"E-1","rate":"2 g/hL","temp":"14 °C"}`
	check101 = `22:00 NS {"do":"pectin-test","vessel":"101"}`
	clear101 = `22:05 NS {"do":"pectin-test-read","vessel":"101","sample":"clear","control":"flocs"}`
	kept101  = `22:05 NS {"do":"pectin-test-read","vessel":"101","sample":"clear","control":"flocs",` +
		`"answers":[{"rule":"H10"}]}`
	float101 = `22:20 NS {"do":"stage","vessel":"101","stage":"flotation"}`
	onto101  = `{"do":"move","from":"102","to":[{"vessel":"101","volume":"5 hL"}],"part":true,"blend":true,` +
		`"answers":[{"rule":"D20"}]}`
	again101 = `{"do":"dose","vessel":"101","product":"E-1","rate":"1 g/hL","answers":[{"rule":"H07","by":"MA",` +
		`"second":"NS","reason":"meant"}]}`
)

func vesselOf(t *testing.T, h *house, p cellar.TankNumber) *cellar.Vessel {
	t.Helper()
	v, ok := h.s.Vessel(p)
	require.True(t, ok, p)
	return v
}

// What came into a vessel after its sample was drawn was not in the tube: the
// check says nothing of it, whatever it was.
func TestACheckStandsOnlyForWhatItSaw(t *testing.T) {
	for name, between := range map[string]string{
		"treated juice":                          `22:01 MA ` + onto101,
		"treated juice in the minute it began":   `22:00 MA ` + onto101,
		"enzyme in the minute in which it began": `22:00 NS ` + again101,
	} {
		t.Run(name, func(t *testing.T) {
			h := openHouse(t)
			h.say(t, dose102, dose101, check101, between, kept101)
			require.Zero(t, vesselOf(t, h, "101").Now.PectinGone)
			require.ErrorContains(t, h.hear(float101), "H09")
		})
	}
	h := openHouse(t)
	h.say(t, dose102, dose101, `21:59 MA `+onto101, check101, clear101, float101)
}

// Whatever is written, late or as a correction, juice neither comes from nothing
// nor goes to nothing, and no vessel holds more than its brim.
func TestVolumesThatCannotBeAreRefused(t *testing.T) {
	clean103 := []string{`18:10 NS {"do":"stage","vessel":"103","stage":"cleaning"}`,
		`19:00 NS {"do":"stage","vessel":"103","stage":"empty clean","steps":["rinsed","drained","looked into"]}`}
	for _, c := range []struct {
		name  string
		given []string
		line  string
		says  string
	}{
		{"one vessel twice", nil, `20:00 MA {"do":"move","from":"101","to":[{"vessel":"401","volume":"55 hL"},` +
			`{"vessel":"401","volume":"55 hL"}],"part":true}`, "type all that went there as one volume"},
		{"minus lees", nil, `20:00 MA {"do":"move","from":"102","to":[{"vessel":"201","volume":"165 hL"}],` +
			`"lees":{"vessel":"701","volume":"-44.5 hL"}}`, "lees of -44.5 hL"},
		{"lees over the brim", nil, `20:00 MA {"do":"move","from":"101","to":[{"vessel":"103","volume":"100 hL"}],` +
			`"lees":{"vessel":"701","volume":"71 hL"},"part":true}`, "with the lees it would hold 81.0 hL"},
		{"more than was there, by what left later",
			[]string{`20:00 MA {"do":"move","from":"101","to":[{"vessel":"201","volume":"150 hL"}],"part":true}`},
			`21:00 MA {"do":"move","at":"2026-09-24T19:00:00+02:00","from":"101","to":[{"vessel":"103",` +
				`"volume":"180 hL"}],"part":true}`, "101 held 20.0 hL at 20:00, when 150.0 hL left it"},
		{"into a vessel that was cleaned after", clean103, `20:00 MA {"do":"move","at":"2026-09-24T18:30:00+02:00",` +
			`"from":"101","to":[{"vessel":"103","volume":"100 hL"}],"part":true}`,
			"103 held 100.0 hL at 19:00, when it was empty clean"},
		{"a time corrected to before the cleaning", append(append([]string{}, clean103...),
			`20:00 MA {"do":"move","from":"101","to":[{"vessel":"103","volume":"100 hL"}],"part":true}`),
			`21:00 MA {"do":"correct","of":17,"vessel":"103","field":"at","value":"2026-09-24T18:30:00+02:00",` +
				`"reason":"x"}`, "103 held 100.0 hL at 19:00"},
		{"a volume corrected to more than its source had",
			[]string{`20:00 MA {"do":"move","from":"102","to":[{"vessel":"201","volume":"40 hL"}],"part":true}`,
				`20:10 MA {"do":"move","from":"102","to":[{"vessel":"103","volume":"60 hL"}],"part":true}`},
			`20:20 MA {"do":"correct","of":15,"vessel":"201","field":"volume","value":"130 hL","reason":"x"}`,
			"102 held 120.5 hL at 20:00, when 130.0 hL left it"},
	} {
		t.Run(c.name, func(t *testing.T) {
			h := openHouse(t)
			h.say(t, c.given...)
			total := h.s.Total()
			require.ErrorContains(t, h.hear(c.line), c.says)
			require.Equal(t, total, h.s.Total())
		})
	}
}

// The whole of a move is corrected at once: its volume leaves the source at the
// time at which it comes.
func TestAMoveIsPutRightAsAWhole(t *testing.T) {
	h := openHouse(t)
	h.say(t, `20:00 MA {"do":"move","from":"101","to":[{"vessel":"103","volume":"100 hL"},{"vessel":"201",`+
		`"volume":"50 hL"}],"part":true}`,
		`21:00 MA {"do":"correct","of":15,"vessel":"103","field":"at","value":"2026-09-24T19:30:00+02:00",`+
			`"reason":"typed late"}`,
		`21:01 MA {"do":"correct","of":15,"vessel":"103","field":"volume","value":"110 hL","reason":"dip"}`)
	for _, p := range []cellar.TankNumber{"101", "103", "201"} {
		items := items(vesselOf(t, h, p))
		require.True(t, items[len(items)-1].At.Equal(at("19:30")), p)
	}
	require.Equal(t, "40 hL", vesselOf(t, h, "101").Now.Volume.String())
	require.Equal(t, "330.5 hL", h.s.Total().String())
	require.True(t, h.s.Moves()[0].At.Equal(at("19:30")))
}

// A vessel that has given all calls nobody any more, and who took all of it takes
// the contact along, however the move was written.
func TestAnEmptiedVesselCallsNobody(t *testing.T) {
	h := openHouse(t)
	h.say(t, dose101, `18:20 NS {"do":"clock","subject":"101","verb":"pump over","kind":"pump-over","in":"1h"}`,
		`18:28 NS {"do":"pectin-test","vessel":"101"}`,
		`18:30 MA {"do":"move","from":"101","to":[{"vessel":"103","volume":"200 hL"}],"part":true,`+
			`"answers":[{"rule":"D20"}]}`)
	require.Empty(t, h.s.ClocksOf(h.s.Known("101")))
	h = openHouse(t)
	h.say(t, dose101, `18:30 MA {"do":"move","from":"101","to":[{"vessel":"103","volume":"200 hL"}],"part":true,`+
		`"answers":[{"rule":"D20"}]}`)
	require.Empty(t, h.s.ClocksOf(h.s.Known("101")))
	clocks := h.s.ClocksOf(h.s.Known("103"))
	require.Len(t, clocks, 1)
	require.True(t, clocks[0].Due.Equal(at("21:05")))
}

// What was answered as the pump started, or at the scales, was answered for that
// move and that dose and for nothing else.
func TestAnswersStandForWhatTheyWereGivenFor(t *testing.T) {
	start := func(to, volume, rule, by string) string {
		return `20:00 NS {"do":"move-start","from":"101","to":[{"vessel":"` + to + `","volume":"` + volume +
			`"}],"answers":[{"rule":"` + rule + `","by":"` + by + `","reason":"meant"}]}`
	}
	held := `19:00 MA {"do":"hold","vessel":"101","reason":"wrong juice in it","releaser":"OF"}`
	weighed := []string{dose101, `18:30 NS {"do":"weighed","vessel":"101","product":"E-1","rate":"1 g/hL",` +
		`"answers":[{"rule":"H07","by":"MA","second":"NS","reason":"meant"}]}`}
	for _, c := range []struct {
		name  string
		given []string
		line  string
		asks  string // "" = written without a word
	}{
		{"the same move", []string{start("201", "180 hL", "H06", "MA")},
			`20:30 NS {"do":"move","from":"101","to":[{"vessel":"201","volume":"180.4 hL"}],"part":true}`, ""},
		{"more than was said, and more than anybody may", []string{start("201", "195.5 hL", "H06", "MA")},
			`20:30 NS {"do":"move","from":"101","to":[{"vessel":"201","volume":"196.4 hL"}],"part":true}`, "H06"},
		{"more than was said", []string{start("201", "171 hL", "H06", "MA")},
			`20:30 NS {"do":"move","from":"101","to":[{"vessel":"201","volume":"180 hL"}],"part":true}`, "H06"},
		{"to another vessel", []string{held, start("201", "10 hL", "H15", "OF")},
			`20:30 NS {"do":"move","from":"101","to":[{"vessel":"206","volume":"10 hL"}],"part":true}`, "H15"},
		{"into a hold put on since", []string{start("102", "10 hL", "H11", "MA"),
			`20:10 MA {"do":"hold","vessel":"102","reason":"wrong juice in it","releaser":"OF"}`},
			`20:30 NS {"do":"move","from":"101","to":[{"vessel":"102","volume":"10 hL"}],"part":true}`, "H11"},
		{"poured as weighed", weighed, `18:40 NS {"do":"dose","vessel":"101","product":"E-1"}`, ""},
		{"more poured than weighed", weighed, `18:40 NS {"do":"dose","vessel":"101","product":"E-1","rate":"3 g/hL"}`,
			"H07"},
		{"poured into a hold put on since", append(append([]string{}, weighed...),
			`18:35 MA {"do":"hold","vessel":"101","reason":"wrong juice in it","releaser":"OF"}`),
			`18:40 NS {"do":"dose","vessel":"101","product":"E-1"}`, "H15"},
	} {
		t.Run(c.name, func(t *testing.T) {
			h := openHouse(t)
			h.say(t, c.given...)
			if err := h.hear(c.line); c.asks == "" {
				require.NoError(t, err)
			} else {
				require.ErrorContains(t, err, c.asks)
			}
		})
	}
}

// A hold is lifted by the word of the person it names. A word that was not given
// has not happened.
func TestOnlyAWordReleases(t *testing.T) {
	h := openHouse(t)
	h.say(t, `19:00 MA {"do":"hold","vessel":"101","reason":"wrong juice in it","releaser":"OF"}`)
	require.ErrorContains(t, h.hear(`19:10 NS {"do":"release","vessel":"101","reason":"x","happened":true}`),
		"OF is named in the hold")
	require.NotNil(t, vesselOf(t, h, "101").Hold)
	h.say(t, `19:10 NS {"do":"release","vessel":"101","reason":"OF by phone","answers":[{"rule":"H15","by":"OF",`+
		`"reason":"by phone"}]}`)
}

// Reasons are words, and who answers is somebody.
func TestAnswersOfNobodyAndBlankReasons(t *testing.T) {
	h := openHouse(t)
	h.say(t, dose101, `18:10 NS {"do":"clock","subject":"102","verb":"look","in":"20min"}`)
	for line, says := range map[string]string{
		`19:00 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL","answers":[{"rule":"H07","by":"MA",` +
			`"second":"ZZ","reason":"meant"}]}`: "ZZ",
		`19:00 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL","answers":[{"rule":"H07","by":"MA",` +
			`"second":"NS","reason":" "}]}`: "Say why",
		`19:00 NS {"do":"hold","vessel":"101","reason":" ","releaser":"OF"}`:                          "say why",
		`19:00 NS {"do":"clock-move","subject":"102","due":"2026-09-24T21:00:00+02:00","reason":" "}`: "say why",
		`19:00 NS {"do":"clock","subject":"101","verb":" ","in":"20min"}`:                             "say what to do",
		`19:00 NS {"do":"press-stop","press":"P1","reason":" "}`:                                      "say why",
	} {
		require.ErrorContains(t, h.hear(line), says, line)
	}
}

// A promise is answered by being kept, whatever has become of its clock, and only
// this one.
func TestAPromiseAndItsClock(t *testing.T) {
	h := openHouse(t)
	promise := `{"do":"note","subject":"101","text":"decides","what":"promise","for":"OF",` +
		`"until":"2026-09-24T22:00:00+02:00"}`
	h.say(t, `20:00 NS `+promise, `20:01 NS `+promise, `21:00 NS {"do":"note-done","subject":"101","of":17}`)
	require.Len(t, h.s.ClocksOf(h.s.Known("101")), 1)
	h.say(t, `21:10 NS {"do":"clock-move","subject":"101","due":"2026-09-24T23:00:00+02:00","reason":"called"}`,
		`21:20 NS {"do":"note-done","subject":"101"}`)
	require.Empty(t, h.s.ClocksOf(h.s.Known("101")))
}

// A verdict follows from what the tubes showed and when, also when that is corrected
// or taken back. What opens a gate by it asks the lead.
func TestCorrectionsOpenNoGate(t *testing.T) {
	negative := []string{dose101, check101, clear101}
	positive := append(append([]string{}, negative...), `22:30 NS {"do":"pectin-test","vessel":"101"}`,
		`22:35 NS {"do":"pectin-test-read","vessel":"101","sample":"large flocs","control":"flocs"}`)
	void := []string{dose101, check101, `22:15 NS {"do":"pectin-test-read","vessel":"101","sample":"clear",` +
		`"control":"flocs","answers":[{"rule":"H10"}]}`}
	at := func(of int, when string) string {
		return fmt.Sprintf(`23:00 NS {"do":"correct","of":%d,"vessel":"101","field":"at",`+
			`"value":"2026-09-24T%s:00+02:00","reason":"x"}`, of, when)
	}
	for _, c := range []struct {
		name    string
		given   []string
		line    string
		asks    bool
		verdict clarity.Verdict
	}{
		{name: "read a minute after the alcohol", given: negative, line: at(18, "22:01"), verdict: clarity.Early},
		{name: "begun a minute before the reading", given: negative, line: at(17, "22:04"), verdict: clarity.Early},
		{name: "a void reading in time", given: void, line: at(18, "22:05"), asks: true, verdict: clarity.Negative},
		{name: "the positive's alcohol taken back", given: positive,
			line: `23:00 NS {"do":"correct","of":19,"vessel":"101","take_back":true,"reason":"x"}`, asks: true,
			verdict: clarity.Negative},
		{name: "a minute later, as it was", given: negative, line: at(18, "22:06"), verdict: clarity.Negative},
	} {
		t.Run(c.name, func(t *testing.T) {
			h := openHouse(t)
			h.say(t, c.given...)
			if c.asks {
				require.ErrorContains(t, h.hear(c.line), "D31")
				c.line = strings.TrimSuffix(c.line, "}") + `,"answers":[{"rule":"D31","by":"MA"}]}`
			}
			h.say(t, c.line)
			v, _ := h.s.Vessel("101")
			require.Equal(t, c.verdict, v.Now.Checks[len(v.Now.Checks)-1].Verdict)
			require.Equal(t, c.verdict != clarity.Negative, v.Now.PectinGone.IsZero())
		})
	}
	h := openHouse(t)
	h.say(t, positive...)
	h.say(t, `22:40 NS {"do":"correct","of":20,"vessel":"101","take_back":true,"reason":"wrong tube"}`)
	require.ErrorContains(t, h.hear(`22:41 NS {"do":"stage","vessel":"101","stage":"flotation"}`),
		"the pectin test of 22:30 is not read yet")
	h.say(t, `22:45 NS {"do":"pectin-test","vessel":"101"}`,
		`22:50 NS {"do":"pectin-test-read","vessel":"101","sample":"clear","control":"flocs"}`,
		`22:51 NS {"do":"stage","vessel":"101","stage":"flotation"}`)
}

// While a later check is not read the negative before it does not clear the tank to move.
func TestNoFlotationBesideAnOpenCheck(t *testing.T) {
	h := openHouse(t)
	h.say(t, dose101, check101, clear101, `22:10 NS {"do":"pectin-test","vessel":"101"}`)
	require.ErrorContains(t, h.hear(float101), "H09")
}

// The clock of a contact follows its dose: taken back with it, and set again where
// the dose turns out to be later than the check.
func TestTheContactClockFollowsACorrectedDose(t *testing.T) {
	h := openHouse(t)
	h.say(t, dose101, `18:10 NS {"do":"correct","of":15,"vessel":"101","take_back":true,"reason":"it went into 102"}`)
	require.Empty(t, h.s.ClocksOf(h.s.Known("101")))

	h = openHouse(t)
	h.say(t, dose101, check101, clear101, `22:30 MA {"do":"correct","of":15,"vessel":"101","field":"at",`+
		`"value":"2026-09-24T22:10:00+02:00","reason":"slip"}`)
	clocks := h.s.ClocksOf(h.s.Known("101"))
	require.Len(t, clocks, 1)
	require.True(t, clocks[0].Due.Equal(at("01:10")), clocks[0].Due)
}

func TestASecondLookThatIsNone(t *testing.T) {
	h := openHouse(t)
	h.say(t, dose101, check101, `22:05 NS {"do":"pectin-test-read","vessel":"101","sample":"faint haze",`+
		`"control":"flocs"}`)
	require.ErrorContains(t, h.hear(`22:10 NS {"do":"pectin-test-read","vessel":"101","second":"foo"}`),
		"unchanged, or are there flocs?")
}

// The double-dose guard follows the juice: a lot that was moved as a whole is the
// lot that was dosed. The sum of SO2 is held against the house's whatever came in.
func TestTheDoubleDoseFollowsTheJuice(t *testing.T) {
	moved := `18:30 MA {"do":"move","from":"102","to":[{"vessel":"103","volume":"120.5 hL"}],` +
		`"answers":[{"rule":"D20"}]}`
	blend := `18:30 MA {"do":"move","from":"102","to":[{"vessel":"101","volume":"%"}],"part":true,"blend":true,` +
		`"answers":[{"rule":"D20"}]}`
	so2 := `18:05 NS {"do":"dose","vessel":"102","product":"S-1","rate":"5 g/hL"}`
	for _, c := range []struct {
		name  string
		given []string
		line  string
		says  string // "" = written without a word
	}{
		{"the same enzyme after the move", []string{dose102, moved},
			`18:40 NS {"do":"dose","vessel":"103","product":"E-1","rate":"2 g/hL"}`,
			"103 has had 241 g of clarifying enzyme already"},
		{"SO2 after the move", []string{so2, moved}, `18:40 NS {"do":"dose","vessel":"103","product":"S-1",` +
			`"rate":"5 g/hL"}`, "would have 10.0 g/hL; the house allows 6 g/hL"},
		{"SO2 after other juice came in", []string{so2, `18:30 MA {"do":"move","from":"101","to":[{"vessel":"102",` +
			`"volume":"14 hL"}],"part":true,"blend":true}`},
			`18:40 NS {"do":"dose","vessel":"102","product":"S-1","rate":"5 g/hL"}`, "would be 9.5 g/hL"},
		{"a first dose over what the house allows", nil, `18:40 NS {"do":"dose","vessel":"102","product":"S-1",` +
			`"rate":"30 g/hL"}`, "the SO2 of 102 would be 30.0 g/hL"},
		{"9.9 % of it came in since", []string{dose101, strings.ReplaceAll(blend, "%", "21.9 hL")},
			`18:40 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL"}`, "H07"},
		{"10.1 % of it came in since", []string{dose101, strings.ReplaceAll(blend, "%", "22.5 hL")},
			`18:40 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL"}`, ""},
		{"a tenth of it came along with a dose", []string{dose102, strings.ReplaceAll(blend, "%", "20 hL")},
			`18:40 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL"}`, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			h := openHouse(t)
			h.say(t, c.given...)
			if err := h.hear(c.line); c.says == "" {
				require.NoError(t, err)
			} else {
				require.ErrorContains(t, err, c.says)
			}
		})
	}
}

// Hot must that nobody has read is as hot as it may be: neither to the press nor
// with enzyme. Pumped together it has to be read again.
func TestHotMustIsReadBeforeItGoesOn(t *testing.T) {
	unread := hotMust[:len(hotMust)-1]
	heat := `18:30 MA {"do":"product","product":"T-1","name":"heat enzyme","class":"enzyme-heat","unit":"g/hL",` +
		`"open":"2 kg","card":{"rows":[{"from":"30 °C","to":"55 °C","wait":"2h"}],"ceiling":"55 °C","low":"1 g/hL",` +
		`"high":"4 g/hL"}}`
	press := `20:00 NS {"do":"move","from":"H1","to":[{"vessel":"P1","volume":"50 hL"}]}`
	dose := `20:00 NS {"do":"dose","vessel":"H1","product":"T-1","rate":"2 g/hL"}`
	h := openHouse(t)
	h.say(t, unread...)
	h.say(t, heat)
	require.ErrorContains(t, h.hear(press), "The hot must in H1")
	require.ErrorContains(t, h.hear(dose), "The hot must in H1")
	h.say(t, `19:30 NS {"do":"reading","vessel":"H1","temp":"44 °C"}`, dose)

	h = openHouse(t)
	h.say(t, hotMust...)
	h.say(t, `19:01 MA {"do":"vessel","vessel":"H2","brim":"120 hL","use":"hot"}`,
		`19:01 MA {"do":"stage","vessel":"H2","stage":"empty clean","steps":["rinsed","drained","looked into"]}`,
		`19:02 NS {"do":"tip","load":"0501","to":"H2","mass":"6 t"}`,
		`19:03 NS {"do":"tipped","load":"0501","to":"H2","volume":"20 hL"}`,
		`19:04 NS {"do":"reading","vessel":"H2","temp":"40 °C"}`,
		`19:10 NS {"do":"move","from":"H1","to":[{"vessel":"H2","volume":"50 hL"}],"blend":true}`)
	require.ErrorContains(t, h.hear(`19:20 NS {"do":"move","from":"H2","to":[{"vessel":"P1","volume":"70 hL"}]}`),
		"The hot must in H2")
}

func TestDosesThatCannotBe(t *testing.T) {
	h := openHouse(t)
	require.ErrorContains(t, h.hear(`20:00 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL",`+
		`"temp":"-20 °C"}`), "-5.0 °C to 95.0 °C")
	require.ErrorContains(t, h.hear(`20:00 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL",`+
		`"water":"-100 L"}`), "type zero or more")
}

// No contact is without a clock for having been moved: every vessel that took of
// it is to be tested.
func TestAContactIsCalledWhereverItWent(t *testing.T) {
	h := openHouse(t)
	h.say(t, dose101, `18:30 MA {"do":"move","from":"101","to":[{"vessel":"103","volume":"100 hL"}],"part":true,`+
		`"answers":[{"rule":"D20"}]}`)
	for _, p := range []string{"101", "103"} {
		clocks := h.s.ClocksOf(h.s.Known(p))
		require.Len(t, clocks, 1, p)
		require.True(t, clocks[0].Due.Equal(at("21:05")), p)
	}
	h = openHouse(t)
	h.say(t, dose101, check101, `22:02 MA {"do":"move","from":"101","to":[{"vessel":"103","volume":"200 hL"}],`+
		`"answers":[{"rule":"D20"}]}`)
	clocks := h.s.ClocksOf(h.s.Known("103"))
	require.Len(t, clocks, 1)
	require.True(t, clocks[0].Due.Equal(at("22:17")))
	require.Empty(t, h.s.ClocksOf(h.s.Known("101")))
}

// What a correction breaks is written with it.
func TestACorrectionIsHeldAgainstTheRules(t *testing.T) {
	h := openHouse(t)
	h.say(t, `20:00 MA {"do":"move","from":"101","to":[{"vessel":"201","volume":"150 hL"}],"part":true}`,
		`20:20 NS {"do":"correct","of":15,"vessel":"201","field":"volume","value":"190 hL","reason":"dip read again"}`)
	a := h.s.Answered[len(h.s.Answered)-1]
	require.Equal(t, "H06", string(a.Rule))
	require.True(t, a.Broken && a.ToConfirm, a)

	h = openHouse(t)
	h.say(t, dose101, `18:10 MA {"do":"correct","of":15,"vessel":"101","field":"amount","value":"1400 g",`+
		`"reason":"weighed again"}`)
	a = h.s.Answered[len(h.s.Answered)-1]
	require.Equal(t, "H07", string(a.Rule))
	require.Contains(t, h.s.Words(a.Said), "is 7.0 g/hL; the most is 6 g/hL")
	n := len(h.s.Answered)
	h.say(t, `18:11 MA {"do":"correct","of":15,"vessel":"101","field":"amount","value":"400 g","reason":"it was right"}`)
	require.Len(t, h.s.Answered, n)
}

// Juice that is said to be lost is asked about, and grapes give what grapes give.
func TestLossesAndYields(t *testing.T) {
	h := openHouse(t)
	require.ErrorContains(t, h.hear(`20:00 NS {"do":"move","from":"101","to":[{"vessel":"201","volume":"100 hL"}],`+
		`"loss":"100 hL"}`), "W15")
	require.ErrorContains(t, h.hear(`20:00 NS {"do":"move","from":"101","loss":"200 hL"}`),
		"100.0 % of what leaves 101")
	h.say(t, inP1...)
	h.say(t, pressed...)
	require.ErrorContains(t, h.hear(`22:30 NS {"do":"juice","press":"P1","volume":"100 hL"}`), "give 180.0 hL")
	h.say(t, `22:30 NS {"do":"juice","press":"P1","volume":"40 hL"}`)
}

// What is written late is about what was in the vessel then.
func TestLateDosesAndChecksMeanWhatWasThere(t *testing.T) {
	moved := `20:00 MA {"do":"move","from":"102","to":[{"vessel":"103","volume":"120.5 hL"}]}`
	refilled := []string{`20:00 MA {"do":"move","from":"102","to":[{"vessel":"201","volume":"120.5 hL"}]}`,
		`20:10 NS {"do":"stage","vessel":"102","stage":"empty clean","steps":["rinsed","drained","looked into"]}`,
		`20:20 MA {"do":"move","from":"101","to":[{"vessel":"102","volume":"100 hL"}],"part":true}`}
	late := func(h *house, line string) error {
		cmd, err := cellar.ParseLine([]byte(line))
		require.NoError(t, err)
		head := cellar.HeadOf(cmd)
		head.By, head.At = "NS", at("19:30")
		_, err = h.try(cmd, at("20:30"))
		return err
	}
	for _, line := range []string{`{"do":"dose","vessel":"103","product":"E-1","rate":"2 g/hL","happened":true}`,
		`{"do":"pectin-test","vessel":"103"}`} {
		h := openHouse(t)
		h.say(t, moved)
		require.ErrorContains(t, late(h, line), "103 was empty")
	}
	h := openHouse(t)
	h.say(t, refilled...)
	require.NoError(t, late(h, `{"do":"dose","vessel":"102","product":"E-1","rate":"2 g/hL","happened":true}`))
	gone, _ := h.s.Vessel("201")
	require.Len(t, gone.Now.Doses, 1, "it went where the juice went")
	require.Len(t, h.s.ClocksOf(h.s.Known("201")), 1)
	there, _ := h.s.Vessel("102")
	require.Empty(t, there.Now.Doses, "what is in it now came later")
}

// A check that was begun before a contact, or whose juice has changed since, ends
// no contact: somebody is called for the next test.
func TestAContactIsNotEndedByAnOlderCheck(t *testing.T) {
	h := openHouse(t)
	h.say(t, dose101)
	for _, l := range []string{`{"do":"pectin-test","by":"NS","at":"2026-09-24T18:01:00+02:00","vessel":"101"}`,
		`{"do":"pectin-test-read","by":"NS","at":"2026-09-24T18:06:00+02:00","vessel":"101","sample":"clear",` +
			`"control":"flocs","answers":[{"rule":"H10"}]}`} {
		c, err := cellar.ParseLine([]byte(l))
		require.NoError(t, err)
		_, err = h.try(c, at("19:30"))
		require.NoError(t, err)
	}
	clocks := h.s.ClocksOf(h.s.Known("101"))
	require.Len(t, clocks, 1)
	require.True(t, clocks[0].Due.Equal(at("21:05")))

	h = openHouse(t)
	h.say(t, dose102, dose101, check101, `22:01 MA `+onto101, kept101)
	clocks = h.s.ClocksOf(h.s.Known("101"))
	require.Len(t, clocks, 1)
	require.Equal(t, "test again: it changed since the sample", h.s.Words(clocks[0].Basis))
}

// Yeast ends what the juice was waiting for.
func TestYeastEndsTheContactClock(t *testing.T) {
	h := openHouse(t)
	h.say(t, yeast...)
	h.say(t, dose101, `19:00 NS {"do":"dose","vessel":"101","product":"Y-1","rate":"20 g/hL","temp":"14 °C"}`)
	require.Empty(t, h.s.ClocksOf(h.s.Known("101")))
}

// Nobody gives themselves a right, and no limit is put where it is none.
func TestTheSettingsAreTheLeads(t *testing.T) {
	h := openHouse(t)
	require.ErrorContains(t, h.hear(`20:00 NS {"do":"house","people":[{"initials":"NS","name":"N","roles":["lead",`+
		`"winemaker"]}]}`), "the lead can change")
	require.ErrorContains(t, h.hear(`20:00 NS {"do":"house","limits":{"so2_max":"60 g/hL"}}`), "the lead can change")
	require.ErrorContains(t, h.hear(`20:00 MA {"do":"house","limits":{"max_fill_lead":150}}`), "between 50 and 100")
	require.ErrorContains(t, h.hear(`20:00 NS {"do":"clock","subject":"101","verb":"look","owner":"ZZ","in":"20min"}`),
		"ZZ")
	require.ErrorContains(t, h.hear(`20:00 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL",`+
		`"second":"ZZ"}`), "ZZ")
	h.say(t, `20:00 MA {"do":"house","limits":{"same_juice":0.2}}`)
}
