//go:build !windows

package main

import (
	"os"
	"os/exec"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// since is what has come since a mark.
func (a *atTerminal) since(mark int) string { return a.all()[mark:] }

// showsSince waits until a text has come after a mark.
func (a *atTerminal) showsSince(mark int, texts ...string) {
	a.t.Helper()
	for _, text := range texts {
		if !assert.Eventually(a.t, func() bool { return strings.Contains(a.since(mark), text) }, time.Minute,
			10*time.Millisecond) {
			a.t.Fatalf("no %q in %q", text, a.since(mark))
		}
	}
}

// TestItem19SuspendedAndBack: ctrl+z leaves the terminal to the shell, in a form too,
// and fg brings the whole screen back with what was typed.
func TestItem19SuspendedAndBack(t *testing.T) {
	c := newCellar(t)
	sh, err := exec.LookPath("bash")
	if err != nil {
		t.Skip("no shell that suspends and says so")
	}
	a := startAt(t, sh, "--norc", "-i")
	_, _ = a.tty.WriteString("PS1='ready> '; " + binary + " --journal " + c.journal + " --by RV\n")
	a.shows("Quillmarsh")
	a.shows("all keys")
	_, _ = a.tty.WriteString("S1n")
	a.shows("Note")
	_, _ = a.tty.WriteString("half a wo")
	a.shows("half a wo")

	mark := len(a.all())
	_, _ = a.tty.WriteString("\x1a")
	a.showsSince(mark, "\x1b[?1049l", "mustwatch is suspended: alarms do not ring here. Type fg to bring it back.",
		"ready> ")
	assert.NotContains(t, a.since(mark)[strings.Index(a.since(mark), "is suspended"):], "\x1b[?1049h")
	mark = len(a.all())
	_, _ = a.tty.WriteString("echo in the $((1+1))nd shell\n")
	a.showsSince(mark, "in the 2nd shell")

	mark = len(a.all())
	_, _ = a.tty.WriteString("fg\n")
	a.showsSince(mark, "\x1b[?1049h", "Quillmarsh", "half a wo")
	_, _ = a.tty.WriteString("rd\r")
	a.showsSince(mark, "half a word", "all keys")
	_, _ = a.tty.WriteString("\x03")
	a.showsSince(mark, "End the board?")
	_, _ = a.tty.WriteString("y")
	a.showsSince(mark, "ready> ")
	_, _ = a.tty.WriteString("exit\n")
	a.ends()
}

// Where nothing looks after the terminal, ctrl+z leaves the board running.
func TestItem19NotSuspendedWithoutAShell(t *testing.T) {
	a := start(t, "demo", "--at", "22:20")
	a.shows("Tolvenga")
	mark := len(a.all())
	_, _ = a.tty.WriteString("\x1a")
	a.showsSince(mark, "ctrl+z failed: no shell")
	_, _ = a.tty.WriteString("?")
	a.showsSince(mark, "All keys")
	mark = len(a.all())
	_, _ = a.tty.WriteString("q")
	a.showsSince(mark, "YARD")
	_, _ = a.tty.WriteString("q")
	require.Equal(t, endDone, a.ends(), a.all())
}

// TestItem19TextThrownAtTheBoard: lines of text that come at once, marked as a paste or
// not, are no entries and do not end it.
func TestItem19TextThrownAtTheBoard(t *testing.T) {
	c := newCellar(t)
	head := func() string {
		said, end := c.run("", "verify")
		require.Equal(t, endDone, end, said)
		return said[strings.Index(said, "head "):]
	}
	before := head()
	a := start(t, "--journal", c.journal, "--by", "RV")
	a.shows("Quillmarsh")
	_, _ = a.tty.WriteString("S1n first line of a text\rqy\rS1r14.2\rqy\r")
	a.shows("dropped: ")
	time.Sleep(200 * time.Millisecond)
	mark := len(a.all())
	_, _ = a.tty.WriteString("\x1b[200~S1n first line of a text\rqy\rS1r14.2\rqy\r\x1b[201~")
	a.showsSince(mark, "a paste of")
	_ = a.cmd.Process.Signal(os.Interrupt)
	require.Equal(t, endDone, a.ends(), a.all())
	after := head()
	t.Log(before, after)
	assert.NotContains(t, after, "first line")
	said, _ := c.run("", "sheet")
	assert.NotContains(t, said, "first line of a text")
	assert.NotContains(t, said, "14.2")
}
