package cellar

import (
	"cmp"
	"slices"
	"sort"
	"time"

	"cellar.example/mustwatch/domain/subject"
	"cellar.example/mustwatch/domain/text"
)

// ClockID names one clock.
type ClockID string

// DueKind says what an instant means. Only act-at and not-after are alarms.
type DueKind string

// The three kinds of due.
const (
	ActAt     DueKind = "act-at"     // something is to be done then
	NotBefore DueKind = "not-before" // from then on it may be done; never overdue
	NotAfter  DueKind = "not-after"  // it must be done by then; the alarm comes before
)

// notAfterLead is how long before a not-after instant its alarm comes.
const notAfterLead = 15 * time.Minute

// ClockKind says what a clock counts. Actions answer clocks by kind.
type ClockKind string

// The kinds of clock.
const (
	KindContact   ClockKind = "contact"
	KindLook      ClockKind = "look again"
	KindReading   ClockKind = "reading"
	KindRoute     ClockKind = "route"
	KindCooling   ClockKind = "cooling" // a forecast: a notice, never an alarm
	KindSettling  ClockKind = "settling"
	KindFloat     ClockKind = "flotation run"
	KindCap       ClockKind = "float cap"
	KindHot       ClockKind = "hot hold"
	KindSkin      ClockKind = "skin contact"
	KindProgramme ClockKind = "press programme"
	KindFill      ClockKind = "press fill"
	KindTip       ClockKind = "tank fill"
	KindClean     ClockKind = "cleaning"
	KindMove      ClockKind = "move"
	KindPumpOver  ClockKind = "pump-over"
	KindPour      ClockKind = "weighed"
	KindCall      ClockKind = "call back"
	KindPromise   ClockKind = "promise"
	KindPermit    ClockKind = "permit"
	KindBreak     ClockKind = "break"
	KindShift     ClockKind = "shift end"
	KindOther     ClockKind = "other"
)

// AlarmClock is one running clock. Clocks are made by actions, end in a verb,
// never pause, and are answered by the action they ask for.
type AlarmClock struct {
	ID      ClockID     `json:"id"`
	Subject subject.Ref `json:"subject"`
	Kind    ClockKind   `json:"kind"`
	DueKind DueKind     `json:"due_kind"`
	Verb    string      `json:"verb"`
	Owner   Initials    `json:"owner,omitempty"`
	Start   time.Time   `json:"start"`
	Due     time.Time   `json:"due"`
	Until   time.Time   `json:"until,omitzero"`   // for a reading: void after this
	Object  string      `json:"object,omitempty"` // what the verb is done to: of "pour E-2204", the lot
	Permit  string      `json:"permit,omitempty"` // whose end it is
	Basis   text.Say    `json:"basis,omitzero"`
	Model   time.Time   `json:"model,omitzero"` // the forecast beside a card deadline
	Typed   bool        `json:"typed,omitempty"`
	Counted bool        `json:"counted,omitempty"` // typed as a length, not as a time of day

	Known          time.Time  `json:"-"` // when its due was written: nobody could hear of it before
	AcknowledgedBy Initials   `json:"-"`
	AcknowledgedAt time.Time  `json:"-"`
	FirstSeen      time.Time  `json:"-"` // of several times for one due
	Done           bool       `json:"-"` // answered or cancelled
	DoneBy         Initials   `json:"-"`
	DoneAt         time.Time  `json:"-"`
	How            text.Say   `json:"-"`
	MovedFor       text.Say   `json:"-"` // why its due is another one than it was set to
	Reminders      []Reminder `json:"-"` // for this due
	Derived        bool       `json:"-"` // it follows from what a vessel or a press holds
	Hand           bool       `json:"-"` // and somebody has given it another due,
	Off            bool       `json:"-"` // or has taken it off, or said that it is done
	made           Seq
	ground         Seq // the entry that it rests on
	ended          Seq // the record that answered it
	nth            int // of all that were ever made
}

