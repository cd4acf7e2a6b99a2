//go:build unix

package link

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/store/memory"
)

// A socket that a stranger put beside the journal is not taken for a board.
func TestAStrangersSocket(t *testing.T) {
	if os.Getuid() != 0 {
		t.Skip("only root can give a socket away")
	}
	path := filepath.Join(t.TempDir(), "c.db")
	require.NoError(t, os.WriteFile(path, []byte("x"), 0o600))
	s, err := Serve(path, memory.New(), Hello{Journal: "one"}, nil)
	require.NoError(t, err)
	defer s.Close()
	require.NoError(t, os.Chown(Path(path), 12345, 12345))
	_, err = Dial(path)
	require.ErrorIs(t, err, ErrGone)
	require.ErrorContains(t, err, "does not own the journal")
	require.NoError(t, os.Chown(path, 12345, 12345)) // root looks at another's board
	c, err := Dial(path)
	require.NoError(t, err)
	require.NoError(t, c.Close())
}
