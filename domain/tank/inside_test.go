package tank

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/quantity"
)

// What a house writes down comes back as it was, feet and inches too.
func TestInsideKeepsItsMeasures(t *testing.T) {
	in := Inside{Shape: "lying", Diameter: 7 * 12 * Inch, Length: 3.1, Head: 0.25, From: "top", Reference: 2.5}
	table := Inside{Marks: Table{{0, 0}, {12 * Inch, 26497883}, {1.5, quantity.HL(40)}}}
	for _, one := range []Inside{in, table} {
		text, err := json.Marshal(one)
		require.NoError(t, err)
		var back Inside
		require.NoError(t, json.Unmarshal(text, &back), string(text))
		assert.Equal(t, one, back)
	}
}

// A stick from the top and one from the bottom say the same of one level.
func TestInsideIsDippedFromEitherEnd(t *testing.T) {
	up := Inside{Shape: "box", Length: 2, Width: 2, Tall: 2}
	down := up
	down.From = "top"
	high := down
	high.Reference = 2.2
	for _, one := range []struct {
		in    Inside
		stick Length
	}{{up, 0.5}, {down, 1.5}, {high, 1.7}} {
		l, err := one.in.Dip(one.stick)
		require.NoError(t, err)
		assert.InDelta(t, 20, l.Volume.HL(), 1e-6)
	}
	_, err := high.Dip(0.1)
	assert.ErrorContains(t, err, "from 0 to 2 m", "above the brim")
	_, err = Inside{Shape: "box"}.Dip(1)
	assert.Error(t, err)
}
