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
		intent.FormCorrect: "what was saved", intent.FormShift: "people", intent.FormEnded: "people",
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

// cautionRow is a form on what stands there, and all the cautions that it has to show.
type cautionRow struct {
	name  string
	lines string // before it is opened
	kind  intent.Form
	on    string
	keys  string
	want  []caution.Code
}

const (
	filledP1 = `{"do":"move","by":"MA","from":"602","to":[{"vessel":"P1","volume":"98 hL"}],"answers":[{"rule":"H04",` +
		`"by":"MA","second":"NS","reason":"pressed hot"},{"rule":"D20"}],"happened":true}`
	weighed0409 = `{"do":"load","by":"MA","load":"0409","variety":"Chardonnay","gross":"32900 kg","tare":"12500 kg",` +
		`"answers":[{"rule":"D23"}]}`
	is44  = `{"do":"reading","by":"MA","vessel":"602","temp":"44 °C"}`
	is46  = `{"do":"reading","by":"MA","vessel":"104","temp":"46 °C"}`
	works = `{"do":"stage","by":"MA","vessel":"209","stage":"fermenting","reason":"started"}`
	// juice that nobody has inoculated, and that works
	worksAlone = `{"do":"reading","by":"MA","vessel":"104","density":"1.080","at":"2026-09-24T18:10:00+02:00"}
{"do":"reading","by":"MA","vessel":"104","density":"1.070","at":"2026-09-24T18:30:00+02:00"}`
	food   = `{"do":"product","by":"MA","product":"FOOD","class":"nutrient","unit":"g/hL","open":"5 kg"}`
	dapSol = `{"do":"product","by":"MA","product":"SOL","class":"nutrient","unit":"mL/hL","liquid":true,"open":"5 L"}`
	liquid = `{"do":"product","by":"MA","product":"LIQ","class":"enzyme-clarify","unit":"mL/hL","liquid":true,` +
		`"open":"5 L"}`
)

