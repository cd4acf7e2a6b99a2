package journal

import (
	"errors"
	"fmt"
	"runtime/debug"

	"go.etcd.io/bbolt"
	berrors "go.etcd.io/bbolt/errors"

	"cellar.example/mustwatch/domain/cellar"
)

// errFault marks an error after which bbolt must not be called any more: it was
// torn out of its work and may hold its locks for ever.
var errFault = errors.New("fault")

// guard runs work on the mapped file. A page that points outside of the file, or
// a file that was cut short after it was opened, faults on the mapping; without
// the guard that ends the process in a way that no recover can catch, with the
// board dark and the alarms silent. Here it becomes an error.
//
// Nothing of a caller may run inside: his panics would be taken for damage.
func guard(work func() error) (err error) {
	old := debug.SetPanicOnFault(true)
	defer debug.SetPanicOnFault(old)
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("%w: a page makes no sense (%v): %w", cellar.ErrDamaged, r, errFault)
		}
	}()
	return work()
}

// view runs work on the records under the guard, in a read transaction. It must
// be short: an append that has to enlarge the file waits for it.
func (j *Journal) view(work func(tx *bbolt.Tx, records *bbolt.Bucket) error) error {
	return j.guarded(func() error {
		return j.db.View(func(tx *bbolt.Tx) error {
			records := tx.Bucket(recordsBucket)
			if records == nil {
				return errNoRecords
			}
			return work(tx, records)
		})
	})
}

// update is view for one write transaction.
func (j *Journal) update(work func(records *bbolt.Bucket) error) error {
	return j.guarded(func() error {
		return j.db.Update(func(tx *bbolt.Tx) error {
			records := tx.Bucket(recordsBucket)
			if records == nil {
				return errNoRecords
			}
			return work(records)
		})
	})
}

var errNoRecords = fmt.Errorf("%w: it is a store of some other program: it has no records", cellar.ErrDamaged)

// guarded refuses a journal that broke before, and remembers when it breaks.
func (j *Journal) guarded(work func() error) error {
	if err := j.brokenBy(); err != nil {
		return err
	}
	err := guard(work)
	switch {
	case errors.Is(err, errFault):
		j.breakOff(err)
	case errors.Is(err, berrors.ErrDatabaseNotOpen):
		return errClosed
	}
	return err
}

// brokenBy returns what made the journal unusable, if anything did.
func (j *Journal) brokenBy() error {
	j.mu.Lock()
	defer j.mu.Unlock()
	return j.broken
}

// breakOff makes every later use fail with the same error. The first one counts.
func (j *Journal) breakOff(err error) {
	j.mu.Lock()
	defer j.mu.Unlock()
	if j.broken == nil {
		j.broken = err
	}
}
