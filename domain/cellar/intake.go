package cellar

import (
	"fmt"
	"strings"
	"time"
	"unicode"

	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/text"
)

// Intake is what was booked and what has come of one variety of one grower in a
// shift. Booked counts the loads that have come and those that are still expected;
// what came without having been booked is in Came only.
type Intake struct {
	Grower, Variety string
	Booked, Came    int
	Due             int // of those booked, whose time has come
	Planned, In     quantity.Mass
	Weightless      bool // a load is booked without its mass, so Planned is not all
}

// Name is the variety, with the grower where that was said.
func (x Intake) Name() string {
	if x.Grower == "" {
		return x.Variety
	}
	return x.Variety + " of " + x.Grower
}

// Count is how many loads have come of how many: "3 of 5 loads".
func (x Intake) Count() string {
	switch {
	case x.Booked == 0:
		return loads(x.Came) + ", none booked"
	case x.Came > x.Booked:
		return fmt.Sprintf("%s, %d booked", loads(x.Came), x.Booked)
	}
	return fmt.Sprintf("%d of %s", x.Came, loads(x.Booked))
}

func loads(n int) string {
	if n == 1 {
		return "1 load"
	}
	return fmt.Sprintf("%d loads", n)
}

// Weight is what has come of what is planned: "41.2 of 60.0 t".
func (x Intake) Weight(sys quantity.System) string {
	in := x.In.Load(sys)
	if x.Weightless || x.Booked == 0 {
		return in
	}
	planned := x.Planned.Load(sys)
	if a, unit, ok := strings.Cut(in, " "); ok && strings.HasSuffix(planned, " "+unit) {
		in = a
	}
	return in + " of " + planned
}

// Says is the whole: "Sauvignon, 3 of 5 loads: 41.2 of 60.0 t".
func (x Intake) Says(sys quantity.System) string {
	return fmt.Sprintf("%s, %s: %s", x.Name(), x.Count(), x.Weight(sys))
}

// Over reports whether more has come than was booked: more loads, or so much more mass
// that it is another's.
func (x Intake) Over() bool {
	return x.Came > x.Booked || !x.Weightless && float64(x.In) > (1+intakeOver)*float64(x.Planned)
}

// intakeOver is how much more than planned may come before it is asked about, as a
// share: growers guess what they pick (common practice, no source).
const intakeOver = 0.10

// Intakes sums what came in the shift against its plan, by grower and variety in the
// order in which they were first named. Without a shift it is the twelve hours before
// and those to come.
func (s *State) Intakes(now time.Time) []Intake {
	from, to := s.planned(now)
	var out []Intake
	at := map[string]int{}
	of := func(grower, variety string) *Intake {
		key := strings.ToLower(grower + "\n" + variety)
		if _, known := at[key]; !known {
			at[key], out = len(out), append(out, Intake{Grower: grower, Variety: variety})
		}
		return &out[at[key]]
	}
	for _, l := range s.Loads {
		came := l.Seq != 0 && !l.Arrived.Before(from) && !l.Arrived.After(now)
		if p := l.Plan; !l.Booked.IsZero() && (came || l.Arrived.IsZero() && !l.Booked.After(to)) {
			x := of(p.Grower, p.Variety)
			x.book(p.Net)
			if came || !l.Booked.After(now) {
				x.Due++
			}
		}
		if came {
			x := of(l.Grower, l.Variety)
			x.Came, x.In = x.Came+1, x.In+l.Net
		}
	}
	return out
}

// planned is the time whose loads are summed: the shift, or twelve hours either way.
func (s *State) planned(now time.Time) (from, to time.Time) {
	from, to = s.Shift.Started, s.Shift.Ends
	if from.IsZero() {
		from = now.Add(-UsualShift)
	}
	if to.IsZero() || to.Before(now) {
		to = now.Add(UsualShift)
	}
	return from, to
}

