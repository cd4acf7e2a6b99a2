package journal

import (
	"crypto/rand"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"go.etcd.io/bbolt"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/store/codec"
)

// Kind says what a journal is for. It is fixed when the journal is created.
type Kind string

const (
	// Real is the record of a cellar.
	Real Kind = "real"
	// Rehearsal is for learning and showing: it may carry a clock of its own.
	Rehearsal Kind = "rehearsal"
)

// Info is what a journal says about itself. Every record is chained to it.
type Info struct {
	Kind    Kind
	Created time.Time // UTC, whole seconds
	ID      string    // letters, digits, points and dashes; Create makes one up for ""
}

// format is the version of the layout: buckets, keys, seal. A file with a higher
// one is newer than this program, whatever its records say.
const format = 1

var (
	metaBucket    = []byte("meta")
	recordsBucket = []byte("records")
	infoKey       = []byte("info")
)

// storedInfo is Info as the meta bucket keeps it, sealed onto nothing. Its hash
// is what the first record is chained to.
type storedInfo struct {
	Format  int    `json:"format"`
	Kind    Kind   `json:"kind"`
	Created string `json:"created"`
	ID      string `json:"id"`
}

// Create makes an empty journal. It never replaces anything: a path that exists
// is refused with fs.ErrExist. A process that is killed meanwhile leaves
// nothing under the path, at worst a file that begins with a dot beside it.
func Create(path string, info Info) error {
	if err := create(path, info, func(string) {}); err != nil {
		return fmt.Errorf("create the journal %s: %w", path, err)
	}
	return nil
}

// create does the work of Create; passed is told of each step once it is done,
// so that a test can die there.
func create(path string, info Info, passed func(step string)) error {
	sealed, genesis, err := sealInfo(&info)
	if err != nil {
		return err
	}
	if _, err := os.Lstat(path); !errors.Is(err, fs.ErrNotExist) {
		if err != nil {
			return err
		}
		return fs.ErrExist
	}
	temp, err := build(path, sealed, passed)
	if temp != "" {
		defer os.Remove(temp)
	}
	if err != nil {
		return err
	}
	// A head left over from a journal that once stood here would make the new
	// one look rolled back.
	if err := os.Remove(headPath(path)); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("remove an old head: %w", err)
	}
	passed("old head removed")
	if err := publish(temp, path); err != nil {
		return err
	}
	passed("published")
	if err := writeMark(path, mark{Journal: info.ID, Head: hexOf(genesis), Written: stamp(info.Created)},
		true); err != nil {
		return fmt.Errorf("the journal is there, its head is not: %w", err)
	}
	passed("head written")
	return syncFolder(filepath.Dir(path))
}

// sealInfo completes info and returns it as it is stored.
func sealInfo(info *Info) ([]byte, codec.Hash, error) {
	if info.Kind != Real && info.Kind != Rehearsal {
		return nil, codec.Hash{}, fmt.Errorf("a journal is %q or %q, not %q", Real, Rehearsal, info.Kind)
	}
	if info.ID == "" {
		info.ID = rand.Text()
	}
	if len(info.ID) > maxID || strings.ContainsFunc(info.ID, notInID) {
		return nil, codec.Hash{}, fmt.Errorf("the ID of a journal has at most %d letters, digits, points and "+
			"dashes, unlike %q", maxID, info.ID)
	}
	info.Created = info.Created.UTC().Truncate(time.Second)
	body, err := json.Marshal(storedInfo{Format: format, Kind: info.Kind, Created: stamp(info.Created), ID: info.ID})
	if err != nil {
		return nil, codec.Hash{}, err
	}
	return codec.Seal(body, codec.Hash{})
}

// maxID keeps the head, which carries the ID, within its sector.
const maxID = 64

func notInID(r rune) bool {
	letter := (r >= 'a' && r <= 'z') || (r >= 'A' && r <= 'Z')
	return !letter && (r < '0' || r > '9') && r != '-' && r != '_' && r != '.'
}

// openInfo reads what sealInfo wrote.
func openInfo(sealed []byte) (Info, codec.Hash, error) {
	hash, err := codec.Unseal(sealed, codec.Hash{})
	if err != nil {
		return Info{}, hash, fmt.Errorf("what the journal says about itself: %w", err)
	}
	var stored storedInfo
	if err := json.Unmarshal(sealed, &stored); err != nil {
		return Info{}, hash, fmt.Errorf("%w: what the journal says about itself: %v", cellar.ErrDamaged, err)
	}
	if stored.Format > format {
		return Info{}, hash, fmt.Errorf("%w: its layout is version %d, this program goes up to %d", cellar.ErrNewer,
			stored.Format, format)
	}
	created, err := time.Parse(time.RFC3339, stored.Created)
	if err != nil {
		return Info{}, hash, fmt.Errorf("%w: when it was created: %v", cellar.ErrDamaged, err)
	}
	return Info{Kind: stored.Kind, Created: created.UTC(), ID: stored.ID}, hash, nil
}

// build makes the whole file under a temporary name in the same folder, because
// bbolt killed while it sets up a file leaves one that cannot be told from a
// damaged one. The name is returned as soon as the file is there.
func build(path string, sealed []byte, passed func(string)) (temp string, err error) {
	f, err := os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+".new-*")
	if err != nil {
		return "", err
	}
	temp = f.Name()
	if err := f.Close(); err != nil {
		return temp, err
	}
	passed("temporary file made")
	db, err := bbolt.Open(temp, 0o600, &bbolt.Options{Timeout: defaultTimeout})
	if err != nil {
		return temp, err
	}
	passed("pages laid out")
	err = db.Update(func(tx *bbolt.Tx) error {
		meta, err := tx.CreateBucket(metaBucket)
		if err != nil {
			return err
		}
		if _, err := tx.CreateBucket(recordsBucket); err != nil {
			return err
		}
		return meta.Put(infoKey, sealed)
	})
	if err := errors.Join(err, db.Close()); err != nil {
		return temp, err
	}
	passed("buckets made")
	return temp, syncFile(temp)
}

// publish gives a finished file its name without replacing another. A link
// refuses an existing name in one step; where the file system has no links, the
// name is looked at again and the file renamed, which leaves an instant in which
// two creations at once could both succeed, the later one winning.
func publish(temp, path string) error {
	err := os.Link(temp, path)
	if err == nil || errors.Is(err, fs.ErrExist) {
		return err
	}
	if _, err := os.Lstat(path); err == nil {
		return fs.ErrExist
	}
	return os.Rename(temp, path)
}
