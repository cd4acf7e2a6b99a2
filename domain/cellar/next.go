package cellar

import (
	"fmt"
	"sort"
	"time"

	"cellar.example/mustwatch/domain/contact"
	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/stage"
	"cellar.example/mustwatch/domain/subject"
	"cellar.example/mustwatch/domain/text"
)

// Due is one line of what is due: a clock, or a load that is expected.
type Due struct {
	Subject        subject.Ref
	Verb           string
	At             time.Time
	Kind           DueKind
	Owner          Initials
	Clock          ClockID // "" for a load and for a notice
	Raised         bool    // it is an alarm now
	AcknowledgedBy Initials
	Taken          bool // seen, and the seeing still holds
	Basis          string
	Until          time.Time // void, for a reading
	Amiss          bool      // of notices: what was written does not add up, or is not what the sheet said
	Notice         string    // what is amiss, in a word or two; "" for a clock or a load
	Again          time.Time // it was snoozed until then
	Folded         []Due     // it is the one line of so many that are older; At is the oldest's
}

// Next lists what is due, the raised ones first, each group by time. Loads that
// are expected and not seen stand among them, and what is worth a look. What is older than
// this shift and the last is one line of them, by its count (older.go).
func (s *State) Next(now time.Time) []Due {
	var out []Due
	if !s.Season.Closed.IsZero() {
		return nil
	}
	for _, c := range s.Clocks() {
		if c.Kind == KindCooling && !now.Before(c.Due) {
			continue // a forecast that has passed says nothing any more
		}
		if _, runs := s.Running(TankNumber(c.Subject.Name)); runs && c.Subject.Kind == subject.Vessel &&
			c.DueKind == NotBefore {
			continue // what may be done is being done
		}
		off, _ := c.Snoozed(now)
		out = append(out, Due{Subject: c.Subject, Verb: c.Says(), At: c.Due, Kind: c.DueKind, Owner: c.Owner,
			Clock:  c.ID,
			Raised: c.Raised(now), AcknowledgedBy: c.AcknowledgedBy, Taken: s.Taken(c, now),
			Basis: s.At(now).Words(c.Basis),
			Until: c.Until,
			Again: off.Until})
	}
	for _, l := range s.Loads {
		if l.State == LoadExpected && !l.Booked.IsZero() {
			out = append(out, Due{Subject: l.Ref(), Verb: "load due", At: l.Booked, Kind: NotBefore, Basis: "booked"})
		}
	}
	out = append(out, s.notices(now)...)
	sort.SliceStable(out, func(i, j int) bool {
		if out[i].Raised != out[j].Raised {
			return out[i].Raised
		}
		if a, b := out[i].Notice != "", out[j].Notice != ""; a != b {
			return b // what is only worth a look stands behind what is due
		}
		if out[i].Amiss != out[j].Amiss {
			return out[i].Amiss
		}
		return out[i].At.Before(out[j].At)
	})
	return s.fold(out, now)
}

// Alarms lists the raised clocks: those of this shift and the last before what is older,
// those nobody has taken first, each group by due.
func (s *State) Alarms(now time.Time) []*AlarmClock {
	var out []*AlarmClock
	for _, c := range s.Clocks() {
		if c.Raised(now) {
			out = append(out, c)
		}
	}
	sort.SliceStable(out, func(i, j int) bool {
		if a, b := s.Older(out[i], now), s.Older(out[j], now); a != b {
			return b
		}
		if a, b := s.Taken(out[i], now), s.Taken(out[j], now); a != b {
			return b
		}
		return out[i].first() < out[j].first()
	})
	return out
}

// first ranks what comes before all else that is due: an open valve.
func (c *AlarmClock) first() int {
	if c.Kind == KindMove {
		return 0
	}
	return 1
}

// CameDue lists the clocks that fell due after from and not after to, by due:
// what came due while no board ran.
func (s *State) CameDue(from, to time.Time) []*AlarmClock {
	var out []*AlarmClock
	for _, c := range s.Clocks() {
		t := c.Due
		if c.DueKind == NotAfter {
			t = c.Due.Add(-notAfterLead)
		}
		if t.After(from) && !t.After(to) {
			out = append(out, c)
		}
	}
	return out
}

// Overdue is how far past its due an act-at or not-after clock is, zero when it
// is not. A not-before instant is never overdue.
func (c *AlarmClock) Overdue(now time.Time) time.Duration {
	if c.DueKind == NotBefore || now.Before(c.Due) {
		return 0
	}
	return now.Sub(c.Due)
}

