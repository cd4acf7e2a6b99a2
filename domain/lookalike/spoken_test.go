package lookalike_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/lookalike"
)

func TestANumberIsCalledFigureByFigure(t *testing.T) {
	for number, said := range map[string]string{"206": "two-zero-six", "209": "two-zero-nine", "K1": "K-one",
		"B-12": "B-one-two", "s4": "S-four", "": ""} {
		require.Equal(t, said, lookalike.Spoken(number))
	}
}
