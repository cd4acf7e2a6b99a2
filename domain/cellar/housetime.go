package cellar

import (
	"fmt"
	"time"

	"cellar.example/mustwatch/domain/clocks"
	"cellar.example/mustwatch/domain/quantity"
)

// HouseTime is what the journal knows of the machine's clock. The anchors are
// facts, one at each start of a board and one after each step: deadlines hang on
// them, so they may not be lost with a file beside the journal.
type HouseTime struct {
	Anchor clocks.Anchor
	// Granted is how far the wall is off by the word of a person.
	Granted time.Duration
	Lines   []ClockLine
}

// ClockLine is one thing that befell the machine's clock, for the sheet.
type ClockLine struct {
	At   time.Time
	By   Initials
	Text string
}

// told keeps a line about the clock, for the history and the sheet.
func (f *HouseTime) told(s *State, r Record, text string) {
	f.Lines = append(f.Lines, ClockLine{At: r.At, By: r.By, Text: text})
	s.log(r, theHouse, "{what}", text)
}

// byMachine marks commands that the program gives by itself: there is nobody to
// be named for them.
type byMachine interface{ byMachine() }

// AnchorClock ties the house's time to the machine, for a later start.
type AnchorClock struct {
	Head
	clocks.Anchor
}

func (*AnchorClock) byMachine() {}

func (c *AnchorClock) decide(*decision) ([]Fact, error) { return []Fact{&ClockAnchored{c.Anchor}}, nil }

// ClockAnchored is the house's time tied to the machine. It is no event of the
// night and stands in no history.
type ClockAnchored struct{ clocks.Anchor }

func (f *ClockAnchored) apply(s *State, _ Record) { s.Time.anchor(f.Anchor) }

// anchor takes the latest tie. A wall that agrees with the house again has been
// corrected, and what was said about it is over.
func (f *HouseTime) anchor(a clocks.Anchor) {
	if a.House.IsZero() {
		return
	}
	f.Anchor = a
	if a.Ahead().Abs() <= clocks.Slack {
		f.Granted = 0
	}
}

// StepClock notes that the machine's clock was set, or that it slept.
type StepClock struct {
	Head
	From time.Time     `json:"from"` // what the clock said
	To   time.Time     `json:"to"`   // what it said then
	Away bool          `json:"away,omitempty"`
	Tie  clocks.Anchor `json:"tie,omitzero"`
}

func (*StepClock) byMachine() {}

func (c *StepClock) decide(*decision) ([]Fact, error) {
	if c.From.IsZero() || c.To.IsZero() {
		return nil, reject("step", "from", "say what the clock said before and after")
	}
	return []Fact{&ClockStepped{From: Instant(c.From), To: Instant(c.To), Away: c.Away, Tie: c.Tie}}, nil
}

// ClockStepped is a wall clock that was set. No deadline moves with it.
type ClockStepped struct {
	From time.Time     `json:"from"`
	To   time.Time     `json:"to"`
	Away bool          `json:"away,omitempty"` // while no board ran
	Tie  clocks.Anchor `json:"tie,omitzero"`
}

func (f *ClockStepped) apply(s *State, r Record) {
	s.Time.anchor(f.Tie)
	stepped := "the machine's clock was stepped {by}, from {from} to {to}; deadlines stay"
	if f.Away {
		stepped = "the machine's clock was stepped {by}, from {from} to {to}, while no board ran; deadlines stay"
	}
	s.Time.told(s, r, s.phrase(stepped, Signed(f.To.Sub(f.From)), s.dayClock(f.From), s.dayClock(f.To)))
}

// NoteSleep notes that the machine, or the board on it, stood still for a while.
type NoteSleep struct {
	Head
	From  time.Time `json:"from"`
	Until time.Time `json:"until"`
	// Unclear says that it may have been the clock that was set forward: the
	// machine does not count its sleep.
	Unclear bool          `json:"unclear,omitempty"`
	Stood   bool          `json:"stood,omitempty"` // the machine ran on and the board did not
	Tie     clocks.Anchor `json:"tie,omitzero"`
}

func (*NoteSleep) byMachine() {}

func (c *NoteSleep) decide(*decision) ([]Fact, error) {
	if !c.Until.After(c.From) {
		return nil, reject("sleep", "until", "the sleep must end after it begins")
	}
	return []Fact{&MachineSlept{From: Instant(c.From), Until: Instant(c.Until), Unclear: c.Unclear, Stood: c.Stood,
		Tie: c.Tie}}, nil
}

// MachineSlept is a time in which the machine or the board stood still and nothing
// could ring.
type MachineSlept struct {
	From    time.Time     `json:"from"`
	Until   time.Time     `json:"until"`
	Unclear bool          `json:"unclear,omitempty"`
	Stood   bool          `json:"stood,omitempty"`
	Tie     clocks.Anchor `json:"tie,omitzero"`
}

func (f *MachineSlept) apply(s *State, r Record) {
	s.Time.anchor(f.Tie)
	text := "the machine slept from {from} to {until}, {length}; nothing could ring"
	if f.Stood {
		text = "the board stood still from {from} to {until}, {length}; nothing could ring"
	}
	if f.Unclear {
		text = "the machine slept, or its clock was set forward, from {from} to {until}, {length}"
	}
	s.Time.told(s, r, s.phrase(text, s.dayClock(f.From), s.dayClock(f.Until),
		quantity.Span(f.Until.Sub(f.From).Round(time.Minute))))
}

