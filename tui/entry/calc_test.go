package entry_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/stage"
	"cellar.example/mustwatch/tui/entry"
	"cellar.example/mustwatch/tui/face"
	"cellar.example/mustwatch/tui/intent"
)

// positive is a test of 102 that asks for a second dose.
const positive = `{"do":"pectin-test","at":"2026-09-24T20:30:00+02:00","by":"NS","vessel":"102"}
{"do":"pectin-test-read","at":"2026-09-24T20:35:00+02:00","by":"NS","vessel":"102","sample":"large flocs","control":"flocs"}
`

// What a dose form says while it is typed, on the figures of the night.
func TestDoseCalculatesWhileTyped(t *testing.T) {
	for _, tt := range []struct{ name, on, keys, lines, want string }{
		{name: "first dose on 104", on: "104", keys: "11.5<tab>13.5",
			want: "weigh 156 g · make up in 1.56 L water (1:10)\n1.5 g/hL on 104.0 hL · total 1.5 of 6 g/hL\n27 % of " +
				"the open tub, 424 g left in it\ntest at 23:40: card row 12–15 °C, 3 h\nsay aloud: 156 g into " +
				"one-zero-four"},
		{name: "second dose after a positive", on: "102", keys: "12<tab>14.9",
			lines: positive + `{"do":"tub","by":"MA","product":"E-2204","count":"424 g"}`,
			want: "weigh 384 g · make up in 3.84 L water (1:10)\n2 g/hL on 192.0 hL · total 5.0 of 6 g/hL, dose " +
				"2\n91 " +
				"% of the open tub, 40 g left in it: less than one more dose, none sealed\ntest at 23:40: card row " +
				"12–15 °C, 3 h, forecast 23:16\nsay aloud: 384 g into one-zero-two"},
		{name: "label in pounds per 1000 gallons", on: "106", keys: "20.134<tab>14.8",
			want: "weigh 100.7 g · make up in 1.01 L water (1:10)\n0.134 lb/1000 gal = 1.61 g/hL on 62.7 hL · total " +
				"1.61 of 6 g/hL\n10 % of the open tub, 899.3 g left in it\ntest at 23:40: card row 12–15 °C, 3 h, " +
				"forecast 23:18\nsay aloud: 100.7 g into one-zero-six"},
		{name: "a solution is measured", on: "104", keys: "34",
			want: "measure 2.77 L (416 g of SO2, 150 g/L)\n4 g/hL on 104.0 hL · total 4.0 of 6 g/hL\n5 % of the open " +
				"tub, 57.2 L left in it\nsay aloud: 2.77 L into one-zero-four"},
		{name: "on grapes, from the load", on: "305", keys: "43",
			want: "weigh 438 g\n3 g/100 kg = 3.26 g/hL on 14600 kg of grapes\n21 % of the open tub, 1.66 kg left in " +
				"it\nsay aloud: 438 g into three-zero-five"},
		{name: "without a temperature", on: "104", keys: "11.5",
			want: "weigh 156 g · make up in 1.56 L water (1:10)\n1.5 g/hL on 104.0 hL · total 1.5 of 6 g/hL\n27 % of " +
				"the open tub, 424 g left in it\nno test time yet: read the temperature\nsay aloud: 156 g into " +
				"one-zero-four"},
		{name: "by an old temperature", on: "102", keys: "11",
			want: "weigh 192 g · make up in 1.92 L water (1:10)\n1 g/hL on 192.0 hL · total 4.0 of 6 g/hL, dose " +
				"2\n33 " +
				"% of the open tub, 388 g left in it\ntest at 23:40: card row 12–15 °C, 3 h, forecast 23:16, with " +
				"the temperature of 18:00\nsay aloud: 192 g into one-zero-two"},
		{name: "half a number", on: "104", keys: "1-"},
		{name: "nothing", on: "104"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			h := newHouse(t)
			h.at("20:40")
			if tt.lines != "" {
				h.lines(tt.lines)
			}
			e := h.open(intent.FormDose, tt.on)
			h.types(e, tt.keys)
			assert.Equal(t, tt.want, live(e))
		})
	}
}

