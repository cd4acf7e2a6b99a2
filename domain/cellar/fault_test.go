package cellar_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/handover"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/sheet"
	"cellar.example/mustwatch/domain/show"
)

// What has happened and cannot have been is saved with its fault.

// standing is that a fault is told wherever people look, and the balance holds.
func standsAmiss(t *testing.T, h *house, p cellar.TankNumber, says string) {
	t.Helper()
	v, _ := h.s.Vessel(p)
	require.Contains(t, strings.Join(h.s.Amiss(v), "\n"), says, "its page")
	notice := false
	for _, d := range h.s.Next(h.now) {
		notice = notice || d.Subject.Name == string(p) && d.Verb == "does not add up"
	}
	require.True(t, notice, "the board")
	paper := ""
	for _, r := range handover.Sheet(h.s, h.now, sheet.Mark{}).Happened {
		paper += r.Where + " " + r.What + "\n"
	}
	require.Contains(t, paper, string(p)+" DOES NOT ADD UP: "+says, "the sheet")
	doc := show.Cellar(h.s, h.now)
	require.NotEmpty(t, doc.Faults, "the document")
	addsUp(t, show.Cellar(h.s, h.now))
}

func TestHappenedMoreThanThereWasIsSavedWithItsFault(t *testing.T) {
	h := openHouse(t)
	h.say(t, halfOn)
	planned := `20:30 NS {"do":"move","from":"201","to":[{"vessel":"206","volume":"130 hL"}]%s}`
	require.ErrorContains(t, h.hear(fmt.Sprintf(planned, "")), "201 holds 100.0 hL; 130.0 hL cannot leave it")
	asked := h.hear(fmt.Sprintf(planned, `,"happened":true`))
	require.ErrorContains(t, asked, "W15", "it is asked about once")
	h.say(t, fmt.Sprintf(planned, `,"happened":true,"answers":[{"rule":"W15"},{"rule":"D04"}]`))
	require.Equal(t, quantity.HL(130), holds(t, h, "206").Volume)
	require.Zero(t, holds(t, h, "201").Volume)
	standsAmiss(t, h, "201", "201 held 100.0 hL at 20:30, when 130.0 hL left it: 130.0 hL to 206, 20:30 NS, entry ")
	require.Equal(t, int64(-3_000_000), show.Cellar(h.s, h.now).Unexplained)

	// It stands until one of the lines is corrected.
	of := h.s.Seq
	for ; ; of-- {
		if err := h.hear(fmt.Sprintf(`20:40 NS {"do":"correct","of":%d,"vessel":"206","field":"volume",`+
			`"value":"100 hL","reason":"misread","answers":[{"rule":"D24"}]}`, of)); err == nil {
			break
		}
		require.Positive(t, of)
	}
	v, _ := h.s.Vessel("201")
	require.Empty(t, v.Faults())
	require.Zero(t, show.Cellar(h.s, h.now).Unexplained)
}

func TestHappenedOverTheBrimIsClamped(t *testing.T) {
	h := openHouse(t)
	brim := func() quantity.Volume { v, _ := h.s.Vessel("201"); return v.Brim }()
	h.say(t, halfOn)
	over := fmt.Sprintf(`20:30 NS {"do":"move","from":"102","to":[{"vessel":"201","volume":"%g hL"}],"part":true,`+
		`"blend":true%%s}`, (brim - quantity.HL(100) + quantity.HL(10)).HL())
	require.ErrorContains(t, h.hear(fmt.Sprintf(over, "")), "will not go in")
	require.ErrorContains(t, h.hear(fmt.Sprintf(over, `,"happened":true`)), "S02")
	h.say(t, fmt.Sprintf(over, `,"happened":true,"answers":[{"rule":"S02"}]`))
	require.Equal(t, brim, holds(t, h, "201").Volume)
	standsAmiss(t, h, "201", "201 held")
	require.Equal(t, int64(1_000_000), show.Cellar(h.s, h.now).Unexplained)
}

