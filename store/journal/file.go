package journal

import (
	"encoding/hex"
	"errors"
	"os"
	"time"

	"cellar.example/mustwatch/store/codec"
)

// replaceFile puts a small file in place as a whole: a reader sees the old one
// or the new one. With sync its bytes are on the disk when it returns; without,
// a power cut may bring back the old one, or leave an empty one on file systems
// that order a rename before the bytes.
//
// The temporary name is fixed, so that kills leave no litter behind: one writer
// at a time is the rule for each of these files.
func replaceFile(path string, data []byte, sync bool) error {
	temp := path + ".new"
	f, err := os.OpenFile(temp, os.O_WRONLY|os.O_CREATE|os.O_TRUNC, 0o600)
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	if err == nil && sync {
		err = f.Sync()
	}
	err = errors.Join(err, f.Close())
	if err == nil {
		err = os.Rename(temp, path)
	}
	if err != nil {
		_ = os.Remove(temp)
	}
	return err
}

// overwrite writes over a file of exactly this length, in place and in one write.
// It says false, with nothing promised, when there is no such file.
func overwrite(path string, data []byte, sync bool) bool {
	f, err := os.OpenFile(path, os.O_WRONLY, 0)
	if err != nil {
		return false
	}
	info, err := f.Stat()
	if err == nil && info.Size() == int64(len(data)) && info.Mode().IsRegular() {
		_, err = f.WriteAt(data, 0)
	} else {
		err = os.ErrInvalid
	}
	if err == nil && sync {
		err = f.Sync()
	}
	return errors.Join(err, f.Close()) == nil
}

// syncFile flushes a file that is closed already.
func syncFile(path string) error {
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}

// stamp spells an instant in the files beside the journal.
func stamp(t time.Time) string { return t.UTC().Truncate(time.Second).Format(time.RFC3339) }

func hexOf(h codec.Hash) string { return hex.EncodeToString(h[:]) }
