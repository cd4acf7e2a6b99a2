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

// TestALoadIsPutRight: a mistyped weight changes the net, what was filled with it
// and the sums; a dose calculated on its grapes is to be looked at again; both
// figures stay.
func TestALoadIsPutRight(t *testing.T) {
	h := openHouse(t)
	h.say(t, `18:30 MA {"do":"product","product":"X-3","name":"skin enzyme","class":"enzyme-skin","unit":"g/100 kg",`+
		`"open":"5 kg"}`,
		`20:00 NS {"do":"load","load":"0501","gross":"30000 kg","tare":"12000 kg","ph":3.3}`)
	l, _ := h.s.Load("0501")
	correct := func(field, value string) string {
		return fmt.Sprintf(`20:30 NS {"do":"correct","of":%d,"field":%q,"value":%q,"reason":"mistyped"}`, l.Seq, field,
			value)
	}
	for line, says := range map[string]string{
		correct("tare", "31000 kg"):  "are the two swapped?",
		correct("gross", "90000 kg"): "cannot be; type 50 kg",
		correct("gross", "30000 kg"): "it says 30000 kg already",
		correct("ph", "33"):          "grapes at pH 33 cannot be",
		correct("rot", "4"):          `no "rot"`,
		correct("at", "x"):           "type the true time",
		fmt.Sprintf(`20:30 NS {"do":"correct","of":%d,"field":"gross","value":"29 t","reason":" "}`, l.Seq):  "say why",
		fmt.Sprintf(`20:30 NS {"do":"correct","of":%d,"field":"gross","value":"a lot","reason":"x"}`, l.Seq): "value: ",
	} {
		require.ErrorContains(t, h.hear(line), says, line)
	}
	h.say(t, `20:05 NS {"do":"tip","load":"0501","to":"P1","mass":"10000 kg"}`,
		`20:20 NS {"do":"tipped","load":"0501","to":"P1"}`)
	require.ErrorContains(t, h.hear(correct("gross", "21000 kg")),
		"10000 kg of load 0501 have been tipped already; the load cannot have weighed 9000 kg")

	h = openHouse(t)
	h.say(t, `18:30 MA {"do":"product","product":"X-3","name":"skin enzyme","class":"enzyme-skin","unit":"g/100 kg",`+
		`"open":"5 kg"}`,
		`20:00 NS {"do":"load","load":"0501","gross":"30000 kg","tare":"12000 kg","ph":3.3}`,
		`20:05 NS {"do":"tip","load":"0501","to":"103","kind":"juice"}`,
		`20:20 NS {"do":"tipped","load":"0501","to":"103","volume":"120 hL"}`,
		`20:25 NS {"do":"dose","vessel":"103","product":"X-3","rate":"2 g/100 kg"}`)
	l, _ = h.s.Load("0501")
	require.Equal(t, l.Seq, correctable(h, "gross").Of)
	h.say(t, correct("gross", "29000 kg"))
	require.Equal(t, 17*quantity.Tonne, l.Net)
	require.Equal(t, 17*quantity.Tonne, l.In, "it went in whole")
	v, _ := h.s.Vessel("103")
	require.Equal(t, "calculated on 18000 kg of grapes; they weighed 17000 kg", v.Now.Doses[0].LookAt)
	sheet := fmt.Sprint(handover.Sheet(h.s, at("21:00"), sheet.Mark{}))
	require.Contains(t, sheet, "corrected, load, gross: 30000 kg -> 29000 kg (mistyped)")
	require.Contains(t, sheet, "in 17.0 t")
	h.say(t, correct("ph", "3.4"))
	require.Equal(t, 3.4, l.PH)
	require.Equal(t, 17*quantity.Tonne, l.Net)
}

// A press that was filled with the whole load weighs what the load weighs.
func TestALoadInThePressIsPutRight(t *testing.T) {
	h := openHouse(t)
	h.say(t, inP1...)
	p, _ := h.s.Press("P1")
	require.Equal(t, 18*quantity.Tonne, p.Mass())
	h.say(t, fmt.Sprintf(`20:50 NS {"do":"correct","of":%d,"field":"tare","value":"12400 kg","reason":"mistyped"}`,
		correctable(h, "tare").Of))
	require.Equal(t, 17600*quantity.Kilogram, p.Mass())
}

func correctable(h *house, field string) (out cellar.Correctable) {
	for c := range h.s.Correctables("") {
		if c.Field == field {
			return c
		}
	}
	return out
}
