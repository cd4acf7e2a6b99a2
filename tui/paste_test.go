package tui_test

import (
	"errors"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/tui"
	"cellar.example/mustwatch/tui/tuitest"
)

// A paste goes into a field for text and nowhere else; what is dropped is said, on
// every face, in a form and over it, and nothing of it becomes an entry.
func TestItem19APasteIsDroppedWithAWord(t *testing.T) {
	const text = "102n hoses are in the rack\nq\n"
	for name, keys := range map[string]string{"board": "", "vessel": "102<enter>", "wall": "b", "help": "?",
		"a field that picks": "d"} {
		t.Run(name, func(t *testing.T) {
			d := sit(t, "02:12", 120, 40)
			before := d.State().Seq
			d.Press(keys)
			d.Send(tuitest.Paste(text))
			d.Shows("dropped: a paste of 29 characters. Nothing is saved")
			d.Send(tui.Burst(40))
			d.Shows("dropped: 40 characters that came at once. Nothing is saved")
			require.False(t, d.Quit)
			require.Equal(t, before, d.State().Seq)
		})
	}
	d := sit(t, "02:12", 120, 40)
	d.Press("102n")
	d.Send(tuitest.Paste("hoses are in the rack"))
	d.Shows("hoses are in the rack").Hides("dropped")
	d.Press("<enter>").Shows("hoses are in the rack")
}

// Where nothing could bring the board back it is not suspended, and goes on.
func TestItem19SuspendNeedsAShell(t *testing.T) {
	j, s := night(t, "02:12")
	d := tuitest.Sit(t, tui.Options{Journal: j, State: s, Person: "MA"}, clock(t, "02:12"), 120, 40)
	d.Send(tea.KeyMsg{Type: tea.KeyCtrlZ})
	d.Shows("ctrl+z does not work on this screen")
	asked := 0
	d = tuitest.Sit(t, tui.Options{Journal: j, State: s, Person: "MA",
		Suspend: func() error { asked++; return errors.New("no shell") }}, clock(t, "02:12"), 120, 40)
	d.Send(tea.KeyMsg{Type: tea.KeyCtrlZ}) // what runs then is the library's: see the test on a terminal
	require.Zero(t, asked)
}
