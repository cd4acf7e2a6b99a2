package clarity_test

import (
	"encoding/csv"
	"encoding/json"
	"os"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	. "cellar.example/mustwatch/domain/clarity"
	"cellar.example/mustwatch/domain/quantity"
)

var started = time.Date(2026, 9, 24, 20, 30, 0, 0, time.UTC)

func recipe(t testing.TB, id string) Recipe {
	t.Helper()
	for _, r := range Recipes() {
		if r.ID == id {
			return r
		}
	}
	t.Fatalf("no recipe %s", id)
	return Recipe{}
}

// read is a reading of the 1 : 2 recipe after so long.
func read(t testing.TB, after time.Duration, look Look, control ControlLook) Reading {
	return Reading{Recipe: recipe(t, "1:2"), Started: started, ReadAt: started.Add(after), Sample: look,
		Control: control}
}

var (
	looks    = []Look{LargeFlocs, SmallFlocs, FineFlocs, FaintHaze, Clear}
	controls = []ControlLook{ControlFlocs, ControlClear, ControlNone, ""}
)

// The whole table of the verdict, by sample and control, against early, in time,
// at the void time, and late.
func TestVerdictTable(t *testing.T) {
	table := map[Look]map[ControlLook]Verdict{
		LargeFlocs: {ControlFlocs: Positive, ControlClear: Positive, ControlNone: Positive, "": Positive},
		SmallFlocs: {ControlFlocs: Positive, ControlClear: Positive, ControlNone: Positive, "": Positive},
		FineFlocs:  {ControlFlocs: Positive, ControlClear: Positive, ControlNone: Positive, "": Positive},
		FaintHaze:  {ControlFlocs: Pending, ControlClear: Invalid, ControlNone: NoProof, "": NoProof},
		Clear:      {ControlFlocs: Negative, ControlClear: Invalid, ControlNone: NoProof, "": NoProof},
	}
	cells := 0
	for _, r := range Recipes() {
		readAt, void := r.ReadAt.Duration(), r.VoidAfter.Duration()
		for step, look := range looks {
			for _, control := range controls {
				want := table[look][control]
				for after, verdict := range map[time.Duration]Verdict{
					0: Early, readAt - time.Second: Early, readAt: want, (readAt + void) / 2: want, void: want,
					void + time.Second: Void, void + time.Hour: Void, -time.Minute: Early,
				} {
					reading := Reading{Recipe: r, Started: started, ReadAt: started.Add(after), Sample: look,
						Control: control}
					j := Judge(reading)
					assert.Equal(t, verdict, j.Verdict, "%s: %s beside %q after %s", r.ID, look, control, after)
					assert.Equal(t, verdict == Negative, j.Verdict.OpensGate())
					assert.Equal(t, step, j.Trend)
					assert.Equal(t, verdict == Positive && control == ControlClear, j.ControlOdd)
					assert.False(t, j.Protein)
					assert.True(t, strings.HasSuffix(j.Why, "."), j.Why)
					cells++
				}
			}
		}
	}
	assert.Equal(t, 3*5*4*8, cells)
}

func TestOnlyNegativeOpensTheGate(t *testing.T) {
	for _, v := range []Verdict{Pending, Positive, Invalid, NoProof, Early, Void, ""} {
		assert.False(t, v.OpensGate(), v)
	}
	assert.True(t, Negative.OpensGate())
}

