package cellar_test

import (
	"encoding/json"
	"math"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/document"
	"cellar.example/mustwatch/domain/show"
	"cellar.example/mustwatch/domain/subject"
)

// addsUp fails where the parts of a vessel are not its volume, or what came of a load is
// not accounted for.
func addsUp(t interface{ Fatalf(string, ...any) }, d document.Document) {
	litres := map[string]int64{}
	for _, v := range d.Vessels {
		sum := int64(0)
		for _, p := range v.Parts {
			sum += p.ML
			litres[p.Load] += p.ML
		}
		if sum != v.Volume {
			t.Fatalf("%s holds %d mL, its parts are %d mL: %v", v.Vessel, v.Volume, sum, v.Parts)
		}
	}
	type poured struct{ product, in, at string }
	there, held := map[poured]float64{}, map[poured]float64{}
	for _, v := range d.Vessels {
		for _, x := range v.Doses {
			there[poured{x.Product, x.FirstIn, x.FirstAt.String()}] += x.Amount
		}
	}
	for _, g := range d.Given {
		if !g.AddsUp() || g.Out < 0 || g.Unexplained < 0 {
			t.Fatalf("does not add up: %+v", g)
		}
		held[poured{g.Product, g.FirstIn, g.FirstAt.String()}] += g.Held
	}
	for p, got := range there {
		if math.Abs(got-held[p]) > 1e-6 {
			t.Fatalf("of %v the vessels hold %g, its account says %g", p, got, held[p])
		}
	}
	total := document.Sums{}
	for _, b := range d.Balance {
		if !b.AddsUp() {
			t.Fatalf("load %s does not add up: %+v", b.Load, b.Sums)
		}
		if b.Held != litres[b.Load] {
			t.Fatalf("of load %s the vessels hold %d mL, the balance says %d", b.Load, litres[b.Load], b.Held)
		}
		total.Add(b.Sums)
	}
	if total != d.Total || !total.AddsUp() || d.Unexplained != total.Unexplained || d.Loss != total.Loss {
		t.Fatalf("total %+v, the loads come to %+v, unexplained %d, loss %d", d.Total, total, d.Unexplained, d.Loss)
	}
}

// TestShowAddsUp: whatever was saved, in whatever order, taken back or put at another
// time, the document of it adds up load by load and to the millilitre.
func TestShowAddsUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h, night := drawNight(t)
		if len(night) == 0 {
			return
		}
		said := rapid.Permutation(night).Draw(t, "saved")
		last := h.s.Seq
		for range rapid.IntRange(0, 3).Draw(t, "corrections") {
			of := pick(t, "of", night...)
			fix := takeBack(of, last)
			if rapid.Bool().Draw(t, "its time") {
				fix.Fact = &cellar.Corrected{Of: of.Seq, Vessel: "101", Field: "at", Reason: "drawn",
					Now: of.At.Add(time.Duration(rapid.IntRange(-90, 90).Draw(t, "off")) * time.Minute).Format(
						time.RFC3339)}
			}
			said, last = append(said, fix), last+1
		}
		addsUp(t, show.Cellar(replayed(t, said), h.now))
	})
}

// TestShowOfTheDemoNightAddsUp: at six in the morning the demo night is accounted for,
// also after it has been written out and read again.
func TestShowOfTheDemoNightAddsUp(t *testing.T) {
	h := playNight(t, nightAt("06:00"))
	text, err := json.Marshal(show.Cellar(h.s, nightAt("06:00")))
	require.NoError(t, err)
	var d document.Document
	require.NoError(t, json.Unmarshal(text, &d))
	addsUp(t, d)
	assert.Equal(t, int64(h.s.Total()/1000), d.Total.Held)
	assert.Positive(t, d.Loss)
	assert.Positive(t, d.Total.Out, "must went into presses")
	assert.NotEmpty(t, d.Given)
	for _, g := range d.Given {
		assert.Positive(t, g.Given, g)
		assert.Positive(t, g.Held+g.Out, g)
	}
	again, err := json.Marshal(show.Cellar(h.s, nightAt("06:00")))
	require.NoError(t, err)
	assert.Equal(t, string(text), string(again))
}