// cautionRows are forms by class of product, stage, temperature and act.
var cautionRows = []cautionRow{
	{"powder into juice", "", intent.FormDose, "104", "E-2204<tab>", codes(caution.Powder, caution.Lid)},
	{"liquid enzyme into juice", liquid, intent.FormDose, "104", "LIQ<tab>", codes(caution.Enzyme, caution.Lid)},
	{"SO2 into juice", "", intent.FormDose, "104", "SO2<tab>", codes(caution.Sulphite, caution.Lid)},
	{"bentonite into juice", "", intent.FormDose, "104", "BEN<tab>", codes(caution.Dust, caution.Lid)},
	{"bentonite into a ferment", works, intent.FormDose, "209", "BEN<tab>",
		codes(caution.CO2, caution.Eruption, caution.Dust, caution.Lid)},
	{"yeast food into juice", food, intent.FormDose, "104", "FOOD<tab>",
		codes(caution.Label, caution.Powder, caution.Lid)},
	{"yeast food into a ferment", works + "\n" + food, intent.FormDose, "209", "FOOD<tab>",
		codes(caution.CO2, caution.Eruption, caution.Label, caution.Powder, caution.Lid)},
	{"dissolved yeast food into a ferment", works + "\n" + dapSol, intent.FormDose, "209", "SOL<tab>",
		codes(caution.CO2, caution.Foaming, caution.Label, caution.Lid)},
	{"liquid enzyme into a ferment", works + "\n" + liquid, intent.FormDose, "209", "LIQ<tab>",
		codes(caution.CO2, caution.Enzyme, caution.Lid)},
	{"SO2 solution into a ferment", works, intent.FormDose, "209", "SO2<tab>",
		codes(caution.CO2, caution.Sulphite, caution.Lid)},
	{"powder into juice that works by itself", worksAlone, intent.FormDose, "104", "E-2204<tab>",
		codes(caution.CO2, caution.Eruption, caution.Powder, caution.Lid)},

	{"must at 48 °C is dosed", "", intent.FormDose, "602", "E-2204<tab>",
		codes(caution.Scald, caution.Powder, caution.Lid)},
	{"must at 44 °C is dosed", is44, intent.FormDose, "602", "E-2204<tab>", codes(caution.Powder, caution.Lid)},
	{"juice at 46 °C is dosed", is46, intent.FormDose, "104", "E-2204<tab>",
		codes(caution.Scald, caution.Powder, caution.Lid)},
	{"must at 48 °C is read", "", intent.FormReading, "602", "", codes(caution.Scald, caution.Lid)},
	{"must at 44 °C is read", is44, intent.FormReading, "602", "", codes(caution.Lid)},
	{"must at 48 °C is tested", "", intent.FormCheck, "602", "", codes(caution.Scald, caution.Flammable)},
	{"must at 44 °C is tested", is44, intent.FormCheck, "602", "", codes(caution.Flammable)},
	{"must at 48 °C, paper drop", "", intent.FormCheck, "602", "p", codes(caution.Scald)},
	{"must at 44 °C, paper drop", is44, intent.FormCheck, "602", "p", nil},
	{"must at 48 °C is moved", "", intent.FormMove, "602", "", codes(caution.Scald, caution.Transfer)},
	{"must at 44 °C is moved", is44, intent.FormMove, "602", "", codes(caution.Transfer)},
	{"juice onto must at 48 °C", "", intent.FormMove, "102", "602<tab>", codes(caution.Scald, caution.Transfer)},
	{"juice onto must at 44 °C", is44, intent.FormMove, "102", "602<tab>", codes(caution.Transfer)},
	{"stage of must at 48 °C", "", intent.FormStage, "602", "", codes(caution.Scald)},
	{"stage of must at 44 °C", is44, intent.FormStage, "602", "", nil},
	{"gas read over must at 48 °C", "", intent.FormCrew, "", "g602<tab>",
		codes(caution.Scald, caution.Lid, caution.CO2, caution.GasLimit)},
	{"gas read over must at 44 °C", is44, intent.FormCrew, "", "g602<tab>",
		codes(caution.Lid, caution.CO2, caution.GasLimit)},
	{"load tipped onto must at 48 °C", weighed0409, intent.FormLoad, "0409", "602<tab>",
		codes(caution.Truck, caution.Scald)},
	{"load tipped onto must at 44 °C", weighed0409 + "\n" + is44, intent.FormLoad, "0409", "602<tab>",
		codes(caution.Truck)},
	{"hot must in the press", filledP1, intent.FormPress, "P1", "", codes(caution.Machine, caution.Scald)},
	{"juice of hot must from the press", filledP1, intent.FormJuice, "P1", "", codes(caution.Scald)},

	{"juice moved", "", intent.FormMove, "102", "", codes(caution.Transfer)},
	{"ferment moved", works, intent.FormMove, "209", "", codes(caution.CO2, caution.Transfer)},
	{"load at the gate", "", intent.FormLoad, "0414", "", codes(caution.Truck)},
	{"load tipped into a press", weighed0409, intent.FormLoad, "0409", "P2<tab>",
		codes(caution.Truck, caution.Machine)},
	{"press filled from a load", weighed0409, intent.FormPress, "P1", "f", codes(caution.Machine, caution.Truck)},
	{"press stopped", `{"do":"press-stop","by":"TQ","press":"P2","reason":"door"}`, intent.FormPress, "P2", "",
		codes(caution.Machine, caution.Restart)},
	{"pectin test", "", intent.FormCheck, "102", "", codes(caution.Flammable)},
	{"reading", "", intent.FormReading, "104", "", codes(caution.Lid)},
	{"empty tank", "", intent.FormStage, "203", "", codes(caution.Entry, caution.Nitrogen)},
	{"cleaning", "", intent.FormStage, "203", "7", codes(caution.Caustic, caution.Vacuum)},
	{"flotation", "", intent.FormStage, "104", "2", codes(caution.GasCover)},
	{"gas reading", "", intent.FormCrew, "", "g", codes(caution.Lid, caution.CO2, caution.GasLimit)},
	{"permit", "", intent.FormCrew, "", "p", codes(caution.Entry, caution.Nitrogen)},
	{"enters a tank", "", intent.FormCrew, "", "n", codes(caution.Entry, caution.Nitrogen)},
	{"head count", "", intent.FormCrew, "", "h", codes(caution.Restart)},
	{"break", "", intent.FormCrew, "", "b", nil},
	{"note", "", intent.FormNote, "104", "", nil},
	{"alcohol bottle", "", intent.FormProduct, "", "b", codes(caution.Flammable)},
	{"new acid", "", intent.FormProduct, "", "nX-1<tab>tartaric<tab>acid<tab>g/hL<tab>",
		codes(caution.Label, caution.Powder)},
	{"new SO2", "", intent.FormProduct, "", "nX-1<tab>solution<tab>SO2<tab>g/hL<tab>", codes(caution.Sulphite)},
	{"new liquid enzyme", "", intent.FormProduct, "", "nX-1<tab>liquid<tab>enzyme-skin<tab>mL/hL<tab>",
		codes(caution.Enzyme)},
	{"new fining", "", intent.FormProduct, "", "nX-1<tab>gelatine<tab>protein<tab>g/hL<tab>",
		codes(caution.Powder, caution.Allergen)},
	{"red macerates", `{"do":"stage","by":"MA","vessel":"305","stage":"maceration"}`, intent.FormStage, "305",
		"draining", codes(caution.CO2, caution.Entry, caution.Skins)},
}

func codes(all ...caution.Code) []caution.Code { return all }

func (c cautionRow) open(t *testing.T) *entry.Entry {
	h := newHouse(t)
	h.at("18:40")
	if c.lines != "" {
		h.lines(c.lines)
	}
	e := h.open(c.kind, c.on)
	h.types(e, c.keys)
	return e
}

// Each form shows the cautions of the product, the stage, the temperature and the act, and
// no others; and all of them at 80×24.
func TestEachActHasItsCaution(t *testing.T) {
	for _, c := range cautionRows {
		t.Run(c.name, func(t *testing.T) {
			e := c.open(t)
			var said []string
			if e.Form.Cautions != nil {
				said = e.Form.Cautions(e.Form.Values())
			}
			assert.ElementsMatch(t, caution.Texts(c.want...), said)
			warned(t, e, c.want...)
		})
	}
}

// Every caution of the table stands on a form; those of the faces are tested there
// (tui.TestTheCautionsOfTheFaces).
func TestEveryCautionStandsOnAForm(t *testing.T) {
	shown := map[caution.Code]bool{caution.NoEntry: true, caution.BadGas: true, // of the faces
		caution.Freezing: true, caution.Boiling: true} // TestBoardCalculationsShowTheirCautions
	for _, c := range cautionRows {
		for _, code := range c.want {
			shown[code] = true
		}
	}
	for _, r := range caution.Table() {
		assert.True(t, shown[r.Code], "%s stands nowhere", r.Code)
	}
}

// The calculations of the board say what their answer is dangerous for, before there is
// one too; heat below freezing and from boiling on says so.
func TestBoardCalculationsShowTheirCautions(t *testing.T) {
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
	warned(t, sum("209", "1", map[string]string{"dose.rate": "3 g/hL"}), caution.Powder, caution.CO2, caution.Eruption)
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
