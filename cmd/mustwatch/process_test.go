package main

import (
	"bufio"
	bin "encoding/binary"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"os/exec"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"go.etcd.io/bbolt"

	"cellar.example/mustwatch/store/codec"
)

// cellarOf is a folder with the example house in it, for the shipped program.
type cellarOf struct {
	t       *testing.T
	journal string
}

func newCellar(t *testing.T) *cellarOf {
	t.Helper()
	b := newBench(t)
	c := &cellarOf{t: t, journal: b.file("cellar.db")}
	example, end := c.run("", "init", "--example")
	require.Equal(t, endDone, end)
	said, end := c.run(overdue(t, example), "init", "--from", "-")
	require.Equal(t, endDone, end, said)
	return c
}

// overdue sets the example house back by a day where its six o'clock was less than
// three hours ago: its first clocks are due from 19:35 on, and these tests go by the
// machine's own time, whatever that is.
func overdue(t *testing.T, example string) string {
	t.Helper()
	zone, err := time.LoadLocation("America/Los_Angeles")
	require.NoError(t, err)
	ago := time.Now().In(zone).Add(-3 * time.Hour)
	six := time.Date(ago.Year(), ago.Month(), ago.Day(), 18, 0, 0, 0, zone)
	if six.After(ago) {
		six = six.AddDate(0, 0, -1)
	}
	require.Contains(t, example, "\nat = 18:00:00 ")
	return strings.Replace(example, "\nat = 18:00:00 ", "\nat = "+six.Format("2006-01-02T15:04:05")+" ", 1)
}

func (c *cellarOf) command(args ...string) *exec.Cmd {
	cmd := exec.Command(binary, args...)
	cmd.Env = append(os.Environ(), "MUSTWATCH_JOURNAL="+c.journal, "MUSTWATCH_LOG=")
	return cmd
}

// run runs the program to its end and returns all it said.
func (c *cellarOf) run(in string, args ...string) (said string, end int) {
	c.t.Helper()
	cmd := c.command(args...)
	cmd.Stdin = strings.NewReader(in)
	out, err := cmd.CombinedOutput()
	if _, ended := err.(*exec.ExitError); err != nil && !ended {
		require.NoError(c.t, err)
	}
	return string(out), cmd.ProcessState.ExitCode()
}

// holding starts the program on a pipe that stays open, and waits until it holds
// the journal.
func (c *cellarOf) holding() (in io.WriteCloser, lines *bufio.Scanner, cmd *exec.Cmd) {
	c.t.Helper()
	cmd = c.command("enter", "-", "-v")
	in, err := cmd.StdinPipe()
	require.NoError(c.t, err)
	out, err := cmd.StdoutPipe()
	require.NoError(c.t, err)
	require.NoError(c.t, cmd.Start())
	c.t.Cleanup(func() {
		_ = cmd.Process.Kill()
		_ = cmd.Wait()
	})
	lines = bufio.NewScanner(out)
	fmt.Fprintln(in, reading(0))
	require.True(c.t, lines.Scan())
	return in, lines, cmd
}

func reading(i int) string {
	return fmt.Sprintf(`{"do":"reading","by":"DO","vessel":"S1","temp":"%.1f °C","words":"round %d"}`,
		8+float64(i%20)/10, i)
}

func TestAFirstEvening(t *testing.T) {
	c := newCellar(t)
	said, end := c.run(`{"do":"shift-start","by":"RV","lead":"RV","crew":["DO","JS"]}
{"do":"load","by":"JS","load":"77","gross":"9200 kg","tare":"5900 kg","brix":21.4}
{"do":"tip","by":"JS","load":"77","to":"PB"}
{"do":"pectin-test","by":"DO","vessel":"S2"}
{"do":"note","by":"RV","subject":"chiller","text":"runs loud","what":"warning"}
{"do":"hold","by":"RV","vessel":"F1","reason":"sample first","releaser":"WM"}
`, "enter", "-")
	require.Equal(t, endRefused, end, "a load of 3.3 t is more than PB takes")
	assert.Contains(t, said, "5 saved, 1 refused")
	assert.Contains(t, said, "line 3: mass: PB takes")
	said, end = c.run(`{"do":"tip","by":"JS","load":"77","to":"PB","mass":"2000 kg"}`, "enter", "-")
	require.Equal(t, endDone, end, said)
	said, end = c.run("", "sheet")
	require.Equal(t, endDone, end, said)
	for _, want := range []string{"QUILLMARSH CELLAR", "F1", "sample first", "chiller", "R. Vanterpole"} {
		assert.Contains(t, said, want)
	}
	said, end = c.run("", "verify")
	assert.Equal(t, endDone, end, said)
}

func TestTheSecondProgramIsTurnedAway(t *testing.T) {
	c := newCellar(t)
	_, _, cmd := c.holding()
	for _, args := range [][]string{{"enter", "-"}, {"sheet"}, {"verify"}, {"--print", "sheet"}, {"demo", "--journal",
		c.journal}} {
		said, end := c.run("", args...)
		assert.Equal(t, endLocked, end, "%v: %s", args, said)
		assert.Contains(t, said, `station "enter"`)
		assert.Contains(t, said, strconv.Itoa(cmd.Process.Pid))
	}
}