// Name is what the clock is called in a list of what is due.
func (c *AlarmClock) Name() string { return c.Subject.Name + " " + c.Says() }

// Says is what is to be done when the clock ends.
func (c *AlarmClock) Says() string {
	if c.Kind == KindMove && c.Verb == "close" { // what runs is a valve at either end, and no press door
		return "close valves"
	}
	return VerbWords(c.Verb, c.Object)
}

// AlarmAt is the instant at which the clock raises an alarm; ok is false for a
// notice, which never does.
func (c *AlarmClock) AlarmAt() (t time.Time, ok bool) {
	switch c.DueKind {
	case ActAt:
		return c.Due, true
	case NotAfter:
		return c.Due.Add(-notAfterLead), true
	}
	return time.Time{}, false
}

// Rang is the instant from which the alarm could be heard: its own, or when it was
// written if its due had passed by then. How late a thing is counts from the due,
// how long nobody has taken the alarm from here. ok is false for a notice.
func (c *AlarmClock) Rang() (t time.Time, ok bool) {
	t, ok = c.AlarmAt()
	return laterOf(t, c.Known), ok
}

// Raised reports whether the clock is an alarm at now: due, not done and not put
// off. When it was written does not matter: a machine's clock that has gone back
// silences nothing.
func (c *AlarmClock) Raised(now time.Time) bool {
	t, ok := c.AlarmAt()
	_, off := c.Snoozed(now)
	return ok && !c.Done && !off && !now.Before(t)
}

// Clocks lists the clocks that are not done, by due, then by age. The list is
// made once after each record, for every row of every frame asks for it.
func (s *State) Clocks() []*AlarmClock {
	if s.open == nil {
		if done := func(c *AlarmClock) bool { return c.Done }; slices.ContainsFunc(s.going, done) {
			s.going = slices.DeleteFunc(slices.Clone(s.going), done) // a batch may look at the same list
		}
		s.open = append([]*AlarmClock{}, s.going...)
		slices.SortFunc(s.open, func(a, b *AlarmClock) int {
			return cmp.Or(a.Due.Compare(b.Due), cmp.Compare(a.nth,
				b.nth))
		})
	}
	return s.open
}

// starts takes a new clock in.
func (s *State) starts(c *AlarmClock) {
	c.nth = len(s.clockOrder)
	s.clocks[c.ID] = c
	s.clockOrder = append(s.clockOrder, c.ID)
	if !c.Derived {
		if s.setOn == nil {
			s.setOn = map[subject.Ref][]*AlarmClock{}
		}
		s.setOn[c.Subject] = append(s.setOn[c.Subject], c)
	}
	s.goes(c)
}

// goes lists a clock among those that run.
func (s *State) goes(c *AlarmClock) {
	if !slices.Contains(s.going, c) {
		s.going = append(s.going, c)
	}
	s.open = nil
}

// ClockByID finds any clock, done or not.
func (s *State) ClockByID(id ClockID) (*AlarmClock, bool) {
	c := s.clocks[id]
	return c, c != nil
}

// ClocksOf lists the open clocks of one subject, by due.
func (s *State) ClocksOf(of subject.Ref) []*AlarmClock {
	var out []*AlarmClock
	for _, c := range s.Clocks() {
		if c.Subject == of {
			out = append(out, c)
		}
	}
	return out
}

// clocksAt lists the clocks of one subject that ran at an instant, by due: what is
// written late is held against those, not against what was answered or set since.
func (s *State) clocksAt(of subject.Ref, at time.Time) []*AlarmClock {
	var out []*AlarmClock
	for _, c := range s.setOn[of] {
		if !c.Start.After(at) && (!c.Done || c.DoneAt.After(at)) {
			out = append(out, c)
		}
	}
	out = append(out, s.derivedAt(of, at)...)
	sort.SliceStable(out, func(i, j int) bool { return out[i].Due.Before(out[j].Due) })
	return out
}

