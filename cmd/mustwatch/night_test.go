package main

import (
	"context"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/store/journal"
	"cellar.example/mustwatch/tui"
)

func theNight(t *testing.T) *night {
	t.Helper()
	n, err := readNight(exampleNight())
	require.NoError(t, err)
	return n
}

// TestMoment: --at is understood as a time is in the forms.
func TestMoment(t *testing.T) {
	n := theNight(t)
	for _, c := range []struct{ at, want string }{
		{"18:00", "2026-10-02T18:00:00+02:00"},
		{"22:20", "2026-10-02T22:20:00+02:00"},
		{"2220", "2026-10-02T22:20:00+02:00"}, {"22.20", "2026-10-02T22:20:00+02:00"},
		{"10:20 pm", "2026-10-02T22:20:00+02:00"},
		{"210", "2026-10-03T02:10:00+02:00"}, {"0210", "2026-10-03T02:10:00+02:00"}, {"1200", ""}, {"2460", ""},
		{"00:00", "2026-10-03T00:00:00+02:00"},
		{"02:10", "2026-10-03T02:10:00+02:00"},
		{"06:00", "2026-10-03T06:00:00+02:00"},
		{"2026-10-03T02:10:00+02:00", "2026-10-03T02:10:00+02:00"},
		{"2026-10-03T00:10:00Z", "2026-10-03T00:10:00Z"},
		{"06:01", ""}, {"12:00", ""}, {"17:59", ""}, {"24:00", ""}, {"2", ""}, {"", ""}, {"now", ""},
	} {
		got, err := n.moment(c.at)
		if c.want == "" {
			assert.Error(t, err, c.at)
			continue
		}
		require.NoError(t, err, c.at)
		assert.Equal(t, c.want, got.Format(time.RFC3339))
	}
}

func TestAScriptThatCannotBePlayed(t *testing.T) {
	for name, text := range map[string]string{
		"it has no lines": "# only a remark\n",
		"line 1":          `{"do":"note","text":"x"}`,
		"became known before the line": `{"do":"note","at":"2026-10-02T19:00:00Z","text":"x"}` + "\n" +
			`{"do":"note","at":"2026-10-02T18:00:00Z","text":"x"}`,
		"line 2: this is not a JSON object": `{"do":"note","at":"2026-10-02T19:00:00Z","text":"x"}` + "\nx\n",
	} {
		_, err := readNight([]byte(text))
		assert.ErrorContains(t, err, name)
	}
}

// A script that does not begin as a rehearsal is made one.
func TestEveryScriptIsARehearsal(t *testing.T) {
	n, err := readNight([]byte(`{"do":"note","at":"2026-10-02T19:00:00Z","text":"x"}`))
	require.NoError(t, err)
	require.Len(t, n.lines, 2)
	assert.Equal(t, "rehearse", cellar.Do(n.lines[0].command))
	assert.NotEmpty(t, n.title)
}

func TestScriptHandsOutWhatIsDueOnce(t *testing.T) {
	n := theNight(t)
	next := script(n.lines)
	first := n.lines[0].known
	assert.Empty(t, next(first.Add(-time.Second)))
	all := len(next(first))
	assert.Positive(t, all)
	assert.Empty(t, next(first))
	for at := first; at.Before(first.Add(13 * time.Hour)); at = at.Add(7 * time.Minute) {
		all += len(next(at))
	}
	assert.Equal(t, len(n.lines), all)
}

// shown is what the board was given.
func shown(t *testing.T, b *bench) *tui.Options {
	t.Helper()
	got := &tui.Options{}
	was := runBoard
	runBoard = func(_ context.Context, o tui.Options) error { *got = o; return nil }
	t.Cleanup(func() { runBoard = was })
	b.tty = terminal{keys: true, screen: true}
	return got
}

func TestDemoHandsTheBoardOverAtItsMoment(t *testing.T) {
	b := newBench(t)
	got := shown(t, b)
	require.Equal(t, endDone, b.run("demo", "--at", "19:34", "--by", "BT", "--light"), b.err.String())
	assert.True(t, got.Demo)
	assert.True(t, got.Light)
	assert.Equal(t, cellar.Initials("BT"), got.Person)
	assert.Nil(t, got.Script, "without --speed no further lines")
	assert.Equal(t, "2026-10-02T17:34:00Z", got.Now().UTC().Format(time.RFC3339))
	p, _ := got.State.Press("PA")
	assert.Equal(t, cellar.PressFull, p.State)
	b.clock = b.clock.Add(10 * time.Minute)
	assert.Equal(t, "2026-10-02T17:44:00Z", got.Now().UTC().Format(time.RFC3339))
	assert.Empty(t, b.err.String(), "no line of the night is refused")
	assert.Empty(t, b.out.String())
}

