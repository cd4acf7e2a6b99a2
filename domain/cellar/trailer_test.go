package cellar_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/handover"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/sheet"
)

// A load that was tipped before anybody wrote its ticket weighs what the ticket says, in
// the press and in the juice that ran out of it.
func TestALoadIsTippedBeforeItsTicketIsSaved(t *testing.T) {
	h := openHouse(t)
	require.ErrorContains(t, h.hear(`20:05 NS {"do":"tip","load":"0501","to":"P1"}`), "is not weighed",
		"what is about to be done is weighed first")
	h.say(t, `20:05 NS {"do":"tip","load":"0501","to":"P1","happened":true}`,
		`20:10 NS {"do":"tipped","load":"0501","to":"P1"}`)
	l, _ := h.s.Load("0501")
	require.Equal(t, cellar.LoadTipping, l.State, "nobody knows what is left of it")
	require.Contains(t, fmt.Sprint(handover.Sheet(h.s, at("20:12"), sheet.Mark{})), "running in, no ticket yet")
	h.say(t, `20:15 NS {"do":"press-start","press":"P1","programme":"W-120","free_run":"103","pressings":"401"}`,
		`20:50 NS {"do":"juice","press":"P1","volume":"20 hL"}`)

	require.NoError(t, h.late(t, "20:55", `20:00 NS {"do":"load","load":"0501","variety":"Riesling",`+
		`"gross":"30000 kg","tare":"12000 kg","answers":[{"rule":"D15"}]}`))
	p, _ := h.s.Press("P1")
	require.Equal(t, 18*quantity.Tonne, p.Mass())
	require.Equal(t, "0501 Riesling", p.Name())
	require.Equal(t, cellar.LoadIn, l.State)
	require.Equal(t, "Riesling", holds(t, h, "103").Parts[0].Variety)
}

// A ticket that is corrected after pressing reaches what took the rest of its load, and
// what ran out of that.
func TestATicketIsPutRightAfterPressing(t *testing.T) {
	h := openHouse(t)
	h.say(t, `20:00 NS {"do":"load","load":"0501","variety":"Sauvignon","gross":"30000 kg","tare":"20000 kg"}`,
		`20:01 NS {"do":"load","load":"0502","variety":"Muscat","gross":"30000 kg","tare":"22000 kg",`+
			`"answers":[{"rule":"D23"}]}`,
		`20:05 NS {"do":"tip","load":"0501","to":"P1","mass":"6 t"}`, `20:06 NS {"do":"tip","load":"0502","to":"P1"}`,
		`20:07 NS {"do":"tip","load":"0501","to":"P1"}`, `20:10 NS {"do":"tipped","load":"0501","to":"P1"}`)
	h.say(t, pressed...)
	require.Equal(t, map[cellar.LoadID]quantity.Volume{"0501": 4_444_445_000, "0502": 3_555_555_000},
		shares(holds(t, h, "103")))
	l, _ := h.s.Load("0501")
	h.say(t, fmt.Sprintf(`22:10 NS {"do":"correct","of":%d,"field":"gross","value":"32000 kg","reason":"misread"}`,
		l.Seq))
	require.Equal(t, 12*quantity.Tonne, l.In)
	require.Equal(t, cellar.LoadIn, l.State)
	require.Equal(t, map[cellar.LoadID]quantity.Volume{"0501": quantity.HL(48), "0502": quantity.HL(32)},
		shares(holds(t, h, "103")), "12 t and 8 t")
}

// What took the rest of a load took less when it is known later that some went elsewhere
// before.
func TestTheRestOfALoadIsWhatWasLeft(t *testing.T) {
	h := openHouse(t)
	h.say(t, weighed, `20:30 NS {"do":"tip","load":"0501","to":"P1"}`)
	require.NoError(t, h.late(t, "20:50", `20:10 NS {"do":"tip","load":"0501","to":"103","mass":"4 t",`+
		`"kind":"juice","answers":[{"rule":"W01"}]}`))
	p, _ := h.s.Press("P1")
	l, _ := h.s.Load("0501")
	require.Equal(t, 14*quantity.Tonne, p.Mass())
	require.Equal(t, 18*quantity.Tonne, l.In)
	require.ErrorContains(t, h.late(t, "20:55", `20:40 NS {"do":"tip","load":"0501","to":"103","mass":"1 t"}`),
		"0501 has only 0 g left of 18000 kg")
}
