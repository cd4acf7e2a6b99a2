package link

import (
	"net"
	"os"
	"path/filepath"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/store/memory"
)

// A board that is frozen in the middle of what it was to read out does not hold a
// screen for ever.
func TestABoardThatFallsSilentInAnAnswer(t *testing.T) {
	path := filepath.Join(t.TempDir(), "c.db")
	ln, err := net.Listen("unix", Path(path))
	require.NoError(t, err)
	defer ln.Close()
	go func() {
		for {
			conn, err := ln.Accept()
			if err != nil {
				return
			}
			defer conn.Close()
			var a ask
			_ = expect(conn, frameAsk, &a)
			_ = writeJSON(conn, frameHello, Hello{Protocol: protocol, Journal: "one"})
		}
	}()
	c, err := Dial(path)
	require.NoError(t, err)
	defer c.Close()
	c.most = 50 * time.Millisecond
	require.ErrorIs(t, c.Read(t.Context(), 1, func(cellar.Record) error { return nil }), ErrGone)
}

// What lies where the socket would be and is none is somebody's own.
func TestWhatLiesThereStays(t *testing.T) {
	for name, put := range map[string]func(string) error{
		"file":   func(p string) error { return os.WriteFile(p, []byte("mine"), 0o600) },
		"folder": func(p string) error { return os.Mkdir(p, 0o700) },
		"link":   func(p string) error { return os.Symlink("elsewhere", p) },
	} {
		path := filepath.Join(t.TempDir(), "c.db")
		require.NoError(t, put(Path(path)), name)
		before, err := os.Lstat(Path(path))
		require.NoError(t, err)
		_, err = Serve(path, memory.New(), Hello{}, nil)
		require.ErrorContains(t, err, "take it away", name)
		after, err := os.Lstat(Path(path))
		require.NoError(t, err)
		require.True(t, os.SameFile(before, after), name)
	}
}

// A board whose journal was moved away under it does not take the socket of the one
// that has the place now.
func TestTheSocketOfTheNextBoardStays(t *testing.T) {
	path := filepath.Join(t.TempDir(), "c.db")
	first, err := Serve(path, memory.New(), Hello{Journal: "one"}, nil)
	require.NoError(t, err)
	second, err := Serve(path, memory.New(), Hello{Journal: "two"}, nil)
	require.NoError(t, err)
	require.NoError(t, first.Close())
	c, err := Dial(path)
	require.NoError(t, err)
	require.Equal(t, "two", c.Hello().Journal)
	require.NoError(t, c.Close())
	require.NoError(t, second.Close())
	require.NoFileExists(t, Path(path))
}

// A socket that somebody cleared away is made again, and those who have joined write
// on.
func TestASocketThatWasClearedAway(t *testing.T) {
	path := filepath.Join(t.TempDir(), "c.db")
	s, err := Serve(path, memory.New(), Hello{Journal: "one"}, nil)
	require.NoError(t, err)
	c, err := Dial(path)
	require.NoError(t, err)
	require.NoError(t, os.Remove(Path(path)))
	_, err = c.Greet()
	require.ErrorIs(t, err, ErrGone)
	for range stayEvery {
		s.Beat(time.Unix(1_790_000_000, 0))
	}
	require.Eventually(t, func() bool { _, err := c.Greet(); return err == nil }, time.Minute, 5*time.Millisecond)
	require.NoError(t, s.Close())
	require.NoError(t, c.Close())
	require.NoFileExists(t, Path(path))
}

// moved is a journal whose file can be taken from its place.
type moved struct {
	*memory.Journal
	away atomic.Bool
}

func (m *moved) SameFile() error {
	if m.away.Load() {
		return cellar.ErrMissing
	}
	return nil
}

// A board whose file was taken away serves nobody, and those who have joined hear
// nothing, until it is back.
func TestAJournalThatWasTakenAway(t *testing.T) {
	path := filepath.Join(t.TempDir(), "c.db")
	j := &moved{Journal: memory.New()}
	s, err := Serve(path, j, Hello{Journal: "one"}, nil)
	require.NoError(t, err)
	c, err := Dial(path)
	require.NoError(t, err)
	at := time.Unix(1_790_000_000, 0)
	beats := func() {
		for range stayEvery {
			s.Beat(at)
		}
	}
	answers := func() bool { _, err := c.Greet(); return err == nil }
	j.away.Store(true)
	beats()
	require.Eventually(t, func() bool { return !answers() }, time.Minute, 5*time.Millisecond)
	require.NoFileExists(t, Path(path))
	j.away.Store(false)
	beats()
	require.Eventually(t, answers, time.Minute, 5*time.Millisecond)
	require.NoError(t, c.Close())
	require.NoError(t, s.Close())
}
