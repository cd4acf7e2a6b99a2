package tui

import (
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/tui/effect"
)

// beat is the one heartbeat: a second, with a generation, so that a beat that
// was left behind is never taken for the present one.
type beat struct {
	gen  int
	n    int
	tick func(time.Duration, func(time.Time) tea.Msg) tea.Cmd
	rung map[cellar.ClockID]time.Time // the instant for which the bell has rung

	muted bool // the bell is
	flash bool // the wall is turned round until the next beat
	want  bool // something new is due that has not been flashed for
}

type beatMsg struct{ gen int }

type guardMsg struct{ err error }

// How often things are done, in beats.
const (
	pulseEvery = 10
	guardEvery = 60
	// machineAfter is when what the machine cannot do is said once: by then it has
	// found out.
	machineAfter = 4
)

// start begins a new generation of beats.
func (b *beat) start() tea.Cmd {
	b.gen++
	return b.next()
}

// Beat is the message of a heartbeat, for a test that has its own time.
func (r *Root) Beat() tea.Msg { return beatMsg{r.beat.gen} }

func (b *beat) next() tea.Cmd {
	gen := b.gen
	return b.tick(time.Second, func(time.Time) tea.Msg { return beatMsg{gen} })
}

// quiet takes what is due already as rung: the list of the time away says it.
func (b *beat) quiet(s *cellar.State, now time.Time) {
	b.rung = map[cellar.ClockID]time.Time{}
	for _, c := range s.Alarms(now) {
		b.rung[c.ID], _ = c.RingsAt()
	}
}

// ring reports whether an alarm is new since the last beat: one bell, however
// many came.
func (b *beat) ring(s *cellar.State, now time.Time) bool {
	fresh := false
	for _, c := range s.Alarms(now) {
		rings, _ := c.RingsAt()
		if at, ok := b.rung[c.ID]; (!ok || !at.Equal(rings)) && !s.Taken(c, now) {
			b.rung[c.ID] = rings
			fresh = true
		}
	}
	return fresh
}

func (r *Root) onBeat(m beatMsg) tea.Cmd {
	if m.gen != r.beat.gen {
		return nil
	}
	cmds := []tea.Cmd{r.beat.next()}
	if r.o.Missing != "" {
		return cmds[0]
	}
	r.beat.n++
	if r.o.Tell != nil {
		r.o.Tell(r.now)
	}
	r.followed()
	cmds = append(cmds, r.lookUp(), r.keepTime(), r.playScript())
	fresh := r.beat.ring(r.state, r.now)
	again, flash := r.climb()
	r.beat.want = r.beat.want || fresh || flash
	if (fresh || again) && !r.beat.muted {
		cmds = append(cmds, effect.Bell(r.o.Out))
	}
	cmds = append(cmds, r.retitle())
	r.beat.turn(r.whole())
	if r.beat.n%pulseEvery == 1 && r.o.Pulse != nil {
		p, at := r.o.Pulse, r.now
		cmds = append(cmds, func() tea.Msg { _ = p.Beat(at); return nil })
	}
	if r.beat.n == machineAfter && r.o.Machine != nil {
		if said := r.o.Machine(); len(said) > 0 && r.told() == "" {
			r.say(said[0])
		}
	}
	if r.beat.n%guardEvery == 0 && r.o.Guard != nil {
		guard := r.o.Guard
		cmds = append(cmds, func() tea.Msg { return guardMsg{guard()} })
	}
	return tea.Batch(cmds...)
}

// turn decides whether the wall is turned round for this beat: once for what is
// newly due, however much came, and never for two beats running, so that there
// is at most one flash in two seconds. Three in one are the limit for people
// with photosensitive epilepsy (WCAG 2, success criterion 2.3.1).
func (b *beat) turn(onWall bool) {
	b.flash = b.want && !b.flash && onWall
	if b.flash || !onWall {
		b.want = false
	}
}

func (r *Root) onGuard(m guardMsg) tea.Cmd {
	if m.err != nil {
		r.banner = "The journal's file is gone or replaced: " + m.err.Error() + ". Write on paper and start again."
	}
	return nil
}

// playScript sends the script's lines that are due, until a person writes.
func (r *Root) playScript() tea.Cmd {
	if r.o.Script == nil || len(r.writes.queue) > 0 || r.writes.busy() {
		return nil
	}
	var cmds []tea.Cmd
	for _, c := range r.o.Script(r.now) {
		cmds = append(cmds, r.submit(&pending{cmd: c, script: true}))
	}
	return tea.Batch(cmds...)
}

// awayFrom is how long nobody must have looked before a start lists what came
// due meanwhile.
const awayFrom = 60 * time.Second

// away lists what came due while no board ran, with the lateness of each.
func (r *Root) away() {
	if r.o.Pulse == nil {
		return
	}
	last, ok := r.o.Pulse.Last()
	if !ok {
		last = r.state.LastAt
	}
	if last.IsZero() || r.now.Sub(last) < awayFrom {
		return
	}
	r.missed("Away", last)
}
