package main

import (
	"context"
	"fmt"
	"time"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/store/journal"
)

// held is a journal that is open, with the state it adds up to.
type held struct {
	*journal.Journal
	path  string
	state *cellar.State
}

// hold opens the journal at path and folds it. What comes back as an error is
// for a person to read.
func hold(ctx context.Context, path string, opts journal.Options) (*held, error) {
	j, err := journal.Open(path, opts)
	if err != nil {
		return nil, explain(err, path)
	}
	state, err := cellar.Replay(ctx, j)
	if err != nil {
		_ = j.Close()
		return nil, explain(err, path)
	}
	return &held{Journal: j, path: path, state: state}, nil
}

// rehearsal tells whether the journal has a clock of its own.
func (h *held) rehearsal() bool { return h.Info().Kind == journal.Rehearsal }

// letGo closes the journal, and says so on top of err if that fails.
func (h *held) letGo(err error) error {
	if closed := h.Close(); err == nil && closed != nil {
		return explain(closed, h.path)
	}
	return err
}

// reached is how far a rehearsal has come: to its last entry, or to the last
// beat of a board that ran on after it.
func (h *held) reached() time.Time {
	last, ok := journal.NewPulse(h.path).Last()
	if ok && last.After(h.state.LastAt) {
		return last
	}
	return h.state.LastAt
}

// smallStep is how far the wall clock may stand behind the last entry without a
// word: until it has caught up, the last entry is what time it is.
const smallStep = 2 * time.Minute

// clock is the house's time on a journal: the wall clock on a real one, and on a
// rehearsal a clock that goes on from where it came to.
func (p *program) clock(h *held) func() time.Time {
	if h.rehearsal() {
		return runOn(p.now, h.reached(), 1)
	}
	floor := h.state.LastAt
	return func() time.Time {
		now := p.now()
		if behind := floor.Sub(now); behind > 0 && behind <= smallStep {
			return floor
		}
		return now
	}
}

// runOn is a clock that stands at start now and goes on speed times as fast as
// the wall clock. It counts with the monotonic clock, so that a wall clock that
// is set meanwhile does not move it.
func runOn(wall func() time.Time, start time.Time, speed float64) func() time.Time {
	from := wall()
	return func() time.Time {
		return start.Add(time.Duration(float64(wall().Sub(from)) * speed))
	}
}

// warn says on stderr what is odd about a journal without standing in the
// way of its use.
func (p *program) warn(h *held) {
	if err := h.Warning(); err != nil {
		fmt.Fprintln(p.stderr, clean("mustwatch: note: "+err.Error()))
	}
	if behind := h.state.LastAt.Sub(p.now()); !h.rehearsal() && behind > smallStep {
		fmt.Fprintf(p.stderr, "mustwatch: note: the clock of this machine stands before the last entry (%s). Set it, or the times of new entries are wrong.\n",
			h.state.LastAt.In(h.state.Zone()).Format("Mon 2 Jan 15:04"))
	}
}
