package cellar

import (
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/subject"
	"cellar.example/mustwatch/domain/text"
)

// NoteKind says what a note is for.
type NoteKind string

// The kinds of note. A promise has somebody and a time; an incident prints
// under what happened; a safety note prints in the safety block.
const (
	NoteInfo     NoteKind = "info"
	NotePromise  NoteKind = "promise"
	NoteQuestion NoteKind = "question"
	NoteWarning  NoteKind = "warning"
	NoteIncident NoteKind = "incident"
	NoteSafety   NoteKind = "safety"
)

// maxNote is the length of a note, in characters.
const maxNote = 240

// Note is something somebody wrote down about something.
type Note struct {
	ID      string      `json:"id"`
	Subject subject.Ref `json:"subject"`
	Text    string      `json:"text"`
	What    NoteKind    `json:"what"`
	For     string      `json:"for,omitempty"`
	Until   time.Time   `json:"until,omitzero"`
	Clock   ClockID     `json:"clock,omitempty"`  // of a promise
	Pinned  bool        `json:"pinned,omitempty"` // it stays on the sheet until it is done with

	Seq    Seq       `json:"-"`
	At     time.Time `json:"-"`
	By     Initials  `json:"-"`
	Done   bool      `json:"-"`
	DoneBy Initials  `json:"-"`
	DoneAt time.Time `json:"-"`
}

// WriteNote writes a note.
type WriteNote struct {
	Head
	Subject subject.Ref `json:"subject,omitzero"` // a number, a press, a load, or words; empty = the cellar
	Text    string      `json:"text"`
	What    NoteKind    `json:"what,omitempty"`
	For     string      `json:"for,omitempty"`
	Until   time.Time   `json:"until,omitzero"`
	Pinned  bool        `json:"pinned,omitempty"` // it stays on the sheet until it is done with
}

func (c *WriteNote) decide(d *decision) ([]Fact, error) {
	if c.Text == "" {
		return nil, reject("text", "text", "type the note")
	}
	if n := utf8.RuneCountInString(c.Text); n > maxNote {
		return nil, reject("text", "text", "a note has at most {max_note} characters; this one has {count}", maxNote, n)
	}
	of, err := theCellar, error(nil)
	if !c.Subject.IsZero() {
		if of, err = d.s.resolve(c.Subject, "subject"); err != nil {
			return nil, err
		}
	}
	n := Note{ID: d.id("n"), Subject: of, Text: c.Text, What: c.What, For: c.For, Until: Instant(c.Until),
		Pinned: c.Pinned}
	if n.What == "" {
		n.What = NoteInfo
	}
	if c.Until.IsZero() {
		n.Until = time.Time{}
	}
	switch n.What {
	case NoteInfo, NoteQuestion, NoteWarning, NoteIncident, NoteSafety:
	case NotePromise:
		if n.Until.IsZero() || n.For == "" {
			return nil, reject("promise", "until", "a promise needs a person and a time: who does it, by when?")
		}
	default:
		return nil, reject("what", "what", "a note is info, promise, question, warning, incident or safety, not "+
			"{what:%q}", n.What)
	}
	facts := []Fact{}
	if n.What == NotePromise {
		k := d.setClock(n.Subject, KindPromise, ActAt, "promise", n.Until, text.Words(n.Text)).typedIn("until")
		k.Owner = Initials(n.For)
		n.Clock = k.ID
		if !n.Until.After(d.at) {
			return nil, reject("until", "until", "{time} is past; type a time still to come", d.says(n.Until))
		}
		facts = append(facts, k)
	}
	return append([]Fact{&Noted{n}}, facts...), nil
}

// Noted is a note that stands.
type Noted struct{ Note }

func (f *Noted) apply(s *State, r Record) {
	n := f.Note
	n.Subject = s.formerly(n.Subject)
	n.Seq, n.At, n.By = r.Seq, r.At, r.By
	s.Notes = append(s.Notes, &n)
	s.bump(n.ID)
	s.log(r, n.Subject, "{kind}: {text}", n.What, n.Text)
}

