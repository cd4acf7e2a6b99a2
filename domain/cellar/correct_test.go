package cellar_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
)

// TestACorrectionIsToldAsTheHouseWrites: in the units and on the clock of the
// house, though the journal keeps exact metric values and instants of UTC.
func TestACorrectionIsToldAsTheHouseWrites(t *testing.T) {
	h := openHouse(t)
	h.say(t, `18:00 MA {"do":"house","zone":"Europe/Paris","units":"us"}`,
		`19:00 NS {"do":"reading","vessel":"101","temp":"57 °F"}`)
	of := correctable(h, "temp").Of
	h.say(t, fmt.Sprintf(`19:10 NS {"do":"correct","of":%d,"vessel":"101","field":"temp","value":"58.5 °F",`+
		`"reason":"mistyped"}`, of))
	require.Equal(t, "corrected temp of reading: 57.0 °F → 58.5 °F, mistyped", lastEvent(h.s))
	h.say(t, fmt.Sprintf(`19:11 NS {"do":"correct","of":%d,"vessel":"101","field":"at",`+
		`"value":"2026-09-24T18:50:00+02:00","reason":"late"}`, of))
	require.Equal(t, "corrected time of reading: Thu 19:00 → Thu 18:50, late", lastEvent(h.s))
	for line, says := range map[string]string{
		`20:00 NS {"do":"reading","vessel":"101","temp":"0 °F"}`: "0.0 °F cannot be; type 23.0 °F to 203.0 °F",
		`20:00 NS {"do":"reading","vessel":"101","dip":"9000 US gal"}`: "9000 gal cannot be in 101; its brim " +
			"is 6604 gal",
		`20:00 NS {"do":"load","load":"0501","gross":"2000 lb","tare":"1990 lb"}`: "a net weight of 10 lb " +
			"cannot be; type 110.23 lb to 44.1 short tons (the house limit of a trailer)",
		`20:00 NS {"do":"load","load":"0501","gross":"30 t","tare":"12 t","temp":"140 °F"}`: "grapes at 140.0 °F " +
			"cannot be; type 28.4 °F to 113.0 °F",
	} {
		require.ErrorContains(t, h.hear(line), says)
	}
	// 4 g/hL of SO2 twice is 0.668 lb/1000 gal (453.59237 g in 1000 times 3.785411784 L).
	h.say(t, `20:00 NS {"do":"dose","vessel":"101","product":"S-1","rate":"4 g/hL"}`)
	require.ErrorContains(t, h.hear(`20:10 NS {"do":"dose","vessel":"101","product":"S-1","rate":"4 g/hL"}`),
		"With this 101 would have 0.668 lb/1000 gal; the house allows 0.501 lb/1000 gal.")
}

// TestADoseOfNothingIsTakenBack: it is not corrected to nothing, from where
// nothing would bring it back; taken back it counts nowhere.
func TestADoseOfNothingIsTakenBack(t *testing.T) {
	h := openHouse(t)
	h.say(t, dosed101[0])
	of := correctable(h, "amount").Of
	require.ErrorContains(t, h.hear(fmt.Sprintf(`20:00 NS {"do":"correct","of":%d,"vessel":"101","field":"amount",`+
		`"value":"0","reason":"x"}`, of)), "a dose of zero was none: take it back")
	h.say(t, fmt.Sprintf(
		`20:00 NS {"do":"correct","of":%d,"vessel":"101","take_back":true,"reason":"it went into 102"}`, of))
	v, _ := h.s.Vessel("101")
	require.Empty(t, v.Now.Doses)
	require.Empty(t, h.s.ClocksOf(h.s.Known("101")), "no contact, no test")
	p, _ := h.s.Product("E-1")
	require.Equal(t, "2 kg", p.Open.String(), "it is back in the tub")
	h.say(t, `20:10 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL","temp":"14 °C"}`)
	require.Equal(t, 1, v.Now.Doses[0].Number)
}

// TestACorrectionFarOffIsAskedAbout: with both figures, how far apart they are, and
// whose entry it is.
func TestACorrectionFarOffIsAskedAbout(t *testing.T) {
	h := openHouse(t)
	h.say(t, dosed101[0])
	correct := func(who, value string) string {
		return fmt.Sprintf(`20:00 %s {"do":"correct","of":%d,"vessel":"101","field":"amount","value":%q,`+
			`"reason":"mistyped"}`, who, correctable(h, "amount").Of, value)
	}
	require.EqualError(t, h.hear(correct("MA", "5.8 kg")), "D24: amount of E-1, 101: 5.8 kg is 14 times the old 400 "+
		"g. NS saved it at 18:05, not you. Right entry? Right unit? Decimal point right?")
	require.EqualError(t, h.hear(correct("NS", "50 g")), "D24: amount of E-1, 101: 50 g is one 8th of the old 400 "+
		"g. Right entry? Right unit? Decimal point right?")
	h.say(t, correct("MA", "410 g"))
}

// What a tank is said to hold after juice ran in is not less than it held before.
func TestWhatRanInIsNotLessThanNothing(t *testing.T) {
	h := openHouse(t)
	h.say(t, inP1...)
	h.say(t, pressed...)
	h.say(t, `22:30 NS {"do":"juice","press":"P1","reads":"100 hL"}`)
	of := correctable(h, "holds").Of
	require.ErrorContains(t, h.hear(fmt.Sprintf(`22:40 NS {"do":"correct","of":%d,"vessel":"103","field":"holds",`+
		`"value":"70 hL","reason":"x"}`, of)), "value: then 103 held 80.0 hL at 22:30, before it was measured at "+
		"70.0 hL (against 80.0 hL from P1, 22:00 NS,")
}

// What cannot be corrected says so in a sentence.
func TestCorrectionsThatCannotBe(t *testing.T) {
	h := openHouse(t)
	of := seqOf[*cellar.Moved](t, h, func() {
		h.say(t, `20:00 NS {"do":"move","from":"101","to":[{"vessel":"201","volume":"100 hL"}],"part":true}`)
	})
	correct := func(who, rest string) string {
		return fmt.Sprintf(`20:30 %s {"do":"correct","of":%d,"reason":"x",%s}`, who, of, rest)
	}
	h.say(t, correct("NS", `"vessel":"201","field":"volume","value":"90 hL"`))
	require.EqualError(t, h.hear(correct("MA", `"vessel":"201","field":"volume","value":"80 hL"`)),
		"S03: NS corrected it at 20:30 already: 100.0 hL → 90.0 hL (x). Correct it again?")
	h.say(t, correct("NS", `"vessel":"201","field":"volume","value":"95 hL"`),
		correct("MA", `"vessel":"201","field":"volume","value":"80 hL","answers":[{"rule":"S03"}]`))
	require.ErrorContains(t, h.hear(correct("NS", `"vessel":"201","field":"at","value":"2026-09-24T17:30:00+02:00"`)),
		"value: Thu 17:30 is before the opening (Thu 18:00): correct it in the opening (x)")
	h.say(t, correct("NS", `"take_back":true`))
	require.ErrorContains(t, h.hear(correct("MA", `"take_back":true`)),
		"of: that entry is taken back already, by NS at 20:30: x")
	require.ErrorContains(t, h.hear(correct("MA", `"vessel":"201","field":"volume","value":"70 hL"`)),
		"taken back already")
	require.ErrorContains(t, h.hear(`17:30 NS {"do":"reading","vessel":"101","temp":"12 °C"}`),
		"at: Thu 17:30 is before the opening (Thu 18:00")
}
