package main

import (
	"context"
	"errors"
	"fmt"
	"time"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/clocks"
	"cellar.example/mustwatch/store/journal"
	"cellar.example/mustwatch/store/link"
)

// held is a journal that is open, with the state it adds up to: the file itself, or
// by way of the board that has it open.
type held struct {
	cellar.Journal
	file   *journal.Journal // nil on a screen that has joined a board
	joined *link.Client     // nil where the file itself is open
	path   string
	state  *cellar.State
	kept   cellar.Seq // up to where its state is kept beside it
}

// hold opens the journal at path and folds it. What comes back as an error is
// for a person to read.
func hold(ctx context.Context, path string, opts journal.Options) (*held, error) {
	j, err := journal.Open(path, opts)
	if err != nil {
		return nil, explain(err, path)
	}
	return replayed(ctx, &held{Journal: j, file: j, path: path})
}

// joinTries is how often a journal that is locked is asked for a board: each time
// that takes a second.
const joinTries = 4

// join is hold for what may as well go by way of a board that has the journal open.
func (p *program) join(ctx context.Context, path string, opts journal.Options) (*held, error) {
	silent := &trouble{endLocked, sentence("A board has the journal {path} open and does not answer: it may be frozen.",
		path), "Go and look; write on paper until then."}
	c, err := link.Dial(path)
	for try := 1; err != nil; try++ {
		if errors.Is(err, link.ErrSilent) {
			return nil, silent
		}
		if !errors.Is(err, link.ErrGone) { // a board of another version, say
			return nil, explain(err, path)
		}
		h, no := hold(ctx, path, opts)
		var t *trouble
		if !errors.As(no, &t) || t.code != endLocked || try == joinTries {
			return h, no
		}
		c, err = link.Dial(path) // a board that has just started serves by and by
	}
	if !c.Wait(5 * time.Second) {
		_ = c.Close()
		return nil, silent
	}
	return replayed(ctx, &held{Journal: c, joined: c, path: path})
}

func replayed(ctx context.Context, h *held) (*held, error) {
	var err error
	if h.file != nil {
		h.state, h.kept, err = takenUp(ctx, h.file)
	} else {
		h.state, err = cellar.Replay(ctx, h)
	}
	if err != nil {
		_ = h.Close()
		return nil, explain(err, h.path)
	}
	return h, nil
}

// rehearsal reports whether the journal has a clock of its own.
func (h *held) rehearsal() bool {
	if h.joined != nil {
		return h.joined.Hello().Rehearsal
	}
	return h.file.Info().Kind == journal.Rehearsal
}

// head is where the journal ends, for a person to compare. A board that has gone on
// meanwhile knows the hash of its own end only, so that is caught up with first.
func (h *held) head() (seq cellar.Seq, hash string) {
	if h.joined == nil {
		return h.file.Head()
	}
	for range 5 {
		hello, err := h.joined.Greet()
		if err != nil || hello.Seq == h.state.Seq {
			return h.state.Seq, hello.Head
		}
		err = h.Read(context.Background(), h.state.Seq+1, func(r cellar.Record) error {
			cellar.Apply(h.state, r)
			return nil
		})
		if err != nil {
			break
		}
	}
	return h.state.Seq, ""
}

// heardNow is the house's time by the board's last beat.
func (h *held) heardNow() time.Time {
	at, ago := h.joined.Heard()
	if s := h.joined.Hello().Speed; s > 0 {
		ago = time.Duration(float64(ago) * s)
	}
	return at.Add(ago)
}

// letGo closes the journal, and says so on top of err if that fails.
func (h *held) letGo(err error) error {
	h.keep()
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
	if h.file != nil { // the board itself says it else
		if err := h.file.Warning(); err != nil {
			fmt.Fprintln(p.stderr, clean("mustwatch: note: "+err.Error()))
		}
	}
	if h.rehearsal() {
		return
	}
	q := p.timeOf(h).question()
	say := func(t time.Time) string { return t.In(h.state.Zone()).Format("Mon 2 Jan 2006 15:04") }
	switch q.Doubt {
	case clocks.Sure:
	case clocks.Lost:
		fmt.Fprintf(p.stderr, "mustwatch: note: the clock of this machine says %s and stands before the last entry "+
			"(%s). Entries wait until somebody says what time it is: on the board with !, or with a line "+
			"{\"do\":\"time\",\"by\":…,\"now\":…}.\n",
			say(q.Other), say(h.state.LastAt))
	default:
		fmt.Fprintf(p.stderr, "mustwatch: note: the clock of this machine was set to another time: it is %s by this "+
			"program's count and %s by that clock. Press ! on the board to say which is right.\n", say(q.House),
			say(q.Other))
	}
}