// EndNote ticks off a note or a promise.
type EndNote struct {
	Head
	Note    string      `json:"note,omitempty"` // its id, or
	Subject subject.Ref `json:"subject,omitzero"`
	What    NoteKind    `json:"what,omitempty"`
	Was     time.Time   `json:"was,omitzero"` // until when it is promised
	Of      LineName    `json:"of,omitzero"`  // the line that wrote it
}

func (c *EndNote) decide(d *decision) ([]Fact, error) {
	last, err := d.note(c)
	if err != nil {
		return nil, err
	}
	facts := []Fact{&NoteEnded{Note: last.ID}}
	if k := d.s.clockOf(last); k != nil {
		facts = append(facts, &ClockAnswered{Clock: k.ID, How: endDone.Say()})
	}
	return facts, nil
}

// clockOf is the open clock of a promise, nil for none. A note of an older journal
// does not name it: there it is the one of the subject with the words of the note,
// the one with its time, or one that was put elsewhere, in that order.
func (s *State) clockOf(n *Note) *AlarmClock {
	if n.What != NotePromise {
		return nil
	}
	if n.Clock != "" {
		if k := s.clocks[n.Clock]; k != nil && !k.Done {
			return k
		}
		return nil
	}
	var like *AlarmClock
	best := 0
	for _, k := range s.ClocksOf(n.Subject) {
		fits := 0
		switch {
		case k.Kind != KindPromise || slices.ContainsFunc(s.Notes, func(o *Note) bool { return o.Clock == k.ID }):
		case k.Basis.Same(text.Words(n.Text)):
			fits = 3
		case k.Due.Equal(n.Until):
			fits = 2
		case onTyped.Is(k.Basis):
			fits = 1
		}
		if fits > best {
			like, best = k, fits
		}
	}
	return like
}

// PromiseOf is the open promise that an open clock calls for; ok is false for any
// other clock.
func (s *State) PromiseOf(c *AlarmClock) (n *Note, ok bool) {
	for _, n := range s.OpenNotes(c.Subject) {
		if s.clockOf(n) == c {
			return n, true
		}
	}
	return nil, false
}

// NoteEnded is a note that is done with.
type NoteEnded struct {
	Note string `json:"note"`
}

func (f *NoteEnded) apply(s *State, r Record) {
	for _, n := range s.Notes {
		if n.ID == f.Note {
			n.Done, n.DoneBy, n.DoneAt = true, r.By, r.At
			s.log(r, n.Subject, "done: {text}", n.Text)
		}
	}
}

// Stays reports whether a note stands until it is done with. Information and what happened
// are told in their own shift and then fall off its sheet, unless they are pinned.
func (n *Note) Stays() bool {
	return n.Pinned || n.What != NoteInfo && n.What != NoteIncident
}

// StandingNotes lists the notes that are not done with and stand still, of one subject or,
// with none, of all: those that stay, and those of the last shift.
func (s *State) StandingNotes(of subject.Ref) []*Note {
	return slices.DeleteFunc(s.OpenNotes(of), func(n *Note) bool {
		return !n.Stays() && n.At.Before(s.Shift.Started)
	})
}

// OpenNotes lists the notes not done with, of one subject or, with none, of all.
func (s *State) OpenNotes(of subject.Ref) []*Note {
	var out []*Note
	for _, n := range s.Notes {
		if !n.Done && (of.IsZero() || n.Subject == of) {
			out = append(out, n)
		}
	}
	return out
}

// HoldVessel says that a vessel must not move until a named person releases it.
type HoldVessel struct {
	Head
	Vessel   TankNumber `json:"vessel"`
	Reason   string     `json:"reason"`
	Releaser Initials   `json:"releaser"`
	Tag      string     `json:"tag,omitempty"`
	Until    time.Time  `json:"until,omitzero"`
}

