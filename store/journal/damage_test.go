package journal

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"testing"

	"github.com/stretchr/testify/require"
	"go.etcd.io/bbolt"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/store/storetest"
)

// replaceIn replaces a text in a file, wherever it stands: in pages that are in
// use and in their older versions.
func replaceIn(t testing.TB, path, from, to string) {
	t.Helper()
	require.Len(t, to, len(from))
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Contains(t, string(data), from)
	require.NoError(t, os.WriteFile(path, bytes.ReplaceAll(data, []byte(from), []byte(to)), 0o600))
}

// alter changes what record n says, and nothing else.
func alter(t testing.TB, path string, n int) {
	t.Helper()
	text := fmt.Sprintf(`"entry %d"`, n)
	replaceIn(t, path, text, fmt.Sprintf(`"Entry %d"`, n))
}

func TestAlteredRecordIsNamed(t *testing.T) {
	for _, n := range []int{1, 2, 57, 135} { // before the last ones: found by Verify
		path := filled(t, 200)
		alter(t, path, n)
		j, err := Open(path, Options{})
		require.NoError(t, err)
		err = j.Verify(context.Background())
		require.ErrorIs(t, err, cellar.ErrDamaged)
		require.ErrorContains(t, err, fmt.Sprintf("record %d:", n))

		seen := 0
		err = j.Read(context.Background(), 0, func(cellar.Record) error { seen++; return nil })
		require.ErrorIs(t, err, cellar.ErrDamaged)
		require.Equal(t, n-1, seen, "reading goes up to the altered record")
		require.NoError(t, j.Close())
	}
	for _, n := range []int{137, 180, 200} { // among the last ones: not even opened
		path := filled(t, 200)
		alter(t, path, n)
		err := refuse(t, path, cellar.ErrDamaged)
		require.ErrorContains(t, err, fmt.Sprintf("record %d:", n))
		require.ErrorContains(t, err, advice)
	}
}

func TestAlteredRecordInAHarvest(t *testing.T) {
	// Batches are decoded out of order; what the reader gets is in order all the
	// same, up to the first record that is wrong and not beyond.
	for _, n := range []int{batchLen, batchLen + 1, 3 * batchLen} {
		path := filled(t, 5*batchLen)
		alter(t, path, n)
		j, err := Open(path, Options{})
		require.NoError(t, err)
		seen := 0
		err = j.Read(context.Background(), 0, func(cellar.Record) error { seen++; return nil })
		require.ErrorContains(t, err, fmt.Sprintf("record %d:", n))
		require.Equal(t, n-1, seen)
		require.NoError(t, j.Close())
	}
}

func TestMissingRecordIsNamed(t *testing.T) {
	for _, n := range []cellar.Seq{1, 60, 199} {
		path := filled(t, 200)
		db, err := bbolt.Open(path, 0o600, nil)
		require.NoError(t, err)
		require.NoError(t, db.Update(func(tx *bbolt.Tx) error { return tx.Bucket(recordsBucket).Delete(key(n)) }))
		require.NoError(t, db.Close())
		j, err := Open(path, Options{})
		if err == nil {
			err = errors.Join(j.Verify(context.Background()), j.Close())
		}
		require.ErrorIs(t, err, cellar.ErrDamaged)
		require.ErrorContains(t, err, fmt.Sprintf("record %d ", n))
	}
}

func TestRecordsThatChangedPlaces(t *testing.T) {
	path := filled(t, 9)
	db, err := bbolt.Open(path, 0o600, nil)
	require.NoError(t, err)
	require.NoError(t, db.Update(func(tx *bbolt.Tx) error {
		b := tx.Bucket(recordsBucket)
		three, four := bytes.Clone(b.Get(key(3))), bytes.Clone(b.Get(key(4)))
		return errors.Join(b.Put(key(3), four), b.Put(key(4), three))
	}))
	require.NoError(t, db.Close())
	require.ErrorContains(t, refuse(t, path, cellar.ErrDamaged), "record 3")
}

func TestCutFiles(t *testing.T) {
	whole := filled(t, 120)
	info, err := os.Stat(whole)
	require.NoError(t, err)
	s, err := shapeOf(t, whole, everyPage)
	require.NoError(t, err)
	page := s.pageSize
	used := int64(s.pages) * page
	sizes := []int64{1, 79, 80, 100, page - 1, page, page + 1, 2*page - 1, 2 * page, 3 * page, 4*page - 1, 4 * page,
		5 * page, used / 2, used - page, used - 1, used + 1, info.Size() - 1}
	for _, size := range sizes {
		path := beside(whole)
		copyJournal(t, whole, path, true)
		require.NoError(t, os.Truncate(path, size))
		err := refuse(t, path, cellar.ErrDamaged)
		require.ErrorContains(t, err, advice, "%d bytes", size)
		refuse(t, path, cellar.ErrDamaged, Options{ReadOnly: true})
	}
	// Room at the end that nothing ever used may go.
	path := beside(whole)
	copyJournal(t, whole, path, true)
	require.NoError(t, os.Truncate(path, used))
	storetest.RequireFilled(t, storetest.Collect(t, mustOpen(t, path), 0), 1)
}

// newestRoot returns where the root page that counts begins, and the other.
func newestRoot(t *testing.T, path string) (newest, older int64) {
	t.Helper()
	s, err := shapeOf(t, path, spine)
	require.NoError(t, err)
	if s.commit%2 == 0 {
		return 0, s.pageSize
	}
	return s.pageSize, 0
}

