package daytime_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/daytime"
)

func TestParse(t *testing.T) {
	for text, want := range map[string][2]int{
		"2210": {22, 10}, "22:10": {22, 10}, "22.10": {22, 10}, "210": {2, 10}, "0:30": {0, 30}, "10:10 pm": {22, 10},
		"1010PM": {22, 10},
		"12 am":  {0, 0}, "2210h": {22, 10}, " 0210 ": {2, 10},
	} {
		h, m, err := daytime.Parse(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, [2]int{h, m}, text)
	}
	for _, text := range []string{"", "noon", "2460", "24:00", "22:1", "22:100", "22", "99", "13 pm", "1:2:3", "-210"} {
		_, _, err := daytime.Parse(text)
		require.Error(t, err, text)
	}
}
