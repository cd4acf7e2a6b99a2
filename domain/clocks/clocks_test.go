package clocks_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"cellar.example/mustwatch/domain/clocks"
)

var ten = time.Date(2026, 9, 24, 20, 0, 0, 0, time.UTC)

// machine is a machine whose clocks a test moves.
type machine struct{ clocks.Sample }

func running() *machine {
	return &machine{clocks.Sample{Wall: ten, Boot: 5 * time.Hour, Mono: 4 * time.Hour, BootID: "one"}}
}

func (m *machine) pass(d time.Duration) *machine {
	m.Wall, m.Boot, m.Mono = m.Wall.Add(d), m.Boot+d, m.Mono+d
	return m
}

func (m *machine) sleep(d time.Duration) *machine {
	m.Wall, m.Boot = m.Wall.Add(d), m.Boot+d
	if m.BootID == "" {
		m.Boot = m.Mono
	}
	return m
}

func (m *machine) step(d time.Duration) *machine { m.Wall = m.Wall.Add(d); return m }

func (m *machine) restart(id string) *machine { m.Boot, m.Mono, m.BootID = 0, 0, id; return m }

func TestBetween(t *testing.T) {
	a := running().Sample
	for name, tt := range map[string]struct {
		b    clocks.Sample
		want clocks.Gap
	}{
		"time passes": {running().pass(3 * time.Hour).Sample, clocks.Gap{}},
		"asleep": {running().pass(time.Hour).sleep(6 * time.Hour).Sample,
			clocks.Gap{Slept: 6 * time.Hour}},
		"set forward": {running().step(time.Hour).Sample, clocks.Gap{Stepped: time.Hour}},
		"set back in a sleep": {running().sleep(time.Hour).step(-20 * time.Minute).Sample, clocks.Gap{Slept: time.Hour,
			Stepped: -20 * time.Minute}},
		"another start": {running().restart("two").Sample, clocks.Gap{}},
	} {
		require.Equal(t, tt.want, clocks.Between(a, tt.b), name)
	}
}

// TestTrustRow03SuspendByTheBootClock: the time asleep counts, and is said.
func TestTrustRow03SuspendByTheBootClock(t *testing.T) {
	m := running()
	h, said := clocks.Begin(m.Sample, clocks.Anchor{}, 0, time.Time{})
	require.Empty(t, said)
	require.Empty(t, h.Look(m.pass(time.Second).Sample))
	said = h.Look(m.sleep(6 * time.Hour).pass(time.Second).Sample)
	require.Len(t, said, 1)
	require.Equal(t, clocks.Slept, said[0].Kind)
	require.True(t, said[0].From.Equal(ten.Add(time.Second)) && said[0].To.Equal(ten.Add(6*time.Hour+2*time.Second)),
		said)
	require.True(t, h.Now(m.Sample).Equal(m.Wall))
	require.Equal(t, clocks.Sure, h.Ask(m.Sample).Doubt)
}

// TestTrustRow04SteppedClock: whatever the wall is set to, from a second to a day
// either way and as often as one likes, the house's time is elapsed time; every
// parting by more than a minute is said; and a start on the same run of the
// machine knows it again.
func TestTrustRow04SteppedClock(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := running()
		h, _ := clocks.Begin(m.Sample, clocks.Anchor{}, 0, time.Time{})
		elapsed, parted, said := time.Duration(0), time.Duration(0), time.Duration(0)
		anchor := h.Anchor(m.Sample)
		forgot := time.Duration(0) // too little to be said, before a start
		for range rapid.IntRange(1, 30).Draw(t, "n") {
			switch rapid.IntRange(0, 3).Draw(t, "what") {
			case 0:
				by := time.Duration(rapid.IntRange(-86400, 86400).Draw(t, "step")) * time.Second
				m.step(by)
				parted += by
			case 1:
				d := time.Duration(rapid.IntRange(1, 3600).Draw(t, "sleep")) * time.Second
				m.sleep(d)
				elapsed += d
			case 2: // a board that ends and starts again
				var away []clocks.Event
				h, away = clocks.Begin(m.Sample, anchor, 0, time.Time{})
				for _, e := range away {
					require.True(t, e.Away)
					said += e.By
				}
				forgot = (parted - said).Abs()
				if parted.Abs() <= clocks.Slack { // now the wall is taken as right
					elapsed, parted, said = elapsed+parted, 0, 0
				}
				anchor = h.Anchor(m.Sample)
			}
			d := time.Duration(rapid.IntRange(0, 7200).Draw(t, "pass")) * time.Second
			m.pass(d)
			elapsed += d
			for _, e := range h.Look(m.Sample) {
				if e.Kind == clocks.Stepped {
					said += e.By
					anchor = h.Anchor(m.Sample)
				}
			}
			require.Equal(t, elapsed, h.Now(m.Sample).Sub(ten))
			require.LessOrEqual(t, (parted - said).Abs(), clocks.Slack+forgot, "what was said adds up to what was done")
			if (said.Abs() - clocks.Slack).Abs() > forgot { // near the limit the seconds forgotten decide
				require.Equal(t, said.Abs() > clocks.Slack, h.Ask(m.Sample).Doubt == clocks.Parted, "parted %s said %s",
					parted, said)
			}
		}
	})
}

