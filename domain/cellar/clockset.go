package cellar

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/stage"
	"cellar.example/mustwatch/domain/subject"
)

// SetClock sets a clock by hand.
type SetClock struct {
	Head
	Subject subject.Ref   `json:"subject"`
	Verb    string        `json:"verb"`
	Due     time.Time     `json:"due,omitzero"`
	In      quantity.Span `json:"in,omitzero"`
	What    DueKind       `json:"what,omitempty"` // act-at unless said
	ForKind ClockKind     `json:"kind,omitempty"`
	Owner   Initials      `json:"owner,omitempty"`
}

func (c *SetClock) decide(d *decision) ([]Fact, error) {
	if c.Subject.IsZero() {
		return nil, reject("subject", "subject", "type the vessel or the press, or what it is about")
	}
	if strings.TrimSpace(c.Verb) == "" {
		return nil, reject("verb", "verb", "say what to do when it rings: test, rack, look, call …")
	}
	of, err := d.s.resolve(c.Subject, "subject")
	if err != nil {
		return nil, err
	}
	due := Instant(c.Due)
	if c.Due.IsZero() {
		due = d.at.Add(c.In.Duration())
	}
	f := d.setClock(of, KindOther, ActAt, c.Verb, due, onTyped.Say()).typedIn("due")
	f.Typed, f.Counted = true, c.Due.IsZero()
	if v := d.s.vesselOf(of); v != nil && (c.What == NotBefore || c.What == NotAfter) {
		switch v.Now.Stage { // what may stand neither too short nor too long: its bounds
		case stage.SkinContact:
			f.AlarmClock.Kind = KindSkin
		case stage.HotHold:
			f.AlarmClock.Kind = KindHot
		}
	}
	if c.ForKind != "" {
		if !slices.Contains(clockKinds, c.ForKind) {
			return nil, reject("kind", "kind", "{kind:%q} is not a kind of clock; choose from {clock_kinds}", c.ForKind,
				clockKinds)
		}
		f.AlarmClock.Kind = c.ForKind
	}
	if c.Owner != "" {
		if err := d.crew(c.Owner, "owner"); err != nil {
			return nil, err
		}
		f.Owner = c.Owner
	}
	switch c.What {
	case "", ActAt:
	case NotBefore, NotAfter:
		f.DueKind = c.What
	default:
		return nil, reject("what", "what", "type act-at, not-before or not-after, not {what:%q}", c.What)
	}
	return []Fact{f}, nil
}

// MoveClock gives a running clock another due, with a reason. Without Clock it
// means the only clock of the subject, or the one that verb, due or line tell (clockpick.go).
type MoveClock struct {
	Head
	Clock   ClockID     `json:"clock,omitempty"`
	Subject subject.Ref `json:"subject,omitzero"`
	Verb    string      `json:"verb,omitempty"`
	Was     time.Time   `json:"was,omitzero"` // the due that it has
	Of      LineName    `json:"of,omitzero"`  // the line that it rests on
	Due     time.Time   `json:"due,omitzero"`
	Reason  string      `json:"reason"`
	Off     bool        `json:"off,omitempty"`  // take it off instead
	Done    bool        `json:"done,omitempty"` // it was done; nothing else to write
	Owner   Initials    `json:"owner,omitempty"`
}

func (c *MoveClock) decide(d *decision) ([]Fact, error) {
	k, err := d.clock(clockPick{c.Clock, c.Subject, c.Verb, c.Was, c.Of})
	if err != nil {
		return nil, err
	}
	if err := c.answeredElsewhere(d, k); err != nil {
		return nil, err
	}
	if c.Done {
		return []Fact{&ClockAnswered{Clock: k.ID, How: orDone(c.Reason)}}, nil
	}
	if strings.TrimSpace(c.Reason) == "" {
		return nil, reject("reason", "reason", "say why you move the clock")
	}
	if c.Off {
		return []Fact{&ClockCancelled{Clock: k.ID, Reason: c.Reason}}, nil
	}
	if c.Owner != "" {
		if err := d.crew(c.Owner, "owner"); err != nil {
			return nil, err
		}
	}
	due := Instant(c.Due)
	if c.Due.IsZero() {
		return nil, reject("length", "due", "type when it is due: 1 minute to 30 days after {time}", d.says(d.now))
	}
	if err := d.ahead("due", k, due); err != nil {
		return nil, err
	}
	if !k.Until.IsZero() && due.After(k.Until) {
		return nil, reject("void", "due", "the reading is void after {time}; a new test has its own clock",
			d.says(k.Until))
	}
	return []Fact{&ClockMoved{Clock: k.ID, Was: k.Due, Due: due, Basis: onTyped.Say(), Reason: c.Reason, Typed: true,
		Owner: c.Owner}}, nil
}

