package cellar_test

import (
	"fmt"
	"math/rand"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/subject"
	"cellar.example/mustwatch/testdata/harvest"
)

// TestOldNeverHidesTonight: however many clocks, loads and orders of the days before were forgotten,
// what came due in this shift or the last leads what is due, and the rest is one line. None is lost:
// those that stand and those that are counted are all there are.
func TestOldNeverHidesTonight(t *testing.T) {
	for seed := range int64(12) {
		x := harvest.Plan{Days: 6, Tanks: 30, Presses: 2, Seed: seed}.Make()
		h := after(t, x, 6)
		r := rand.New(rand.NewSource(seed))
		now, say := x.Ends, func(format string, a ...any) {
			t.Helper()
			require.NoError(t, h.line(fmt.Sprintf(format, a...)))
		}
		stamp := func(at time.Time) string { return at.Format(time.RFC3339) }
		for i := range r.Intn(60) { // forgotten days ago
			at := now.Add(-time.Duration(48+r.Intn(72)) * time.Hour)
			say(`{"do":"clock","at":%q,"saved":%q,"by":"NS","subject":"old %d","verb":"look","in":"30m"}`, stamp(at),
				stamp(at), i)
		}
		tonight := 1 + r.Intn(4)
		for i := range tonight {
			at := now.Add(-time.Duration(20+r.Intn(600)) * time.Minute)
			say(`{"do":"clock","at":%q,"saved":%q,"by":"NS","subject":"new %d","verb":"test","in":"5m"}`, stamp(at),
				stamp(at), i)
		}
		all := h.s.Next(now)
		stand, folded := 0, 0
		seen := map[cellar.ClockID]bool{}
		for _, d := range all {
			if len(d.Folded) == 0 {
				stand++
				seen[d.Clock] = true
				require.False(t, d.Late(now) && folded > 0, "%s stands behind what is older", d.Verb)
			}
			for _, o := range d.Folded {
				require.True(t, o.At.Before(h.s.Recent(now)) || o.Subject.Kind == subject.Load)
				seen[o.Clock] = true
				folded++
			}
		}
		require.NotZero(t, folded)
		require.Len(t, h.s.OlderDue(now), folded)
		for _, c := range h.s.Clocks() {
			if c.Kind != cellar.KindCooling {
				require.True(t, seen[c.ID], "%s %s is lost", c.Subject, c.Verb)
			}
		}
		for i, c := range h.s.Alarms(now)[:tonight] {
			require.False(t, h.s.Older(c, now), "alarm %d", i)
		}
	}
}

// TestWhereAPersonIsNeverGrowsOld: the end of a break and of a permit stand in their own lines however old
// they are.
func TestWhereAPersonIsNeverGrowsOld(t *testing.T) {
	x := harvest.Plan{Days: 2, Tanks: 20, Presses: 1}.Make()
	h := after(t, x, 2)
	at := x.Ends.Format(time.RFC3339)
	require.NoError(t, h.line(fmt.Sprintf(`{"do":"break","at":%q,"saved":%q,"by":"MA","who":"MA","for":"20min"}`, at, at)))
	now := x.Ends.AddDate(0, 0, 9)
	found := false
	for _, d := range h.s.Next(now) {
		if c, ok := h.s.ClockByID(d.Clock); ok && c.Kind == cellar.KindBreak {
			found = true
		}
	}
	require.True(t, found)
}

// TestTheShiftBeforeTellsWhatIsOlder: a start that was saved twice folds nothing of tonight, and one that was
// forgotten keeps nothing of last week.
func TestTheShiftBeforeTellsWhatIsOlder(t *testing.T) {
	now := time.Date(2026, 9, 24, 18, 5, 0, 0, time.UTC)
	for _, c := range []struct {
		before time.Time
		from   time.Duration
	}{
		{time.Time{}, 24 * time.Hour},
		{now.Add(-5 * time.Minute), 12 * time.Hour},
		{now.Add(-20 * time.Hour), 20 * time.Hour},
		{now.AddDate(0, 0, -9), 36 * time.Hour},
	} {
		s := cellar.NewState()
		s.Shift.Before = c.before
		require.Equal(t, now.Add(-c.from), s.Recent(now))
	}
}
