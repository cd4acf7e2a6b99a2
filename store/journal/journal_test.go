package journal

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"go.etcd.io/bbolt"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/store/codec"
	"cellar.example/mustwatch/store/storetest"
)

func TestConformance(t *testing.T) {
	again := func(t *testing.T, closed cellar.Journal) cellar.Journal {
		return mustOpen(t, closed.(*Journal).path)
	}
	storetest.Run(t, func(t *testing.T) cellar.Journal { return mustOpen(t, fresh(t)) }, storetest.Reopen(again))
}

func TestStationIsFilledIn(t *testing.T) {
	j := mustOpen(t, fresh(t))
	rec := storetest.Record(1)
	rec.Station = ""
	_, err := j.Append(context.Background(), 0, rec)
	require.NoError(t, err)
	require.Equal(t, "press hall", storetest.Collect(t, j, 0)[0].Station)
}

func TestHeadNamesTheLastRecord(t *testing.T) {
	path := fresh(t)
	j := mustOpen(t, path)
	seq, empty := j.Head()
	require.Zero(t, seq)
	require.Len(t, empty, 8)
	storetest.Fill(t, j, 0, 2)
	seq, two := j.Head()
	require.Equal(t, cellar.Seq(2), seq)
	require.NotEqual(t, empty, two)
	require.NoError(t, j.Close())

	j = mustOpen(t, path)
	seq, again := j.Head()
	require.Equal(t, cellar.Seq(2), seq)
	require.Equal(t, two, again)
	storetest.Fill(t, j, 2, 3)
	_, three := j.Head()
	require.NotEqual(t, two, three)
}

func TestHeadsDependOnTheJournal(t *testing.T) {
	// The same entries in a rehearsal and in a real journal are never one chain.
	heads := map[string]bool{}
	for _, info := range []Info{{Kind: Real, ID: "a"}, {Kind: Rehearsal, ID: "a"}, {Kind: Real, ID: "b"}} {
		path := filepath.Join(t.TempDir(), "cellar.db")
		require.NoError(t, Create(path, info))
		j := mustOpen(t, path)
		storetest.Fill(t, j, 0, 1)
		_, hash := j.Head()
		heads[hash] = true
	}
	require.Len(t, heads, 3)
}

func TestReadOnly(t *testing.T) {
	path := filled(t, 5)
	before := names(t, path)
	require.NoError(t, os.Remove(headPath(path)))
	j, err := Open(path, Options{ReadOnly: true})
	require.NoError(t, err)
	other, err := Open(path, Options{ReadOnly: true})
	require.NoError(t, err, "readers open beside each other")
	require.NoError(t, other.Close())

	_, err = j.Append(context.Background(), 5, storetest.Record(6))
	require.ErrorContains(t, err, "reading only")
	storetest.RequireFilled(t, storetest.Collect(t, j, 0), 1)
	require.NoError(t, j.Verify(context.Background()))
	require.Error(t, j.Warning(), "the head is missing")
	refuse(t, path, cellar.ErrLocked)
	require.NoError(t, j.Close())
	require.Equal(t, before[:1], names(t, path), "a reader leaves nothing behind")
}

func TestFullDiskWritesNothingAndGoesOn(t *testing.T) {
	path := filled(t, 3)
	j := mustOpen(t, path)
	info, err := os.Stat(path)
	require.NoError(t, err)
	j.db.MaxSize = 2 * int(info.Size()) // bbolt then refuses as a full disk would

	big := storetest.Record(4)
	big.Fact = storetest.Note(strings.Repeat("x", 3*int(info.Size())))
	_, err = j.Append(context.Background(), 3, storetest.Record(4), big)
	require.Error(t, err)
	for _, sentinel := range []error{cellar.ErrConflict, cellar.ErrDamaged, cellar.ErrMissing, cellar.ErrLocked} {
		require.NotErrorIs(t, err, sentinel)
	}
	require.Len(t, storetest.Collect(t, j, 0), 3)
	storetest.Fill(t, j, 3, 5) // what still fits is still taken

	j.db.MaxSize = 0
	_, err = j.Append(context.Background(), 5, big)
	require.NoError(t, err)
}