func TestHappenedLateLineThatMakesALaterOneImpossible(t *testing.T) {
	h := openHouse(t)
	h.say(t, `21:00 NS {"do":"move","from":"101","to":[{"vessel":"201","volume":"160 hL"},{"vessel":"206",`+
		`"volume":"40 hL"}]}`)
	late := `20:00 NS {"do":"move","from":"101","to":[{"vessel":"103","volume":"50 hL"}],"part":true%s}`
	err := h.late(t, "21:30", fmt.Sprintf(late, ""))
	require.ErrorContains(t, err, "then 101 held 150.0 hL at 21:00, when 200.0 hL left it (against 200.0 hL to 201 "+
		"and 206, 21:00 NS, entry ")
	var no *cellar.Rejection
	require.ErrorAs(t, err, &no)
	require.NotZero(t, no.With, "the other line is named")

	require.NoError(t, h.late(t, "21:30", fmt.Sprintf(late,
		`,"happened":true,"answers":[{"rule":"S02"},{"rule":"D20"}]`)))
	standsAmiss(t, h, "101", "101 held 150.0 hL at 21:00, when 200.0 hL left it: 200.0 hL to 201 and 206, 21:00 NS, "+
		"entry ")
	v, _ := h.s.Vessel("101")
	lines := h.s.Disagree(v.Faults()[0])
	require.Len(t, lines, 2)
	require.Equal(t, "50.0 hL to 103", h.s.Words(lines[1].Says), "the one that was written late")
	require.Contains(t, logOf(h, "101"), "DOES NOT ADD UP")
}

func TestHappenedCalledEmptyIsUnexplained(t *testing.T) {
	h := openHouse(t)
	require.ErrorContains(t, h.hear(`20:00 NS {"do":"stage","vessel":"101","stage":"empty dirty"}`), "it is not empty")
	h.say(t, `20:00 NS {"do":"stage","vessel":"101","stage":"empty dirty","happened":true,"answers":[{"rule":"S02"}]}`)
	standsAmiss(t, h, "101", "101 held 200.0 hL at 20:00, when it was empty dirty")
	require.Equal(t, int64(20_000_000), show.Cellar(h.s, h.now).Unexplained)
}

// A dose into a tank that is found to have been empty counts for nothing, and says so.
func TestDoseIntoWhatWasEmptyIsAFault(t *testing.T) {
	h := openHouse(t)
	h.say(t, `21:00 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL","temp":"14 °C"}`)
	late := `20:00 NS {"do":"move","from":"101","to":[{"vessel":"201","volume":"160 hL"},{"vessel":"206",` +
		`"volume":"40 hL"}]%s}`
	require.ErrorContains(t, h.late(t, "21:30", fmt.Sprintf(late, "")),
		"101 was empty at 21:00, when E-1 was poured into it (against 400 g of E-1, 21:00 NS")
	require.NoError(t, h.late(t, "21:30", fmt.Sprintf(late, `,"happened":true,"answers":[{"rule":"S02"}]`)))
	standsAmiss(t, h, "101", "101 was empty at 21:00, when E-1 was poured into it")
}

// Litres that a correction leaves unexplained are told wherever it did so.
func TestCorrectionTellsWhatItLeavesUnexplained(t *testing.T) {
	h := openHouse(t)
	of := seqOf[*cellar.Moved](t, h, func() {
		h.say(t, `20:00 NS {"do":"move","from":"102","to":[{"vessel":"201","volume":"60 hL"},{"vessel":"206",`+
			`"volume":"50 hL"}],"lees":{"vessel":"701","volume":"9.5 hL"},"loss":"1 hL"}`)
	})
	line := fmt.Sprintf(`{"do":"correct","of":%d,"vessel":"206","field":"volume","value":"49.4 hL","reason":"dip"}`, of)
	c, err := cellar.ParseLine([]byte(line))
	require.NoError(t, err)
	cellar.HeadOf(c).By = "NS"
	_, effects, err := h.s.Foresee(c, h.now)
	require.NoError(t, err)
	said := ""
	for _, e := range effects {
		said += string(e.Vessel) + ": " + e.Say() + "\n"
	}
	require.Contains(t, said, "102: unexplained none → 0.6 hL", "the form says it before")
	h.say(t, "20:30 NS "+line)
	require.Contains(t, logOf(h, "102"), "unexplained none → 0.6 hL")
	v, _ := h.s.Vessel("102")
	require.Contains(t, strings.Join(h.s.Amiss(v), "\n"), "unexplained none → 0.6 hL, by what NS saved at 20:30")
	verbs := map[string]string{}
	for _, d := range h.s.Next(h.now) {
		verbs[d.Subject.Name] = d.Verb
	}
	require.Equal(t, "0.6 hL unexplained", verbs["102"])
	for _, x := range handover.Sheet(h.s, h.now, sheet.Mark{}).Sums {
		if x.Name == "UNEXPLAINED" {
			require.Equal(t, "0.6 hL", x.Value)
		}
	}
	addsUp(t, show.Cellar(h.s, h.now))

	h.say(t, fmt.Sprintf(`20:40 NS {"do":"correct","of":%d,"vessel":"206","field":"volume","value":"50 hL",`+
		`"reason":"it was right"}`, of))
	require.Empty(t, h.s.Amiss(v))
	require.Zero(t, show.Cellar(h.s, h.now.Add(time.Minute)).Unexplained)
}