// answeredElsewhere refuses to tick off, or to put elsewhere, what only its own
// entry answers: tubes by their reading, a contact by its check, the end of a permit
// by handing it back. Nobody else would be called then.
func (c *MoveClock) answeredElsewhere(d *decision, k *AlarmClock) error {
	v := d.s.vesselOf(k.Subject)
	switch p := d.s.openPermit(k.Permit); {
	case c.Done && k.Kind == KindReading && v != nil && v.Now.Check() != nil:
		return reject("reading", "clock", "the tubes of {subject} are not read yet: read them, or take the clock "+
			"off with a reason", k.Subject)
	case c.Done && k.Kind == KindContact && v != nil && !v.Now.Stage.Empty():
		return reject("contact", "clock", "a contact ends with its pectin test (c); without a test, take the clock "+
			"off with a reason")
	case p != nil && k.Kind == KindPermit && (c.Done || c.Off):
		return reject("permit", "clock", "permit {number} for {place} ends when it is handed back: save its end",
			p.Number, p.Place)
	case p != nil && k.Kind == KindPermit:
		return reject("permit", "due", "permit {number} says {time} on paper: hand it back and save the new one",
			p.Number, d.says(p.Until))
	}
	return nil
}

func firstWords(s, or string) string {
	if s == "" {
		return or
	}
	return s
}

// doneWords say who has done what a clock asked for, and when.
func (s *State) doneWords(c *AlarmClock) string {
	return fmt.Sprintf("%s on %s has ended: %s at %s, %s", c.Says(), c.Subject, c.DoneBy, s.Clock(c.DoneAt),
		s.Words(c.How))
}

// See acknowledges a due clock by name. The first one counts.
type See struct {
	Head
	Clock   ClockID     `json:"clock,omitempty"`
	Subject subject.Ref `json:"subject,omitzero"`
	Verb    string      `json:"verb,omitempty"`
	Was     time.Time   `json:"was,omitzero"` // the due that it has
	Of      LineName    `json:"of,omitzero"`  // the line that it rests on
}

func (c *See) decide(d *decision) ([]Fact, error) {
	k, err := d.clock(clockPick{c.Clock, c.Subject, c.Verb, c.Was, c.Of})
	if err != nil {
		return nil, err
	}
	if d.s.Taken(k, d.now) {
		return nil, reject("acknowledged", "clock", "{seen_by} acknowledged it at {time}", k.AcknowledgedBy,
			d.says(k.AcknowledgedAt))
	}
	if off, ok := k.Snoozed(d.now); ok {
		return nil, reject("snoozed", "clock", "{who} snoozed it until {time}: {reason}", off.By, d.says(off.Until),
			off.Reason)
	}
	if !k.Raised(d.now) {
		return nil, reject("not-due", "clock", "{verb} on {subject} is not due before {time}", k.Says(), k.Subject,
			d.says(k.Due))
	}
	if rang, _ := k.Rang(); d.at.Before(rang) {
		return nil, reject("not-due", "at", "{verb} on {subject} rang at {time}; type a time from then to {now}",
			k.Says(), k.Subject, d.says(rang), d.says(d.now))
	}
	return []Fact{&ClockSeen{Clock: k.ID}}, nil
}

var (
	_ = command[SetClock]("clock")
	_ = command[MoveClock]("clock-move")
	_ = command[See]("acknowledge")
)
