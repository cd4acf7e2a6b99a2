package cellar_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/quantity"
)

// TestAVolumeSaysWhereItComesFrom: an estimate follows the juice until somebody dips
// it; a stick is out by 1 hL on 250 hL, and a mixture by both sides together.
func TestAVolumeSaysWhereItComesFrom(t *testing.T) {
	h := openHouse(t)
	says := func(p, from, off string) {
		t.Helper()
		v, ok := h.s.Vessel(cellar.TankNumber(p))
		require.True(t, ok)
		gotFrom, gotOff := v.Now.GaugeSays(quantity.Metric)
		require.Equal(t, from, gotFrom, p)
		require.Equal(t, off, gotOff, p)
	}
	says("101", "ledger from opening", "±1.0 hL")
	h.say(t, `18:30 NS {"do":"reading","vessel":"101","dip":"199.5 hL"}`)
	says("101", "dip", "±1.0 hL")
	h.say(t, `18:40 NS {"do":"move","from":"101","to":[{"vessel":"103","volume":"80 hL"}],"part":true,"how":"estimate"}`)
	says("103", "estimate", "±8.0 hL")
	says("101", "ledger from dip", "±1.0 hL")
	// By the ledger a part takes its part of the doubt along.
	h.say(t, `18:50 NS {"do":"move","from":"103","to":[{"vessel":"401","volume":"20 hL"}],"part":true}`)
	says("401", "ledger from estimate", "±2.0 hL")
	// Onto other juice the doubts add up, and the word is the least sure one.
	h.say(t, `19:00 MA {"do":"move","from":"101","to":[{"vessel":"401","volume":"10 hL"}],"part":true,"blend":true,`+
		`"how":"meter"}`)
	says("401", "ledger from estimate", "±2.1 hL")
	h.say(t, `19:10 NS {"do":"reading","vessel":"401","dip":"29.8 hL"}`)
	says("401", "dip", "±0.3 hL")
	h.say(t, `19:20 NS {"do":"move","from":"103","to":[{"vessel":"201","volume":"60 hL"}]}`)
	says("103", "", "")
}

// TestJuiceThatWasReadIsDipped: what the tank is read to hold is a dip of it; what ran
// in without a word on it is no more than what was written.
func TestJuiceThatWasReadIsDipped(t *testing.T) {
	h := openHouse(t)
	h.say(t, append(append([]string{}, inP1...), pressed...)...)
	v, _ := h.s.Vessel("103")
	from, off := v.Now.GaugeSays(quantity.Metric)
	require.Equal(t, "ledger from what was saved", from)
	require.Equal(t, "±1.6 hL", off)
	h.say(t, `22:10 NS {"do":"juice","press":"P1","reads":"88 hL"}`)
	from, off = v.Now.GaugeSays(quantity.Metric)
	require.Equal(t, "dip", from)
	require.Equal(t, "±1.0 hL", off)
}
