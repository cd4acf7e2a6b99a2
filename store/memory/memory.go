package memory

import (
	"context"
	"errors"
	"fmt"
	"os"
	"sync"
	"time"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/store/codec"
	"cellar.example/mustwatch/store/internal/feed"
)

var (
	_ cellar.Journal = (*Journal)(nil)
	_ cellar.Pulse   = (*Pulse)(nil)
)

// Journal is a cellar.Journal in memory, safe for several goroutines. Records
// are kept as bytes, so that no fact is shared between the one who wrote it and
// those who read it.
type Journal struct {
	feed *feed.Feed

	mu     sync.Mutex
	kept   [][]byte
	hashes []codec.Hash
	closed bool
	fail   error
	gate   *gate
}

// gate stops appends. arrived gets a value for each one that has come to it, as
// long as somebody takes them.
type gate struct {
	arrived chan struct{}
	open    chan struct{}
}

// maxHeld is how many appends at one gate are announced; more than that wait
// anyway.
const maxHeld = 64

// New returns an empty journal.
func New() *Journal { return &Journal{feed: feed.New()} }

// FailNext makes the next append that gets past its checks fail with err, once,
// with nothing written; nil takes it back.
func (j *Journal) FailNext(err error) {
	j.mu.Lock()
	defer j.mu.Unlock()
	j.fail = err
}

// Hold keeps every append from here on in flight until Release, Close, or the
// end of its context. The channel delivers a value for each append that has
// arrived at the gate. Holding twice is one holding.
func (j *Journal) Hold() <-chan struct{} {
	j.mu.Lock()
	defer j.mu.Unlock()
	if j.gate == nil {
		j.gate = &gate{arrived: make(chan struct{}, maxHeld), open: make(chan struct{})}
	}
	return j.gate.arrived
}

// Release lets the appends that are held go on, each judging then whether the
// journal has grown since its decision. Without a Hold it does nothing.
func (j *Journal) Release() {
	j.mu.Lock()
	defer j.mu.Unlock()
	j.release()
}

func (j *Journal) release() {
	if j.gate != nil {
		close(j.gate.open)
		j.gate = nil
	}
}

// Append implements cellar.Journal.
func (j *Journal) Append(ctx context.Context, after cellar.Seq, records ...cellar.Record) (cellar.Seq, error) {
	if err := j.wait(ctx); err != nil {
		return 0, fmt.Errorf("append to the journal: %w", err)
	}
	j.mu.Lock()
	defer j.mu.Unlock()
	head := cellar.Seq(len(j.kept))
	switch {
	case j.closed:
		return 0, fmt.Errorf("append to the journal: %w", os.ErrClosed)
	case len(records) == 0:
		return 0, errors.New("append to the journal: there is nothing to append")
	case after != head:
		return 0, fmt.Errorf("append to the journal: %w: the decision stood on record %d, the journal ends at %d",
			cellar.ErrConflict, after, head)
	}
	kept, hashes, err := j.encode(head, records)
	if err != nil {
		return 0, fmt.Errorf("append to the journal: %w", err)
	}
	if err := j.fail; err != nil {
		j.fail = nil
		return 0, fmt.Errorf("append to the journal: %w", err)
	}
	j.kept = append(j.kept, kept...)
	j.hashes = append(j.hashes, hashes...)
	j.feed.Wake()
	return cellar.Seq(len(j.kept)), nil
}

// wait stands at the gate, if there is one.
func (j *Journal) wait(ctx context.Context) error {
	j.mu.Lock()
	gate := j.gate
	j.mu.Unlock()
	if gate != nil {
		select {
		case gate.arrived <- struct{}{}:
		default:
		}
		select {
		case <-gate.open:
		case <-ctx.Done():
		}
	}
	return ctx.Err()
}

// encode makes the bytes of all records before any is kept: it is one unit.
func (j *Journal) encode(head cellar.Seq, records []cellar.Record) ([][]byte, []codec.Hash, error) {
	prev := j.hashBefore(head + 1)
	kept := make([][]byte, 0, len(records))
	hashes := make([]codec.Hash, 0, len(records))
	for i, rec := range records {
		rec.Seq = head + cellar.Seq(i) + 1
		sealed, hash, err := codec.Encode(rec, prev)
		if err != nil {
			return nil, nil, err
		}
		kept, hashes, prev = append(kept, sealed), append(hashes, hash), hash
	}
	return kept, hashes, nil
}

func (j *Journal) hashBefore(seq cellar.Seq) codec.Hash {
	if seq <= 1 {
		return codec.Hash{}
	}
	return j.hashes[seq-2]
}

// Read implements cellar.Journal. It ends at the record that was the last when
// it was called; fn may append.
func (j *Journal) Read(ctx context.Context, from cellar.Seq, fn func(cellar.Record) error) error {
	j.mu.Lock()
	head, closed := cellar.Seq(len(j.kept)), j.closed
	j.mu.Unlock()
	if closed {
		return fmt.Errorf("read the journal: %w", os.ErrClosed)
	}
	if err := ctx.Err(); err != nil {
		return fmt.Errorf("read the journal: %w", err)
	}
	for next := max(from, 1); next <= head; next++ {
		if err := ctx.Err(); err != nil {
			return fmt.Errorf("read the journal: %w", err)
		}
		rec, err := j.record(next)
		if err != nil {
			return fmt.Errorf("read the journal: %w", err)
		}
		if err := fn(rec); err != nil {
			return err
		}
	}
	return nil
}

// record decodes one record again, for each reader.
func (j *Journal) record(seq cellar.Seq) (cellar.Record, error) {
	j.mu.Lock()
	sealed, prev := j.kept[seq-1], j.hashBefore(seq)
	j.mu.Unlock()
	rec, _, err := codec.Decode(sealed, prev)
	return rec, err
}

// Watch implements cellar.Journal. The channel is closed by Close as well.
func (j *Journal) Watch(ctx context.Context, from cellar.Seq) (<-chan cellar.Record, error) {
	one := func(next cellar.Seq) ([]cellar.Record, error) {
		j.mu.Lock()
		head := cellar.Seq(len(j.kept))
		j.mu.Unlock()
		if next > head {
			return nil, nil
		}
		rec, err := j.record(next)
		return []cellar.Record{rec}, err
	}
	out, err := j.feed.Follow(ctx, from, one, func(error) {})
	if err != nil {
		return nil, fmt.Errorf("watch the journal: %w", err)
	}
	return out, nil
}

// Close implements cellar.Journal. Appends that are held end with os.ErrClosed.
func (j *Journal) Close() error {
	j.mu.Lock()
	j.closed = true
	j.release()
	j.mu.Unlock()
	j.feed.Close()
	return nil
}

// Pulse is a cellar.Pulse in memory.
type Pulse struct {
	mu   sync.Mutex
	last time.Time
}

// Beat implements cellar.Pulse.
func (p *Pulse) Beat(at time.Time) error {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.last = at.UTC().Truncate(time.Second)
	return nil
}

// Last implements cellar.Pulse.
func (p *Pulse) Last() (time.Time, bool) {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.last, !p.last.IsZero()
}