func TestNewestRootDamaged(t *testing.T) {
	for field, at := range map[string]int64{
		"magic": 0, "version": 4, "page size": 9, "root": 16, "free list": 32, "pages": 40, "commit": 48, "sum": 56,
	} {
		t.Run(field, func(t *testing.T) {
			path := filled(t, 20)
			newest, older := newestRoot(t, path)
			flip(t, path, newest+pageHeader+at, 1)
			// bbolt alone would step back one commit without a word.
			require.ErrorContains(t, refuse(t, path, cellar.ErrDamaged), "head once stood at 20, the file ends at 19")

			flip(t, path, older+pageHeader+at, 1)
			require.ErrorContains(t, refuse(t, path, cellar.ErrDamaged), "neither of its two root pages")

			flip(t, path, newest+pageHeader+at, 1)
			j := mustOpen(t, path) // the older one alone is no loss
			require.Len(t, storetest.Collect(t, j, 0), 20)
			storetest.Fill(t, j, 20, 23)
		})
	}
}

func TestTornCommitOfAPowerCut(t *testing.T) {
	// The power failed while the newest root was being written: nobody was told
	// that record 21 is durable, and the head says 20.
	path := filled(t, 20)
	old := beside(headPath(path))
	copyFile(t, headPath(path), old)
	j := mustOpen(t, path)
	storetest.Fill(t, j, 20, 21)
	require.NoError(t, j.Close())
	newest, _ := newestRoot(t, path)
	putBytes(t, path, newest+pageHeader+40, make([]byte, 24))
	require.NoError(t, os.Rename(old, headPath(path)))

	j = mustOpen(t, path)
	require.NoError(t, j.Warning())
	require.Len(t, storetest.Collect(t, j, 0), 20)
	storetest.Fill(t, j, 20, 25)
}

func TestTornRootWithoutAHead(t *testing.T) {
	path := filled(t, 20)
	newest, _ := newestRoot(t, path)
	flip(t, path, newest+pageHeader+48, 1)
	require.NoError(t, os.Remove(headPath(path)))
	require.ErrorContains(t, refuse(t, path, cellar.ErrDamaged), "cannot be told what was lost")
}

// content says what a journal can be read as: the damage it reports, or its
// records. It fails the test only when the journal is believed and wrong.
func content(t *testing.T, j *Journal, n int, what string) (damaged bool) {
	t.Helper()
	err := j.Verify(context.Background())
	if err != nil {
		require.ErrorIs(t, err, cellar.ErrDamaged, what)
		return true
	}
	got := storetest.Collect(t, j, 0)
	require.Len(t, got, n, what)
	for i := range got {
		want := storetest.Record(i + 1)
		want.Seq = cellar.Seq(i + 1)
		require.Equal(t, want, got[i], what)
	}
	return false
}

func TestEveryByteFlipped(t *testing.T) {
	// Whatever single bit turns, anywhere in the file: it is refused, or Verify
	// finds it, or it lay where nothing is kept. It never crashes the program and
	// is never believed.
	const n = 90
	path := filled(t, n)
	s, err := shapeOf(t, path, everyPage)
	require.NoError(t, err)
	used := int64(s.pages) * s.pageSize
	step := int64(41)
	if testing.Short() {
		step = 101
	}
	refused, found, idle := 0, 0, 0
	for at := int64(0); at < used; at += step {
		bit := int(at/step) % 8
		what := fmt.Sprintf("byte %d, bit %d", at, bit)
		flip(t, path, at, bit)
		j, err := Open(path, Options{ReadOnly: true})
		switch {
		case err != nil:
			require.ErrorIs(t, err, cellar.ErrDamaged, what)
			refused++
		case content(t, j, n, what):
			found++
			require.NoError(t, j.Close())
		default:
			idle++
			require.NoError(t, j.Close())
		}
		flip(t, path, at, bit)
	}
	t.Logf("refused %d, found by verify %d, nothing there %d", refused, found, idle)
	require.NotZero(t, refused)
	require.NotZero(t, found)
	require.NotZero(t, idle)
}

func TestWritingOnAfterAFlip(t *testing.T) {
	// A flip that the opening lets pass must not become worse by an append: what
	// could be read before can be read after.
	const n, rounds = 160, 150
	whole := filled(t, n)
	s, err := shapeOf(t, whole, everyPage)
	require.NoError(t, err)
	rnd := rand.New(rand.NewPCG(1, 2))
	path := beside(whole)
	for range rounds {
		copyJournal(t, whole, path, true)
		at, bit := rnd.Int64N(int64(s.pages)*s.pageSize), rnd.IntN(8)
		if rnd.IntN(3) == 0 { // every third in the head of a page, where it hurts
			at = at/s.pageSize*s.pageSize + rnd.Int64N(96)
		}
		what := fmt.Sprintf("byte %d, bit %d", at, bit)
		flip(t, path, at, bit)
		j, err := Open(path, Options{})
		if err != nil {
			require.ErrorIs(t, err, cellar.ErrDamaged, what)
			continue
		}
		damaged := content(t, j, n, what)
		for seq := cellar.Seq(n); seq < n+3; seq++ {
			if _, err = j.Append(context.Background(), seq, storetest.Record(int(seq)+1)); err != nil {
				require.ErrorIs(t, err, cellar.ErrDamaged, what)
				require.True(t, damaged, what)
				break
			}
		}
		require.NoError(t, j.Close())
		if damaged {
			continue
		}
		j, err = Open(path, Options{ReadOnly: true})
		require.NoError(t, err, what)
		require.False(t, content(t, j, n+3, what), what)
		require.NoError(t, j.Close())
	}
}