// ConfirmTime is a person's word on what time it is.
type ConfirmTime struct {
	Head
	Now    time.Time `json:"now"`
	Reason string    `json:"reason,omitempty"`
	// Tie is filled in by the program: the house's time and the machine's clocks
	// as they stood.
	Tie clocks.Anchor `json:"tie,omitzero"`
	// Lost says that the house's time was not known: then what passed meanwhile
	// did pass, and no deadline moves but to where the last entry was at the latest.
	Lost bool `json:"lost,omitempty"`
}

// The years in which this program may run: a date outside is a slip.
const (
	firstYear = 2020
	lastYear  = 2100
)

func (c *ConfirmTime) decide(d *decision) ([]Fact, error) {
	now := Instant(c.Now)
	switch {
	case c.Now.IsZero():
		return nil, reject("time", "now", "type what time it is")
	case now.Year() < firstYear || now.Year() > lastYear:
		return nil, reject("time", "now", "{time} cannot be right; type today's date",
			now.In(d.s.Zone()).Format("Mon 2 Jan 2006 15:04"))
	case c.Reason == "" && c.Lost && d.s.LastAt.Sub(now) > clocks.FloorSlack:
		return nil, reject("time", "now", "the last entry was saved at {time}; type a later time, or say in the "+
			"reason why that one was wrong", d.saysDay(d.s.LastAt))
	}
	f := &TimeConfirmed{Now: now, Was: Instant(c.Tie.House), Reason: c.Reason, Tie: c.Tie}
	f.Tie.House = c.Now.UTC().Round(0)
	if c.Tie.House.IsZero() { // a line from a pipe: the clock that wrote it was right
		f.Was, f.Tie = now, clocks.Anchor{}
	}
	by := now.Sub(f.Was)
	if c.Lost { // what passed meanwhile did pass; but the last entry was not in the future
		by = min(0, now.Sub(d.s.LastAt))
	}
	if by.Abs() >= time.Minute {
		f.Shift = quantity.Span(by)
	}
	return []Fact{f}, nil
}

// TimeConfirmed is what time it was by the word of a person.
type TimeConfirmed struct {
	Now time.Time `json:"now"`
	Was time.Time `json:"was"` // what the board had gone by
	// Shift is by how much the clock was off that everything before was written
	// by. What counts elapsed time moves along, so that it rings when it would
	// have; what a person typed as a time of day stays.
	Shift  quantity.Span `json:"shift,omitzero"`
	Reason string        `json:"reason,omitempty"`
	Tie    clocks.Anchor `json:"tie,omitzero"`
}

func (f *TimeConfirmed) apply(s *State, r Record) {
	if !f.Tie.House.IsZero() {
		s.Time.anchor(f.Tie)
		s.Time.Granted = f.Tie.Ahead()
	}
	text := s.phrase("it is {time}, says {who}", s.dayClock(f.Now), firstWords(string(r.By), "?"))
	if f.Now.Sub(f.Was).Abs() >= time.Minute {
		text += s.phrase("; the board had {was}", s.dayClock(f.Was))
	}
	if f.Reason != "" {
		text += ": " + f.Reason
	}
	s.Time.told(s, r, text)
	if by := f.Shift.Duration(); by != 0 {
		s.shiftAll(r, by)
	}
	s.LastAt = time.Time{} // this instant is the latest one, whatever was written by another clock
}

// byTimeOfDay reports whether a clock stands for a time of day that somebody named:
// on the telephone, in the plan of shifts, on the paper of a permit. Tubes are
// read so long after the alcohol, whatever was typed.
func (c *AlarmClock) byTimeOfDay() bool {
	switch c.Kind {
	case KindPromise, KindCall, KindPermit, KindShift:
		return true
	case KindReading:
		return false
	}
	return c.Typed && !c.Counted
}

// NoTime is the code of a rejection that waits for somebody to type what time it is.
const NoTime = "no-time"

// Waits refuses what would carry a time while nobody knows what time it is. why
// is the trouble in one sentence. It lets through what tells the time, and what
// the program notes by itself.
func Waits(c Command, why string) error {
	switch c.(type) {
	case *ConfirmTime, byMachine:
		return nil
	}
	return reject(NoTime, "at", "{why}", why)
}

// Signed is a length with its direction: "+60 min", "-1 h 05".
func Signed(d time.Duration) string {
	sign := "+"
	if d < 0 {
		sign = "-"
	}
	d = d.Abs().Round(time.Minute)
	switch {
	case d < 100*time.Minute:
		return fmt.Sprintf("%s%d min", sign, int(d/time.Minute))
	case d < 100*time.Hour:
		return fmt.Sprintf("%s%d h %02d", sign, int(d/time.Hour), int(d/time.Minute)%60)
	}
	return fmt.Sprintf("%s%d d", sign, int(d/(24*time.Hour)))
}

var (
	_ = command[AnchorClock]("clock-anchor")
	_ = command[StepClock]("clock-step")
	_ = command[NoteSleep]("machine-sleep")
	_ = command[ConfirmTime]("time")
	_ = fact[ClockAnchored]("clock-anchored")
	_ = fact[ClockStepped]("clock-stepped")
	_ = fact[MachineSlept]("machine-slept")
	_ = fact[TimeConfirmed]("time-confirmed")
)
