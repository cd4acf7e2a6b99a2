package cellar_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/quantity"
)

// Two lines of one minute: the order in which they were saved says nothing of which was
// first. Where it makes a difference, whoever writes is asked, and the answer counts
// whatever was saved first.

const (
	doseAtEight = `{"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL","amount":"300 g","happened":true%s}`
	moveAtEight = `{"do":"move","from":"101","to":[{"vessel":"201","volume":"80 hL"}],"part":true,"happened":true,` +
		`"answers":[{"rule":"D20"},{"rule":"D04"}]%s}`
)

func asksWhich(t *testing.T, err error) cellar.Seq {
	t.Helper()
	var no *cellar.Rejection
	require.ErrorAs(t, err, &no)
	require.Equal(t, cellar.WhichFirst, no.Code, no.Message)
	require.NotZero(t, no.With)
	return no.With
}

// A dose and a move of one minute, saved either way round and answered, are one cellar.
func TestWhichWasFirstOfADoseAndAMove(t *testing.T) {
	for _, doseFirst := range []bool{true, false} {
		want := map[bool]quantity.Amount{}
		for i, lines := range [][2]string{{doseAtEight, moveAtEight}, {moveAtEight, doseAtEight}} {
			h := openHouse(t)
			require.NoError(t, h.late(t, "20:30", "20:00 NS "+fmt.Sprintf(lines[0], "")))
			late := func(more string) error { return h.late(t, "20:40", "20:00 NS "+fmt.Sprintf(lines[1], more)) }
			err := late("")
			of := asksWhich(t, err)
			require.ErrorContains(t, err, "both are of 20:00, and it makes a difference which was first")
			require.ErrorContains(t, err, "20:00 NS, entry")
			said := "after"
			if doseFirst == (i == 1) {
				said = "before"
			}
			require.NoError(t, late(fmt.Sprintf(`,%q:%d`, said, of)))
			x := holds(t, h, "201")
			if !doseFirst {
				require.Empty(t, x.Doses, "the dose went into what was left")
				require.InDelta(t, 2.5, holds(t, h, "101").Doses[0].PerHL, 1e-6)
				continue
			}
			require.InDelta(t, 1.5, x.Doses[0].PerHL, 1e-6)
			if want[doseFirst].IsZero() {
				want[doseFirst] = x.Doses[0].Here
			}
			require.Equal(t, want[doseFirst], x.Doses[0].Here)
		}
	}
}

// What comes to the same is taken as it was saved: nobody is asked.
func TestWhatComesToTheSameIsNotAsked(t *testing.T) {
	h := openHouse(t)
	require.NoError(t, h.late(t, "20:30", "20:00 NS "+fmt.Sprintf(doseAtEight, "")))
	require.NoError(t, h.late(t, "20:31", `20:00 NS {"do":"dose","vessel":"101","product":"S-1","rate":"2 g/hL",`+
		`"happened":true}`))
	require.NoError(t, h.late(t, "20:32", `20:00 NS {"do":"move","from":"102","to":[{"vessel":"103",`+
		`"volume":"20 hL"}],"part":true,"happened":true,"answers":[{"rule":"D20"},{"rule":"D04"}]}`))
	require.NoError(t, h.late(t, "20:33", `20:00 NS {"do":"move","from":"102","to":[{"vessel":"206",`+
		`"volume":"20 hL"}],"part":true,"happened":true,"answers":[{"rule":"D20"},{"rule":"D04"}]}`))
	require.NoError(t, h.late(t, "20:34", `20:00 NS {"do":"reading","vessel":"401","temp":"12 °C"}`))
	require.Len(t, holds(t, h, "101").Doses, 2)
}

// Of two orders of which one cannot have been, the other was.
func TestWhatCannotHaveBeenFirstWasNot(t *testing.T) {
	h := openHouse(t)
	require.NoError(t, h.late(t, "20:30", `20:00 NS {"do":"move","from":"101","to":[{"vessel":"103",`+
		`"volume":"200 hL"}],"happened":true,"answers":[{"rule":"D20"},{"rule":"D04"}]}`))
	require.NoError(t, h.late(t, "20:40", "20:00 NS "+fmt.Sprintf(doseAtEight, "")),
		"it went in before all of it went on")
	v, _ := h.s.Vessel("101")
	require.Empty(t, v.Faults())
	require.InDelta(t, 1.5, holds(t, h, "103").Doses[0].PerHL, 1e-6)
	require.NoError(t, h.late(t, "20:45", `20:00 NS {"do":"move","from":"103","to":[{"vessel":"206",`+
		`"volume":"50 hL"}],"part":true,"happened":true,"answers":[{"rule":"D20"},{"rule":"D04"}]}`))
	require.Equal(t, quantity.HL(150), holds(t, h, "103").Volume)
	require.InDelta(t, 1.5, holds(t, h, "206").Doses[0].PerHL, 1e-6)
}

