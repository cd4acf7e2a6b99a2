package tui_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/dose"
	"cellar.example/mustwatch/domain/quantity"
)

// TestCalcOnAVessel: the calculation opens with the vessel's figures, and one key
// takes its answer into the form it belongs in. The figures are the vectors C27 to
// C29 of the calculation notes: 104 hL by 5 K, a jacket of 25 kW, 2 kW/K to 0 °C.
func TestCalcOnAVessel(t *testing.T) {
	d := sit(t, "22:20", 120, 40)
	d.Press("104=").Shows("Calculate for 104", "cool or warm")
	d.Press("6").Shows("104.0 hL", "(filled in)", "energy: 57.5 kWh", "at 25 kW: 2 h 18", "by the jacket: 2 h 40",
		"Source: specific heat")
	d.Press("<enter>").Shows("New note about 104", "7.5 kWh", "2 h 40") // its forecast stands among the clocks already
	d.Press("<esc>104=6<tab><tab><tab>8<enter>").Shows("Clocks of 104", "at 8", "Fri 01:20")
	d.Press("<enter>")
	var found bool
	for _, c := range d.State().ClocksOf(d.State().Known("104")) {
		found = found || c.Says() == "at 8" && d.State().Clock(c.Due) == "01:20"
	}
	require.True(t, found, d.Screen())
}

// TestCalcADipIntoAReading: 1 m down from the top of 104 is 191.3 hL by the
// geometry of its inside, see the test of the stick in the cellar.
func TestCalcADipIntoAReading(t *testing.T) {
	d := sit(t, "22:20", 120, 40)
	d.Press("104=5<tab><tab>1 m").Shows("volume: 191.3 hL", "full: 75.7 %")
	d.Press("<enter>").Shows("Reading of 104", "191.3 hL").Press("<enter>")
	d.Shows("look D11", "For 104 the ledger says 104.0 hL, the dip 191.3 hL: 87.3 hL apart").Press("g<enter>")
	v, _ := d.State().Vessel("104")
	require.InDelta(t, 191.3, v.Now.Last.Volume.HL(), 1e-9)
	d.Press("104r<tab><tab><tab><tab><tab>1 m").Shows("= 191.3 hL").Press("<enter>g<enter>")
	v, _ = d.State().Vessel("104")
	require.Equal(t, "1 m", v.Now.Last.Stick.String())
}

// TestAnAnswerIsNotMixedWithADraft: what waits half-typed in the form that an
// answer goes to is another entry; it is not written with it, and it is told from
// when it is when it comes back.
func TestAnAnswerIsNotMixedWithADraft(t *testing.T) {
	d := sit(t, "22:20", 120, 40)
	d.Press("104r13<tab><tab>150<esc>").Shows("draft kept")
	d.Press("104=5<tab><tab>1 m<enter>").Shows("Reading of 104").Hides("150")
	d.Press("<enter><enter>")
	v, _ := d.State().Vessel("104")
	require.Nil(t, v.Now.Last.Turbidity)
	d.Press("104r").Shows("draft of 22:20 is back, not saved yet", "150")
}

// TestCalcADoseIntoTheDoseForm: what was typed goes over, what the person does
// next is the usual form with its rules.
func TestCalcADoseIntoTheDoseForm(t *testing.T) {
	d := sit(t, "22:09", 120, 40)
	d.Press("106=1<tab><tab><tab>1.6 g/hL").Shows("product: 100.3 g", "water:")
	d.Press("<enter>").Shows("Dose into 106", "1.6 g/hL")
}

// TestMetabisulphiteIsTakenByItsShare: 200 g of SO2 are 347.2 g of metabisulphite in the
// calculation, and 347.2 g are weighed in the form that takes it over.
func TestMetabisulphiteIsTakenByItsShare(t *testing.T) {
	d := sit(t, "22:20", 120, 40)
	write(t, d, &cellar.OpenTub{Head: cellar.Head{By: "MA"}, Product: "SO2-150", Count: &quantity.Amount{}})
	write(t, d, &cellar.SetProduct{Head: cellar.Head{By: "MA"}, Product: cellar.Product{ID: "KMS",
		Name: "metabisulphite", Class: cellar.SO2, Unit: quantity.GPerHL,
		Open: quantity.Amount{Mass: quantity.Kilogram}, Card: cellar.Card{Strength: dose.Strength{Value: 57.6,
			Unit: dose.OfSO2}}}})
	d.Press("108=240 hL<tab>50 mg/L").Shows("as metabisulphite: 347.2 g")
	d.Press("<enter>").Shows("Dose into 108", "weigh 347.2 g (200 g of SO2, 57.6 % SO2)", "35 % of the open tub")
}

// TestTheVesselSaysWhatWasPoured: the SO2 in it, and the litres it came in.
func TestTheVesselSaysWhatWasPoured(t *testing.T) {
	d := sit(t, "23:35", 120, 40)
	d.Press("104<enter>").Shows("416 g TQ, 2.77 L poured", "4.0 g/hL, poured 2.77 L")
}

// TestEveryCalculationIsTaken: with what is known or a plausible value each answer
// goes somewhere, and nothing that is wrong is taken.
func TestEveryCalculationIsTaken(t *testing.T) {
	for _, c := range []struct{ number, keys, title string }{
		{"102", "2<tab><tab>50 mg/L", "Dose into 102"}, {"104", "33.4<tab>30", "Note"}, {"104", "421.5 brix",
			"Reading of 104"},
		{"104", "7<enter>", "Clocks of 104"}, {"301", "82.9<tab>26<tab>30", "Note"}, {"102", "9", "Clocks of 102"},
		{"104", "a<tab>density<tab>104hL@1.090 50hL@1.084", "Note"}, {"103", "b", "Note"},
		{"104", "c<tab>90hL<tab>14hL", "Note"}, {"104", "d5mL@96% 5mL@0%", "Note"},
	} {
		t.Run(c.keys[:1], func(t *testing.T) {
			d := sit(t, "05:55", 120, 40)
			d.Press(c.number + "=").Press(c.keys)
			if c.keys != "7<enter>" {
				d.Press("<enter>")
			}
			d.Shows(c.title)
		})
	}
	d := sit(t, "05:55", 120, 40)
	d.Press("104=5<tab><tab>9 m").Shows("height of its reference point")
	d.Press("<enter>").Shows("Calculate for 104", "! ")
	d.Press("<esc>").Shows("draft kept")
	d.Press("104=").Shows("9 m")
}

// TestACalculationNobodyCanTake: a form that cannot be opened says why, and the
// calculation stays.
func TestACalculationNobodyCanTake(t *testing.T) {
	d := sit(t, "02:10", 80, 24)
	d.Press("210=1<tab><tab>").Shows("Calculate for 210")
	d.Press("2 t<tab>3 g/t<enter>").Shows("210 is empty clean", "Calculate for 210")
	d.Press("<esc>P1=").Shows("put the cursor on a tank")
}
