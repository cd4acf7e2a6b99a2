package main

import (
	"encoding/json"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/store/journal"
	"cellar.example/mustwatch/testdata"
)

// TestNextOfTheDemoNight: one line at ten past two of the demo night, and the
// number that says that something is overdue.
func TestNextOfTheDemoNight(t *testing.T) {
	b := newBench(t)
	b.night = testdata.Night
	night := b.file("night.db")
	require.Equal(t, endDone, b.run("demo", "--journal", night, "--at", "02:10", "--print", "board"), b.err.String())
	require.Equal(t, endOverdue, b.run("next", "--journal", night, "--count", "3"), b.err.String())
	assert.Equal(t, 1, strings.Count(b.out.String(), "\n"))
	assert.True(t, strings.HasPrefix(b.out.String(), "▲ 102 test 10 min late NS · "), b.out.String())
	assert.Contains(t, b.out.String(), "in 5 min 108 check haze")
	assert.Empty(t, b.err.String())

	require.Equal(t, endOverdue, b.run("next", "--journal", night, "--json", "--count", "1"))
	var got []dueOut
	require.NoError(t, json.Unmarshal(b.out.Bytes(), &got), b.out.String())
	require.Len(t, got, 1)
	assert.Equal(t, "102 test", got[0].Subject.Name+" "+got[0].Verb)
	assert.Equal(t, 10, got[0].Late)
	assert.True(t, got[0].Overdue)
}

// TestNextSaysWhoIsInPeril: somebody in a vessel with nobody outside comes before what
// is due, for the prompt, the lamp and the machine.
func TestNextSaysWhoIsInPeril(t *testing.T) {
	b := newBench(t)
	b.clock = time.Date(2026, 11, 21, 2, 10, 0, 0, time.UTC)
	b.house()
	b.pipe(`{"do":"permit","by":"DO","number":"17","place":"yard pit","given_by":"site safety","holder":"JS","attendant":"DO","until":"2026-11-21T03:00:00Z","co2":400,"o2":20.9,"meter":"G2"}
{"do":"enter-vessel","by":"JS","place":"yard pit","permit":"17"}
`)
	require.Equal(t, endDone, b.run("enter", "-"), b.err.String())
	require.Equal(t, endDone, b.run("next"))
	b.pipe(`{"do":"out","by":"JS","who":"DO"}` + "\n")
	require.Equal(t, endRefused, b.run("enter", "-"))
	assert.Contains(t, b.err.String(), "JS IN yard pit since 18:10, not logged out. DO is the attendant and must "+
		"not leave.")
	b.pipe(`{"do":"out","by":"JS","who":"DO","happened":true,"answers":[{"rule":"H17"}]}` + "\n")
	require.Equal(t, endDone, b.run("enter", "-"), b.err.String())
	require.Equal(t, endOverdue, b.run("next", "--count", "1"))
	assert.Equal(t, "▲ JS IS IN yard pit WITHOUT AN ATTENDANT SINCE 18:10. GET HELP, STAY OUT.\n", b.out.String())
	require.Equal(t, endOverdue, b.run("next", "--count", "1", "--json"))
	assert.Contains(t, b.out.String(), "WITHOUT AN ATTENDANT")
}

// TestNextSaysTheEmergency: air beyond the limits, and who is missing, come before
// what is due, whatever the count; they are overdue, and gone once they are ended.
func TestNextSaysTheEmergency(t *testing.T) {
	b := newBench(t)
	b.clock = time.Date(2026, 11, 21, 2, 10, 0, 0, time.UTC)
	b.house()
	b.pipe(`{"do":"in","by":"DO","who":"JS"}
{"do":"gas","by":"DO","co2":25000}
{"do":"head-count","by":"DO","counted":["DO"]}
`)
	require.Equal(t, endDone, b.run("enter", "-"), b.err.String())
	require.Equal(t, endOverdue, b.run("next", "--count", "2"))
	assert.Equal(t, "▲ MISSING: JS. 0 of 1 counted at 18:10 by DO, just now. JS has saved nothing yet. Shout their "+
		"name. Meter before any pit. Nobody goes down alone."+
		" · ▲ PLACE NOT SAID: STAY OUT. CO2 25000 ppm, meter not said, read 18:10 by DO, just now. GET OUT. "+
		"VENTILATE. CALL. Never go in after anyone.\n", b.out.String())
	require.Equal(t, endOverdue, b.run("next", "--count", "1", "--json"))
	assert.Contains(t, b.out.String(), `"kind": "emergency"`)
	require.Equal(t, endDone, b.run("sheet"), b.err.String())
	assert.Contains(t, b.out.String(), "EMERGENCY")
	b.pipe(`{"do":"end-emergency","by":"DO","of":"JS","who":"RV","how":"on the phone"}
{"do":"gas-details","by":"DO","place":"S1","meter":"G2"}
{"do":"gas","by":"DO","place":"S1","co2":900,"meter":"G2"}
{"do":"end-emergency","by":"DO","of":"S1","who":"RV","how":"aired"}
`)
	require.Equal(t, endDone, b.run("enter", "-"), b.err.String())
	require.Equal(t, endDone, b.run("next"), b.out.String())
}

// TestNextOfARealJournal: nothing overdue ends with 0, later with 10; while a
// board holds the journal it ends with 3 and prints nothing.
func TestNextOfARealJournal(t *testing.T) {
	b := newBench(t)
	b.clock = time.Date(2026, 11, 21, 2, 10, 0, 0, time.UTC) // ten minutes after the example house was set up, there
	b.house()
	require.Equal(t, endDone, b.run("next"), b.err.String())
	assert.NotContains(t, b.out.String(), "▲")
	require.Equal(t, endUsage, b.run("next", "--count", "0"))
	require.Equal(t, endUsage, b.run("next", "now"))
	b.clock = b.clock.Add(2 * time.Hour)
	require.Equal(t, endOverdue, b.run("next"))
	assert.Contains(t, b.out.String(), "▲ S2 test")

	j, err := journal.Open(b.env["MUSTWATCH_JOURNAL"], journal.Options{})
	require.NoError(t, err)
	defer func() { _ = j.Close() }()
	require.Equal(t, endLocked, b.run("next"))
	assert.Empty(t, b.out.String())
	assert.Contains(t, b.err.String(), "Another program has the journal")
}
