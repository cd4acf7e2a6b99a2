package tui

import (
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/tui/entry"
	"cellar.example/mustwatch/tui/face"
	"cellar.example/mustwatch/tui/layout"
	"cellar.example/mustwatch/tui/overlay"
	"cellar.example/mustwatch/tui/screen/board"
	"cellar.example/mustwatch/tui/screen/wall"
	"cellar.example/mustwatch/tui/theme"
)

// Root is the one model of the program.
type Root struct {
	o     Options
	state *cellar.State
	theme theme.Theme
	box   layout.Box
	now   time.Time
	who   cellar.Initials

	board  *board.Board
	letter letter
	faces  []face.Face // the board at the bottom; the last one has the keys
	form   *entry.Entry
	over   []overlay.Overlay
	later  []overlay.Overlay // waits until the wall is left

	sorting bool     // a form was opened from the list of what is older
	asked   *pending // the entry that the gate on top is about

	drafts  map[string]map[string]string
	draftAt map[string]time.Time
	// gathered are lines that are written together with the next correction.
	gathered entry.Gathered
	writes   writes
	beat     beat
	looked   looked
	asks     asks
	keeper   *keeper // nil on a clock of its own
	ladder   ladder
	title    string // of the terminal's window
	notice   notice
	banner   string // a trouble that stays until it is over
	boardAt  string // where the board stands that this screen has joined
	deaf     bool   // what others write does not come any more
	quits    bool
	ends     bool // it was asked to from outside
	warned   bool // that something is not written, by the key before
}

var _ tea.Model = (*Root)(nil)

// NewRoot makes the program's model. th fits the terminal it will be drawn on.
func NewRoot(o Options, th theme.Theme) *Root {
	r := &Root{o: o, state: o.State, theme: th, box: layout.Box{W: 80, H: 24}, board: &board.Board{}, who: o.Person,
		drafts: map[string]map[string]string{}, draftAt: map[string]time.Time{}}
	if r.state == nil {
		r.state = cellar.NewState()
	}
	r.faces = []face.Face{r.board}
	if r.beat.tick = o.Tick; r.beat.tick == nil {
		r.beat.tick = tea.Tick
	}
	if o.Clocks != nil && o.Missing == "" {
		r.keeper = newKeeper(o.Clocks, r.state)
	}
	r.tick()
	if r.who == "" {
		r.who = r.state.Shift.Lead
	}
	if o.Missing == "" {
		r.away()
		if o.Joined != nil && o.Joined.Unseen {
			r.untaken()
		}
		r.beat.quiet(r.state, r.now)
		r.ladder.start(r.state, r.now, r.lastBeat())
		if due := r.state.Alarms(r.now); len(due) > 0 {
			r.board.Go(due[0].Subject)
		}
		if o.Wall { // nobody may be at its keys to take a list away
			r.faces, r.later, r.over = append(r.faces, &wall.Wall{}), r.over, nil
		}
	} else {
		r.over = append(r.over, firstRun(o.Missing))
	}
	return r
}

// Init implements tea.Model.
func (r *Root) Init() tea.Cmd { return r.beat.start() }

// Update implements tea.Model. Its order is the route: system messages first,
// then keys.
func (r *Root) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	r.tick()
	r.looked.state = nil // whatever is kept is of the message before
	switch msg := msg.(type) {
	case tea.WindowSizeMsg:
		if msg.Width == 0 || msg.Height == 0 { // a serial line does not know its size
			return r, nil
		}
		r.box = layout.Box{W: min(max(msg.Width, 1), maxW), H: min(max(msg.Height, 1), maxH)}
		return r, nil
	case beatMsg:
		return r, r.onBeat(msg)
	case wroteMsg:
		return r, r.onWrote(msg)
	case caughtMsg:
		return r, r.onCaught(msg)
	case guardMsg:
		return r, r.onGuard(msg)
	case endMsg: // from outside: nobody is there to be asked
		r.warned, r.ends = true, true
		return r, r.quit()
	case tea.KeyMsg:
		return r, r.onKey(msg)
	}
	return r, r.onNews(msg)
}

// onNews takes what is heard from outside, and what came of something that was sent off.
func (r *Root) onNews(msg tea.Msg) tea.Cmd {
	switch msg := msg.(type) {
	case letterMsg:
		return r.onRest(msg)
	case followMsg:
		r.came(msg.rec)
	case deafMsg:
		r.deaf = true
	case savedMsg:
		return r.onSaved(msg)
	case burstMsg:
		r.onBurst(msg)
	case suspendedMsg:
		r.onSuspended(msg)
	case tookMsg:
		return r.onTook()
	case pastMsg:
		r.onPast(msg)
	case savedPastMsg:
		r.onSavedPast(msg)
	case keptMsg:
		r.onKept(msg)
	}
	return nil
}

// A window larger than this is a mistake of the terminal.
const (
	maxW = 1000
	maxH = 500
)

func (r *Root) tick() {
	switch {
	case r.keeper != nil:
		r.now = r.boardTime(r.keeper.tick())
	case r.o.Now != nil:
		r.now = cellar.Instant(r.o.Now())
	}
}

// looked is what a message is looked at with: the part of the sight that costs to
// work out, kept until the state or the time is another.
type looked struct {
	state *cellar.State
	seq   cellar.Seq
	now   time.Time
	g     face.Sight
	n     int // how often it was worked out
}

// Sight is what faces and forms are drawn from at this moment. A form asks for it
// at each of its fields, so only what is cheap is put in each time.
func (r *Root) Sight() face.Sight {
	if c := &r.looked; c.state != r.state || c.seq != r.state.Seq || !c.now.Equal(r.now) || c.n == 0 {
		*c = looked{r.state, r.state.Seq, r.now, r.derive(), c.n + 1}
	}
	g := r.looked.g
	g.Theme, g.Who, g.Saving, g.Told, g.Banner = r.theme, r.who, r.writes.saving(), r.told(), r.trouble()
	g.Beat, g.Muted, g.Flash, g.Stale, g.Time = r.beat.n, r.beat.muted, r.beat.flash, r.stale(), r.timing()
	return g
}

// derive works out the sight of one state at one time.
func (r *Root) derive() face.Sight {
	return face.Sight{State: r.state, Now: r.now, Demo: r.o.Demo, Page: r.o.page, Ascii: r.o.Ascii,
		Numbers: board.Numbers(r.state)}.Fresh()
}

// Derived is how often the sight was worked out since the start.
func (r *Root) Derived() int { return r.looked.n }

// notice is one sentence about the last thing done; it goes by itself.
type notice struct {
	text string
	at   time.Time
}

// noticeFor is how long a notice stands over what is due.
const noticeFor = 8 * time.Second

func (r *Root) say(text string) { r.notice = notice{text, r.now} }

func (r *Root) told() string {
	if r.now.Sub(r.notice.at) > noticeFor {
		return ""
	}
	return r.notice.text
}

func (r *Root) face() face.Face { return r.faces[len(r.faces)-1] }

// body is the box between the top lines and the footer.
func (r *Root) body() layout.Box {
	return layout.Box{W: r.box.W, H: max(0, r.box.H-2-len(r.topLines()))}
}

// State is the fold behind the screen. It is only read.
func (r *Root) State() *cellar.State { return r.state }