func TestSecondLookAtAHaze(t *testing.T) {
	const first, void = 5 * time.Minute, 10 * time.Minute
	for _, c := range []struct {
		name    string
		control ControlLook
		second  SecondLook
		at      time.Duration
		want    Verdict
		protein bool
		odd     bool
	}{
		{name: "unchanged at the void time", control: ControlFlocs, second: SecondUnchanged, at: void, want: Negative,
			protein: true},
		{name: "unchanged before it", control: ControlFlocs, second: SecondUnchanged, at: 8 * time.Minute,
			want: Negative, protein: true},
		{name: "became flocs", control: ControlFlocs, second: SecondFlocs, at: void, want: Positive},
		{name: "a second too late", control: ControlFlocs, second: SecondUnchanged, at: void + time.Second, want: Void},
		{name: "flocs too late may be protein", control: ControlFlocs, second: SecondFlocs, at: void + time.Second,
			want: Void},
		{name: "not after the first look", control: ControlFlocs, second: SecondUnchanged, at: first, want: Pending},
		{name: "flocs not after the first look", control: ControlFlocs, second: SecondFlocs, at: first, want: Pending},
		{name: "none yet", control: ControlFlocs, want: Pending},
		{name: "a word that is none", control: ControlFlocs, second: "cloudy", at: void, want: Pending},
		{name: "unchanged, control clear", control: ControlClear, second: SecondUnchanged, at: void, want: Invalid},
		{name: "flocs, control clear", control: ControlClear, second: SecondFlocs, at: void, want: Positive, odd: true},
		{name: "unchanged, no control", control: ControlNone, second: SecondUnchanged, at: void, want: NoProof},
		{name: "flocs, no control", control: ControlNone, second: SecondFlocs, at: void, want: Positive},
	} {
		r := read(t, first, FaintHaze, c.control)
		r.Second, r.SecondAt = c.second, started.Add(c.at)
		j := Judge(r)
		assert.Equal(t, c.want, j.Verdict, c.name)
		assert.Equal(t, c.protein, j.Protein, c.name)
		assert.Equal(t, c.odd, j.ControlOdd, c.name)
		assert.True(t, strings.HasSuffix(j.Why, "."), j.Why)
	}
	undated := read(t, first, FaintHaze, ControlFlocs)
	undated.Second = SecondUnchanged
	assert.Equal(t, Pending, Judge(undated).Verdict, "a second look without its instant decides nothing")
	clear := read(t, first, Clear, ControlFlocs)
	clear.Second, clear.SecondAt = SecondFlocs, started.Add(void)
	assert.Equal(t, Negative, Judge(clear).Verdict, "only a haze is looked at twice")
}

func TestWhatCannotBeJudgedIsInvalid(t *testing.T) {
	good := read(t, 5*time.Minute, Clear, ControlFlocs)
	for name, spoil := range map[string]func(*Reading){
		"no look":       func(r *Reading) { r.Sample = "" },
		"unknown look":  func(r *Reading) { r.Sample = "murky" },
		"no recipe":     func(r *Reading) { r.Recipe = Recipe{} },
		"void too soon": func(r *Reading) { r.Recipe.VoidAfter = r.Recipe.ReadAt - 1 },
		"not started":   func(r *Reading) { r.Started = time.Time{} },
	} {
		r := good
		spoil(&r)
		assert.Equal(t, Invalid, Judge(r).Verdict, name)
	}
	unread := good
	unread.ReadAt = time.Time{}
	assert.Equal(t, Early, Judge(unread).Verdict)
	odd := good
	odd.Control = "thick"
	assert.Equal(t, NoProof, Judge(odd).Verdict, "a control counts only when it flocs")
}

// Whatever is typed, a gate opens only on a clear or stable tube, in time, beside
// a control that flocs.
func TestEveryDoubtMeansNotYet(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		instant := func(name string) time.Time {
			return started.Add(time.Duration(rapid.IntRange(-60, 1800).Draw(t, name)) * time.Second)
		}
		r := Reading{
			Recipe: rapid.SampledFrom(Recipes()).Draw(t, "recipe"), Started: started, ReadAt: instant("read"),
			Sample:   rapid.SampledFrom(append([]Look{"", "x"}, looks...)).Draw(t, "look"),
			Control:  rapid.SampledFrom(append([]ControlLook{"x"}, controls...)).Draw(t, "control"),
			Second:   rapid.SampledFrom([]SecondLook{"", "x", SecondUnchanged, SecondFlocs}).Draw(t, "second"),
			SecondAt: instant("second at"),
		}
		j := Judge(r)
		assert.Equal(t, j, Judge(r))
		assert.NotEmpty(t, j.Why)
		if !j.Verdict.OpensGate() {
			return
		}
		void := started.Add(r.Recipe.VoidAfter.Duration())
		assert.Equal(t, ControlFlocs, r.Control)
		assert.False(t, r.ReadAt.After(void))
		assert.False(t, r.ReadAt.Before(started.Add(r.Recipe.ReadAt.Duration())))
		if r.Sample != Clear {
			assert.Equal(t, FaintHaze, r.Sample)
			assert.Equal(t, SecondUnchanged, r.Second)
			assert.False(t, r.SecondAt.After(void))
			assert.True(t, j.Protein)
		}
	})
}