// Mark is how urgent a standing is. It is always shown with a word.
type Mark int

// The marks.
const (
	MarkCalm Mark = iota
	MarkSoon      // due within a quarter of an hour
	MarkDue       // an alarm that somebody has taken, or a reading to take now
	MarkOver      // an alarm nobody has taken
	MarkHeld
)

// Standing is the one thing a vessel's row says: a verb with its instant, or
// the reason why nothing can be done.
type Standing struct {
	Text  string // "test", "can be racked", "filling" …
	At    time.Time
	Kind  DueKind
	Until time.Time
	Clock ClockID
	Mark  Mark
	Can   bool // nothing is in the way of what the text names
	Route bool // nobody has said yet how the juice is to be cleared
}

// soonWithin is how near a due must be to be marked.
const soonWithin = 15 * time.Minute

// StandingOf says the one thing about a vessel at now.
func (s *State) StandingOf(v *Vessel, now time.Time) Standing {
	if in, ok := s.Inhabited(v.Number); ok {
		return Standing{Text: s.Words(in.Short()), Mark: MarkOver}
	}
	if v.Hold != nil {
		return Standing{Text: "HOLD, " + string(v.Hold.Releaser) + " to release", Mark: MarkHeld}
	}
	if k := s.firstClock(v.Ref()); k != nil {
		first := s.notBefore(v.Ref())
		if k.DueKind != NotAfter || k.Raised(now) || first == nil || !now.Before(first.Due) || first.Kind != k.Kind {
			return s.clockStanding(k, now)
		}
	}
	c := &v.Now
	if m, ok := s.Running(v.Number); ok {
		text := "runs to"
		for _, p := range m.To {
			text += " " + string(p.Vessel)
		}
		return Standing{Text: text}
	}
	if _, _, ok := s.StartedByItself(v); ok {
		return Standing{Text: Started, Mark: MarkSoon}
	}
	if k := s.notBefore(v.Ref()); k != nil {
		if now.Before(k.Due) {
			return Standing{Text: k.Says(), At: k.Due, Kind: NotBefore, Clock: k.ID}
		}
		return Standing{Text: CanBe(k.Says()), Can: true}
	}
	if text := s.ordered(v, now); text != "" {
		return Standing{Text: text}
	}
	return s.idle(v, c, now)
}

// CanBe says of what a verb asks for that it can be done from now on: "can be racked". A verb in
// somebody's own words stays as it is.
func CanBe(verb string) string {
	if done, ok := participles[verb]; ok {
		return "can be " + done
	}
	return "can now " + verb
}

var participles = map[string]string{"rack": "racked", "float": "floated", "settle": "settled", "drain": "drained",
	"press": "pressed",
	"test":  "tested", "read": "read", "dose": "dosed", "inoculate": "inoculated", "move": "moved",
	"inspect": "inspected", "empty": "emptied",
	"pump over": "pumped over", "cool down": "cooled down"}

// ordered is what somebody has said is to be done with a vessel that waits.
func (s *State) ordered(v *Vessel, now time.Time) string {
	for _, o := range s.OpenOrders(v.Number, now) {
		if o.Act != ActOther {
			return fmt.Sprintf("%s, %s's order", o.Act, o.From)
		}
	}
	return ""
}

func (s *State) firstClock(of subject.Ref) *AlarmClock {
	for _, k := range s.ClocksOf(of) {
		if k.DueKind != NotBefore {
			return k
		}
	}
	return nil
}

// testClock is the clock of the test that ends a contact, among those of a vessel,
// or nil. Others may run there, and say nothing of the contact.
func testClock(clocks []*AlarmClock) *AlarmClock {
	for _, k := range clocks {
		if k.Kind == KindContact || k.Kind == KindLook || k.Verb == VerbTest {
			return k
		}
	}
	return nil
}

func (s *State) notBefore(of subject.Ref) *AlarmClock { return firstNotBefore(s.ClocksOf(of)) }

func firstNotBefore(clocks []*AlarmClock) *AlarmClock {
	for _, k := range clocks {
		if k.DueKind == NotBefore && k.Kind != KindCooling {
			return k
		}
	}
	return nil
}