// TestTheSumInTheFormCountsWhatIsPoured: 4.7 L of 50 g/L on 80 hL are 2.94 g/hL, not the
// 2.0 of the rate; a solution weaker than the Codex allows is said to be so.
func TestTheSumInTheFormCountsWhatIsPoured(t *testing.T) {
	h := newHouse(t)
	h.at("20:40")
	h.lines(`{"do":"product","by":"MA","product":"S-50","name":"SO2 solution","class":"SO2","unit":"mg/L","liquid":true,"open":"20 L","card":{"strength":"50 g/L"}}
{"do":"product","by":"MA","product":"S-40","name":"SO2 solution","class":"SO2","unit":"mg/L","liquid":true,"open":"20 L","card":{"strength":"40 g/L"}}
{"do":"move","by":"MA","from":"104","to":[{"vessel":"103","volume":"80 hL"}],"part":true}`)
	e := h.open(intent.FormDose, "103")
	h.types(e, "620<tab><tab><tab>4.7 L")
	assert.Contains(t, live(e), "measure 4.70 L (235 g of SO2, 50 g/L)\n20 mg/L = 2 g/hL on 80.0 hL · total 2.94 of 6 "+
		"g/hL\n")
	e = h.open(intent.FormDose, "103")
	h.types(e, "720")
	assert.Contains(t, live(e), "measure 4.00 L (160 g of SO2, 40 g/L)")
	assert.Contains(t, live(e), "40 g/L is weaker than the International Oenological Codex allows for a solution of "+
		"SO2: 50 g/L.")
}

// TestALotOfUnknownStrengthIsNotWeighed is of the journals of the first version.
func TestALotOfUnknownStrengthIsNotWeighed(t *testing.T) {
	h := newHouse(t)
	h.at("20:40")
	cellar.Apply(h.s, cellar.Record{Seq: h.s.Seq + 1, At: h.now, Written: h.now, By: "MA",
		Fact: &cellar.ProductBooked{Product: cellar.Product{ID: "KMS", Class: cellar.SO2,
			Unit: quantity.GPerHL, Open: quantity.Amount{Mass: quantity.Kilogram}}}})
	e := h.open(intent.FormDose, "104")
	h.types(e, "64")
	assert.NotContains(t, live(e), "weigh")
	c, err := e.Command(e.Form.Values())
	require.NoError(t, err)
	_, err = cellar.Decide(h.s, c, h.now)
	require.EqualError(t, err, "product: how much SO2 is in KMS? Enter its strength on its card first (u)")
}

// TestTheStrengthIsAskedAtItsField where a lot is booked in, and where a card is entered.
func TestTheStrengthIsAskedAtItsField(t *testing.T) {
	to := func(h *house, e *entry.Entry, field string) {
		for range 30 {
			if e.Form.Focused() == field {
				return
			}
			h.types(e, "<tab>")
		}
		t.Fatal("no way to " + field)
	}
	fresh := func(h *house) *entry.Entry {
		e := h.open(intent.FormProduct, "")
		for _, x := range []struct{ field, typed string }{{"product", "n"}, {"id", "X-1"}, {"name", "x"},
			{"class", "4"}, {"unit", "g/hL"}, {"strength", ""}} {
			to(h, e, x.field)
			h.types(e, x.typed)
		}
		return e
	}
	for typed, says := range map[string]string{
		"60":         `"60" has no unit: type 60 g/L, 60 % SO2 or 60 % salt.`,
		"100%":       `"100%" of what? Salt is potassium metabisulphite, 57.6 % SO2: type 100 % SO2 or 100 % salt.`,
		"10 %":       `"10 %" of what? Salt is potassium metabisulphite, 57.6 % SO2: type 10 % SO2 or 10 % salt.`,
		"sharp":      "Type a strength as 150 g/L, 57.6 % SO2 or 10 % salt (of potassium metabisulphite).",
		"40 g/L":     "40 g/L is weaker than the International Oenological Codex allows",
		"45g/L salt": "doses count the SO2 in it: 25.92 g/L",
	} {
		h := newHouse(t)
		e := fresh(h)
		h.types(e, typed+"<tab>")
		assert.Contains(t, screen(e, 120, 40), says, typed)
	}
	h := newHouse(t)
	e := fresh(h)
	h.types(e, "10 % salt")
	to(h, e, "open")
	c := h.typed(e, "5 L<enter>").(*cellar.SetProduct)
	assert.True(t, c.Liquid, "it is measured in litres")
	h.write(c)
	p, _ := h.s.Product("X-1")
	assert.Equal(t, "57.6 g/L", p.Card.Strength.String())

	e = h.open(intent.FormProduct, "") // a powder with a strength typed into its card
	h.types(e, "1")
	to(h, e, "do")
	h.types(e, "l")
	to(h, e, "strength")
	c = h.typed(e, "60 g/L<enter>").(*cellar.SetProduct)
	_, err := cellar.Decide(h.s, c, h.now)
	require.ErrorContains(t, err, "strength: E-2204 is weighed, 580 g of it: g/L is the strength of a solution.")
}

