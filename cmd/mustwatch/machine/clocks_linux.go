package machine

import (
	"os"
	"strings"
	"sync"
	"time"

	"golang.org/x/sys/unix"

	"cellar.example/mustwatch/domain/clocks"
)

// bootID names this start of the machine. Inside one it never changes.
var bootID = sync.OnceValue(func() string {
	id, err := os.ReadFile("/proc/sys/kernel/random/boot_id")
	if err != nil {
		return ""
	}
	return strings.TrimSpace(string(id))
})

// Clocks looks at the machine's three clocks. See clock_gettime(2): BOOTTIME is
// MONOTONIC plus the time the machine was suspended, and setting the wall clock
// moves neither.
func Clocks() clocks.Sample {
	var boot, mono unix.Timespec
	id := bootID()
	if id == "" || unix.ClockGettime(unix.CLOCK_MONOTONIC, &mono) != nil || unix.ClockGettime(unix.CLOCK_BOOTTIME,
		&boot) != nil {
		return awakeOnly()
	}
	return clocks.Sample{Wall: time.Now(), Boot: time.Duration(boot.Nano()), Mono: time.Duration(mono.Nano()),
		BootID: id}
}

// CountsSleep reports whether time asleep can be told from a clock that was set.
func CountsSleep() bool { return Clocks().BootID != "" }
