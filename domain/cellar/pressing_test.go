package cellar_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/stage"
)

func pressOf(t *testing.T, h *house, p cellar.TankNumber) *cellar.Press {
	t.Helper()
	x, ok := h.s.Press(p)
	require.True(t, ok, p)
	return x
}

// TestAPressGoesOnWithWhatItDid: whatever it was doing when it came to stand, a
// second stop or not.
func TestAPressGoesOnWithWhatItDid(t *testing.T) {
	const (
		stop = `22:50 NS {"do":"press-stop","press":"P1","reason":"noise"}`
		lock = `22:51 NS {"do":"press-stop","press":"P1","reason":"fitter","locked":true}`
		goes = `22:55 NS {"do":"press-resume","press":"P1","answers":[{"rule":"D33","reason":"my lock,` +
			` taken off by me"}]}`
	)
	run := append(append([]string{}, inP1...), `21:00 NS {"do":"press-start","press":"P1","programme":"W-120",`+
		`"free_run":"103","pressings":"401"}`)
	for _, c := range []struct {
		given []string
		as    cellar.PressState
		says  string
	}{
		{nil, cellar.PressReady, "ready again, stopped for 5 min"},
		{inP1[:2], cellar.PressFilling, "goes on filling, stopped for 5 min"},
		{inP1, cellar.PressFull, "full again, stopped for 5 min"},
		{run, cellar.PressRunning, "runs again after 5 min"},
		{ended, cellar.PressEmptying, "goes on emptying, stopped for 5 min"},
	} {
		t.Run(string(c.as), func(t *testing.T) {
			h := openHouse(t)
			h.say(t, append(append([]string{}, c.given...), stop, lock, goes)...)
			require.Equal(t, c.as, pressOf(t, h, "P1").State)
			require.Contains(t, h.said("P1"), c.says)
		})
	}
}

// TestNoProgrammeOnNothing: an empty press that is said to fill is free with one
// word, and starts nothing.
func TestNoProgrammeOnNothing(t *testing.T) {
	h := openHouse(t)
	require.ErrorContains(t, h.hear(`22:00 NS {"do":"press-start","press":"P1","programme":"W-120","free_run":"103",`+
		`"pressings":"401"}`), "P1 is ready and holds nothing")
}

// TestAnEmptiedPressClosesItsTank: it is written, the contact gets its time, and
// where more is to follow the tank stays open until that is said from its side.
func TestAnEmptiedPressClosesItsTank(t *testing.T) {
	dosed := append(append([]string{}, ended...), `22:46 NS {"do":"dose","vessel":"103","product":"E-1",`+
		`"rate":"2 g/hL","temp":"14 °C"}`)
	h := openHouse(t)
	h.say(t, dosed...)
	v := vesselOf(t, h, "103")
	require.Contains(t, words(h, v, "22:50"), "the last juice of P1 is in (f)")
	require.Empty(t, h.s.ClocksOf(h.s.Known("103")))
	h.say(t, `22:50 NS {"do":"press-free","press":"P1"}`)
	require.False(t, v.Now.Open)
	require.Contains(t, h.said("103"), "no more juice to come: P1 is empty and rinsed")
	require.Equal(t, "test", h.s.ClocksOf(h.s.Known("103"))[0].Says())
	require.Contains(t, words(h, v, "22:51"), "enzyme contact: test at")

	h = openHouse(t)
	h.say(t, append(dosed, `22:50 NS {"do":"press-free","press":"P1","more":true}`)...)
	v = vesselOf(t, h, "103")
	require.True(t, v.Now.Open)
	require.ErrorContains(t, h.hear(`23:00 NS {"do":"juice","press":"P1","to":"103","closed":true}`), "holds nothing",
		"its press has nothing to say any more")
	h.say(t, `23:00 NS {"do":"juice-close","vessel":"103"}`)
	require.False(t, v.Now.Open)
	require.Equal(t, "test", h.s.ClocksOf(h.s.Known("103"))[0].Says())
	require.ErrorContains(t, h.hear(`23:01 NS {"do":"juice-close","vessel":"103"}`), "nothing runs into 103 now;")
}

// TestATankThatGotNothingIsEmptyAgain: none ran, so it is as clean as it was, or
// dirty by what was poured into it.
func TestATankThatGotNothingIsEmptyAgain(t *testing.T) {
	h := openHouse(t)
	h.say(t, notRun...)
	since := vesselOf(t, h, "103").Now.CleanSince
	require.Contains(t, h.asked(t, `22:50 NS {"do":"press-free","press":"P1"}`)["D26"],
		"103 is named for the juice of this press, but none is saved.")
	h.say(t, `22:50 NS {"do":"press-free","press":"P1","answers":[{"rule":"D26"}]}`)
	require.Equal(t, stage.Clean, vesselOf(t, h, "103").Now.Stage)
	require.Equal(t, since, vesselOf(t, h, "103").Now.CleanSince)
}