func TestDemoGoesOnByItself(t *testing.T) {
	b := newBench(t)
	got := shown(t, b)
	require.Equal(t, endDone, b.run("demo", "--at", "19:34", "--speed", "60"), b.err.String())
	b.clock = b.clock.Add(3 * time.Second)
	require.NotNil(t, got.Script)
	lines := got.Script(got.Now())
	require.Len(t, lines, 1)
	assert.Equal(t, "press-start", cellar.Do(lines[0]))
}

func TestARehearsalIsTakenUpAgain(t *testing.T) {
	b := newBench(t)
	night := b.file("night.db")
	got := shown(t, b)
	demo := func(args ...string) int { return b.run(append([]string{"demo", "--journal", night}, args...)...) }
	require.Equal(t, endDone, demo("--at", "19:34"), b.err.String())
	require.Equal(t, endDone, demo(), b.err.String())
	assert.Equal(t, "2026-10-02T17:34:00Z", got.Now().UTC().Format(time.RFC3339),
		"without a moment it goes on from where it had come to")

	require.NoError(t, journal.NewPulse(night).Beat(time.Date(2026, 10, 2, 17, 50, 0, 0, time.UTC)))
	require.Equal(t, endDone, demo(), b.err.String())
	assert.Equal(t, "2026-10-02T17:50:00Z", got.Now().UTC().Format(time.RFC3339), "or from the last beat of a board")

	require.Equal(t, endDone, demo("--at", "22:56"), b.err.String())
	p, _ := got.State.Press("PA")
	assert.Equal(t, cellar.PressReady, p.State)
	full := got.State.Seq
	require.Equal(t, endDone, demo("--at", "22:56"), b.err.String())
	assert.Equal(t, full, got.State.Seq, "no line is written twice")

	assert.Equal(t, endRefused, demo("--at", "20:00"))
	assert.Contains(t, b.err.String(), "This rehearsal has come to 22:55 already; 20:00 lies before that.")
}

// After a person has taken a hand, lines of the night that no longer fit are
// left out, and a later run does not try them again.
func TestLinesThatNoLongerFitAreLeftOut(t *testing.T) {
	b := newBench(t)
	night := b.file("night.db")
	got := shown(t, b)
	demo := func(args ...string) int { return b.run(append([]string{"demo", "--journal", night}, args...)...) }
	require.Equal(t, endDone, demo("--at", "22:30"), b.err.String())
	b.pipe(`{"do":"press-free","by":"AL","press":"PA","at":"2026-10-02T22:40:00+02:00"}`)
	require.Equal(t, endDone, b.run("enter", "-", "--journal", night), b.err.String())
	require.Equal(t, endDone, demo("--at", "23:10"))
	assert.Contains(t, b.err.String(), "of the night no longer fits: press: PA has been ready since")
	v, _ := got.State.Vessel("S1")
	assert.Len(t, v.Now.Doses, 1, "the lines behind it are played")
	require.Equal(t, endDone, demo("--at", "23:20"))
	assert.Empty(t, b.err.String())
}

func TestDemoLeavesARealJournalAlone(t *testing.T) {
	b := newBench(t).house()
	real := b.env["MUSTWATCH_JOURNAL"]
	assert.Equal(t, endRefused, b.run("demo", "--journal", real))
	assert.Contains(t, b.err.String(), "is the journal of a real cellar")
	got := shown(t, b)
	require.Equal(t, endDone, b.run("demo"), b.err.String())
	assert.True(t, got.Demo, "what the environment names is not asked")
	assert.Equal(t, "Example Cellar", got.State.House.Name)
}

func TestDemoKnowsAnotherNight(t *testing.T) {
	b := newBench(t)
	night := b.file("night.db")
	require.Equal(t, endDone, b.run("demo", "--journal", night, "--at", "20:00", "--print", "sheet"), b.err.String())
	b.night = []byte(strings.Replace(string(b.night), "a night to practise", "another", 1))
	assert.Equal(t, endRefused, b.run("demo", "--journal", night))
	assert.Contains(t, b.err.String(), "a rehearsal of another night")
}

// A rehearsal opened without demo goes on by its own clock.
func TestTheBoardOnARehearsalHasItsClock(t *testing.T) {
	b := newBench(t)
	night := b.file("night.db")
	got := shown(t, b)
	require.Equal(t, endDone, b.run("demo", "--journal", night, "--at", "20:00"), b.err.String())
	require.Equal(t, endDone, b.run("--journal", night), b.err.String())
	assert.True(t, got.Demo)
	assert.Equal(t, "2026-10-02T18:00:00Z", got.Now().UTC().Format(time.RFC3339))
}