func logOf(h *house, subject string) (out string) {
	for _, e := range h.s.EventsOf(h.s.Known(subject)) {
		out += e.Text + "\n"
	}
	return out
}

// What was taken back is marked in every log that it had reached, also of a tank that is
// empty now.
func TestTakenBackLinesAreMarkedWhereverTheyReached(t *testing.T) {
	h := openHouse(t)
	h.say(t, halfOn, `20:10 NS {"do":"move","from":"201","to":[{"vessel":"103","volume":"100 hL"}]}`)
	var of cellar.Seq
	before := h.s.Seq
	require.NoError(t, h.late(t, "20:30", `19:00 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL",`+
		`"temp":"14 °C"}`))
	of = before + 1
	marked := func(p string) (back, stands int) {
		for _, e := range h.s.EventsOf(h.s.Known(p)) {
			if e.Seq == of && e.TakenBack {
				back++
			} else if e.Seq == of {
				stands++
			}
		}
		return back, stands
	}
	for _, p := range []string{"101", "103"} {
		back, stands := marked(p)
		require.Zero(t, back, p)
		require.Positive(t, stands, p)
	}
	h.say(t, fmt.Sprintf(
		`20:40 NS {"do":"correct","of":%d,"vessel":"101","take_back":true,"reason":"it went into 102"}`, of))
	for _, p := range []string{"101", "103"} {
		back, stands := marked(p)
		require.Positive(t, back, p)
		require.Zero(t, stands, p)
	}
}

// What the sheet of a handover said and an entry has changed since stands on the next
// one, and the board notices it.
func TestChangedSinceYourSheet(t *testing.T) {
	h := openHouse(t)
	of := seqOf[*cellar.Moved](t, h, func() { h.say(t, halfOn) })
	h.say(t, `20:10 MA {"do":"shift-start","lead":"MA"}`, `20:30 MA {"do":"shift-end","to":"NS","happened":true}`)
	h.say(t, `21:00 NS {"do":"reading","vessel":"101","temp":"12 °C"}`,
		`21:05 NS {"do":"move","from":"102","to":[{"vessel":"206","volume":"30 hL"}],"part":true}`)
	require.Empty(t, h.s.SinceSheet(), "what came after it is no change of it")

	dose := h.s.Seq + 1
	require.NoError(t, h.late(t, "21:10", `19:00 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL",`+
		`"temp":"14 °C"}`))
	says := map[cellar.TankNumber]string{}
	for _, x := range h.s.SinceSheet() {
		says[x.Vessel] = x.Say()
	}
	require.Len(t, says, 2, "and where its juice had gone: %v", says)
	for p, text := range says {
		require.Contains(t, text, "sum of clarifying enzyme", p)
		require.Contains(t, text, "none → 2 g/hL", p)
		require.Contains(t, text, "due none → test 22:00", p)
		require.Contains(t, text, "by entr", p)
	}
	paper, board := "", ""
	for _, r := range handover.Sheet(h.s, h.now, sheet.Mark{}).Happened {
		paper += r.Where + " " + r.What + "\n"
	}
	require.Contains(t, paper, "201 CHANGED SINCE YOUR SHEET of 20:30: ")
	for _, d := range h.s.Next(h.now) {
		board += d.Subject.Name + " " + d.Verb + "\n"
	}
	require.Contains(t, board, "201 changed since the sheet of 20:30")

	h.say(t, fmt.Sprintf(`21:20 NS {"do":"correct","of":%d,"vessel":"201","field":"volume","value":"90 hL",`+
		`"reason":"dip"}`, of))
	found := false
	for _, x := range h.s.SinceSheet() {
		found = found || x.Vessel == "201" && strings.Contains(x.Say(), "volume 100.0 hL → 90.0 hL")
	}
	require.True(t, found)
	h.say(t, fmt.Sprintf(`21:30 NS {"do":"correct","of":%d,"vessel":"201","field":"volume","value":"100 hL",`+
		`"reason":"it was right"}`, of))
	h.say(t, fmt.Sprintf(
		`21:40 NS {"do":"correct","of":%d,"vessel":"101","take_back":true,"reason":"it went into 102"}`, dose))
	require.Empty(t, h.s.SinceSheet())
}
