package journal

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/store/storetest"
)

func TestPulse(t *testing.T) {
	path := filepath.Join(t.TempDir(), "cellar.db")
	p := NewPulse(path)
	_, ok := p.Last()
	require.False(t, ok, "there was none yet")

	at := storetest.Evening.In(time.FixedZone("", -7200)).Add(700 * time.Millisecond)
	for i := range 3 {
		require.NoError(t, p.Beat(at.Add(time.Duration(i)*time.Minute)))
	}
	last, ok := NewPulse(path).Last()
	require.True(t, ok)
	require.Equal(t, storetest.Evening.Add(2*time.Minute), last)
	require.Equal(t, []string{"cellar.db.pulse"}, names(t, path))
}

func TestPulseThatMakesNoSense(t *testing.T) {
	path := filepath.Join(t.TempDir(), "cellar.db")
	p := NewPulse(path)
	for _, text := range []string{"", "\n", "tonight\n", "2026-10-03T19:00:00Z", "2026-10-03T19:0\n"} {
		require.NoError(t, os.WriteFile(path+".pulse", []byte(text), 0o600))
		_, ok := p.Last()
		require.False(t, ok, "%q", text)
	}
	require.NoError(t, p.Beat(storetest.Evening))
	_, ok := p.Last()
	require.True(t, ok)
}

func TestPulseThatCannotBeWritten(t *testing.T) {
	p := NewPulse(filepath.Join(t.TempDir(), "no", "folder"))
	require.ErrorContains(t, p.Beat(storetest.Evening), "write the sign of life")
}

func TestReplaceFileLeavesTheOldOne(t *testing.T) {
	path := filepath.Join(t.TempDir(), "small")
	require.NoError(t, replaceFile(path, []byte("one"), true))
	require.NoError(t, os.Mkdir(path+".new", 0o700))
	require.Error(t, replaceFile(path, []byte("two"), true))
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Equal(t, "one", string(data))
}
