package face

import (
	"time"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/clocks"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/subject"
	"cellar.example/mustwatch/tui/intent"
	"cellar.example/mustwatch/tui/keys"
	"cellar.example/mustwatch/tui/layout"
	"cellar.example/mustwatch/tui/theme"
)

// Sight is everything a face may be drawn from. It is handed down on every
// call; a face keeps none of it.
type Sight struct {
	State   *cellar.State
	Now     time.Time // house time
	Theme   theme.Theme
	Who     cellar.Initials      // at the keys
	Saving  map[subject.Ref]bool // subjects with an entry that is not durable yet
	Demo    bool
	Numbers []subject.Ref // what a typed number can jump to
	Beat    int           // counts the heartbeats, one a second
	Told    string        // what was just said to the person, "" after a while
	Stale   Stale         // of a screen that has joined another: since when it has not heard of it
	Banner  string        // a trouble that stays, "" when there is none
	Muted   bool          // the bell does not ring
	Flash   bool          // the screen is turned round for this beat
	Page    bool          // it is printed once and will not change
	Ascii   bool          // the terminal has no half blocks to draw with
	Time    Timing

	once *once
}

// once is what several parts of one frame ask for and what costs to work out.
type once struct {
	next   []cellar.Due
	alarms []*cellar.AlarmClock
	listed bool
	rung   bool
}

// Fresh is the sight of another state or another time than the one it was made
// from: what is due is listed again, and then only once.
func (g Sight) Fresh() Sight {
	g.once = &once{}
	return g
}

// Next is what is due, as State.Next lists it. It is not to be changed.
func (g Sight) Next() []cellar.Due {
	if g.once == nil {
		return g.State.Next(g.Now)
	}
	if !g.once.listed {
		g.once.next, g.once.listed = g.State.Next(g.Now), true
	}
	return g.once.next
}

// Alarms are the raised clocks, as State.Alarms lists them. They are not to be
// changed.
func (g Sight) Alarms() []*cellar.AlarmClock {
	if g.once == nil {
		return g.State.Alarms(g.Now)
	}
	if !g.once.rung {
		g.once.alarms, g.once.rung = g.State.Alarms(g.Now), true
	}
	return g.once.alarms
}

// Timing is what is known of the machine's clocks.
type Timing struct {
	Kept     bool // the board goes by them; false on a clock of its own
	Question clocks.Question
	Tie      clocks.Anchor // the house's time and the machine's clocks now
}

// Units is the house's system of units.
func (g Sight) Units() quantity.System { return g.State.House.Units }

// Habit is how the house writes quantities.
func (g Sight) Habit() quantity.Habit { return g.State.House.Habit() }

// Subject is what a face points at: what an entry opened now would be about.
type Subject struct {
	Vessel cellar.TankNumber
	Press  cellar.TankNumber
	Load   cellar.LoadID
	Clock  cellar.ClockID
}

// Ref is the subject as clocks, notes and the history have it.
func (u Subject) Ref() subject.Ref {
	switch {
	case u.Vessel != "":
		return subject.Of(subject.Vessel, u.Vessel)
	case u.Press != "":
		return subject.Of(subject.Press, u.Press)
	case u.Load != "":
		return subject.Of(subject.Load, u.Load)
	}
	return subject.Ref{}
}

// Name is what the subject is called.
func (u Subject) Name() string { return u.Ref().Name }

// SubjectOf is what a face can point at of a subject: a vessel, a press or a load.
func SubjectOf(r subject.Ref) (u Subject) {
	switch r.Kind {
	case subject.Vessel:
		u.Vessel = cellar.TankNumber(r.Name)
	case subject.Press:
		u.Press = cellar.TankNumber(r.Name)
	case subject.Load:
		u.Load = cellar.LoadID(r.Name)
	}
	return u
}

// Face is one screen of the program. It keeps its cursor and filter and nothing
// of the cellar.
type Face interface {
	// Keys is the face's own table, in force before the common keys.
	Keys(g Sight) keys.Table
	// Handle acts on an intent, or hands one up that it cannot act on itself.
	// handled is false for intents that mean nothing here.
	Handle(in intent.Intent, g Sight, box layout.Box) (up intent.Intent, handled bool)
	// View draws exactly box.H lines of box.W cells.
	View(g Sight, box layout.Box) []string
	// Subject is what the face points at.
	Subject(g Sight) Subject
}

// Whole is a face that is given the whole window: it says what is due, what was
// told and which keys work itself.
type Whole interface {
	Face
	Whole()
}

// Helper is a face whose help says more than its keys. box is the window.
type Helper interface {
	HelpLines(g Sight, box layout.Box) []string
}
