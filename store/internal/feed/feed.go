package feed

import (
	"context"
	"os"
	"sync"

	"cellar.example/mustwatch/domain/cellar"
)

// Source reads some of the records from a sequence on, in order: as many as it
// likes, none only when there are none yet. Records that come with an error are
// those before it, and are delivered. It is called from the goroutines of the
// followers, several at a time.
type Source func(from cellar.Seq) ([]cellar.Record, error)

// Feed wakes the followers of one journal.
type Feed struct {
	done chan struct{} // closed when the feed ends
	all  sync.WaitGroup

	mu     sync.Mutex
	grown  chan struct{} // closed and replaced each time there is more
	closed bool
}

// New returns a feed that nobody follows yet.
func New() *Feed {
	return &Feed{done: make(chan struct{}), grown: make(chan struct{})}
}

// Wake says that the store holds more than before. It never waits.
func (f *Feed) Wake() {
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.closed {
		return
	}
	close(f.grown)
	f.grown = make(chan struct{})
}

// Follow delivers every record from a sequence on until ctx ends, the feed is
// closed, or the source fails; then the channel is closed. An error of the
// source goes to failed, for the channel cannot carry it. After Close it
// returns os.ErrClosed.
func (f *Feed) Follow(ctx context.Context, from cellar.Seq, read Source, failed func(error)) (<-chan cellar.Record,
	error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.closed {
		return nil, os.ErrClosed
	}
	out := make(chan cellar.Record)
	f.all.Add(1)
	go func() {
		defer f.all.Done()
		defer close(out)
		if err := f.follow(ctx, max(from, 1), read, out); err != nil {
			failed(err)
		}
	}()
	return out, nil
}

// follow is the life of one follower. It asks for the wake-up before it reads,
// so that what is appended between the reading and the waiting is not missed.
func (f *Feed) follow(ctx context.Context, from cellar.Seq, read Source, out chan<- cellar.Record) error {
	for {
		grown := f.next()
		for more := true; more && ctx.Err() == nil; {
			recs, err := read(from)
			for _, rec := range recs {
				if !f.deliver(ctx, rec, out) {
					return nil
				}
				from = rec.Seq + 1
			}
			if err != nil {
				return err
			}
			more = len(recs) > 0
		}
		select {
		case <-grown:
		case <-ctx.Done():
			return nil
		case <-f.done:
			return nil
		}
	}
}

// deliver hands over one record, or says that nobody will take it any more.
func (f *Feed) deliver(ctx context.Context, rec cellar.Record, out chan<- cellar.Record) bool {
	select {
	case out <- rec:
		return true
	case <-ctx.Done():
		return false
	case <-f.done:
		return false
	}
}

func (f *Feed) next() <-chan struct{} {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.grown
}

// Close ends all followers and waits until none of them reads any more, so that
// the store may be taken away. A second Close does nothing.
func (f *Feed) Close() {
	f.mu.Lock()
	if !f.closed {
		f.closed = true
		close(f.done)
	}
	f.mu.Unlock()
	f.all.Wait()
}