func (s *State) openClock(of subject.Ref, kind ClockKind) *AlarmClock {
	for _, c := range s.Clocks() {
		if c.Subject == of && c.Kind == kind {
			return c
		}
	}
	return nil
}

// setClock makes a clock that starts at the instant of the decision.
func (d *decision) setClock(of subject.Ref, kind ClockKind, due DueKind, verb string, at time.Time,
	basis text.Say) *ClockSet {
	return &ClockSet{AlarmClock: AlarmClock{ID: ClockID(d.id("c")), Subject: of, Kind: kind, DueKind: due, Verb: verb,
		Owner: d.head.By, Start: d.at, Due: Instant(at), Basis: basis}}
}

// answer ends the open clocks of a subject of the given kinds.
func (d *decision) answer(of subject.Ref, how text.Say, kinds ...ClockKind) []Fact {
	var out []Fact
	for _, c := range d.s.Clocks() {
		if c.Subject != of {
			continue
		}
		for _, k := range kinds {
			if c.Kind == k && !c.Derived {
				out = append(out, &ClockAnswered{Clock: c.ID, How: how})
			}
		}
	}
	return out
}

// tested ends the clocks that ask for a test of a subject, as far as a check that
// was begun at an instant could answer them: not those of a later contact.
func (d *decision) tested(of subject.Ref, how text.Say, begun time.Time, kinds ...ClockKind) (out []Fact) {
	for _, f := range d.answer(of, how, kinds...) {
		c := d.s.clocks[f.(*ClockAnswered).Clock]
		if (c.Kind == KindContact || c.Kind == KindLook) && c.Start.After(begun) {
			continue
		}
		out = append(out, f)
	}
	return out
}

// ClockSet is a clock that runs from now on.
type ClockSet struct {
	AlarmClock
	field string // where its due was typed, "" when it was calculated; not kept
}

func (f *ClockSet) apply(s *State, r Record) {
	c := f.AlarmClock
	if c.Known = r.Written; c.Subject.Kind == "" && c.Kind == KindPermit {
		c.Subject = s.where(c.Subject.Name)
	}
	c.Subject, c.ground = s.formerly(c.Subject), r.Seq
	s.starts(&c)
	s.bump(string(c.ID))
	s.log(r, c.Subject, "clock: {verb} {when} {time}", c.Says(), s.when(c.DueKind), c.Due)
	s.storedChanged(r, &c)
}

func (s *State) when(k DueKind) string {
	switch k {
	case NotBefore:
		return "not before"
	case NotAfter:
		return "not after"
	}
	return "at"
}

// bump keeps the serial ahead of every name given.
func (s *State) bump(id string) {
	n := 0
	for _, r := range id {
		if r >= '0' && r <= '9' {
			n = n*10 + int(r-'0')
		}
	}
	if n > s.serial {
		s.serial = n
	}
}

// ClockMoved is a clock that has another due, or another forecast beside it.
type ClockMoved struct {
	Clock  ClockID   `json:"clock"`
	Was    time.Time `json:"was"`
	Due    time.Time `json:"due"`
	Start  time.Time `json:"start,omitzero"` // where it begins again
	Model  time.Time `json:"model,omitzero"`
	Basis  text.Say  `json:"basis,omitzero"`
	Reason string    `json:"reason,omitempty"`
	Typed  bool      `json:"typed,omitempty"`
	Owner  Initials  `json:"owner,omitempty"`
}

