package cellar_test

import (
	"errors"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
)

var (
	pressFull = []string{`19:00 NS {"do":"load","load":"0501","gross":"30000 kg","tare":"12000 kg"}`,
		`19:05 NS {"do":"tip","load":"0501","to":"P1"}`}
	pressing = append(append([]string{}, pressFull...), `19:20 NS {"do":"press-start","press":"P1",`+
		`"programme":"W-120","free_run":"103","pressings":"401"}`)
)

// TestEveryClockIsBounded: whatever action makes a clock, it runs from one minute
// to thirty days; what cannot be is refused where it was typed, and nothing is
// written. What just can be is taken.
func TestEveryClockIsBounded(t *testing.T) {
	noCard := `18:30 MA {"do":"product","product":"E-NEW","name":"new enzyme","class":"enzyme-clarify",` +
		`"unit":"g/hL","open":"1 kg"}`
	read := []string{`20:00 NS {"do":"pectin-test","vessel":"101"}`}
	const past, far, year9999 = "2026-09-24T19:00:00+02:00", "2026-10-24T20:06:00+02:00", "9999-12-31T00:00:00Z"
	const soon = "2026-09-24T21:00:00+02:00"
	for _, c := range []struct {
		name   string
		given  []string
		line   string // with a mark where the value goes
		field  string
		good   string
		refuse []string
	}{
		{name: "a clock by hand", line: `20:00 NS {"do":"clock","subject":"101","verb":"look","due":"%s"}`,
			field: "due", good: soon, refuse: []string{past, far, year9999, "2026-09-24T20:00:30+02:00"}},
		{name: "settling until", line: `20:00 NS {"do":"stage","vessel":"101","stage":"settling","until":"%s"}`,
			field: "until", good: soon, refuse: []string{past, far, year9999}},
		{name: "settling for", line: `20:00 NS {"do":"stage","vessel":"101","stage":"settling","for":"%s"}`,
			field: "for", good: "720h", refuse: []string{"721h", "9600h", "30s", "-1h"}},
		{name: "settling at the longest", line: `20:00 NS {"do":"stage","vessel":"101","stage":"settling","max":"%s"}`,
			field: "max", good: "20h", refuse: []string{"9600h", "30s", "-1h"}},
		// only skins and hot must have a least time
		{name: "skins at the least", line: `20:00 NS {"do":"stage","vessel":"101","stage":"settling","min":"%s"}`,
			field: "min", good: "0s", refuse: []string{"9600h", "2h"}},
		{name: "cleaning for", line: `20:00 NS {"do":"stage","vessel":"103","stage":"cleaning","for":"%s"}`,
			field: "for", good: "40min", refuse: []string{"9600h", "10s"}},
		{name: "a test at, by the card", line: `20:00 NS {"do":"dose","vessel":"101","product":"E-1",` +
			`"rate":"2 g/hL","temp":"14 °C","test_at":"%s","answers":[{"rule":"W02","by":"OF","reason":"x"}]}`,
			field: "test_at", good: "2026-09-25T01:00:00+02:00", refuse: []string{far, "2028-01-01T00:00:00Z"}},
		{name: "a test at, without a card", given: []string{noCard},
			line:  `20:00 NS {"do":"dose","vessel":"101","product":"E-NEW","rate":"2 g/hL","test_at":"%s"}`,
			field: "test_at", good: soon, refuse: []string{past, far, "2028-01-01T00:00:00Z"}},
		{name: "the next look", given: read, line: `20:05 NS {"do":"pectin-test-read","vessel":"101",` +
			`"sample":"large flocs","control":"flocs","next":"%s"}`, field: "next", good: soon, refuse: []string{past,
			far}},
		{name: "a tip into a press", given: pressFull[:1],
			line: `20:00 NS {"do":"tip","load":"0501","to":"P1","until":"%s"}`, field: "until", good: soon,
			refuse: []string{past, far, year9999}},
		{name: "a press that goes on filling", given: append(append([]string{}, pressFull...),
			`19:10 NS {"do":"press-stop","press":"P1","reason":"hose"}`),
			line: `20:00 NS {"do":"press-resume","press":"P1","until":"%s"}`, field: "until", good: soon,
			refuse: []string{past, far}},
		{name: "a programme that goes on", given: append(append([]string{}, pressing...),
			`19:30 NS {"do":"press-stop","press":"P1","reason":"hose"}`),
			line: `20:00 NS {"do":"press-resume","press":"P1","until":"%s"}`, field: "until", good: soon,
			refuse: []string{past, far, year9999}},
		{name: "a programme", given: pressFull, line: `20:00 NS {"do":"press-start","press":"P1","programme":"X",` +
			`"minutes":"%s","free_run":"103","pressings":"401"}`, field: "minutes", good: "90min",
			refuse: []string{"900h", "1min"}},
		{name: "a programme of the house", line: `20:00 MA {"do":"press","press":"P9","rated":"22 t",` +
			`"programmes":[{"name":"W","minutes":"%s"}]}`, field: "programmes", good: "2h", refuse: []string{"900h",
			"-2h"}},
		{name: "a pump until", line: `20:00 NS {"do":"move-start","from":"101","to":[{"vessel":"103",` +
			`"volume":"100 hL"}],"until":"%s"}`, field: "until", good: soon, refuse: []string{past, far}},
		{name: "a pump by its rate", line: `20:00 NS {"do":"move-start","from":"101","to":[{"vessel":"103",` +
			`"volume":"100 hL"}],"rate":"%s"}`, field: "rate", good: "100 hL", refuse: []string{"1 mL", "-10 hL",
			"0.1 hL"}},
		{name: "a promise", line: `20:00 NS {"do":"note","text":"calls","what":"promise","for":"OF","until":"%s"}`,
			field: "until", good: soon, refuse: []string{past, far, year9999}},
		{name: "the end of a shift", line: `20:00 MA {"do":"shift-start","lead":"MA","ends":"%s"}`, field: "ends",
			good: "2026-09-25T06:00:00+02:00", refuse: []string{past, far}},
		{name: "another due", given: []string{clockAt("101", "22:00")},
			line: `20:05 NS {"do":"clock-move","subject":"101","due":"%s","reason":"x"}`, field: "due", good: soon,
			refuse: []string{past, far, year9999}},
		{name: "a length of the house", line: `20:00 MA {"do":"house","limits":{"settle_for":"%s"}}`, field: "limits",
			good: "20h", refuse: []string{"9600h", "-1h", "30s"}},
		{name: "a wait of the house", line: `20:00 MA {"do":"house","waits":{"large":"%s"}}`, field: "waits",
			good: "3h", refuse: []string{"9600h", "-1h"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			h := openHouse(t)
			h.say(t, c.given...)
			before := h.s.Seq
			for _, bad := range c.refuse {
				err := h.hear(fill(c.line, bad))
				var rej *cellar.Rejection
				require.Truef(t, errors.As(err, &rej), "%s: want a rejection, got %v", bad, err)
				require.Equal(t, c.field, rej.Field, "%s: %s", bad, rej.Message())
				require.Equal(t, before, h.s.Seq, "nothing is written")
			}
			require.NoError(t, h.hear(fill(c.line, c.good)), "%s is taken", c.good)
		})
	}
	require.EqualError(t, openHouse(t).hear(`20:00 NS {"do":"stage","vessel":"101","stage":"settling","for":"9600h"}`),
		"for: rack on 101 would be due at Fri 29 Oct 2027 20:00; a clock runs from 1 minute to 30 days, from 20:00")
}

// TestWhatWasWrittenLateHasItsClock: bounds count from when it was so; a due that
// has passed by then is an alarm and no reason to refuse what happened.
func TestWhatWasWrittenLateHasItsClock(t *testing.T) {
	h := openHouse(t)
	c, err := cellar.ParseLine([]byte(`{"do":"dose","by":"NS","at":"2026-09-24T19:00:00+02:00","vessel":"101",` +
		`"product":"E-1","rate":"2 g/hL","temp":"16 °C"}`))
	require.NoError(t, err)
	_, err = h.try(c, at("22:00"))
	require.NoError(t, err)
	require.Equal(t, "21:00", dueOf(t, h, "101"))
	require.Len(t, h.s.Alarms(at("22:00")), 1)
}
