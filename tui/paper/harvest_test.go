package paper

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/handover"
	"cellar.example/mustwatch/domain/sheet"
	"cellar.example/mustwatch/testdata/harvest"
)

// However long the harvest has gone on, the front is one page, and the back is read in a few
// minutes.
func TestTheSheetStaysShortInALongHarvest(t *testing.T) {
	x := harvest.Plan{Days: 60, Tanks: 60, Presses: 2}.Make()
	s := cellar.NewState()
	looks := map[int]bool{10: true, 60: true}
	day := 0
	for _, l := range append(x.Lines, "") {
		var c cellar.Command
		now := x.Ends.AddDate(0, 0, 1)
		if l != "" {
			var err error
			c, err = cellar.ParseLine([]byte(l))
			require.NoError(t, err)
			now = cellar.HeadOf(c).At
		}
		for ; x.Opens.AddDate(0, 0, day+1).Before(now); day++ {
			if looks[day+1] {
				out := handover.Sheet(s, x.Opens.AddDate(0, 0, day+1), sheet.Mark{Version: "v1", Hash: "0123456789ab"})
				require.NotContains(t, Text(out), Feed, "day %d: the front is one page\n%s", day+1, Text(out))
				require.Less(t, strings.Count(Back(out), "\n"), 250, "day %d: the back", day+1)
				delete(looks, day+1)
			}
		}
		if c == nil {
			break
		}
		facts, err := cellar.Decide(s, c, now)
		require.NoError(t, err, l)
		for _, r := range cellar.Records(c, facts, now, "test") {
			r.Seq = s.Seq + 1
			cellar.Apply(s, r)
		}
	}
	require.Empty(t, looks)
}
