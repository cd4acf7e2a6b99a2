package quantity

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestFullLosesNothing(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{Grams(2.15).Full(Metric), "2.15 g"},
		{Grams(2.15).Text(Metric), "2.2 g"},
		{Kilograms(1.15).Full(Metric), "1.15 kg"},
		{Kilograms(2.5234).Full(Metric), "2.5234 kg"},
		{Kilograms(16).Full(Metric), "16 kg"},
		{HL(118.3).Full(Metric), "118.3 hL"},
		{HL(118.34567).Full(Metric), "118.34567 hL"},
		{HL(0.00392).Full(Metric), "392 mL"},
		{Amount{Volume: HL(0.0384123)}.Full(Metric), "3.8410 L"},
		{Amount{Mass: Grams(63)}.Full(Metric), "63 g"},
		{Celsius(14.25).Full(Metric), "14.25 °C"},
		{Celsius(14).Full(Metric), "14.0 °C"},
	} {
		require.Equal(t, c.want, c.got)
	}
}

func TestFullReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sys := rapid.SampledFrom([]System{Metric, US}).Draw(t, "system")
		h := Habit{sys, rapid.SampledFrom([]Decimal{"", Point, Comma, "ask"}).Draw(t, "decimal")}
		m := Mass(rapid.Int64Range(1, int64(40*Tonne)).Draw(t, "mass"))
		back, err := h.Mass(m.Full(sys), Gram)
		require.NoError(t, err)
		require.Equal(t, m, back, m.Full(sys))
		v := Volume(rapid.Int64Range(1, int64(5000*Hectolitre)).Draw(t, "volume"))
		vback, err := h.Volume(v.Full(sys))
		require.NoError(t, err)
		require.Equal(t, v, vback, v.Full(sys))
	})
}
