package tui

import (
	"fmt"
	"io"

	tea "github.com/charmbracelet/bubbletea"
)

// suspendedMsg comes back once the program goes on, or could not be suspended.
type suspendedMsg struct{ err error }

// suspend leaves the terminal to the shell it was started from, until that has the
// program go on. Nothing rings meanwhile, and that is said where the board was.
func (r *Root) suspend() tea.Cmd {
	if r.o.Suspend == nil {
		r.say("ctrl+z does not work on this screen")
		return nil
	}
	says := "mustwatch is suspended: alarms do not ring here. Type fg to bring it back."
	if r.joinedBy() > 0 {
		says = "mustwatch is suspended: alarms do not ring here, and the screens that joined it are frozen. Type fg " +
			"to bring it back."
	}
	return tea.Exec(&suspended{stop: r.o.Suspend, says: says}, func(err error) tea.Msg { return suspendedMsg{err} })
}

func (r *Root) onSuspended(m suspendedMsg) {
	if m.err != nil {
		r.say(r.words("ctrl+z failed: {error}", m.err.Error()))
	}
}

// suspended is what runs while the terminal is let go of.
type suspended struct {
	stop func() error
	says string
	out  io.Writer
}

func (s *suspended) SetStdin(io.Reader)      {}
func (s *suspended) SetStdout(out io.Writer) { s.out = out }
func (s *suspended) SetStderr(io.Writer)     {}

func (s *suspended) Run() error {
	fmt.Fprintf(s.out, "\n%s\n", s.says)
	return s.stop()
}
