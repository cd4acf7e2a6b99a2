package cellar_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/stage"
)

// What is said late, corrected or taken back, one test for each way in which a board
// that sums up what was carried goes wrong.

func holds(t *testing.T, h *house, p cellar.TankNumber) *cellar.Content {
	t.Helper()
	v, ok := h.s.Vessel(p)
	require.True(t, ok, p)
	return &v.Now
}

// shares are the millilitres of each load in a vessel.
func shares(c *cellar.Content) map[cellar.LoadID]quantity.Volume {
	out := map[cellar.LoadID]quantity.Volume{}
	for _, p := range c.Parts {
		out[p.Load] += p.Volume
	}
	return out
}

// seqOf is the number of the last record whose fact is of a kind.
func seqOf[F cellar.Fact](t *testing.T, h *house, say func()) cellar.Seq {
	t.Helper()
	before := h.s.Seq
	say()
	require.Greater(t, h.s.Seq, before)
	return before + 1
}

const halfOn = `20:00 NS {"do":"move","from":"101","to":[{"vessel":"201","volume":"100 hL"}],"part":true}`

// 1: a late dose reaches juice that has moved on, with its clock, and a second full
// dose there does not pass without a word.
func TestLateDoseReachesJuiceThatMovedOn(t *testing.T) {
	h := openHouse(t)
	h.say(t, halfOn)
	require.NoError(t, h.late(t, "20:30", `19:00 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL",`+
		`"temp":"14 °C"}`))
	for _, p := range []cellar.TankNumber{"101", "201"} {
		c := holds(t, h, p)
		require.Len(t, c.Doses, 1, p)
		require.InDelta(t, 2, c.Doses[0].PerHL, 1e-9, p)
		clocks := h.s.ClocksOf(h.s.Known(string(p)))
		require.Len(t, clocks, 1, p)
		require.Equal(t, "22:00", h.s.Clock(clocks[0].Due), p)
	}
	require.ErrorContains(t, h.hear(`20:40 NS {"do":"dose","vessel":"201","product":"E-1","rate":"2 g/hL",`+
		`"temp":"14 °C"}`), "H07")
}

// 2: a dose that is taken back or corrected is so wherever its juice has gone.
func TestTakenBackDoseLeavesWhereverItWent(t *testing.T) {
	h := openHouse(t)
	of := seqOf[*cellar.Dosed](t, h, func() {
		h.say(t, `19:00 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL","temp":"14 °C"}`)
	})
	h.say(t, `20:00 NS {"do":"move","from":"101","to":[{"vessel":"201","volume":"100 hL"}],"part":true,`+
		`"answers":[{"rule":"D20"}]}`)
	require.InDelta(t, 2, holds(t, h, "201").Doses[0].PerHL, 1e-9)

	h.say(t, fmt.Sprintf(`20:10 NS {"do":"correct","of":%d,"vessel":"101","field":"amount","value":"320 g",`+
		`"reason":"two bags"}`, of))
	for _, p := range []cellar.TankNumber{"101", "201"} {
		require.InDelta(t, 1.6, holds(t, h, p).Doses[0].PerHL, 1e-9, p)
	}
	h.say(t, fmt.Sprintf(
		`20:20 NS {"do":"correct","of":%d,"vessel":"101","take_back":true,"reason":"it went into 102"}`, of))
	for _, p := range []cellar.TankNumber{"101", "201"} {
		require.Empty(t, holds(t, h, p).Doses, p)
		require.Empty(t, h.s.ClocksOf(h.s.Known(string(p))), p)
	}
	x, _ := h.s.Product("E-1")
	require.Equal(t, "2 kg", x.Open.String(), "the tub has it again")
}

// 3: litres keep their grapes: what ran in late is in what was moved on after it.
func TestLateJuiceKeepsItsGrapes(t *testing.T) {
	h := openHouse(t)
	h.say(t, halfOn)
	require.NoError(t, h.late(t, "20:30", `19:00 NS {"do":"move","from":"102","to":[{"vessel":"101",`+
		`"volume":"25 hL"}],"part":true,"blend":true,"answers":[{"rule":"H11","by":"MA","second":"NS",`+
		`"reason":"meant"}]}`))
	muscat, sauvignon := cellar.LoadID("at opening 101"), cellar.LoadID("at opening 102")
	there, here := shares(holds(t, h, "201")), shares(holds(t, h, "101"))
	require.Equal(t, quantity.Volume(1_111_111_000), there[sauvignon], "100 hL of 225 hL, of which 25 are Sauvignon")
	require.Equal(t, quantity.HL(200), there[muscat]+here[muscat])
	require.Equal(t, quantity.HL(25), there[sauvignon]+here[sauvignon])
	require.Equal(t, quantity.HL(320.5+10), h.s.Total())
}

