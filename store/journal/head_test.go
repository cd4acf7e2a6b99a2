package journal

import (
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/store/storetest"
)

func TestOldCopyPutBack(t *testing.T) {
	path := filled(t, 318)
	copyJournal(t, path, beside(path), false)
	j := mustOpen(t, path)
	storetest.Fill(t, j, 318, 321)
	require.NoError(t, j.Close())
	require.NoError(t, os.Rename(beside(path), path))

	for _, opts := range []Options{{Timeout: quickly}, {Timeout: quickly, ReadOnly: true}} {
		err := refuse(t, path, cellar.ErrDamaged, opts)
		require.ErrorContains(t, err, "rolled back: the head once stood at 321, the file ends at 318")
		require.ErrorContains(t, err, "give up 3 records, remove "+headPath(path))
		require.NotContains(t, err.Error(), advice, "one advice is enough")
	}
	m, ok, _ := readMark(path)
	require.True(t, ok)
	require.Equal(t, cellar.Seq(321), m.Seq, "a refusal leaves the proof alone")

	// The person decided for the older copy.
	require.NoError(t, os.Remove(headPath(path)))
	j = mustOpen(t, path)
	require.Error(t, j.Warning())
	storetest.Fill(t, j, 318, 319)
}

func TestAnotherPastPutInItsPlace(t *testing.T) {
	path := filled(t, 5)
	copyJournal(t, path, beside(path), true)
	j := mustOpen(t, path)
	storetest.Fill(t, j, 5, 7)
	require.NoError(t, j.Close())

	other := mustOpen(t, beside(path)) // goes its own way from 5 on
	rec := storetest.Record(6)
	rec.Fact = storetest.Note("another sixth entry")
	for n := 5; n < 9; n++ {
		_, err := other.Append(t.Context(), cellar.Seq(n), rec)
		require.NoError(t, err)
	}
	require.NoError(t, other.Close())
	require.NoError(t, os.Rename(beside(path), path))
	require.ErrorContains(t, refuse(t, path, cellar.ErrDamaged), "record 7 is not the one")
}

func TestAnotherJournalPutInItsPlace(t *testing.T) {
	path := filled(t, 5)
	require.NoError(t, Create(beside(path), Info{Kind: Real}))
	require.NoError(t, os.Rename(beside(path), path))
	require.ErrorContains(t, refuse(t, path, cellar.ErrDamaged), "belongs to another journal")
}

func TestHeadBehindIsHealed(t *testing.T) {
	// What a kill, or a power cut, between commit and head leaves behind.
	for name, last := range map[string]int{"by one": 41, "by many": 200, "from the beginning": 40} {
		t.Run(name, func(t *testing.T) {
			path := filled(t, 40)
			if name == "from the beginning" {
				copyFile(t, headPath(fresh(t)), headPath(path))
			}
			old := beside(headPath(path))
			copyFile(t, headPath(path), old)
			j := mustOpen(t, path)
			fillQuickly(t, j, 40, last)
			require.NoError(t, j.Close())
			require.NoError(t, os.Rename(old, headPath(path)))

			j, err := Open(path, Options{ReadOnly: true})
			require.NoError(t, err)
			require.NoError(t, j.Warning())
			require.NoError(t, j.Close())
			m, _, _ := readMark(path)
			require.NotEqual(t, cellar.Seq(last), m.Seq, "a reader heals nothing")

			j = mustOpen(t, path)
			require.NoError(t, j.Warning(), "nothing was lost and nothing is in doubt")
			storetest.RequireFilled(t, storetest.Collect(t, j, 0), 1)
			m, _, _ = readMark(path)
			require.Equal(t, cellar.Seq(last), m.Seq)
		})
	}
}

func TestHeadBehindADamagedStretch(t *testing.T) {
	// The stretch between the head and the last records is checked as well.
	path := filled(t, 10)
	old := beside(headPath(path))
	copyFile(t, headPath(path), old)
	j := mustOpen(t, path)
	fillQuickly(t, j, 10, 200)
	require.NoError(t, j.Close())
	alter(t, path, 20)
	require.NoError(t, os.Rename(old, headPath(path)))
	require.ErrorContains(t, refuse(t, path, cellar.ErrDamaged), "record 20")
}

func TestHeadMissingOrUnreadable(t *testing.T) {
	for name, spoil := range map[string]func(t *testing.T, path string){
		"missing":  func(t *testing.T, path string) { require.NoError(t, os.Remove(path)) },
		"empty":    func(t *testing.T, path string) { require.NoError(t, os.WriteFile(path, nil, 0o600)) },
		"nonsense": func(t *testing.T, path string) { require.NoError(t, os.WriteFile(path, []byte("{}\n"), 0o600)) },
		"a flip":   func(t *testing.T, path string) { flip(t, path, 20, 0) },
		"a digit":  func(t *testing.T, path string) { replaceIn(t, path, `"seq":90`, `"seq":98`) },
		"a folder": func(t *testing.T, path string) {
			require.NoError(t, os.Remove(path))
			require.NoError(t, os.Mkdir(path, 0o700))
		},
		"cut short": func(t *testing.T, path string) { require.NoError(t, os.Truncate(path, 30)) },
	} {
		t.Run(name, func(t *testing.T) {
			path := filled(t, 90)
			spoil(t, headPath(path))
			j, err := Open(path, Options{})
			require.NoError(t, err)
			require.ErrorContains(t, j.Warning(), "an older copy could not be told from the journal")
			storetest.Fill(t, j, 90, 91)
			require.ErrorContains(t, j.Warning(), "an older copy", "it stays in doubt until the next opening")
			if name == "a folder" {
				require.ErrorContains(t, j.Warning(), "write the head")
				require.Error(t, j.Close())
				return
			}
			require.NoError(t, j.Close())
			j, err = Open(path, Options{})
			require.NoError(t, err)
			require.NoError(t, j.Warning(), "it was corrected")
			require.NoError(t, j.Close())

			// Without a head every record is checked, not only the last ones.
			require.NoError(t, os.Remove(headPath(path)))
			alter(t, path, 3)
			require.ErrorContains(t, refuse(t, path, cellar.ErrDamaged, Options{ReadOnly: true}), "record 3")
		})
	}
}

func TestMissingHeadOfAnEmptyJournal(t *testing.T) {
	path := fresh(t)
	require.NoError(t, os.Remove(headPath(path)))
	require.NoError(t, mustOpen(t, path).Warning(), "there is nothing that could be missing")
}

func TestMark(t *testing.T) {
	path := fresh(t)
	m := mark{Journal: "x", Seq: 7, Head: "abc", Written: "2026-10-03T19:00:00Z"}
	require.NoError(t, writeMark(path, m, true))
	got, ok, why := readMark(path)
	require.True(t, ok)
	require.Empty(t, why)
	require.Equal(t, m, got)
}
