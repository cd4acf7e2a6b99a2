package journal

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"go.etcd.io/bbolt"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/store/codec"
	"cellar.example/mustwatch/store/storetest"
)

func TestOpenMissing(t *testing.T) {
	path := filepath.Join(t.TempDir(), "cellar.db")
	err := refuse(t, path, cellar.ErrMissing)
	require.EqualError(t, err, "open the journal "+path+": there is no journal there")
	refuse(t, path, cellar.ErrMissing, Options{ReadOnly: true})
	require.Empty(t, names(t, path), "opening makes nothing")
	refuse(t, filepath.Join(path, "deeper", "cellar.db"), cellar.ErrMissing)
}

func TestOpenEmptyFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "cellar.db")
	require.NoError(t, os.WriteFile(path, nil, 0o600))
	require.ErrorContains(t, refuse(t, path, cellar.ErrDamaged), "the file is empty")
	info, err := os.Stat(path)
	require.NoError(t, err)
	require.Zero(t, info.Size(), "no store was made of it")
}

func TestOpenWhatIsNoFile(t *testing.T) {
	_, err := Open(t.TempDir(), Options{})
	require.ErrorContains(t, err, "not a plain file")
}

func TestOpenWhatIsNoJournal(t *testing.T) {
	path := filepath.Join(t.TempDir(), "cellar.db")
	for _, data := range []string{"x", strings.Repeat("a line of text\n", 3000), strings.Repeat("\x00", 1<<16)} {
		require.NoError(t, os.WriteFile(path, []byte(data), 0o600))
		refuse(t, path, cellar.ErrDamaged)
	}
}

func TestOpenAStoreOfSomeOtherProgram(t *testing.T) {
	path := filepath.Join(t.TempDir(), "cellar.db")
	db, err := bbolt.Open(path, 0o600, nil)
	require.NoError(t, err)
	require.NoError(t, db.Close())
	require.ErrorContains(t, refuse(t, path, cellar.ErrDamaged), "some other program")

	db, err = bbolt.Open(path, 0o600, nil)
	require.NoError(t, err)
	require.NoError(t, db.Update(func(tx *bbolt.Tx) error {
		_, err := tx.CreateBucket(recordsBucket)
		return err
	}))
	require.NoError(t, db.Close())
	require.ErrorContains(t, refuse(t, path, cellar.ErrDamaged), "some other program")
}

func TestOpenLocked(t *testing.T) {
	path := filled(t, 2)
	j := mustOpen(t, path)
	began := time.Now()
	err := refuse(t, path, cellar.ErrLocked, Options{})
	require.Less(t, time.Since(began), 5*time.Second, "it must not wait for ever")
	require.GreaterOrEqual(t, time.Since(began), defaultTimeout)
	require.ErrorContains(t, err, "the journal is open in another program")
	require.ErrorContains(t, err, `station "press hall"`)
	refuse(t, path, cellar.ErrLocked, Options{Timeout: quickly, ReadOnly: true})
	storetest.Fill(t, j, 2, 3) // the one who has it is not disturbed

	require.NoError(t, j.Close())
	require.NotContains(t, names(t, path), "cellar.db.holder")
	storetest.Fill(t, mustOpen(t, path), 3, 4)
}

func TestOpenWaitsForTheLock(t *testing.T) {
	path := filled(t, 1)
	first := mustOpen(t, path)
	done := make(chan error, 1)
	go func() {
		j, err := Open(path, Options{Timeout: 20 * time.Second})
		if err == nil {
			err = j.Close()
		}
		done <- err
	}()
	require.NoError(t, first.Close())
	require.NoError(t, <-done)
}

func TestLockedByAReader(t *testing.T) {
	path := filled(t, 1)
	j, err := Open(path, Options{ReadOnly: true})
	require.NoError(t, err)
	require.ErrorContains(t, refuse(t, path, cellar.ErrLocked), "reading it or does not say who it is")
	require.NoError(t, j.Close())
}

// addRaw writes a record past the codec, sealed onto the last one, as a program
// of another age would have.
func addRaw(t *testing.T, path, body string) {
	t.Helper()
	db, err := bbolt.Open(path, 0o600, &bbolt.Options{Timeout: time.Second})
	require.NoError(t, err)
	require.NoError(t, db.Update(func(tx *bbolt.Tx) error {
		records := tx.Bucket(recordsBucket)
		last, v := records.Cursor().Last()
		prev, err := codec.HashOf(v)
		require.NoError(t, err)
		sealed, _, err := codec.Seal([]byte(body), prev)
		require.NoError(t, err)
		next := append([]byte(nil), last...)
		next[keyLen-1]++
		return records.Put(next, sealed)
	}))
	require.NoError(t, db.Close())
}

