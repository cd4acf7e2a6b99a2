package main

import (
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/document"
	"cellar.example/mustwatch/testdata"
)

// smallNight is the house of a night: eighty hectolitres of load 74 in S1, and S3 empty.
const smallNight = `# a night of two tanks
{"do":"rehearse","at":"2026-10-02T19:00:00+02:00","title":"two tanks"}
{"do":"house","at":"2026-10-02T19:00:00+02:00","name":"Two tanks","zone":"Europe/Vienna","units":"metric","people":[{"initials":"AL","name":"A","roles":["lead"]},{"initials":"WM","name":"W","roles":["winemaker"]}]}
{"do":"vessel","at":"2026-10-02T19:00:00+02:00","by":"AL","vessel":"S1","brim":"100 hL","use":"settle"}
{"do":"vessel","at":"2026-10-02T19:00:00+02:00","by":"AL","vessel":"S3","brim":"100 hL","use":"settle"}
{"do":"product","at":"2026-10-02T19:00:00+02:00","by":"AL","product":"B-1","name":"bentonite","class":"bentonite","unit":"g/hL","open":"75 kg"}
{"do":"opening","at":"2026-10-02T19:00:00+02:00","by":"AL","vessels":[{"vessel":"S1","volume":"80 hL","variety":"Riesling","load":"74","kind":"juice","stage":"waiting"},{"vessel":"S3","stage":"empty clean"}]}
`

const (
	racks = `{"do":"move","at":"2026-10-02T20:00:00+02:00","by":"AL","from":"S1","to":[{"vessel":"S3",` +
		`"volume":"40 hL"}],"part":true,"happened":true,"answers":[{"rule":"H07","by":"AL","reason":"drawn"}]}` + "\n"
	doses = `{"do":"dose","at":"2026-10-02T19:30:00+02:00","by":"AL","vessel":"S1","product":"B-1",` +
		`"rate":"10 g/hL","happened":true}` + "\n"
	late = `{"do":"dose","at":"2026-10-02T19:30:00+02:00","saved":"2026-10-02T21:00:00+02:00","by":"AL",` +
		`"vessel":"S1","product":"B-1","rate":"10 g/hL","happened":true}` + "\n"
	morning = `{"do":"note","at":"2026-10-03T05:30:00+02:00","by":"AL","text":"quiet"}` + "\n"
)

// playNightFile plays a night from a file into a journal and returns the document of it.
func playNightFile(t *testing.T, b *bench, text string, more ...string) document.Document {
	t.Helper()
	to := b.file(t.Name() + ".db")
	_ = os.Remove(to)
	_ = os.Remove(to + ".head")
	require.Equal(t, endDone, b.run(append([]string{"demo", "--night", b.save("night.jsonl", text), "--journal", to,
		"--print", "sheet"}, more...)...), b.err.String())
	require.Equal(t, endDone, b.run("show", "--json", "--journal", to), b.err.String())
	return documentOf(t, b.out.String())
}

// TestANightFromAFile: the demo's own night, played from a file, is the demo; a late dose
// reaches the juice that has gone on, as if it had been saved in time.
func TestANightFromAFile(t *testing.T) {
	b, night := theDemo(t, "02:10")
	require.Equal(t, endDone, b.run("show", "--json", "--journal", night))
	want := documentOf(t, b.out.String())
	assert.Equal(t, want, playNightFile(t, newBench(t), string(testdata.Night), "--at", "0210"))

	b = newBench(t)
	d := playNightFile(t, b, smallNight+racks+late+morning)
	assert.Equal(t, "2026-10-03T03:30:00Z", d.At.Format(time.RFC3339), "without --at all of it is played")
	require.Len(t, d.Vessels, 2)
	for _, v := range d.Vessels {
		require.Len(t, v.Doses, 1, v.Vessel)
		assert.Equal(t, []float64{10, 400}, []float64{v.Doses[0].PerHL, v.Doses[0].Amount}, v.Vessel)
	}
	inTime := playNightFile(t, b, smallNight+doses+racks+morning)
	assert.Equal(t, inTime.Vessels, d.Vessels)
	assert.Equal(t, inTime.Balance, d.Balance)
	d = playNightFile(t, b, smallNight+racks+late+morning, "--at", "20:30")
	assert.Equal(t, int64(4000000), d.Vessels[1].Volume)
	assert.Empty(t, d.Vessels[1].Doses, "not known yet")
}

