//go:build !windows

package main

import (
	"io"
	"os"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// mostWait is how long a screen that is left behind may take to have the journal.
const mostWait = 3 * time.Second

// TestItem17TheScreensLeftBehindGoOn: one of those that have joined takes the journal
// over when its board is ended, or killed; the others follow it; what was typed and not
// saved is there still and is saved by the new board.
func TestItem17TheScreensLeftBehindGoOn(t *testing.T) {
	c := newCellar(t)
	at := map[string]*atTerminal{}
	for _, station := range []string{"desk", "hall", "rack"} {
		at[station] = start(t, "--journal", c.journal, "--station", station, "--by", "RV")
		at[station].shows("Quillmarsh")
	}
	at["hall"].shows("second screen")
	at["rack"].shows("second screen")
	for _, station := range []string{"hall", "rack"} {
		_, _ = at[station].tty.WriteString("S1n")
		at[station].shows("Note")
		_, _ = at[station].tty.WriteString("half a wo")
		at[station].shows("half a wo")
	}
	_, _ = at["desk"].tty.WriteString("q")
	at["desk"].shows("2 screens have joined it and one of them takes over when it ends.")
	_, _ = at["desk"].tty.WriteString("y")
	require.Equal(t, endDone, at["desk"].ends())

	const has, follows = "this screen has taken over", "has taken over"
	ended := time.Now()
	keeper, other := "", ""
	require.Eventually(t, func() bool {
		for x, y := range map[string]string{"hall": "rack", "rack": "hall"} {
			if strings.Contains(at[x].all(), has) {
				keeper, other = x, y
			}
		}
		return keeper != ""
	}, time.Minute, 5*time.Millisecond)
	first := time.Since(ended)
	at[other].shows("the one at " + keeper + " " + follows)
	assert.NotContains(t, at[other].all(), has, "two have the journal")
	said, end := c.run("", "verify")
	assert.Equal(t, endLocked, end)
	assert.Contains(t, said, keeper)

	for _, station := range []string{other, keeper} {
		_, _ = at[station].tty.WriteString("rd at " + station + "\r")
		at[station].shows("saved: S1")
	}
	// What one has just written may cover what came from the other; the tank's page has both.
	for station, from := range map[string]string{keeper: other, other: keeper} {
		_, _ = at[station].tty.WriteString("\r")
		at[station].shows("half a word at " + from)
		_, _ = at[station].tty.WriteString("\x1b")
	}

	mark := len(at[other].all())
	require.NoError(t, at[keeper].cmd.Process.Kill())
	<-at[keeper].end
	ended = time.Now()
	at[other].showsSince(mark, has)
	second := time.Since(ended)
	t.Log("taken over after", first, second)
	assert.Less(t, min(first, second), 5*mostWait) // tests run beside it, some of them under the race detector
	written, end := c.run(note("by the third board"), "enter", "-")
	require.Equal(t, endDone, end, written)
	at[other].showsSince(mark, "by the third board")
	at[other].leaves()
	sheet, end := c.run("", "verify")
	assert.Equal(t, endDone, end, sheet)
}

// A rehearsal that is kept goes on at the screen that is left, by its own time.
func TestItem17ARehearsalGoesOn(t *testing.T) {
	path := t.TempDir() + "/night.db"
	desk := start(t, "demo", "--journal", path, "--at", "22:20", "--speed", "600")
	desk.shows("Thu 22:3")
	hall := start(t, "--journal", path, "--station", "hall")
	hall.shows("second screen")
	_, _ = desk.tty.WriteString("q")
	require.Equal(t, endDone, desk.ends())
	hall.shows("this screen has taken over")
	next := start(t, "--journal", path)
	next.shows("DEMO")
	hall.shows("Fri 00:")
	next.shows("Fri 00:")
	_, _ = hall.tty.WriteString("q")
	require.Equal(t, endDone, hall.ends())
	next.shows("this screen has taken over")
}

// serve beside a board waits, and keeps the clocks once that board has ended.
func TestItem17ServeWaitsBesideABoard(t *testing.T) {
	c := newCellar(t)
	desk := start(t, "--journal", c.journal, "--station", "desk")
	desk.shows("Quillmarsh")
	rack := start(t, "serve", "--journal", c.journal, "--station", "rack")
	rack.shows("The board at desk keeps ")
	desk.leaves()
	require.Eventually(t, func() bool {
		_, locked := c.run("", "verify")
		said, end := c.run("", "next")
		return locked == endLocked && end == endOverdue && said != ""
	}, time.Minute, 50*time.Millisecond)
	first := start(t, "--journal", c.journal, "--by", "JS")
	first.shows("Not acknowledged")
	require.NoError(t, rack.cmd.Process.Signal(syscall.SIGTERM))
	require.Equal(t, endDone, rack.ends(), rack.all())
	first.shows("The board at rack has ended: this screen has taken over")
}

// A file that is not the journal which was joined, or an older copy of it, or one with
// another past, is not gone on with, and is left as it was.
func TestItem17WhatAScreenDoesNotTakeOver(t *testing.T) {
	other := newCellar(t)
	says := map[string]string{"another journal": "another journal lies there", "an older copy": "it ends at",
		"another past": "record"}
	for name, put := range map[string]func(t *testing.T, c *cellarOf, old string){
		"another journal": func(t *testing.T, c *cellarOf, _ string) {
			copyFile(t, other.journal, c.journal)
			copyFile(t, other.journal+".head", c.journal+".head")
		},
		"an older copy": func(t *testing.T, c *cellarOf, old string) {
			copyFile(t, old, c.journal)
			require.NoError(t, os.Remove(c.journal+".head"))
		},
		"another past": func(t *testing.T, c *cellarOf, old string) {
			copyFile(t, old, c.journal)
			require.NoError(t, os.Remove(c.journal+".head"))
			for _, text := range []string{"went", "another", "way", "and", "on"} {
				said, end := c.run(note(text), "enter", "-")
				require.Equal(t, endDone, end, said)
			}
		},
	} {
		t.Run(name, func(t *testing.T) {
			c := newCellar(t)
			old := t.TempDir() + "/old.db"
			copyFile(t, c.journal, old)
			desk := start(t, "--journal", c.journal, "--station", "desk")
			desk.shows("Quillmarsh")
			hall := start(t, "--journal", c.journal, "--station", "hall")
			hall.shows("second screen")
			said, end := c.run(note("runs loud"), "enter", "-")
			require.Equal(t, endDone, end, said)
			hall.shows("runs loud")

			require.NoError(t, hall.cmd.Process.Signal(syscall.SIGSTOP))
			desk.leaves()
			put(t, c, old)
			before, err := os.ReadFile(c.journal)
			require.NoError(t, err)
			require.NoError(t, hall.cmd.Process.Signal(syscall.SIGCONT))
			hall.shows("nothing is saved: write on paper. Not taken over: " + says[name])
			assert.NotContains(t, hall.all(), "this screen has taken over")
			after, err := os.ReadFile(c.journal)
			require.NoError(t, err)
			assert.Equal(t, before, after)
			_, _ = hall.tty.WriteString("q")
			require.Equal(t, endDone, hall.ends(), hall.all())
			said, end = c.run("", "verify")
			assert.Equal(t, endDone, end, said)
		})
	}
}

func copyFile(t *testing.T, from, to string) {
	t.Helper()
	in, err := os.Open(from)
	require.NoError(t, err)
	defer in.Close()
	out, err := os.Create(to)
	require.NoError(t, err)
	defer out.Close()
	_, err = io.Copy(out, in)
	require.NoError(t, err)
}
