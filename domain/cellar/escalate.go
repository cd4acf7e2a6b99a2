package cellar

import (
	"slices"
	"time"

	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/subject"
)

// Escalate is what follows when nobody takes an alarm: the bell again, the next
// person, a program. Which program is no matter of the journal, for what is run on a
// machine is said on that machine; only when is. Lengths count from when it could be heard (AlarmClock.RingsAt).
type Escalate struct {
	Repeat []quantity.Span `json:"repeat,omitempty" toml:"repeat"` // the bell again
	Call   []Initials      `json:"call,omitempty" toml:"call"`     // whom to call, in order
	// from then on their initials are shown
	CallAfter    quantity.Span `json:"call_after,omitzero" toml:"call_after"`
	CommandAfter quantity.Span `json:"command_after,omitzero" toml:"command_after"` // when it is run
	// seen and nothing done: it comes back
	AcknowledgedFor quantity.Span `json:"acknowledged_for,omitzero" toml:"acknowledged_for"`
}

// The lengths of a house that sets none (common practice, no source).
const (
	callAfter = 15 * time.Minute
	seenFor   = maxRemind // what is only seen is left alone for no longer than what is snoozed
)

// atKeys is for how long somebody who wrote counts as at the keys: the top line
// Stands before their eyes (common practice, no source).
const atKeys = 5 * time.Minute

func (e Escalate) repeats() []quantity.Span {
	if e.Repeat == nil {
		return []quantity.Span{minutes(5), minutes(15)}
	}
	return e.Repeat
}

func orSpan(a quantity.Span, b time.Duration) time.Duration {
	if a != 0 {
		return a.Duration()
	}
	return b
}

// with overlays what o names.
func (e Escalate) with(o Escalate) Escalate {
	if o.Repeat != nil {
		e.Repeat = o.Repeat
	}
	if o.Call != nil {
		e.Call = o.Call
	}
	if o.CallAfter != 0 {
		e.CallAfter = o.CallAfter
	}
	if o.CommandAfter != 0 {
		e.CommandAfter = o.CommandAfter
	}
	if o.AcknowledgedFor != 0 {
		e.AcknowledgedFor = o.AcknowledgedFor
	}
	return e
}

func (e Escalate) check(h House) error {
	for _, x := range append(slices.Clone(e.Repeat), e.CallAfter, e.CommandAfter, e.AcknowledgedFor) {
		if n := x.Duration(); n != 0 && (n < minClock || n > UsualShift) || n == 0 && slices.Contains(e.Repeat, x) {
			return reject("escalate", "escalate",
				"follow up an unanswered alarm after 1 minute to 12 hours, not {what}", x)
		}
	}
	for _, who := range e.Call {
		if _, ok := h.Person(who); !ok {
			return reject("escalate", "escalate", "{who:%q} is to be called but is not on the list of people; "+
				"choose from {initials}", who, h.initialsList())
		}
	}
	return nil
}

// StepKind is what a step of an escalation does.
type StepKind string

// The steps, in the order in which they usually come.
const (
	StepRing StepKind = "ring" // the bell again
	StepCall StepKind = "call" // the next person's initials
)

// EscalationStep is one step that is due. Clock, Rang, Kind and N together name
// it: a step is taken once.
type EscalationStep struct {
	Clock   ClockID   // or the key of an emergency
	Rang    time.Time // from when it is followed up
	Kind    StepKind
	N       int // of several rings
	At      time.Time
	Subject subject.Ref
	Verb    string
	Call    Initials // whom to call, "" when nobody is named

	Emergency bool // it is no clock's
}

// Taken reports whether somebody has an alarm in hand at now: who has seen it and
// does nothing has it for the house's length, or until it comes back from being put
// off.
func (s *State) Taken(c *AlarmClock, now time.Time) bool {
	rings, _ := c.RingsAt()
	return c.AcknowledgedBy != "" && !c.AcknowledgedAt.Before(rings) && now.Before(c.AcknowledgedAt.Add(s.seenFor()))
}

func (s *State) seenFor() time.Duration { return orSpan(s.House.Escalate.AcknowledgedFor, seenFor) }

// Escalation lists the steps that are due at now for every alarm nobody has
// taken, by their time. One that was seen and left comes back with the bell, and is
// followed up from then. It is pure: which steps were taken is the caller's.
func (s *State) Escalation(now time.Time) (out []EscalationStep) {
	e := s.House.Escalate
	out = s.emergencySteps(now)
	for _, c := range s.Alarms(now) {
		if s.Taken(c, now) {
			continue
		}
		rang, _ := c.RingsAt()
		back := c.AcknowledgedBy != "" && !c.AcknowledgedAt.Before(rang)
		if back {
			rang = c.AcknowledgedAt.Add(s.seenFor())
		}
		add := func(kind StepKind, n int, after time.Duration) {
			if at := rang.Add(after); !now.Before(at) {
				out = append(out, EscalationStep{Clock: c.ID, Rang: rang, Kind: kind, N: n, At: at, Subject: c.Subject,
					Verb: c.Says(), Call: s.nextPerson(c.Owner, now)})
			}
		}
		for i, x := range e.repeats() {
			add(StepRing, i, x.Duration())
		}
		if back {
			add(StepRing, len(e.repeats()), 0)
		}
		add(StepCall, 0, orSpan(e.CallAfter, callAfter))
	}
	slices.SortStableFunc(out, func(a, b EscalationStep) int { return a.At.Compare(b.At) })
	return out
}

// emergencySteps are those of what nobody can take, only end: the bell at once and
// every minute, and at once whom to call.
func (s *State) emergencySteps(now time.Time) (out []EscalationStep) {
	for _, e := range s.Emergencies(now) {
		if now.Before(e.Rings) {
			continue
		}
		n := int(now.Sub(e.Rings) / emergencyRings)
		step := EscalationStep{Clock: ClockID(e.Key()), Rang: e.Rings, Kind: StepRing, N: n,
			At:      e.Rings.Add(time.Duration(n) * emergencyRings),
			Subject: s.RefOf(e), Verb: emergencyVerb, Call: s.nextPerson("", now), Emergency: true}
		out = append(out, step)
		step.Kind, step.N, step.At = StepCall, 0, e.Rings
		out = append(out, step)
	}
	return out
}

// emergencyRings is how often the bell rings while an emergency stands (common
// practice, no source).
const emergencyRings = time.Minute

// emergencyVerb stands where a clock's verb does.
const emergencyVerb = "EMERGENCY"

// nextPerson is who comes after the owner of an alarm: the house's list, or the
// lead of the shift. Who is on break is passed over while there is another; who is
// writing sees it without being called.
func (s *State) nextPerson(owner Initials, now time.Time) Initials {
	list := s.House.Escalate.Call
	if lead := s.Shift.Leads(); len(list) == 0 && lead != "" {
		list = []Initials{lead}
	}
	var onBreak Initials
	for _, who := range list {
		p, here := s.Present(who)
		switch {
		case who == owner || s.atKeys(who, now):
		case here && p.Break:
			onBreak = firstWho(onBreak, who)
		default:
			return who
		}
	}
	return onBreak
}

func (s *State) atKeys(who Initials, now time.Time) bool {
	last, ever := s.wrote[who]
	return ever && !last.After(now) && now.Sub(last) < atKeys
}