// 4: a press has an account: what ran is of what was in it then, and what was counted
// twice is taken out again.
func TestPressAccount(t *testing.T) {
	h := openHouse(t)
	h.say(t, weighed, `20:05 NS {"do":"tip","load":"0501","to":"P1","mass":"8 t"}`,
		`20:10 NS {"do":"tipped","load":"0501","to":"P1"}`,
		`20:15 NS {"do":"press-start","press":"P1","programme":"W-120","free_run":"103","pressings":"401",`+
			`"answers":[{"rule":"W06"}]}`)
	first := seqOf[*cellar.JuiceRan](t, h, func() { h.say(t, `20:50 NS {"do":"juice","press":"P1","volume":"20 hL"}`) })
	twice := seqOf[*cellar.JuiceRan](t, h, func() { h.say(t, `20:51 NS {"do":"juice","press":"P1","volume":"20 hL"}`) })
	p, _ := h.s.Press("P1")
	require.Equal(t, "40 hL", p.MainOut.String())
	h.say(t, fmt.Sprintf(`20:55 NS {"do":"correct","of":%d,"vessel":"103","take_back":true,"reason":"counted twice"}`,
		twice))
	require.Equal(t, "20 hL", p.MainOut.String())
	require.Equal(t, "20 hL", holds(t, h, "103").Volume.String())
	require.NotEqual(t, first, twice)

	// A load that came after the juice is not in it, however late the juice is saved.
	h.say(t, `22:20 NS {"do":"juice","press":"P1","share":"pressings","volume":"5 hL","end":true}`,
		`22:40 NS {"do":"press-free","press":"P1"}`,
		`22:41 NS {"do":"load","load":"0502","variety":"Muscat","gross":"30000 kg","tare":"18000 kg",`+
			`"answers":[{"rule":"D23"}]}`,
		`22:45 NS {"do":"tip","load":"0502","to":"P1","mass":"8 t"}`)
	require.NoError(t, h.late(t, "22:50", `22:15 NS {"do":"juice","press":"P1","to":"401","share":"pressings",`+
		`"volume":"3 hL"}`))
	require.Equal(t, map[cellar.LoadID]quantity.Volume{"0501": quantity.HL(8)}, shares(holds(t, h, "401")))
}

// 5: juice that a correction takes away stands as unexplained.
func TestCorrectedAwayIsUnexplained(t *testing.T) {
	h := openHouse(t)
	of := seqOf[*cellar.Moved](t, h, func() {
		h.say(t, `20:00 NS {"do":"move","from":"102","to":[{"vessel":"201","volume":"60 hL"},{"vessel":"206",`+
			`"volume":"50 hL"}],"lees":{"vessel":"701","volume":"9.5 hL"},"loss":"1 hL"}`)
	})
	require.Equal(t, "0 hL", h.s.Moves()[0].Unexplained.String())
	h.say(t, fmt.Sprintf(`20:30 NS {"do":"correct","of":%d,"vessel":"206","field":"volume","value":"49 hL",`+
		`"reason":"dip"}`, of))
	require.Equal(t, "1 hL", h.s.Moves()[0].Unexplained.String())
	require.Equal(t, "49 hL", holds(t, h, "206").Volume.String())
}

// 6: the deadline of a contact does not depend on the order of saving, and colder is
// never earlier.
func TestLateReadingMakesNoDeadlineEarlier(t *testing.T) {
	h := openHouse(t)
	h.say(t, `19:00 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL","temp":"14 °C"}`,
		`20:00 NS {"do":"reading","vessel":"101","temp":"11 °C"}`)
	require.Equal(t, "23:00", dueOf(t, h, "101"))
	require.NoError(t, h.late(t, "20:30", `19:30 NS {"do":"reading","vessel":"101","temp":"13.8 °C"}`))
	require.Equal(t, "23:00", dueOf(t, h, "101"))
}

// 7: a clock does not outlive its ground.
func TestClockFollowsItsGround(t *testing.T) {
	settle := `{"do":"stage","vessel":"101","stage":"settling","reason":"asked","answers":[{"rule":"D08"}]}`
	h := openHouse(t)
	of := seqOf[*cellar.Staged](t, h, func() { h.say(t, `20:00 NS `+settle) })
	due := h.s.ClocksOf(h.s.Known("101"))[0].Due
	h.say(t, fmt.Sprintf(`20:30 NS {"do":"correct","of":%d,"vessel":"101","field":"at",`+
		`"value":"2026-09-24T19:30:00+02:00","reason":"it was half past"}`, of))
	require.Equal(t, due.Add(-30*60*1e9), h.s.ClocksOf(h.s.Known("101"))[0].Due)
	h.say(t, fmt.Sprintf(`20:40 NS {"do":"correct","of":%d,"vessel":"101","take_back":true,"reason":"another tank"}`,
		of))
	require.Empty(t, h.s.ClocksOf(h.s.Known("101")))
	require.Equal(t, stage.Waiting, holds(t, h, "101").Stage)
}

