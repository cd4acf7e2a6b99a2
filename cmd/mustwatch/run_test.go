package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/clocks"
	"cellar.example/mustwatch/store/journal"
	"cellar.example/mustwatch/testdata"
)

// How each way of calling it ends, and what is said.
func TestHowItEnds(t *testing.T) {
	b := newBench(t).house()
	house, real := b.file("house.toml"), b.env["MUSTWATCH_JOURNAL"]
	faulty := b.save("faulty.toml", "by = \"AL\"\n")
	entries := b.save("round.jsonl", `{"do":"reading","by":"DO","vessel":"S1","temp":"9 °C"}`+"\n")
	torn := b.save("torn.db", strings.Repeat("x", 9000))
	empty := b.save("empty.db", "")
	for _, c := range []struct {
		args string
		end  int
		says string // on either stream
	}{
		{"--help", endDone, "The board of a cellar at night"},
		{"help enter", endDone, `"do":"dose"`},
		{"enter --help", endDone, `"do":"press-start"`},
		{"version", endDone, "mustwatch "},
		{"verify", endDone, "is intact."},
		{"sheet", endDone, "QUILLMARSH CELLAR"},
		{"sheet --back", endDone, "page 2/"},
		{"--print sheet", endDone, "QUILLMARSH CELLAR"},
		{"wall", endDone, "NO TANK ENTRY"},
		{"init --example", endDone, "[[opening.vessels]]"},
		{"enter " + entries, endDone, "1 saved, 0 refused"},
		{"demo --print sheet --at 20:00", endDone, "EXAMPLE CELLAR"},
		{"sheet --out " + b.file("sheet.txt"), endDone, "The sheet is in "},

		{"init --from " + house, endRefused, "There is a journal at"},
		{"init --from " + b.file("none.toml") + " --journal " + b.file("n.db"), endRefused, "The house cannot be read"},
		{"init --from " + faulty + " --journal " + b.file("n.db"), endRefused, "Nothing was created."},
		{"--journal " + b.file("n.db"), endRefused, "There is no journal at"},
		{"sheet --journal " + b.file("n.db"), endRefused, "There is no journal at"},
		{"verify --journal " + b.file("n.db"), endRefused, "There is no journal at"},
		{"enter - --journal " + b.file("n.db"), endRefused, "There is no journal at"},
		{"demo --journal " + real, endRefused, "journal of a real cellar"},
		{"sheet --out " + b.file("none/sheet.txt"), endRefused, "could not be saved"},

		{"nonsense", endUsage, `does not take "nonsense"`},
		{"--nonsense", endUsage, "unknown flag"},
		{"--print hall", endUsage, "board, wall or sheet"},
		{"--cols -1", endUsage, "columns"},
		{"--rows 9999", endUsage, "rows"},
		{"--rows x", endUsage, "command line cannot be read"},
		{"init", endUsage, "--from FILE or --example"},
		{"init --example --from x", endUsage, "--from FILE or --example"},
		{"enter", endUsage, "one file"},
		{"enter a b", endUsage, "one file"},
		{"sheet x", endUsage, `does not take "x"`},
		{"sheet --out " + real, endUsage, "is the journal"},
		{"demo --at noon", endUsage, "--at takes"},
		{"demo --at 12:00", endUsage, "lies outside it"},
		{"demo --speed 0", endUsage, "--speed takes"},
		{"demo --speed NaN", endUsage, "--speed takes"},
		{"demo --speed 1e9", endUsage, "--speed takes"},

		{"--journal " + torn, endDamaged, "is damaged"},
		{"verify --journal " + torn, endDamaged, "is damaged"},
		{"enter - --journal " + empty, endDamaged, "the file is empty"},
		{"init --from " + house + " --journal " + torn, endDamaged, "is damaged"},
		{"demo --journal " + torn, endDamaged, "is damaged"},
	} {
		t.Run(c.args, func(t *testing.T) {
			b.pipe("")
			assert.Equal(t, c.end, b.run(strings.Fields(c.args)...), "%s%s", b.out.String(), b.err.String())
			assert.Contains(t, b.out.String()+b.err.String(), c.says)
			if c.end == endDone {
				assert.Empty(t, b.err.String())
			} else {
				assert.Empty(t, b.out.String())
				assert.NotContains(t, b.err.String(), "Usage:")
			}
		})
	}
	_, err := os.Stat(b.file("n.db"))
	assert.ErrorIs(t, err, os.ErrNotExist, "nothing that failed made a journal")
}

// An init that was cut off between making the journal and writing it is taken up.
func TestInitTakesUpAnEmptyJournal(t *testing.T) {
	b := newBench(t)
	require.NoError(t, journal.Create(b.env["MUSTWATCH_JOURNAL"], journal.Info{Kind: journal.Real, Created: evening}))
	b.house()
	assert.Equal(t, endRefused, b.run("init", "--from", b.file("house.toml")))
}

// Where a person sits at a terminal, a missing journal is a screen of its own.
func TestAMissingJournalIsShown(t *testing.T) {
	b := newBench(t)
	got := shown(t, b)
	require.Equal(t, endDone, b.run(), b.err.String())
	assert.Equal(t, b.env["MUSTWATCH_JOURNAL"], got.Missing)
	assert.Nil(t, got.Journal)
}