// TestASmallDoseIsNotRoundedInSilence: half a millilitre into a trial is not a whole
// one, and what cannot be measured is refused at the rate.
func TestASmallDoseIsNotRoundedInSilence(t *testing.T) {
	h := newHouse(t)
	h.at("20:40")
	h.lines(`{"do":"product","by":"MA","product":"E-3105","name":"liquid enzyme","class":"enzyme-clarify",` +
		`"liquid":true,"unit":"mL/hL","open":"1.5 L"}`)
	for litres, want := range map[string]string{"25 L": "measure 0.5 mL", "70 L": "measure 1.4 mL",
		"720 L": "measure 14.4 mL"} {
		e := h.open(intent.FormDose, "104")
		h.types(e, "62<tab><tab>"+litres)
		assert.Contains(t, live(e), want+"\n", litres)
	}
	e := h.open(intent.FormDose, "104")
	h.types(e, "62<tab><tab>1 L")
	c, err := e.Command(e.Form.Values())
	require.NoError(t, err)
	_, err = cellar.Decide(h.s, c, h.now)
	require.ErrorContains(t, err, "rate: That comes to 0.02 mL; less than 0.05 mL cannot be measured")
}

func TestStaleTemperatureIsNotProposed(t *testing.T) {
	h := newHouse(t)
	h.at("18:15")
	assert.Equal(t, "14.9", h.open(intent.FormDose, "102").Form.Value("temp"))
	h.at("18:30")
	assert.Empty(t, h.open(intent.FormDose, "102").Form.Value("temp"))
}

func TestLikeliestLotComesFirst(t *testing.T) {
	h := newHouse(t)
	h.at("21:00")
	first := func(on string) string {
		e := h.open(intent.FormDose, on)
		h.types(e, "<right>") // the first that is shown
		return e.Form.Value("product")
	}
	assert.Equal(t, "E-2204", first("104"), "juice without enzyme: what is used tonight")
	assert.Equal(t, "SO2", first("102"), "the enzyme is in")
	assert.Equal(t, "SO2", first("305"), "red must")
	h.lines(`{"do":"dose","by":"MA","vessel":"305","product":"SO2","rate":"4 g/hL"}`)
	assert.Equal(t, "E-1987", first("305"), "red must with SO2 in")
	h.lines(`{"do":"tub","by":"MA","product":"E-2204","count":"0 g"}`)
	assert.Equal(t, "E-2240", first("104"), "a tub that is empty comes last")
}

// TestALotKeepsItsSign: wherever a lot stands in the list, the same key picks it.
func TestALotKeepsItsSign(t *testing.T) {
	h := newHouse(t)
	for _, on := range []string{"102", "104", "305"} {
		for key, lot := range map[string]string{"1": "E-2204", "2": "E-2240", "3": "SO2", "4": "E-1987", "5": "BEN"} {
			e := h.open(intent.FormDose, on)
			h.types(e, key)
			assert.Equal(t, lot, e.Form.Value("product"), on)
		}
	}
}

// The rules speak under the field while the form is filled in, and only there.
func TestRulesSpeakWhileTyped(t *testing.T) {
	for _, tt := range []struct{ name, on, keys, lines, field, says string }{
		{name: "over the card's maximum", on: "102", keys: "14<tab>14.9",
			lines: `{"do":"tub","by":"MA","product":"E-2204","count":"2 kg"}`, field: "rate",
			says: "H07 The total on 102 would be 7.0 g/hL; the card allows 6 g/hL."},
		{name: "second dose", on: "102", keys: "11<tab>14.9", field: "product",
			says: "H07 102 has had 576 g of clarifying enzyme already."},
		{name: "cold", on: "104", keys: "11.5<tab>8", field: "temp",
			says: "W09 8.0 °C is under the card's floor of 10.0 °C"},
		{name: "early test", on: "104", keys: "11.5<tab>13.5<tab><tab><tab>+60", field: "test_at",
			says: "W21 The card says 23:40"},
		{name: "tenfold", on: "104", keys: "145<tab>", field: "rate", says: "more than ten times"},
		{name: "bentonite before the test", on: "104", keys: "525<tab>", field: "product",
			says: "H09 No bentonite on 104 yet"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			h := newHouse(t)
			h.at("20:40")
			if tt.lines != "" {
				h.lines(tt.lines)
			}
			e := h.open(intent.FormDose, tt.on)
			h.types(e, tt.keys)
			require.NotEmpty(t, e.Form.FieldNotes(e.Form.Values())[tt.field], "%s\n%v", screen(e, 100, 30),
				e.Form.FieldNotes(e.Form.Values()))
			assert.Contains(t, e.Form.FieldNotes(e.Form.Values())[tt.field][0], tt.says)
		})
	}
}

