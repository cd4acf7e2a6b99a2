package tui

import (
	"slices"

	tea "github.com/charmbracelet/bubbletea"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/subject"
	"cellar.example/mustwatch/tui/intent"
	"cellar.example/mustwatch/tui/overlay"
)

// notes lists what stands until it is done, and the notes of this shift, the newest first.
func (r *Root) notes() {
	r.over = append(r.over, &overlay.Choices{Title: "Open notes: what is done?", Verb: "tick it off",
		Empty: "No note, promise or question is open.",
		Items: func() (items []overlay.Item) {
			for _, n := range slices.Backward(r.state.StandingNotes(subject.Ref{})) {
				items = append(items, overlay.Item{Text: r.noteLine(n), Then: intent.TickOff{Note: n.ID}})
			}
			return items
		}})
}

// noteLine is a note in a line of the list.
func (r *Root) noteLine(n *cellar.Note) string {
	line := r.words("{time}  {kind}: {note}", n.At, n.What, n.Text)
	if n.Pinned {
		line = r.words("{note} (pinned)", line)
	}
	if name := r.state.NameOf(n.Subject); name != "" {
		line += ", " + name
	}
	if n.For != "" {
		line = r.words("{note}, for {person}", line, n.For)
	}
	return line
}

// tickOff saves that a note is done with, in the name of the person at the keys.
func (r *Root) tickOff(id string) tea.Cmd {
	if r.who == "" && len(r.state.House.People) > 0 {
		r.person()
		return nil
	}
	return r.submit(&pending{cmd: &cellar.EndNote{Head: cellar.Head{By: r.who}, Note: id}})
}
