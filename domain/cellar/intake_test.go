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

func intakes(all []cellar.Intake) []string {
	var out []string
	for _, x := range all {
		out = append(out, x.Says(quantity.Metric))
	}
	return out
}

// TestWhatCameAgainstThePlan: by grower and variety; a load that came as another
// variety leaves its own plan open, and what is booked for the next shift is not of
// this one.
func TestWhatCameAgainstThePlan(t *testing.T) {
	h := openHouse(t)
	h.say(t, `18:10 MA {"do":"shift-start","lead":"MA","ends":"2026-09-25T06:00:00+02:00"}`,
		`18:20 MA {"do":"book","load":"0601","variety":"Muscat","grower":"east slope","net":"20 t",`+
			`"booked":"2026-09-24T20:00:00+02:00"}`,
		`18:20 MA {"do":"book","load":"0602","variety":"Muscat","grower":"west slope","net":"10 t",`+
			`"booked":"2026-09-24T21:00:00+02:00"}`,
		`18:20 MA {"do":"book","load":"0603","variety":"Muscat","grower":"west slope","net":"10 t",`+
			`"booked":"2026-09-24T22:00:00+02:00"}`,
		`18:20 MA {"do":"book","load":"0604","variety":"Muscat","grower":"west slope","net":"10 t",`+
			`"booked":"2026-09-25T08:00:00+02:00"}`)
	h.say(t, `20:10 NS {"do":"load","load":"0601","gross":"32000 kg","tare":"12000 kg"}`,
		`21:00 NS {"do":"load","load":"0602","gross":"22000 kg","tare":"12000 kg"}`)
	require.Equal(t, []string{"Sauvignon, 0 of 1 load: 0.0 t", "Muscat of east slope, 1 of 1 load: 20.0 of 20.0 t",
		"Muscat of west slope, 1 of 2 loads: 10.0 of 20.0 t"}, intakes(h.s.Intakes(h.now)))

	require.ErrorContains(t, h.hear(`22:00 NS {"do":"load","load":"0605","variety":"muscat","grower":"East slope",`+
		`"gross":"22000 kg","tare":"12000 kg"}`),
		"D23: Load 0605 is Muscat of east slope number 2, 30.0 t in all; 1 booked. Is it this variety, and not "+
			"weighed already?")
	require.ErrorContains(t, h.hear(`22:00 NS {"do":"load","load":"0603","gross":"26000 kg","tare":"12000 kg"}`),
		"D23: Muscat of west slope comes to 24.0 t with load 0603; 20.0 t booked.")
	h.say(t, `22:10 NS {"do":"load","load":"0603","variety":"Sauvignon","gross":"22000 kg","tare":"12000 kg",`+
		`"answers":[{"rule":"D15"},{"rule":"D23"}]}`,
		`22:20 NS {"do":"load","load":"0604","gross":"22000 kg","tare":"12000 kg"}`)
	said := intakes(h.s.Intakes(h.now))
	require.Contains(t, said, "Muscat of west slope, 2 of 3 loads: 20.0 of 30.0 t",
		"what was meant for the next shift came in this one")
	require.Contains(t, said, "Sauvignon of west slope, 1 load, none booked: 10.0 t")
	s := handover.Sheet(h.s, h.now, sheet.Mark{})
	require.Contains(t, fmt.Sprint(s.Sums), "{Muscat of west slope 2 of 3 loads, 20.0 of 30.0 t}")
	require.NotContains(t, fmt.Sprint(s.Sums), "east slope", "what came as booked stands on the back")
	require.Contains(t, fmt.Sprint(s.Back.Plan), "{Muscat of east slope 1 of 1 load 20.0 of 20.0 t}")
}

// TestAHouseThatBooksNothingIsNotAsked: without any booking there is no plan.
func TestAHouseThatBooksNothingIsNotAsked(t *testing.T) {
	h := openHouse(t)
	h.say(t, weighed)
	h.say(t, `21:00 MA {"do":"shift-start","lead":"MA","ends":"2026-09-25T06:00:00+02:00"}`,
		`22:00 NS {"do":"load","load":"0609","variety":"Syrah","gross":"20000 kg","tare":"12000 kg"}`)
	require.Equal(t, []string{"Syrah, 1 load, none booked: 8.0 t"}, intakes(h.s.Intakes(h.now)))
}
