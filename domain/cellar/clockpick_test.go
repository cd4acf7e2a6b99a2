package cellar_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/subject"
)

// Two clocks of one name on one subject could not be told apart in a line: each was refused, and the refusal asked for
// the verb that both have.
func TestClocksOfOneNameAreToldApart(t *testing.T) {
	set := []string{
		`19:00 NS {"do":"clock","id":"chart-7","subject":"chiller","verb":"look","in":"10m"}`,
		`19:01 NS {"do":"clock","id":"chart-8","subject":"chiller","verb":"look","due":"2026-09-26T07:00:00+02:00"}`}
	h := openHouse(t)
	h.say(t, set...)
	of := h.s.ClocksOf(subject.Of(subject.Words, "chiller"))
	require.Len(t, of, 2)
	for _, do := range []string{`"do":"clock-move","off":true,"reason":"done with"`, `"do":"acknowledge"`,
		`"do":"snooze","in":"5m","reason":"later"`} {
		h := openHouse(t)
		h.say(t, set...)
		line := `19:20 NS {` + do + `,"subject":"chiller","verb":"look"%s}`
		h.refused(t, fmt.Sprintf(line, ""), "was", "2 clocks run on chiller",
			`"was":"2026-09-24T19:10:00+02:00"`, `"was":"2026-09-26T07:00:00+02:00"`, `"of":`)
		h.refused(t, fmt.Sprintf(line, `,"was":"2026-09-24T21:00:00+02:00"`), "subject", "no such clock runs")
		h.say(t, fmt.Sprintf(line, `,"was":"2026-09-24T19:10:00+02:00"`))
	}
	for name, pick := range map[string]string{"id": `"of":"chart-8"`, "due": `"was":"2026-09-26T07:00:00+02:00"`} {
		h := openHouse(t)
		h.say(t, set...)
		h.say(t, `19:20 NS {"do":"clock-move","subject":"chiller","off":true,"reason":"twice",`+pick+`}`)
		left := h.s.ClocksOf(subject.Of(subject.Words, "chiller"))
		require.Len(t, left, 1, name)
		require.Equal(t, of[0].Due, left[0].Due, name)
	}
	var line cellar.LineName
	for e := range h.s.LatestOf(subject.Of(subject.Words, "chiller")) { // the later of the two
		line.Seq = e.Seq
		break
	}
	h.say(t, fmt.Sprintf(`19:20 NS {"do":"clock-move","subject":"chiller","done":true,"of":%d}`, line.Seq))
	require.Equal(t, of[0].Due, h.s.ClocksOf(subject.Of(subject.Words, "chiller"))[0].Due)
}

// Two promises of one subject and time have nothing but their lines to be told apart by.
func TestAClockIsNamedByTheLineItRestsOn(t *testing.T) {
	h := openHouse(t)
	h.say(t, `19:00 MA {"do":"note","id":"p1","subject":"104","what":"promise","for":"OF","text":"call","until":`+
		`"2026-09-24T23:00:00+02:00"}`, `19:00 MA {"do":"note","id":"p2","subject":"104","what":"promise","for":"HL",`+
		`"text":"call","until":"2026-09-24T23:00:00+02:00"}`)
	h.refused(t, `19:10 MA {"do":"clock-move","subject":"104","verb":"promise","off":true,"reason":"x"}`, "was", "2 clocks")
	h.say(t, `19:10 MA {"do":"clock-move","subject":"104","verb":"promise","of":"p2","off":true,"reason":"met in the yard"}`)
	var left []string
	for _, c := range h.s.Clocks() {
		if n, ok := h.s.PromiseOf(c); ok {
			left = append(left, n.For)
		}
	}
	require.Equal(t, []string{"OF"}, left)
}

// Of several open notes of one subject the last one was ticked, whichever was meant.
func TestNotesOfOneSubjectAreToldApart(t *testing.T) {
	h := openHouse(t)
	h.say(t, `19:00 MA {"do":"note","id":"n1","subject":"104","text":"hose 4 drips"}`,
		`19:05 MA {"do":"note","id":"n2","subject":"104","text":"lid is loose at the hinge, look at it"}`)
	h.refused(t, `19:10 MA {"do":"note-done","subject":"104"}`, "of", "2 notes are open on 104", "hose 4 drips",
		"lid is loose at the …", `"of":`)
	h.refused(t, `19:10 MA {"do":"note-done","subject":"104","what":"safety"}`, "subject", "no such open note")
	h.say(t, `19:10 MA {"do":"note-done","subject":"104","of":"n1"}`)
	for _, n := range h.s.Notes {
		require.Equal(t, n.Text == "hose 4 drips", n.Done, n.Text)
	}
	h.say(t, `19:11 MA {"do":"note-done","subject":"104"}`)
}
