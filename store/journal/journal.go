package journal

import (
	"context"
	"encoding/binary"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"sync"
	"time"

	"go.etcd.io/bbolt"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/store/codec"
	"cellar.example/mustwatch/store/internal/feed"
)

var _ cellar.Journal = (*Journal)(nil)

// Journal is a cellar.Journal in one file, safe for several goroutines. It is
// made by Open and holds the lock on the file until Close.
type Journal struct {
	path     string
	info     Info
	genesis  codec.Hash
	station  string
	readOnly bool

	db     *bbolt.DB
	file   *os.File    // bbolt's own handle: to ask of, and to let go of the lock
	opened os.FileInfo // which file that is
	feed   *feed.Feed

	warm sync.Once // the file was read once in order

	write sync.Mutex // held over a whole append, and over what must see none

	mu       sync.Mutex
	head     head
	size     int64 // what the file had after the last commit; it never shrinks
	broken   error // why bbolt must not be called any more
	warnings warnings
	closed   bool
}

// warnings are what Warning reports, each until it is corrected.
type warnings struct {
	atOpen  error // the head was missing or unreadable
	atHead  error // the head could not be written
	atWatch error // a record could not be read for those who watch
}

// head is the last record; seq 0 with the hash of Info when there is none.
type head struct {
	seq     cellar.Seq
	hash    codec.Hash
	written time.Time
}

// errClosed is what all uses after Close come to.
var errClosed = os.ErrClosed

// fillPercent is how full a page is left when it is split. Keys only ever come
// at the end, so that a page once left behind never has to take another.
const fillPercent = 0.9

// Info returns what the journal says about itself.
func (j *Journal) Info() Info { return j.info }

// Head returns the sequence of the last record and the first eight digits of its
// hash, which is what a person can compare with a printed sheet. An empty
// journal has the sequence 0 and the hash of its Info.
func (j *Journal) Head() (cellar.Seq, string) {
	h := j.headNow()
	return h.seq, hexOf(h.hash)[:8]
}

// HeadAt is what Head said when a record was the last one.
func (j *Journal) HeadAt(seq cellar.Seq) (string, error) {
	hash, err := j.hashAt(seq)
	if err != nil {
		return "", fmt.Errorf("look into the journal: %w", err)
	}
	return hexOf(hash)[:8], nil
}

func (j *Journal) headNow() head {
	j.mu.Lock()
	defer j.mu.Unlock()
	return j.head
}

// Warning returns what went wrong without harm to the journal itself and is worth
// a person's eye, nil when there is nothing: the head beside the journal was
// missing when it was opened, cannot be written (until it can again), or a record
// could not be read for those who watch.
func (j *Journal) Warning() error {
	j.mu.Lock()
	defer j.mu.Unlock()
	return errors.Join(j.warnings.atOpen, j.warnings.atHead, j.warnings.atWatch)
}

// Append implements cellar.Journal. A record without a station gets the one of
// Options. ctx counts until the commit begins and not after, so that an append
// is never left undecided.
//
// A file that is no longer at its place wraps cellar.ErrMissing, another one
// there cellar.ErrDamaged. What the disk refuses, when it is full for example,
// comes back as it is, with nothing written and the journal as usable as before.
func (j *Journal) Append(ctx context.Context, after cellar.Seq, records ...cellar.Record) (cellar.Seq, error) {
	seq, err := j.append(ctx, after, records)
	if err != nil {
		return 0, &cellar.Doing{What: "append to the journal", Err: err}
	}
	return seq, nil
}

func (j *Journal) append(ctx context.Context, after cellar.Seq, records []cellar.Record) (cellar.Seq, error) {
	j.write.Lock()
	defer j.write.Unlock()
	switch {
	case ctx.Err() != nil:
		return 0, ctx.Err()
	case j.isClosed():
		return 0, errClosed
	case j.readOnly:
		return 0, errors.New("it is open for reading only")
	case len(records) == 0:
		return 0, errors.New("there is nothing to append")
	}
	if err := j.SameFile(); err != nil {
		return 0, err
	}
	next := j.headNow()
	err := j.update(func(stored *bbolt.Bucket) (err error) {
		next, err = j.put(stored, after, records)
		return err
	})
	if err != nil {
		return 0, j.settle(err)
	}
	j.grow(next)
	return next.seq, nil
}

// put writes the records onto the end of the bucket. The end is read from the
// store itself, inside the transaction, and not from what this program believes.
func (j *Journal) put(stored *bbolt.Bucket, after cellar.Seq, records []cellar.Record) (head, error) {
	end, err := j.end(stored)
	if err != nil {
		return head{}, err
	}
	if after != end.seq {
		return head{}, fmt.Errorf("%w: the decision stood on record %d, the journal ends at %d", cellar.ErrConflict,
			after, end.seq)
	}
	stored.FillPercent = fillPercent
	for _, rec := range records {
		if rec.Station == "" {
			rec.Station = j.station
		}
		rec.Seq = end.seq + 1
		sealed, hash, err := codec.Encode(rec, end.hash)
		if err != nil {
			return head{}, err
		}
		if err := stored.Put(key(rec.Seq), sealed); err != nil {
			return head{}, err
		}
		end = head{seq: rec.Seq, hash: hash, written: rec.Written}
	}
	return end, nil
}

