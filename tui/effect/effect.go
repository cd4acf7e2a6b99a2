// Package effect holds what the program does to the world besides drawing and
// writing to the journal. Each effect is one command; none touches a model.
package effect

import (
	"io"
	"os"

	tea "github.com/charmbracelet/bubbletea"
)

// Bell rings once. It is a courtesy to those who hear; the screen says the same.
func Bell(out *os.File) tea.Cmd {
	if out == nil {
		return nil
	}
	return BellTo(out)
}

// BellTo rings on any writer.
func BellTo(w io.Writer) tea.Cmd {
	return func() tea.Msg {
		_, _ = w.Write([]byte{'\a'})
		return nil
	}
}
