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
		{"missing", fmt.Errorf("open: %w there", cellar.ErrMissing), endRefused, "There is no journal at n.db.", "mustwatch init"},
		{"locked", fmt.Errorf("open: %w: last opened at station \"desk\"", cellar.ErrLocked), endLocked, `Another program has the journal n.db open: last opened at station "desk".`, "end it first"},
		{"damaged", fmt.Errorf("open: %w: record 7 is not there", cellar.ErrDamaged), endDamaged, "The journal n.db is damaged: record 7 is not there.", "nothing was changed"},
		{"newer", fmt.Errorf("open: %w", cellar.ErrNewer), endNewer, "A newer mustwatch wrote the journal n.db.", "Use that version"},
		{"conflict", cellar.ErrConflict, endRefused, "grew while this was being written", "once more"},
		{"not allowed", fs.ErrPermission, endRefused, "may not be opened", "--journal"},
		{"anything else", errors.New("no space left"), endRefused, "could not be used: no space left.", "Nothing after that"},
		{"trouble already", usage("no."), endUsage, "no.", "--help"},
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
		{"linux", "linux", nil, home, filepath.Join("H", ".local", "share", "mustwatch")},
		{"linux, named", "linux", map[string]string{"XDG_DATA_HOME": abs}, home, filepath.Join(abs, "mustwatch")},
		{"linux, a relative name is ignored", "linux", map[string]string{"XDG_DATA_HOME": "x"}, home, filepath.Join("H", ".local", "share", "mustwatch")},
		{"mac", "darwin", map[string]string{"XDG_DATA_HOME": abs}, home, filepath.Join("H", "Library", "Application Support", "mustwatch")},
		{"windows", "windows", map[string]string{"LOCALAPPDATA": "L"}, home, filepath.Join("L", "mustwatch")},
		{"windows, bare", "windows", nil, home, filepath.Join("H", "AppData", "Local", "mustwatch")},
		{"nobody's home", "linux", nil, none, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := dataFolder(c.system, func(k string) string { return c.env[k] }, c.home)
			assert.Equal(t, c.want, got)
			assert.Equal(t, c.want == "", err != nil)
		})
	}
}
