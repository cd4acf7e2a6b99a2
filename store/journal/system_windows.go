package journal

import (
	"errors"
	"os"

	"golang.org/x/sys/windows"
)

// syncFolder does nothing: Windows keeps names in its own log, and a folder
// cannot be opened for flushing.
func syncFolder(string) error { return nil }

// lockedByte is the byte, far beyond any file, that bbolt locks.
func lockedByte() *windows.Overlapped {
	return &windows.Overlapped{Offset: 1<<32 - 1, OffsetHigh: 1<<32 - 1}
}

// tryLock takes the lock that bbolt takes on the same file, alone or together
// with other readers. It does not wait: false says that another has it.
func tryLock(f *os.File, alone bool) (bool, error) {
	var flags uint32 = windows.LOCKFILE_FAIL_IMMEDIATELY
	if alone {
		flags |= windows.LOCKFILE_EXCLUSIVE_LOCK
	}
	err := windows.LockFileEx(windows.Handle(f.Fd()), flags, 0, 1, 0, lockedByte())
	if errors.Is(err, windows.ERROR_LOCK_VIOLATION) {
		return false, nil
	}
	return err == nil, err
}

// unlock gives back what tryLock, or bbolt, took.
func unlock(f *os.File) error {
	return windows.UnlockFileEx(windows.Handle(f.Fd()), 0, 1, 0, lockedByte())
}