var ackLine = regexp.MustCompile(`^line (\d+) saved, seq (\d+)(?: to (\d+))?$`)

// Whatever was said to be written is there after a kill, wherever that hit.
func TestKilledWhileItWrites(t *testing.T) {
	c := newCellar(t)
	last := 0
	for round := range 4 {
		in, acks, cmd := c.holding()
		killed := make(chan struct{})
		go func() {
			defer close(killed)
			for i := 1; ; i++ {
				if _, err := fmt.Fprintln(in, reading(i)); err != nil {
					return
				}
			}
		}()
		for n := 0; acks.Scan(); n++ {
			m := ackLine.FindStringSubmatch(acks.Text())
			require.NotNil(t, m, acks.Text())
			last, _ = strconv.Atoi(m[2])
			if m[3] != "" {
				last, _ = strconv.Atoi(m[3])
			}
			if n == 7+13*round { // at another place each time; more may follow it
				require.NoError(t, cmd.Process.Kill())
			}
		}
		_ = cmd.Wait()
		<-killed
		said, end := c.run("", "verify")
		require.Equal(t, endDone, end, said)
		var head int
		_, err := fmt.Sscanf(said[strings.Index(said, "head "):], "head %d", &head)
		require.NoError(t, err)
		require.GreaterOrEqual(t, head, last, "round %d", round)
	}
}

func TestADamagedJournalIsRefused(t *testing.T) {
	c := newCellar(t)
	whole, err := os.ReadFile(c.journal)
	require.NoError(t, err)
	at := strings.Index(string(whole), "Quillmarsh")
	require.Positive(t, at)
	for name, harm := range map[string]func([]byte) []byte{
		"a bit": func(b []byte) []byte {
			for i := range b { // every copy of the record, for the file keeps old pages
				if strings.HasPrefix(string(b[i:min(len(b), i+10)]), "Quillmarsh") {
					b[i] ^= 1
				}
			}
			return b
		},
		"cut short": func(b []byte) []byte { return b[:8192] },
	} {
		t.Run(name, func(t *testing.T) {
			require.NoError(t, os.WriteFile(c.journal, harm([]byte(string(whole))), 0o600))
			for _, args := range [][]string{{"verify"}, {"sheet"}, {"enter", "-"}, {}} {
				said, end := c.run("", args...)
				assert.Equal(t, endDamaged, end, "%v: %s", args, said)
				assert.Contains(t, said, "is damaged")
			}
		})
	}
}

// A record that a newer program wrote is whole, but this one cannot go on.
func TestANewerJournalIsRefused(t *testing.T) {
	c := newCellar(t)
	var head struct {
		Seq  uint64
		Head string
	}
	mark, err := os.ReadFile(c.journal + ".head")
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(mark, &head))
	prev, err := hex.DecodeString(head.Head)
	require.NoError(t, err)
	body := fmt.Sprintf(`{"v":99,"kind":"vessel-tuned","seq":%d,"at":"2026-11-20T19:00:00Z",`+
		`"saved":"2026-11-20T19:00:00Z","by":"RV","fact":{}}`, head.Seq+1)
	sealed, _, err := codec.Seal([]byte(body), codec.Hash(prev))
	require.NoError(t, err)
	db, err := bbolt.Open(c.journal, 0o600, &bbolt.Options{Timeout: time.Second})
	require.NoError(t, err)
	require.NoError(t, db.Update(func(tx *bbolt.Tx) error {
		return tx.Bucket([]byte("records")).Put(binary8(head.Seq+1), sealed)
	}))
	require.NoError(t, db.Close())
	for _, args := range [][]string{{"enter", "-"}, {"sheet"}, {"verify"}} {
		said, end := c.run("", args...)
		assert.Equal(t, endNewer, end, "%v: %s", args, said)
		assert.Contains(t, said, "A newer mustwatch saved")
	}
}

func binary8(n uint64) []byte { return bin.BigEndian.AppendUint64(nil, n) }

// On a pipe the demo prints itself once and ends; of its rehearsal nothing is
// left.
func TestTheDemoOnAPipe(t *testing.T) {
	temp := t.TempDir()
	c := &cellarOf{t: t, journal: temp + "/none.db"}
	for face, wants := range map[string][]string{
		"sheet": {"*** DEMO ***", "TOLVENGA CELLARS"},
		"board": {"DEMO", " 104  ", "104.0 hL", " 102  ", "192.0 hL", " 209  ", "HOLD, OF to release"},
	} {
		cmd := c.command("demo", "--at", "22:20", "--print", face)
		cmd.Env = append(cmd.Env, "TMPDIR="+temp, "TMP="+temp, "TEMP="+temp)
		out, err := cmd.CombinedOutput()
		require.NoError(t, err, string(out))
		for _, want := range wants {
			assert.Contains(t, string(out), want)
		}
		assert.NotContains(t, string(out), "no longer fits")
		assert.NotContains(t, string(out), "\x1b")
	}
	left, err := os.ReadDir(temp)
	require.NoError(t, err)
	assert.Empty(t, left)
}
