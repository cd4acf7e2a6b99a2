package entry_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/caution"
	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/dose"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/tui/entry"
	"cellar.example/mustwatch/tui/face"
	"cellar.example/mustwatch/tui/intent"
)

// formBox is what a screen of 80×24 leaves for a form.
const formWidth, formHeight = 80, 20

// ferments is a house in which 209 ferments; 602 holds hot must.
func ferments(t *testing.T) *house {
	h := newHouse(t)
	h.at("19:00")
	h.lines(`{"do":"stage","by":"MA","vessel":"209","stage":"fermenting","reason":"started"}`)
	return h
}

// onScreen is what stands on the form, without its line breaks.
func onScreen(e *entry.Entry) string {
	return strings.Join(strings.Fields(screen(e, formWidth, formHeight)), " ")
}

// warned checks that a form shows cautions, whole, at 80×24 and from whichever field.
func warned(t *testing.T, e *entry.Entry, codes ...caution.Code) {
	t.Helper()
	for range 20 {
		shown := onScreen(e)
		for _, c := range codes {
			require.Contains(t, shown, c.Text(), "%s, at %s", e.Form.Title, e.Form.Focused())
		}
		e.Form.Handle(intent.NextField{})
	}
}

// Every class of product in every form, into juice, into an active ferment and into
// hot must: the dose form says what is dangerous about it, and nothing of that is cut
// at 80×24. The form in which a lot is opened or entered says it too.
func TestEveryProductIsCautionedWhereItIsHandled(t *testing.T) {
	for _, class := range cellar.Classes() {
		for _, liquid := range []bool{false, true} {
			t.Run(fmt.Sprintf("%s liquid %t", class, liquid), func(t *testing.T) {
				h := ferments(t)
				p := cellar.Product{ID: "LOT", Name: "tried here", Class: class, Liquid: liquid, Unit: quantity.GPerHL,
					Sealed: 1}
				if liquid {
					p.Unit = quantity.MLPerHL
				}
				if class == cellar.SO2 {
					p.Card.Strength = dose.Strength{Value: 57.6, Unit: dose.OfSO2}
				}
				h.write(&cellar.SetProduct{Head: cellar.Head{By: "MA"}, Product: p})
				own := class.Cautions(liquid)
				require.NotEmpty(t, own)
				for _, in := range []struct {
					vessel string
					also   []caution.Code
				}{{"104", nil}, {"209", []caution.Code{caution.CO2}}, {"602", []caution.Code{caution.Scald}}} {
					e := h.open(intent.FormDose, in.vessel)
					h.types(e, "LOT<tab>")
					require.Equal(t, "LOT", e.Form.Value("product"))
					want := append(append([]caution.Code{}, own...), in.also...)
					if in.vessel == "209" && !liquid {
						want = append(want, caution.Eruption)
					}
					warned(t, e, want...)
				}
				for _, do := range []string{"o", "c"} {
					e := h.open(intent.FormProduct, "")
					h.types(e, "LOT<tab>"+do)
					warned(t, e, own...)
				}
				e := h.open(intent.FormProduct, "")
				h.types(e, "LOT<tab>l")
				require.Contains(t, onScreen(e), own[0].Text(), "the card")
			})
		}
	}
}

// Whatever opens must over 45 °C has the scald line, in every form there is; what
// opens none has none. A form that is new has to be entered here.
func TestEveryFormThatOpensHotMustHasTheScaldLine(t *testing.T) {
	h := newHouse(t)
	h.at("18:40")
	hot := map[intent.Form][]string{ // on a tank of hot must: keys that open it
		intent.FormDose: {"", "E-2204<tab>"}, intent.FormReading: {""}, intent.FormCheck: {"", "p"},
		intent.FormMove:  {"", "402<tab>"},
		intent.FormStage: {"", "<right>"}, intent.FormCalc: {"1", "2", "5", "6", "7", "8"},
	}
	none := map[intent.Form]string{
		intent.FormNote: "words", intent.FormHold: "words", intent.FormClock: "a time",
		intent.FormCorrect: "what was written", intent.FormShift: "people",
		intent.FormTime: "a time", intent.FormCrew: "people and gas, with lines of its own",
		intent.FormProduct: "the store", intent.FormLoad: "grapes",
		intent.FormPress: "see below", intent.FormJuice: "see below",
	}
	for _, kind := range entry.FormKinds() {
		keys, opens := hot[kind]
		_, not := none[kind]
		require.True(t, opens != not, "is the form %q one that opens must?", kind)
		for _, k := range keys {
			e := h.open(kind, "602")
			h.types(e, k)
			warned(t, e, caution.Scald)
			cold, why := openAs(h, kind, face.SubjectOf(h.s.Known("104")))
			require.Empty(t, why)
			h.types(cold, k)
			assert.NotContains(t, onScreen(cold), caution.Scald.Text(), "%s %q", kind, k)
		}
	}

	e := h.open(intent.FormMove, "102") // cold juice onto hot must
	h.types(e, "602<tab>")
	warned(t, e, caution.Scald, caution.Transfer)

	h.lines(`{"do":"move","by":"MA","from":"602","to":[{"vessel":"P1","volume":"98 hL"}],"answers":[{"rule":"H04",` +
		`"by":"MA","second":"NS","reason":"pressed hot"},{"rule":"D20"}],"happened":true}`)
	warned(t, h.open(intent.FormPress, "P1"), caution.Scald, caution.Machine)
	warned(t, h.open(intent.FormJuice, "P1"), caution.Scald)
}

