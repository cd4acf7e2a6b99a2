package quantity_test

import (
	"encoding"
	"encoding/json"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	. "cellar.example/mustwatch/domain/quantity"
)

// all holds one of each quantity, as a fact of the journal does.
type all struct {
	System  System          `json:"system,omitzero"`
	Volume  Volume          `json:"volume,omitzero"`
	Mass    Mass            `json:"mass,omitzero"`
	Celsius Celsius         `json:"celsius,omitzero"`
	Density Density         `json:"density,omitzero"`
	Span    Span            `json:"span,omitzero"`
	Unit    RateUnit        `json:"unit,omitzero"`
	Rate    Rate            `json:"rate,omitzero"`
	Amount  Amount          `json:"amount,omitzero"`
	NTU     NTU             `json:"ntu,omitzero"`
	PH      PH              `json:"ph,omitzero"`
	Brix    Brix            `json:"brix,omitzero"`
	Bar     Bar             `json:"bar,omitzero"`
	Percent Percent         `json:"percent,omitzero"`
	By      map[string]Mass `json:"by,omitzero"`
	Key     map[Volume]Span `json:"key,omitzero"`
	Often   []Celsius       `json:"often,omitzero"`
	Maybe   *Rate           `json:"maybe,omitzero"`
}

const most = 1_000_000_000_000_000

var units = []RateUnit{GPerHL, MgPerL, MLPerHL, LbPer1000Gal, OzPer1000Gal, GPer100Kg, GPerT, MLPerT, LbPerShortTon,
	FlOzPerShortTon}

func drawRate(t *rapid.T, name string) Rate {
	return Rate{Value: rapid.Float64Range(0, 1e6).Draw(t, name), Unit: rapid.SampledFrom(units).Draw(t, name+" unit")}
}

// What is written to the journal comes back as it was, whatever it was.
func TestJSONRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		count := rapid.Int64Range(-most, most)
		rate := drawRate(t, "maybe")
		in := all{
			System:  rapid.SampledFrom([]System{Metric, US}).Draw(t, "system"),
			Volume:  Volume(count.Draw(t, "volume")),
			Mass:    Mass(count.Draw(t, "mass")),
			Celsius: Celsius(rapid.Float64Range(-50, 150).Draw(t, "celsius")),
			Density: Density(float64(rapid.IntRange(50000, 200000).Draw(t, "density")) / 100000),
			Span:    Span(rapid.Int64().Draw(t, "span")),
			Unit:    rapid.SampledFrom(units).Draw(t, "unit"),
			Rate:    drawRate(t, "rate"),
			NTU:     NTU(rapid.IntRange(0, 9999).Draw(t, "ntu")),
			PH:      PH(rapid.Float64Range(0, 14).Draw(t, "ph")),
			Brix:    Brix(rapid.Float64Range(-10, 80).Draw(t, "brix")),
			Bar:     Bar(rapid.Float64Range(-1, 100).Draw(t, "bar")),
			Percent: Percent(rapid.Float64Range(-1000, 1000).Draw(t, "percent")),
			By:      map[string]Mass{"tub": Mass(count.Draw(t, "tub"))},
			Key:     map[Volume]Span{Volume(count.Draw(t, "key")): Span(count.Draw(t, "value"))},
			Often:   []Celsius{0, Celsius(rapid.Float64Range(-50, 150).Draw(t, "often"))},
			Maybe:   &rate,
		}
		if rapid.Bool().Draw(t, "liquid") {
			in.Amount.Volume = Volume(count.Draw(t, "amount"))
		} else {
			in.Amount.Mass = Mass(count.Draw(t, "amount"))
		}
		text, err := json.Marshal(in)
		require.NoError(t, err)
		var out all
		require.NoError(t, json.Unmarshal(text, &out), string(text))
		assert.Equal(t, in, out, string(text))
	})
}