func TestTheBoardOnARealJournal(t *testing.T) {
	b := newBench(t).house()
	got := shown(t, b)
	require.Equal(t, endDone, b.run("--station", "press floor", "--ascii", "--by", "DO"), b.err.String())
	assert.False(t, got.Demo)
	assert.True(t, got.Ascii)
	assert.Equal(t, "press floor", got.Station)
	assert.Equal(t, evening, got.Now())
	assert.NotNil(t, got.Guard)
	assert.NotNil(t, got.Pulse)
	assert.Nil(t, got.Script)
	b.env["MUSTWATCH_STATION"] = "desk 2"
	require.Equal(t, endDone, b.run(), b.err.String())
	assert.Equal(t, "desk 2", got.Station)
	assert.Equal(t, endUsage, b.run("--by", "ZZ"))
}

// A clock that stands a little behind the last entry waits for it; one that is
// far behind is told.
func TestAClockBehindTheLastEntry(t *testing.T) {
	b := newBench(t).house()
	got := shown(t, b)
	b.clock = evening.Add(-90 * time.Second)
	require.Equal(t, endDone, b.run(), b.err.String())
	assert.Equal(t, evening, got.Now())
	assert.Empty(t, b.err.String())
	b.clock = evening.Add(-900 * time.Second)
	require.Equal(t, endDone, b.run(), b.err.String())
	assert.Equal(t, evening, got.Now(), "it cannot be earlier than that")
	assert.Contains(t, b.err.String(), "stands before the last entry")
}

// TestTrustRow05LinesWait: with a dead clock lines from a pipe are refused with
// what to do, until one of them says what time it is; then they go on from there,
// also for the next run on the same machine.
func TestTrustRow05LinesWait(t *testing.T) {
	b := newBench(t).house()
	boot := time.Hour
	b.program.clocks = func() clocks.Sample {
		return clocks.Sample{Wall: time.Unix(int64(boot/time.Second), 0), Boot: boot, Mono: boot, BootID: "one"}
	}
	reading := `{"do":"reading","by":"DO","vessel":"S1","temp":"9 °C"}`
	require.Equal(t, endRefused, b.pipe(reading).run("enter", "-"))
	assert.Contains(t, b.err.String(), `nobody knows the time: the machine's clock says Wed 31 Dec 1969 17:00 and `+
		`the last entry was at Fri 20 Nov 2026 11:00; say what time it is first`)
	require.Equal(t, endDone, b.run("--print", "board"), "it opens anyway")
	assert.Contains(t, b.out.String(), "Quillmarsh")
	require.Equal(t, endDone, b.pipe(`{"do":"time","by":"RV","now":"2026-11-20T23:10:00+01:00"}`+"\n"+
		reading).run("enter", "-"), b.err.String())
	assert.Contains(t, b.out.String(), "2 saved, 0 refused")
	boot += 40 * time.Minute
	require.Equal(t, endDone, b.pipe(reading).run("enter", "-"), b.err.String())
	assert.NotContains(t, b.err.String(), "note:")
	require.Equal(t, endDone, b.run("sheet", "--back"))
	assert.Contains(t, b.out.String(), "it is Fri 14:10, says RV")
	assert.Contains(t, b.out.String(), "1 4 : 5 0", "elapsed time has gone on from what was said")
}

func TestALogIsKeptOnlyWhenItIsAskedFor(t *testing.T) {
	b := newBench(t).house()
	shown(t, b)
	require.Equal(t, endDone, b.run())
	assert.NoFileExists(t, b.env["MUSTWATCH_JOURNAL"]+".log")
	b.env["MUSTWATCH_LOG"] = "1"
	require.Equal(t, endDone, b.run())
	assert.FileExists(t, b.env["MUSTWATCH_JOURNAL"]+".log")
}

func TestTheExampleThatIsPrintedIsTheOneThatIsTested(t *testing.T) {
	b := newBench(t)
	require.Equal(t, endDone, b.run("init", "--example"))
	assert.Equal(t, string(testdata.HouseExample), b.out.String())
}

// A sheet appears whole, beside the journal, and replaces the one of that minute.
func TestSaveBeside(t *testing.T) {
	dir := t.TempDir()
	save := saveBeside(filepath.Join(dir, "cellar.db"), false)
	for _, text := range []string{"first", "second"} {
		where, err := save("handover.txt", text)
		require.NoError(t, err)
		got, err := os.ReadFile(where)
		require.NoError(t, err)
		require.Equal(t, text, string(got))
	}
	left, err := os.ReadDir(dir)
	require.NoError(t, err)
	require.Len(t, left, 1, "nothing half-written stays")
	_, err = saveBeside(filepath.Join(dir, "gone", "cellar.db"), false)("x.txt", "x")
	require.Error(t, err)
}

// TestAMistypedCommandGetsAGuess: by edit distance, also below another command; what
// is like nothing gets none.
func TestAMistypedCommandGetsAGuess(t *testing.T) {
	for call, guess := range map[string]string{
		"demmo": "Did you mean mustwatch demo?", "shet": "Did you mean mustwatch sheet",
		"clac":  "Did you mean mustwatch calc?",
		"SERVE": "Did you mean mustwatch serve?", "calc doze": "Did you mean mustwatch calc dose?",
		"entr": "Did you mean mustwatch enter?",
	} {
		b := newBench(t)
		assert.Equal(t, endUsage, b.run(strings.Fields(call)...), call)
		assert.Contains(t, b.err.String(), guess)
	}
	b := newBench(t)
	assert.Equal(t, endUsage, b.run("fermentation"))
	assert.NotContains(t, b.err.String(), "Did you mean")
}
