package cellar_test

import (
	"errors"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
)

var (
	pressFull = []string{`19:00 NS {"do":"load","load":"0501","gross":"30000 kg","tare":"12000 kg"}`, `19:05 NS {"do":"tip","load":"0501","to":"P1"}`}
	pressing  = append(append([]string{}, pressFull...), `19:20 NS {"do":"press-start","press":"P1","programme":"W-120","main":"103","fraction":"401"}`)
)

// TestEveryClockIsBounded: whatever action makes a clock, it runs from one minute
// to thirty days; what cannot be is refused where it was typed, and nothing is
// written. What just can be is taken.
func TestEveryClockIsBounded(t *testing.T) {
	noCard := `18:30 MA {"do":"product","product":"E-NEW","name":"new enzyme","class":"enzyme-clarify","unit":"g/hL","open":"1 kg"}`
	read := []string{`20:00 NS {"do":"check","vessel":"101"}`}
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
		{"a clock by hand", nil, `20:00 NS {"do":"clock","subject":"101","verb":"look","due":"%s"}`, "due", soon, []string{past, far, year9999, "2026-09-24T20:00:30+02:00"}},
		{"settling until", nil, `20:00 NS {"do":"stage","vessel":"101","stage":"settling","until":"%s"}`, "until", soon, []string{past, far, year9999}},
		{"settling for", nil, `20:00 NS {"do":"stage","vessel":"101","stage":"settling","for":"%s"}`, "for", "720h", []string{"721h", "9600h", "30s", "-1h"}},
		{"settling at the longest", nil, `20:00 NS {"do":"stage","vessel":"101","stage":"settling","most":"%s"}`, "most", "20h", []string{"9600h", "30s", "-1h"}},
		{"skins at the least", nil, `20:00 NS {"do":"stage","vessel":"101","stage":"settling","least":"%s"}`, "least", "0s", []string{"9600h", "2h"}}, // only skins and hot must have a least time
		{"cleaning for", nil, `20:00 NS {"do":"stage","vessel":"103","stage":"cleaning","for":"%s"}`, "for", "40min", []string{"9600h", "10s"}},
		{"a test at, by the card", nil, `20:00 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL","temp":"14 °C","test_at":"%s","answers":[{"rule":"W02","by":"OF","reason":"x"}]}`, "test_at", "2026-09-25T01:00:00+02:00", []string{far, "2028-01-01T00:00:00Z"}},
		{"a test at, without a card", []string{noCard}, `20:00 NS {"do":"dose","vessel":"101","product":"E-NEW","rate":"2 g/hL","test_at":"%s"}`, "test_at", soon, []string{past, far, "2028-01-01T00:00:00Z"}},
		{"the next look", read, `20:05 NS {"do":"check-read","vessel":"101","sample":"large flocs","control":"flocs","next":"%s"}`, "next", soon, []string{past, far}},
		{"a tip into a press", pressFull[:1], `20:00 NS {"do":"tip","load":"0501","to":"P1","until":"%s"}`, "until", soon, []string{past, far, year9999}},
		{"a press that goes on filling", append(append([]string{}, pressFull...), `19:10 NS {"do":"press-stop","press":"P1","reason":"hose"}`),
			`20:00 NS {"do":"press-go","press":"P1","until":"%s"}`, "until", soon, []string{past, far}},
		{"a programme that goes on", append(append([]string{}, pressing...), `19:30 NS {"do":"press-stop","press":"P1","reason":"hose"}`),
			`20:00 NS {"do":"press-go","press":"P1","until":"%s"}`, "until", soon, []string{past, far, year9999}},
		{"a programme", pressFull, `20:00 NS {"do":"press-start","press":"P1","programme":"X","minutes":"%s","main":"103","fraction":"401"}`, "minutes", "90min", []string{"900h", "1min"}},
		{"a programme of the house", nil, `20:00 MA {"do":"press","press":"P9","rated":"22 t","programmes":[{"name":"W","minutes":"%s"}]}`, "programmes", "2h", []string{"900h", "-2h"}},
		{"a pump until", nil, `20:00 NS {"do":"move-start","from":"101","to":[{"vessel":"103","volume":"100 hL"}],"until":"%s"}`, "until", soon, []string{past, far}},
		{"a pump by its rate", nil, `20:00 NS {"do":"move-start","from":"101","to":[{"vessel":"103","volume":"100 hL"}],"rate":"%s"}`, "rate", "100 hL", []string{"1 mL", "-10 hL", "0.1 hL"}},
		{"a promise", nil, `20:00 NS {"do":"note","text":"calls","what":"promise","for":"OF","until":"%s"}`, "until", soon, []string{past, far, year9999}},
		{"the end of a shift", nil, `20:00 MA {"do":"shift-start","lead":"MA","ends":"%s"}`, "ends", "2026-09-25T06:00:00+02:00", []string{past, far}},
		{"another due", []string{clockAt("101", "22:00")}, `20:05 NS {"do":"clock-move","subject":"101","due":"%s","reason":"x"}`, "due", soon, []string{past, far, year9999}},
		{"a length of the house", nil, `20:00 MA {"do":"house","limits":{"settle_for":"%s"}}`, "limits", "20h", []string{"9600h", "-1h", "30s"}},
		{"a wait of the house", nil, `20:00 MA {"do":"house","waits":{"large":"%s"}}`, "waits", "3h", []string{"9600h", "-1h"}},
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
		"for: rack on 101 would be due at Fri 29 Oct 2027 20:00; a clock runs from one minute to thirty days, counted from 20:00")
}

// TestWhatWasWrittenLateHasItsClock: bounds count from when it was so; a due that
// has passed by then is an alarm and no reason to refuse what happened.
func TestWhatWasWrittenLateHasItsClock(t *testing.T) {
	h := openHouse(t)
	c, err := cellar.ParseLine([]byte(`{"do":"dose","by":"NS","at":"2026-09-24T19:00:00+02:00","vessel":"101","product":"E-1","rate":"2 g/hL","temp":"16 °C"}`))
	require.NoError(t, err)
	_, err = h.try(c, at("22:00"))
	require.NoError(t, err)
	require.Equal(t, "21:00", dueOf(t, h, "101"))
	require.Len(t, h.s.Alarms(at("22:00")), 1)
}