const dreamt = `{"v":1,"kind":"dreamt","seq":4,"at":"2026-10-03T19:04:00Z","saved":"2026-10-03T19:04:00Z","by":"KM",` +
	`"fact":{"of":"rain"}}`

func TestOpenNewer(t *testing.T) {
	for name, body := range map[string]string{
		"kind":    dreamt,
		"version": strings.Replace(strings.Replace(dreamt, `"v":1`, `"v":2`, 1), "dreamt", "noted", 1),
	} {
		t.Run(name, func(t *testing.T) {
			path := filled(t, 3)
			addRaw(t, path, body)
			require.ErrorContains(t, refuse(t, path, cellar.ErrNewer), "record 4")

			j, err := Open(path, Options{ReadOnly: true})
			require.NoError(t, err, "for reading it opens")
			var seen []cellar.Record
			err = j.Read(context.Background(), 0, func(rec cellar.Record) error {
				seen = append(seen, rec)
				return nil
			})
			require.ErrorIs(t, err, cellar.ErrNewer)
			require.Len(t, seen, 3, "what can be read comes first")
			require.NoError(t, j.Verify(context.Background()), "it is whole, only not understood")
			require.NoError(t, j.Close())
		})
	}
}

func TestReadMeetsNewerFurtherBack(t *testing.T) {
	// Old kinds may follow a new one. The opening looks at the last records only;
	// the fold, which every start makes, reads them all.
	path := filled(t, 3)
	addRaw(t, path, dreamt)
	j, err := Open(path, Options{ReadOnly: true})
	require.NoError(t, err)
	head := j.headNow()
	require.NoError(t, j.Close())
	db, err := bbolt.Open(path, 0o600, nil)
	require.NoError(t, err)
	require.NoError(t, db.Update(func(tx *bbolt.Tx) error {
		prev := head.hash
		for n := 5; n <= 5+tailLen; n++ {
			rec := storetest.Record(n)
			rec.Seq = cellar.Seq(n)
			sealed, hash, err := codec.Encode(rec, prev)
			require.NoError(t, err)
			require.NoError(t, tx.Bucket(recordsBucket).Put(key(rec.Seq), sealed))
			prev = hash
		}
		return nil
	}))
	require.NoError(t, db.Close())

	j = mustOpen(t, path)
	err = j.Read(context.Background(), 0, func(cellar.Record) error { return nil })
	require.ErrorIs(t, err, cellar.ErrNewer)
}

func TestOpenNewerLayout(t *testing.T) {
	path := filled(t, 1)
	db, err := bbolt.Open(path, 0o600, nil)
	require.NoError(t, err)
	require.NoError(t, db.Update(func(tx *bbolt.Tx) error {
		sealed, _, err := codec.Seal([]byte(`{"format":2,"shelves":[]}`), codec.Hash{})
		require.NoError(t, err)
		return tx.Bucket(metaBucket).Put(infoKey, sealed)
	}))
	require.NoError(t, db.Close())
	refuse(t, path, cellar.ErrNewer)
	refuse(t, path, cellar.ErrNewer, Options{ReadOnly: true})
}

func TestOpenWithoutTheRight(t *testing.T) {
	if os.Getuid() == 0 {
		t.Skip("this user has every right")
	}
	path := filled(t, 1)
	require.NoError(t, os.Chmod(path, 0o400))
	_, err := Open(path, Options{})
	require.ErrorIs(t, err, os.ErrPermission)
	j, err := Open(path, Options{ReadOnly: true})
	require.NoError(t, err)
	require.NoError(t, j.Close())
}

func TestStoreAlone(t *testing.T) {
	// The look at the pages comes first; what happens between it and bbolt's own
	// opening still ends in a plain error.
	alone := func(path string) error {
		j := &Journal{path: path}
		err := j.openStore(Options{Timeout: quickly})
		if err == nil {
			_ = j.db.Close()
		}
		return err
	}
	path := filled(t, 60)
	require.NoError(t, alone(path))

	j := mustOpen(t, path)
	require.ErrorIs(t, alone(path), cellar.ErrLocked)
	require.NoError(t, j.Close())

	require.ErrorIs(t, alone(beside(path)), cellar.ErrMissing)
	require.NotContains(t, names(t, path), "copy.db", "nothing was made of it")

	require.NoError(t, os.WriteFile(beside(path), []byte(strings.Repeat("text ", 4000)), 0o600))
	require.ErrorIs(t, alone(beside(path)), cellar.ErrDamaged)

	copyJournal(t, path, beside(path), false)
	require.NoError(t, os.Truncate(beside(path), 8192)) // ends the process without the guard
	require.ErrorIs(t, alone(beside(path)), cellar.ErrDamaged)
	copyJournal(t, path, beside(path), false)
	require.NoError(t, alone(beside(path)), "the lock was given back")
}
