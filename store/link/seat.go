package link

import (
	"context"
	"errors"
	"os"
	"sync"
	"time"

	"cellar.example/mustwatch/domain/cellar"
)

var _ cellar.Journal = (*Seat)(nil)

// Seat is the journal of a screen: by way of the board as long as one has it open, and
// the file itself once the screen has taken it over, because nobody had. Of several
// screens that want it one gets it, by the lock on the file; the others find the board
// it has become.
type Seat struct {
	client *Client
	take   Take
	taken  chan struct{}
	over   chan struct{} // nothing is taken over any more
	ctx    context.Context
	stop   context.CancelFunc
	all    sync.WaitGroup

	mu     sync.Mutex
	own    cellar.Journal // nil as long as it goes by way of a board
	why    error          // why it could not be taken over
	closed bool
}

// Take opens the journal that a screen knows, for writing, and serves it. It refuses
// one that is not that journal, or has not come as far. Close of what it returns ends
// the serving as well.
type Take func(k Known) (cellar.Journal, error)

// How long after a journal that was not free, or not there, it is tried again.
const (
	lookEvery  = 100 * time.Millisecond
	againAfter = time.Second
)

// NewSeat makes the journal of a screen that has joined a board. The client is the
// seat's from then on.
func NewSeat(c *Client, take Take) *Seat {
	s := &Seat{client: c, take: take, taken: make(chan struct{}), over: make(chan struct{})}
	s.ctx, s.stop = context.WithCancel(context.Background())
	go s.wait()
	return s
}

// Taken is closed once the screen has taken the journal over.
func (s *Seat) Taken() <-chan struct{} { return s.taken }

// Why says why the journal was not taken over though no board has it; nil as long as
// one has, or nothing was tried.
func (s *Seat) Why() error {
	if !s.client.Alone() {
		return nil
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.why
}

// wait takes the journal over as soon as nobody has it.
func (s *Seat) wait() {
	defer close(s.over)
	for wait := lookEvery; s.pause(wait); {
		if wait = lookEvery; !s.client.Alone() {
			continue
		}
		own, err := s.take(s.client.Known())
		if err != nil {
			if !errors.Is(err, cellar.ErrLocked) {
				wait = againAfter
			}
			s.mu.Lock()
			s.why = err
			s.mu.Unlock()
			continue
		}
		s.mu.Lock()
		s.own = own
		s.mu.Unlock()
		_ = s.client.Close() // those who follow go on with the file
		close(s.taken)
		return
	}
}

func (s *Seat) pause(d time.Duration) bool {
	select {
	case <-time.After(d):
		return true
	case <-s.ctx.Done():
		return false
	}
}

// now is the journal to ask at this moment.
func (s *Seat) now() cellar.Journal {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.own != nil {
		return s.own
	}
	return s.client
}

// changed reports whether a request failed only because the journal changed hands while
// it was on its way, with nothing sent.
func (s *Seat) changed(was cellar.Journal, err error) bool {
	return errors.Is(err, os.ErrClosed) && !errors.Is(err, cellar.ErrUnsure) && s.now() != was
}

// Append implements cellar.Journal. An append that was on its way when the board ended
// wraps cellar.ErrUnsure: the same one again finds out, whoever has the journal by then.
func (s *Seat) Append(ctx context.Context, after cellar.Seq, records ...cellar.Record) (cellar.Seq, error) {
	j := s.now()
	seq, err := j.Append(ctx, after, records...)
	if s.changed(j, err) {
		return s.now().Append(ctx, after, records...)
	}
	return seq, err
}

// Read implements cellar.Journal.
func (s *Seat) Read(ctx context.Context, from cellar.Seq, fn func(cellar.Record) error) error {
	j, next := s.now(), from
	err := j.Read(ctx, from, func(rec cellar.Record) error {
		next = rec.Seq + 1
		return fn(rec)
	})
	if s.changed(j, err) {
		return s.now().Read(ctx, next, fn)
	}
	return err
}

// Watch implements cellar.Journal. It goes on without a gap when the journal changes
// hands.
func (s *Seat) Watch(ctx context.Context, from cellar.Seq) (<-chan cellar.Record, error) {
	j := s.now()
	recs, err := j.Watch(ctx, from)
	if s.changed(j, err) {
		j = s.now()
		recs, err = j.Watch(ctx, from)
	}
	if err != nil {
		return nil, err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.closed {
		return nil, os.ErrClosed
	}
	out := make(chan cellar.Record)
	s.all.Add(1)
	go func() {
		defer s.all.Done()
		defer close(out)
		for s.pass(ctx, recs, &from, out) {
			was := j
			if j = s.now(); j == was { // it ended for good
				return
			}
			if recs, err = j.Watch(ctx, from); err != nil {
				return
			}
		}
	}()
	return out, nil
}

// pass hands records on until there are no more, and says whether somebody takes them
// still.
func (s *Seat) pass(ctx context.Context, recs <-chan cellar.Record, from *cellar.Seq, out chan<- cellar.Record) bool {
	for rec := range recs {
		select {
		case out <- rec:
			*from = rec.Seq + 1
		case <-ctx.Done():
			return false
		case <-s.ctx.Done():
			return false
		}
	}
	return ctx.Err() == nil && s.ctx.Err() == nil
}

// Close implements cellar.Journal: the file is let go if this screen has it.
func (s *Seat) Close() error {
	s.mu.Lock()
	was := s.closed
	s.closed = true
	s.mu.Unlock()
	if was {
		return nil
	}
	s.stop()
	err := s.client.Close()
	<-s.over
	if own := s.now(); own != s.client {
		err = errors.Join(err, own.Close())
	}
	s.all.Wait()
	return err
}
