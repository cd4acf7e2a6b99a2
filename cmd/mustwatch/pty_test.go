//go:build !windows

package main

import (
	"bytes"
	"io"
	"os"
	"os/exec"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/creack/pty"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A command that has no screen must not ask the terminal anything, for one that
// answers nothing would hold it up: see package quiet.
func TestASilentTerminalIsNotAsked(t *testing.T) {
	for _, args := range [][]string{{"version"}, {"init", "--example"}, {"verify", "--journal", "none.db"},
		{"demo", "--print", "board"}} {
		cmd := exec.Command(binary, args...)
		tty, err := pty.Start(cmd)
		require.NoError(t, err)
		said, _ := io.ReadAll(tty) // ends with an error of the terminal's own when the program does
		_ = cmd.Wait()
		_ = tty.Close()
		assert.NotEmpty(t, said)
		assert.False(t, bytes.ContainsRune(said, 0x1b), "%v wrote to the terminal: %q", args, said)
	}
}

// atTerminal is the program on a terminal of 120 by 40 that answers nothing.
type atTerminal struct {
	t    *testing.T
	cmd  *exec.Cmd
	tty  *os.File
	temp string

	mu   sync.Mutex
	said bytes.Buffer
	end  chan struct{}
}

func start(t *testing.T, args ...string) *atTerminal {
	t.Helper()
	return startAt(t, binary, args...)
}

// startAt is start for a program that may run ours.
func startAt(t *testing.T, program string, args ...string) *atTerminal {
	t.Helper()
	a := &atTerminal{t: t, temp: t.TempDir(), cmd: exec.Command(program, args...), end: make(chan struct{})}
	a.cmd.Env = append(os.Environ(), "TMPDIR="+a.temp, "TERM=xterm-256color", "XDG_DATA_HOME="+a.temp+"/data",
		"MUSTWATCH_JOURNAL=", "MUSTWATCH_LOG=", "MUSTWATCH_LET_SLEEP=1")
	tty, err := pty.StartWithSize(a.cmd, &pty.Winsize{Cols: 120, Rows: 40})
	require.NoError(t, err)
	a.tty = tty
	go func() {
		defer close(a.end)
		part := make([]byte, 4096)
		for {
			n, err := tty.Read(part)
			a.mu.Lock()
			a.said.Write(part[:n])
			a.mu.Unlock()
			if err != nil {
				return
			}
		}
	}()
	t.Cleanup(func() { _ = a.cmd.Process.Kill(); _ = tty.Close() })
	return a
}

func (a *atTerminal) all() string {
	a.mu.Lock()
	defer a.mu.Unlock()
	return a.said.String()
}

// shows waits until a text has come.
func (a *atTerminal) shows(text string) {
	a.t.Helper()
	if !assert.Eventually(a.t, func() bool { return strings.Contains(a.all(), text) }, time.Minute,
		10*time.Millisecond) {
		a.t.Fatalf("no %q in %q", text, a.all())
	}
}

// leaves ends a board that holds a journal. It asks where something hangs on it, which
// with the house of the example depends on the time of the day.
func (a *atTerminal) leaves() {
	a.t.Helper()
	_, _ = a.tty.WriteString("q")
	asks := func() bool { return strings.Contains(a.all(), "End the board?") }
	require.Eventually(a.t, func() bool {
		select {
		case <-a.end:
			return true
		default:
			return asks()
		}
	}, time.Minute, 10*time.Millisecond)
	if asks() {
		_, _ = a.tty.WriteString("y")
	}
	require.Equal(a.t, endDone, a.ends(), a.all())
}

// ends waits for the end of the program and returns its number.
func (a *atTerminal) ends() int {
	a.t.Helper()
	select {
	case <-a.end:
	case <-time.After(time.Minute):
		a.t.Fatal("it does not end")
	}
	_ = a.cmd.Wait()
	return a.cmd.ProcessState.ExitCode()
}

// The board comes up, asks the terminal nothing, ends by its key, and
// leaves nothing of a rehearsal behind.
func TestTheBoardOnATerminal(t *testing.T) {
	for name, leave := range map[string]func(*atTerminal){
		"by its key":       func(a *atTerminal) { _, _ = a.tty.WriteString("q") },
		"by the system":    func(a *atTerminal) { _ = a.cmd.Process.Signal(syscall.SIGTERM) },
		"by its line lost": func(a *atTerminal) { _ = a.cmd.Process.Signal(syscall.SIGHUP) },
	} {
		t.Run(name, func(t *testing.T) {
			a := start(t, "demo", "--at", "22:20")
			a.shows("Tolvenga")
			a.shows("DEMO")
			leave(a)
			assert.Equal(t, endDone, a.ends(), a.all())
			assert.NotContains(t, a.all(), "\x1b]11", "it asks for the colour of the ground")
			assert.NotContains(t, a.all(), "\x1b[6n", "it asks where the cursor stands")
			left, err := os.ReadDir(a.temp)
			require.NoError(t, err)
			assert.Empty(t, left)
		})
	}
}

// A board on a real journal holds it, and lets it go at its end.
func TestTheBoardHoldsItsJournal(t *testing.T) {
	c := newCellar(t)
	a := start(t, "--journal", c.journal, "--station", "desk 1")
	a.shows("Quillmarsh")
	said, end := c.run("", "verify")
	assert.Equal(t, endLocked, end)
	assert.Contains(t, said, `station "desk 1"`)
	a.leaves()
	_, end = c.run("", "verify")
	assert.Equal(t, endDone, end)
}

func TestTheFirstRunOfAll(t *testing.T) {
	a := start(t)
	a.shows("mustwatch init")
	_, _ = a.tty.WriteString("q")
	require.Equal(t, endDone, a.ends(), a.all())
	assert.NoDirExists(t, a.temp+"/data", "looking makes nothing")
}

// A night that goes by itself is written like any other, and taken up again
// behind its last line.
func TestANightThatGoesByItself(t *testing.T) {
	c := &cellarOf{t: t, journal: t.TempDir() + "/night.db"}
	records := func() string {
		said, end := c.run("", "verify")
		require.Equal(t, endDone, end, said)
		return said[strings.Index(said, "head "):]
	}
	_, end := c.run("", "demo", "--journal", c.journal, "--at", "22:20", "--print", "sheet")
	require.Equal(t, endDone, end)
	before := records()
	a := start(t, "demo", "--journal", c.journal, "--speed", "900")
	a.shows("Thu 23:")
	_, _ = a.tty.WriteString("q")
	require.Equal(t, endDone, a.ends(), a.all())
	after := records()
	assert.NotEqual(t, before, after)

	said, end := c.run("", "demo", "--journal", c.journal, "--print", "sheet")
	require.Equal(t, endDone, end, said)
	assert.Equal(t, after, records(), "without a moment nothing is added")
	said, end = c.run("", "demo", "--journal", c.journal, "--at", "06:00", "--print", "sheet")
	require.Equal(t, endDone, end, said)
	assert.NotContains(t, said, "no longer fits", "no line is written twice or left out")
	assert.Contains(t, said, "OPEN CLOCKS")
}
