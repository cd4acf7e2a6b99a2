package journal

import (
	"io/fs"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/store/storetest"
)

// succession is a full journal with another beside it that is to take its place.
func succession(t *testing.T) (path, next, former string) {
	path = filled(t, 5)
	dir := filepath.Dir(path)
	next, former = filepath.Join(dir, "next.db"), filepath.Join(dir, "cellar-2026.db")
	require.NoError(t, Create(next, Info{Kind: Real, Created: storetest.Evening, ID: "season-2"}))
	j, err := Open(next, Options{})
	require.NoError(t, err)
	storetest.Fill(t, j, 0, 2)
	require.NoError(t, j.Close())
	return path, next, former
}

// ends is how many records a journal has; it must open without a warning.
func ends(t *testing.T, path string) int {
	j, err := Open(path, Options{ReadOnly: true})
	require.NoError(t, err)
	defer j.Close()
	require.NoError(t, j.Warning())
	seq, _ := j.Head()
	return int(seq)
}

func TestAJournalSucceedsAnother(t *testing.T) {
	path, next, former := succession(t)
	require.NoError(t, Succeed(path, next, former))
	require.Equal(t, 2, ends(t, path))
	require.Equal(t, 5, ends(t, former))
	require.NoFileExists(t, next)
	require.NoFileExists(t, headPath(next))
}

// Killed at any step, the old journal is whole under one of its names at least, and the
// same call goes on.
func TestASuccessionGoesOnAfterAKill(t *testing.T) {
	for _, at := range []string{"kept", "head removed", "renamed", "head renamed"} {
		t.Run(at, func(t *testing.T) {
			path, next, former := succession(t)
			func() {
				defer func() { require.Equal(t, "killed", recover()) }()
				_ = succeed(path, next, former, func(step string) {
					if step == at {
						panic("killed")
					}
				})
			}()
			require.Equal(t, 5, ends(t, former))
			if _, err := os.Stat(next); err == nil {
				require.NoError(t, Succeed(path, next, former))
			}
			j, err := Open(path, Options{})
			require.NoError(t, err)
			seq, _ := j.Head()
			require.NoError(t, j.Close())
			require.EqualValues(t, 2, seq)
			require.Equal(t, 5, ends(t, former))
		})
	}
}

func TestAJournalOfAnotherSeasonIsNeverReplaced(t *testing.T) {
	path, next, former := succession(t)
	require.NoError(t, Create(former, Info{Kind: Real, Created: storetest.Evening, ID: "older"}))
	require.ErrorIs(t, Succeed(path, next, former), fs.ErrExist)
	require.Equal(t, 5, ends(t, path))
	require.Equal(t, 0, ends(t, former))
	require.Equal(t, 2, ends(t, next))
}