func (x *Intake) book(net quantity.Mass) {
	x.Booked, x.Planned, x.Weightless = x.Booked+1, x.Planned+net, x.Weightless || net == 0
}

// IntakeWith is the sum of a load's own variety and grower as it would be with it; ok
// is false where nothing at all is booked, for then there is no plan to hold it to.
func (s *State) IntakeWith(l Load, now time.Time) (x Intake, ok bool) {
	old, _ := s.Load(l.ID)
	if old != nil && l.Grower == "" {
		l.Grower = old.Grower
	}
	x = Intake{Grower: l.Grower, Variety: l.Variety}
	for _, y := range s.Intakes(now) {
		ok = ok || y.Booked > 0
		if strings.EqualFold(y.Grower, l.Grower) && strings.EqualFold(y.Variety, l.Variety) {
			x = y
		}
	}
	if l.Net > 0 && (old == nil || old.Arrived.IsZero()) {
		x.Came, x.In = x.Came+1, x.In+l.Net
		if _, to := s.planned(now); old != nil && old.Booked.After(to) { // booked for later, and here
			x.book(old.Plan.Net)
		}
	}
	return x, ok
}

var likeNumberSays = text.New("like-number",
	"Load {load} is booked for {time}. Is {typed} the same load? Then save it by that number.")
var likeNumberHere = text.New("like-number-here",
	"Load {load} came at {time}. Is {typed} the same load? Then save it by that number.")

// likeNumber is D32, a rule of our own: 414 is written where 0414 is booked or has come.
func (t *loadTry) likeNumber(d *decision) []gate.Finding {
	if _, known := d.s.Load(t.load.ID); known {
		return nil
	}
	for _, l := range d.s.Loads {
		if bareNumber(l.ID) != bareNumber(t.load.ID) {
			continue
		}
		says := likeNumberSays.Say(l.ID, l.Booked, t.load.ID)
		if !l.Arrived.IsZero() {
			says = likeNumberHere.Say(l.ID, l.Arrived, t.load.ID)
		}
		return []gate.Finding{{Of: l.Ref(), Field: "load", Right: gate.Anyone, Asked: true,
			Say: says}}
	}
	return nil
}

// bareNumber is the number of a load without what people leave out of it.
func bareNumber(id LoadID) string {
	kept := strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return unicode.ToUpper(r)
		}
		return -1
	}, string(id))
	return strings.TrimLeft(kept, "0")
}

var (
	notBooked = text.New("not-booked",
		"No {name} is booked for this shift.",
		"Is it another variety, or another load?")
	overBooked = text.New("over-booked",
		"{name} comes to {in} with load {load}; {planned} booked.",
		"Is it this variety, and not weighed already?")
	oneTooMany = text.New("one-too-many",
		"Load {load} is {name} number {came}, {in} in all; {booked} booked.",
		"Is it this variety, and not weighed already?")
)

// overPlan is D23, a rule of our own: with this load more of a variety would have
// come than is booked, so that it may be another's, or counted twice. Where the number
// is booked as another variety D15 asks.
func (t *loadTry) overPlan(d *decision) []gate.Finding {
	if t.load.Gross > 0 && t.load.Tare == 0 || len(t.otherVariety(d)) > 0 {
		return nil
	}
	x, ok := d.s.IntakeWith(*t.load, d.at)
	if !ok || !x.Over() {
		return nil
	}
	if x.Booked == 0 {
		return []gate.Finding{{Field: "variety", Right: gate.Anyone,
			Say: notBooked.Say(x.Name())}}
	}
	u := d.s.House.Units
	f := gate.Finding{Field: "load", Right: gate.Anyone,
		Say: overBooked.Say(x.Name(), x.In.Load(u), t.load.ID, x.Planned.Load(u))}
	if x.Came > x.Booked {
		f.Say = oneTooMany.Say(t.load.ID, x.Name(), x.Came, x.In.Load(u), x.Booked)
	}
	return []gate.Finding{f}
}
