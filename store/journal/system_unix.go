//go:build unix

package journal

import (
	"errors"
	"os"
	"syscall"
)

// syncFolder makes a new name in a folder survive a power cut.
func syncFolder(dir string) error {
	f, err := os.Open(dir)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}

// tryLock takes the lock that bbolt takes on the same file, alone or together
// with other readers. It does not wait: false says that another has it.
func tryLock(f *os.File, alone bool) (bool, error) {
	how := syscall.LOCK_SH | syscall.LOCK_NB
	if alone {
		how = syscall.LOCK_EX | syscall.LOCK_NB
	}
	err := syscall.Flock(int(f.Fd()), how)
	if errors.Is(err, syscall.EWOULDBLOCK) {
		return false, nil
	}
	return err == nil, err
}

// unlock gives back what tryLock, or bbolt, took. Closing the file would not be
// enough while a mapping of it is left.
func unlock(f *os.File) error { return syscall.Flock(int(f.Fd()), syscall.LOCK_UN) }
