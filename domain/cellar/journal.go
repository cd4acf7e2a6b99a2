package cellar

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"time"
)

// Seq numbers the records of a journal from 1. Zero stands before the first.
type Seq uint64

// Record is one fact as the journal keeps it.
type Record struct {
	Seq     Seq       // given by the journal on Append
	At      time.Time // when it was so, UTC, whole seconds
	Written time.Time // when it was written down, UTC, whole seconds
	By      Initials  // who says so
	Station string    // where it was typed
	Entry   string    // the line of a script or a paper it comes from, or ""
	Turn    int       // its place among those of the same instant, where it was said
	Fact    Fact
}

// The four ways in which a journal refuses, told apart because each has its own
// words on the screen and its own thing to do. Implementations wrap them.
var (
	// ErrConflict says that the journal has grown since the decision was made:
	// the decision must be made again on the newer state.
	ErrConflict = errors.New("the journal has grown meanwhile")
	// ErrLocked says that another program has the journal open for writing.
	ErrLocked = errors.New("the journal is open in another program")
	// ErrNewer says that a newer program wrote records this one cannot read.
	ErrNewer = errors.New("the journal comes from a newer mustwatch")
	// ErrDamaged says that the file is short, altered or older than its head.
	ErrDamaged = errors.New("the journal is damaged")
	// ErrMissing says that there is no journal at the place named. A journal is
	// only ever created on purpose.
	ErrMissing = errors.New("there is no journal")
	// ErrUnsure says that the records may be written or not: whoever was to write
	// them did not answer. The same append on the same sequence finds out: it
	// writes them, or it conflicts, and then Stands reports whether they were.
	ErrUnsure = errors.New("nobody knows whether the entry is saved")
)

// Stands reports whether these records are the ones that follow the sequence their
// decision stood on. When they are not and others are, they never will be.
func Stands(ctx context.Context, j Journal, after Seq, recs []Record) (bool, error) {
	same, enough := 0, errors.New("seen enough")
	err := j.Read(ctx, after+1, func(r Record) error {
		if same == len(recs) || !SameRecord(r, recs[same]) {
			return enough
		}
		same++
		return nil
	})
	if err != nil && !errors.Is(err, enough) {
		return false, err
	}
	return same == len(recs), nil
}

// SameRecord reports whether two records say the same, whatever their numbers.
func SameRecord(a, b Record) bool {
	if !a.At.Equal(b.At) || !a.Written.Equal(b.Written) || a.By != b.By || a.Station != b.Station ||
		a.Entry != b.Entry || a.Turn != b.Turn || Kind(a.Fact) != Kind(b.Fact) {
		return false
	}
	x, err := json.Marshal(a.Fact)
	y, no := json.Marshal(b.Fact)
	return err == nil && no == nil && bytes.Equal(x, y)
}

// Journal is the append-only truth. Everything shown is a fold of it.
type Journal interface {
	// Append writes the records as one unit and returns the sequence of the
	// last one. They are durable when it returns nil. after is the sequence the
	// decision stood on; when the journal has moved on it returns ErrConflict
	// and writes nothing. Seq of the records passed in is ignored.
	Append(ctx context.Context, after Seq, records ...Record) (Seq, error)
	// Read calls fn for each record from sequence from on, in order, and stops
	// at the first error fn returns, which it returns. It ends at the head it
	// saw at its start; fn may append.
	Read(ctx context.Context, from Seq, fn func(Record) error) error
	// Watch delivers every record from sequence from on, those already there
	// first, in order and without a gap, until ctx ends; then the channel is
	// closed, as it is by Close and at a record that cannot be read. A slow
	// reader never holds up Append.
	Watch(ctx context.Context, from Seq) (<-chan Record, error)
	// Close ends the use of the journal; a second Close does nothing. After it
	// the other methods return errors that wrap os.ErrClosed.
	Close() error
}

// Pulse keeps the last instant at which a board was known to run, so that a
// start can say what came due while none did. It is not part of the truth: a
// lost pulse makes the list of the time away longer, never shorter.
type Pulse interface {
	Beat(at time.Time) error
	Last() (time.Time, bool)
}

// Doing is what went wrong, with what was being done. Whoever shows it may leave the doing out.
type Doing struct {
	What string
	Err  error
}

func (d *Doing) Error() string { return d.What + ": " + d.Err.Error() }

// Unwrap is what went wrong.
func (d *Doing) Unwrap() error { return d.Err }