func TestRecipes(t *testing.T) {
	want := map[string][2]string{"5+5": {"2 min", "5 min"}, "1:2": {"5 min", "10 min"}, "1:1.5": {"15 min", "20 min"}}
	require.Len(t, Recipes(), len(want))
	assert.Equal(t, "5+5", Recipes()[0].ID, "a new house starts with it")
	for _, r := range Recipes() {
		assert.Equal(t, want[r.ID][0], r.ReadAt.String())
		assert.Equal(t, want[r.ID][1], r.VoidAfter.String())
		for _, s := range []string{r.Name, r.Sample, r.Alcohol, r.Source} {
			assert.NotEmpty(t, s)
		}
		text, err := json.Marshal(r)
		require.NoError(t, err)
		var back Recipe
		require.NoError(t, json.Unmarshal(text, &back))
		assert.Equal(t, r, back)
	}
	Recipes()[0].ID = "changed"
	assert.Equal(t, "5+5", Recipes()[0].ID)
}

func TestWaits(t *testing.T) {
	w := DefaultWaits()
	for look, want := range map[Look][2]string{
		LargeFlocs: {"2 h 30", "55 min"}, SmallFlocs: {"1 h 30", "55 min"}, FineFlocs: {"1 h", "55 min"},
		FaintHaze: {"1 h", "55 min"},
	} {
		assert.Equal(t, want[0], w.Next(look, false).String())
		assert.Equal(t, want[1], w.Next(look, true).String())
	}
	for _, hot := range []bool{true, false} {
		assert.Zero(t, w.Next(Clear, hot))
		assert.Zero(t, w.Next("", hot))
	}
	assert.Equal(t, quantity.Span(0), Waits{}.Next(LargeFlocs, false))
}

func TestTrend(t *testing.T) {
	for want, looks := range map[string][]Look{
		"":                             nil,
		"large":                        {LargeFlocs},
		"no change":                    {SmallFlocs, SmallFlocs, SmallFlocs},
		"large → small → fine":         {LargeFlocs, SmallFlocs, FineFlocs},
		"large → small":                {LargeFlocs, LargeFlocs, SmallFlocs},
		"fine → haze → clear":          {FineFlocs, FaintHaze, "murky", Clear},
		"small → large → small":        {SmallFlocs, LargeFlocs, SmallFlocs},
		"large → small → fine → clear": {LargeFlocs, SmallFlocs, FineFlocs, Clear},
	} {
		assert.Equal(t, want, Trend(looks))
	}
}

// TestPublishedPectinTest checks the grades of the published protocol (T29, T30)
// with a control that flocs. Source: Institute for Grape and Wine Sciences
// (Stellenbosch), Pectin test protocol, 5 April 2016, read.
func TestPublishedPectinTest(t *testing.T) {
	text, err := os.ReadFile("../../testdata/published/pectin_test.csv")
	require.NoError(t, err)
	first, _, _ := strings.Cut(string(text), "\n")
	source, ok := strings.CutPrefix(first, "# source: ")
	require.True(t, ok)
	r := csv.NewReader(strings.NewReader(string(text)))
	r.Comment = '#'
	rows, err := r.ReadAll()
	require.NoError(t, err)
	wrong := 0
	for _, row := range rows[1:] {
		minute := func(s string) time.Time {
			if s == "" {
				return time.Time{}
			}
			n, err := strconv.Atoi(s)
			require.NoError(t, err)
			return started.Add(time.Duration(n) * time.Minute)
		}
		j := Judge(Reading{
			Recipe: recipe(t, "1:2"), Started: started, ReadAt: minute(row[1]), Sample: Look(row[2]),
			Control:  ControlFlocs,
			SecondAt: minute(row[3]), Second: SecondLook(row[4]),
		})
		if !assert.Equal(t, row[5], string(j.Verdict), row[0]) || !assert.Equal(t, row[6] == "open",
			j.Verdict.OpensGate(), row[0]) {
			wrong++
		}
	}
	t.Logf("source: %s; rows %d; wrong verdicts %d", source, len(rows)-1, wrong)
}