func TestHeadThatCannotBeWritten(t *testing.T) {
	// A folder in its place stops the head, whoever runs the test.
	path := filled(t, 2)
	j := mustOpen(t, path)
	require.NoError(t, os.Remove(headPath(path)))
	require.NoError(t, os.Mkdir(headPath(path), 0o700))
	storetest.Fill(t, j, 2, 4)
	require.ErrorContains(t, j.Warning(), "write the head beside the journal")

	require.NoError(t, os.Remove(headPath(path)))
	storetest.Fill(t, j, 4, 5)
	require.NoError(t, j.Warning(), "the warning ends when its cause does")
	m, ok, _ := readMark(path)
	require.True(t, ok)
	require.Equal(t, cellar.Seq(5), m.Seq)
}

func TestHeadIsWrittenOverInPlace(t *testing.T) {
	path := filled(t, 3)
	j := mustOpen(t, path)
	before, err := os.Stat(headPath(path))
	require.NoError(t, err)
	storetest.Fill(t, j, 3, 4)
	after, err := os.Stat(headPath(path))
	require.NoError(t, err)
	require.True(t, os.SameFile(before, after), "a rename for each commit costs nearly half of a commit")
	require.Equal(t, int64(markLen), after.Size())

	// Something else in its place is replaced as a whole.
	require.NoError(t, os.WriteFile(headPath(path), make([]byte, 2*markLen), 0o600))
	storetest.Fill(t, j, 4, 5)
	m, ok, _ := readMark(path)
	require.True(t, ok)
	require.Equal(t, cellar.Seq(5), m.Seq)
}

func TestReadOnlyFolder(t *testing.T) {
	if os.Getuid() == 0 {
		t.Skip("to this user no folder is read-only; see TestHeadThatCannotBeWritten")
	}
	path := filled(t, 2)
	dir := filepath.Dir(path)
	require.NoError(t, os.Chmod(dir, 0o500))
	t.Cleanup(func() { _ = os.Chmod(dir, 0o700) })
	j, err := Open(path, Options{})
	require.NoError(t, err)
	storetest.Fill(t, j, 2, 3)
	require.NoError(t, j.Warning(), "the head is written in place")
	require.NoError(t, j.Close())
	m, _, _ := readMark(path)
	require.Equal(t, cellar.Seq(3), m.Seq)
}

// openFilesCanGo skips a test where the system keeps what is open at its place.
func openFilesCanGo(t *testing.T) {
	t.Helper()
	if runtime.GOOS == "windows" {
		t.Skip("here nobody can take away a file that is open")
	}
}

func TestFileDeletedWhileOpen(t *testing.T) {
	openFilesCanGo(t)
	path := filled(t, 2)
	j, err := Open(path, Options{})
	require.NoError(t, err)
	require.NoError(t, j.SameFile())
	require.NoError(t, os.Rename(path, beside(path)))

	require.ErrorIs(t, j.SameFile(), cellar.ErrMissing)
	_, err = j.Append(context.Background(), 2, storetest.Record(3))
	require.ErrorIs(t, err, cellar.ErrMissing, "nothing is written into a file that nobody will find")
	require.NoError(t, os.Rename(beside(path), path))
	storetest.Fill(t, j, 2, 3) // it came back
	require.NoError(t, j.Close())
}

func TestFileReplacedWhileOpen(t *testing.T) {
	openFilesCanGo(t)
	path := filled(t, 2)
	j, err := Open(path, Options{})
	require.NoError(t, err)
	copyJournal(t, path, beside(path), false)
	require.NoError(t, os.Rename(beside(path), path))
	head, err := os.ReadFile(headPath(path))
	require.NoError(t, err)

	require.ErrorIs(t, j.SameFile(), cellar.ErrDamaged)
	_, err = j.Append(context.Background(), 2, storetest.Record(3))
	require.ErrorIs(t, err, cellar.ErrDamaged)
	require.NoError(t, j.Close())
	after, err := os.ReadFile(headPath(path))
	require.NoError(t, err)
	require.Equal(t, head, after, "the head now belongs to the other file")
}