// TestANightThatCannotBePlayed: each line that is none or that a rule stops is named with
// its number, the end is 1, and no journal is made.
func TestANightThatCannotBePlayed(t *testing.T) {
	for name, c := range map[string]struct {
		night string
		says  []string
	}{
		"a bad line": {smallNight + "{\"do\":\n" + racks + "{\"do\":\"dose\",\"vessle\":\"S1\"}\n",
			[]string{"line 8: ", "line 10: ", "2 lines of "}},
		"no rehearse": {strings.Join(strings.Split(smallNight, "\n")[2:], "\n"),
			[]string{`line 1: a night begins with a line {"do":"rehearse"`, `not with "house"`}},
		"a stopped line": {smallNight + doses + strings.Replace(doses, `,"happened":true`, "", 1) + racks,
			[]string{"line 9: ", "(H07)", "To override, add \"answers\":", "A line of "}},
		"a refused line": {smallNight + strings.Replace(racks, "S3", "S4", 1),
			[]string{`line 8: to: there is no vessel "S4"`}},
		"out of its order": {smallNight + morning + racks,
			[]string{"line 9: it became known before the line above it"}},
		"no time": {smallNight + `{"do":"note","by":"AL","text":"x"}`,
			[]string{"line 8: give the time it happened (at)"}},
		"nothing": {"# only a remark\n", []string{"it has no lines"}},
		"no text": {"\x00\x01\x02", []string{"is no text file"}},
	} {
		t.Run(name, func(t *testing.T) {
			b := newBench(t)
			file, to := b.save("night.jsonl", c.night), b.file("to.db")
			require.Equal(t, endRefused, b.run("demo", "--night", file, "--journal", to, "--print", "sheet"),
				b.err.String())
			for _, s := range c.says {
				assert.Contains(t, b.err.String(), s)
			}
			assert.Empty(t, b.out.String())
			assert.NoFileExists(t, to)
		})
	}
	b := newBench(t)
	require.Equal(t, endRefused, b.run("demo", "--night", b.file("none.jsonl")))
	assert.Contains(t, b.err.String(), "The night cannot be read")
}

// TestAtOfANightFromAFile: a moment of the night, in the forms of the board.
func TestAtOfANightFromAFile(t *testing.T) {
	b := newBench(t)
	for _, at := range []string{"2010", "20:10", "8:10 pm", "2026-10-02T20:10:00+02:00", "2026-10-02T18:10:00Z"} {
		assert.Equal(t, "2026-10-02T18:10:00Z", playNightFile(t, b, smallNight+racks+morning, "--at",
			at).At.Format(time.RFC3339), at)
	}
	night, to := b.save("night.jsonl", smallNight+racks+morning), b.file("to.db")
	for at, says := range map[string]string{"12:00": "The night goes from 19:00 to 07:00; --at 12:00 lies outside it.",
		"20": "type 20:00", "noon": "--at takes",
		"2026-10-02T18:00:00+02:00": "The night begins at 19:00"} {
		require.Equal(t, endUsage, b.run("demo", "--night", night, "--journal", to, "--at", at, "--print", "sheet"), at)
		assert.Contains(t, b.err.String(), says)
	}
	b.house()
	require.Equal(t, endRefused, b.run("demo", "--night", night, "--journal", b.env["MUSTWATCH_JOURNAL"]))
	assert.Contains(t, b.err.String(), "is the journal of a real cellar")
}
