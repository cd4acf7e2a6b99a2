package clarity_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	. "cellar.example/mustwatch/domain/clarity"
	"cellar.example/mustwatch/domain/quantity"
)

// The gain is plain arithmetic on what ran of the untreated mash: worked by hand.
func TestGain(t *testing.T) {
	for _, c := range []struct{ treated, untreated, want float64 }{
		{62, 50, 24}, {50, 50, 0}, {40, 50, -20}, {0, 50, -100}, {150, 50, 200}, {41, 36, 13.888888888888889},
	} {
		got, err := Gain(quantity.Volume(c.treated), quantity.Volume(c.untreated))
		assert.NoError(t, err)
		assert.InDelta(t, c.want, got, 1e-9)
	}
	for _, c := range [][2]quantity.Volume{{50, 0}, {50, -1}, {-1, 50}} {
		_, err := Gain(c[0], c[1])
		assert.ErrorContains(t, err, "untreated must, more than zero.")
	}
}

// The gain put back on the untreated run gives the treated run again.
func TestGainIsReversible(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		treated, untreated := rapid.Int64Range(0, 5000).Draw(t, "treated"), rapid.Int64Range(1, 5000).Draw(t,
			"untreated")
		g, err := Gain(quantity.Volume(treated), quantity.Volume(untreated))
		assert.NoError(t, err)
		assert.InDelta(t, float64(treated), float64(untreated)*(1+g/100), 1e-6)
	})
}

func TestRingsAndMethods(t *testing.T) {
	for _, r := range []Ring{WideRing, NarrowRing, NoRing} {
		assert.True(t, r.Known())
	}
	assert.False(t, Ring("").Known())
	assert.False(t, Ring("oval").Known())
	said := map[string]bool{}
	for _, m := range []PaperMethod{PaperDrop, PaperFining, PaperRun} {
		said[m.Say()] = true
	}
	assert.Len(t, said, 3)
	assert.Empty(t, PaperMethod("d").Say())
}
