package cellar_test

import (
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/handover"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/sheet"
	"cellar.example/mustwatch/testdata/harvest"
)

// keptHarvest plays a harvest into a journal. Every fifth dose of SO2 is saved thirteen hours
// late, so in another shift than its own.
func keptHarvest(tb testing.TB, x harvest.Harvest) (*house, *recorded) {
	tb.Helper()
	type say struct {
		c  cellar.Command
		at time.Time
	}
	var all []say
	for i, l := range x.Lines {
		c, err := cellar.ParseLine([]byte(l))
		require.NoError(tb, err, l)
		head := cellar.HeadOf(c)
		at := head.At
		if d, ok := c.(*cellar.GiveDose); ok && d.Product == "S-1" && i%5 == 0 {
			at = at.Add(13 * time.Hour)
			head.Written, head.Happened = at, true
		}
		all = append(all, say{c, at})
	}
	slices.SortStableFunc(all, func(a, b say) int { return a.at.Compare(b.at) })
	j, h := &recorded{}, &house{s: cellar.NewState()}
	for _, l := range all {
		require.NoError(tb, j.write(h, l.c, l.at), "%T %v", l.c, l.at)
	}
	return h, j
}

// sheetOf is the sheet of a shift, as it prints later.
func sheetOf(tb testing.TB, h *house, j *recorded, p cellar.PastShift, now time.Time) sheet.Sheet {
	tb.Helper()
	if p.Until.IsZero() {
		return handover.Sheet(h.s, now, sheet.Mark{})
	}
	then, err := cellar.ShiftSeen(context.Background(), j, h.s, p)
	require.NoError(tb, err)
	return handover.Past(then, p, now, sheet.Mark{})
}

// summed is a sum of the sheet as it reads there.
func summed(tb testing.TB, x sheet.Sheet, name string) string {
	tb.Helper()
	for _, s := range x.Sums {
		if s.Name == name {
			return s.Value
		}
	}
	tb.Fatalf("the sheet has no sum %q: %v", name, x.Sums)
	return ""
}

// added is what the sheets of shifts add up to.
type added struct {
	kilos, ran, lost           float64
	doses, tests, moves, sheet int
}

func (a *added) sheets(tb testing.TB, h *house, j *recorded, now time.Time) {
	tb.Helper()
	hl := func(x sheet.Sheet, name string) float64 {
		v, err := quantity.Habit{}.Volume(summed(tb, x, name))
		require.NoError(tb, err)
		return v.HL()
	}
	for _, p := range h.s.Shifts() {
		x := sheetOf(tb, h, j, p, now)
		tons, err := strconv.ParseFloat(strings.TrimSuffix(summed(tb, x, "grapes in"), " t"), 64)
		require.NoError(tb, err)
		n, err := strconv.Atoi(summed(tb, x, "tests"))
		require.NoError(tb, err)
		require.Equal(tb, fmt.Sprint(len(x.Back.Additions)), summed(tb, x, "additions"))
		a.kilos += tons * 1000
		a.ran += hl(x, "free run") + hl(x, "pressings")
		a.lost += hl(x, "loss")
		a.doses += len(x.Back.Additions)
		a.moves += len(x.Back.Moves)
		a.tests += n
		a.sheet++
	}
}

// No sheet adds up more than its own shift: over a harvest with ends and starts that were
// forgotten, and doses saved late, what the sheets of all shifts add up to is what was
// received, pressed, given, tested and moved, each once.
func TestNoSheetAddsUpMoreThanItsShift(t *testing.T) {
	for seed := range int64(2) {
		x := harvest.Plan{Days: 11, Tanks: 36, Presses: 2, Seed: seed}.Make()
		h, j := keptHarvest(t, x)
		var got added
		got.sheets(t, h, j, x.Ends)
		want := added{kilos: float64(x.Kilos), ran: float64(x.Juice) / 10, sheet: 21, moves: len(h.s.Moves())}
		for _, v := range h.s.Vessels() {
			for _, it := range v.Account {
				switch {
				case it.TakenBack:
				case it.Dose != nil && !it.Dose.Counted:
					want.doses++
				case it.Begun != nil:
					want.tests++
				}
			}
		}
		for _, m := range h.s.Moves() {
			want.lost += m.Loss.HL()
		}
		require.InDelta(t, want.kilos, got.kilos, 0.5)
		require.InDelta(t, want.ran, got.ran, 0.01)
		require.InDelta(t, want.lost, got.lost, 0.01)
		got.kilos, got.ran, got.lost = want.kilos, want.ran, want.lost
		require.Equal(t, want, got)
		require.NotZero(t, want.doses*want.tests*want.moves)
	}
}