// TestAPressThatRunsKeepsItsTankOpen: another press that is emptied does not close
// it, and its own side cannot.
func TestAPressThatRunsKeepsItsTankOpen(t *testing.T) {
	h := nightUntil(t, "04:00")
	require.Contains(t, words(h.house, h.vessel("103"), "04:00"), "it is still filling from P1.")
	require.Contains(t, words(h.house, h.vessel("101"), "04:00"), "it is still filling from P3 P4.")
	require.Equal(t, "from P3 P4", h.s.StandingOf(h.vessel("101"), nightAt("04:00")).Text)
	require.ErrorContains(t, h.hear(`04:01 TQ {"do":"juice-close","vessel":"103"}`), "P1 still runs into 103;")
	h.say(t, `04:02 TQ {"do":"press-free","press":"P2"}`)
	require.True(t, h.vessel("103").Now.Open)
	require.NoError(t, h.hear(`04:03 TQ {"do":"press-stop","press":"P1","reason":"noise"}`))
	require.Contains(t, words(h.house, h.vessel("103"), "04:03"), "it is still filling from P1.",
		"it goes on with its programme")
}

// words are what the board says of the next steps of a vessel.
func words(h *house, v *cellar.Vessel, clock string) (out string) {
	for _, s := range h.s.Steps(v, "MA", at(clock)) {
		out += s.Verb + ": " + s.Why + "\n"
	}
	return out
}

// TestMustGoesSkinsAndAll: moved into a tank it is must on skins still, and what it
// was to be drained by holds there.
func TestMustGoesSkinsAndAll(t *testing.T) {
	h := openHouse(t)
	h.say(t, append(redTank, `21:30 NS {"do":"move","from":"X1","to":[{"vessel":"R1","volume":"50 hL"}]}`)...)
	v := vesselOf(t, h, "R1")
	require.Equal(t, stage.WhiteMust, v.Now.Kind)
	require.Equal(t, stage.SkinContact, v.Now.Stage)
	require.Empty(t, h.s.ClocksOf(h.s.Known("X1")))
	k := h.s.ClocksOf(h.s.Known("R1"))
	require.Len(t, k, 1)
	require.Equal(t, "drain 22:00 not-after", k[0].Says()+" "+h.s.Clock(k[0].Due)+" "+string(k[0].DueKind))
}

// TestTheFractionOfSkins: skins count as the must they were, whole or drained, in
// one move or two: 62 hL of must is 6.9 t at 9 hL/t, and 1.4 hL/t of it is 9.6 hL.
func TestTheFractionOfSkins(t *testing.T) {
	happened := `"happened":true,"answers":[{"rule":"W04"},{"rule":"W05"},{"rule":"D04"},{"rule":"D20"},` +
		`{"rule":"W15"}]}`
	for name, moves := range map[string][]string{
		"undrained": {`22:01 TQ {"do":"move","from":"501","to":[{"vessel":"P3","volume":"62 hL"}],` + happened},
		"at once": {`22:01 TQ {"do":"move","from":"501","to":[{"vessel":"504","volume":"40 hL"},{"vessel":"P3",` +
			`"volume":"22 hL"}],` + happened},
		"drained first": {`22:01 TQ {"do":"move","from":"501","to":[{"vessel":"504","volume":"40 hL"}],"part":true,` +
			happened,
			`22:01 TQ {"do":"move","from":"501","to":[{"vessel":"P3","volume":"22 hL"}],` + happened},
	} {
		t.Run(name, func(t *testing.T) {
			h := nightUntil(t, "22:01")
			h.say(t, moves...)
			v, how, known := h.s.PressFraction(h.press("P3"))
			require.True(t, known)
			require.InDelta(t, 1.4*62/9, v.HL(), 0.01)
			require.Equal(t, "6.9 t at 1.4 hL/t; 62.0 hL of must taken as 6.9 t at 9 hL/t", how)
		})
	}
	h := openHouse(t)
	_, _, known := h.s.PressFraction(pressOf(t, h, "P1"))
	require.False(t, known, "nothing in it")
	h.say(t, inP1...)
	v, how, _ := h.s.PressFraction(pressOf(t, h, "P1"))
	require.InDelta(t, 1.4*18, v.HL(), 0.01)
	require.Equal(t, "18.0 t at 1.4 hL/t", how)
}