// end reads the last record of the bucket, as far as a head goes.
func (j *Journal) end(stored *bbolt.Bucket) (head, error) {
	k, v := stored.Cursor().Last()
	if k == nil {
		return head{hash: j.genesis, written: j.info.Created}, nil
	}
	if len(k) != keyLen {
		return head{}, fmt.Errorf("%w: the last record has no number", cellar.ErrDamaged)
	}
	hash, err := codec.HashOf(v)
	if err != nil {
		return head{}, err
	}
	return head{seq: cellar.Seq(binary.BigEndian.Uint64(k)), hash: hash}, nil
}

// settle looks at the store after an append that failed. Nearly always nothing
// was written and all stays as it was. If the flush of the last page failed,
// though, the records can be seen in the file and may or may not be on the disk:
// then it is not for this process to build on them.
func (j *Journal) settle(failed error) error {
	if errors.Is(failed, cellar.ErrConflict) || j.brokenBy() != nil {
		return failed
	}
	var now head
	err := j.view(func(_ *bbolt.Tx, stored *bbolt.Bucket) (err error) {
		now, err = j.end(stored)
		return err
	})
	if err == nil && now.seq != j.headNow().seq {
		err = errors.New("the disk did not confirm the last entry, which may be there or not; close the journal and " +
			"open it again")
		j.breakOff(err)
	}
	if err != nil {
		return fmt.Errorf("%w; %w", failed, err)
	}
	return failed
}

// grow makes a commit known: to this program, to those who watch, and to the
// file beside the journal. The append holds whatever becomes of that file.
func (j *Journal) grow(to head) {
	info, err := j.file.Stat()
	j.mu.Lock()
	j.head = to
	if err == nil {
		j.size = info.Size()
	}
	m := j.mark()
	j.mu.Unlock()
	j.feed.Wake()
	err = writeMark(j.path, m, false)
	j.mu.Lock()
	j.warnings.atHead = err
	j.mu.Unlock()
}

// SameFile reports whether the file at the journal's path still is the one that is
// open, at least as long as it must be. If not, what is written goes where
// nobody will find it: see Append for the errors.
func (j *Journal) SameFile() error {
	size := j.sizeNow() // before the look at the file, for an append may enlarge it
	now, err := os.Stat(j.path)
	if errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("%w at %s any more: the file was deleted or moved while it was open", cellar.ErrMissing,
			j.path)
	}
	if err != nil {
		return &cellar.Doing{What: "look at the file of the journal", Err: err}
	}
	if !os.SameFile(now, j.opened) {
		return fmt.Errorf("%w: another file was put at %s while the journal was open", cellar.ErrDamaged, j.path)
	}
	if now.Size() < size {
		err := fmt.Errorf("%w: the file was cut from %d to %d bytes while it was open", cellar.ErrDamaged, size,
			now.Size())
		j.breakOff(fmt.Errorf("%w: %w", err, errFault))
		return err
	}
	return nil
}

func (j *Journal) sizeNow() int64 {
	j.mu.Lock()
	defer j.mu.Unlock()
	return j.size
}

// Close implements cellar.Journal. It waits for an append in flight and ends
// those who watch.
func (j *Journal) Close() error {
	j.write.Lock()
	defer j.write.Unlock()
	j.mu.Lock()
	was, broken, m := j.closed, j.broken, j.mark()
	j.closed = true
	j.mu.Unlock()
	if was {
		return nil
	}
	if errors.Is(broken, errFault) {
		// bbolt may hold its locks for ever, and so may a follower in it.
		go j.feed.Close()
		j.abandon()
		return nil
	}
	j.feed.Close()
	var err error
	if !j.readOnly {
		if broken == nil && j.SameFile() == nil {
			err = writeMark(j.path, m, true)
		}
		j.removeHolder()
	}
	if err := errors.Join(err, j.db.Close()); err != nil {
		return fmt.Errorf("close the journal: %w", err)
	}
	return nil
}

// abandon lets go of the lock without asking bbolt. The mapping stays until the
// process ends; a program that met a fault has no more use for the file anyway.
func (j *Journal) abandon() {
	if !j.readOnly {
		j.removeHolder()
	}
	_ = unlock(j.file)
	_ = j.file.Close()
}

func (j *Journal) isClosed() bool {
	j.mu.Lock()
	defer j.mu.Unlock()
	return j.closed
}

const keyLen = 8

// key orders the records by their sequence.
func key(seq cellar.Seq) []byte {
	return binary.BigEndian.AppendUint64(make([]byte, 0, keyLen), uint64(seq))
}
