//go:build linux

package machine

import (
	"bufio"
	"fmt"
	"os"
	"os/exec"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// gone reports whether a process has ended; one that waits to be collected has.
func gone(pid string) bool {
	stat, err := os.ReadFile("/proc/" + pid + "/stat")
	return err != nil || strings.Contains(string(stat), ") Z ")
}

func TestHeldUntilLetGo(t *testing.T) {
	a, why := hold("cat")
	require.Empty(t, why)
	pid := fmt.Sprint(a.child.Process.Pid)
	assert.Empty(t, a.Failed())
	assert.False(t, gone(pid))
	a.LetGo()
	assert.True(t, gone(pid))
}

func TestAWayThatDoesNotWorkIsSaid(t *testing.T) {
	_, why := hold("/no/such/program")
	assert.Contains(t, why, "can fall asleep")
	a, why := hold("false")
	require.Empty(t, why, "that it starts is all that is waited for")
	<-a.ended
	assert.Contains(t, a.Failed(), "can fall asleep")
	a.LetGo()
	var none *Awake
	assert.Empty(t, none.Failed())
	none.LetGo()
}

// TestHolder is the process that the next test kills; by itself it does nothing.
func TestHolder(t *testing.T) {
	if os.Getenv("MUSTWATCH_TEST_HOLDER") == "" {
		t.Skip("only for the test of a kill")
	}
	a, why := hold("sh", "-c", "cat; true")
	fmt.Println("child", a.child.Process.Pid, why)
	select {}
}

// Nothing is left behind by a program that was killed: the pipe tells its child.
func TestNothingIsLeftBehindByAKill(t *testing.T) {
	cmd := exec.Command(os.Args[0], "-test.run=TestHolder$")
	cmd.Env = append(os.Environ(), "MUSTWATCH_TEST_HOLDER=1")
	out, err := cmd.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, cmd.Start())
	pid := ""
	for lines := bufio.NewScanner(out); pid == "" && lines.Scan(); {
		if f := strings.Fields(lines.Text()); len(f) > 1 && f[0] == "child" {
			pid = f[1]
		}
	}
	require.NotEmpty(t, pid)
	require.False(t, gone(pid))
	require.NoError(t, cmd.Process.Kill())
	_ = cmd.Wait()
	assert.Eventually(t, func() bool { return gone(pid) }, time.Minute, 5*time.Millisecond)
}
