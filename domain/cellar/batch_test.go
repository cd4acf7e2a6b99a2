package cellar_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/show"
)

// Several lines are decided as one and saved as one.

// wrongTank is a night in which 100 hL of 101 were written into 201 and went on from
// there, and it was 206 all along; the numbers are those of the two moves.
func wrongTank(t *testing.T) (h *house, first, second cellar.Seq) {
	h = openHouse(t)
	first = seqOf[*cellar.Moved](t, h, func() {
		h.say(t, `20:00 NS {"do":"move","from":"101","to":[{"vessel":"201","volume":"100 hL"}],"part":true}`)
	})
	second = seqOf[*cellar.Moved](t, h, func() {
		h.say(t, `21:00 NS {"do":"move","from":"201","to":[{"vessel":"103","volume":"100 hL"}],"answers":[{"rule":"D04"},{"rule":"D20"}]}`)
	})
	return h, first, second
}

func TestTogetherWhatOnlyGoesTogether(t *testing.T) {
	h, first, second := wrongTank(t)
	one := `{"do":"correct","of":%d,"vessel":"%s","field":"volume","value":"60 hL","reason":"misread"}`
	err := h.hear("21:30 NS " + fmt.Sprintf(one, first, "201"))
	require.ErrorContains(t, err, "then 201 held 60.0 hL at 21:00, when 100.0 hL left it")
	require.ErrorContains(t, err, "put that entry right together with this one")
	var no *cellar.Rejection
	require.ErrorAs(t, err, &no)
	require.Equal(t, second, no.With, "it names the other line")

	before := h.s.Seq
	h.say(t, "21:30 NS "+fmt.Sprintf(`{"do":"together","lines":[`+one+`,`+one+`]}`, first, "201", second, "103"))
	require.Equal(t, quantity.HL(60), holds(t, h, "103").Volume)
	require.Equal(t, quantity.HL(140), holds(t, h, "101").Volume)
	require.Zero(t, holds(t, h, "201").Volume)
	require.Equal(t, before+3, h.s.Seq, "the batch and its two lines")
	for _, p := range []cellar.Plate{"101", "103", "201"} {
		v, _ := h.s.Vessel(p)
		require.Empty(t, h.s.Amiss(v), p)
		require.NotContains(t, logOf(h, string(p)), "ADD UP", "what never was is not told")
	}
	require.Contains(t, logOf(h, "103"), "volume 100.0 hL → 60.0 hL")
}

// Strikes and the line that should have been written go together too.
func TestTogetherStrikesAndTheRightLine(t *testing.T) {
	h, first, second := wrongTank(t)
	line := fmt.Sprintf(`{"do":"together","lines":[
		{"do":"correct","of":%d,"strike":true,"reason":"wrong tank"},
		{"do":"correct","of":%d,"strike":true,"reason":"wrong tank"},
		{"do":"move","at":"2026-09-24T20:00:00+02:00","by":"MA","from":"101","to":[{"vessel":"206","volume":"100 hL"}],"part":true}]}`, first, second)
	h.say(t, "21:30 NS "+strings.ReplaceAll(line, "\n", " "))
	require.Equal(t, quantity.HL(100), holds(t, h, "206").Volume)
	require.Zero(t, holds(t, h, "103").Volume+holds(t, h, "201").Volume)
	moves := h.s.Moves()
	require.Len(t, moves, 1)
	require.Equal(t, cellar.Initials("MA"), moves[0].By, "a line says its own time and person")
	require.True(t, moves[0].At.Equal(at("20:00")))
	addsUp(t, show.Cellar(h.s, h.now))
}

// One bad line, and nothing is saved; the line is named.
func TestTogetherWithOneBadLineSavesNothing(t *testing.T) {
	h, first, second := wrongTank(t)
	for lines, says := range map[string]string{
		`{"do":"correct","of":%d,"strike":true,"reason":"x"},{"do":"correct","of":%d,"vessel":"103","field":"volume","value":"minus","reason":"x"}`:                                   "lines[1].value: ",
		`{"do":"correct","of":%d,"strike":true,"reason":"x"},{"do":"correct","of":%d,"strike":true,"reason":""}`:                                                                      "lines[1].reason: say why",
		`{"do":"correct","of":%d,"strike":true,"reason":"x"},{"do":"correct","of":%[1]d,"strike":true,"reason":"x"}`:                                                                  "lines[1].of: that entry is struck out already",
		`{"do":"correct","of":%d,"vessel":"201","field":"volume","value":"60 hL","reason":"x"},{"do":"correct","of":%d,"vessel":"103","field":"volume","value":"90 hL","reason":"x"}`: "lines: nothing of this is saved: then 201 held 60.0 hL at 21:00, when 90.0 hL left it",
		`{"do":"correct","of":%d,"strike":true,"reason":"x"},{"do":"note","text":"looked"}`:                                                                                           "lines[1].do: a note line does not go into a batch",
		`{"do":"correct","of":%d,"strike":true,"reason":"x"},{"do":"together","lines":[]}`:                                                                                            "lines[1].do: a batch does not go into a batch",
	} {
		text := fmt.Sprintf(`{"do":"together","lines":[`+lines+`]}`, first, second)
		text, _, _ = strings.Cut(text, "%!(EXTRA")
		before := h.s.Seq
		require.ErrorContains(t, h.hear("21:30 NS "+text), says)
		require.Equal(t, before, h.s.Seq)
	}
	_, err := cellar.ParseLine([]byte(`{"do":"together","lines":[{"do":"correct","of":1,"reason":"x","strike":true},{"do":"move","from":"101","lots":3}]}`))
	require.ErrorContains(t, err, `lines[1].lots: there is no field "lots"`)
	require.ErrorContains(t, h.hear(`21:40 NS {"do":"together","lines":[]}`), "which lines belong together?")
}

// Quantities in a batch are read as the house writes them.
func TestTogetherReadsQuantitiesAsTheHouseDoes(t *testing.T) {
	house := cellar.House{Units: quantity.US}
	c, err := house.ParseLine([]byte(`{"do":"together","lines":[{"do":"reading","vessel":"101","temp":"54 °F"}]}`))
	require.NoError(t, err)
	text, err := cellar.FormatLine(c)
	require.NoError(t, err)
	again, err := cellar.ParseLine(text)
	require.NoError(t, err)
	require.Equal(t, c, again)
}

// What has happened is saved with its fault as a batch too.
func TestTogetherHappenedIsSavedWithItsFault(t *testing.T) {
	h, first, second := wrongTank(t)
	line := fmt.Sprintf(`{"do":"together","happened":true,"lines":[
		{"do":"correct","of":%d,"vessel":"201","field":"volume","value":"60 hL","reason":"misread"},
		{"do":"correct","of":%d,"vessel":"103","field":"volume","value":"90 hL","reason":"misread"}]%%s}`, first, second)
	line = strings.ReplaceAll(line, "\n", " ")
	require.ErrorContains(t, h.hear("21:30 NS "+fmt.Sprintf(line, "")), "S02")
	h.say(t, "21:30 NS "+fmt.Sprintf(line, `,"answers":[{"rule":"S02"}]`))
	standsAmiss(t, h, "201", "201 held 60.0 hL at 21:00, when 90.0 hL left it")
}
