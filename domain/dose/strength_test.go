package dose_test

import (
	"encoding/json"
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"cellar.example/mustwatch/domain/dose"
	"cellar.example/mustwatch/domain/quantity"
)

// metric is a house that has named no decimal sign.
var metric = quantity.Metric.Habit()

// TestPublishedMetabisulphite: 2 SO2 in K2S2O5 by the molar masses 64.066 and 222.32 g/mol
// (IUPAC standard atomic weights, from memory); 57.6 % is what the trade prints.
func TestPublishedMetabisulphite(t *testing.T) {
	require.InDelta(t, 2*64.066/222.32, dose.TheoryShare, 0.0005)
	s, err := dose.ParseStrength("57.6 % SO2", metric)
	require.NoError(t, err)
	// 50 mg/L in 100 hL: 500 g of SO2 are 868 g of metabisulphite (computed).
	require.Equal(t, "868.1 g", s.Product(500*quantity.Gram).String())
	require.Equal(t, "347.2 g", s.Product(200*quantity.Gram).String())
}

// TestStrengthSaysOfWhat: a strength without a unit, and a per cent that says neither of
// SO2 nor of salt, are asked; in a can marked 10 % there may be 100 or 57.6 g in a litre.
func TestStrengthSaysOfWhat(t *testing.T) {
	for typed, want := range map[string]string{
		"150 g/L": "150 g/L", "150g/l": "150 g/L", "150 g/L SO2": "150 g/L", "100 g/L salt": "57.6 g/L",
		"100 g/L of metabisulphite": "57.6 g/L",
		"57.6 % SO2":                "57.6 % SO2", "57.6% of SO2": "57.6 % SO2", "10 % salt": "5.76 % SO2",
		"10% w/v K2S2O5": "5.76 % SO2",
		"100 % SO2":      "100 % SO2", "100 % salt": "57.6 % SO2", "57,6 % so2": "57.6 % SO2",
	} {
		s, err := dose.ParseStrength(typed, metric)
		require.NoError(t, err, typed)
		require.Equal(t, want, s.String(), typed)
	}
	var ask *quantity.AskError
	for typed, says := range map[string]string{
		"60":    `"60" has no unit: type 60 g/L, 60 % SO2 or 60 % salt.`,
		"100%":  `"100%" of what? Salt is potassium metabisulphite, 57.6 % SO2: type 100 % SO2 or 100 % salt.`,
		"10 %":  `"10 %" of what? Salt is potassium metabisulphite, 57.6 % SO2: type 10 % SO2 or 10 % salt.`,
		"1,500": `"1,500" has no unit: type 1,500 g/L, 1,500 % SO2 or 1,500 % salt.`,
	} {
		_, err := dose.ParseStrength(typed, metric)
		require.ErrorAs(t, err, &ask, typed)
		require.EqualError(t, err, says)
		for _, o := range ask.Options {
			_, err := dose.ParseStrength(o, metric)
			require.NoError(t, err, o)
		}
	}
	for _, typed := range []string{"", "strong", "-5 g/L", "0 g/L", "1200 g/L", "101 % SO2", "5 % m/m SO2", "5 SO2",
		"5 kg", "5 % sugar"} {
		_, err := dose.ParseStrength(typed, metric)
		require.Error(t, err, typed)
		require.False(t, errors.As(err, &ask), typed)
	}
	s, err := dose.ParseSolution("10 %", metric)
	require.NoError(t, err)
	require.Equal(t, "100 g/L", s.String(), "any other product has one reading: w/v")
	_, err = dose.ParseSolution("10", metric)
	require.EqualError(t, err, `"10" has no unit: type 10 g/L or 10 %.`)
	for _, typed := range []string{"100 %", "10 % SO2", "1200 g/L", "0 %", ""} {
		_, err = dose.ParseSolution(typed, metric)
		require.Error(t, err, typed)
	}
}

