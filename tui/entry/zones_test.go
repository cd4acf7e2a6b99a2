package entry_test

import (
	"encoding/json"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/subject"
	"cellar.example/mustwatch/testdata"
	"cellar.example/mustwatch/tui/entry"
	"cellar.example/mustwatch/tui/face"
)

// changeNight is one night in which the clocks of a zone change, or would.
type changeNight struct {
	name   string
	zone   *time.Location
	change time.Time
	by     time.Duration // what the wall gains: an hour in spring, minus one in autumn
	last   time.Time     // the wall's reading at the change by the old offset, as if it were UTC
}

// nights are those of the seven zones: the instants are the published table's,
// not those of this program. Johannesburg never changes and stands with the
// nights of Paris.
func nights(t *testing.T) (out []changeNight) {
	t.Helper()
	_, rows, err := testdata.Published("dst_transitions_2026_2027.csv")
	require.NoError(t, err)
	for _, row := range rows {
		change, err := time.Parse("2006-01-02T15:04Z", row["utc_instant"])
		require.NoError(t, err)
		minutes, err := time.ParseDuration(row["offset_change_min"] + "m")
		require.NoError(t, err)
		wall := row["last_local_second_before"]
		last, err := time.Parse("2006-01-02 15:04:05", wall[:len("2006-01-02 15:04:05")])
		require.NoError(t, err)
		zone, err := time.LoadLocation(row["zone"])
		require.NoError(t, err)
		out = append(out, changeNight{row["zone"] + " " + row["utc_instant"], zone, change, minutes,
			last.Add(time.Second)})
		if row["zone"] == "Europe/Paris" {
			steady, err := time.LoadLocation("Africa/Johannesburg")
			require.NoError(t, err)
			out = append(out, changeNight{"Africa/Johannesburg " + row["utc_instant"], steady, change, 0,
				last.Add(time.Second)})
		}
	}
	require.Len(t, out, 28, "six zones that change, four times each, and one that does not")
	return out
}

// quarters are the quarter hours of the night around the change.
func (n changeNight) quarters() (out []time.Time) {
	for at := n.change.Add(-5 * time.Hour); at.Before(n.change.Add(5 * time.Hour)); at = at.Add(15 * time.Minute) {
		out = append(out, at)
	}
	return out
}

// repeated tells by the table whether an instant's wall time comes twice.
func (n changeNight) repeated(t time.Time) bool {
	return n.by < 0 && t.Sub(n.change) < -n.by && !t.Before(n.change.Add(n.by))
}

// TestTrustRow06WhatIsShown: no two quarter hours of the night look the same, and
// the zone's letters stand in the repeated hour and only there.
func TestTrustRow06WhatIsShown(t *testing.T) {
	for _, n := range nights(t) {
		t.Run(n.name, func(t *testing.T) {
			s := cellar.NewState()
			s.House.Zone = n.zone.String()
			boards, sheets := map[string]time.Time{}, map[string]time.Time{}
			for _, at := range n.quarters() {
				board, sheet := face.Clock(at, n.change, n.zone), s.Clock(at)
				assert.NotContains(t, boards, board, at)
				assert.NotContains(t, sheets, sheet, at)
				boards[board], sheets[sheet] = at, at
				assert.Equal(t, board, sheet)
				assert.Equal(t, n.repeated(at), len(board) > len("15:04"), "%s: %s", at, board)
			}
		})
	}
}

// TestTrustRow06WhatIsTyped: what is shown can be typed back, from either side of
// the night; the bare time of day is taken for the one it must be, or asked about.
func TestTrustRow06WhatIsTyped(t *testing.T) {
	for _, n := range nights(t) {
		t.Run(n.name, func(t *testing.T) {
			before, after := n.change.Add(-6*time.Hour), n.change.Add(6*time.Hour)
			for _, at := range n.quarters() {
				for _, from := range []struct {
					now    time.Time
					future bool
				}{{now: before, future: true}, {now: after}} {
					shown := face.Clock(at, n.change, n.zone)
					got, err := entry.When(shown, from.now, n.zone, from.future)
					require.NoError(t, err, shown)
					require.True(t, got.Equal(at), "%s is taken for %s", shown, got.In(n.zone))

					bare := at.In(n.zone).Format("1504")
					got, err = entry.When(bare, from.now, n.zone, from.future)
					if n.repeated(at) {
						require.ErrorContains(t, err, "comes twice that night: add", bare)
						which := "first"
						if !at.Before(n.change) {
							which = "second"
						}
						got, err = entry.When(bare+" "+which, from.now, n.zone, from.future)
					}
					require.NoError(t, err, bare)
					require.True(t, got.Equal(at), "%s is taken for %s", bare, got.In(n.zone))
				}
			}
			for gap := n.last; n.by > 0 && gap.Before(n.last.Add(n.by)); gap = gap.Add(15 * time.Minute) {
				_, err := entry.When(gap.Format("15:04"), before, n.zone, true)
				require.ErrorContains(t, err, "there is no "+gap.Format("15:04 on Mon 2 Jan")+": the clocks go forward")
				_, err = entry.When(gap.Format("15:04"), after, n.zone, false)
				require.ErrorContains(t, err, "there is no "+gap.Format("15:04 on Mon 2 Jan"))
			}
		})
	}
}

// TestTrustRow06WhatIsDue: a clock set for a quarter hour, or for a length, is due
// at that instant, is written so whatever the zone, and rings at it and not before.
func TestTrustRow06WhatIsDue(t *testing.T) {
	for _, n := range nights(t) {
		t.Run(n.name, func(t *testing.T) {
			start := n.change.Add(-6 * time.Hour)
			for _, at := range n.quarters() {
				for _, c := range []*cellar.SetClock{
					{Subject: subject.Bare("101"), Verb: "look", Due: at.In(n.zone)},
					{Subject: subject.Bare("101"), Verb: "look", In: quantity.Span(at.Sub(start))},
				} {
					s := cellar.NewState()
					s.House.Zone = n.zone.String()
					facts, err := cellar.Decide(s, c, start)
					require.NoError(t, err)
					for _, r := range cellar.Records(c, facts, start, "test") {
						raw, err := json.Marshal(r.Fact)
						require.NoError(t, err)
						require.Contains(t, string(raw), at.UTC().Format(`"due":"2006-01-02T15:04:05Z"`), "kept in UTC")
						r.Fact = &cellar.ClockSet{}
						require.NoError(t, json.Unmarshal(raw, r.Fact))
						cellar.Apply(s, r)
					}
					k := s.ClocksOf(s.Known("101"))[0]
					require.True(t, k.Due.Equal(at), "%s", k.Due)
					require.False(t, k.Raised(at.Add(-time.Second)))
					require.True(t, k.Raised(at))
				}
			}
		})
	}
}