func (s *State) clockStanding(k *AlarmClock, now time.Time) Standing {
	st := Standing{Text: k.Says(), At: k.Due, Kind: k.DueKind, Until: k.Until, Clock: k.ID}
	if off, ok := k.Snoozed(now); ok {
		return Standing{Text: k.Says() + " again", At: off.Until, Kind: ActAt, Clock: k.ID, Mark: MarkDue}
	}
	switch {
	case k.Raised(now) && !s.Taken(k, now):
		st.Mark = MarkOver
	case k.Raised(now):
		st.Mark = MarkDue
	case k.Due.Sub(now) <= soonWithin:
		st.Mark = MarkSoon
	}
	if k.Kind == KindReading && !k.Until.IsZero() && now.After(k.Until) {
		st.Text = "void, test again"
	}
	return st
}

// idle is what a vessel without a clock waits for.
func (s *State) idle(v *Vessel, c *Content, now time.Time) Standing {
	if k, ok := s.ContactOf(v, now); ok {
		switch {
		case k.Open:
			return Standing{Text: "filling, no due time"}
		case k.ModelWhy == contact.NoTemperature:
			return Standing{Text: "read temperature"}
		case k.ModelWhy != "":
			return Standing{Text: "no due time: " + string(k.ModelWhy)}
		}
	}
	switch c.Stage {
	case stage.Filling:
		return Standing{Text: s.fillsFrom(v)}
	case stage.Waiting:
		return s.waits(v, c)
	case stage.Racked:
		return Standing{Text: "inoculate"}
	case stage.SkinContact, stage.DrawingOff:
		return Standing{Text: "drain or press"}
	case stage.CooledBack:
		return Standing{Text: "dose or press"}
	case stage.Contact:
		return Standing{Text: "no due time"}
	}
	return Standing{}
}

// undecided is what stands at juice that is to be cleared and nobody has said how.
const undecided = "settle or float?"

// waits is what a juice that waits can or must have next.
func (s *State) waits(v *Vessel, c *Content) Standing {
	route := s.RouteOf(v)
	switch {
	case !c.PectinGone.IsZero() && route != "":
		return Standing{Text: CanBe(string(route)), Can: true}
	case !c.PectinGone.IsZero():
		return Standing{Text: undecided, Can: true}
	case c.Kind == stage.ClearJuice:
		return Standing{Text: "inoculate"}
	case c.Kind == stage.Juice && route != "":
		return Standing{Text: string(route) + ", as booked"}
	}
	return Standing{Text: undecided, Route: true}
}

// Step is one thing that might be done next with a vessel, and whether the
// rules let it.
type Step struct {
	Name  string // short and stable: settle, float, move
	Verb  string
	May   bool
	Why   string // the one reason why not
	Rule  gate.Code
	Codes []string // all that speak against it or ask: rules, else short and stable words
}

// Steps tries the next steps of a vessel against the rules, without writing
// anything: what stops it from moving.
func (s *State) Steps(v *Vessel, by Initials, now time.Time) []Step {
	if v.Now.Stage.Empty() {
		return nil
	}
	var out []Step
	try := func(verb string, c Command) {
		st := Step{Name: verb, Verb: verb, May: true}
		_, err := Decide(s, c, now)
		switch e := err.(type) {
		case *Needs:
			f := e.Findings[0]
			st.May, st.Why, st.Rule = !f.Stop(), s.At(now).Words(f.Whole()), f.Rule
			for _, f := range e.Findings {
				st.Codes = append(st.Codes, string(f.Rule))
			}
		case *Rejection:
			st.May, st.Why, st.Codes = false, e.Message(), []string{e.Code}
		}
		out = append(out, st)
	}
	head := Head{By: by}
	if v.Now.Kind.IsJuice() {
		for _, g := range []stage.Stage{stage.Settling, stage.Flotation} {
			if g == v.Now.Stage {
				continue
			}
			verb := map[stage.Stage]string{stage.Settling: "settle", stage.Flotation: "float"}[g]
			if v.Hold != nil {
				out = append(out, Step{Name: verb, Verb: verb, Rule: "H15", Why: "it is on hold.",
					Codes: []string{"H15"}})
				continue
			}
			try(verb, &SetStage{Head: head, Vessel: v.Number, Stage: g, Reason: "asked"})
			last := &out[len(out)-1]
			switch {
			case !last.May:
			case g == stage.Settling && (v.Now.Stage == stage.Contact && v.Now.PectinGone.IsZero() ||
				v.Now.Stage == stage.CheckDue):
				last.May, last.Rule, last.Why = false, "", "it needs a negative pectin test, or a reason."
				last.Codes = append([]string{"no-negative"}, last.Codes...)
			case v.Now.Stage == stage.Settling:
				last.Why = "if you say why: it was to go another way."
				last.Codes = append(last.Codes, "reason")
			case v.Now.Stage.To(g) == stage.WithReason:
				last.Why = "if you say why: it is not the usual order."
				last.Codes = append(last.Codes, "reason")
			}
		}
	}
	out = append(out, s.mayLeave(v, now))
	return out
}

