package cellar

import (
	"fmt"
	"time"

	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/quantity"
)

// SetStage puts a vessel into another stage and starts the clock that goes
// with it.
type SetStage struct {
	Head
	Vessel Plate         `json:"vessel"`
	Stage  Stage         `json:"stage"`
	Reason string        `json:"reason,omitempty"`
	Method string        `json:"method,omitempty"` // how it is cleaned, which gas
	For    quantity.Span `json:"for,omitzero"`     // length, if not the house's
	Until  time.Time     `json:"until,omitzero"`   // or its end
	Kind   Substance     `json:"kind,omitempty"`   // what it counts as from now on
	Least  quantity.Span `json:"least,omitzero"`   // least time on the skins
	Most   quantity.Span `json:"most,omitzero"`    // longest time held hot
	NoTime bool          `json:"no_clock,omitempty"`
	Bar    float64       `json:"bar,omitempty"`     // gas pressure of a flotation
	Blank  bool          `json:"blanked,omitempty"` // bend off and manifold blanked, for cleaning
	SeenTo []CleanStep   `json:"seen_to,omitempty"` // of the house's list, when it is clean
	// Target is the temperature it is cooled or warmed to.
	Target *quantity.Celsius `json:"target,omitempty"`
}

// Do implements Command.
func (*SetStage) Do() string { return "stage" }

func (c *SetStage) decide(d *decision) ([]Fact, error) {
	v, err := d.vessel(c.Vessel, "vessel")
	if err != nil {
		return nil, err
	}
	if !knownStage(c.Stage) {
		return nil, reject("stage", "stage", "%q is no stage; %s are", c.Stage, listed(Stages()))
	}
	if t := c.Target; t != nil && (*t < -5 || *t > 95) {
		return nil, reject("range", "target", "%s is no temperature for a tank; −5 to 95 °C is", t.Text(d.s.House.Units))
	}
	if c.Least < 0 || c.Least != 0 && c.For != 0 && c.Least > c.For {
		return nil, reject("range", "least", "the least time, %s, is not longer than the whole, %s", c.Least, c.For)
	}
	if c.Most < 0 || c.Most != 0 && c.For != 0 && c.Most < c.For {
		return nil, reject("range", "most", "the longest time, %s, is not shorter than what is planned, %s", c.Most, c.For)
	}
	if err := c.sane(d, v); err != nil {
		return nil, err
	}
	d.subject, d.what = string(v.Plate), fmt.Sprintf("%s on %s", c.Stage, v.Plate)
	if err := c.legal(d, v); err != nil {
		return nil, err
	}
	d.ask(&trying{of: v, stage: c.Stage, bar: c.Bar, blanked: c.Blank})
	set := StageSet{Plate: v.Plate, Stage: c.Stage, Why: c.Reason, Method: c.Method, Kind: c.Kind, Target: c.Target}
	set.cleaned(d.s.House, &v.Now, c.SeenTo)
	facts := []Fact{&Staged{set}}
	o := d.after(facts...)
	facts = append(facts, d.reroute(v, c.Stage, c.Reason)...)
	facts = append(facts, d.endStage(v, c.Stage)...)
	if !c.NoTime {
		facts = append(facts, c.clock(d, v)...)
	}
	return append(facts, d.recool(v, o)...), nil
}

// sane refuses lengths, pressures and kinds that can only be slips.
func (c *SetStage) sane(d *decision, v *Vessel) error {
	twoEnds := c.Stage == SkinContact || c.Stage == HotHold
	if c.Least != 0 && !twoEnds {
		return reject("length", "least", "%s has no least time; say how long it takes", c.Stage)
	}
	if c.Most != 0 && !twoEnds && c.Stage != Settling && c.Stage != CapRise {
		return reject("length", "most", "%s has no longest time; say how long it takes", c.Stage)
	}
	if err := checkCleanSteps("seen_to", c.SeenTo); err != nil {
		return err
	}
	if len(c.SeenTo) > 0 && c.Stage != Clean {
		return reject("seen-to", "seen_to", "what is seen to for cleanliness belongs to %s, not to %s", Clean, c.Stage)
	}
	if c.Bar < 0 || c.Bar > 100 {
		return reject("range", "bar", "%g bar is no pressure of a flotation", c.Bar)
	}
	if _, known := goesInto[c.Kind]; c.Kind != "" && !known && c.Kind != Yeast && c.Kind != NoProduct {
		return reject("kind", "kind", "%q is no kind of content", c.Kind)
	}
	if c.Kind == Wine && v.Now.Kind.isJuice() && c.Stage != Fermenting && c.Stage != Stored {
		return reject("kind", "kind", "juice that is %s is no wine", c.Stage)
	}
	return nil
}

