package cellar_test

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/subject"
)

// egg is a kitchen timer: all that a clock of the board is to a model.
type egg struct {
	due    time.Time
	kind   cellar.DueKind
	quiet  time.Time // snoozed until then
	off    int       // how often, for this due
	seen   cellar.Initials
	seenAt time.Time
	ended  bool
	parted []time.Time // dues it had before: none of them may ever fire
}

// rings is the instant from which it is to be heard; never for a notice.
func (e *egg) rings() (time.Time, bool) {
	at := e.due
	switch e.kind {
	case cellar.NotBefore:
		return at, false
	case cellar.NotAfter:
		at = at.Add(-15 * time.Minute)
	}
	if e.quiet.After(at) {
		at = e.quiet
	}
	return at, true
}

func (e *egg) up(now time.Time) bool {
	at, ok := e.rings()
	return ok && !e.ended && !now.Before(at)
}

// taken reports whether somebody has it in hand: seen half an hour ago at the most, and
// not before it came back from being snoozed.
func (e *egg) taken(now time.Time) bool {
	rang, _ := e.rings()
	return e.seen != "" && !e.seenAt.Before(rang) && now.Before(e.seenAt.Add(30*time.Minute))
}

// timers is the board and the model beside it, given the same commands.
type timers struct {
	*house
	eggs map[cellar.ClockID]*egg
	kept []cellar.Record
	n    int
}

// Check holds the board against the model after every step.
func (m *timers) Check(t *rapid.T) { m.agrees(t, "live", m.s) }

func (m *timers) agrees(t *rapid.T, name string, s *cellar.State) {
	heard := map[cellar.ClockID]bool{}
	for _, c := range s.Alarms(m.now) {
		if strings.HasPrefix(c.Subject.Name, "job") {
			heard[c.ID] = true
		}
	}
	for id, e := range m.eggs {
		c, ok := s.ClockByID(id)
		require.True(t, ok)
		require.Equal(t, e.up(m.now), heard[id], "%s: %s at %s: due %s %s, snoozed until %s, ended %v, once due %v",
			name, id, m.now, e.kind, e.due, e.quiet, e.ended, e.parted)
		require.Equal(t, e.ended, c.Done, "%s %s", name, id)
		if !e.ended {
			require.True(t, c.Due.Equal(e.due), "%s %s", name, id)
			require.Equal(t, e.seen, c.AcknowledgedBy, "%s %s", name, id)
			require.Equal(t, e.taken(m.now), s.Taken(c, m.now), "%s %s", name, id)
		}
		delete(heard, id)
	}
	require.Empty(t, heard, name)
}

// some draws a clock: as a rule one for which it makes sense, now and then any
// that was ever made, for those that ended and those not due must refuse. Nil when there is none.
func (m *timers) some(t *rapid.T, sense func(*egg) bool) (cellar.ClockID, *egg) {
	if len(m.eggs) == 0 {
		return "", nil
	}
	ids := slices.Sorted(maps.Keys(m.eggs))
	if rapid.IntRange(0, 9).Draw(t, "any") > 0 {
		ids = slices.DeleteFunc(ids, func(id cellar.ClockID) bool { return m.eggs[id].ended || !sense(m.eggs[id]) })
	}
	if len(ids) == 0 {
		return "", nil
	}
	id := rapid.SampledFrom(ids).Draw(t, "clock")
	return id, m.eggs[id]
}

func (m *timers) due(e *egg) bool { return e.up(m.now) }

func runs(*egg) bool { return true }

// ending draws a clock to be ended, seldom: what ends early has no story.
func (m *timers) ending(t *rapid.T) (cellar.ClockID, *egg) {
	if rapid.IntRange(0, 3).Draw(t, "seldom") > 0 {
		return "", nil
	}
	return m.some(t, runs)
}

// do gives the board a command that the model says is right, or wrong.
func (m *timers) do(t *rapid.T, c cellar.Command, right bool) []cellar.Fact {
	facts, err := cellar.Decide(m.s, c, m.now)
	if !right {
		var rej *cellar.Rejection
		require.True(t, errors.As(err, &rej), "%T is let through at %s", c, m.now)
		require.NotEmpty(t, rej.Message())
		return nil
	}
	require.NoError(t, err)
	for _, r := range cellar.Records(c, facts, m.now, "test") {
		r.Seq = m.s.Seq + 1
		cellar.Apply(m.s, r)
		m.kept = append(m.kept, again(t, r))
	}
	return facts
}

func (m *timers) head(t *rapid.T) cellar.Head {
	return cellar.Head{By: pick[cellar.Initials](t, "by", "MA", "NS", "OF")}
}

