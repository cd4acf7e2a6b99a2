//go:build unix

package link

import (
	"fmt"
	"os"
	"syscall"
)

// trusted refuses a socket that belongs neither to this person nor to whoever owns
// the journal: in a folder that others can write to, anybody could put one there and
// be taken for the board.
func trusted(journal string) error {
	whose := func(path string) (uint32, error) {
		info, err := os.Lstat(path)
		if err != nil {
			return 0, err
		}
		st, ok := info.Sys().(*syscall.Stat_t)
		if !ok {
			return 0, fmt.Errorf("nobody can say whose %s is", path)
		}
		return st.Uid, nil
	}
	at, err := whose(Path(journal))
	if err != nil || int(at) == os.Getuid() {
		return err
	}
	if owner, err := whose(journal); err != nil || owner != at {
		return fmt.Errorf("%s belongs to somebody who does not own the journal", Path(journal))
	}
	return nil
}
