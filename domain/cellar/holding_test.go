package cellar_test

import (
	"encoding/json"
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
)

// eighty puts 80 hL into 103 and books in a weak solution and metabisulphite.
var eighty = []string{
	`18:10 MA {"do":"move","from":"101","to":[{"vessel":"103","volume":"80 hL"}],"part":true}`,
	`18:11 MA {"do":"product","product":"S-50","name":"SO2 solution","class":"SO2","unit":"mg/L","liquid":true,` +
		`"open":"20 L","card":{"strength":"50 g/L"}}`,
	`18:12 MA {"do":"product","product":"KMS","name":"potassium metabisulphite","class":"SO2","unit":"g/hL",` +
		`"open":"1 kg","card":{"strength":"57.6 % SO2"}}`,
}

func perHL(t *testing.T, h *house, p cellar.TankNumber) float64 {
	t.Helper()
	v, ok := h.s.Vessel(p)
	require.True(t, ok)
	require.Len(t, v.Now.Doses, 1)
	return v.Now.Doses[0].PerHL
}

// TestTheSumCountsWhatWasPoured: 4.7 L of 50 g/L on 80 hL are 235 g, 2.94 g/hL, whatever
// rate was typed; a corrected amount changes the sum, in the juice that has left the tank
// as well.
func TestTheSumCountsWhatWasPoured(t *testing.T) {
	h := openHouse(t)
	h.say(t, eighty...)
	dose := `{"do":"dose","vessel":"103","product":"S-50","rate":"20 mg/L","amount":"4.7 L"}`
	r, err := h.s.Calculate(parsed[*cellar.GiveDose](t, dose), at("18:20"))
	require.NoError(t, err)
	require.InDelta(t, 2.94, r.PerHL, 0.005)
	require.InDelta(t, 2.94, r.Total, 0.005)
	h.say(t, "18:20 NS "+dose)
	require.InDelta(t, 2.94, perHL(t, h, "103"), 0.005)
	require.Equal(t, "S-50 20 mg/L, 4.7 L (235 g of SO2)", lastEvent(h.s))
	p, _ := h.s.Product("S-50")
	require.Equal(t, "15.3 L", p.Open.String())

	h.say(t, `18:30 NS {"do":"move","from":"103","to":[{"vessel":"401","volume":"40 hL"}],"part":true}`)
	require.InDelta(t, 2.94, perHL(t, h, "401"), 0.005)
	half, _ := h.s.Vessel("401")
	require.Equal(t, "2.35 L", half.Now.Doses[0].Got().String(), "half of the 4.7 L")
	of := correctable(h, "amount").Of
	h.say(t, fmt.Sprintf(`18:40 NS {"do":"correct","of":%d,"vessel":"103","field":"amount","value":"3.2 L",`+
		`"reason":"misread the jug"}`, of))
	require.InDelta(t, 2.0, perHL(t, h, "103"), 1e-9)
	require.InDelta(t, 2.0, perHL(t, h, "401"), 1e-9, "and where the juice went")
	require.Equal(t, "16.8 L", p.Open.String())
}

// TestTheSumStopsAtTheHousesLimitByWhatWasPoured: at the rate it would be within.
func TestTheSumStopsAtTheHousesLimitByWhatWasPoured(t *testing.T) {
	h := openHouse(t)
	h.say(t, eighty...)
	require.NoError(t, h.hear(`18:20 NS {"do":"dose","vessel":"103","product":"S-50","rate":"5 g/hL"}`))
	h = openHouse(t)
	h.say(t, eighty...)
	require.ErrorContains(t, h.hear(`18:20 NS {"do":"dose","vessel":"103","product":"S-50","rate":"5 g/hL",`+
		`"amount":"11 L"}`), "H07: With this the SO2 of 103 would be 6.9 g/hL; the house allows 6 g/hL.")
}