func knownStage(g Stage) bool {
	for _, x := range Stages() {
		if x == g {
			return true
		}
	}
	return false
}

// legal holds the step against the table of legal moves.
func (c *SetStage) legal(d *decision, v *Vessel) error {
	from := v.Now.Stage
	if from == c.Stage {
		if c.Stage == Flotation && c.Reason == "" && !c.Happened {
			return reject("reason", "reason", "a second run of the flotation on %s is unusual; say why", v.Plate)
		}
		if c.Stage == Flotation || c.Stage == Cleaning || c.Stage == Clean && len(v.Now.Unseen) > 0 {
			return nil
		}
		return reject("same", "stage", "%s is %s already, since %s", v.Plate, from, d.s.Clock(v.Now.Since))
	}
	if !from.Empty() && c.Stage.Empty() {
		return reject("full", "stage", "%s holds %s; it is not empty", v.Plate, v.Now.Volume.Text(d.s.House.Units))
	}
	if from.Empty() && !c.Stage.Empty() {
		return reject("empty", "stage", "%s is %s; a stage follows when juice or must comes in", v.Plate, from)
	}
	if d.s.presses[Plate(v.Now.Source)] != nil && from == Filling && c.Stage != Filling && !c.Stage.Empty() && v.Now.Volume == 0 { // grapes are tipped before their volume is known; juice is not
		return reject("empty", "stage", "nothing has come into %s yet; %s follows when it has", v.Plate, c.Stage)
	}
	switch follows[from][c.Stage] {
	case stepYes:
		return nil
	case stepClear: // a clear check is asked for by rule H09
		if from == Settling && c.Reason == "" && !c.Happened {
			return reject("reason", "reason", "%s after %s is another route; say why", c.Stage, from)
		}
		return nil
	case stepReason:
		if c.Reason == "" && !c.Happened {
			return reject("reason", "reason", "%s after %s is unusual; say why", c.Stage, from)
		}
		return nil
	}
	if c.Happened {
		d.found = append(d.found, gate.Finding{Rule: "S01", Field: "stage", Right: gate.Nobody,
			Message: fmt.Sprintf("%s does not follow %s.", c.Stage, from)})
		return nil
	}
	return reject("illegal", "stage", "%s does not follow %s on %s", c.Stage, from, v.Plate)
}

// endStage answers the clocks that the coming stage ends.
func (d *decision) endStage(v *Vessel, to Stage) []Fact {
	plate := string(v.Plate)
	switch to {
	case CapRise:
		return d.answer(plate, "run ended", KindFloat)
	case Clean, Dirty, OutOfUse, Cleaning: // inspected, whatever was found; cleaned again it is inspected again
		return d.answer(plate, string(to), KindClean)
	case Settling, Flotation: // floated juice waits for no settling any more
		return d.answer(plate, string(to), KindContact, KindLook, KindCap, KindFloat, KindReading, KindRoute, KindSettling)
	case Racked, Waiting:
		return d.answer(plate, string(to), KindSettling, KindCap, KindFloat)
	case CooledBack:
		return d.answer(plate, string(to), KindHot)
	case Fermenting:
		return d.answer(plate, string(to), KindContact, KindLook, KindSettling, KindCap, KindFloat, KindReading, KindRoute)
	case DrawingOff:
		return d.answer(plate, string(to), KindPumpOver, KindSkin)
	}
	return nil
}

