package main

import (
	"time"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/clocks"
)

// houseTime is what time it is on a journal, for commands without a board. On a
// real journal it goes by the machine's clocks and the anchors it kept, as the
// board does; on a rehearsal it goes on from where that came to.
type houseTime struct {
	now  func() time.Time
	read func() clocks.Sample // nil on a rehearsal
	kept clocks.House
}

func (p *program) timeOf(h *held) *houseTime {
	if h.joined != nil && h.rehearsal() { // its board keeps the time
		return &houseTime{now: h.heardNow}
	}
	if h.rehearsal() {
		return &houseTime{now: runOn(p.now, h.reached(), 1)}
	}
	t := &houseTime{read: p.clocks}
	s := h.state.Time
	t.kept, _ = clocks.Begin(p.clocks(), s.Anchor, s.Granted, h.state.LastAt)
	t.now = func() time.Time { return t.kept.Now(p.clocks()) }
	return t
}

// question is what a person is to be asked about the time.
func (t *houseTime) question() clocks.Question {
	if t.read == nil {
		return clocks.Question{}
	}
	return t.kept.Ask(t.read())
}

// clock is the house's time on a journal.
func (p *program) clock(h *held) func() time.Time { return p.timeOf(h).now }

// tie fills in what only the program knows of a word on the time, and returns the
// instant at which it is written: the one it says.
func (t *houseTime) tie(c *cellar.ConfirmTime) time.Time {
	if t.read == nil || c.Now.IsZero() {
		return t.now()
	}
	c.Tie, c.Lost = t.kept.Anchor(t.read()), t.question().Doubt == clocks.Lost
	return c.Now
}

// taken goes by the word on the time that the journal now keeps.
func (t *houseTime) taken(s *cellar.State) {
	if t.read != nil {
		t.kept.Confirm(s.Time.Anchor)
	}
}
