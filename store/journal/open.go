package journal

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"time"

	"go.etcd.io/bbolt"
	berrors "go.etcd.io/bbolt/errors"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/store/internal/feed"
)

const (
	defaultTimeout = time.Second
	lockRetry      = 25 * time.Millisecond
	// tailLen is how many of the last records an opening always checks. The rest
	// is checked as it is read, and by Verify.
	tailLen = 64
)

// Options say how a journal is opened. The zero value is for writing.
type Options struct {
	// Timeout is how long to wait for another program to let go; 0 is a second.
	Timeout time.Duration
	// ReadOnly opens for reading beside other readers, never beside a writer,
	// and changes nothing, not even the files beside the journal.
	ReadOnly bool
	// Station is where this program runs: it is written into records that name
	// none, and told to those who find the journal locked.
	Station string
	// ID is Info.ID of the journal that it must be, "" where any will do. Of another one
	// nothing is touched: it is ErrDamaged.
	ID string
}

// advice is what to do about damage that has no better advice of its own.
const advice = "keep the file as it is and bring back the newest whole copy"

// Open opens a journal that Create has made. It returns
//
//   - cellar.ErrMissing when there is no file: it never makes one;
//   - cellar.ErrLocked, after the timeout, when another program has it open;
//   - cellar.ErrDamaged when the file is empty, short, not a journal, altered in
//     its pages or its last records, or older than the head beside it;
//   - cellar.ErrNewer when its layout or, unless ReadOnly, one of its last
//     records is of a newer program: to write on would mix the two.
//
// A head beside the journal that is missing or unreadable is no damage: a
// journal that was copied by itself must open at its new place. It costs a check
// of every record, sets Warning, for an older copy could not be told from the
// journal, and is corrected. A head that is behind is what a kill or a power cut
// between commit and head leaves: the chain from there on is checked and the
// head corrected in silence.
func Open(path string, opts Options) (*Journal, error) {
	if opts.Timeout <= 0 {
		opts.Timeout = defaultTimeout
	}
	j, err := open(path, opts)
	if errors.Is(err, cellar.ErrDamaged) && !errors.Is(err, errRolledBack) {
		err = fmt.Errorf("%w; %s", err, advice)
	}
	if err != nil {
		return nil, fmt.Errorf("open the journal %s: %w", path, err)
	}
	return j, nil
}

func open(path string, opts Options) (*Journal, error) {
	if err := checkPlace(path); err != nil {
		return nil, err
	}
	shape, err := look(path, opts)
	if err != nil {
		return nil, err
	}
	j := &Journal{path: path, station: opts.Station, readOnly: opts.ReadOnly, feed: feed.New()}
	if err := j.openStore(opts); err != nil {
		return nil, err
	}
	if err := j.load(shape, opts.ID); err != nil {
		// Closed without the head being written: it is the proof against the file.
		if errors.Is(err, errFault) {
			_ = unlock(j.file)
			_ = j.file.Close()
		} else {
			_ = j.db.Close()
		}
		return nil, err
	}
	if !j.readOnly {
		j.writeHolder()
	}
	return j, nil
}

// checkPlace refuses what bbolt would silently make a new store of.
func checkPlace(path string) error {
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return fmt.Errorf("%w there", cellar.ErrMissing)
	case err != nil:
		return err
	case !info.Mode().IsRegular():
		return errors.New("it is not a plain file")
	case info.Size() == 0:
		return fmt.Errorf("%w: the file is empty", cellar.ErrDamaged)
	}
	return nil
}

// look inspects the pages with plain reads, before bbolt maps them. It holds the
// lock meanwhile, for in the middle of another program's commit a file makes no
// sense; and it gives the lock back, for bbolt wants to take its own.
func look(path string, opts Options) (shape, error) {
	how := os.O_RDWR
	if opts.ReadOnly {
		how = os.O_RDONLY
	}
	f, err := os.OpenFile(path, how, 0)
	if err != nil {
		return shape{}, err
	}
	defer f.Close()
	if err := waitLock(f, opts); err != nil {
		return shape{}, err
	}
	defer func() { _ = unlock(f) }()
	return inspect(f, spine)
}

