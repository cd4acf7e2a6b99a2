package cellar_test

import (
	"errors"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/subject"
)

// stopped are the findings that a line is stopped at.
func (h *house) stopped(t *testing.T, line string) map[string]string {
	t.Helper()
	err := h.hear(line)
	var needs *cellar.Needs
	require.True(t, errors.As(err, &needs), "%v", err)
	out := map[string]string{}
	for _, f := range needs.Findings {
		out[string(f.Rule)+" "+f.Of.Full()+" "+f.Field] = needs.Message(f)
	}
	return out
}

// TestTwoDestinationsUncleanWantTwoAnswers: an answer on one is none on the other.
func TestTwoDestinationsUncleanWantTwoAnswers(t *testing.T) {
	h := openHouse(t)
	h.say(t, `19:00 NS {"do":"stage","vessel":"103","stage":"empty dirty"}`,
		`19:00 NS {"do":"stage","vessel":"201","stage":"empty dirty"}`)
	move := func(answers string) string {
		return `20:00 NS {"do":"move","from":"101","to":[{"vessel":"103","volume":"50 hL"},{"vessel":"201",` +
			`"volume":"50 hL"}],"part":true,"answers":[` + answers + `]}`
	}
	require.Len(t, h.stopped(t, move("")), 2)
	one := h.stopped(t, move(`{"rule":"H11","of":"201","by":"MA","reason":"water only"}`))
	require.Len(t, one, 1)
	require.Contains(t, one["H11 vessel 103 to"], "103 is empty dirty")
	both := h.stopped(t, move(`{"rule":"H11","by":"MA","reason":"water only"}`))
	require.Len(t, both, 2)
	require.Contains(t, both["H11 vessel 103 to"], "say which one")
	require.NoError(t, h.hear(move(`{"rule":"H11","of":{"kind":"vessel","name":"201"},"by":"MA",`+
		`"reason":"water only"},{"rule":"H11","of":"103","by":"OF","reason":"rinsed"}`)))
	of := map[subject.Ref]cellar.Answered{}
	for _, a := range h.s.Answered {
		of[a.Of] = a
	}
	require.Equal(t, "water only", of[subject.Of(subject.Vessel, "201")].Reason)
	require.Equal(t, "rinsed", of[subject.Of(subject.Vessel, "103")].Reason)
	require.Equal(t, cellar.Initials("OF"), of[subject.Of(subject.Vessel, "103")].By)
}

// TestTheTanksOfAPressAreAnsweredEach: the juice tank and the one for the press fraction.
func TestTheTanksOfAPressAreAnsweredEach(t *testing.T) {
	h := openHouse(t)
	h.say(t, inP1[:len(inP1)-1]...)
	h.say(t, inP1[len(inP1)-1], `19:00 NS {"do":"stage","vessel":"103","stage":"empty dirty"}`)
	start := `21:00 NS {"do":"press-start","press":"P1","programme":"W-120","free_run":"103","pressings":"102",` +
		`"answers":[{"rule":"W06"},{"rule":"H02","of":"103","by":"MA","reason":"rinsed"}]}`
	left := h.stopped(t, start)
	require.Contains(t, left, "H02 vessel 102 pressings")
	require.NotContains(t, left, "H02 vessel 103 free_run")
}

// TestWhatWasAnsweredAtTheStartIsAskedOfTheOther: an earlier answer stands for its own
// finding, not for the rule.
func TestWhatWasAnsweredAtTheStartIsAskedOfTheOther(t *testing.T) {
	h := openHouse(t)
	h.say(t, `19:00 NS {"do":"stage","vessel":"103","stage":"empty dirty"}`,
		`20:00 NS {"do":"move-start","from":"101","to":[{"vessel":"103","volume":"50 hL"},{"vessel":"201",`+
			`"volume":"50 hL"}],`+
			`"answers":[{"rule":"H11","of":"103","by":"MA","reason":"rinsed"}]}`,
		`20:20 NS {"do":"stage","vessel":"201","stage":"empty dirty"}`)
	left := h.stopped(t, `20:40 NS {"do":"move","from":"101","to":[{"vessel":"103","volume":"50 hL"},`+
		`{"vessel":"201","volume":"50 hL"}],"part":true}`)
	require.Len(t, left, 1)
	require.Contains(t, left, "H11 vessel 201 to")
	h.say(t, `20:41 NS {"do":"stage","vessel":"201","stage":"empty clean","steps":["rinsed","drained","looked into"]}`,
		`20:42 NS {"do":"move","from":"101","to":[{"vessel":"103","volume":"50 hL"},{"vessel":"201",`+
			`"volume":"50 hL"}],"part":true}`)
}
