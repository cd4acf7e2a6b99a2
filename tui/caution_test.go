package tui_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/caution"
)

// On the board itself, at 80×24, nothing of a caution is cut: hot must that is opened,
// SO2 that is calculated, a lot that is poured, a tank that is looked into.
func TestCautionsAreWholeOnASmallScreen(t *testing.T) {
	for _, c := range []struct {
		at, keys string
		want     []caution.Code
	}{
		{"18:40", "601d", []caution.Code{caution.Scald}},
		{"18:40", "601r", []caution.Code{caution.Scald, caution.Lid}},
		{"18:40", "601m", []caution.Code{caution.Scald, caution.Transfer}},
		{"18:40", "601<enter>", []caution.Code{caution.Scald}},
		{"18:40", "601=1", []caution.Code{caution.Scald, caution.Label}},
		{"22:20", "104=2", []caution.Code{caution.Sulphite}},
		{"23:35", "104dSO2<tab>", []caution.Code{caution.Sulphite}},
		{"18:40", "103<enter>", []caution.Code{caution.Entry, caution.Nitrogen}},
		{"18:40", "201dE-2204<tab>", []caution.Code{caution.CO2, caution.Eruption, caution.Powder}},
	} {
		d := sit(t, c.at, 80, 24)
		d.Press(c.keys)
		shown := strings.Join(strings.Fields(d.Screen()), " ")
		for _, code := range c.want {
			require.Contains(t, shown, code.Text(), "%s %s\n%s", c.at, c.keys, d.Screen())
		}
	}
}
