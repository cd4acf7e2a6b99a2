package tui

import (
	"errors"
	"io/fs"
	"syscall"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
)

// TestTheCauseIsAskedNotRead: what was being done is told from what went wrong by its type, whatever the words of
// either are.
func TestTheCauseIsAskedNotRead(t *testing.T) {
	full := &fs.PathError{Op: "write", Path: "cellar.db", Err: syscall.ENOSPC}
	require.Equal(t, "no space left on device", cause(&cellar.Doing{What: "append", Err: full}).Error())
	told := errors.New("the seal: broken")
	require.Equal(t, told, cause(&cellar.Doing{What: "append", Err: told}))
	further := errors.Join(told)
	require.Equal(t, further, cause(&cellar.Doing{What: "append", Err: further}), "what it says itself is not lost")
}
