package effect

import (
	"os/exec"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

func TestRun(t *testing.T) {
	sh, err := exec.LookPath("sh")
	if err != nil {
		t.Skip("there is no sh on this machine")
	}
	require.NoError(t, Run([]string{sh, "-c", `test "$MUSTWATCH_SUBJECT" = 101`}, []string{"MUSTWATCH_SUBJECT=101"}, time.Minute))
	require.EqualError(t, Run([]string{sh, "-c", "echo no line >&2; exit 3"}, nil, time.Minute), "exit status 3 (no line)")
	require.EqualError(t, Run([]string{sh, "-c", "exec sleep 60"}, nil, 20*time.Millisecond), "it took longer than 20ms")
	require.Error(t, Run([]string{"/nowhere/lamp"}, nil, time.Minute))
	require.Error(t, Run(nil, nil, time.Minute))
}
