package cellar_test

import (
	"slices"
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
		{class: cellar.EnzymeClarify, want: caution.Powder}, {class: cellar.EnzymeClarify, liquid: true,
			want: caution.Enzyme}, {class: cellar.SO2, want: caution.Sulphite}, {class: cellar.SO2, liquid: true,
			want: caution.Sulphite},
		{class: cellar.Bentonite, want: caution.Dust}, {class: cellar.Carbon, want: caution.Dust}, {class: cellar.Acid,
			want: caution.Label}, {class: cellar.Acid, liquid: true, want: caution.Label},
		{class: cellar.Nutrient, want: caution.Label}, {class: cellar.OtherClass, want: caution.Label},
		{class: cellar.OtherClass, liquid: true, want: caution.Label}, {class: cellar.Protein, liquid: true,
			want: caution.Allergen},
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
	solution := &cellar.Product{Class: cellar.SO2, Card: cellar.Card{Card: contact.Card{},
		Strength: dose.Strength{Value: 150, Unit: dose.GPerL}}}
	night, density := &cellar.State{House: cellar.House{Limits: cellar.Limits{StartDrop: 2}}}, quantity.Density(1.070)
	for _, c := range []struct {
		name  string
		into  cellar.Content
		works bool
	}{
		{"juice", cellar.Content{Stage: stage.Waiting, Kind: stage.Juice, Volume: 1}, false},
		{"ferment", cellar.Content{Stage: stage.Fermenting, Kind: stage.Juice, Volume: 1}, true},
		{"starter", cellar.Content{Stage: stage.Waiting, Kind: stage.Yeast, Volume: 1}, true},
		{"red under its cap", cellar.Content{Stage: stage.Maceration, Kind: stage.RedMust, Volume: 1}, true},
		{"juice that started by itself", cellar.Content{Stage: stage.Settling, Kind: stage.Juice, Volume: 1,
			DensityWas: 1.080, Last: cellar.Reading{Measured: cellar.Measured{Density: &density}}}, true},
	} {
		v := &cellar.Vessel{Now: c.into}
		for _, x := range []struct {
			product *cellar.Product
			code    caution.Code
			want    bool
		}{
			{powder, caution.Eruption, c.works}, {powder, caution.Foaming, false},
			{liquid, caution.Eruption, false}, {liquid, caution.Foaming, c.works},
			{solution, caution.Eruption, false}, {solution, caution.Foaming, false},
			{powder, caution.CO2, c.works},
		} {
			assert.Equal(t, x.want, slices.Contains(night.Receives(v, x.product), x.code), "%s: %s", c.name, x.code)
		}
	}

	for _, c := range []struct {
		name string
		in   cellar.Content
		want bool
	}{
		{name: "hot hold", in: cellar.Content{Stage: stage.HotHold, Kind: stage.HotMust, Last: temp(68)}, want: true},
		{name: "hot hold that was read cold", in: cellar.Content{Stage: stage.HotHold, Kind: stage.HotMust,
			Last: temp(20)}, want: true},
		{name: "over 45 on its way down", in: cellar.Content{Stage: stage.CooledBack, Kind: stage.HotMust,
			Last: temp(45.1)}, want: true},
		{name: "45 and below", in: cellar.Content{Stage: stage.CooledBack, Kind: stage.HotMust, Last: temp(45)}},
		{name: "hot must nobody has read", in: cellar.Content{Stage: stage.Contact, Kind: stage.HotMust}, want: true},
		{name: "any must over 45", in: cellar.Content{Stage: stage.Waiting, Kind: stage.RedMust, Last: temp(52)},
			want: true},
		{name: "cooled down, nobody has read it", in: cellar.Content{Stage: stage.CooledBack, Kind: stage.RedMust},
			want: true},
		{name: "juice nobody has read", in: cellar.Content{Stage: stage.Waiting, Kind: stage.Juice}},
		{name: "empty", in: cellar.Content{Stage: stage.Dirty, Last: temp(68)}},
	} {
		assert.Equal(t, c.want, c.in.Scalds(), c.name)
	}
	press := cellar.Press{Kind: stage.HotMust, State: cellar.PressStopped, Parts: []cellar.PressPart{{}}}
	assert.Equal(t, []caution.Code{caution.Machine, caution.Restart, caution.Scald}, press.Cautions())
}

// Every stage in which a vessel is empty, gassed, hot or working has its caution.
func TestStagesAreCautioned(t *testing.T) {
	for stage, want := range map[stage.Stage]caution.Code{stage.Clean: caution.Entry, stage.Dirty: caution.Entry,
		stage.OutOfUse: caution.Entry, stage.DrawingOff: caution.Entry,
		stage.Cleaning: caution.Caustic, stage.Flotation: caution.GasCover, stage.CapRise: caution.GasCover,
		stage.HotHold: caution.Scald, stage.Fermenting: caution.CO2, stage.Maceration: caution.CO2} {
		require.Contains(t, stage.Cautions(), want, stage)
	}
	require.Empty(t, stage.CooledBack.Cautions(), "it scalds while it is over 45 °C, not by its stage")
	for _, stage := range stage.Stages() {
		if stage.Empty() {
			require.NotEmpty(t, stage.Cautions(), stage)
		}
	}
}
