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

// The standing line and what a bad reading tells everybody are the same words on every face.
func TestTheCautionsOfTheFaces(t *testing.T) {
	for _, size := range [][2]int{{80, 24}, {120, 40}, {200, 60}} {
		entry, why, _ := strings.Cut(caution.NoEntry.Text(), ": ")
		sit(t, "22:20", size[0], size[1]).Shows(entry, why)
		sit(t, "22:20", size[0], size[1]).Press("b").Shows(entry) // a small wall has no room for why
		d := sit(t, "22:20", size[0], size[1])
		d.Press("zg201<tab>60000<tab><tab>M1<tab><tab><enter>")
		require.Contains(t, strings.Join(strings.Fields(d.Screen()), " "), caution.BadGas.Text())
	}
}

// The page of all cautions is behind the help, also behind that of a form. It has each with where it holds,
// and ends with what comes before all of them.
func TestAllCautionsStandOnOnePage(t *testing.T) {
	for _, keys := range []string{"?c", "104d<f1>c"} {
		d := sit(t, "22:20", 200, 60)
		d.Press(keys)
		shown := strings.Join(strings.Fields(d.Screen()), " ")
		for _, r := range caution.Table() {
			require.Contains(t, shown, r.Where+" "+r.Text)
		}
		require.Regexp(t, caution.First+`\s+esc back`, shown)
	}
	d := sit(t, "22:20", 80, 24)
	d.Press("?c<end>")
	require.Regexp(t, strings.ReplaceAll(caution.First, " ", `\s+`)+`\s+esc back`, d.Screen())
	d.Press("<esc>").Hides(caution.First)
}

// The page of a vessel has the scald line while it is over 45 °C, and not by its stage.
func TestTheScaldLineOnTheVesselPage(t *testing.T) {
	d := sit(t, "22:20", 80, 24)
	d.Press("602<enter>").Shows("602  Syrah hot must", caution.Scald.Text())
	d.Press("r44<enter><enter><enter><enter><enter><enter><enter><enter>")
	d.Shows("contact since").Hides(caution.Scald.Text()).Press("<end>").Shows("44.0 °C")
	d = sit(t, "18:40", 80, 24)
	d.Press("601<enter>").Shows("hot hold", caution.Scald.Text())
}
