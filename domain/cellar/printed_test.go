package cellar_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/handover"
	"cellar.example/mustwatch/domain/sheet"
)

// A sheet that somebody printed in the middle of a shift is one that people act on.

// onPaper is what the next sheet says of what was changed since others.
func onPaper(h *house) string {
	out := ""
	for _, r := range handover.Sheet(h.s, h.now, sheet.Mark{}).Happened {
		if strings.Contains(r.What, "CHANGED SINCE") {
			out += r.Where + " " + r.What + "\n"
		}
	}
	return out
}

func onBoard(h *house) string {
	out := ""
	for _, d := range h.s.Next(h.now) {
		out += d.Subject.Name + " " + d.Verb + "\n"
	}
	return out
}

const lateDose = `%s NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL","temp":"14 °C"}`

func TestChangedSinceASheetPrintedInTheNight(t *testing.T) {
	h := openHouse(t)
	h.say(t, `18:30 MA {"do":"shift-start","lead":"MA"}`, `21:00 NS {"do":"sheet"}`,
		`21:05 NS {"do":"move","from":"102","to":[{"vessel":"206","volume":"30 hL"}],"part":true}`)
	require.Empty(t, h.s.SinceSheet(), "what came after it is no change of it")
	require.NoError(t, h.late(t, "21:10", fmt.Sprintf(lateDose, "19:00")))
	require.Contains(t, onPaper(h), "101 CHANGED SINCE YOUR SHEET of 21:00 NS: stage waiting → contact; sum of "+
		"clarifying enzyme none → 2 g/hL")
	require.Contains(t, onBoard(h), "101 changed since the sheet of 21:00 NS")

	h.say(t, `21:20 NS {"do":"sheet"}`)
	require.Empty(t, onPaper(h), "NS has that on the new one")
	h.say(t, `21:30 OF {"do":"sheet"}`)
	require.NoError(t, h.late(t, "21:40", `20:00 NS {"do":"dose","vessel":"102","product":"S-1","rate":"3 g/hL"}`))
	require.Contains(t, onPaper(h), "102 CHANGED SINCE YOUR SHEET of 21:20 NS and 21:30 OF: ", "told once of both")
}

// At a handover the sheets that were printed for it stay in use, older ones do not.
func TestSheetsInHandAtAHandover(t *testing.T) {
	h := openHouse(t)
	h.say(t, `18:30 MA {"do":"shift-start","lead":"MA"}`, `20:00 NS {"do":"sheet"}`, `23:50 MA {"do":"sheet"}`,
		`23:58 MA {"do":"shift-end","to":"NS","happened":true}`)
	require.NoError(t, h.late(t, "23:59", fmt.Sprintf(lateDose, "19:00")))
	for _, x := range h.s.SinceSheet() {
		require.Equal(t, "23:50 MA and 23:58", x.NameSheets(h.s.Clock))
	}
	require.NotEmpty(t, h.s.SinceSheet())
}

// What somebody else wrote while it was printed is not on it; and nobody can say
// afterwards what a sheet of then said.
func TestASheetIsNotedAsItIsPrinted(t *testing.T) {
	h := openHouse(t)
	on := h.s.Seq
	h.say(t, `20:00 NS {"do":"reading","vessel":"101","temp":"12 °C"}`)
	require.ErrorContains(t, h.hear(fmt.Sprintf(`20:01 NS {"do":"sheet","up_to":%d}`, on)),
		"up_to: somebody saved an entry while the sheet was printed")
	require.ErrorContains(t, h.late(t, "20:10", `20:07 NS {"do":"sheet"}`), "at: a sheet is noted when it is printed")
	h.say(t, fmt.Sprintf(`20:11 NS {"do":"sheet","up_to":%d}`, h.s.Seq))
	found := false
	for e := range h.s.LatestEvents {
		found = found || e.Text == fmt.Sprintf("the sheet was printed, up to entry %d", h.s.Seq-1) && e.By == "NS"
	}
	require.True(t, found)
}

// When the clock was off the sheet says what it says, and what it said is held against
// the right time.
func TestASheetOfAClockThatWasOff(t *testing.T) {
	h := openHouse(t)
	h.say(t, `21:00 NS {"do":"sheet"}`)
	putRight(t, h, "21:05", "20:05")
	h.now = at("20:40")
	require.NoError(t, h.late(t, "20:40", fmt.Sprintf(lateDose, "20:25")))
	require.Empty(t, h.s.SinceSheet(), "it came after the sheet")
	require.NoError(t, h.late(t, "20:45", `19:30 NS {"do":"dose","vessel":"102","product":"S-1","rate":"3 g/hL"}`))
	require.Contains(t, onPaper(h), "102 CHANGED SINCE YOUR SHEET of 21:00 NS: ", "as it stands on it")
}