func TestZeroIsOmittedAndReadBack(t *testing.T) {
	text, err := json.Marshal(all{})
	require.NoError(t, err)
	assert.JSONEq(t, "{}", string(text))
	zeros := []encoding.TextMarshaler{
		Metric, Volume(0), Mass(0), Celsius(0), Density(0), Span(0), RateUnit(""), Rate{}, Amount{}, NTU(0), PH(0),
		Brix(0), Bar(0), Percent(0),
	}
	targets := func() []encoding.TextUnmarshaler {
		return []encoding.TextUnmarshaler{
			new(System), new(Volume), new(Mass), new(Celsius), new(Density), new(Span), new(RateUnit), new(Rate),
			new(Amount), new(NTU),
			new(PH), new(Brix), new(Bar), new(Percent),
		}
	}
	fresh := targets()
	for i, target := range targets() {
		text, err := zeros[i].MarshalText()
		require.NoError(t, err)
		require.NoError(t, target.UnmarshalText(text), "%T %q", zeros[i], text)
		assert.Equal(t, fresh[i], target)
		require.NoError(t, target.UnmarshalText(nil), "%T", zeros[i])
		assert.Equal(t, fresh[i], target)
		sentence(t, target.UnmarshalText([]byte("??")))
		assert.Equal(t, fresh[i], target, "what is refused changes nothing")
	}
}

// A figure in a file has no field beside it that says its unit: it is asked for,
// where there is more than one in a cellar.
func TestBareNumbersInTextAreAskedAbout(t *testing.T) {
	var (
		v Volume
		m Mass
		c Celsius
		d Density
		s Span
		r Rate
		a Amount
	)
	asked(t, v.UnmarshalText([]byte("192")), "192 hL", "192 US gal")
	asked(t, m.UnmarshalText([]byte(" 156")), "156 g", "156 kg", "156 lb")
	asked(t, c.UnmarshalText([]byte("15.2")), "15.2 °C", "15.2 °F")
	asked(t, r.UnmarshalText([]byte("1,5")), "1,5 g/hL", "1,5 mL/hL", "1,5 lb/1000 gal")
	asked(t, a.UnmarshalText([]byte("384")), "384 g", "384 mL")
	for text, to := range map[string]encoding.TextUnmarshaler{"1089": &d, "180": &s} {
		require.NoError(t, to.UnmarshalText([]byte(text)))
	}
	assert.Equal(t, "1.089", d.String())
	assert.Equal(t, "3 h", s.String())
	asked(t, v.UnmarshalText([]byte("600 gal")), "600 US gal", "600 imp gal")
}

func TestMetersReadTheirUnits(t *testing.T) {
	var b Bar
	require.NoError(t, b.UnmarshalText([]byte("80 psi")))
	assert.InDelta(t, 5.5158, float64(b), 1e-4)
	require.NoError(t, b.UnmarshalText([]byte("550 kPa")))
	assert.InDelta(t, 5.5, float64(b), 1e-12)
	var x Brix
	require.NoError(t, x.UnmarshalText([]byte("21,5 °Bx")))
	assert.Equal(t, Brix(21.5), x)
	var p PH
	require.NoError(t, p.UnmarshalText([]byte("pH 3.25"[3:])))
	sentence(t, p.UnmarshalText([]byte("15")))
	sentence(t, p.UnmarshalText([]byte("3 bar")))
	assert.Equal(t, PH(3.25), p)
	asked(t, b.ReadTyped("1,200 psi", Habit{}), "1.2 psi", "1200 psi")
}

func TestNoNumberIsNeverWritten(t *testing.T) {
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		for _, m := range []encoding.TextMarshaler{Celsius(x), Density(x), PH(x), Brix(x), Bar(x), Percent(x),
			Rate{x, GPerHL}} {
			_, err := m.MarshalText()
			sentence(t, err)
		}
		assert.Equal(t, "? °C", Celsius(x).Text(Metric))
		assert.Equal(t, "? °C", Celsius(x).String())
		assert.Equal(t, "? psi", Bar(x).Text(US))
	}
	for _, r := range []Rate{{1, "cups"}, {-1, GPerHL}} {
		_, err := r.MarshalText()
		sentence(t, err)
	}
}

// A conversion there and back loses nothing that a label shows, and a dose never
// changes its sign or its order.
func TestRateConversionProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := drawRate(t, "rate")
		to := rapid.SampledFrom(units).Draw(t, "to")
		there, err := r.To(to)
		if err != nil {
			assert.True(t, r.Unit.OnGrapes() != to.OnGrapes() || r.Unit.Liquid() != to.Liquid())
			return
		}
		back, err := there.To(r.Unit)
		require.NoError(t, err)
		assert.InDelta(t, r.Value, back.Value, 1e-12*r.Value)
	})
}
