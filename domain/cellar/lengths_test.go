package cellar_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
)

// What can only be a slip is refused where it was typed; how long a clock runs is
// held in TestEveryClockIsBounded.
func TestASlipIsRefusedWhereItWasTyped(t *testing.T) {
	for line, field := range map[string]string{
		`20:50 NS {"do":"stage","vessel":"102","stage":"waiting","min":"9600h"}`:            "min",
		`20:50 NS {"do":"clock","subject":"101","verb":"look","kind":"bogus","in":"20min"}`: "kind",
		`20:50 NS {"do":"stage","vessel":"102","stage":"settling","kind":"wine"}`:           "kind",
		`20:50 NS {"do":"stage","vessel":"102","stage":"settling","kind":"lemonade"}`:       "kind",
		`20:50 NS {"do":"stage","vessel":"102","stage":"settling","bar":-3}`:                "bar",
		`20:50 NS {"do":"tipped","load":"0502","to":"103","volume":"100 hL"}`:               "load",
		`20:50 NS {"do":"tipped","load":"0501","to":"103","volume":"251 hL"}`:               "volume",
	} {
		h := openHouse(t)
		h.say(t, `18:20 MA {"do":"book","load":"0502","variety":"Syrah","booked":"2026-09-24T20:30:00+02:00"}`,
			`20:00 NS {"do":"load","load":"0501","gross":"30000 kg","tare":"12000 kg"}`,
			`20:00 NS {"do":"load","load":"0502","variety":"Syrah","gross":"30000 kg","tare":"12000 kg"}`,
			`20:05 NS {"do":"tip","load":"0501","to":"P1","mass":"15 t"}`)
		var no *cellar.Rejection
		require.ErrorAs(t, h.hear(line), &no, line)
		require.Equal(t, field, no.Field, "%s: %s", line, no)
	}
}

// A press ends when its clock says so, and a pump too.
func TestARebasedClockMovesWhatItStandsFor(t *testing.T) {
	h := openHouse(t)
	h.say(t, inP1...)
	h.say(t, `20:45 NS {"do":"press-start","press":"P1","programme":"W-120","free_run":"103","pressings":"401"}`,
		`20:50 NS {"do":"clock-move","subject":"P1","verb":"empty","due":"2026-09-24T23:45:00+02:00",`+
			`"reason":"drains slowly"}`)
	p, _ := h.s.Press("P1")
	require.True(t, p.End.Equal(at("23:45")), p.End)
	h.say(t, `22:10 NS {"do":"press-stop","press":"P1","reason":"door"}`, `22:20 NS {"do":"press-resume","press":"P1"}`)
	require.True(t, p.End.Equal(at("23:55")), p.End)
}

// Floated juice waits for no settling any more.
func TestAFlotationEndsTheSettling(t *testing.T) {
	h := openHouse(t)
	h.say(t, dose101, check101, clear101, `22:10 NS {"do":"stage","vessel":"101","stage":"settling"}`,
		`22:30 NS {"do":"stage","vessel":"101","stage":"flotation","reason":"a slot is free"}`)
	for _, k := range h.s.ClocksOf(h.s.Known("101")) {
		require.NotEqual(t, cellar.KindSettling, k.Kind)
	}
}
