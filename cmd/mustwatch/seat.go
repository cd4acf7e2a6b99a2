package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"time"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/store/journal"
	"cellar.example/mustwatch/store/link"
	"cellar.example/mustwatch/tui"
)

// serve lets further screens join the board on this journal until what it returns is
// called. Where none can, a board with a screen of its own says so and runs all the
// same.
func (p *program) serve(h *held, o *tui.Options) (end func(), err error) {
	s, err := p.listen(h, h.file)
	switch {
	case err != nil && o.NoScreen:
		return nil, refused("Put the journal where a file can be made beside it and its name is shorter.",
			"No screen can join: {wrong}.", err)
	case err != nil:
		fmt.Fprintln(p.stderr, clean("mustwatch: note: no second screen can join this board: "+err.Error()))
		keeps(o, h.path, h.file, nil)
		return func() {}, nil
	}
	keeps(o, h.path, h.file, s)
	return func() { _ = s.Close() }, nil
}

func (p *program) listen(h *held, j *journal.Journal) (*link.Server, error) {
	hello := link.Hello{Journal: j.Info().ID, Station: p.station(), Rehearsal: h.rehearsal(), Speed: p.speed,
		NoScreen: p.desk.noScreen}
	if h.joined != nil { // it goes on as fast as the board it comes after
		hello.Speed = h.joined.Hello().Speed
	}
	return link.Serve(h.path, j, hello, j.Head)
}

// keeps sets what a board has that holds the journal itself. s serves it to others, nil
// where nobody can join.
func keeps(o *tui.Options, path string, j *journal.Journal, s *link.Server) {
	o.Joined, o.Pulse, o.Guard = nil, journal.NewPulse(path), j.SameFile
	if s != nil {
		o.Tell, o.Screens, o.Follow = s.Beat, s.Screens, true
	}
}

// joins sets the options of a screen that has joined a board. It stands on the same
// machine and keeps the house's time by the same clocks; in a rehearsal its time is
// the board's. What one machine does once is done there, until that board ends and
// this screen has the journal.
func (p *program) joins(h *held, o *tui.Options) {
	var own *keeping
	seat := link.NewSeat(h.joined, func(k link.Known) (j cellar.Journal, err error) {
		if own, err = p.takeOver(h, k); err != nil {
			return nil, err
		}
		return own, nil
	})
	h.Journal, o.Journal = seat, seat
	o.Follow, o.Joined = true, &tui.Joined{
		Station: func() string { return h.joined.Hello().Station }, Unseen: h.joined.Hello().NoScreen,
		Heard: h.joined.Heard,
		Taken: seat.Taken(), Keeps: func(o *tui.Options) { keeps(o, h.path, own.Journal, own.server) },
		Stuck: func() string { return stuck(seat.Why()) },
	}
	if o.Now = h.heardNow; !o.Demo {
		o.Clocks = p.clocks
	}
}

// stuck says in one line why a screen does not have a journal that no board has; "" for
// no error.
func stuck(err error) string {
	switch {
	case err == nil:
		return ""
	case errors.Is(err, cellar.ErrLocked):
		return "Another program has the journal open" + detail(err, cellar.ErrLocked) + "."
	case errors.Is(err, cellar.ErrMissing):
		return "The journal is not in its place any more: bring it back."
	case errors.Is(err, cellar.ErrNewer):
		return "A newer mustwatch went on in the journal: end this and start that version."
	case errors.Is(err, cellar.ErrDamaged):
		return "Not taken over" + detail(err, cellar.ErrDamaged) + "."
	case errors.Is(err, fs.ErrPermission):
		return "This user is not allowed to open the journal."
	}
	return sentence("The journal cannot be opened: {wrong}.", err)
}

// keeping is a journal that a screen has taken over, and serves.
type keeping struct {
	*journal.Journal
	server *link.Server // nil where nobody can join
}

func (k *keeping) Close() error {
	if k.server != nil {
		_ = k.server.Close()
	}
	return k.Journal.Close()
}

// freeWithin is how long a journal is waited for that another screen may be looking at.
const freeWithin = 300 * time.Millisecond

// takeOver opens the journal that a screen has joined, once its board has ended, if it
// still is that journal and has come as far as the screen has. Where nobody can join it
// is kept anyway: a journal that no board has lets nothing ring.
func (p *program) takeOver(h *held, k link.Known) (*keeping, error) {
	j, err := journal.Open(h.path, journal.Options{Station: p.station(), ID: k.Journal, Timeout: freeWithin})
	if err != nil {
		return nil, err
	}
	if err := goesOn(j, k); err != nil {
		return nil, errors.Join(err, j.Close())
	}
	own := &keeping{Journal: j}
	own.server, _ = p.listen(h, j)
	return own, nil
}

// goesOn refuses a journal that does not go on from what a screen knows of it: an older
// copy, or one with another past.
func goesOn(j *journal.Journal, k link.Known) error {
	if end, _ := j.Head(); end < max(k.Seq, k.Told) {
		return fmt.Errorf("%w: it ends at %d, this screen has seen %d", cellar.ErrDamaged, end, max(k.Seq, k.Told))
	}
	other := func(seq cellar.Seq) error {
		return fmt.Errorf("%w: record %d is not the one that this screen has seen", cellar.ErrDamaged, seq)
	}
	if k.Head != "" {
		head, err := j.HeadAt(k.Told)
		if err != nil {
			return err
		}
		if head != k.Head {
			return other(k.Told)
		}
	}
	if k.Last.Fact == nil {
		return nil
	}
	seen := errors.New("seen")
	err := j.Read(context.Background(), k.Last.Seq, func(rec cellar.Record) error {
		if !cellar.SameRecord(rec, k.Last) {
			return other(k.Last.Seq)
		}
		return seen
	})
	if !errors.Is(err, seen) {
		return err
	}
	return nil
}