// TestActiveOfWhatWasMeasured goes there and back, and counts the difference only where
// it is more than the rounding of the measure.
func TestActiveOfWhatWasMeasured(t *testing.T) {
	fifty, powder := dose.Strength{Value: 50, Unit: dose.GPerL}, dose.Strength{Value: 57.6, Unit: dose.OfSO2}
	assert.Equal(t, g(235), fifty.Active(ml(4700)))
	assert.Equal(t, g(57.6), powder.Active(g(100)))
	assert.Equal(t, g(100), fifty.Active(g(100)), "a powder has no strength in a litre")
	assert.Equal(t, ml(100), powder.Active(ml(100)))
	assert.Equal(t, g(100), dose.Strength{}.Active(g(100)))
	assert.Equal(t, g(160), fifty.Counted(g(160), ml(3200)))
	assert.Equal(t, g(235), fifty.Counted(g(160), ml(4700)))
	strong := dose.Strength{Value: 150, Unit: dose.GPerL}
	assert.Equal(t, g(416), strong.Counted(g(416), ml(2770)), "2.773 L are read as 2.77")
	assert.Equal(t, g(417), strong.Counted(g(416), ml(2780)))
	rapid.Check(t, func(t *rapid.T) {
		s := dose.Strength{Value: rapid.Float64Range(1, 100).Draw(t, "value"),
			Unit: rapid.SampledFrom([]dose.StrengthUnit{dose.GPerL, dose.OfSO2}).Draw(t, "unit")}
		asked := quantity.Grams(math.Round(rapid.Float64Range(1, 1e5).Draw(t, "g")*10) / 10)
		require.Equal(t, quantity.Amount{Mass: asked}, s.Counted(quantity.Amount{Mass: asked}, s.Product(asked)))
	})
}

// TestPublishedCodexMinimum: a solution of SO2 holds 50 g/L or more. Source: International
// Oenological Codex, sulphur dioxide, read.
func TestPublishedCodexMinimum(t *testing.T) {
	at := func(x float64) string { return dose.Strength{Value: x, Unit: dose.GPerL}.BelowCodex() }
	require.Equal(t,
		"49.9 g/L is weaker than the International Oenological Codex allows for a solution of SO2: 50 g/L.", at(49.9))
	require.Empty(t, at(50))
	require.Empty(t, dose.Strength{Value: 40, Unit: dose.OfSO2}.BelowCodex(), "a powder is no solution")
	require.Empty(t, dose.Strength{}.BelowCodex())
}

// TestStrengthAsText: it comes back as it was written, and older journals have a number.
func TestStrengthAsText(t *testing.T) {
	type card struct {
		Strength dose.Strength `json:"strength,omitzero"`
	}
	for _, s := range []dose.Strength{{}, {Value: 150, Unit: dose.GPerL}, {Value: 57.6, Unit: dose.OfSO2},
		{Value: 5.76, Unit: dose.OfSO2}} {
		text, err := json.Marshal(card{s})
		require.NoError(t, err)
		var back card
		require.NoError(t, json.Unmarshal(text, &back), string(text))
		require.Equal(t, s, back.Strength)
	}
	var old card
	require.NoError(t, json.Unmarshal([]byte(`{"strength":150}`), &old))
	require.True(t, old.Strength.Poured())
	require.Equal(t, "150 g/L", old.Strength.String())
	require.Equal(t, "2.77 L", old.Strength.Product(416*quantity.Gram).String())
	require.Error(t, json.Unmarshal([]byte(`{"strength":"150"}`), &old))
	require.Error(t, json.Unmarshal([]byte(`{"strength":{}}`), &old))
}

func FuzzParseStrength(f *testing.F) {
	for _, s := range []string{"150 g/L", "57.6 % SO2", "10% salt", "1,500 g/L", "100%", "NaN g/L", "1e9 %", "% SO2",
		"٣ g/L"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, typed string) {
		for _, parse := range []func(string, quantity.Habit) (dose.Strength, error){dose.ParseStrength,
			dose.ParseSolution} {
			s, err := parse(typed, metric)
			if err != nil {
				require.NotContains(t, err.Error(), "%!")
				continue
			}
			require.True(t, s.Value > 0 && s.Value <= 1000, typed)
			again, err := dose.ParseStrength(s.String(), metric)
			require.NoError(t, err, s.String())
			require.InEpsilon(t, s.Value, again.Value, 1e-4)
		}
	})
}
