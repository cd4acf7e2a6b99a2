package cellar_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/clarity"
	"cellar.example/mustwatch/domain/stage"
)

// TestLotsAndSharesFollowEveryMove: shares are exact to the millilitre, doses
// follow the juice, and a lot knows where it came from.
func TestLotsAndSharesFollowEveryMove(t *testing.T) {
	h := openHouse(t)
	h.say(t, `18:10 NS {"do":"dose","vessel":"101","product":"S-1","rate":"3 g/hL"}`,
		`19:00 MA {"do":"move","from":"101","to":[{"vessel":"102","volume":"60.25 hL"}],"part":true,"blend":true}`)
	v, _ := h.s.Vessel("102")
	require.Equal(t, "180.75 hL", v.Now.Volume.String())
	require.Len(t, v.Now.Parts, 2)
	require.Equal(t, "60.25 hL", v.Now.Parts[1].Volume.String())
	require.InDelta(t, 3*60.25/180.75, v.Now.Doses[0].PerHL, 1e-9, "C11: blends carry a dose by volume")
	require.Equal(t, "101", v.Now.Parents[len(v.Now.Parents)-1].From)
	h.say(t, `20:00 MA {"do":"move","from":"102","to":[{"vessel":"201","volume":"100.1 hL"}],"part":true}`)
	w, _ := h.s.Vessel("201")
	sum := w.Now.Parts[0].Volume + w.Now.Parts[1].Volume
	require.Equal(t, w.Now.Volume, sum)
	require.InDelta(t, 100.1*60.25/180.75, w.Now.Parts[1].Volume.HL(), 1e-5)
}

// TestRackingBalanceC23 is the racking of 101 of the demo night, vector C23 of
// the calculation notes: 214.0 = 165.0 + 33.5 + 14.0 + 1.5.
func TestRackingBalanceC23(t *testing.T) {
	h := openHouse(t)
	h.say(t, `18:01 MA {"do":"correct","of":14,"vessel":"101","value":"214 hL","reason":"dip read again"}`,
		`18:02 MA {"do":"stage","vessel":"101","stage":"settling","for":"2h"}`,
		`20:05 NS {"do":"move-start","from":"101","to":[{"vessel":"201","volume":"165 hL"},{"vessel":"401",`+
			`"volume":"33.5 hL"}],"lees":{"vessel":"701","volume":"14 hL"},"rate":"180 hL"}`)
	m, ok := h.s.Running("101")
	require.True(t, ok)
	require.Equal(t, "21:15", h.s.Clock(m.End), "C26: 212.5 hL at 180 hL/h")
	h.say(t, `21:15 NS {"do":"move","from":"101","to":[{"vessel":"201","volume":"165 hL"},{"vessel":"401",`+
		`"volume":"33.5 hL"}],"lees":{"vessel":"701","volume":"14 hL"},"loss":"1.5 hL"}`)
	from, _ := h.s.Vessel("101")
	require.Equal(t, stage.Dirty, from.Now.Stage)
	to, _ := h.s.Vessel("201")
	require.Equal(t, stage.ClearJuice, to.Now.Kind)
	require.InDelta(t, 0.825, to.Fill(), 1e-9)
	require.Empty(t, h.s.ClocksOf(h.s.Known("101")), "the settling and the move are answered")
}

// TestAReadingMovesTheContactClock: a colder temperature names a slower row, and
// says so; a typed time and a raised clock stay.
func TestAReadingMovesTheContactClock(t *testing.T) {
	h := openHouse(t)
	h.say(t, `18:30 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL","temp":"13.5 °C"}`)
	require.Equal(t, "21:30", h.s.Clock(h.s.ClocksOf(h.s.Known("101"))[0].Due), "C12: row 12–15 °C, 3 h")
	h.say(t, `19:30 NS {"do":"reading","vessel":"101","temp":"11.5 °C"}`)
	k := h.s.ClocksOf(h.s.Known("101"))[0]
	require.Equal(t, "22:30", h.s.Clock(k.Due))
	require.Contains(t, h.s.Words(k.Basis), "10–12")
	h.say(t, `22:45 NS {"do":"reading","vessel":"101","temp":"9 °C"}`)
	require.Equal(t, "22:30", h.s.Clock(h.s.ClocksOf(h.s.Known("101"))[0].Due), "a raised clock stays raised")
	h.say(t, `18:40 NS {"do":"dose","vessel":"102","product":"E-1","rate":"2 g/hL",`+
		`"test_at":"2026-09-25T00:10:00+02:00"}`,
		`19:40 NS {"do":"reading","vessel":"102","temp":"11 °C"}`)
	require.Equal(t, "00:10", h.s.Clock(h.s.ClocksOf(h.s.Known("102"))[0].Due), "a typed time stays")
}

