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

// fillOf is the fill of a load that was written last.
func fillOf(h *house, load string) (out cellar.Correctable) {
	for c := range h.s.Correctables("") {
		if c.Press != "" && c.Says == "load "+load {
			return c
		}
	}
	return out
}

// TestAFillIsPutRight: the press holds it, the trailer has the rest, and both figures
// stay.
func TestAFillIsPutRight(t *testing.T) {
	h := openHouse(t)
	h.say(t, weighed, `20:05 NS {"do":"tip","load":"0501","to":"P1","mass":"4 t"}`)
	correct := func(more string) string {
		return fmt.Sprintf(`20:30 NS {"do":"correct","of":%d,%s,"reason":"mistyped"}`, fillOf(h, "0501").Of, more)
	}
	p, _ := h.s.Press("P1")
	l, _ := h.s.Load("0501")
	for line, says := range map[string]string{
		correct(`"value":"19 t"`): "load 0501 weighed 18000 kg, and 0 g of it went elsewhere; correct its " +
			"weight first",
		correct(`"value":"4000"`):           "it says 4000 kg already",
		correct(`"value":"a lot"`):          "value: ",
		correct(`"value":"0"`):              "more than nothing",
		correct(`"field":"at","value":"x"`): "type the true time",
		correct(`"field":"temp"`):           `no "temp"`,
		correct(`"value":"700 kg"`):         "D24: mass of load 0501, P1: 700 kg is one 6th of the old 4000 kg.",
	} {
		require.ErrorContains(t, h.hear(line), says, line)
	}
	h.say(t, correct(`"value":"6 t"`))
	require.Equal(t, 6*quantity.Tonne, p.Mass())
	require.Equal(t, 6*quantity.Tonne, l.In)
	require.Equal(t, "6000 kg", fillOf(h, "0501").Value)
	require.Contains(t, fmt.Sprint(handover.Sheet(h.s, at("21:00"), sheet.Mark{})),
		"corrected, load 0501, mass: 4000 kg -> 6000 kg (mistyped)")

	h.say(t, `20:31 NS {"do":"tipped","load":"0501","to":"P1"}`)
	require.Equal(t, cellar.LoadTipping, l.State, "twelve tons are on the trailer")
	h.say(t, correct(`"value":"18 t"`))
	require.Equal(t, cellar.LoadIn, l.State)
	h.say(t, correct(`"value":"15 t"`))
	require.Equal(t, cellar.LoadTipping, l.State)
	require.Equal(t, 3*quantity.Tonne, l.Net-l.In)
	h.say(t, `20:40 NS {"do":"tip","load":"0501","to":"103","kind":"juice"}`)
	require.ErrorContains(t, h.hear(correct(`"value":"16 t"`)), "3000 kg of it went elsewhere")
}

// What ran out follows in its shares, and a mass that cannot have given it is refused.
func TestTheJuiceOfAFillFollows(t *testing.T) {
	h := openHouse(t)
	h.say(t, weighed, `20:05 NS {"do":"tip","load":"0501","to":"P1","mass":"8 t"}`,
		`20:10 NS {"do":"tipped","load":"0501","to":"P1"}`,
		`20:11 NS {"do":"load","load":"0502","variety":"Muscat","gross":"30000 kg","tare":"18000 kg",`+
			`"answers":[{"rule":"D23"}]}`, `20:12 NS {"do":"tip","load":"0502","to":"P1","mass":"8 t"}`,
		`20:40 NS {"do":"tipped","load":"0502","to":"P1"}`)
	h.say(t, pressed...)
	share := func() []quantity.Volume {
		v, _ := h.s.Vessel("103")
		return []quantity.Volume{v.Now.Parts[0].Volume, v.Now.Parts[1].Volume}
	}
	require.Equal(t, []quantity.Volume{quantity.HL(40), quantity.HL(40)}, share())
	of := fillOf(h, "0502").Of
	require.ErrorContains(t, h.hear(fmt.Sprintf(`22:10 NS {"do":"correct","of":%d,"value":"200 kg","reason":"x"}`, of)),
		"80.0 hL have run from P1; 8.2 t of grapes give no such volume")
	h.say(t, fmt.Sprintf(`22:10 NS {"do":"correct","of":%d,"value":"2 t","reason":"x"}`, of))
	require.Equal(t, []quantity.Volume{quantity.HL(64), quantity.HL(16)}, share())
	h.say(t, fmt.Sprintf(`22:11 NS {"do":"correct","of":%d,"value":"8 t","reason":"x"}`, of))

	// The trailer follows also when the press has long been emptied.
	h.say(t, `22:45 NS {"do":"juice","press":"P1","share":"pressings","volume":"20 hL","end":true}`,
		`23:20 NS {"do":"press-free","press":"P1"}`,
		fmt.Sprintf(`23:30 NS {"do":"correct","of":%d,"value":"9 t","reason":"x"}`, of))
	l, _ := h.s.Load("0502")
	require.Equal(t, 9*quantity.Tonne, l.In)
	require.Equal(t, []quantity.Volume{3_764_706_000, 4_235_294_000}, share(),
		"80 hL by 8 t and 9 t, as if it had been right the first time")
}

// More than a press takes is written, for it is what happened, with the rule it broke.
func TestAFillOverTheRatingIsWrittenWithItsRule(t *testing.T) {
	h := openHouse(t)
	h.say(t, `20:00 NS {"do":"load","load":"0501","gross":"36000 kg","tare":"12000 kg"}`,
		`20:05 NS {"do":"tip","load":"0501","to":"P1","mass":"20 t"}`)
	h.say(t, fmt.Sprintf(`20:30 NS {"do":"correct","of":%d,"value":"24 t","reason":"x"}`, fillOf(h, "0501").Of))
	require.Equal(t, "H04", string(h.s.Answered[len(h.s.Answered)-1].Rule))
}