// What still goes on in a vessel.
var (
	checkRuns    = text.New("check-runs", "a pectin test is running; read it first")
	heldHot      = text.New("held-hot", "it is held hot: {verb} at {time}")
	notPoured    = text.New("not-poured", "{product} weighed for it at {time} is not poured")
	inContact    = text.New("in-contact", "enzyme contact: no valid negative yet")
	testDueSince = text.New("test-due-since", "enzyme contact: test due since {time}")
	testDueAt    = text.New("test-due-at", "enzyme contact: test at {time}")
	floatRuns    = text.New("float-runs", "the flotation is running: {verb} at {time}")
	floatOver    = text.New("float-over", "the flotation is running: {verb} due since {time}")
	capForms     = text.New("cap-forms", "the float cap is forming: {verb} at {time}")
	lastUnsaid   = text.New("last-unsaid", "nobody has said that the last juice of {press} is in (f)")
	stillFilling = text.New("still-filling-from", "it is still filling from {from}")
)

// unready is what still goes on at an instant in a vessel that holds c, and would
// go on elsewhere if it were moved then, and no text when nothing does; code says it short and
// stable.
func (s *State) unready(v *Vessel, c *Content, at time.Time) (code string, why text.Say) {
	clocks := s.clocksAt(v.Ref(), at)
	switch {
	case c.Open:
		return "open", s.opensStill(v, c)
	case c.Check() != nil:
		return "check", checkRuns.Say()
	case c.Stage == stage.Flotation || c.Stage == stage.CapRise:
		if why := floating(clocks, at); !why.IsZero() {
			return "flotation", why
		}
	case c.Stage == stage.HotHold:
		for _, k := range clocks {
			if k.Kind == KindHot && k.DueKind == ActAt && at.Before(k.Due) {
				return "hot-hold", heldHot.Say(k.Says(), k.Due)
			}
		}
	}
	for _, w := range s.WeighedFor(v.Number) {
		if !w.At.After(at) {
			return "weighed", notPoured.Say(w.Product, w.At)
		}
	}
	if c.Stage != stage.Contact {
		return "", text.Say{}
	}
	k := testClock(clocks)
	switch {
	case k == nil:
		return "contact", inContact.Say()
	case !at.Before(k.Due):
		return "contact", testDueSince.Say(k.Due)
	}
	return "contact", testDueAt.Say(k.Due)
}

// floating is what goes on in a flotation: its run until that is written as ended,
// and its cap, where no clock says from when on it may be racked.
func floating(clocks []*AlarmClock, at time.Time) text.Say {
	for _, k := range clocks {
		switch {
		case k.Kind == KindFloat && at.Before(k.Due):
			return floatRuns.Say(k.Says(), k.Due)
		case k.Kind == KindFloat:
			return floatOver.Say(k.Says(), k.Due)
		case k.Kind == KindCap && k.DueKind == ActAt && at.Before(k.Due) && firstNotBefore(clocks) == nil:
			return capForms.Say(k.Says(), k.Due)
		}
	}
	return text.Say{}
}

// mayLeave reports whether the content may be moved out, whatever its goal. It says
// nothing that the rules do not ask at the move.
func (s *State) mayLeave(v *Vessel, now time.Time) Step {
	st := Step{Name: "move", Verb: "rack or move", May: true}
	no := func(code, format string, args ...any) Step {
		st.May, st.Codes, st.Why = false, []string{code}, fmt.Sprintf(format, args...)
		return st
	}
	if v.Hold != nil {
		st.Rule = "H15"
		return no("H15", "%s is on hold: %s. %s to release.", v.Number, v.Hold.Reason, v.Hold.Releaser)
	}
	if code, why := s.unready(v, &v.Now, now); !why.IsZero() {
		return no(code, "%s.", s.At(now).Words(why))
	}
	if k := s.notBefore(v.Ref()); k != nil && now.Before(k.Due) {
		return no("not-before", "%s not before %s.", k.Says(), s.At(now).Clock(k.Due))
	}
	return st
}
