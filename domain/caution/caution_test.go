package caution

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"cellar.example/mustwatch/domain/quantity"
)

func TestTextsAreSentences(t *testing.T) {
	said := map[string]Code{}
	for c, text := range texts {
		assert.True(t, strings.HasSuffix(text, "."), text)
		assert.LessOrEqual(t, len(text), 100, "%s is read at a glance", text)
		assert.NotContains(t, strings.ToLower(text), "safe to", "a caution is no permission")
		assert.Empty(t, said[text], "%s says what %s says", c, said[text])
		said[text] = c
	}
	assert.Equal(t, []string{texts[Scald], texts[Label]}, Texts(Scald, Label, Scald))
}

// Hot above 45 °C, freezing below 0 °C, boiling from 100 °C on.
func TestOfMust(t *testing.T) {
	for _, c := range []struct {
		temps []quantity.Celsius
		want  []Code
	}{
		{[]quantity.Celsius{20, 8}, nil}, {[]quantity.Celsius{45}, nil}, {[]quantity.Celsius{20, 45.1}, []Code{Scald}},
		{[]quantity.Celsius{0}, nil},
		{[]quantity.Celsius{20, -0.1}, []Code{Freezing}}, {[]quantity.Celsius{68, -3}, []Code{Scald, Freezing}},
		{[]quantity.Celsius{100}, []Code{Scald, Boiling}}, {[]quantity.Celsius{99.9}, []Code{Scald}}, {nil, nil},
	} {
		assert.Equal(t, c.want, OfMust(c.temps...), c.temps)
	}
}