func TestFileCutWhileOpen(t *testing.T) {
	openFilesCanGo(t)
	for _, size := range []int64{0, 4096, 8192, 16384, 20480} {
		path := filled(t, 30)
		j, err := Open(path, Options{})
		require.NoError(t, err)
		require.NoError(t, os.Truncate(path, size))
		// Without the guard this reading ends the test binary.
		err = j.Read(context.Background(), 0, func(cellar.Record) error { return nil })
		if err != nil {
			require.ErrorIs(t, err, cellar.ErrDamaged)
		}
		_, err = j.Append(context.Background(), 30, storetest.Record(31))
		require.ErrorIs(t, err, cellar.ErrDamaged)
		require.ErrorIs(t, j.SameFile(), cellar.ErrDamaged)
		require.NoError(t, j.Close())
		require.NoError(t, j.Close())
	}
}

func TestFollowersEndWhenTheFileIsCut(t *testing.T) {
	openFilesCanGo(t)
	path := filled(t, 30)
	j, err := Open(path, Options{})
	require.NoError(t, err)
	require.NoError(t, os.Truncate(path, 0))
	watch, err := j.Watch(context.Background(), 0)
	require.NoError(t, err)
	for range watch {
		t.Error("a record came out of an empty file")
	}
	require.ErrorIs(t, j.Warning(), cellar.ErrDamaged)
	require.NoError(t, j.Close())
}

func TestUnconfirmedCommitBreaksOff(t *testing.T) {
	// A flush that failed after the last page was written: the store shows a
	// record that this program never acknowledged.
	j := mustOpen(t, filled(t, 2))
	require.NoError(t, j.db.Update(func(tx *bbolt.Tx) error {
		rec := storetest.Record(3)
		rec.Seq = 3
		sealed, _, err := codec.Encode(rec, j.headNow().hash)
		require.NoError(t, err)
		return tx.Bucket(recordsBucket).Put(key(3), sealed)
	}))
	failed := errors.New("input/output error")
	err := j.settle(failed)
	require.ErrorIs(t, err, failed)
	require.ErrorContains(t, err, "open it again")
	_, err = j.Append(context.Background(), 2, storetest.Record(3))
	require.ErrorContains(t, err, "open it again")
	require.NoError(t, j.Close())

	j = mustOpen(t, j.path)
	require.Len(t, storetest.Collect(t, j, 0), 3, "the new opening decides by what is there")
	require.NoError(t, j.Warning())
}

func TestReadingStopsInAHarvest(t *testing.T) {
	// Batches are decoded ahead of the reader; when he stops none may be left in
	// the store, for it may be closed at once.
	for _, after := range []int{1, batchLen - 1, batchLen, batchLen + 1, 3 * batchLen} {
		j, err := Open(filled(t, 6*batchLen+7), Options{})
		require.NoError(t, err)
		enough := errors.New("enough")
		seen := 0
		err = j.Read(context.Background(), 0, func(rec cellar.Record) error {
			seen++
			require.Equal(t, cellar.Seq(seen), rec.Seq)
			if seen == after {
				return enough
			}
			return nil
		})
		require.Equal(t, enough, err)
		require.Equal(t, after, seen)
		require.NoError(t, j.Close())
	}
}

func TestErrorsSayWhatWasTried(t *testing.T) {
	j := mustOpen(t, filled(t, 1))
	_, err := j.Append(context.Background(), 0, storetest.Record(2))
	require.EqualError(t, err, "append to the journal: the journal has grown meanwhile: the decision stood on "+
		"record 0, the journal ends at 1")
	require.NoError(t, j.Close())
	require.ErrorContains(t, j.Verify(context.Background()), "verify the journal: ")
	err = j.Read(context.Background(), 0, nil)
	require.ErrorContains(t, err, "read the journal: ")
}

func TestVerifyEndsWithItsContext(t *testing.T) {
	j := mustOpen(t, filled(t, 3))
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	require.ErrorIs(t, j.Verify(ctx), context.Canceled)
}
