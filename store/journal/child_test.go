package journal

import (
	"bufio"
	"context"
	"fmt"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/store/storetest"
)

// childEnv makes the test binary be one of the children below: programs that die
// in the middle of their work, or that meet a limit a test cannot set on itself.
const childEnv = "MUSTWATCH_JOURNAL_CHILD"

func TestMain(m *testing.M) {
	args := strings.Split(os.Getenv(childEnv), "\n")
	switch args[0] {
	case "":
		os.Exit(m.Run())
	case "create":
		childCreate(args[1], args[2])
	case "append":
		childAppend(args[1])
	case "full":
		childFull(args[1])
	case "hold":
		childHold(args[1])
	}
}

// process is a child that was started.
type process struct {
	cmd   *exec.Cmd
	lines *bufio.Scanner
}

func child(t *testing.T, args ...string) *process {
	t.Helper()
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), childEnv+"="+strings.Join(args, "\n"))
	cmd.Stderr = os.Stderr
	stdin, err := cmd.StdinPipe() // ends with the parent
	require.NoError(t, err)
	t.Cleanup(func() { _ = stdin.Close() })
	out, err := cmd.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, cmd.Start())
	t.Cleanup(func() { _ = cmd.Process.Kill() })
	return &process{cmd: cmd, lines: bufio.NewScanner(out)}
}

// dies waits for a child that ends itself without leave-taking.
func (p *process) dies(t *testing.T) {
	t.Helper()
	for p.lines.Scan() {
		t.Log(p.lines.Text())
	}
	require.Error(t, p.cmd.Wait(), "the child came through")
}

func (p *process) line(t *testing.T) string {
	t.Helper()
	require.True(t, p.lines.Scan(), "the child said nothing")
	return p.lines.Text()
}

// killSelf ends this process as a power switch would, with nothing deferred.
func killSelf() {
	self, err := os.FindProcess(os.Getpid())
	if err == nil {
		_ = self.Kill()
	}
	select {}
}

func childCreate(path, at string) {
	err := create(path, Info{Kind: Real}, func(step string) {
		if step == at {
			killSelf()
		}
	})
	fmt.Println("created:", err)
}

// childAppend appends until it is killed, and says each sequence once it is told
// that it is durable.
func childAppend(path string) {
	j, err := Open(path, Options{Station: "child"})
	if err != nil {
		fmt.Println("open:", err)
		os.Exit(1)
	}
	seq, _ := j.Head()
	for {
		n := int(seq) + 1
		if seq, err = j.Append(context.Background(), seq, storetest.Record(n), storetest.Record(n+1)); err != nil {
			fmt.Println("append:", err)
			os.Exit(1)
		}
		fmt.Println(seq)
	}
}

// childHold has the journal open until its input ends.
func childHold(path string) {
	j, err := Open(path, Options{Station: "weighbridge"})
	fmt.Println("open:", err)
	_, _ = bufio.NewReader(os.Stdin).ReadString('\n')
	if err == nil {
		_ = j.Close()
	}
}

func TestKilledBetweenAppends(t *testing.T) {
	path := fresh(t)
	acknowledged := 0
	for round := range 8 {
		p := child(t, "append", path)
		for range 3 + round {
			n, err := strconv.Atoi(p.line(t))
			require.NoError(t, err)
			acknowledged = n
		}
		require.NoError(t, p.cmd.Process.Kill())
		for p.lines.Scan() { // what it said before it died counts as well
			if n, err := strconv.Atoi(p.lines.Text()); err == nil {
				acknowledged = n
			}
		}
		require.Error(t, p.cmd.Wait())

		j := mustOpen(t, path)
		require.NoError(t, j.Warning(), "a kill leaves nothing worth a warning")
		got := storetest.Collect(t, j, 0)
		require.GreaterOrEqual(t, len(got), acknowledged, "an acknowledged record is missing")
		require.LessOrEqual(t, len(got), acknowledged+2, "at most the unit in flight was not acknowledged")
		require.Zero(t, len(got)%2, "half of a unit is there")
		storetest.RequireFilled(t, got, 1)
		require.NoError(t, j.Verify(context.Background()))
		require.NoError(t, j.Close())
	}
}

func TestLockedByAnotherProgram(t *testing.T) {
	path := fresh(t)
	p := child(t, "hold", path)
	require.Equal(t, "open: <nil>", p.line(t))
	err := refuse(t, path, cellar.ErrLocked)
	require.ErrorContains(t, err, `station "weighbridge"`)
	require.ErrorContains(t, err, fmt.Sprintf("process %d", p.cmd.Process.Pid))
	refuse(t, path, cellar.ErrLocked, Options{Timeout: quickly, ReadOnly: true})

	require.NoError(t, p.cmd.Process.Kill())
	require.Error(t, p.cmd.Wait())
	storetest.Fill(t, mustOpen(t, path), 0, 1) // a dead holder keeps nobody out
}