func waitLock(f *os.File, opts Options) error {
	var waited time.Duration
	for {
		got, err := tryLock(f, !opts.ReadOnly)
		if err != nil {
			return fmt.Errorf("lock the file: %w", err)
		}
		if got {
			return nil
		}
		if waited >= opts.Timeout {
			return lockedBy(f.Name())
		}
		time.Sleep(lockRetry)
		waited += lockRetry
	}
}

// openStore has bbolt open the file, and never make one.
func (j *Journal) openStore(opts Options) error {
	err := guard(func() (err error) {
		j.db, err = bbolt.Open(j.path, 0o600, &bbolt.Options{
			Timeout:      opts.Timeout,
			ReadOnly:     opts.ReadOnly,
			NoStatistics: true,
			OpenFile: func(name string, how int, mode os.FileMode) (*os.File, error) {
				f, err := os.OpenFile(name, how&^os.O_CREATE, mode)
				j.file = f
				return f, err
			},
		})
		return err
	})
	switch {
	case err == nil:
		if j.opened, err = j.file.Stat(); err != nil {
			_ = j.db.Close()
			return err
		}
		j.size = j.opened.Size()
		return nil
	case errors.Is(err, errFault) && j.file != nil:
		_ = unlock(j.file)
		_ = j.file.Close()
		return err
	case errors.Is(err, berrors.ErrTimeout):
		return lockedBy(j.path)
	case errors.Is(err, fs.ErrNotExist):
		return fmt.Errorf("%w there", cellar.ErrMissing)
	case errors.Is(err, berrors.ErrInvalid), errors.Is(err, berrors.ErrChecksum), errors.Is(err,
		berrors.ErrVersionMismatch):
		return fmt.Errorf("%w: %v", cellar.ErrDamaged, err)
	}
	return err
}

// load reads who the journal is and where it ends, and checks the end.
func (j *Journal) load(s shape, id string) error {
	err := j.view(func(tx *bbolt.Tx, records *bbolt.Bucket) (err error) {
		var sealed []byte
		if meta := tx.Bucket(metaBucket); meta != nil {
			sealed = meta.Get(infoKey)
		}
		if sealed == nil {
			return fmt.Errorf("%w: it is a store of some other program: it does not say what it is", cellar.ErrDamaged)
		}
		if j.info, j.genesis, err = openInfo(sealed); err != nil {
			return err
		}
		if id != "" && j.info.ID != id {
			return fmt.Errorf("%w: another journal lies there", cellar.ErrDamaged)
		}
		j.head, err = j.end(records)
		return err
	})
	if err != nil {
		return err
	}
	m, marked, why := readMark(j.path)
	if err := j.checkEnd(m, marked); err != nil {
		return err
	}
	if marked && m == j.mark() {
		return nil
	}
	if !marked && s.torn && j.head.seq > 0 {
		return fmt.Errorf("%w: the newest commit is torn and the head beside the file (%s) %s, so that it cannot be "+
			"told what was lost",
			cellar.ErrDamaged, headPath(j.path), why)
	}
	j.heal(marked, why)
	return nil
}

// checkEnd checks the last records, from the mark on if that is further back,
// and all of them if there is no mark.
func (j *Journal) checkEnd(m mark, marked bool) error {
	from := cellar.Seq(1)
	if marked {
		if err := j.checkMark(m); err != nil {
			return err
		}
		if j.head.seq > tailLen {
			from = min(m.Seq+1, j.head.seq-tailLen+1)
		}
	}
	if err := j.checkChain(context.Background(), from); err != nil {
		return err
	}
	if j.head.seq == 0 {
		return nil
	}
	n := min(j.head.seq, tailLen)
	tail, err := j.decode(j.head.seq-n+1, int(n))
	if err != nil && !(j.readOnly && errors.Is(err, cellar.ErrNewer)) {
		return err
	}
	if n := len(tail); n > 0 && tail[n-1].Seq == j.head.seq {
		j.head.written = tail[n-1].Written
	}
	return nil
}

// heal writes the head beside the journal again.
func (j *Journal) heal(marked bool, why string) {
	if !marked && j.head.seq > 0 {
		j.warnings.atOpen = fmt.Errorf("the head beside the journal (%s) %s: all %d records are whole, but an older "+
			"copy could not be told from the journal",
			headPath(j.path), why, j.head.seq)
	}
	if j.readOnly {
		return
	}
	j.warnings.atHead = writeMark(j.path, j.mark(), true)
}
