package journal

import (
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/store/storetest"
)

// quickly is a timeout for tests that expect a lock.
const quickly = 60 * time.Millisecond

// fresh creates a journal in a folder of its own.
func fresh(t testing.TB) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "cellar.db")
	require.NoError(t, Create(path, Info{Kind: Real, Created: storetest.Evening, ID: "the-house"}))
	return path
}

// filled creates a journal with n records and closes it. The last three are
// committed one by one, the others at once, for each commit waits for the disk.
func filled(t testing.TB, n int) string {
	t.Helper()
	path := fresh(t)
	j, err := Open(path, Options{})
	require.NoError(t, err)
	fillQuickly(t, j, 0, n)
	require.NoError(t, j.Close())
	return path
}

// fillQuickly is storetest.Fill with few commits.
func fillQuickly(t testing.TB, j *Journal, from, to int) {
	t.Helper()
	var recs []cellar.Record
	for n := from + 1; n <= to-3; n++ {
		recs = append(recs, storetest.Record(n))
	}
	if len(recs) > 0 {
		_, err := j.Append(context.Background(), cellar.Seq(from), recs...)
		require.NoError(t, err)
		from += len(recs)
	}
	storetest.Fill(t, j, from, to)
}

// mustOpen opens a journal for writing. When the test ends it is verified and
// closed, unless the test closed it: no test leaves a journal behind that does
// not hold together.
func mustOpen(t testing.TB, path string) *Journal {
	t.Helper()
	j, err := Open(path, Options{Station: "press hall"})
	require.NoError(t, err)
	t.Cleanup(func() {
		if err := j.Verify(context.Background()); !errors.Is(err, os.ErrClosed) {
			require.NoError(t, err)
		}
		require.NoError(t, j.Close())
	})
	return j
}

// refuse opens a journal and returns the error that it must give.
func refuse(t testing.TB, path string, want error, opts ...Options) error {
	t.Helper()
	o := Options{Timeout: quickly}
	if len(opts) > 0 {
		o = opts[0]
	}
	j, err := Open(path, o)
	if err == nil {
		_ = j.Close()
	}
	require.ErrorIs(t, err, want)
	for _, other := range []error{cellar.ErrMissing, cellar.ErrLocked, cellar.ErrDamaged, cellar.ErrNewer} {
		if other != want {
			require.NotErrorIs(t, err, other)
		}
	}
	return err
}

// copyJournal copies a journal and, with head, the head beside it.
func copyJournal(t testing.TB, from, to string, head bool) {
	t.Helper()
	copyFile(t, from, to)
	if head {
		copyFile(t, headPath(from), headPath(to))
	}
}

func copyFile(t testing.TB, from, to string) {
	t.Helper()
	data, err := os.ReadFile(from)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(to, data, 0o600))
}

// beside names a second journal in the folder of another.
func beside(path string) string { return filepath.Join(filepath.Dir(path), "copy.db") }

// names lists what lies in the folder of a path.
func names(t testing.TB, path string) []string {
	t.Helper()
	entries, err := os.ReadDir(filepath.Dir(path))
	require.NoError(t, err)
	var out []string
	for _, e := range entries {
		out = append(out, e.Name())
	}
	return out
}

// bytesAt reads and writes a piece of a file.
func bytesAt(t testing.TB, path string, at int64, n int) []byte {
	t.Helper()
	f, err := os.Open(path)
	require.NoError(t, err)
	defer f.Close()
	b := make([]byte, n)
	_, err = f.ReadAt(b, at)
	if !errors.Is(err, io.EOF) {
		require.NoError(t, err)
	}
	return b
}

func putBytes(t testing.TB, path string, at int64, b []byte) {
	t.Helper()
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	require.NoError(t, err)
	_, err = f.WriteAt(b, at)
	require.NoError(t, err)
	require.NoError(t, f.Close())
}

// flip turns one bit of a file.
func flip(t testing.TB, path string, at int64, bit int) {
	t.Helper()
	b := bytesAt(t, path, at, 1)
	b[0] ^= 1 << bit
	putBytes(t, path, at, b)
}

// shapeOf inspects a file that nobody has open.
func shapeOf(t testing.TB, path string, how depth) (shape, error) {
	t.Helper()
	f, err := os.Open(path)
	require.NoError(t, err)
	defer f.Close()
	return inspect(f, how)
}