func (m *timers) Set(t *rapid.T) {
	running := 0
	for _, e := range m.eggs {
		if !e.ended {
			running++
		}
	}
	if running > 2 {
		return // few, so that much happens to each
	}
	n := rapid.IntRange(-1, 20).Draw(t, "minutes")
	kind := pick(t, "kind", cellar.ActAt, cellar.ActAt, cellar.NotBefore, cellar.NotAfter)
	m.n++
	c := &cellar.SetClock{Head: m.head(t), Subject: subject.Bare(fmt.Sprint("job ", m.n)), Verb: "look", What: kind,
		Due: m.now.Add(time.Duration(n) * time.Minute)}
	for _, f := range m.do(t, c, n >= 1) {
		if made, ok := f.(*cellar.ClockSet); ok {
			m.eggs[made.ID] = &egg{due: c.Due, kind: kind}
		}
	}
}

func (m *timers) Move(t *rapid.T) {
	id, e := m.some(t, runs)
	if e == nil {
		return
	}
	n := rapid.IntRange(-1, 20).Draw(t, "minutes")
	reason := pick(t, "reason", "", "colder", "later", "opened")
	due := m.now.Add(time.Duration(n) * time.Minute)
	if !e.ended && due.Equal(e.due) {
		return
	}
	right := !e.ended && n >= 1 && reason != ""
	m.do(t, &cellar.MoveClock{Head: m.head(t), Clock: id, Due: due, Reason: reason}, right)
	if right {
		e.parted = append(e.parted, e.due)
		e.due, e.seen, e.quiet, e.off = due, "", time.Time{}, 0
	}
}

func (m *timers) Off(t *rapid.T) {
	id, e := m.ending(t)
	if e == nil {
		return
	}
	m.do(t, &cellar.MoveClock{Head: m.head(t), Clock: id, Off: true, Reason: "no longer wanted"}, !e.ended)
	e.ended = true
}

func (m *timers) Done(t *rapid.T) {
	id, e := m.ending(t)
	if e == nil {
		return
	}
	m.do(t, &cellar.MoveClock{Head: m.head(t), Clock: id, Done: true}, !e.ended)
	e.ended = true
}

func (m *timers) Seen(t *rapid.T) {
	id, e := m.some(t, m.due)
	if e == nil {
		return
	}
	c := &cellar.See{Head: m.head(t), Clock: id}
	right := e.up(m.now) && !e.taken(m.now)
	m.do(t, c, right)
	if right {
		e.seen, e.seenAt = c.By, m.now
	}
}

func (m *timers) Remind(t *rapid.T) {
	id, e := m.some(t, m.due)
	if e == nil {
		return
	}
	n := rapid.IntRange(-1, 32).Draw(t, "minutes")
	until := m.now.Add(time.Duration(n) * time.Minute)
	right := e.up(m.now) && n >= 1 && n <= 30 && e.off < 3
	m.do(t, &cellar.Remind{Head: m.head(t), Clock: id, Until: until, Reason: "hands full"}, right)
	if right {
		e.quiet, e.off = until, e.off+1
	}
}

// Pass lets time go by, most of all to the second before a due, to it, or past it:
// those of before included.
func (m *timers) Pass(t *rapid.T) {
	var next []time.Time
	for _, e := range m.eggs {
		at, _ := e.rings()
		for _, x := range append([]time.Time{at, e.seenAt.Add(30 * time.Minute)}, e.parted...) {
			for _, x := range []time.Time{x.Add(-time.Second), x, x.Add(time.Second)} {
				if x.After(m.now) {
					next = append(next, x)
				}
			}
		}
	}
	if len(next) > 0 && rapid.IntRange(0, 5).Draw(t, "to a due") > 0 {
		slices.SortFunc(next, time.Time.Compare)
		m.now = rapid.SampledFrom(next[:min(8, len(next))]).Draw(t, "to")
		return
	}
	m.now = m.now.Add(time.Duration(rapid.IntRange(1, 45*60).Draw(t, "seconds")) * time.Second)
}

// Later is Pass as well, so that time passes as often as something is done.
func (m *timers) Later(t *rapid.T) { m.Pass(t) }

// Then is Pass as well.
func (m *timers) Then(t *rapid.T) { m.Pass(t) }

// TestTrustRow13OldDuesNeverFire: whatever is set, moved, taken off, done, seen
// and snoozed, what is heard is what a kitchen timer for each clock would say:
// nothing at a due that was moved away, nothing of a clock that ended.
func TestTrustRow13OldDuesNeverFire(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := &timers{house: openHouse(t), eggs: map[cellar.ClockID]*egg{}}
		for range 10 {
			t.Repeat(rapid.StateMachineActions(m))
		}
		replay := openHouse(t).s
		for _, r := range m.kept {
			cellar.Apply(replay, r)
		}
		m.agrees(t, "replay", replay)
	})
}
