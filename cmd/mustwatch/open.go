package main

import (
	"context"
	"fmt"
	"time"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/clocks"
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
	if h.rehearsal() {
		return
	}
	q := p.timeOf(h).question()
	say := func(t time.Time) string { return t.In(h.state.Zone()).Format("Mon 2 Jan 2006 15:04") }
	switch q.Doubt {
	case clocks.Sure:
	case clocks.Lost:
		fmt.Fprintf(p.stderr, "mustwatch: note: the clock of this machine says %s and stands before the last entry (%s). Entries wait until somebody says what time it is: on the board with !, or with a line {\"do\":\"time\",\"by\":…,\"now\":…}.\n",
			say(q.Other), say(h.state.LastAt))
	default:
		fmt.Fprintf(p.stderr, "mustwatch: note: the clock of this machine was stepped; it is %s as reckoned here and %s by the other reading. On the board ! says which is right.\n", say(q.House), say(q.Other))
	}
}