func TestMoveBalances(t *testing.T) {
	h := newHouse(t)
	h.at("21:15")
	e := h.open(intent.FormMove, "101")
	h.types(e, "203")
	assert.Equal(t, "170.0", e.Form.Value("volume"), "no more than its limit")
	assert.Empty(t, e.Form.Value("loss"), "what is left is too much to be a loss")
	h.types(e, "<tab>165<tab>405")
	assert.Equal(t, "49.0", e.Form.Value("volume2"), "the rest")
	h.types(e, "<tab>33.5<tab>701<tab>14")
	assert.Equal(t, "1.5", e.Form.Value("loss"))
	h.types(e, "<tab>2")
	assert.Contains(t, live(e), "accounted for 214.5 · 0.5 hL more than there is")
}

// TestMostStays: the rest is proposed to stay where less than half goes by somebody's
// word; not where it is only what a destination takes, and never over a hand.
func TestMostStays(t *testing.T) {
	for _, c := range []struct{ keys, part, origin string }{
		{"203", "no", "usual"},
		{"203<tab>20", "yes", "most stays"},
		{"203<tab>106", "yes", "most stays"},
		{"203<tab>107", "no", "usual"},
		{"203<tab>170<tab>405<tab>44", "no", "usual"},
		{"203<tab>20<tab>206", "no", "usual"},
		{"405", "no", "usual"}, // its room, 57 of 214 hL
		{"203<tab>20<tab><tab><tab><tab>n", "no", ""},
		{"<tab><tab>701<tab>5", "yes", "most stays"},
	} {
		h := newHouse(t)
		h.at("21:15")
		e := h.open(intent.FormMove, "101")
		h.types(e, c.keys)
		assert.Equal(t, c.part, e.Form.Value("part"), c.keys)
		if c.origin != "" {
			assert.Contains(t, screen(e, 120, 40), "("+c.origin+")", c.keys)
		}
	}
}

func TestMoveBalanceOver(t *testing.T) {
	h := newHouse(t)
	e := h.open(intent.FormMove, "101")
	h.types(e, "203<tab>165<tab>405<tab>60<tab>")
	assert.Contains(t, live(e), "accounted for 225.0 · 11.0 hL more than there is")
	assert.Contains(t, live(e), "405 0.0 hL → 60.0 hL, 100.0 %: 3.0 hL over its limit of 95 %")
	require.True(t, h.types(e, "<enter>"))
	c, err := e.Command(e.Form.Values())
	require.NoError(t, err)
	_, err = cellar.Decide(h.s, c, h.now)
	require.Error(t, err)
}

func TestMoveShowsRulesBeforeTheBalanceCloses(t *testing.T) {
	h := newHouse(t)
	h.lines(`{"do":"hold","by":"MA","vessel":"206","reason":"door open","releaser":"OF"}`)
	e := h.open(intent.FormMove, "101")
	h.types(e, "203<tab>100<tab>206<tab>50<tab>")
	notes := e.Form.FieldNotes(e.Form.Values())
	require.Len(t, notes["to2"], 2, "at the second destination, not the first")
	assert.Equal(t, "H11 206 is on hold: door open. [Enter asks; g there overrides: lead]", notes["to2"][0])
	assert.Contains(t, notes["to2"][1], "H13 206 is easily taken for 209")
	assert.Contains(t, notes["to2"][1], "[Enter, then type the number]")
}

