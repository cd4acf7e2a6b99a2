package cellar_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

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
		h.say(t, `21:00 NS {"do":"move","from":"201","to":[{"vessel":"103","volume":"100 hL"}],`+
			`"answers":[{"rule":"D04"},{"rule":"D20"}]}`)
	})
	return h, first, second
}

func TestTogetherWhatOnlyGoesTogether(t *testing.T) {
	h, first, second := wrongTank(t)
	one := `{"do":"correct","of":%d,"vessel":"%s","field":"volume","value":"60 hL","reason":"misread"}`
	err := h.hear("21:30 NS " + fmt.Sprintf(one, first, "201"))
	require.ErrorContains(t, err, "then 201 held 60.0 hL at 21:00, when 100.0 hL left it")
	require.ErrorContains(t, err, "type the true time, or correct that entry together with this one")
	var no *cellar.Rejection
	require.ErrorAs(t, err, &no)
	require.Equal(t, second, no.With, "it names the other line")

	before := h.s.Seq
	h.say(t, "21:30 NS "+fmt.Sprintf(`{"do":"together","lines":[`+one+`,`+one+`]}`, first, "201", second, "103"))
	require.Equal(t, quantity.HL(60), holds(t, h, "103").Volume)
	require.Equal(t, quantity.HL(140), holds(t, h, "101").Volume)
	require.Zero(t, holds(t, h, "201").Volume)
	require.Equal(t, before+3, h.s.Seq, "the batch and its two lines")
	for _, p := range []cellar.TankNumber{"101", "103", "201"} {
		v, _ := h.s.Vessel(p)
		require.Empty(t, h.s.Amiss(v), p)
		require.NotContains(t, logOf(h, string(p)), "ADD UP", "what never was is not told")
	}
	require.Contains(t, logOf(h, "103"), "volume 100.0 hL → 60.0 hL")
}

// Strikes and the line that should have been written go together too.
func TestTogetherTakingBackAndTheRightLine(t *testing.T) {
	h, first, second := wrongTank(t)
	line := fmt.Sprintf(`{"do":"together","lines":[
		{"do":"correct","of":%d,"take_back":true,"reason":"wrong tank"},
		{"do":"correct","of":%d,"take_back":true,"reason":"wrong tank"},
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
		`{"do":"correct","of":%d,"take_back":true,"reason":"x"},{"do":"correct","of":%d,"vessel":"103",` +
			`"field":"volume","value":"minus","reason":"x"}`: "lines[1].value: ",
		`{"do":"correct","of":%d,"take_back":true,"reason":"x"},{"do":"correct","of":%d,"take_back":true,"reason":""}`: "lines[1].reason: say why",
		`{"do":"correct","of":%d,"take_back":true,"reason":"x"},{"do":"correct","of":%[1]d,"take_back":true,` +
			`"reason":"x"}`: "lines[1].of: that entry is taken back already",
		`{"do":"correct","of":%d,"vessel":"201","field":"volume","value":"60 hL","reason":"x"},{"do":"correct",` +
			`"of":%d,"vessel":"103","field":"volume","value":"90 hL","reason":"x"}`: "lines: nothing was saved: " +
			"then 201 held 60.0 hL at 21:00, when 90.0 hL left it",
		`{"do":"correct","of":%[2]d,"take_back":true,"reason":"x"},{"do":"hold","vessel":"999"}`: "lines[1].vessel: " +
			"there is no vessel",
		`{"do":"correct","of":%d,"take_back":true,"reason":"x"},{"do":"together","lines":[]}`: "lines[1].do: a " +
			"batch cannot hold another batch",
	} {
		text := fmt.Sprintf(`{"do":"together","lines":[`+lines+`]}`, first, second)
		text, _, _ = strings.Cut(text, "%!(EXTRA")
		before := h.s.Seq
		require.ErrorContains(t, h.hear("21:30 NS "+text), says)
		require.Equal(t, before, h.s.Seq)
	}
	_, err := cellar.ParseLine([]byte(`{"do":"together","lines":[{"do":"correct","of":1,"reason":"x",` +
		`"take_back":true},{"do":"move","from":"101","lots":3}]}`))
	require.ErrorContains(t, err, `lines[1].lots: there is no field "lots"`)
	require.ErrorContains(t, h.hear(`21:40 NS {"do":"together","lines":[]}`), "give the lines that belong together")
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
		{"do":"correct","of":%d,"vessel":"103","field":"volume","value":"90 hL","reason":"misread"}]%%s}`, first,
		second)
	line = strings.ReplaceAll(line, "\n", " ")
	require.ErrorContains(t, h.hear("21:30 NS "+fmt.Sprintf(line, "")), "S02")
	h.say(t, "21:30 NS "+fmt.Sprintf(line, `,"answers":[{"rule":"S02"}]`))
	standsAmiss(t, h, "201", "201 held 60.0 hL at 21:00, when 90.0 hL left it")
}

