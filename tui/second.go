package tui

import (
	"cmp"
	"context"
	"fmt"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/clocks"
	"cellar.example/mustwatch/tui/cell"
	"cellar.example/mustwatch/tui/face"
	"cellar.example/mustwatch/tui/overlay"
)

// Several screens may have one journal in front of them. One is the board that has
// the file open and keeps the house's time; the others have joined it and know how
// long ago they heard of it. All of them follow what is written.

// Joined is how a screen stands to the board it has joined.
type Joined struct {
	Station func() string // where the board stands that is heard, or was last
	Unseen  bool          // nobody looks at that one: what rang meanwhile is listed at the start
	// Heard is the house's time at the board's last beat, and how long ago it came.
	Heard func() (at time.Time, ago time.Duration)
	// Taken is closed once that board has ended and this screen has the journal itself.
	Taken <-chan struct{}
	// Keeps sets the options of a board that has the journal itself. It is called after
	// Taken.
	Keeps func(o *Options)
	// Stuck says why this screen does not have it though no board has; "" where one has.
	// Nil where none takes over.
	Stuck func() string
}

// staleFrom is how long a board must not have been heard of before what stands on
// the screens that joined it may be old: it beats once a second.
const staleFrom = 5 * time.Second

// followMsg is a record that stands in the journal, whoever wrote it.
type followMsg struct{ rec cellar.Record }

// Followed is the message of a record that was written, for a test that has its
// own channel.
func Followed(rec cellar.Record) tea.Msg { return followMsg{rec} }

// deafMsg says that what others write does not come any more: a record cannot be
// read, or another journal is open in the place of the one that was joined.
type deafMsg struct{}

// Deaf is its message, for a test.
func Deaf() tea.Msg { return deafMsg{} }

// out is said of a screen that is out of touch. That nothing is followed stands until
// it is started again.
func (r *Root) out() string {
	if s := r.staleText(); s != "" || !r.deaf {
		return s
	}
	return "NOT FOLLOWED: what others save does not reach this screen any more. Leave it and start it again."
}

// follow sends the program what is written in the journal from here on, until ctx
// ends.
func follow(ctx context.Context, j cellar.Journal, from cellar.Seq, p *tea.Program) error {
	recs, err := j.Watch(ctx, from)
	if err != nil {
		return fmt.Errorf("follow the journal: %w", err)
	}
	go func() {
		for rec := range recs {
			p.Send(followMsg{rec})
		}
		if ctx.Err() == nil {
			p.Send(deafMsg{})
		}
	}()
	return nil
}

// next applies a record unless it has been already: what this screen wrote comes
// back to it, and so does what it caught up with.
func (r *Root) next(rec cellar.Record) bool {
	if rec.Seq != r.state.Seq+1 {
		return false
	}
	cellar.Apply(r.state, rec)
	return true
}

// came applies a record, and does what follows from one that another screen wrote. A
// rehearsal's script stops once a person has taken a hand at any screen.
func (r *Root) came(rec cellar.Record) {
	own := r.writes.flying.wrote(rec)
	if !r.next(rec) || own {
		return
	}
	if _, said := rec.Fact.(*cellar.TimeConfirmed); said {
		r.confirmed()
	}
	if rec.Entry == "" && rec.By != "" && r.o.Joined == nil {
		r.o.Script = nil
	}
	for e := range r.state.LatestEvents {
		if e.Seq != rec.Seq {
			break
		}
		r.say(r.words("{who} saved at another screen: {what} {says}", cmp.Or(string(rec.By), "somebody"),
			r.state.NameOf(e.Subject), e.Text))
	}
}

// untaken lists what has rung and nobody has in hand, seen and left too, for who opens the first screen on a
// board that ran without one.
func (r *Root) untaken() {
	var lines []string
	for _, c := range r.state.Alarms(r.now) {
		if r.state.Taken(c, r.now) {
			continue
		}
		line := r.missedLine(c)
		if c.AcknowledgedBy != "" {
			line += r.words(", acknowledged by {who} {time}", c.AcknowledgedBy, c.AcknowledgedAt)
		}
		lines = append(lines, line)
	}
	if len(lines) == 0 {
		return
	}
	head := r.words("{count} alarms rang and nobody has acknowledged them.", len(lines))
	if len(lines) == 1 {
		head = "One alarm rang and nobody has acknowledged it."
	}
	r.over = append(r.over, overlay.NewText("Not acknowledged", append([]string{head, ""}, lines...)))
}

// boardTime is the house's time by the board that this screen has joined, as long as it
// is heard of. Both read the same clocks; but what little a wall is kept right by counts
// from when each began. More apart than that they go by what they were told, each
// by itself.
func (r *Root) boardTime(own time.Time) time.Time {
	if r.o.Joined == nil {
		return own
	}
	at, ago := r.o.Joined.Heard()
	if heard := at.Add(ago); ago < staleFrom && heard.Sub(own).Abs() <= clocks.Slack+time.Second {
		return cellar.Instant(heard)
	}
	return own
}

// stale tells since when the board this screen has joined is not heard of; zero while
// it is.
func (r *Root) stale() (s face.Stale) {
	if r.o.Joined == nil {
		return s
	}
	at, ago := r.o.Joined.Heard()
	if ago < staleFrom {
		return s
	}
	return face.Stale{For: ago, Heard: cellar.Instant(at), Station: r.boardStation()}
}

// stuck says why this screen does not have the journal though no board has.
func (r *Root) stuck() string {
	if r.o.Joined == nil || r.o.Joined.Stuck == nil {
		return ""
	}
	return r.o.Joined.Stuck()
}

// boardStation is where the board stands that this screen has joined.
func (r *Root) boardStation() string { return cmp.Or(r.o.Joined.Station(), "the desk") }

// staleText is the longest of its texts that the line has room for.
func (r *Root) staleText() string {
	s := r.stale()
	if s.For == 0 {
		return ""
	}
	text := ""
	if why := r.stuck(); why != "" {
		return r.words("STALE for {age}, nothing is saved: write on paper. {why}", s.Age(), why)
	}
	for _, says := range []string{
		"STALE for {age}: the board at {station} was last heard at {time}. Look there; write on paper, nothing is " +
			"saved here.",
		"STALE for {age}: {station} last heard at {time}. Look there; write on paper.",
		"STALE for {age}: {station} last heard at {time}. Write on paper.",
	} {
		if text = r.words(says, s.Age(), s.Station, s.Heard); cell.Width(text) < r.box.W-1 {
			break
		}
	}
	return text
}
