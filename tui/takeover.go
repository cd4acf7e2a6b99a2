package tui

import (
	"context"

	tea "github.com/charmbracelet/bubbletea"

	"cellar.example/mustwatch/domain/cellar"
)

// When the board that a screen has joined ends, the screen takes the journal over by
// itself, or another one does and this one follows that. The program stays what it is
// meanwhile: forms, drafts, what lies over a face and what is on its way into the
// journal go on; only who keeps the clocks changes.

// tookMsg says that this screen has the journal, which no board had any more.
type tookMsg struct{}

// TookOver is its message, for a test.
func TookOver() tea.Msg { return tookMsg{} }

// keptMsg is what the journal holds beyond what stood here then.
type keptMsg struct {
	recs []cellar.Record
	err  error
}

// onTook reads on in the journal before this screen keeps its clocks: they go by its
// last entries.
func (r *Root) onTook() tea.Cmd {
	j, from := r.o.Journal, r.state.Seq+1
	return func() tea.Msg {
		recs, err := readFrom(j, from)
		return keptMsg{recs, err}
	}
}

// onKept makes this screen the board, as a start does on a journal that was let go.
func (r *Root) onKept(m keptMsg) {
	was := r.o.Joined
	if was == nil {
		return
	}
	for _, rec := range m.recs {
		r.came(rec)
	}
	station := r.boardStation()
	heard, _ := was.Heard()
	was.Keeps(&r.o)
	if r.o.Clocks != nil {
		r.keeper = newKeeper(r.o.Clocks, r.state)
		r.tick()
	}
	r.ladder.start(r.state, r.now, cellar.Instant(heard)) // until then the other board took the steps
	if m.err != nil {
		r.banner = r.words("The journal cannot be read: {error}", m.err.Error())
	}
	if r.o.Tell != nil {
		r.o.Tell(r.now)
	}
	r.say(r.words("The board at {station} has ended: this screen has taken over, alarms ring here", station))
}

// followed says when the board has come to be another one.
func (r *Root) followed() {
	if r.o.Joined == nil {
		return
	}
	at := r.boardStation()
	if r.boardAt != "" && r.boardAt != at {
		r.say(r.words("The board at {station} has ended: the one at {other} has taken over", r.boardAt, at))
	}
	r.boardAt = at
}

// readFrom reads what a journal holds from a sequence on.
func readFrom(j cellar.Journal, from cellar.Seq) (recs []cellar.Record, err error) {
	err = j.Read(context.Background(), from, func(rec cellar.Record) error {
		recs = append(recs, rec)
		return nil
	})
	return recs, err
}

// awaitTakeover sends the program word once this screen has the journal, until over.
func awaitTakeover(joined *Joined, p *tea.Program, over <-chan struct{}) {
	select {
	case <-joined.Taken:
		p.Send(tookMsg{})
	case <-over:
	}
}
