//go:build !windows

package main

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The plug is pulled while entries are made at the board: every one that was
// shown as written is there afterwards, and the start says what came due
// meanwhile and by how much.
func TestKilledAtTheBoard(t *testing.T) {
	c := &cellarOf{t: t, journal: t.TempDir() + "/night.db"}
	a := start(t, "demo", "--journal", c.journal, "--at", "01:16")
	a.shows("Tolvenga")
	shown := 0
	for ; shown < 5; shown++ {
		_, _ = fmt.Fprintf(a.tty, "20%dr", 1+shown%2)
		a.shows(fmt.Sprintf("Reading of 20%d", 1+shown%2))
		_, _ = fmt.Fprintf(a.tty, "16.%d\r", shown)
		a.shows(fmt.Sprintf("read 16.%d °C", shown))
	}
	_, _ = a.tty.WriteString("201r19.") // half an entry is on the screen
	require.NoError(t, a.cmd.Process.Kill())
	<-a.end

	said, end := c.run("", "verify")
	require.Equal(t, endDone, end, said)
	b := start(t, "demo", "--journal", c.journal, "--at", "01:52")
	b.shows("While nobody looked")
	b.shows("108      test           2 min late")
	b.shows("TEST  2 min late")
	_, _ = b.tty.WriteString("\r")
	b.shows("NEXT")
	_, _ = b.tty.WriteString("201\r")
	for i := 0; i < shown; i += 2 {
		b.shows(fmt.Sprintf("read 16.%d °C", i))
	}
	assert.NotContains(t, b.all(), "19.", "what was not handed in is not there")
	_, _ = b.tty.WriteString("q")
	require.Equal(t, endDone, b.ends(), b.all())
}

// TestTrustRow01KilledAndTakenUpAgain: the power cut of the night. What came due
// while no board ran stands on the first frame, each with its lateness, and which
// machines ran.
func TestTrustRow01KilledAndTakenUpAgain(t *testing.T) {
	c := &cellarOf{t: t, journal: t.TempDir() + "/night.db"}
	a := start(t, "demo", "--at", "01:17", "--journal", c.journal)
	a.shows("Tolvenga")
	require.NoError(t, a.cmd.Process.Kill())
	<-a.end
	b := start(t, "demo", "--journal", c.journal, "--at", "01:52")
	b.shows("Away 01:17-01:52: 108 due 01:50, 2 min late; P2 and P4 were running; P1 was filling.")
	b.shows("P4 stopped at 01:17: power cut.")
	b.shows("TEST  2 min late")
	_, _ = b.tty.WriteString("\x1bq")
}