// TestAnOpenTankHasNoDue: juice that runs in after the dose opens the contact
// again; the last dose closes it.
func TestAnOpenTankHasNoDue(t *testing.T) {
	h := openHouse(t)
	h.say(t, append(append([]string{}, inP1...), pressed...)...)
	h.say(t, `22:05 NS {"do":"dose","vessel":"103","product":"E-1","rate":"2 g/hL","temp":"13.5 °C"}`)
	v, _ := h.s.Vessel("103")
	k, ok := h.s.ContactOf(v, at("22:10"))
	require.True(t, ok)
	require.True(t, k.Open)
	require.Empty(t, h.s.ClocksOf(h.s.Known("103")))
	h.say(t, `22:40 NS {"do":"juice","press":"P1","volume":"10 hL","closed":true}`)
	require.Equal(t, "01:40", h.s.Clock(h.s.ClocksOf(h.s.Known("103"))[0].Due), "C12: from the last untreated juice")
}

// TestJuiceStartsTheContactAnew is C12: the contact ends a row of the card after
// the last dose or the last untreated juice, whichever came later. Nobody is left
// without a clock, and what was typed for the juice before holds no longer.
func TestJuiceStartsTheContactAnew(t *testing.T) {
	juice := `19:00 MA {"do":"move","from":"102","to":[{"vessel":"101","volume":"30 hL"}],"part":true,"blend":true}`
	for _, c := range []struct{ name, dose, then, due string }{
		{"by the card", `18:30 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL","temp":"13.5 °C"}`, juice,
			"22:00"},
		{"a typed time", `18:30 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL","temp":"13.5 °C",` +
			`"test_at":"2026-09-24T20:30:00+02:00","answers":[{"rule":"W21","by":"MA"}]}`, juice, "22:00"},
		{"a dose for the rest",
			`18:30 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL","temp":"13.5 °C"}`,
			juice + "\n" + `19:30 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL","volume":"30 hL"}`,
			"22:30"},
		{"due already", `18:30 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL","temp":"13.5 °C"}`,
			strings.Replace(juice, "19:00", "21:45", 1), "00:45"},
	} {
		h := openHouse(t)
		h.say(t, c.dose)
		h.say(t, strings.Split(c.then, "\n")...)
		clocks := h.s.ClocksOf(h.s.Known("101"))
		require.Len(t, clocks, 1, c.name)
		require.Equal(t, c.due, h.s.Clock(clocks[0].Due), c.name)
	}
	h := openHouse(t)
	h.say(t, `18:30 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL","temp":"13.5 °C"}`, juice,
		`19:05 MA {"do":"clock-move","subject":"101","verb":"test","due":"2026-09-24T21:30:00+02:00",`+
			`"reason":"it is warm"}`, `20:00 NS {"do":"reading","vessel":"101","temp":"13.6 °C"}`)
	require.Equal(t, "21:30", h.s.Clock(h.s.ClocksOf(h.s.Known("101"))[0].Due), "what is typed after the juice stands")
}

