package main

import (
	"context"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/store/journal"
)

// events lists what the journal in use says happened to a subject.
func (b *bench) events(subject string) []cellar.Event {
	b.t.Helper()
	h, err := hold(context.Background(), b.env["MUSTWATCH_JOURNAL"], journal.Options{ReadOnly: true})
	require.NoError(b.t, err)
	defer h.Close()
	return h.state.EventsOf(h.state.Known(subject))
}

func TestEnterWritesWhatHoldsAndNamesWhatDoesNot(t *testing.T) {
	b := newBench(t).house()
	end := b.pipe(`# the evening round
{"do":"reading","by":"DO","vessel":"S1","temp":"8.8 °C"}
{"do":"reading","by":"DO","vessel":"X9","temp":"8.8 °C"}
not a line

{"do":"reading","by":"DO","vessel":"S2","temp":"13 °C","hue":"green"}
{"do":"stage","by":"DO","vessel":"S2","stage":"flotation"}
{"do":"reading","by":"DO","vessel":"S3","density":"1.084"}
`).run("enter", "-", "-v")
	assert.Equal(t, endRefused, end)
	assert.Equal(t, "line 2 saved, seq 27\nline 8 saved, seq 28\n2 saved, 4 refused\n", b.out.String())
	said := b.err.String()
	for _, want := range []string{
		`line 3: vessel: there is no vessel "X9"`,
		"line 4: this is not a JSON object",
		`line 6: hue: there is no field "hue" in this command`,
		"line 7: stage: No flotation on S2 yet",
		"(H09)",
		"  H09 can be overridden by the winemaker (WM), with a reason.",
		`  To override, add "answers":[{"rule":"H09","by":"","reason":""}] and fill in the blanks.`,
		`  If it was not done, add "not_done":true: that a rule stopped it is saved.`,
	} {
		assert.Contains(t, said, want)
	}
}

// A line with an id is named by it too, whatever becomes of it; in a batch the line that
// is at fault is named as well. An id that nobody could be told of is refused at "id".
func TestALineIsNamedByItsID(t *testing.T) {
	b := newBench(t).house()
	assert.Equal(t, endRefused, b.pipe(`{"do":"reading","id":"P-1","by":"DO","vessel":"S1","temp":"8.8 °C"}
{"do":"reading","id":"P-2","by":"DO","vessel":"X9","temp":"8.8 °C"}
{"do":"together","id":"B-1","by":"DO","lines":[{"do":"reading","id":"P-3","vessel":"S1","temp":"8.6 °C"},{"do":"reading","id":"P-4","vessel":"X9","temp":"8 °C"}]}
{"do":"reading","id":"P-5","by":"DO","vessel":"S2","hue":"green"}
{"do":"reading","id":"`+strings.Repeat("x", 101)+`","by":"DO","vessel":"S1","temp":"8.8 °C"}
{"do":"reading","id":" P-6","by":"DO","vessel":"S1","temp":"8.8 °C"}
{"do":"reading","id":7,"by":"DO","vessel":"S1","temp":"8.8 °C"}
`).run("enter", "-", "-v"))
	assert.Contains(t, b.out.String(), "line 1 (P-1) saved, seq 27\n")
	for _, want := range []string{"line 2 (P-2): vessel: there is no vessel",
		"line 3 (B-1, P-4): lines[1].vessel: there is no vessel", "line 4 (P-5): hue: ",
		"): id: an id has up to 100 characters, this one has 101", "line 6 ( P-6): id: leave out the blanks",
		"line 7: id: id cannot be a number"} {
		assert.Contains(t, b.err.String(), want)
	}
	assert.Equal(t, "P-1", slices.MaxFunc(b.events("S1"),
		func(x, y cellar.Event) int { return int(x.Seq) - int(y.Seq) }).Entry, "what was saved keeps it")
}

// What the refusal says to add is what the line takes.
func TestTheAnswerThatIsAskedForIsTaken(t *testing.T) {
	b := newBench(t).house()
	line := `{"do":"stage","by":"DO","vessel":"S2","stage":"flotation"%s}`
	for _, c := range []struct {
		name, add string
		end       int
	}{
		{"as it is asked, empty", `,"answers":[{"rule":"H09","by":"","reason":""}]`, endRefused},
		{"left", `,"not_done":true`, endDone},
		{"answered", `,"answers":[{"rule":"H09","by":"WM","reason":"tasted, clear"}]`, endDone},
	} {
		t.Run(c.name, func(t *testing.T) {
			assert.Equal(t, c.end, b.pipe(strings.Replace(line, "%s", c.add, 1)).run("enter", "-"), b.err.String())
		})
	}
}

// Two findings of one rule are two answers, and the refusal says which is whose.
func TestTwoAnswersAreAskedForWhereTwoThingsStandInTheWay(t *testing.T) {
	b := newBench(t).house()
	line := `{"do":"move","by":"DO","from":"S1","to":[{"vessel":"S3","volume":"10 hL"},{"vessel":"S4",` +
		`"volume":"10 hL"}],"part":true%s}`
	b.pipe(`{"do":"stage","by":"DO","vessel":"S3","stage":"empty dirty","happened":true}
{"do":"stage","by":"DO","vessel":"S4","stage":"empty dirty","happened":true}
`+strings.Replace(line, "%s", "", 1)).run("enter", "-")
	assert.Contains(t, b.err.String(), `{"rule":"H11","of":"vessel S3","by":"","reason":""}`)
	assert.Contains(t, b.err.String(), "H11 on vessel S4 can be overridden by the lead")
	b.pipe(strings.Replace(line, "%s", `,"answers":[{"rule":"H11","of":"vessel S3","by":"WM","reason":"rinsed"}]`, 1))
	assert.Equal(t, endRefused, b.run("enter", "-"))
	assert.Contains(t, b.err.String(), "S4 is empty dirty")
	assert.NotContains(t, b.err.String(), "S3 is empty dirty")
}