func TestReadBackTellsTheTwoApart(t *testing.T) {
	h := newHouse(t)
	e := h.open(intent.FormMove, "106")
	require.True(t, h.types(e, "206<enter>"))
	c, err := e.Command(e.Form.Values())
	require.NoError(t, err)
	_, err = cellar.Decide(h.s, c, h.now)
	require.ErrorContains(t, err, "H13: 206 is easily taken for 209 (6 for 9). 206 = empty clean; 209 = 149.0 hL "+
		"Sauvignon clear juice.")
	h.types(e, "<up>209")
	c, err = e.Command(e.Form.Values())
	require.NoError(t, err)
	_, err = cellar.Decide(h.s, c, h.now)
	require.ErrorContains(t, err, "You are at 209: 149.0 hL Sauvignon clear juice")
	require.ErrorContains(t, err, "It should be 206: empty clean")
	e = h.open(intent.FormMove, "106")
	h.types(e, "206<tab><tab><tab><tab><tab>nh")
	_, asked := e.Form.Values()["valve"]
	assert.False(t, asked, "what has happened is saved as it was")
	h.lines(`{"do":"move-start","by":"NS","from":"106","to":[{"vessel":"206","volume":"62.7 hL","read_back":"206"}]}`)
	_, asked = h.open(intent.FormMove, "106").Form.Values()["valve"]
	assert.False(t, asked, "it was read when the pump started")
	_, asked = h.open(intent.FormMove, "104").Form.Values()["valve"]
	assert.False(t, asked)
}

func TestCheckCountsDownAndJudges(t *testing.T) {
	h := newHouse(t)
	h.at("21:00")
	h.lines(`{"do":"pectin-test","by":"NS","vessel":"102"}`)
	e := h.open(intent.FormCheck, "102")
	assert.Contains(t, live(e), "read it in 5 min, at 21:05")
	h.at("21:06")
	assert.Contains(t, live(e), "read it now, void in 4 min")
	h.types(e, "s")
	assert.NotContains(t, live(e), "POSITIVE", "the control is still missing")
	h.types(e, "f")
	assert.Contains(t, live(e), "POSITIVE: Flocs: pectin is left")
	assert.Contains(t, screen(e, 80, 24), "(after the house wait, 1 h 30)")
	h.at("21:11")
	assert.Contains(t, live(e), "void since 21:10")
	assert.Contains(t, live(e), "VOID")
}

func TestHazeWaitsForTheSecondLook(t *testing.T) {
	h := newHouse(t)
	h.at("21:00")
	h.lines(`{"do":"pectin-test","by":"NS","vessel":"102"}`)
	h.at("21:05")
	e := h.open(intent.FormCheck, "102")
	h.types(e, "hf")
	assert.Contains(t, live(e), "PENDING: A faint haze is no answer yet")
	_, asked := e.Form.Values()["next"]
	assert.False(t, asked)
	h.write(h.typed(e, "<enter>"))
	h.at("21:09")
	e = h.open(intent.FormCheck, "102")
	h.types(e, "u")
	assert.Contains(t, live(e), "NEGATIVE")
}

func TestReadingMovesTheClock(t *testing.T) {
	h := newHouse(t)
	h.at("19:15")
	h.lines(`{"do":"dose","by":"MA","vessel":"104","product":"E-2204","rate":"1.5 g/hL","temp":"13.5 °C"}`)
	e := h.open(intent.FormReading, "104")
	h.types(e, "11")
	assert.Contains(t, live(e), "clock: 104 test 22:15 → 23:15")
}

func TestStageOffersWhatMayFollow(t *testing.T) {
	h := newHouse(t)
	e := h.open(intent.FormStage, "104")
	assert.Contains(t, screen(e, 80, 24), "flotation (H09 asks)")
	h.types(e, "1")
	assert.Contains(t, live(e), "clock: 104 rack not before")
	assert.Contains(t, screen(e, 80, 24), "14 h______ (house length)")
	e = h.open(intent.FormStage, "103")
	assert.Contains(t, screen(e, 80, 24), "No permit")
	h.types(e, "7")
	assert.Contains(t, screen(e, 80, 24), "Vent open. Swing bend off.")
}

// TestAStageKeepsItsFigure: whatever else may follow, 1 is settling and 2 is
// flotation.
func TestAStageKeepsItsFigure(t *testing.T) {
	h := newHouse(t)
	for _, lines := range []string{"", `{"do":"route","by":"MA","vessel":"104","route":"float"}`} {
		if lines != "" {
			h.lines(lines)
		}
		e := h.open(intent.FormStage, "104")
		assert.Contains(t, screen(e, 120, 24), "1 settling")
		assert.Contains(t, screen(e, 120, 24), "2 flotation")
	}
}