// TestMetabisulphiteIsWeighedByItsShare: 200 g of SO2 are 347.2 g of it (at 57.6 %), out
// of the tub and in the words of the log; the sum counts the SO2.
func TestMetabisulphiteIsWeighedByItsShare(t *testing.T) {
	h := openHouse(t)
	h.say(t, eighty...)
	r, err := h.s.Calculate(parsed[*cellar.GiveDose](t,
		`{"do":"dose","vessel":"103","product":"KMS","rate":"2.5 g/hL"}`),
		at("18:20"))
	require.NoError(t, err)
	require.Equal(t, "347.2 g", r.Drawn.String())
	require.Equal(t, "200 g", r.Active.String())
	require.InDelta(t, 2.5, r.PerHL, 1e-9)
	h.say(t, `18:20 NS {"do":"dose","vessel":"103","product":"KMS","rate":"2.5 g/hL"}`)
	p, _ := h.s.Product("KMS")
	require.Equal(t, "652.8 g", p.Open.String())
	require.Equal(t, "KMS 2.5 g/hL, 347.2 g (200 g of SO2)", lastEvent(h.s))
	require.InDelta(t, 2.5, perHL(t, h, "103"), 1e-9)
	// What is weighed instead counts by the same share: 500 g hold 288 g.
	r, err = h.s.Calculate(parsed[*cellar.GiveDose](t, `{"do":"dose","vessel":"101","product":"KMS","rate":"2 g/hL",`+
		`"volume":"120 hL","amount":"500 g"}`), at("18:25"))
	require.NoError(t, err)
	require.Equal(t, "288 g", r.Active.String())
	require.ErrorContains(t, h.hear(`18:25 NS {"do":"dose","vessel":"101","product":"KMS","rate":"30 mL/hL"}`),
		"KMS is dosed in g/hL, not in mL/hL")
	h.say(t, `18:30 NS {"do":"weighed","vessel":"101","product":"KMS","rate":"2 g/hL"}`)
	require.Equal(t, "416.7 g", h.s.WeighedFor("101")[0].Drawn.String())
	require.Equal(t, "236.1 g", p.Open.String())
}

// TestASolutionMayBeDosedAsItIsPoured: 40 mL/hL of 50 g/L are 2 g/hL of SO2 in the sum.
func TestASolutionMayBeDosedAsItIsPoured(t *testing.T) {
	h := openHouse(t)
	h.say(t, eighty...)
	h.say(t, `18:20 NS {"do":"dose","vessel":"103","product":"S-50","rate":"40 mL/hL"}`)
	require.InDelta(t, 2.0, perHL(t, h, "103"), 1e-9)
	require.Equal(t, "S-50 40 mL/hL, 3.2 L (160 g of SO2)", lastEvent(h.s))
}

// TestGramsAndMillilitresHaveNoSum: a liquid enzyme on top of a powder.
func TestGramsAndMillilitresHaveNoSum(t *testing.T) {
	h := openHouse(t)
	h.say(t, dosed101[0], `18:11 MA {"do":"product","product":"E-L","name":"liquid enzyme","class":"enzyme-clarify",`+
		`"unit":"mL/hL","liquid":true,"open":"5 L","card":{"low":"1 mL/hL","high":"4 mL/hL","max":"5 mL/hL"}}`)
	r, err := h.s.Calculate(parsed[*cellar.GiveDose](t,
		`{"do":"dose","vessel":"101","product":"E-L","rate":"4 mL/hL"}`),
		at("18:20"))
	require.NoError(t, err)
	require.InDelta(t, 4.0, r.Total, 1e-9)
	require.Equal(t, 2, r.Number, "it is the second dose anyway")
}

// TestTheStrengthOfALotIsAsked at its field, in the forms in which it can be typed.
func TestTheStrengthOfALotIsAsked(t *testing.T) {
	h := openHouse(t)
	book := func(rest string) string { return `18:30 MA {"do":"product","product":"X","name":"x",` + rest + `}` }
	for rest, says := range map[string]string{
		`"class":"SO2","unit":"g/hL","liquid":true,"card":{"strength":60}`: "strength: 60 of what? Type the " +
			"strength with its unit, 60 g/L, 60 % SO2 or 60 % salt",
		`"class":"SO2","unit":"g/hL","open":"1 kg"`: "strength: how much SO2 is in X? Type 150 g/L for a " +
			"solution, 57.6 % SO2 for potassium metabisulphite, 100 % SO2 for the gas",
		`"class":"SO2","unit":"g/hL","open":"1 kg","card":{"strength":"60 g/L"}`: "strength: X is weighed, 1 " +
			"kg of it: g/L is the strength of a solution.",
		`"class":"SO2","unit":"g/hL","card":{"strength":"10 % salt"}`: "strength: 5.76 % SO2 in something that " +
			"is weighed? Metabisulphite holds 57.6 %; for a solution type 57.6 g/L",
		`"class":"enzyme-clarify","unit":"g/hL","card":{"strength":"57.6 % SO2"}`: "strength: only SO2 is " +
			"dosed by the SO2 in it; for a solution of enzyme-clarify type g/L",
		`"class":"SO2","unit":"g/hL","liquid":true,"open":"1 kg","card":{"strength":"57.6 % SO2"}`: "strength: X is " +
			"weighed, 1 kg of it",
		`"class":"bentonite","unit":"g/hL","open":"3 L"`: "open: X is counted in g or kg, not 3 L",
		`"class":"enzyme-clarify","unit":"mL/hL","liquid":true,"open":"3 L","sealed":2,"size":"1 kg"`: "open: X is counted " +
			"in mL or L, not 1 kg",
	} {
		require.ErrorContains(t, h.hear(book(rest)), says, rest)
	}
	require.ErrorContains(t, h.hear(`18:30 MA {"do":"product","product":"E-1","name":"e","class":"enzyme-clarify",`+
		`"unit":"g/hL","card":{"strength":"60 g/L"}}`),
		"strength: E-1 is weighed, 2 kg of it: g/L is the strength of a solution.",
		"a powder with a strength typed into its card")
	h.say(t, book(`"class":"SO2","unit":"g/hL","liquid":true,"open":"5 L","card":{"strength":"10 % salt"}`))
	p, _ := h.s.Product("X")
	require.Equal(t, "57.6 g/L", p.Card.Strength.String(), "a per cent of a solution is w/v")
	h.say(t, book(`"class":"SO2","unit":"g/hL","card":{"strength":"60 g/L"}`))
	require.True(t, p.Poured())
}

