package cellar_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/clarity"
	"cellar.example/mustwatch/domain/quantity"
)

// What was done to a tank that the ledger has empty at that time is saved when it has
// happened, with its fault; once it is known where its juice came from, it counts.

const fills103 = `{"do":"move","from":"101","to":[{"vessel":"103","volume":"80 hL"}],"part":true,"happened":true,` +
	`"answers":[{"rule":"S02"},{"rule":"D20"}]}`

func TestADoseOfWhatWasEmptyIsSavedWithItsFault(t *testing.T) {
	h := openHouse(t)
	dose := `19:00 NS {"do":"dose","vessel":"103","product":"E-1","rate":"2 g/hL","temp":"14 °C"%s}`
	require.ErrorContains(t, h.late(t, "21:00", fmt.Sprintf(dose, "")),
		"at: 103 was empty clean at 19:00; save first where its juice came from, or say that it has happened")
	require.ErrorContains(t, h.late(t, "21:00", fmt.Sprintf(dose, `,"happened":true`)), "volume: ")
	require.EqualError(t, h.late(t, "21:00", fmt.Sprintf(dose, `,"volume":"80 hL","happened":true`)),
		"S02: 103 was empty at 19:00, when E-1 was poured into it (against saved as empty clean, 18:00 MA, entry "+
			"14). Where did its juice come from? If you save this now, the fault stays until that is saved too.")
	require.NoError(t, h.late(t, "21:00", fmt.Sprintf(dose, `,"volume":"80 hL","happened":true,`+
		`"answers":[{"rule":"S02"}]`)))
	standsAmiss(t, h, "103", "103 was empty at 19:00, when E-1 was poured into it")
	require.Empty(t, holds(t, h, "103").Doses)

	require.NoError(t, h.late(t, "21:05", "18:40 NS "+fills103))
	v, _ := h.s.Vessel("103")
	require.Empty(t, v.Faults())
	require.Equal(t, "160 g", v.Now.Doses[0].Drawn.String())
	require.InDelta(t, 2, v.Now.Doses[0].PerHL, 1e-9)
	require.Equal(t, "22:00", dueOf(t, h, "103"), "its clock runs from when it went in")
}

// The same, of a tank into which other juice has come since.
func TestADoseBeforeWhatIsInATankNowIsSavedWithItsFault(t *testing.T) {
	h := openHouse(t)
	h.say(t, `20:00 NS {"do":"move","from":"101","to":[{"vessel":"103","volume":"80 hL"}],"part":true,`+
		`"answers":[{"rule":"D20"}]}`)
	dose := `19:00 NS {"do":"dose","vessel":"103","product":"E-1","rate":"2 g/hL","volume":"60 hL"%s}`
	require.ErrorContains(t, h.late(t, "21:00", fmt.Sprintf(dose, "")),
		"at: 103 was empty clean at 19:00; what is in it now came later: save first where its juice came from, or "+
			"say that it has happened")
	require.ErrorContains(t, h.late(t, "21:00", fmt.Sprintf(dose, `,"happened":true`)),
		"Where did its juice come from?")
	require.NoError(t, h.late(t, "21:00", fmt.Sprintf(dose, `,"happened":true,"answers":[{"rule":"S02"}]`)))
	standsAmiss(t, h, "103", "103 was empty at 19:00, when E-1 was poured into it")
	require.Empty(t, holds(t, h, "103").Doses, "what is in it now has none of it")
}

func TestACheckOfWhatWasEmptyIsSavedWithItsFault(t *testing.T) {
	h := openHouse(t)
	require.ErrorContains(t, h.hear(`21:00 NS {"do":"pectin-test","vessel":"103"}`),
		"103 is empty clean; there is nothing to test")
	begun := `19:00 NS {"do":"pectin-test","vessel":"103","source":"press juice"%s}`
	require.EqualError(t, h.late(t, "21:00", fmt.Sprintf(begun, "")),
		"S02: 103 was empty at 19:00, when it was tested (against saved as empty clean, 18:00 MA, entry 14). Where "+
			"did its juice come from? If you save this now, the fault stays until that is saved too.")
	require.NoError(t, h.late(t, "21:00", fmt.Sprintf(begun, `,"answers":[{"rule":"S02"}]`)))
	read := `19:05 NS {"do":"pectin-test-read","vessel":"103","sample":"clear","control":"flocs"%s}`
	require.ErrorContains(t, h.late(t, "21:01", fmt.Sprintf(read, "")), "103 was empty at 19:05, when it was tested")
	require.NoError(t, h.late(t, "21:01", fmt.Sprintf(read, `,"answers":[{"rule":"S02"}]`)))
	require.NoError(t, h.late(t, "21:02", `19:10 NS {"do":"paper-drop","vessel":"103","method":"a","ring":"no ring",`+
		`"answers":[{"rule":"S02"}]}`))
	standsAmiss(t, h, "103", "103 was empty at 19:00, when it was tested")
	require.ErrorContains(t, h.hear(`21:03 NS {"do":"pectin-test-read","vessel":"103","sample":"clear",`+
		`"control":"flocs"}`), "no pectin test of 103 is running;")

	require.NoError(t, h.late(t, "21:05", "18:40 NS "+fills103))
	v, _ := h.s.Vessel("103")
	require.Empty(t, v.Faults())
	require.Equal(t, quantity.HL(80), v.Now.Volume)
	require.Len(t, v.Now.Checks, 1)
	require.Equal(t, clarity.Negative, v.Now.Checks[0].Verdict)
	require.Equal(t, at("19:05"), v.Now.PectinGone)
	require.Len(t, v.Now.Drops, 1)
}

// Tubes that were read before their tank was emptied are read where they stood.
func TestTubesOfATankThatIsEmptyNow(t *testing.T) {
	h := openHouse(t)
	h.say(t, `20:00 NS {"do":"pectin-test","vessel":"102","source":"press juice"}`,
		`20:10 NS {"do":"move","from":"102","to":[{"vessel":"201","volume":"120.5 hL"}],"answers":[{"rule":"D20"},`+
			`{"rule":"D04"}],"happened":true}`)
	require.NoError(t, h.late(t, "20:30", `20:05 NS {"do":"pectin-test-read","vessel":"102","sample":"large flocs",`+
		`"control":"flocs"}`))
	require.Equal(t, "positive in 102", holds(t, h, "201").BroughtLast().Say())
}