func TestEnterStops(t *testing.T) {
	b := newBench(t).house()
	b.pipe("x\n" + `{"do":"reading","by":"DO","vessel":"S1","temp":"9 °C"}`)
	assert.Equal(t, endRefused, b.run("enter", "-", "--stop"))
	assert.Equal(t, "0 saved, 1 refused, stopped at line 1\n", b.out.String())
}

// TestEnterSaysUnderWhichNumber: item 8 of the nights. Of few lines each is named with its
// number without -v, of many the first and the last are told.
func TestEnterSaysUnderWhichNumber(t *testing.T) {
	b := newBench(t).house()
	note := `{"do":"note","by":"DO","subject":"S1","text":"now"}` + "\n"
	require.Equal(t, endDone, b.pipe(note+note).run("enter", "-"))
	assert.Equal(t, "line 1 saved, seq 27\nline 2 saved, seq 28\n2 saved, 0 refused\n", b.out.String())
	b.out.Reset()
	require.Equal(t, endDone, b.pipe(strings.Repeat(note, 40)).run("enter", "-"))
	assert.Equal(t, "40 saved, 0 refused, seq 29 to 68\n", b.out.String())
}

func TestEnterNotesTrueTimeAndPaper(t *testing.T) {
	b := newBench(t).house()
	b.clock = evening.Add(48 * time.Hour)
	end := b.pipe(`{"do":"note","by":"DO","subject":"S1","text":"now"}
{"do":"note","by":"DO","subject":"S1","text":"before","at":"2026-11-22T18:00:00Z"}
{"do":"note","by":"DO","subject":"S1","text":"paper","at":"2026-11-21T18:00:00Z"}
{"do":"note","by":"DO","subject":"S1","text":"ahead","at":"2026-11-23T18:00:00Z"}
{"do":"note","by":"DO","subject":"S1","text":"script","at":"2026-11-22T18:00:00Z","saved":"2026-11-22T18:00:00Z"}
`).run("enter", "-")
	assert.Equal(t, endRefused, end)
	assert.Equal(t, "line 1 saved, seq 27\nline 2 saved, seq 28\nline 3 saved, seq 29\n3 saved, 2 refused, "+
		"1 from paper (more than 24 h ago)\n", b.out.String())
	assert.Contains(t, b.err.String(), "line 4: at: ")
	assert.Contains(t, b.err.String(), "line 5: saved: only a rehearsal takes this")
	for _, e := range b.events("S1") {
		if strings.HasPrefix(e.Text, "info: paper") {
			assert.Equal(t, b.clock, e.Written)
			assert.Equal(t, b.clock.Add(-25*time.Hour), e.At)
			return
		}
	}
	t.Fatal("the line from paper is not there")
}

// A rehearsal goes by the times of its lines, and never back.
func TestEnterInARehearsal(t *testing.T) {
	b := newBench(t)
	b.journal = b.file("night.db")
	require.Equal(t, endDone, b.run("demo", "--journal", b.file("night.db"), "--at", "22:00", "--print", "sheet"),
		b.err.String())
	b.env["MUSTWATCH_JOURNAL"] = b.file("night.db")
	b.pipe(`{"do":"note","by":"AL","subject":"S1","text":"late","at":"2026-10-02T21:00:00+02:00"}
{"do":"note","by":"AL","subject":"S1","text":"next","at":"2026-10-02T22:30:00+02:00"}
{"do":"note","by":"AL","subject":"S1","text":"learnt","at":"2026-10-02T22:31:00+02:00","saved":"2026-10-02T22:50:00+02:00"}
{"do":"note","by":"AL","subject":"S1","text":"no time"}
`)
	require.Equal(t, endDone, b.run("enter", "-"), b.err.String())
	var got []string
	for _, e := range b.events("S1") {
		if strings.HasPrefix(e.Text, "info: ") {
			got = append(got, e.Text[6:]+e.At.Format(" 15:04")+e.Written.Format(" 15:04"))
		}
	}
	assert.Equal(t, []string{"late 19:00 19:30", "next 20:30 20:30", "learnt 20:31 20:50", "no time 20:50 20:50"}, got)
}

func TestEnterRefusesWhatIsNoFileOfEntries(t *testing.T) {
	b := newBench(t).house()
	assert.Equal(t, endRefused, b.run("enter", b.file("none")))
	assert.Contains(t, b.err.String(), "The entries cannot be read")
	assert.Equal(t, endRefused, b.run("enter", b.save("x.bin", "\x7fELF\x00")))
	assert.Contains(t, b.err.String(), "x.bin is no text file")
	assert.Equal(t, endRefused, b.run("enter", b.dir))
}

// An interrupt ends the work even while nothing comes in.
func TestEnterEndsOnAnInterrupt(t *testing.T) {
	b := newBench(t).house()
	ctx, cancel := context.WithCancel(context.Background())
	b.stdin = waiting{cancel}
	p := *b.program
	assert.Equal(t, endRefused, p.run(ctx, []string{"enter", "-"}))
	assert.Contains(t, b.err.String(), "interrupted")
}

// waiting is a pipe in which nothing comes; it calls once that somebody reads.
type waiting struct{ asked func() }

func (w waiting) Read([]byte) (int, error) {
	w.asked()
	select {}
}
