package wall

import (
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/tui/cell"
	"cellar.example/mustwatch/tui/layout"
)

// TestEmergencyTakesHalfTheWall: at least half from the top, at every size, with
// something that is due below where the window has the room; and whatever the place is
// called and however many there are, no word of the first is cut.
func TestEmergencyTakesHalfTheWall(t *testing.T) {
	blocks := regexp.MustCompile(`[\s█▀▄]+`)
	for name, c := range map[string]struct {
		place string
		co2   float64
	}{
		"usual": {"300 pit", 25000}, "long": {"lower gallery behind the barrel room 12b", 1000000}, "none": {"", 16000},
	} {
		d := desk(t, "02:10:00")
		_, err := d.Write(t.Context(), &cellar.ReadGas{Head: cellar.Head{By: "NS"},
			GasReading: cellar.GasReading{Place: c.place, CO2: new(c.co2), O2: new(18.5), Meter: "G2"}},
			moment(t, "02:10:00"))
		require.NoError(t, err)
		g := sight(t, d, "02:18:00")
		e := g.State.Emergencies(g.Now)[0]
		for w := 80; w <= 240; w += 8 {
			for h := 24; h <= 70; h += 3 {
				top := emergencies(g, layout.Box{W: w, H: h})
				require.GreaterOrEqual(t, 2*len(top), h, "%s %dx%d", name, w, h)
				require.LessOrEqual(t, len(top), h-leastBelow, "%s %dx%d", name, w, h)
				text := blocks.ReplaceAllString(strings.Join(top, " "), " ")
				for _, part := range append([]string{e.Act, e.Ends}, e.Says...) {
					require.Contains(t, text, part, "%s %dx%d", name, w, h)
				}
				require.LessOrEqual(t, strings.Count(text, e.Title), 1, "%s %dx%d", name, w, h)
				if name == "usual" {
					require.NotContains(t, text, e.Title, "%dx%d: place and figure are large", w, h)
				}
				if name == "none" || name == "long" && w < 160 { // on a wider one the name itself is large
					require.Contains(t, text, e.Title, "%s %dx%d", name, w, h)
				}
				for _, l := range top {
					require.Equal(t, w, cell.Width(l))
				}
			}
		}
	}
}
