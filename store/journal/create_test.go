package journal

import (
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/store/storetest"
)

func TestCreate(t *testing.T) {
	path := filepath.Join(t.TempDir(), "cellar.db")
	info := Info{Kind: Rehearsal, Created: storetest.Evening.In(time.FixedZone("", 7200)).Add(5 * time.Millisecond),
		ID: "x1"}
	require.NoError(t, Create(path, info))
	require.Equal(t, []string{"cellar.db", "cellar.db.head"}, names(t, path))
	j := mustOpen(t, path)
	require.Equal(t, Info{Kind: Rehearsal, Created: storetest.Evening, ID: "x1"}, j.Info())
	require.NoError(t, j.Warning())
	require.Empty(t, storetest.Collect(t, j, 0))
}

func TestCreateMakesUpAnID(t *testing.T) {
	ids := map[string]bool{}
	for range 3 {
		path := filepath.Join(t.TempDir(), "cellar.db")
		require.NoError(t, Create(path, Info{Kind: Real, Created: storetest.Evening}))
		ids[mustOpen(t, path).Info().ID] = true
	}
	require.Len(t, ids, 3)
	require.NotContains(t, ids, "")
}

func TestCreateNeverOverwrites(t *testing.T) {
	path := filled(t, 3)
	require.ErrorIs(t, Create(path, Info{Kind: Real}), fs.ErrExist)
	storetest.RequireFilled(t, storetest.Collect(t, mustOpen(t, path), 0), 1)

	empty := beside(path)
	require.NoError(t, os.WriteFile(empty, nil, 0o600))
	require.ErrorIs(t, Create(empty, Info{Kind: Real}), fs.ErrExist, "not even an empty file")
	folder := filepath.Join(filepath.Dir(path), "folder")
	require.NoError(t, os.Mkdir(folder, 0o700))
	require.ErrorIs(t, Create(folder, Info{Kind: Real}), fs.ErrExist)
}

func TestPublishNeverOverwrites(t *testing.T) {
	// The look before and the naming are two moments; the naming alone must hold.
	path := filled(t, 1)
	require.NoError(t, os.WriteFile(beside(path), []byte("new"), 0o600))
	require.ErrorIs(t, publish(beside(path), path), fs.ErrExist)
	require.Len(t, storetest.Collect(t, mustOpen(t, path), 0), 1)
}

func TestCreateAtOnce(t *testing.T) {
	path := filepath.Join(t.TempDir(), "cellar.db")
	const n = 8
	errs := make(chan error, n)
	var wg sync.WaitGroup
	for range n {
		wg.Go(func() { errs <- Create(path, Info{Kind: Real, ID: "one"}) })
	}
	wg.Wait()
	close(errs)
	made := 0
	for err := range errs {
		if err == nil {
			made++
			continue
		}
		require.ErrorIs(t, err, fs.ErrExist)
	}
	require.Equal(t, 1, made)
	require.Equal(t, "one", mustOpen(t, path).Info().ID)
}

func TestCreateRefuses(t *testing.T) {
	dir := t.TempDir()
	require.Error(t, Create(filepath.Join(dir, "a.db"), Info{}))
	require.Error(t, Create(filepath.Join(dir, "a.db"), Info{Kind: "dress"}))
	require.Error(t, Create(filepath.Join(dir, "no", "such", "a.db"), Info{Kind: Real}))
	for _, id := range []string{"two words", "Kühlhaus", "line\nbreak", strings.Repeat("x", maxID+1)} {
		require.ErrorContains(t, Create(filepath.Join(dir, "a.db"), Info{Kind: Real, ID: id}), "the ID of a journal")
	}
	require.Empty(t, names(t, filepath.Join(dir, "a.db")), "nothing is left of it")
	require.NoError(t, Create(filepath.Join(dir, "a.db"), Info{Kind: Real, ID: strings.Repeat("x", maxID)}))
	require.NoError(t, mustOpen(t, filepath.Join(dir, "a.db")).Warning())
}

func TestCreateWhereAJournalOnceStood(t *testing.T) {
	path := filled(t, 9)
	require.NoError(t, os.Remove(path))
	require.NoError(t, Create(path, Info{Kind: Real}))
	j := mustOpen(t, path)
	require.Empty(t, storetest.Collect(t, j, 0))
	require.NoError(t, j.Warning())
}

func TestCreateKilledHalfWay(t *testing.T) {
	var steps []string
	path := filepath.Join(t.TempDir(), "cellar.db")
	require.NoError(t, create(path, Info{Kind: Real}, func(step string) { steps = append(steps, step) }))
	require.Contains(t, steps, "published")

	published := false
	for _, step := range steps {
		published = published || step == "published"
		t.Run(step, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "cellar.db")
			// A head of a journal that stood here before must not get in the way.
			copyFile(t, headPath(filled(t, 4)), headPath(path))
			child(t, "create", path, step).dies(t)
			if !published {
				_, err := os.Stat(path)
				require.ErrorIs(t, err, fs.ErrNotExist)
				refuse(t, path, cellar.ErrMissing)
				require.NoError(t, Create(path, Info{Kind: Real}), "the next one succeeds")
			}
			j := mustOpen(t, path)
			require.NoError(t, j.Warning())
			storetest.Fill(t, j, 0, 2)
			for _, name := range names(t, path) {
				require.True(t, strings.HasPrefix(name, "cellar.db") || strings.HasPrefix(name, ".cellar.db.new-"),
					name)
			}
		})
	}
}

func TestInfoIsSealed(t *testing.T) {
	info := Info{Kind: Rehearsal, Created: storetest.Evening, ID: "x"}
	sealed, _, err := sealInfo(&info)
	require.NoError(t, err)
	got, _, err := openInfo(sealed)
	require.NoError(t, err)
	require.Equal(t, info, got)
	for at := range sealed {
		bad := append([]byte(nil), sealed...)
		bad[at] ^= 4
		_, _, err := openInfo(bad)
		require.ErrorIs(t, err, cellar.ErrDamaged)
	}
}
