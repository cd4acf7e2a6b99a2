package lookalike_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"cellar.example/mustwatch/domain/lookalike"
)

// The first rows are the house's own examples of numbers that have been taken for
// one another; the upside-down ones are checked against the list of numbers that
// turn into one another on a seven-segment display, from memory.
func TestHow(t *testing.T) {
	for _, c := range []struct {
		a, b string
		how  lookalike.Likeness
	}{
		{"206", "209", lookalike.SixForNine},
		{"209", "602", lookalike.UpsideDown},
		{"102", "201", lookalike.Backwards}, // and upside down too
		{"501", "105", lookalike.Backwards},
		{"206", "902", lookalike.UpsideDown},
		{"69", "96", lookalike.SixForNine},
		{"K6", "K9", lookalike.SixForNine},
		{"103", "301", lookalike.Backwards},
		{"207", "702", lookalike.Backwards},
		{"A12", "21A", lookalike.Backwards},
		{"101", "101", lookalike.None},
		{"808", "808", lookalike.None},
		{"206", "207", lookalike.None},
		{"209", "902", lookalike.Backwards},
		{"209", "203", lookalike.None},
		{"206", "2069", lookalike.None},
		{"", "", lookalike.None},
	} {
		require.Equal(t, c.how, lookalike.How(c.a, c.b), "%s %s", c.a, c.b)
		require.Equal(t, c.how, lookalike.How(c.b, c.a), "%s %s", c.b, c.a)
	}
}

// TestHowBothWays: whatever two numbers are, the likeness is the same from
// either side, and nothing is like itself.
func TestHowBothWays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := rapid.StringMatching(`[0-9K]{1,5}`).Draw(t, "a")
		b := rapid.StringMatching(`[0-9K]{1,5}`).Draw(t, "b")
		require.Equal(t, lookalike.How(a, b), lookalike.How(b, a))
		require.Equal(t, lookalike.None, lookalike.How(a, a))
	})
}