// clock is the clock a stage starts, by the house's lengths unless typed.
func (c *SetStage) clock(d *decision, v *Vessel) []Fact {
	lim, plate := d.s.House.Limits, string(v.Plate)
	field, typed := c.typedEnd()
	set := func(kind ClockKind, due DueKind, verb string, def quantity.Span, basis string) Fact {
		return d.setClock(plate, kind, due, verb, c.end(d, def), basis).typedIn(field)
	}
	switch c.Stage {
	case Settling:
		return c.latest(d, plate, KindSettling, set(KindSettling, NotBefore, "rack", lim.SettleFor, "settling"))
	case Flotation:
		return []Fact{set(KindFloat, ActAt, "end run", lim.FloatRun, "flotation run")}
	case CapRise:
		return c.latest(d, plate, KindCap, set(KindCap, ActAt, "look", lim.CapRise, "cap rising"),
			set(KindCap, NotBefore, "rack", lim.CapRise, "cap rising"))
	case Cleaning:
		return []Fact{set(KindClean, ActAt, "inspect", lim.CleanTakes, "cleaning")}
	case HotHold:
		return c.bounds(d, plate, KindHot, "cool back")
	case SkinContact:
		return c.bounds(d, plate, KindSkin, "drain")
	case Waiting, ColdSoak, Maceration:
		if typed {
			return []Fact{set(KindOther, ActAt, "look", 0, string(c.Stage))}
		}
	}
	return nil
}

// latest adds the clock by which settled or floated juice is racked, where the
// house gave one: it starts by itself, and a cap sinks again.
func (c *SetStage) latest(d *decision, plate string, kind ClockKind, clocks ...Fact) []Fact {
	if c.Most == 0 {
		return clocks
	}
	return append(clocks, d.setClock(plate, kind, NotAfter, "rack", d.at.Add(c.Most.Duration()), "longest "+string(c.Stage)).typedIn("most"))
}

// typedEnd is the field in which the end or the length was typed, "" for none.
func (c *SetStage) typedEnd() (field string, typed bool) {
	switch {
	case !c.Until.IsZero():
		return "until", true
	case c.For != 0:
		return "for", true
	}
	return "", false
}

// end is when the stage ends: as typed, or after a length of the house.
func (c *SetStage) end(d *decision, def quantity.Span) time.Time {
	switch field, _ := c.typedEnd(); field {
	case "until":
		return c.Until
	case "for":
		return d.at.Add(c.For.Duration())
	}
	return d.at.Add(def.Duration())
}

// bounds are the clocks of what may stand neither too short nor too long: skins
// have a least time and an end by which they are drained, hot must an end and a
// longest time.
func (c *SetStage) bounds(d *decision, plate string, kind ClockKind, verb string) (out []Fact) {
	basis := string(c.Stage)
	if c.Least != 0 {
		out = append(out, d.setClock(plate, kind, NotBefore, verb, d.at.Add(c.Least.Duration()), "least "+basis).typedIn("least"))
	}
	if field, typed := c.typedEnd(); typed {
		due := ActAt
		if kind == KindSkin {
			due = NotAfter
		}
		out = append(out, d.setClock(plate, kind, due, verb, c.end(d, 0), basis).typedIn(field))
	}
	if c.Most != 0 {
		out = append(out, d.setClock(plate, kind, NotAfter, verb, d.at.Add(c.Most.Duration()), "longest "+basis).typedIn("most"))
	}
	return out
}

// Staged is a vessel put into a stage.
type Staged struct{ StageSet }

// Kind implements Fact.
func (*Staged) Kind() string { return "staged" }

func (f *Staged) apply(s *State, r Record) {
	s.enter(r, f)
	text := string(f.Stage)
	unseen := ""
	if len(f.Unseen) > 0 {
		unseen = "not yet " + stepWords(f.Unseen)
	}
	for _, extra := range []string{f.Why, f.Method, stepWords(f.SeenTo), unseen} {
		if extra != "" {
			text += ", " + extra
		}
	}
	s.log(r, string(f.Plate), text)
}

func (f *Staged) lines(s *State, e *entry) []*line {
	return s.on(e, e.At, 0, f.Plate, &Item{Stage: &f.StageSet})
}

var (
	_ = command(func() Command { return &SetStage{} })
	_ = register(func() Fact { return &Staged{} })
)
