package machine

import (
	"os"
	"runtime"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The boot clock is held against the kernel's own figure: the first number of
// /proc/uptime, seconds since the start with time asleep (proc_uptime(5)).
func TestBootClockAgainstUptime(t *testing.T) {
	if runtime.GOOS != "linux" {
		t.Skip("only Linux has /proc/uptime")
	}
	s := Clocks()
	require.NotEmpty(t, s.BootID)
	said, err := os.ReadFile("/proc/uptime")
	require.NoError(t, err)
	up, err := strconv.ParseFloat(strings.Fields(string(said))[0], 64)
	require.NoError(t, err)
	assert.InDelta(t, up, s.Boot.Seconds(), 5)
	assert.GreaterOrEqual(t, s.Boot, s.Mono, "asleep or awake is no less than awake")
}

func TestClocksGoForward(t *testing.T) {
	for _, read := range []func() (time.Duration, time.Duration){
		func() (time.Duration, time.Duration) { s := Clocks(); return s.Boot, s.Mono },
		func() (time.Duration, time.Duration) { s := awakeOnly(); return s.Boot, s.Mono },
	} {
		b1, m1 := read()
		b2, m2 := read()
		assert.GreaterOrEqual(t, b2, b1)
		assert.GreaterOrEqual(t, m2, m1)
	}
	assert.Empty(t, awakeOnly().BootID)
}