// Each act that can hurt has its caution.
func TestEachActHasItsCaution(t *testing.T) {
	h := ferments(t)
	h.pressing("P2")
	for _, c := range []struct {
		kind intent.Form
		on   string
		keys string
		want []caution.Code
	}{
		{intent.FormMove, "102", "", []caution.Code{caution.Transfer}},
		{intent.FormMove, "209", "", []caution.Code{caution.Transfer, caution.CO2}},
		{intent.FormPress, "P2", "", []caution.Code{caution.Machine}},
		{intent.FormLoad, "0414", "", []caution.Code{caution.Truck}},
		{intent.FormCheck, "102", "", []caution.Code{caution.Flammable}},
		{intent.FormReading, "104", "", []caution.Code{caution.Lid}},
		{intent.FormStage, "203", "", []caution.Code{caution.Entry, caution.Nitrogen}},
		{intent.FormStage, "203", "7", []caution.Code{caution.Caustic, caution.Vacuum}},
		{intent.FormStage, "104", "2", []caution.Code{caution.GasCover}},
		{intent.FormCrew, "", "g", []caution.Code{caution.CO2, caution.GasLimit}},
		{intent.FormCrew, "", "p", []caution.Code{caution.Entry, caution.Nitrogen}},
		{intent.FormCrew, "", "n", []caution.Code{caution.Entry, caution.Nitrogen}},
		{intent.FormProduct, "", "b", []caution.Code{caution.Flammable}},
		{intent.FormProduct, "", "nX-1<tab>tartaric<tab>acid<tab>g/hL<tab>", []caution.Code{caution.Label,
			caution.Powder}},
		{intent.FormProduct, "", "nX-1<tab>solution<tab>SO2<tab>g/hL<tab>", []caution.Code{caution.Sulphite}},
		{intent.FormProduct, "", "nX-1<tab>liquid<tab>enzyme-skin<tab>mL/hL<tab>", []caution.Code{caution.Enzyme}},
	} {
		e := h.open(c.kind, c.on)
		h.types(e, c.keys)
		warned(t, e, c.want...)
	}
	h.lines(`{"do":"press-stop","by":"TQ","press":"P2","reason":"door"}`)
	warned(t, h.open(intent.FormPress, "P2"), caution.Machine, caution.Restart)
}

// The calculations of the board say what their answer is dangerous for, before there is
// one too; heat below freezing and from boiling on says so.
func TestBoardReckoningsShowTheirCautions(t *testing.T) {
	h := ferments(t)
	sum := func(on, pick string, set map[string]string) *entry.Entry {
		e := h.open(intent.FormCalc, on)
		h.types(e, pick)
		e.Form.Restore(set)
		return e
	}
	warned(t, sum("104", "2", nil), caution.Sulphite)
	warned(t, sum("104", "1", nil), caution.Label)
	warned(t, sum("104", "1", map[string]string{"dose.rate": "3 g/hL"}), caution.Label, caution.Powder)
	warned(t, sum("209", "2", nil), caution.Sulphite, caution.CO2)
	warned(t, sum("104", "6", map[string]string{"heat.from": "20", "heat.to": "68"}), caution.Scald)
	warned(t, sum("104", "6", map[string]string{"heat.from": "20", "heat.to": "-3"}), caution.Freezing)
	warned(t, sum("104", "6", map[string]string{"heat.from": "20", "heat.to": "100"}), caution.Scald, caution.Boiling)
	warned(t, sum("602", "6", map[string]string{"heat.to": ""}), caution.Scald)
}

// A blend on the board reads units, typed apart too, and asks which of two a sugar is.
func TestBoardBlendReadsUnits(t *testing.T) {
	h := ferments(t)
	e := h.open(intent.FormCalc, "104")
	h.types(e, "a")
	require.Equal(t, "blend", e.Form.Value("sum"))
	e.Form.Restore(map[string]string{"blend.what": "sugar", "blend.lot": "79 hL@20 brix 74hL@191.9g/L"})
	require.Contains(t, live(e), "sugar: 191.9 g/L\n")
	e.Form.Restore(map[string]string{"blend.lot": "79hL@21.5 74hL@200"})
	require.Contains(t, onScreen(e), "type 21.5g/L or 21.5brix")
}