// Every kind of line goes into a batch, and knows what the lines before it have said.
func TestTogetherGoesEveryKindOfLine(t *testing.T) {
	for name, c := range map[string]struct {
		lines string
		want  func(t *testing.T, h *house)
	}{
		"a note and what it is about": {`{"do":"note","subject":"101","text":"valve drips","what":"warning"},` +
			`{"do":"note-done","subject":"101"}`,
			func(t *testing.T, h *house) { require.True(t, h.s.Notes[0].Done) }},
		"a hold and its release": {`{"do":"hold","vessel":"101","reason":"drips","releaser":"OF"},{"do":"release",` +
			`"by":"OF","vessel":"101","reason":"seal changed"}`,
			func(t *testing.T, h *house) {
				v, _ := h.s.Vessel("101")
				require.Nil(t, v.Hold)
				require.Contains(t, logOf(h, "101"), "drips")
			}},
		"a load, its fill and its press": {`{"do":"load","load":"0501","gross":"30 t","tare":"12 t"},{"do":"tip","load":"0501","to":"P1","mass":"18 t"},
			{"do":"tipped","load":"0501","to":"P1"},{"do":"press-start","press":"P1","programme":"W-120","free_run":"103","pressings":"401"},
			{"do":"juice","press":"P1","volume":"20 hL"},{"do":"press-stop","press":"P1","reason":"sieve"}`,
			func(t *testing.T, h *house) {
				require.Equal(t, quantity.HL(20), holds(t, h, "103").Volume)
				p, _ := h.s.Press("P1")
				require.Equal(t, cellar.PressStopped, p.State)
			}},
		"a product and its dose": {`{"do":"product","by":"MA","product":"P-2","name":"pea protein","class":"other","unit":"g/hL","open":"50 kg"},
			{"do":"dose","vessel":"101","product":"P-2","rate":"50 g/hL"}`,
			func(t *testing.T, h *house) { require.Len(t, holds(t, h, "101").Doses, 1) }},
		"a dose, its clock and the clock put elsewhere": {`{"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL","temp":"13.5 °C"},
			{"do":"clock-move","subject":"101","verb":"test","due":"2026-09-25T01:45:00+02:00","reason":"the lead is here then"}`,
			func(t *testing.T, h *house) {
				all := h.s.ClocksOf(h.s.Known("101"))
				require.Len(t, all, 1)
				require.True(t, all[0].Due.Equal(at("01:45")), all[0].Due)
			}},
		"a bad air and what it lacked": {`{"do":"gas","co2":16000},{"do":"gas-details","place":"pump pit","meter":"G2"}`,
			func(t *testing.T, h *house) { require.Equal(t, "pump pit", h.s.Emergencies(h.now)[0].Place) }},
	} {
		t.Run(name, func(t *testing.T) {
			h := openHouse(t)
			h.say(t, `21:30 NS {"do":"together","lines":[`+strings.Join(strings.Fields(c.lines), " ")+`]}`)
			c.want(t, h)
			addsUp(t, show.Cellar(h.s, h.now))
		})
	}
}

