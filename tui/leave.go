package tui

import (
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"cellar.example/mustwatch/tui/intent"
	"cellar.example/mustwatch/tui/overlay"
)

// quit ends the program, unless something hangs on it that the person is told of first.
func (r *Root) quit() tea.Cmd {
	if r.quits || r.ends || r.leaving() {
		return r.leave()
	}
	if r.keepsTheWatch() {
		r.over = append(r.over, &overlay.Question{Title: "End the board?", Text: r.hangsOnIt(), Yes: "end it",
			No: "stay", Then: intent.End{}})
		return nil
	}
	if left := r.unwritten(); left != "" && !r.warned {
		r.warned = true
		r.say("not saved: " + left + ". Press the same key again to leave it.")
		return nil
	}
	return r.leave()
}

// leaving reports whether the question about it is on the screen.
func (r *Root) leaving() bool {
	q, ok := r.top().(*overlay.Question)
	return ok && q.Then == intent.Intent(intent.End{})
}

// leave ends the program after what is being written.
func (r *Root) leave() tea.Cmd {
	r.quits, r.o.Script = true, nil // what was handed out is still written
	if r.writes.busy() {
		r.say("saving; the board ends when it is done")
	}
	return r.leaveIfAsked()
}

// keepsTheWatch reports whether others hang on this board: it holds a journal that is no
// rehearsal, and something is open or somebody has joined.
func (r *Root) keepsTheWatch() bool {
	holds := r.o.Journal != nil && r.o.Joined == nil && !r.o.Demo && !r.state.Rehearsal
	return holds && (r.joinedBy() > 0 || len(r.state.OpenAlarms(r.now)) > 0)
}

func (r *Root) joinedBy() int {
	if r.o.Screens == nil {
		return 0
	}
	return r.o.Screens()
}

// hangsOnIt is what the person is told, a sentence each.
func (r *Root) hangsOnIt() (text []string) {
	var open []string
	for _, c := range r.state.OpenAlarms(r.now) {
		open = append(open, c.Name())
	}
	switch n := len(open); {
	case n == 1:
		text = append(text, r.words("1 alarm is open: {alarm}.", open[0]))
	case n > 6:
		text = append(text, r.words("{count} alarms are open: {alarms} and {more} more.", n,
			strings.Join(open[:5], ", "), n-5))
	case n > 1:
		text = append(text, r.words("{count} alarms are open: {alarms}.", n, strings.Join(open, ", ")))
	}
	switch n := r.joinedBy(); n {
	case 0:
		text = append(text, "Alarms ring from this board: when it ends, nothing rings.")
	case 1:
		text = append(text, "Alarms ring from this board. 1 screen has joined it and takes over when it ends.")
	default:
		text = append(text, r.words("Alarms ring from this board. {count} screens have joined it and one "+
			"of them takes over when it ends.", n))
	}
	text = append(text, "For alarms without a screen, run mustwatch serve.")
	if left := r.unwritten(); left != "" {
		text = append(text, r.words("Typed and not saved: {entry}.", left))
	}
	return text
}
