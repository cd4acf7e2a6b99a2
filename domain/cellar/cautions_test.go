package cellar_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/caution"
	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/contact"
	"cellar.example/mustwatch/domain/dose"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/stage"
)

// Every class of product in every form has a caution, acid, nutrient and other too:
// a powder one on what is breathed in, a liquid one on skin and eyes.
func TestEveryClassAndFormIsCautioned(t *testing.T) {
	breathed := []caution.Code{caution.Powder, caution.Dust, caution.Sulphite}
	splashed := []caution.Code{caution.Enzyme, caution.Label, caution.Sulphite}
	for _, k := range append(cellar.Classes(), "of a newer journal") {
		assert.True(t, someOf(k.Cautions(false), breathed), "%s as a powder: %v", k, k.Cautions(false))
		assert.True(t, someOf(k.Cautions(true), splashed), "%s as a liquid: %v", k, k.Cautions(true))
		for _, liquid := range []bool{false, true} {
			for _, c := range k.Cautions(liquid) {
				assert.NotEmpty(t, c.Text(), c)
			}
		}
	}
	for _, c := range []struct {
		class  cellar.Class
		liquid bool
		want   caution.Code
	}{
		{cellar.EnzymeClarify, false, caution.Powder}, {cellar.EnzymeClarify, true, caution.Enzyme}, {cellar.SO2, false, caution.Sulphite}, {cellar.SO2, true, caution.Sulphite},
		{cellar.Bentonite, false, caution.Dust}, {cellar.Carbon, false, caution.Dust}, {cellar.Acid, false, caution.Label}, {cellar.Acid, true, caution.Label},
		{cellar.Nutrient, false, caution.Label}, {cellar.OtherClass, false, caution.Label}, {cellar.OtherClass, true, caution.Label}, {cellar.Protein, true, caution.Allergen},
	} {
		assert.Contains(t, c.class.Cautions(c.liquid), c.want, "%s, liquid %t", c.class, c.liquid)
	}
}

func someOf(have, want []caution.Code) bool {
	for _, c := range have {
		for _, w := range want {
			if c == w {
				return true
			}
		}
	}
	return false
}

// What a product goes into counts too: a powder makes an active ferment erupt, and
// hot must scalds whatever is poured into it.
func TestCautionsGoByTheStateOfTheMust(t *testing.T) {
	temp := func(c quantity.Celsius) cellar.Reading { return cellar.Reading{Measured: cellar.Measured{Temp: &c}} }
	powder, liquid := &cellar.Product{Class: cellar.Nutrient}, &cellar.Product{Class: cellar.Nutrient, Liquid: true}
	solution := &cellar.Product{Class: cellar.SO2, Card: cellar.Card{Card: contact.Card{}, Strength: dose.Strength{Value: 150, Unit: dose.GPerL}}}
	juice, ferment := &cellar.Content{Stage: stage.Waiting, Kind: stage.Juice}, &cellar.Content{Stage: stage.Fermenting, Kind: stage.Juice}
	assert.NotContains(t, juice.Receives(powder), caution.Eruption)
	assert.Contains(t, ferment.Receives(powder), caution.Eruption)
	assert.NotContains(t, ferment.Receives(liquid), caution.Eruption)
	assert.NotContains(t, ferment.Receives(solution), caution.Eruption)
	assert.Contains(t, ferment.Cautions(), caution.CO2)

	for _, c := range []struct {
		name string
		in   cellar.Content
		want bool
	}{
		{"hot hold", cellar.Content{Stage: stage.HotHold, Kind: stage.HotMust, Last: temp(68)}, true},
		{"hot hold that was read cold", cellar.Content{Stage: stage.HotHold, Kind: stage.HotMust, Last: temp(20)}, true},
		{"over 45 on its way down", cellar.Content{Stage: stage.CooledBack, Kind: stage.HotMust, Last: temp(45.1)}, true},
		{"45 and below", cellar.Content{Stage: stage.CooledBack, Kind: stage.HotMust, Last: temp(45)}, false},
		{"hot must nobody has read", cellar.Content{Stage: stage.Contact, Kind: stage.HotMust}, true},
		{"any must over 45", cellar.Content{Stage: stage.Waiting, Kind: stage.RedMust, Last: temp(52)}, true},
		{"juice nobody has read", cellar.Content{Stage: stage.Waiting, Kind: stage.Juice}, false},
		{"empty", cellar.Content{Stage: stage.Dirty, Last: temp(68)}, false},
	} {
		assert.Equal(t, c.want, c.in.Scalds(), c.name)
	}
	press := cellar.Press{Kind: stage.HotMust, State: cellar.PressStopped, Parts: []cellar.PressPart{{}}}
	assert.Equal(t, []caution.Code{caution.Machine, caution.Restart, caution.Scald}, press.Cautions())
}

// Every stage in which a vessel is empty, gassed, hot or working has its caution.
func TestStagesAreCautioned(t *testing.T) {
	for stage, want := range map[stage.Stage]caution.Code{stage.Clean: caution.Entry, stage.Dirty: caution.Entry, stage.OutOfUse: caution.Entry, stage.DrawingOff: caution.Entry,
		stage.Cleaning: caution.Caustic, stage.Flotation: caution.GasCover, stage.CapRise: caution.GasCover, stage.HotHold: caution.Scald,
		stage.CooledBack: caution.Scald, stage.Fermenting: caution.CO2, stage.Maceration: caution.CO2} {
		require.Contains(t, stage.Cautions(), want, stage)
	}
	for _, stage := range stage.Stages() {
		if stage.Empty() {
			require.NotEmpty(t, stage.Cautions(), stage)
		}
	}
}
