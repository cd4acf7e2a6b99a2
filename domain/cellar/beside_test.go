package cellar_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/quantity"
)

// What is refused or asked because one figure is more than another shows the digit
// that decides: never "5.0; the card allows 5".
func TestRefusalsShowTheDigitThatDecides(t *testing.T) {
	dose := func(more string) string { return `{"do":"dose","vessel":"101","product":` + more + `}` }
	for _, c := range []struct {
		name  string
		given []string
		line  string
		says  string
	}{
		{"sum on the card", []string{`18:05 NS ` + dose(`"E-1","rate":"3.04 g/hL","temp":"14 °C"`)},
			`19:00 NS ` + dose(`"E-1","rate":"3 g/hL","temp":"14 °C"`), "would be 6.04 g/hL; the card allows 6 g/hL."},
		{"SO2 of the house", nil, `19:00 NS ` + dose(`"S-1","rate":"60.3 mg/L"`),
			"would be 6.03 g/hL; the house allows 6 g/hL."},
		{"over the ceiling", nil, `19:00 NS ` + dose(`"E-1","rate":"2 g/hL","temp":"45.04 °C"`),
			"45.04 °C is over the card's ceiling of 45.00 °C"},
		{"under the floor", nil, `19:00 NS ` + dose(`"E-1","rate":"2 g/hL","temp":"9.96 °C"`),
			"9.96 °C is under the card's floor of 10.00 °C"},
		{"in the tub", []string{`18:01 MA {"do":"tub","product":"E-1","count":"399.96 g"}`},
			`19:00 NS ` + dose(`"E-1","rate":"2 g/hL","temp":"14 °C"`), "holds 399.96 g and you need 400.00 g;"},
		{"over the limit", nil, `19:00 MA {"do":"move","from":"101","to":[{"vessel":"201","volume":"170.02 hL"}],` +
			`"part":true}`,
			"201 would hold 170.02 hL, 85.01 %; its limit is 170.00 hL (85 %)"},
		{"over the brim", nil, `19:00 MA {"do":"move","from":"102","to":[{"vessel":"103","volume":"50 hL"}],` +
			`"lees":{"vessel":"701","volume":"70.04 hL"},"part":true}`,
			"701 holds 80.00 hL to the brim; with the lees it would hold 80.04 hL"},
		{"over what anybody may fill", nil, `19:00 MA {"do":"move","from":"101","to":[{"vessel":"201",` +
			`"volume":"196.02 hL"}],"part":true}`,
			"Do not fill above 98 %; this is 98.01 %."},
		{"over a press", []string{`18:05 MA {"do":"load","load":"0501","variety":"Sauvignon","gross":"34540 kg",` +
			`"tare":"12500 kg"}`},
			`19:00 MA {"do":"tip","load":"0501","to":"P1"}`, "P1 takes 22000 kg; with this it would hold 22040 kg."},
		{"pressure", nil, `19:00 MA {"do":"stage","vessel":"101","stage":"flotation","bar":6.04}`,
			"6.04 bar is over the 6 bar"},
		{"no pH", nil, `19:00 MA {"do":"reading","vessel":"101","ph":4.504}`, "pH 4.504 cannot be; type 2.5 to 4.5"},
		{"no temperature", nil, `19:00 MA {"do":"reading","vessel":"101","temp":"95.04 °C"}`,
			"95.04 °C cannot be; type -5.0 °C to 95.0 °C"},
	} {
		t.Run(c.name, func(t *testing.T) {
			h := openHouse(t)
			h.say(t, c.given...)
			require.ErrorContains(t, h.hear(c.line), c.says)
		})
	}
}

// In a US house the limit stands in the unit in which the house doses.
func TestSO2BesideItsLimitInAUSHouse(t *testing.T) {
	h := openHouse(t)
	h.s.House.Units = quantity.US
	h.s.House.Limits.SO2Max = quantity.Rate{Value: 0.5, Unit: quantity.LbPer1000Gal}
	_, err := h.try(&cellar.GiveDose{Head: cellar.Head{By: "NS"}, Vessel: "101", Product: "S-1",
		Rate: quantity.Rate{Value: 0.5004, Unit: quantity.LbPer1000Gal}}, at("19:00"))
	require.ErrorContains(t, err, "would be 0.5004 lb/1000 gal; the house allows 0.5 lb/1000 gal.")
}

// A reading just under the limit for oxygen does not read as the limit itself.
func TestOxygenIsWrittenAsTheMeterShowsIt(t *testing.T) {
	for x, want := range map[float64]string{19.46: "O2 19.46 %, meter G2", 20.8: "O2 20.8 %, meter G2",
		21: "O2 21.0 %, meter G2"} {
		require.Equal(t, want, cellar.GasReading{O2: &x, Meter: "G2"}.Text())
	}
}