func TestCleaningNamesTheFullNeighbours(t *testing.T) {
	h := newHouse(t)
	h.lines(`{"do":"move","by":"MA","from":"101","to":[{"vessel":"203","volume":"165 hL"},{"vessel":"405",` +
		`"volume":"49 hL"}],"answers":[{"rule":"W13"}]}`)
	e := h.open(intent.FormStage, "101")
	h.types(e, "7")
	require.Equal(t, string(stage.Cleaning), e.Form.Value("stage"))
	assert.Contains(t, live(e), "on the same manifold and full: 102. Swing bend off, line blanked?")
}

func TestWhyAFormCannotBeOpened(t *testing.T) {
	h := newHouse(t)
	for _, tt := range []struct {
		kind intent.Form
		sub  face.Subject
		says string
	}{
		{intent.FormDose, face.Subject{}, "Put the cursor on the tank you dose"},
		{intent.FormDose, face.Subject{Vessel: "103"}, "103 is empty clean: nothing to dose. If it held juice, " +
			"first save where that came from."},
		{intent.FormMove, face.Subject{Vessel: "103"}, "103 is empty clean: nothing to move."},
		{intent.FormCheck, face.Subject{Vessel: "103"}, "nothing to test"},
		{intent.FormMove, face.Subject{Press: "P1"}, "For juice from a press, press f."},
		{intent.FormReading, face.Subject{}, "Put the cursor on the tank you read"},
		{intent.FormStage, face.Subject{Load: "0414"}, "Put the cursor on the tank whose stage"},
		{intent.FormPress, face.Subject{Vessel: "104"}, "Put the cursor on a press: P1, P2."},
		{intent.FormJuice, face.Subject{}, "All presses are empty"},
		{intent.FormHold, face.Subject{}, "Put the cursor on the tank to put on hold"},
		{"tea", face.Subject{}, "There is no form for tea."},
	} {
		_, why := openAs(h, tt.kind, tt.sub)
		assert.Contains(t, why, tt.says)
	}
}

func TestWaterIsWatched(t *testing.T) {
	h := newHouse(t)
	e := h.open(intent.FormDose, "104")
	h.types(e, "45000")
	assert.NotContains(t, live(e), "more than 1 %")
	h.lines(`{"do":"dose","by":"MA","vessel":"106","product":"E-2204","rate":"2 g/hL","water":"80 L","temp":"14 °C",` +
		`"answers":[{"rule":"W23"}]}`)
	e = h.open(intent.FormDose, "106")
	h.types(e, "24")
	assert.Contains(t, live(e), "of the juice: more than 1 %")
}

// A turbidity is put beside the house's band while it is typed, a paper run
// beside the untreated one; neither is said of half a figure.
func TestBandAndGainWhileTyped(t *testing.T) {
	h := newHouse(t)
	h.at("21:00")
	e := h.open(intent.FormReading, "101")
	h.types(e, "<tab><tab>152")
	assert.Equal(t, "152 NTU: in the house band 100–200", live(e))
	e = h.open(intent.FormCheck, "102")
	h.types(e, "pc<tab><tab><tab><tab>62<tab>50")
	assert.Equal(t, "house method, no published limit: it supports a pectin test and does not replace it\ngain "+
		"+24.0 % free run over the untreated", live(e))
	e = h.open(intent.FormCheck, "102")
	h.types(e, "pc<tab><tab><tab><tab>62")
	assert.Equal(t, "house method, no published limit: it supports a pectin test and does not replace it", live(e))
}

// A control out of a tank that has had enzyme is no control, and is said to be
// none before the alcohol goes in.
func TestTreatedControlIsSaid(t *testing.T) {
	h := newHouse(t)
	h.at("21:00")
	e := h.open(intent.FormCheck, "104")
	h.types(e, "2t102")
	assert.Contains(t, live(e), "102 had E-2204 at 16:30: do not use its juice as control")
}

// TestAnEarlyCheckSaysSo: a check may be begun at any time; while the contact has
// not come to its due the form says how far it is.
func TestAnEarlyCheckSaysSo(t *testing.T) {
	h := newHouse(t)
	h.at("19:15")
	h.lines(`{"do":"dose","by":"MA","vessel":"104","product":"E-2204","rate":"1.5 g/hL","temp":"13.5 °C"}`)
	h.at("20:45")
	assert.Contains(t, live(h.open(intent.FormCheck, "104")),
		"early: contact started at 19:15, the model says 50 % done; the test is due at 22:15")
	h.at("22:16")
	assert.NotContains(t, live(h.open(intent.FormCheck, "104")), "early:")
}