// older turns records of this version into those of the first: a strength was a bare
// number, and a dose kept what the rate asked for.
func older(t *testing.T, fact cellar.Fact, text string) cellar.Fact {
	t.Helper()
	require.NoError(t, json.Unmarshal([]byte(text), fact))
	return fact
}

// TestOlderJournalsCountWhatWasPoured: their sums are corrected as they are read, their
// solutions keep their strength, and a lot whose strength nobody knows is asked for it.
func TestOlderJournalsCountWhatWasPoured(t *testing.T) {
	h := openHouse(t)
	h.say(t, eighty[0])
	write := func(f cellar.Fact) {
		cellar.Apply(h.s, cellar.Record{Seq: h.s.Seq + 1, At: h.now, Written: h.now, By: "NS", Fact: f})
	}
	h.now = at("18:20").Add(time.Second)
	write(older(t, &cellar.ProductBooked{}, `{"product":"S-O","name":"SO2","class":"SO2","liquid":true,`+
		`"unit":"mg/L","card":{"rows":null,"floor":"0.0 °C","ceiling":"0.0 °C","strength":50},"open":"20 L"}`))
	write(older(t, &cellar.Dosed{}, `{"vessel":"103","at":"2026-09-24T16:20:00Z","by":"NS","product":"S-O",`+
		`"class":"SO2","rate":"20 mg/L","per_hl":2,"amount":"160 g","drawn":"4.7 L","treated":"80 hL","number":1,`+
		`"where":"103"}`))
	require.InDelta(t, 2.94, perHL(t, h, "103"), 0.005)
	h.say(t, fmt.Sprintf(`18:40 NS {"do":"correct","of":%d,"vessel":"103","field":"amount","value":"3.2 L",`+
		`"reason":"misread"}`, correctable(h, "amount").Of))
	require.InDelta(t, 2.0, perHL(t, h, "103"), 1e-9)

	write(older(t, &cellar.ProductBooked{}, `{"product":"K-O","name":"metabisulphite","class":"SO2","unit":"g/hL",`+
		`"open":"1 kg"}`))
	dose := `{"do":"dose","vessel":"101","product":"K-O","rate":"2 g/hL"`
	require.ErrorContains(t, h.hear("18:50 NS "+dose+"}"), "product: how much SO2 is in K-O? Enter its strength on "+
		"its card first (u)")
	h.say(t, "18:50 NS "+dose+`,"amount":"240 g","happened":true}`) // what was poured can be written
	write(older(t, &cellar.CardSet{}, `{"product":"K-O","name":"metabisulphite","class":"SO2","unit":"g/hL",`+
		`"card":{"rows":null,"floor":"0.0 °C","ceiling":"0.0 °C","strength":60}}`))
	require.ErrorContains(t, h.hear("18:55 NS "+dose+"}"), "product: the open container of K-O is counted in g or "+
		"kg, and it is measured in mL or L: correct its card or count it again first (u)")
}

// parsed reads a command of a known kind.
func parsed[C cellar.Command](t *testing.T, line string) C {
	t.Helper()
	c, err := cellar.ParseLine([]byte(line))
	require.NoError(t, err)
	return c.(C)
}