// TestCheckFromStartToVerdict: the short clock, the next look by the house's
// wait, the invalid control, and the gate that opens.
func TestCheckFromStartToVerdict(t *testing.T) {
	h := openHouse(t)
	h.say(t, `18:30 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL","temp":"13.5 °C"}`,
		`21:30 NS {"do":"pectin-test","vessel":"101","source":"raw juice"}`)
	k := h.s.ClocksOf(h.s.Known("101"))[0]
	require.Equal(t, "read tubes", k.Says())
	require.Equal(t, "21:35", h.s.Clock(k.Due))
	require.Equal(t, "21:40", h.s.Clock(k.Until))
	h.say(t, `21:35 NS {"do":"pectin-test-read","vessel":"101","sample":"large flocs","control":"flocs"}`)
	require.Equal(t, "00:00", h.s.Clock(h.s.ClocksOf(h.s.Known("101"))[0].Due),
		"C15: large flocs, 2 h 30 from the alcohol in")
	h.say(t, `00:00 NS {"do":"pectin-test","vessel":"101"}`,
		`00:05 NS {"do":"pectin-test-read","vessel":"101","sample":"clear","control":"clear"}`)
	v, _ := h.s.Vessel("101")
	require.Equal(t, clarity.Invalid, v.Now.Checks[1].Verdict)
	require.True(t, v.Now.PectinGone.IsZero())
	h.say(t, `00:20 NS {"do":"pectin-test","vessel":"101"}`,
		`00:25 NS {"do":"pectin-test-read","vessel":"101","sample":"faint haze","control":"flocs"}`)
	require.Equal(t, "check haze", h.s.ClocksOf(h.s.Known("101"))[0].Says())
	h.say(t, `00:30 NS {"do":"pectin-test-read","vessel":"101","second":"unchanged"}`)
	require.Equal(t, "00:25", h.s.Clock(v.Now.PectinGone), "dated at the first reading")
	require.Equal(t, stage.Waiting, v.Now.Stage)
	require.Empty(t, h.s.ClocksOf(h.s.Known("101")))
}

// TestACorrectionKeepsBothAndAsksToLookAgain is task T4: 138.1 typed for 118.3.
func TestACorrectionKeepsBothAndAsksToLookAgain(t *testing.T) {
	h := openHouse(t)
	h.say(t, weighed, `20:05 NS {"do":"tip","load":"0501","to":"P1"}`,
		`20:40 NS {"do":"tipped","load":"0501","to":"P1"}`,
		`20:45 NS {"do":"press-start","press":"P1","programme":"W-120","free_run":"103","pressings":"401"}`,
		`22:00 NS {"do":"juice","press":"P1","volume":"138.1 hL","closed":true}`,
		`22:10 NS {"do":"dose","vessel":"103","product":"E-1","rate":"2 g/hL","amount":"276.2 g","temp":"14 °C"}`)
	x := slices.Collect(h.s.CorrectablesOf("103"))
	var of cellar.Seq
	for _, c := range x {
		if c.Field == "volume" || c.Field == "holds" {
			of = c.Of
		}
	}
	c := &cellar.Correct{Head: cellar.Head{By: "NS", At: at("22:20")}, Of: of, Vessel: "103", Value: "118.3",
		Reason: "mistyped"}
	_, err := h.try(c, at("22:20"))
	require.NoError(t, err)
	v, _ := h.s.Vessel("103")
	require.Equal(t, "118.3 hL", v.Now.Volume.String())
	require.InDelta(t, 276.2/118.3, v.Now.Doses[0].PerHL, 1e-9)
	require.Contains(t, v.Now.Doses[0].LookAt, "138.1")
	require.Len(t, h.s.Mends, 1)
	require.Equal(t, "138.1 hL", h.s.Mends[0].Was)
	require.Equal(t, "118.3 hL", h.s.Mends[0].Now)
	p, _ := h.s.Press("P1")
	require.Equal(t, "118.3 hL", p.MainOut.String())
}

// TestTheOldDueNeverFires: a moved or taken-off clock is not raised at its old
// instant, and the first to see it counts.
func TestTheOldDueNeverFires(t *testing.T) {
	h := openHouse(t)
	h.say(t, `19:00 MA {"do":"clock","subject":"reds","verb":"pump over","due":"2026-09-24T20:00:00+02:00"}`,
		`19:50 MA {"do":"clock-move","subject":"reds","due":"2026-09-25T00:00:00+02:00",`+
			`"reason":"every hand is at the press"}`)
	require.Empty(t, h.s.Alarms(at("20:30")))
	require.Len(t, h.s.Alarms(at("00:00")), 1)
	require.Error(t, h.hear(`20:30 NS {"do":"acknowledge","subject":"reds"}`), "not due yet")
	h.say(t, `00:01 NS {"do":"acknowledge","subject":"reds"}`)
	require.ErrorContains(t, h.hear(`00:02 MA {"do":"acknowledge","subject":"reds"}`), "NS acknowledged it at 00:01")
	require.Len(t, h.s.Alarms(at("00:10")), 1, "seen is not answered")
	h.say(t, `00:20 NS {"do":"clock-move","subject":"reds","done":true,"reason":"done"}`)
	require.Empty(t, h.s.Alarms(at("00:30")))
}
