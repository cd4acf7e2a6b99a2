package tui

import (
	"cmp"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/clocks"
	"cellar.example/mustwatch/tui/cell"
	"cellar.example/mustwatch/tui/face"
)

// keeper keeps the house's time by the clocks of the machine. A board without
// one goes by Options.Now.
type keeper struct {
	read  func() clocks.Sample
	at    clocks.Sample // at the last tick
	house clocks.House
	todo  []cellar.Command // what the journal is still to be told
	stuck bool             // and could not be
}

func newKeeper(read func() clocks.Sample, s *cellar.State) *keeper {
	k := &keeper{read: read, at: read()}
	var events []clocks.Event
	k.house, events = clocks.Begin(k.at, s.Time.Anchor, s.Time.Granted, s.LastAt)
	for _, e := range events {
		k.note(e)
	}
	if len(events) == 0 && k.house.Ask(k.at).Doubt != clocks.Lost {
		k.todo = append(k.todo, &cellar.AnchorClock{Anchor: k.house.Anchor(k.at)})
	}
	return k
}

// tick reads the clocks and says what time it is.
func (k *keeper) tick() time.Time {
	k.at = k.read()
	return cellar.Instant(k.house.Now(k.at))
}

// note puts an event among what the journal is to be told.
func (k *keeper) note(e clocks.Event) {
	tie := k.house.Anchor(k.at)
	if e.Kind == clocks.Stepped {
		k.todo = append(k.todo, &cellar.StepClock{From: e.From, To: e.To, Away: e.Away, Tie: tie})
		return
	}
	k.todo = append(k.todo, &cellar.NoteSleep{From: e.From, Until: e.To, Unclear: e.Kind == clocks.Unclear,
		Stood: e.Kind == clocks.Stood, Tie: tie})
}

// keepTime looks at the clocks once a beat and tells the journal what befell
// them. What cannot be written is tried again by and by; alarms do not wait for it.
func (r *Root) keepTime() tea.Cmd {
	k := r.keeper
	if k == nil {
		return nil
	}
	for _, e := range k.house.Look(k.at) {
		k.note(e)
		r.now = cellar.Instant(k.house.Now(k.at))
		if e.Kind != clocks.Stepped {
			r.woke(e)
		}
	}
	if r.o.Joined != nil { // the board itself writes it down
		k.todo = nil
	}
	if len(k.todo) == 0 || r.quits || r.writes.busy() || k.stuck && r.beat.n%pulseEvery != 0 {
		return nil
	}
	return r.submit(&pending{cmd: k.todo[0], machine: true})
}

// noted takes what became of an entry that the keeper sent.
func (r *Root) noted(written bool) {
	k := r.keeper
	if !written {
		k.stuck = true
		return
	}
	k.todo = k.todo[1:]
	if k.stuck {
		k.stuck, r.banner = false, ""
	}
}

// woke lists what came due while the machine stood still, unless somebody is in
// the middle of something.
func (r *Root) woke(e clocks.Event) {
	why := "The machine slept"
	switch e.Kind {
	case clocks.Unclear:
		why = "The machine slept, or its clock was set forward,"
	case clocks.Stood:
		why = "The board stood still"
	}
	if r.form != nil || r.top() != nil {
		r.say(r.words("{why} {from}: nothing could ring", why, r.from(e.From)))
		return
	}
	r.missed(why, cellar.Instant(e.From))
}

// timing is what forms need to know of the machine's clocks.
func (r *Root) timing() face.Timing {
	if r.keeper == nil {
		return face.Timing{}
	}
	return face.Timing{Kept: true, Question: r.keeper.house.Ask(r.keeper.at), Tie: r.keeper.house.Anchor(r.keeper.at)}
}

// waits refuses what would carry a time while nobody knows it.
func (r *Root) waits(c cellar.Command) error {
	q := r.timing().Question
	if q.Doubt != clocks.Lost {
		return nil
	}
	return cellar.Waits(c, r.words("the board does not know the time: the machine's clock says {time}, the last "+
		"entry was at {last}. Press Esc (the draft is kept), then ! and set the right time",
		r.date(q.Other), r.date(r.state.LastAt)))
}

// confirmed takes the time a person has said.
func (r *Root) confirmed() {
	if r.keeper != nil {
		r.keeper.house.Confirm(r.state.Time.Anchor)
		r.tick()
	}
}

// date is an instant in full, for clocks that may be years off.
func (r *Root) date(t time.Time) string { return t.In(r.state.Zone()).Format("Mon 2 Jan 2006 15:04") }

// timeLine stands under the alarm line while a person is to say what time it is;
// nil when nobody needs to.
func (r *Root) timeLine() []string {
	text := r.timeText()
	if text == "" {
		return nil
	}
	return []string{r.theme.Soon.Render(cell.Fit(" "+text, r.box.W))}
}

// trouble is what stands in the banner of a face that has the whole screen: the
// journal's first, then that of the clocks.
func (r *Root) trouble() string {
	if s := cmp.Or(r.out(), r.banner); s != "" {
		return s
	}
	return r.timeText()
}

func (r *Root) timeText() string {
	q := r.timing().Question
	zone := r.state.Zone()
	say := func(t time.Time) string {
		if t.Sub(r.now).Abs() > 6*24*time.Hour {
			return t.In(zone).Format("2 Jan 2006")
		}
		return face.Clock(t, r.now, zone)
	}
	var long, short string
	switch q.Doubt {
	case clocks.Sure:
		return ""
	case clocks.Lost:
		long = r.words("NO TIME. The machine's clock says {time}; the last entry was at {last}. Entries wait: press ! "+
			"and set the right time.", r.date(q.Other), r.date(r.state.LastAt))
		short = r.words("NO TIME: machine says {time}. Entries wait. Right time? Press !", r.date(q.Other))
	case clocks.Restart:
		long = r.words("The machine restarted after its clock was changed: is it {time} or {other}? The board uses "+
			"the later. Right time? Press !", say(q.House), say(q.Other))
		short = r.words("Restarted: is it {time} or {other}? The later counts. Right time? Press !", say(q.House),
			say(q.Other))
	default:
		by := cellar.Signed(q.Other.Sub(q.House))
		long = r.words("The machine's clock was changed by {by} at {since} and says {time}; the board counts elapsed "+
			"time. Right time? Press !", by, say(q.Since), say(q.Other))
		short = r.words("Clock changed {by} at {since}, says {time}. Elapsed time counts. Right? Press !", by,
			say(q.Since), say(q.Other))
	}
	if cell.Width(long) >= r.box.W {
		long = short
	}
	if cell.Width(long) >= r.box.W {
		long = "The machine's clock and elapsed time differ. Right time? Press !"
	}
	return long
}
