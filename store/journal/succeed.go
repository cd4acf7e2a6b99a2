package journal

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
)

// Succeed puts the journal next in the place of the one at path, which is kept under the
// name former, each with its head. All of them lie in one folder, and none is open. Killed
// at any point, the same call goes on where it was: until next has taken the place, the old
// journal stands at path, whole, and from the first step on under former as well.
//
// A file of another journal at former is refused with fs.ErrExist, and nothing is done.
func Succeed(path, next, former string) error {
	if err := succeed(path, next, former, func(string) {}); err != nil {
		return fmt.Errorf("put the journal %s in the place of %s: %w", next, path, err)
	}
	return nil
}

func succeed(path, next, former string, passed func(step string)) error {
	if err := keepAs(path, former); err != nil {
		return err
	}
	passed("kept")
	// The head of the old one would make the new one look rolled back.
	if err := os.Remove(headPath(path)); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	passed("head removed")
	if err := os.Rename(next, path); err != nil {
		return err
	}
	passed("renamed")
	if err := os.Rename(headPath(next), headPath(path)); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	passed("head renamed")
	return syncFolder(filepath.Dir(path))
}

// keepAs gives a journal a second name, and its head with it. Where it has it already there
// is nothing to do.
func keepAs(path, former string) error {
	err := os.Link(path, former)
	switch {
	case errors.Is(err, fs.ErrExist):
		var same bool
		if same, err = sameJournal(path, former); err == nil && !same {
			err = fs.ErrExist
		}
	case err != nil: // a file system without links
		err = copyWhole(path, former)
	}
	if err != nil {
		return err
	}
	if err := copyWhole(headPath(path), headPath(former)); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return syncFolder(filepath.Dir(path))
}

// sameJournal reports whether two files are of one journal and end at the same record.
func sameJournal(a, b string) (bool, error) {
	var ids, ends [2]string
	for i, path := range []string{a, b} {
		j, err := Open(path, Options{ReadOnly: true})
		if err != nil {
			return false, err
		}
		seq, hash := j.Head()
		ids[i], ends[i] = j.Info().ID, fmt.Sprint(seq, hash)
		if err := j.Close(); err != nil {
			return false, err
		}
	}
	return ids[0] == ids[1] && ends[0] == ends[1], nil
}

// copyWhole copies a file as a whole: what is under the name is the old one or the copy.
func copyWhole(from, to string) error {
	in, err := os.Open(from)
	if err != nil {
		return err
	}
	defer in.Close()
	out, err := os.CreateTemp(filepath.Dir(to), "."+filepath.Base(to)+".new-*")
	if err != nil {
		return err
	}
	_, err = io.Copy(out, in)
	if err = errors.Join(err, out.Sync(), out.Close()); err == nil {
		err = os.Rename(out.Name(), to)
	}
	if err != nil {
		_ = os.Remove(out.Name())
	}
	return err
}
