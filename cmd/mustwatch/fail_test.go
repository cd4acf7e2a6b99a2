package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"

	"cellar.example/mustwatch/domain/cellar"
)

func TestExplainGivesEachErrorOfTheJournalItsWordsAndItsNumber(t *testing.T) {
	for _, c := range []struct {
		name string
		err  error
		code int
		says string
		do   string
	}{
		{name: "missing", err: fmt.Errorf("open: %w there", cellar.ErrMissing), code: endRefused,
			says: "There is no journal at n.db.", do: "mustwatch init"},
		{name: "locked", err: fmt.Errorf("open: %w: last opened at station \"desk\"", cellar.ErrLocked),
			code: endLocked, says: `Another program has the journal n.db open: last opened at station "desk".`,
			do: "end it first"},
		{name: "damaged", err: fmt.Errorf("open: %w: record 7 is not there", cellar.ErrDamaged), code: endDamaged,
			says: "The journal n.db is damaged: record 7 is not there.", do: "nothing was changed"},
		{name: "newer", err: fmt.Errorf("open: %w", cellar.ErrNewer), code: endNewer,
			says: "A newer mustwatch saved to the journal n.db.", do: "Use that version"},
		{name: "conflict", err: cellar.ErrConflict, code: endRefused,
			says: "at the same moment: your entry is not saved.", do: "Try again"},
		{name: "not allowed", err: fs.ErrPermission, code: endRefused, says: "is not allowed to open the journal n.db",
			do: "--journal"},
		{name: "anything else", err: errors.New("no space left"), code: endRefused,
			says: "could not be used: no space left.", do: "Nothing after that"},
		{name: "trouble already", err: usage("no."), code: endUsage, says: "no.", do: "--help"},
	} {
		t.Run(c.name, func(t *testing.T) {
			var out bytes.Buffer
			assert.Equal(t, c.code, tell(&out, explain(c.err, "n.db")))
			assert.Contains(t, out.String(), c.says)
			assert.Contains(t, out.String(), c.do)
		})
	}
	assert.NoError(t, explain(nil, "n.db"))
}

func TestWhatIsSaidCannotMoveTheTerminal(t *testing.T) {
	var out bytes.Buffer
	tell(&out, refused("\x1b[2J", "a\x1b]0;b\a \u202ec \u009bd"))
	assert.Equal(t, "mustwatch: a?]0;b? ?c ?d\n?[2J\n", out.String())
}

func TestTroubleWithoutWordsSaysNothing(t *testing.T) {
	var out bytes.Buffer
	assert.Equal(t, endRefused, tell(&out, &trouble{code: endRefused}))
	assert.Empty(t, out.String())
	assert.Equal(t, endDone, tell(&out, nil))
}

func TestDataFolder(t *testing.T) {
	home := func() (string, error) { return "H", nil }
	none := func() (string, error) { return "", errors.New("no home") }
	abs := t.TempDir()
	for _, c := range []struct {
		name, system string
		env          map[string]string
		home         func() (string, error)
		want         string
	}{
		{name: "linux", system: "linux", home: home, want: filepath.Join("H", ".local", "share", "mustwatch")},
		{name: "linux, named", system: "linux", env: map[string]string{"XDG_DATA_HOME": abs}, home: home,
			want: filepath.Join(abs, "mustwatch")},
		{name: "linux, a relative name is ignored", system: "linux", env: map[string]string{"XDG_DATA_HOME": "x"},
			home: home, want: filepath.Join("H", ".local", "share", "mustwatch")},
		{name: "mac", system: "darwin", env: map[string]string{"XDG_DATA_HOME": abs}, home: home,
			want: filepath.Join("H", "Library", "Application Support", "mustwatch")},
		{name: "windows", system: "windows", env: map[string]string{"LOCALAPPDATA": "L"}, home: home,
			want: filepath.Join("L", "mustwatch")},
		{name: "windows, bare", system: "windows", home: home, want: filepath.Join("H", "AppData", "Local",
			"mustwatch")},
		{name: "nobody's home", system: "linux", home: none},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := dataFolder(c.system, func(k string) string { return c.env[k] }, c.home)
			assert.Equal(t, c.want, got)
			assert.Equal(t, c.want == "", err != nil)
		})
	}
}
