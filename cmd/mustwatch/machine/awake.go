package machine

import (
	"io"
	"os/exec"
	"time"
)

// Awake keeps the machine from falling asleep by itself while a board is up. A lid
// that is shut, or a person who sends it to sleep, still has its way.
//
// It is a child of the program that holds the system's own lock. The child reads
// from a pipe whose other end only the program has: when the program ends, in
// whatever way, the pipe closes and the child ends with it.
type Awake struct {
	child *exec.Cmd
	pipe  io.WriteCloser
	ended chan struct{}
}

// settleFor is how long a child may take to find that it is not allowed. It is
// waited for beside the board, never before it.
const settleFor = 2 * time.Second

// StayAwake asks the system not to sleep, and returns at once. why is a sentence
// for a person where the system has no way, "" otherwise. The error of a way that
// is there and does not work comes later, from Failed.
func StayAwake() (a *Awake, why string) {
	name, args, why := wayToStayAwake()
	if why != "" {
		return nil, why
	}
	return hold(name, args...)
}

func hold(name string, args ...string) (*Awake, string) {
	cmd := exec.Command(name, args...)
	cmd.SysProcAttr = alone()
	pipe, err := cmd.StdinPipe()
	if err == nil {
		err = cmd.Start()
	}
	if err != nil {
		return nil, "This computer can fall asleep, and nothing rings then: " + name + " does not start. Set " +
			"it to stay awake."
	}
	a := &Awake{child: cmd, pipe: pipe, ended: make(chan struct{})}
	go func() {
		_ = cmd.Wait()
		close(a.ended)
	}()
	return a, ""
}

// Failed says, once it is known, why the machine may fall asleep anyway; ""
// while it is held awake.
func (a *Awake) Failed() string {
	if a == nil {
		return ""
	}
	select {
	case <-a.ended:
		return "This computer can fall asleep, and nothing rings then: the system does not let it be held " +
			"awake. Set it to stay awake."
	default:
		return ""
	}
}

// LetGo ends it and waits for the child.
func (a *Awake) LetGo() {
	if a == nil {
		return
	}
	_ = a.pipe.Close()
	select {
	case <-a.ended:
	case <-time.After(settleFor):
		_ = a.child.Process.Kill()
		<-a.ended
	}
}
