package caution

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"cellar.example/mustwatch/domain/quantity"
)

func TestTextsAreSentences(t *testing.T) {
	said := map[string]Code{}
	codes := map[Code]bool{}
	for _, r := range Table() {
		assert.True(t, strings.HasSuffix(r.Text, ".") || r.Code == NoEntry, r.Text)
		assert.LessOrEqual(t, len(r.Text), 100, "%s is read at a glance", r.Text)
		assert.NotContains(t, strings.ToLower(r.Text), "safe to", "a caution is no permission")
		assert.Empty(t, said[r.Text], "%s says what %s says", r.Code, said[r.Text])
		assert.NotEmpty(t, r.Where, r.Code)
		assert.False(t, codes[r.Code], "%s stands there twice", r.Code)
		assert.Equal(t, r.Text, r.Code.Text())
		said[r.Text], codes[r.Code] = r.Code, true
	}
	assert.Equal(t, []string{Scald.Text(), Label.Text()}, Texts(Scald, Label, Scald))
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