// What is saved as it happens has seconds, what is typed has minutes: of one minute they
// are of one time.
func TestWhichWasFirstWithinTheMinute(t *testing.T) {
	h := openHouse(t)
	_, err := h.try(ofNS(t, fmt.Sprintf(moveAtEight, "")), at("20:00").Add(37*time.Second))
	require.NoError(t, err)
	late := func(more string) error { return h.late(t, "20:40", "20:00 NS "+fmt.Sprintf(doseAtEight, more)) }
	of := asksWhich(t, late(""))
	require.NoError(t, late(fmt.Sprintf(`,"after":%d`, of)))
	require.Empty(t, holds(t, h, "201").Doses)
	require.Equal(t, "20:00", h.s.Clock(holds(t, h, "101").Doses[0].At))
}

func ofNS(t *testing.T, line string) cellar.Command {
	t.Helper()
	c, err := cellar.ParseLine([]byte(line))
	require.NoError(t, err)
	cellar.HeadOf(c).By = "NS"
	return c
}

// A sample and a dose of one minute: whether the tubes knew of it hangs on which was first.
func TestWhichWasFirstOfASampleAndADose(t *testing.T) {
	for said, verdict := range map[string]string{"before": "void", "after": "negative"} {
		h := openHouse(t)
		require.NoError(t, h.late(t, "20:30", "20:00 NS "+fmt.Sprintf(doseAtEight, "")))
		check := `20:00 NS {"do":"pectin-test","vessel":"101","source":"press juice"%s}`
		of := asksWhich(t, h.late(t, "20:31", fmt.Sprintf(check, "")))
		require.NoError(t, h.late(t, "20:31", fmt.Sprintf(check, fmt.Sprintf(`,%q:%d`, said, of))))
		require.NoError(t, h.late(t, "20:32", `20:05 NS {"do":"pectin-test-read","vessel":"101","sample":"clear",`+
			`"control":"flocs","happened":true,"answers":[{"rule":"H10","by":"MA","reason":"x"}]}`))
		require.Equal(t, verdict, strings.ToLower(string(holds(t, h, "101").Checks[0].Verdict)), said)
	}
}

// A time that is corrected asks as well, and so may the order alone be corrected.
func TestWhichWasFirstIsPutRight(t *testing.T) {
	h := openHouse(t)
	require.NoError(t, h.late(t, "20:30", "20:00 NS "+fmt.Sprintf(moveAtEight, "")))
	require.NoError(t, h.late(t, "20:40", "20:10 NS "+fmt.Sprintf(doseAtEight, "")))
	require.Empty(t, holds(t, h, "201").Doses)
	dose := correctable(h, "amount").Of
	right := func(more string) error {
		return h.hear(fmt.Sprintf(`20:50 NS {"do":"correct","of":%d,"vessel":"101","field":"at",`+
			`"value":"2026-09-24T20:00:00+02:00","reason":"x"%s}`, dose, more))
	}
	of := asksWhich(t, right(""))
	require.NoError(t, right(fmt.Sprintf(`,"before":%d`, of)))
	require.InDelta(t, 1.5, holds(t, h, "201").Doses[0].PerHL, 1e-6)
	require.NoError(t, right(fmt.Sprintf(`,"after":%d`, of)))
	require.Empty(t, holds(t, h, "201").Doses)
	require.InDelta(t, 2.5, holds(t, h, "101").Doses[0].PerHL, 1e-6)
}

// A dose as it was weighed and the temperature that was read with it are one: nothing of
// their minute comes between them, and nobody is asked about the reading alone.
func TestADoseAndItsReadingAreOne(t *testing.T) {
	h := openHouse(t)
	h.say(t, `19:00 NS {"do":"weighed","vessel":"101","product":"E-1","rate":"2 g/hL"}`)
	require.NoError(t, h.late(t, "20:30", `20:00 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL",`+
		`"temp":"11 °C","happened":true}`))
	require.NoError(t, h.late(t, "20:40", `20:00 NS {"do":"move","from":"101","to":[{"vessel":"201",`+
		`"volume":"200 hL"}],"happened":true,"answers":[{"rule":"D20"},{"rule":"D04"}]}`))
	c := holds(t, h, "201")
	require.Len(t, c.Doses, 1)
	require.Equal(t, "11.0 °C", c.Last.Temp.String())
}

// What is said to be before another is next before it: what else was of their time, at
// places that it does not reach, stays before both.
func TestBeforeAnotherIsNextBeforeIt(t *testing.T) {
	h := openHouse(t)
	require.NoError(t, h.late(t, "20:20", `20:00 NS {"do":"dose","vessel":"102","product":"S-1","rate":"2 g/hL",`+
		`"happened":true}`))
	other := h.s.Seq
	require.NoError(t, h.late(t, "20:30", "20:00 NS "+fmt.Sprintf(moveAtEight, "")))
	dose := func(more string) ([]cellar.Fact, cellar.Command, error) {
		c := ofNS(t, fmt.Sprintf(doseAtEight, more))
		cellar.HeadOf(c).At = at("20:00")
		facts, err := cellar.Decide(h.s, c, at("20:40"))
		return facts, c, err
	}
	_, _, err := dose("")
	of := asksWhich(t, err)
	facts, c, err := dose(fmt.Sprintf(`,"before":%d`, of))
	require.NoError(t, err)
	turn := cellar.Records(c, facts, at("20:40"), "test")[0].Turn
	require.Less(t, turn, int(of)<<16)
	require.Greater(t, turn, int(other)<<16)
}