// What is moved and taken back is where it was.
func TestTakenBackMove(t *testing.T) {
	h := openHouse(t)
	of := seqOf[*cellar.Moved](t, h, func() { h.say(t, halfOn) })
	h.say(t, fmt.Sprintf(`20:30 NS {"do":"correct","of":%d,"vessel":"201","take_back":true,"reason":"it was 102"}`, of))
	require.Equal(t, "200 hL", holds(t, h, "101").Volume.String())
	require.Equal(t, stage.Clean, holds(t, h, "201").Stage)
	require.Empty(t, h.s.Moves())
}

// Juice that was tested and juice that was not are, blended, juice that was not.
func TestBlendIsFreeOfPectinOnlyWhenBothSidesWere(t *testing.T) {
	h := openHouse(t)
	h.say(t, dose101, check101, clear101)
	require.False(t, holds(t, h, "101").PectinGone.IsZero())
	h.say(t, `22:10 MA {"do":"move","from":"101","to":[{"vessel":"102","volume":"100 hL"}],"part":true,"blend":true,`+
		`"happened":true}`)
	require.True(t, holds(t, h, "102").PectinGone.IsZero())
	require.False(t, holds(t, h, "101").PectinGone.IsZero())
}

// What flows together has the temperature of both until somebody reads it, and a contact
// goes by it: 100 hL at 12 °C onto 200 hL at 15 °C are 14 °C.
func TestBlendHasTheHeatOfBothSides(t *testing.T) {
	h := openHouse(t)
	h.say(t, `18:00 NS {"do":"reading","vessel":"101","temp":"15.2 °C"}`,
		`18:01 NS {"do":"reading","vessel":"102","temp":"8 °C"}`,
		`18:05 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL"}`)
	require.Equal(t, "20:05", dueOf(t, h, "101"), "the row from 15 °C")
	h.say(t, `18:30 MA {"do":"move","from":"102","to":[{"vessel":"101","volume":"40 hL"}],"part":true,"blend":true,`+
		`"happened":true}`)
	c := holds(t, h, "101")
	require.True(t, c.TempCalc)
	require.Equal(t, "14.0 °C", c.Last.Temp.String(), "200 hL at 15.2 and 40 hL at 8 °C")
	require.Equal(t, "21:30", dueOf(t, h, "101"), "three hours by the colder row, from the untreated juice on")
	h.say(t, `18:40 NS {"do":"reading","vessel":"101","temp":"14.4 °C"}`)
	require.False(t, holds(t, h, "101").TempCalc)
}

// A dose that was said by its rate alone is that rate on what its tank held at the time,
// also by what is said later; what was weighed never moves.
func TestARateAloneFollowsTheLedger(t *testing.T) {
	for said, grams := range map[string]int{"": 300, `"amount":"400 g",`: 400} {
		h := openHouse(t)
		of := seqOf[*cellar.Dosed](t, h, func() {
			h.say(t, `20:00 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL",`+said+`"temp":"14 °C"}`)
		})
		require.Equal(t, 400*quantity.Gram, holds(t, h, "101").Doses[0].Drawn.Mass)
		require.NoError(t, h.late(t, "20:30", `19:00 NS {"do":"move","from":"101","to":[{"vessel":"201",`+
			`"volume":"50 hL"}],"part":true}`))
		x := holds(t, h, "101").Doses[0]
		require.Equal(t, quantity.Mass(grams)*quantity.Gram, x.Drawn.Mass, said)
		require.Equal(t, x.Drawn, x.Here)
		require.Equal(t, said == "", x.LookAt == "", "what was weighed by another volume is to be looked at")
		v, _ := h.s.Vessel("101")
		for it := range v.Latest {
			if it.Dose != nil {
				require.Equal(t, x.Drawn, it.Dose.Drawn, "so it stands in the account")
			}
		}
		h.say(t, fmt.Sprintf(`20:40 NS {"do":"correct","of":%d,"vessel":"101","field":"amount","value":"320 g",`+
			`"reason":"slip of the scale"}`, of))
		require.Equal(t, 320*quantity.Gram, holds(t, h, "101").Doses[0].Drawn.Mass, "then it is one that was weighed")
	}
}
