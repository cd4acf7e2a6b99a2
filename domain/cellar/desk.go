package cellar

import (
	"context"
	"errors"
	"fmt"
	"time"
)

// Replay folds a whole journal into a state.
func Replay(ctx context.Context, j Journal) (*State, error) {
	s := NewState()
	if err := CatchUp(ctx, j, s); err != nil {
		return nil, err
	}
	return s, nil
}

// CatchUp folds what a journal has after a state.
func CatchUp(ctx context.Context, j Journal, s *State) error {
	return j.Read(ctx, s.Seq+1, func(r Record) error {
		Apply(s, r)
		return nil
	})
}

// Desk writes commands one after the other: decide, append, fold. It serves
// programs without a screen; the board does the same with the append in the
// background.
type Desk struct {
	Journal Journal
	State   *State
	Station string
	// Again waits before it is asked again whether an entry is written that the
	// journal gave no answer on, and says whether to ask. Nil does not ask.
	Again func(ctx context.Context, try int) bool
}

// conflictTries is how often a decision is made again when the journal has grown
// meanwhile. Each time somebody else has written; several files that are entered at
// once do so hundreds of times a second.
const conflictTries = 2000

// Write decides a command at now and appends what follows. The records are
// durable when it returns nil. The error is a *Rejection, a *Needs or what the
// journal said; in every case nothing of the command is written.
func (k *Desk) Write(ctx context.Context, c Command, now time.Time) ([]Record, error) {
	for try := 0; ; try++ {
		facts, err := Decide(k.State, c, now)
		if err != nil {
			return nil, err
		}
		if len(facts) == 0 {
			return nil, nil
		}
		recs := Records(c, facts, now, k.Station)
		seq, err := k.append(ctx, recs)
		if errors.Is(err, ErrConflict) && try < conflictTries {
			known := k.State.Seq
			if err := CatchUp(ctx, k.Journal, k.State); err != nil {
				return nil, fmt.Errorf("catch up with the journal: %w", err)
			}
			if k.State.Seq == known {
				return nil, fmt.Errorf(
					"catch up with the journal: %w: it ends before record %d, which was read from it", ErrDamaged,
					known)
			}
			continue
		}
		if err != nil {
			return nil, fmt.Errorf("write to the journal: %w", err)
		}
		first := seq - Seq(len(recs)) + 1
		for i := range recs {
			recs[i].Seq = first + Seq(i)
			Apply(k.State, recs[i])
		}
		return recs, nil
	}
}

// append writes the records after the state, once, also where the journal leaves it
// open for a while whether it did.
func (k *Desk) append(ctx context.Context, recs []Record) (Seq, error) {
	after, unsure := k.State.Seq, false
	for try := 0; ; try++ {
		seq, err := k.Journal.Append(ctx, after, recs...)
		if unsure && errors.Is(err, ErrConflict) {
			stands, no := Stands(ctx, k.Journal, after, recs)
			switch {
			case stands:
				return after + Seq(len(recs)), nil
			case no == nil:
				return 0, err
			}
			err = no
		}
		unsure = unsure || errors.Is(err, ErrUnsure)
		if err == nil || !unsure {
			return seq, err
		}
		if k.Again == nil || !k.Again(ctx, try) {
			return 0, fmt.Errorf("%w; look before you save it again: %w", ErrUnsure, err)
		}
	}
}
