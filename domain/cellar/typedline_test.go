package cellar_test

import (
	"errors"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/quantity"
)

// TestALineAsksAboutThreeDigits: a number with two readings is asked about in a line as
// it is in a form, at its field; a house that has named its decimal sign is not asked.
func TestALineAsksAboutThreeDigits(t *testing.T) {
	line := []byte(`{"do":"move","from":"101","to":[{"vessel":"203","volume":"150 hL"},{"vessel":"405",` +
		`"volume":"4.000 L"}]}`)
	_, err := cellar.ParseLine(line)
	var rej *cellar.Rejection
	require.True(t, errors.As(err, &rej))
	require.Equal(t, "to[1].volume", rej.Field)
	require.Contains(t, rej.Message(), "type 4 L or 4000 L")
	for sign, want := range map[quantity.Decimal]quantity.Volume{quantity.Point: 4 * quantity.Litre,
		quantity.Comma: 4000 * quantity.Litre} {
		c, err := cellar.House{Decimal: sign}.ParseLine(line)
		require.NoError(t, err)
		require.Equal(t, want, c.(*cellar.Move).To[1].Volume, sign)
	}
	c, err := cellar.House{Units: quantity.US}.ParseLine(
		[]byte(`{"do":"load","load":"77","gross":"16,200 lb","temp":"13.500 °C"}`))
	require.NoError(t, err)
	require.InDelta(t, 7348.2, c.(*cellar.WeighLoad).Gross.Kilograms(), 0.1)
	c, err = cellar.ParseLine([]byte(`{"do":"reading","vessel":"101","density":"1.083","temp":"13.500 °C"}`))
	require.NoError(t, err)
	require.InDelta(t, 1.083, float64(*c.(*cellar.TakeReading).Density), 1e-9)
}

// What the program writes as a line is read as it was, whatever its decimals.
func TestALineThatWasWrittenIsNotAsked(t *testing.T) {
	for _, h := range []cellar.House{{}, {Decimal: quantity.Comma}, {Units: quantity.US}} {
		want := &cellar.GiveDose{Head: cellar.Head{By: "NS"}, Vessel: "101", Rate: quantity.Rate{Value: 1.606,
			Unit: quantity.GPerHL}, Amount: quantity.Amount{Mass: 1_145_000}}
		text, err := cellar.FormatLine(want)
		require.NoError(t, err)
		got, err := h.ParseLine(text)
		require.NoError(t, err, string(text))
		require.Equal(t, want, got)
	}
}

// TestTheHouseNamesItsDecimalSign: it stays until it is named again.
func TestTheHouseNamesItsDecimalSign(t *testing.T) {
	h := openHouse(t)
	h.say(t, `18:10 MA {"do":"house","decimal":","}`)
	require.Equal(t, quantity.Comma, h.s.House.Habit().Decimal)
	h.say(t, `18:11 MA {"do":"house","limits":{"so2_max":"6 g/hL"}}`)
	require.Equal(t, quantity.Comma, h.s.House.Habit().Decimal)
	require.Error(t, h.hear(`18:12 MA {"do":"house","decimal":";"}`))
}
