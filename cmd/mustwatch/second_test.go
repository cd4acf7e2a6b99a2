//go:build !windows

package main

import (
	"fmt"
	"net"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/store/journal"
	"cellar.example/mustwatch/store/link"
	"cellar.example/mustwatch/store/memory"
)

// note is an entry that no rule asks about and both screens show.
func note(text string) string {
	return fmt.Sprintf(`{"do":"note","by":"RV","subject":"chiller","text":%q,"what":"warning"}`+"\n", text)
}

// TestTrustRow09SecondScreen: a wall joins the board that has the journal open; what
// is written anywhere is seen on both. A screen that is frozen holds nobody up and
// catches up; while the board is frozen, the wall says for how long, and goes on when
// it is back; when the board ends, it takes the journal over.
func TestTrustRow09SecondScreen(t *testing.T) {
	c := newCellar(t)
	desk := start(t, "--journal", c.journal, "--station", "desk 1")
	desk.shows("Quillmarsh")
	hall := start(t, "--journal", c.journal, "--station", "hall", "--by", "JS")
	hall.shows("second screen")

	written := func(text string) {
		t.Helper()
		said, end := c.run(note(text), "enter", "-")
		require.Equal(t, endDone, end, said)
	}
	written("runs loud")
	for _, a := range []*atTerminal{desk, hall} {
		a.shows("RV saved at another screen: chiller")
		a.shows("runs loud")
	}
	_, _ = hall.tty.WriteString("a") // what is written at the hall stands at the desk
	hall.shows("acknowledged by JS")
	desk.shows("JS saved at another screen: PA")

	require.NoError(t, hall.cmd.Process.Signal(syscall.SIGSTOP))
	written("runs louder")
	desk.shows("runs louder")
	require.NoError(t, hall.cmd.Process.Signal(syscall.SIGCONT))
	hall.shows("runs louder")

	require.NoError(t, desk.cmd.Process.Signal(syscall.SIGSTOP))
	hall.shows("STALE for ")
	hall.shows("desk 1 was last heard")
	said, end := c.run("", "next")
	assert.Equal(t, endLocked, end, said)
	require.NoError(t, desk.cmd.Process.Signal(syscall.SIGCONT))
	written("is quiet again")
	hall.shows("is quiet again")

	desk.leaves()
	hall.shows("this screen has taken over")
	desk = start(t, "--journal", c.journal, "--station", "desk 1")
	desk.shows("second screen")
	written("was filled up")
	hall.shows("was filled up")
	hall.leaves()
	desk.shows("this screen has taken over")
	desk.leaves()
	assert.NoFileExists(t, link.Path(c.journal), "nothing is left behind")
	said, end = c.run("", "verify")
	assert.Equal(t, endDone, end, said)
}

// What only looks goes by way of the board as well, with the head of its journal.
func TestWhatOnlyLooksJoinsTheBoard(t *testing.T) {
	c := newCellar(t)
	desk := start(t, "--journal", c.journal, "--station", "desk 1")
	desk.shows("Quillmarsh")
	sheet, end := c.run("", "sheet")
	require.Equal(t, endDone, end, sheet)
	assert.Regexp(t, regexp.MustCompile(`journal \d+ +[0-9a-f]{8}`), sheet)
	said, end := c.run("", "next")
	assert.Equal(t, endOverdue, end, said)
	assert.Contains(t, said, "PA empty")
	for _, args := range [][]string{{"show", "--json"}, {"show", "--json", "--at", "1 min ago"}} {
		said, end = c.run("", args...)
		require.Equal(t, endDone, end, said)
		d := documentOf(t, said)
		assert.Equal(t, "Quillmarsh Cellar", d.House)
		assert.True(t, d.Total.AddsUp())
		assert.Positive(t, d.Total.Held)
	}
	said, end = c.run("", "--print", "wall")
	assert.Equal(t, endDone, end, said)
	info, err := os.Stat(link.Path(c.journal))
	require.NoError(t, err)
	assert.Equal(t, os.FileMode(0o600), info.Mode().Perm(), "whose journal it is, and nobody else")
}

// A socket that a kill left behind keeps nobody out.
func TestALinkLeftBehind(t *testing.T) {
	c := newCellar(t)
	desk := start(t, "--journal", c.journal)
	desk.shows("Quillmarsh")
	require.NoError(t, desk.cmd.Process.Kill())
	_ = desk.cmd.Wait()
	assert.FileExists(t, link.Path(c.journal))
	said, end := c.run("", "next")
	assert.Equal(t, endOverdue, end, said)
	again := start(t, "--journal", c.journal)
	again.shows("Quillmarsh")
	said, end = c.run("", "next")
	assert.Equal(t, endOverdue, end, said)
}