func spans(s *cellar.State) (out []string) {
	for _, p := range s.Shifts() {
		over := "-"
		if !p.Over().IsZero() {
			over = s.Clock(p.Over())
		}
		out = append(out, fmt.Sprintf("%s %s %s forgotten=%v next %s", p.Lead, s.Clock(p.Started), over,
			p.Forgotten(), p.By))
	}
	return out
}

const (
	mirasShift = `18:00 MA {"do":"shift-start","lead":"MA","crew":["NS"],"ends":"2026-09-25T02:00:00+02:00"}`
	nilsShift  = `02:10 NS {"do":"shift-start","lead":"NS","ends":"2026-09-25T08:00:00+02:00"}`
)

// An end that was forgotten is where the next shift began, until somebody says it; that
// ends the shift that it was of, not the one that runs now.
func TestForgottenEndIsSavedLate(t *testing.T) {
	h := openHouse(t)
	h.say(t, mirasShift, nilsShift)
	require.Equal(t, []string{"MA 18:00 02:10 forgotten=true next NS", "NS 02:10 - forgotten=false next "}, spans(h.s))
	which, p := h.s.ShiftLapse(at("02:30"))
	require.Equal(t, cellar.LapseBefore, which)
	require.Equal(t, cellar.Initials("MA"), p.Lead)
	x := handover.Past(h.s, p, at("02:30"), sheet.Mark{})
	require.Contains(t, fmt.Sprint(x.Head),
		"No end of this shift was saved: it ends at 02:10, when the shift of NS began.")

	h.say(t, `02:40 NS {"do":"shift-end","at":"2026-09-25T01:55:00+02:00","to":"NS"}`)
	require.Equal(t, []string{"MA 18:00 01:55 forgotten=false next NS", "NS 02:10 - forgotten=false next "}, spans(h.s))
	require.True(t, h.s.Shift.Ended.IsZero(), "the shift that runs goes on")
	which, _ = h.s.ShiftLapse(at("02:45"))
	require.Empty(t, which)
	var no *cellar.Rejection
	require.ErrorAs(t, h.hear(`02:50 NS {"do":"shift-end","at":"2026-09-25T01:00:00+02:00","to":"NS"}`), &no)
	require.Contains(t, no.Message(), "it cannot end before")
}

// A shift that nobody started is started late, behind the back of the one that runs.
func TestForgottenStartIsSavedLate(t *testing.T) {
	h := openHouse(t)
	h.say(t, mirasShift, `02:00 MA {"do":"shift-end","to":"NS"}`,
		`02:20 NS {"do":"reading","vessel":"101","temp":"14 °C"}`)
	which, _ := h.s.ShiftLapse(at("02:20"))
	require.Empty(t, which, "who is early or late by a little is left in peace")
	h.say(t, `02:40 NS {"do":"reading","vessel":"101","temp":"14 °C"}`)
	which, p := h.s.ShiftLapse(at("02:40"))
	require.Equal(t, cellar.LapseStart, which)
	require.Equal(t, cellar.Initials("MA"), p.Lead)
	require.Contains(t, fmt.Sprint(handover.Sheet(h.s, at("02:40"), sheet.Mark{}).Head),
		"No shift was open from 02:00 to 02:40: what was done then is on this sheet.")

	h.say(t, `06:00 OF {"do":"shift-start","lead":"OF"}`,
		`06:10 OF {"do":"shift-start","at":"2026-09-25T02:05:00+02:00","lead":"NS"}`)
	require.Equal(t, []string{"MA 18:00 02:00 forgotten=false next NS", "NS 02:05 06:00 forgotten=true next OF",
		"OF 06:00 - forgotten=false next "}, spans(h.s))
	require.Equal(t, cellar.Initials("OF"), h.s.Shift.Lead)
}

// A shift that should have ended is asked about, after its plan or the usual length.
func TestShiftThatGoesOnIsAskedAbout(t *testing.T) {
	h := openHouse(t)
	h.say(t, mirasShift)
	which, _ := h.s.ShiftLapse(at("03:30"))
	require.Empty(t, which)
	which, _ = h.s.ShiftLapse(at("03:31"))
	require.Equal(t, cellar.LapseEnd, which)
	h = openHouse(t)
	which, _ = h.s.ShiftLapse(at("11:00"))
	require.Empty(t, which, "a house that keeps no shifts")
	h.say(t, `18:00 MA {"do":"shift-start","lead":"MA"}`)
	which, _ = h.s.ShiftLapse(at("07:31"))
	require.Equal(t, cellar.LapseEnd, which)
}

// A time that was corrected moves the shifts that were saved by the clock that was off.
func TestShiftsMoveWithTheTime(t *testing.T) {
	h := openHouse(t)
	h.say(t, mirasShift, nilsShift)
	putRight(t, h, "02:20", "03:20")
	require.Equal(t, []string{"MA 19:00 03:10 forgotten=true next NS", "NS 03:10 - forgotten=false next "}, spans(h.s))
}