// Corrections of a gas reading, of a load and of what went into a press go together with
// what else was wrong, and a line of a batch may put an earlier one of it right.
func TestTogetherPutsRightWhateverItIs(t *testing.T) {
	h := openHouse(t)
	gas := seqOf[*cellar.GasRead](t, h,
		func() { h.say(t, `20:00 NS {"do":"gas","place":"101","co2":900,"meter":"G2"}`) })
	load := seqOf[*cellar.LoadWeighed](t, h,
		func() { h.say(t, `20:01 NS {"do":"load","load":"0501","gross":"30 t","tare":"12 t"}`) })
	fill := seqOf[*cellar.Tipping](t, h,
		func() { h.say(t, `20:02 NS {"do":"tip","load":"0501","to":"P1","mass":"18 t"}`) })
	h.say(t, `20:10 NS {"do":"tipped","load":"0501","to":"P1"}`)
	next := h.s.Seq + 2
	h.say(t, "21:30 NS "+strings.Join(strings.Fields(fmt.Sprintf(`{"do":"together","lines":[
		{"do":"correct","of":%d,"take_back":true,"reason":"wrong place"},
		{"do":"correct","of":%d,"field":"gross","value":"31 t","reason":"misread"},
		{"do":"correct","of":%d,"field":"mass","value":"18.5 t","reason":"misread"},
		{"do":"reading","vessel":"101","temp":"12 °C"},
		{"do":"correct","of":%d,"field":"temp","value":"13 °C","reason":"slipped"}]}`, gas, load, fill, next+3)), " "))
	l, _ := h.s.Load("0501")
	require.Equal(t, 19*quantity.Tonne, l.Net)
	p, _ := h.s.Press("P1")
	require.Equal(t, 18500*quantity.Kilogram, p.Parts[0].Mass)
	require.Equal(t, quantity.Celsius(13), *holds(t, h, "101").Last.Temp)
}

// All that rules ask of a batch is asked at once, of the lines behind the first as well.
func TestTogetherAsksAllAtOnce(t *testing.T) {
	h := openHouse(t)
	lines := `{"do":"together","lines":[
		{"do":"move","from":"101","to":[{"vessel":"201","volume":"190 hL"}],"part":true},
		{"do":"dose","vessel":"201","product":"E-1","rate":"9 g/hL","temp":"13.5 °C"}]`
	err := h.hear("21:30 NS " + strings.Join(strings.Fields(lines+"}"), " "))
	var needs *cellar.Needs
	require.ErrorAs(t, err, &needs)
	asked := map[string]bool{}
	for _, f := range needs.Findings {
		asked[string(f.Rule)] = true
	}
	require.Greater(t, len(asked), 1, "both lines are asked about: %v", err)
}

// A batch is its lines: what they would be one after the other, they are together.
func TestInvariantBatchIsItsLines(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		one, two := openHouse(t), openHouse(t)
		both := func(r cellar.Record) {
			cellar.Apply(one.s, again(t, r))
			cellar.Apply(two.s, again(t, r))
		}
		for range rapid.IntRange(0, 15).Draw(t, "before") {
			one.now = one.now.Add(time.Duration(rapid.IntRange(0, 40).Draw(t, "later")) * time.Minute)
			c := anyCommand(t, one)
			facts, _ := cellar.Decide(one.s, c, one.now)
			for _, r := range cellar.Records(c, facts, one.now, "test") {
				r.Seq = one.s.Seq + 1
				both(r)
			}
		}
		two.now = one.now
		first := cellar.Record{Seq: one.s.Seq + 1, At: cellar.Instant(one.now), Written: cellar.Instant(one.now),
			By: "MA", Fact: &cellar.PutTogether{}}
		cellar.Apply(one.s, first)
		all := &cellar.Together{Head: cellar.Head{By: "MA"}}
		happened := rapid.Bool().Draw(t, "all happened")
		for range rapid.IntRange(1, 6).Draw(t, "lines") {
			c := anyCommand(t, one)
			head := cellar.HeadOf(c)
			if head.Same, head.Happened = false, happened; head.By == "" {
				continue
			}
			if _, err := one.try(c, one.now); err == nil {
				all.Lines = append(all.Lines, cellar.Line{Command: c})
			}
		}
		if len(all.Lines) == 0 {
			return
		}
		if _, err := two.try(all, two.now); err != nil {
			t.Fatalf("refused together: %v\n%s", err, batchText(t, all))
		}
		sameState(t, two.s, one.s, ".history", ".odd", ".faultAt", ".sheets")
	})
}

func batchText(t *rapid.T, c cellar.Command) string {
	text, err := cellar.FormatLine(c)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}
