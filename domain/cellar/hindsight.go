package cellar

import (
	"context"
	"time"
)

// setup is a fact that says how the house is set up, or what its clocks are by. In
// hindsight it counts as it stands now.
type setup interface{ setsUp() }

func (*RehearsalBegun) setsUp() {}
func (*HouseSet) setsUp()       {}
func (*VesselAdded) setsUp()    {}
func (*PressAdded) setsUp()     {}
func (*ProductBooked) setsUp()  {}
func (*CardSet) setsUp()        {}
func (*TimeConfirmed) setsUp()  {}

// Hindsight is the cellar as it was at an instant, by all that is known of it now: what
// was so by then counts, whenever it was written, with what was corrected and taken
// back since. now is the state that the whole journal adds up to; ok is false where the
// journal says nothing of so early a time.
func Hindsight(ctx context.Context, j Journal, now *State, at time.Time) (then *State, ok bool, err error) {
	at = Instant(at)
	trueTime, err := trueTimes(ctx, j, now)
	if err != nil {
		return nil, false, err
	}
	then = NewState()
	kept := map[Seq]bool{}
	err = j.Read(ctx, 1, func(r Record) error {
		if r.Seq > now.Seq {
			return nil // written while this is looked at
		}
		was := !trueTime(r).After(at)
		ok = ok || was
		_, sets := r.Fact.(setup)
		if _, batch := r.Fact.(*PutTogether); batch { // of what belongs together only a part may have been so by then
			return nil
		}
		if f, corrects := r.Fact.(*Corrected); corrects {
			was = kept[f.Of]
		}
		if kept[r.Seq] = was; was || sets {
			Apply(then, r)
		}
		return nil
	})
	then.Seq = now.Seq
	return then, ok, err
}

// trueTimes tells of every record when it was so, by what is known now.
func trueTimes(ctx context.Context, j Journal, now *State) (func(Record) time.Time, error) {
	type off struct {
		seq Seq
		by  time.Duration
	}
	var shifts []off
	err := j.Read(ctx, 1, func(r Record) error {
		if f, ok := r.Fact.(*TimeConfirmed); ok && f.Shift != 0 {
			shifts = append(shifts, off{r.Seq, f.Shift.Duration()})
		}
		return nil
	})
	return func(r Record) time.Time {
		if e := now.entryOf(r.Seq); e != nil {
			return e.At
		}
		at := r.At
		for _, x := range shifts {
			if x.seq > r.Seq {
				at = at.Add(x.by)
			}
		}
		return at
	}, err
}