func (f *ClockMoved) apply(s *State, r Record) {
	c := s.clocks[f.Clock]
	if c == nil || c.Done {
		return
	}
	c.Model = f.Model
	if !f.Basis.IsZero() {
		c.Basis = f.Basis
	}
	if !f.Start.IsZero() {
		c.Start = f.Start
	}
	if f.Due.Equal(c.Due) {
		return
	}
	s.puts(c)
	s.endRun(c, laterOf(r.At, r.Written)) // dated back it rang anyway, until it was written
	c.Due, c.Known, c.Typed, c.MovedFor = f.Due, r.Written, c.Typed || f.Typed, text.Words(f.Reason)
	c.Reminders = nil
	c.AcknowledgedBy, c.AcknowledgedAt, c.FirstSeen = "", time.Time{}, time.Time{}
	if f.Owner != "" {
		c.Owner = f.Owner
	}
	s.follow(c)
	if c.Kind == KindProgramme {
		s.enter(r, f)
	}
	s.log(r, c.Subject, "{verb}: due {was} → {due}, {reason}", c.Says(), f.Was, f.Due, f.Reason)
}

// lines takes a press that runs along with the clock of its programme.
func (f *ClockMoved) lines(s *State, e *entry) []*line {
	c := s.clocks[f.Clock]
	due := e.when(f.Due)
	if c.byTimeOfDay() {
		due = f.Due
	}
	return s.press(e, TankNumber(c.Subject.Name), func(p *Press) {
		if p.State == PressRunning {
			p.End = due
		}
		p.Timers = slices.Clone(p.Timers)
		for i := range p.Timers {
			if p.Timers[i].id(c.Subject) == c.ID {
				p.Timers[i].Due = due
			}
		}
	})
}

// follow brings what a clock was made from to its due, so that both say the same.
func (s *State) follow(c *AlarmClock) {
	switch c.Kind {
	case KindPromise:
		for _, n := range s.Notes {
			if n.Clock == c.ID {
				n.Until = c.Due
			}
		}
	case KindBreak:
		s.change(Initials(c.Subject.Name), func(p *Presence) { p.Back = c.Due })
	case KindShift:
		if c.Subject == theShift {
			s.Shift.Ends = c.Due
		}
	}
}

// ClockAnswered is a clock ended by what it asked for.
type ClockAnswered struct {
	Clock ClockID  `json:"clock"`
	How   text.Say `json:"how"`
}

func (f *ClockAnswered) apply(s *State, r Record) {
	if c := s.clocks[f.Clock]; c != nil && !c.Done {
		c.Done, c.DoneBy, c.DoneAt, c.How, c.Off, c.ended = true, r.By, r.At, f.How, c.Derived, r.Seq
		s.storedChanged(r, c)
	}
}

// ClockCancelled is a clock taken off with a reason.
type ClockCancelled struct {
	Clock  ClockID `json:"clock"`
	Reason string  `json:"reason"`
}

func (f *ClockCancelled) apply(s *State, r Record) {
	if c := s.clocks[f.Clock]; c != nil && !c.Done {
		c.Done, c.DoneBy, c.DoneAt, c.How, c.Off = true, r.By, r.At, endTakenOff.Say(f.Reason), c.Derived
		s.storedChanged(r, c)
		s.log(r, c.Subject, "clock {verb:%q} taken off: {reason}", c.Says(), f.Reason)
	}
}

// ClockSeen is an alarm that a person has seen; it stays due, and comes back when
// nothing follows.
type ClockSeen struct {
	Clock ClockID `json:"clock"`
}

func (f *ClockSeen) apply(s *State, r Record) {
	if c := s.clocks[f.Clock]; c != nil && !c.Done {
		c.AcknowledgedBy, c.AcknowledgedAt = r.By, r.At
		if c.FirstSeen.IsZero() {
			c.FirstSeen = r.At
		}
		s.log(r, c.Subject, "{verb}: acknowledged", c.Says())
	}
}

var (
	_ = fact[ClockSet]("clock-set")
	_ = fact[ClockMoved]("clock-moved")
	_ = fact[ClockAnswered]("clock-answered")
	_ = fact[ClockCancelled]("clock-cancelled")
	_ = fact[ClockSeen]("clock-acknowledged")
)
