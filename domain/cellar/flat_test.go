package cellar_test

import (
	"fmt"
	"iter"
	"runtime"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/quantity"
)

// What faces and entries ask of a cellar costs the same however much was read in it.

// first are the first n of what is gone over.
func first[T any](n int, all iter.Seq[T]) (out []T) {
	for x := range all {
		if out = append(out, x); len(out) == n {
			break
		}
	}
	return out
}

// faulty has a tank whose account does not add up and somebody who is missing.
func faulty(tb testing.TB, readings int) *house {
	h := openSeason(tb)
	h.does(tb, &cellar.Move{Head: happened(), From: "T1", To: []cellar.Portion{{Vessel: "T2",
		Volume: 40 * quantity.Hectolitre}}, Part: true, Blend: true})
	empty := &cellar.SetStage{Head: happened(), Vessel: "T1", Stage: "empty clean", Reason: "measured"}
	empty.Answers = append(empty.Answers, gate.Answer{Rule: cellar.CannotBe, By: "MA", Reason: "measured"})
	h.does(tb, empty)
	h.does(tb, &cellar.ComeIn{Head: happened(), Who: "OF"})
	h.does(tb, &cellar.CountHeads{Head: happened(), Counted: []cellar.Initials{"NS"}})
	for n := range readings {
		h.reads(tb, n)
	}
	return h
}

// asks are what forms, pages and the board ask.
var asks = map[string]func(tb testing.TB, h *house){
	"correct anything":     func(tb testing.TB, h *house) { require.Len(tb, first(14, h.s.Correctables("")), 14) },
	"correct what is here": func(tb testing.TB, h *house) { require.NotEmpty(tb, first(12, h.s.CorrectablesOf("T1"))) },
	"correct elsewhere":    func(tb testing.TB, h *house) { require.Len(tb, first(4, h.s.Correctables("T1")), 4) },
	"does not add up": func(tb testing.TB, h *house) {
		v, _ := h.s.Vessel("T1")
		require.NotEmpty(tb, h.s.Amiss(v))
	},
	"who is missing": func(tb testing.TB, h *house) { require.NotEmpty(tb, h.s.Emergencies(h.now)) },
}

func TestAskingCostsTheSame(t *testing.T) {
	few, many := faulty(t, 4_000), faulty(t, 24_000)
	for name, ask := range asks {
		a, b := testing.AllocsPerRun(20, func() { ask(t, few) }), testing.AllocsPerRun(20, func() { ask(t, many) })
		if b > 1.2*a {
			t.Errorf("%s: %.0f allocations after 24 000 readings, %.0f after 4 000", name, b, a)
		}
	}
}

// The same in time, at a million readings against a thousand.
func BenchmarkAsking(b *testing.B) {
	many, few := faulty(b, 1_000_000), faulty(b, 1_000)
	runtime.GC()
	for name, ask := range asks {
		b.Run(fmt.Sprint(name), func(b *testing.B) { apart(b, func() { ask(b, many) }, func() { ask(b, few) }) })
	}
}

// Of a tank nobody has read for long, what was saved last of it is found without going
// through what was read of others; late and early, it is in the order in which it was
// saved, with what ran out of it.
func TestCorrectablesAreLatestSavedFirst(t *testing.T) {
	h := openHouse(t)
	h.say(t, `20:00 NS {"do":"reading","vessel":"101","temp":"12 °C"}`)
	require.NoError(t, h.late(t, "20:10", `19:00 NS {"do":"reading","vessel":"101","temp":"13 °C","ntu":90}`))
	h.say(t, `20:20 NS {"do":"move","from":"101","to":[{"vessel":"103","volume":"20 hL"}],"part":true}`,
		`20:30 NS {"do":"gas","place":"101","co2":900,"meter":"G2"}`)
	for range 300 {
		h.say(t, `20:40 NS {"do":"reading","vessel":"102","temp":"12 °C"}`)
	}
	var got []string
	for c := range h.s.CorrectablesOf("101") {
		got = append(got, fmt.Sprint(c.Vessel, " ", c.Field, " ", c.Value))
	}
	require.Equal(t, []string{"103 volume 20.0 hL", "101 temp 13.0 °C", "101 ntu 90", "101 temp 12.0 °C",
		"101 volume 200.0 hL", "101 entry waiting", "101 temp 13.5 °C"}, got)
	all := correctables(h)
	for i := range all[1:] {
		require.GreaterOrEqual(t, all[i].Of, all[i+1].Of)
	}
	for c := range h.s.Correctables("102") {
		require.Equal(t, "gas reading", c.Field)
		break
	}
}