func (c *HoldVessel) decide(d *decision) ([]Fact, error) {
	v, err := d.vessel(c.Vessel, "vessel")
	if err != nil {
		return nil, err
	}
	if v.Hold != nil {
		return nil, reject("held", "vessel", "{tank} is already on hold: {reason}; {releaser} to release", v.Number,
			v.Hold.Reason, v.Hold.Releaser)
	}
	if strings.TrimSpace(c.Reason) == "" {
		return nil, reject("reason", "reason", "say why {tank} must not move", v.Number)
	}
	if _, ok := d.s.House.Person(c.Releaser); !ok {
		return nil, reject("releaser", "releaser", "type who can release it: one of {initials}",
			d.s.House.initialsList())
	}
	return []Fact{&WasHeld{Vessel: v.Number, Hold: Hold{Reason: c.Reason, Releaser: c.Releaser, Tag: c.Tag,
		Until: c.Until}}}, nil
}

// WasHeld is a vessel put on hold.
type WasHeld struct {
	Vessel TankNumber `json:"vessel"`
	Hold
}

func (f *WasHeld) apply(s *State, r Record) {
	s.enter(r, f)
	s.log(r, vesselRef(f.Vessel), "ON HOLD: {reason}; {releaser} to release", f.Reason, f.Releaser)
}

func (f *WasHeld) lines(s *State, e *entry) []*line {
	h := f.Hold
	h.Seq, h.At, h.By = e.Seq, e.At, e.By
	return s.act(e, f.Vessel, func(a *acts) {
		if a.begins(e.Seq) {
			a.holds = append(a.holds, &h)
		}
	})
}

// RuleAnswered is a rule that spoke and was answered, or broken by what had
// happened already.
type RuleAnswered struct {
	Subject subject.Ref `json:"subject"`
	What    text.Say    `json:"what"`
	Rule    gate.Code   `json:"rule"`
	Of      subject.Ref `json:"of,omitzero"` // of what its finding was, and at which field
	Field   string      `json:"field,omitempty"`
	Stop    bool        `json:"stop"`
	Said    text.Say    `json:"said"`
	By      Initials    `json:"answer_by"`
	Second  Initials    `json:"second,omitempty"`
	Reason  string      `json:"reason,omitempty"`
	Broken  bool        `json:"broken,omitempty"`
}

func (f *RuleAnswered) apply(s *State, r Record) {
	a := Answered{Seq: r.Seq, At: r.At, Subject: s.formerly(f.Subject), What: f.What, Rule: f.Rule, Of: f.Of,
		Field: f.Field, Stop: f.Stop, Said: f.Said,
		By: f.By, Second: f.Second, Reason: f.Reason, Broken: f.Broken}
	a.ToConfirm = f.Stop && !s.may(string(f.By), gate.Lead)
	who := string(f.By)
	if f.By != r.By {
		a.SavedBy, who = r.By, who+" (saved by "+string(r.By)+")"
	}
	if f.Second != "" {
		who += " and " + string(f.Second)
	}
	s.Answered = append(s.Answered, a)
	s.log(r, a.Subject, "{rule}: {said} {who}: {reason}", f.Rule, f.Said, who, firstWords(f.Reason,
		"taken"))
}

// Stopped is something a rule stopped and that was left alone: a near miss.
type Stopped struct {
	Subject subject.Ref `json:"subject"`
	What    text.Say    `json:"what"`
	Rule    gate.Code   `json:"rule"`
	Why     text.Say    `json:"why"`
}

func (f *Stopped) apply(s *State, r Record) {
	of := s.formerly(f.Subject)
	s.Stopped = append(s.Stopped, NearMiss{Seq: r.Seq, At: r.At, By: r.By, Subject: of, What: f.What, Rule: f.Rule,
		Why: f.Why})
	s.log(r, of, "stopped: {what} ({rule}) {why}", f.What, f.Rule, f.Why)
}

var (
	_ = command[WriteNote]("note")
	_ = command[EndNote]("note-done")
	_ = command[HoldVessel]("hold")
	_ = fact[Noted]("noted")
	_ = fact[NoteEnded]("note-ended")
	_ = fact[WasHeld]("put-on-hold")
	_ = fact[RuleAnswered]("rule-answered")
	_ = fact[Stopped]("stopped")
)