// A machine that was started again while its wall was wrong: nobody knows which
// reading is right, and the later one counts until somebody says.
func TestTheLaterReadingCountsAfterARestart(t *testing.T) {
	for _, by := range []time.Duration{time.Hour, -time.Hour} {
		m := running()
		h, _ := clocks.Begin(m.Sample, clocks.Anchor{}, 0, time.Time{})
		h.Look(m.step(by).Sample)
		anchor := h.Anchor(m.Sample)
		m.pass(10 * time.Minute).restart("two")
		h, said := clocks.Begin(m.Sample, anchor, 0, time.Time{})
		require.Empty(t, said)
		late, soon := ten.Add(10*time.Minute), ten.Add(10*time.Minute+by)
		if by > 0 {
			late, soon = soon, late
		}
		q := h.Ask(m.Sample)
		require.True(t, q.House.Equal(late), "%s: %v", by, q)
		require.True(t, q.Other.Equal(soon), "%s: %v", by, q)
		require.NotEqual(t, clocks.Sure, q.Doubt)
		a := h.Anchor(m.Sample)
		a.House = ten.Add(10 * time.Minute)
		h.Confirm(a)
		require.Equal(t, clocks.Sure, h.Ask(m.Sample).Doubt)
		require.True(t, h.Now(m.pass(time.Hour).Sample).Equal(ten.Add(70*time.Minute)))
	}
}

// TestTrustRow05WallBehindTheLastEntry: two minutes are waited for, more is asked
// about, and the last entry is the least that it can be.
func TestTrustRow05WallBehindTheLastEntry(t *testing.T) {
	m := running()
	h, _ := clocks.Begin(m.Sample, clocks.Anchor{}, 0, ten.Add(90*time.Second))
	require.True(t, h.Now(m.Sample).Equal(ten.Add(90*time.Second)))
	require.True(t, h.Now(m.pass(time.Minute).Sample).Equal(ten.Add(90*time.Second)))
	require.True(t, h.Now(m.pass(time.Minute).Sample).Equal(ten.Add(2*time.Minute)))
	require.Equal(t, clocks.Sure, h.Ask(m.Sample).Doubt)

	m = running()
	m.Wall = time.Unix(12, 0)
	h, said := clocks.Begin(m.Sample, clocks.Anchor{}, 0, ten)
	require.Empty(t, said)
	require.Equal(t, clocks.Lost, h.Ask(m.Sample).Doubt)
	require.True(t, h.Now(m.pass(time.Hour).Sample).Equal(ten.Add(time.Hour)), "time goes on from the last entry")
	require.Empty(t, h.Look(m.Sample))
	m.Wall = ten.Add(5 * time.Hour) // the network has put it right
	require.Empty(t, h.Look(m.Sample))
	require.True(t, h.Now(m.Sample).Equal(ten.Add(5*time.Hour)), "nothing is raised late")
	require.Equal(t, clocks.Lost, h.Ask(m.Sample).Doubt, "until a person has said so")
	h.Confirm(h.Anchor(m.Sample))
	require.Equal(t, clocks.Sure, h.Ask(m.Sample).Doubt)
	require.True(t, h.Now(m.pass(time.Minute).Sample).Equal(m.Wall))
}

// A machine that does not count its sleep cannot tell it from a wall that was set
// forward; both count as time that passed.
func TestWhereSleepIsNotCounted(t *testing.T) {
	m := running()
	m.BootID, m.Boot = "", m.Mono
	h, _ := clocks.Begin(m.Sample, clocks.Anchor{}, 0, time.Time{})
	said := h.Look(m.sleep(6 * time.Hour).Sample)
	require.Len(t, said, 1)
	require.Equal(t, clocks.Unclear, said[0].Kind)
	require.True(t, h.Now(m.Sample).Equal(ten.Add(6*time.Hour)))
	said = h.Look(m.step(-time.Hour).Sample)
	require.Len(t, said, 1)
	require.Equal(t, clocks.Stepped, said[0].Kind, "nothing sleeps backwards")
	require.True(t, h.Now(m.Sample).Equal(ten.Add(6*time.Hour)))
	require.Equal(t, clocks.Parted, h.Ask(m.Sample).Doubt)
}

// A program that was stopped while the machine ran on has missed that time.
func TestStoodStill(t *testing.T) {
	m := running()
	h, _ := clocks.Begin(m.Sample, clocks.Anchor{}, 0, time.Time{})
	require.Empty(t, h.Look(m.pass(time.Minute).Sample))
	said := h.Look(m.pass(20 * time.Minute).Sample)
	require.Len(t, said, 1)
	require.Equal(t, clocks.Stood, said[0].Kind)
	require.True(t, said[0].From.Equal(ten.Add(time.Minute)) && said[0].To.Equal(ten.Add(21*time.Minute)), said)
}