// TestShowSaysWhatStandsOfAVessel holds the document against the night's tables.
func TestShowSaysWhatStandsOfAVessel(t *testing.T) {
	h := playNight(t, nightAt("02:10"))
	d := show.Cellar(h.s, nightAt("02:10"))
	assert.Equal(t, document.Format, d.Format)
	assert.Equal(t, "Europe/Paris", d.Zone)
	assert.Equal(t, "2026-09-25T00:10:00Z", d.At.Format(time.RFC3339))
	of := func(number string) document.Vessel {
		return d.Vessels[slices.IndexFunc(d.Vessels, func(v document.Vessel) bool { return v.Vessel == number })]
	}
	v := of("504")
	assert.Equal(t, "contact", v.Stage)
	assert.Equal(t, 12.3, *v.Temp)
	require.NotNil(t, v.Contact)
	assert.Equal(t, nightAt("03:40").UTC(), v.Contact.Due)
	require.NotNil(t, v.Contact.Row)
	require.Len(t, v.Doses, 1)
	assert.InDelta(t, v.Doses[0].PerHL*float64(v.Volume)/100_000, v.Doses[0].Amount, 0.001)
	assert.Equal(t, document.Step{Step: "move", Can: false, Why: []string{"contact"}}, v.Can[len(v.Can)-1])

	assert.Equal(t, []document.Step{{Step: "float", Can: false, Why: []string{"H15"}}, {Step: "move", Can: false,
		Why: []string{"H15"}}}, of("209").Can[1:])
	assert.Len(t, of("209").Parts, 2, "rosé juice in it")
	assert.Equal(t, "NEGATIVE", of("104").Check.Verdict)
	assert.Equal(t, []string{"not-before"}, of("104").Can[len(of("104").Can)-1].Why)
	assert.Empty(t, of("101").Can)
	test := d.Clocks[slices.IndexFunc(d.Clocks, func(c document.Clock) bool { return c.Subject.Name == "102" })]
	assert.Equal(t, document.Clock{Subject: subject.Of(subject.Vessel, "102"), Verb: "test", What: "act-at",
		Due: nightAt("02:00").UTC(), State: document.Rings}, test)
}

// TestShowInGallonsAddsUp: a gallon is no whole number of millilitres; what is counted in
// gallons adds up anyway, and what is missing stands there.
func TestShowInGallonsAddsUp(t *testing.T) {
	h := openHouse(t)
	for _, l := range []string{
		`{"do":"move","at":"2026-09-24T20:00:00+02:00","by":"NS","from":"101","to":[{"vessel":"201",` +
			`"volume":"333 US gal"},{"vessel":"206","volume":"667 US gal"}],"loss":"5 US gal","part":true,` +
			`"happened":true}`,
		`{"do":"move","at":"2026-09-24T21:00:00+02:00","by":"NS","from":"201","to":[{"vessel":"206",` +
			`"volume":"300 US gal"}],"happened":true,"answers":[{"rule":"W15"}]}`,
	} {
		require.NoError(t, h.line(l))
	}
	d := show.Cellar(h.s, h.now)
	addsUp(t, d)
	assert.Equal(t, int64(18_927), d.Loss, "5 gal of 231 cubic inches, 3785.411784 mL each")
	assert.InDelta(t, 33*3785.411784, d.Unexplained, 1)
}

// TestShowHasNoRowOfNothing: less than the millilitres in which loads are counted came of a
// tank that was empty, and the balance has no row of it.
func TestShowHasNoRowOfNothing(t *testing.T) {
	h := openHouse(t)
	h.say(t, `20:00 NS {"do":"move","from":"206","to":[{"vessel":"101","volume":"0.0000003 hL"}],"blend":true,`+
		`"part":true,"happened":true}`)
	for _, b := range show.Cellar(h.s, h.now).Balance {
		require.NotZero(t, b.Sums, b.Load)
	}
}