// TestTrustRow10NoScreen: with every screen closed the board goes on for others to
// join; the first one lists what rang and nobody has in hand.
func TestTrustRow10NoScreen(t *testing.T) {
	c := newCellar(t)
	board := start(t, "serve", "--journal", c.journal, "--station", "rack")
	board.shows("Join it with mustwatch")
	assert.Eventually(t, func() bool { _, end := c.run("", "next"); return end == endOverdue }, time.Minute,
		50*time.Millisecond)

	first := start(t, "--journal", c.journal, "--by", "JS")
	first.shows("Not acknowledged")
	first.shows("3 alarms rang and nobody has acknowledged them.")
	_, _ = first.tty.WriteString("q")
	first.shows("ENZYME") // the list is gone
	_, _ = first.tty.WriteString("a")
	first.shows("acknowledged by JS")
	_, _ = first.tty.WriteString("q")
	require.Equal(t, endDone, first.ends(), first.all())

	next := start(t, "--journal", c.journal, "--by", "DO")
	next.shows("2 alarms rang and nobody has acknowledged them.")
	_, _ = next.tty.WriteString("q")
	require.NoError(t, board.cmd.Process.Signal(syscall.SIGTERM))
	require.Equal(t, endDone, board.ends(), board.all())
	assert.NotContains(t, board.all(), "\x1b[?1049h", "it draws nothing")
	said, end := c.run("", "verify")
	assert.Equal(t, endDone, end, said)
}

// Without a screen of its own a board that none can join is of no use, and says so.
func TestServeNeedsAPlaceToListen(t *testing.T) {
	c := newCellar(t)
	long := filepath.Join(filepath.Dir(c.journal), strings.Repeat("x", 120)+".db")
	require.NoError(t, os.Rename(c.journal, long))
	_ = os.Rename(c.journal+".head", long+".head")
	c.journal = long
	said, end := c.run("", "serve", "--journal", long)
	assert.Equal(t, endRefused, end, said)
	assert.Contains(t, said, "shorter")
}

// A board that has opened the journal and does not serve it yet is waited for.
func TestABoardThatStartsAtTheSameTime(t *testing.T) {
	c := newCellar(t)
	j, err := journal.Open(c.journal, journal.Options{Station: "desk 1"})
	require.NoError(t, err)
	defer j.Close()
	end := make(chan int, 1)
	go func() { _, n := c.run("", "next"); end <- n }()
	select {
	case n := <-end:
		t.Fatalf("it ended with %d before a board could serve", n)
	case <-time.After(1500 * time.Millisecond):
	}
	s, err := link.Serve(c.journal, j, link.Hello{Journal: j.Info().ID, Station: "desk 1"}, j.Head)
	require.NoError(t, err)
	defer s.Close()
	s.Beat(time.Now())
	require.Equal(t, endOverdue, <-end)
}

// A board of another version is named as what it is.
func TestABoardOfAnotherVersion(t *testing.T) {
	c := newCellar(t)
	ln, err := net.Listen("unix", link.Path(c.journal))
	require.NoError(t, err)
	defer ln.Close()
	go func() {
		for {
			conn, err := ln.Accept()
			if err != nil {
				return
			}
			_, _ = conn.Read(make([]byte, 512))
			hello := `{"protocol":99,"journal":"x"}`
			_, _ = conn.Write(append([]byte{'H', 0, 0, 0, byte(len(hello))}, hello...))
			_ = conn.Close()
		}
	}()
	said, end := c.run("", "next")
	require.Equal(t, endNewer, end, said)
	require.Contains(t, said, "the board speaks version 99")
}

// A screen that has joined a rehearsal goes as fast as its board between two beats.
func TestAJoinedScreenGoesAsFastAsItsBoard(t *testing.T) {
	path := filepath.Join(t.TempDir(), "c.db")
	s, err := link.Serve(path, memory.New(), link.Hello{Journal: "one", Rehearsal: true, Speed: 3600}, nil)
	require.NoError(t, err)
	defer s.Close()
	c, err := link.Dial(path)
	require.NoError(t, err)
	defer c.Close()
	at := time.Date(2026, 9, 24, 20, 0, 0, 0, time.UTC)
	s.Beat(at)
	require.True(t, c.Wait(time.Minute))
	_, ago := c.Heard()
	h := &held{joined: c}
	require.GreaterOrEqual(t, h.heardNow().Sub(at), 3600*ago)
}
