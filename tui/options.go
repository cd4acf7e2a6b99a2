package tui

import (
	"os"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/clocks"
)

// Options is what a board is run on.
type Options struct {
	Journal cellar.Journal
	State   *cellar.State // the fold of the journal
	Pulse   cellar.Pulse
	Station string
	Person  cellar.Initials  // who is at the keys, "" = the lead of the shift
	Now     func() time.Time // house time: the wall, or a rehearsal's own clock
	// Clocks reads the machine's clocks. With it the board goes by elapsed time and
	// notices when the wall is set or the machine sleeps; Now is not asked. Nil on a
	// rehearsal.
	Clocks func() clocks.Sample
	Demo   bool
	// Tell is told at every beat what time it is, for the screens that have joined.
	// It does not wait. Nil where none can.
	Tell func(now time.Time)
	// Follow has the board take up what other screens write into the journal.
	Follow bool
	// Joined is set on a screen that has joined a board; nil on that board itself.
	Joined *Joined
	// Machine says what this machine cannot do for the night, a sentence each. Nil
	// where nothing was asked of it.
	Machine func() []string
	// Screens counts those that have joined. Nil where none can.
	Screens func() int
	// Suspend stops the program until the shell has it go on; an error says that it
	// was not stopped. Nil where there is no shell.
	Suspend func() error
	// Script hands out the commands of a script that are due at now. It is not
	// asked again once a person has written something. Nil without a script.
	Script func(now time.Time) []cellar.Command
	// Guard looks whether the journal's file is still the one that is held. It
	// is asked once a minute. Nil when there is nothing to look at.
	Guard func() error
	// Save writes a text under a name where the house keeps such files, and says
	// where that was. Nil where there is no such place.
	Save func(name, text string) (where string, err error)
	// Missing is the path of a journal that is not there: the first-run screen.
	Missing string
	Version string
	// NoScreen runs the board for others to join, with nothing shown and no key.
	NoScreen bool
	Wall     bool // begin with the wall, not the board
	Light    bool
	Ascii    bool
	page     bool // it is printed, not run
	In       *os.File
	Out      *os.File
	// Tick makes the heartbeat's timer; nil means the real one. Tests have none.
	Tick func(time.Duration, func(time.Time) tea.Msg) tea.Cmd
}
