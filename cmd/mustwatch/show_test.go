package main

import (
	"encoding/json"
	"os"
	"os/exec"
	"reflect"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/document"
	"cellar.example/mustwatch/testdata"
)

// theDemo is a rehearsal of the demo night that has come to a moment.
func theDemo(t *testing.T, at string) (b *bench, night string) {
	t.Helper()
	b = newBench(t)
	b.night = testdata.Night
	night = b.file("night.db")
	require.Equal(t, endDone, b.run("demo", "--journal", night, "--at", at, "--print", "sheet"), b.err.String())
	return b, night
}

// documentOf is the document that a run printed.
func documentOf(t *testing.T, text string) (d document.Document) {
	t.Helper()
	dec := json.NewDecoder(strings.NewReader(text))
	dec.DisallowUnknownFields()
	require.NoError(t, dec.Decode(&d), text)
	return d
}

// TestShowOfTheDemoAtSixAddsUp: the built program's document of the demo night at 06:00:
// the parts are the volumes, and in = held + out + loss + unexplained for every load and
// in all.
func TestShowOfTheDemoAtSixAddsUp(t *testing.T) {
	_, night := theDemo(t, "06:00")
	out, err := exec.Command(binary, "show", "--json", "--journal", night).Output()
	require.NoError(t, err)
	d := documentOf(t, string(out))
	assert.Equal(t, 1, d.Format)
	assert.Equal(t, "2026-09-25T04:00:00Z", d.At.Format(time.RFC3339))
	assert.Equal(t, 47, len(d.Vessels))
	held, total := map[string]int64{}, document.Sums{}
	all := int64(0)
	for _, v := range d.Vessels {
		sum := int64(0)
		for _, p := range v.Parts {
			sum, held[p.Load] = sum+p.ML, held[p.Load]+p.ML
		}
		assert.Equal(t, v.Volume, sum, v.Vessel)
		all += v.Volume
	}
	for _, x := range d.Balance {
		assert.Equal(t, x.In, x.Held+x.Out+x.Loss+x.Unexplained, "%+v", x)
		assert.Equal(t, held[x.Load], x.Held, x.Load)
		total.Add(x.Sums)
	}
	assert.Equal(t, total, d.Total)
	assert.Equal(t, total.In, total.Held+total.Out+total.Loss+total.Unexplained)
	assert.Equal(t, all, total.Held)
	assert.Equal(t, []int64{total.Loss, total.Unexplained}, []int64{d.Loss, d.Unexplained})
	assert.Positive(t, d.Loss)
}

// TestShowAt: the cellar as it was, by the forms in which a time is typed; what it says
// is what a rehearsal of that moment says.
func TestShowAt(t *testing.T) {
	b, night := theDemo(t, "06:00")
	texts := map[string]string{}
	for _, at := range []string{"2210", "22:10", "22.10", "10:10 pm", "Thu 22:10", "7h50 ago",
		"2026-09-24T22:10:00+02:00", "2026-09-24T20:10:00Z"} {
		require.Equal(t, endDone, b.run("show", "--json", "--journal", night, "--at", at), at+b.err.String())
		texts[b.out.String()] = at
	}
	require.Len(t, texts, 1, "all are one instant")
	for text := range texts {
		d := documentOf(t, text)
		assert.Equal(t, "2026-09-24T20:10:00Z", d.At.Format(time.RFC3339))
		early, then := theDemo(t, "22:10")
		require.Equal(t, endDone, early.run("show", "--json", "--journal", then))
		live := documentOf(t, early.out.String())
		for i, v := range live.Vessels {
			assert.Equal(t, v, d.Vessels[i])
		}
		assert.Equal(t, live.Presses, d.Presses)
		assert.Equal(t, live.Balance, d.Balance)
		assert.Equal(t, live.Clocks, d.Clocks)
	}
	for at, says := range map[string]string{
		"2026-09-25T06:01:00+02:00": "is still to come",
		"+45":                       "is in the future",
		"25:00":                     "there is no 25:00",
		"yesterday":                 "type a time such as",
		"":                          "--at takes a time",
	} {
		require.Equal(t, endUsage, b.run("show", "--json", "--journal", night, "--at", at), at)
		assert.Contains(t, b.err.String(), says)
		assert.Empty(t, b.out.String())
	}
	require.Equal(t, endRefused, b.run("show", "--journal", night, "--at", "2026-09-24T17:00:00+02:00"))
	assert.Contains(t, b.err.String(), "The journal begins after Thu 24 Sep 2026 17:00.")
}

// TestShowOfSomeNames: those that are named, and a name nobody knows with what looks
// like it.
func TestShowOfSomeNames(t *testing.T) {
	b, night := theDemo(t, "02:10")
	require.Equal(t, endDone, b.run("show", "P1", "504", "--json", "--journal", night), b.err.String())
	d := documentOf(t, b.out.String())
	require.Len(t, d.Vessels, 1)
	require.Len(t, d.Presses, 1)
	assert.Equal(t, "504", d.Vessels[0].Vessel)
	require.Len(t, d.Clocks, 2)
	assert.Greater(t, len(d.Balance), 20, "of the whole cellar")
	for name, like := range map[string]string{"p1": "Like it: P1.", "160": "Like it: 106", "1022": "Like it: 102.",
		"902": "206", "50": "Like it: 501 502 503 504."} {
		require.Equal(t, endUsage, b.run("show", "104", name, "--journal", night), name)
		assert.Contains(t, b.err.String(), `There is no tank or press "`+name+`".`)
		assert.Contains(t, b.err.String(), like)
		assert.Empty(t, b.out.String())
	}
	require.Equal(t, endUsage, b.run("show", "everything", "--journal", night))
	assert.Contains(t, b.err.String(), "There are 101 102 103")
}

// TestShowAsATable: the same for a person, in the units and by the clock of the house.
func TestShowAsATable(t *testing.T) {
	b, night := theDemo(t, "02:10")
	require.Equal(t, endDone, b.run("show", "--journal", night), b.err.String())
	out := b.out.String()
	assert.Contains(t, out, "Tolvenga Cellars at Fri 25 Sep 2026 02:10 CEST, record ")
	assert.Regexp(t, `(?m)^504 +contact +39\.4 hL +12\.3 °C +test 03:40 +at opening 501 Gewürztraminer +E-2240 `+
		`1\.599 g/hL$`, out)
	assert.Regexp(t, `(?m)^102 .* test 02:00, rings `, out)
	assert.Regexp(t, `(?m)^all .* 0\.0 hL$`, out)
	assert.NotContains(t, out, " \n")
}

// TestShowIsDocumented: every field of the document is named in the help and in the
// README, with its version.
func TestShowIsDocumented(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	b := newBench(t)
	require.Equal(t, endDone, b.run("show", "--help"))
	for _, text := range []string{string(readme), b.out.String()} {
		assert.Contains(t, text, "format 1")
		for _, name := range fieldNames(reflect.TypeFor[document.Document](), nil) {
			assert.Regexp(t, `\b`+name+`\b`, text)
		}
	}
}

func fieldNames(t reflect.Type, out []string) []string {
	switch t.Kind() {
	case reflect.Pointer, reflect.Slice:
		return fieldNames(t.Elem(), out)
	case reflect.Struct:
		for i := range t.NumField() {
			f := t.Field(i)
			if name, _, _ := strings.Cut(f.Tag.Get("json"), ","); name != "" {
				out = append(out, name)
			}
			if f.Type != reflect.TypeFor[time.Time]() {
				out = fieldNames(f.Type, out)
			}
		}
	}
	return out
}
