package tui

import (
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/tui/face"
)

// ladder remembers which steps of the house's escalation were taken: none is
// taken twice.
type ladder struct{ taken map[rung]bool }

// rung names one step.
type rung struct {
	clock cellar.ClockID
	rang  int64
	kind  cellar.StepKind
	n     int
}

func rungOf(x cellar.EscalationStep) rung { return rung{x.Clock, x.Rang.Unix(), x.Kind, x.N} }

// start takes the steps that were due while a board still ran as taken. What
// came due while none did is still to be done. Without a last beat nothing is
// known, and nothing is run for what is long past.
func (l *ladder) start(s *cellar.State, now, last time.Time) {
	l.taken = map[rung]bool{}
	for _, x := range s.Escalation(now) {
		if x.Emergency && x.Kind == cellar.StepRing {
			continue // heard again by who opens a board on it
		}
		if last.IsZero() || !x.At.After(last) {
			l.taken[rungOf(x)] = true
		}
	}
}

// fresh are the steps that are due and were not taken; they are from now on.
func (l *ladder) fresh(s *cellar.State, now time.Time) (out []cellar.EscalationStep) {
	if l.taken == nil {
		l.taken = map[rung]bool{}
	}
	for _, x := range s.Escalation(now) {
		if !l.taken[rungOf(x)] {
			l.taken[rungOf(x)] = true
			out = append(out, x)
		}
	}
	return out
}

// lastBeat is when a board last ran on this journal, zero when nothing says.
func (r *Root) lastBeat() time.Time {
	if r.o.Pulse == nil {
		return time.Time{}
	}
	last, _ := r.o.Pulse.Last()
	return last
}

// climb takes the steps that have come due: one bell, however many alarms nobody takes. A new emergency is heard though
// the bell is muted; muted after that it stays so. The screen is turned round for it once.
func (r *Root) climb() (ring, flash bool) {
	for _, x := range r.ladder.fresh(r.state, r.now) {
		ring = true
		if x.Emergency && x.Kind == cellar.StepRing && x.N == 0 {
			r.beat.muted = false
		}
		flash = flash || !x.Emergency || x.N == 0
	}
	return ring, flash
}

// notAnswered says for how long nobody has taken an alarm, and whom to call when
// there is somebody who does not sit before it; ""
// before the house's length for it.
func (r *Root) notAnswered(c *cellar.AlarmClock) string {
	for _, x := range r.state.Escalation(r.now) {
		if x.Clock == c.ID && x.Kind == cellar.StepCall {
			text := "NOT ACKNOWLEDGED FOR " + face.Length(r.now.Sub(x.Rang))
			if c.AcknowledgedBy != "" { // the line says since when already
				text = "NOT DONE"
			}
			if x.Call != "" {
				text += ": CALL " + string(x.Call)
			}
			return text
		}
	}
	return ""
}

// floodLine is how many alarms nobody has seen before the top line counts them.
const floodLine = 5

// unseen counts the alarms of this shift and the last that nobody has taken.
func (r *Root) unseen() (n int) {
	for _, c := range r.Sight().Alarms() {
		if !r.state.Taken(c, r.now) && !r.state.Older(c, r.now) {
			n++
		}
	}
	return n
}

// retitle puts the number of what is due into the title of the window, where it
// is seen while something else is in front.
func (r *Root) retitle() tea.Cmd {
	title := "mustwatch"
	if len(r.state.Emergencies(r.now)) > 0 {
		title = "(EMERGENCY) mustwatch"
	} else if n := len(r.state.Alarms(r.now)); n > 0 {
		title = r.words("({count} due) mustwatch", n)
	}
	if r.o.Demo {
		title += " DEMO"
	}
	if title == r.title {
		return nil
	}
	r.title = title
	return tea.SetWindowTitle(title)
}
