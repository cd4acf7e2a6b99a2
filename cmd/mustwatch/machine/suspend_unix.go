//go:build unix

package machine

import (
	"errors"
	"os"
	"os/signal"
	"syscall"
	"time"
)

// stops is how long the system may take to stop a program that asked for it.
const stops = time.Second

// Suspend stops the program, as ctrl+z in a shell does, until somebody has it go on.
// Where no shell looks after it the system stops nothing, and an error says so: a
// program that waited to be woken there would never come back.
func Suspend() error {
	woken := make(chan os.Signal, 1)
	signal.Notify(woken, syscall.SIGCONT)
	defer signal.Stop(woken)
	asked := time.Now()
	if err := syscall.Kill(0, syscall.SIGTSTP); err != nil {
		return err
	}
	select {
	case <-woken:
		return nil
	case <-time.After(stops):
	}
	if time.Since(asked) > 2*stops { // it stood; word of the waking may come late
		return nil
	}
	select {
	case <-woken:
		return nil
	case <-time.After(stops / 10):
		return errors.New("no shell looks after this terminal and could bring it back")
	}
}
