package cellar

import (
	"time"

	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/stage"
	"cellar.example/mustwatch/domain/text"
)

// SetStage puts a vessel into another stage and starts the clock that goes
// with it.
type SetStage struct {
	Head
	Vessel TankNumber      `json:"vessel"`
	Stage  stage.Stage     `json:"stage"`
	Reason string          `json:"reason,omitempty"`
	Method string          `json:"method,omitempty"` // how it is cleaned, which gas
	For    quantity.Span   `json:"for,omitzero"`     // length, if not the house's
	Until  time.Time       `json:"until,omitzero"`   // or its end
	Kind   stage.Substance `json:"kind,omitempty"`   // what it counts as from now on
	Least  quantity.Span   `json:"min,omitzero"`     // least time on the skins
	Most   quantity.Span   `json:"max,omitzero"`     // longest time held hot
	NoTime bool            `json:"no_clock,omitempty"`
	Bar    float64         `json:"bar,omitempty"`     // gas pressure of a flotation
	Blank  bool            `json:"blanked,omitempty"` // bend off and manifold blanked, for cleaning
	SeenTo []CleanStep     `json:"steps,omitempty"`   // of the house's list, when it is clean
	// Target is the temperature it is cooled or warmed to.
	Target *quantity.Celsius `json:"target,omitempty"`
}

func (c *SetStage) decide(d *decision) ([]Fact, error) {
	v, err := d.vessel(c.Vessel, "vessel")
	if err != nil {
		return nil, err
	}
	if !c.Stage.Known() {
		return nil, reject("stage", "stage", "{stage:%q} is not a stage; choose from {stages}", c.Stage,
			listed(stage.Stages()))
	}
	if t := c.Target; t != nil && (*t < -5 || *t > 95) {
		return nil, reject("range", "target", "{what} cannot be in a tank; type −5 to 95 °C", t.Text(d.s.House.Units))
	}
	if c.Least < 0 || c.Least != 0 && c.For != 0 && c.Least > c.For {
		return nil, reject("range", "min", "the least time, {least}, must not be longer than the planned time, {for}",
			c.Least, c.For)
	}
	if c.Most < 0 || c.Most != 0 && c.For != 0 && c.Most < c.For {
		return nil, reject("range", "max", "the longest time, {most}, must not be shorter than the planned time, {for}",
			c.Most, c.For)
	}
	if err := c.sane(d, v); err != nil {
		return nil, err
	}
	d.subject, d.what = v.Ref(), tryStage.Say(c.Stage, v.Number)
	if err := c.legal(d, v); err != nil {
		return nil, err
	}
	ask(d, stageRules, &stageTry{onVessel{v}, c})
	set := StageSet{Number: v.Number, Stage: c.Stage, Why: c.Reason, Method: c.Method, Kind: c.Kind, Target: c.Target}
	set.cleaned(d.s.House, &v.Now, c.SeenTo)
	if err := d.fits(d.after(&Staged{set}), "stage"); err != nil {
		return nil, err
	}
	if !c.NoTime {
		set.Lapses = c.clocks(d.s.House.Limits)
	}
	if err := d.bound(v.Ref(), set.Lapses...); err != nil {
		return nil, err
	}
	facts := append([]Fact{&Staged{set}}, d.reroute(v, c.Stage, c.Reason)...)
	return append(facts, d.answer(v.Ref(), endStage.Say(c.Stage), stageEnds[c.Stage]...)...), nil
}

// sane refuses lengths, pressures and kinds that can only be slips.
func (c *SetStage) sane(d *decision, v *Vessel) error {
	twoEnds := c.Stage == stage.SkinContact || c.Stage == stage.HotHold
	if c.Least != 0 && !twoEnds {
		return reject("length", "min", "{stage} has no least time; say how long it takes", c.Stage)
	}
	if c.Most != 0 && !twoEnds && c.Stage != stage.Settling && c.Stage != stage.CapRise {
		return reject("length", "max", "{stage} has no longest time; say how long it takes", c.Stage)
	}
	if err := checkCleanSteps("steps", c.SeenTo); err != nil {
		return err
	}
	if len(c.SeenTo) > 0 && c.Stage != stage.Clean {
		return reject("seen-to", "steps", "cleaning steps go with {clean}, not with {stage}", stage.Clean, c.Stage)
	}
	if c.Bar < 0 || c.Bar > 100 {
		return reject("range", "bar", "{bar} bar cannot be a flotation pressure", c.Bar)
	}
	if c.Kind != "" && !c.Kind.Flows() && c.Kind != stage.Yeast && c.Kind != stage.NoProduct {
		return reject("kind", "kind", "{kind:%q} is not a kind of content", c.Kind)
	}
	if c.Kind == stage.Wine && v.Now.Kind.IsJuice() && c.Stage != stage.Fermenting && c.Stage != stage.Stored {
		return reject("kind", "kind", "juice that is {stage} is not wine", c.Stage)
	}
	return nil
}

var doesNotFollow = text.New("does-not-follow",
	"{stage} does not follow {from}.")

// legal holds the step against the table of legal moves.
func (c *SetStage) legal(d *decision, v *Vessel) error {
	from := v.Now.Stage
	if from == c.Stage {
		if c.Stage == stage.Flotation && c.Reason == "" && !c.Happened {
			return reject("reason", "reason", "a second run of the flotation on {tank} is unusual; say why", v.Number)
		}
		more := c.Stage == stage.Clean && (len(v.Now.Unseen) > 0 || rinsedAgain(&v.Now, c.SeenTo))
		if more || c.Stage == stage.Flotation || c.Stage == stage.Cleaning {
			return nil
		}
		return reject("same", "stage", "{tank} is already {from}, since {time}", v.Number, from, d.says(v.Now.Since))
	}
	if !from.Empty() && c.Stage.Empty() && !c.Happened {
		return reject("full", "stage", "{tank} holds {volume}; it is not empty", v.Number,
			v.Now.Volume.Text(d.s.House.Units))
	}
	if from.Empty() && !c.Stage.Empty() {
		return reject("empty", "stage", "{tank} is {from}; save first what came in", v.Number, from)
	}
	// grapes are tipped before their volume is known; juice is not
	if d.s.pressOf(v.Now.Source) != nil && from == stage.Filling && c.Stage != stage.Filling && !c.Stage.Empty() &&
		v.Now.Volume == 0 {
		return reject("empty", "stage", "nothing is in {tank} yet; save what comes in before {stage}", v.Number,
			c.Stage)
	}
	switch from.To(c.Stage) {
	case stage.Freely:
		return nil
	case stage.WhenClear: // a clear check is asked for by rule H09
		if from == stage.Settling && c.Reason == "" && !c.Happened {
			return reject("reason", "reason", "{stage} after {from} is another route; say why", c.Stage, from)
		}
		return nil
	case stage.WithReason:
		if c.Reason == "" && !c.Happened {
			return reject("reason", "reason", "{stage} after {from} is unusual; say why", c.Stage, from)
		}
		return nil
	}
	if c.Happened && from.Empty() == c.Stage.Empty() { // else it is told what cannot have been
		d.find(gate.Finding{Rule: "S01", Field: "stage", Right: gate.Nobody,
			Say: doesNotFollow.Say(c.Stage, from)})
		return nil
	}
	if c.Happened {
		return nil
	}
	return reject("illegal", "stage", "{tank} is {from}; {stage} cannot follow that", v.Number, from, c.Stage)
}

// clocks are those that a stage starts, by the house's lengths unless typed.
func (c *SetStage) clocks(lim Limits) []Lapse {
	set := func(kind ClockKind, due DueKind, verb string, def quantity.Span, basis text.Say) Lapse {
		l := Lapse{Kind: kind, DueKind: due, Verb: verb, After: def, Basis: basis}
		switch field, _ := c.typedEnd(); field {
		case "until":
			l.After, l.At, l.field = 0, Instant(c.Until), field
		case "for":
			l.After, l.field = c.For, field
		}
		return l
	}
	switch c.Stage {
	case stage.Settling:
		return c.latest(KindSettling, set(KindSettling, NotBefore, "rack", lim.SettleFor, onStage.Say(c.Stage)))
	case stage.Flotation:
		return []Lapse{set(KindFloat, ActAt, "end-run", lim.FloatRun, onStage.Say(c.Stage))}
	case stage.CapRise:
		return c.latest(KindCap, set(KindCap, ActAt, "look", lim.CapRise, onStage.Say(c.Stage)), set(KindCap, NotBefore,
			"rack", lim.CapRise, onStage.Say(c.Stage)))
	case stage.Cleaning:
		return []Lapse{set(KindClean, ActAt, "inspect", lim.CleanTakes, onStage.Say(c.Stage))}
	case stage.HotHold:
		return c.bounds(KindHot, "cool-down", set)
	case stage.SkinContact:
		return c.bounds(KindSkin, "drain", set)
	case stage.Waiting, stage.ColdSoak, stage.Maceration:
		if _, typed := c.typedEnd(); typed {
			return []Lapse{set(KindOther, ActAt, "look", 0, onStage.Say(c.Stage))}
		}
	}
	return nil
}

// latest adds the clock by which settled or floated juice is racked, where the
// house gave one: it starts by itself, and a cap sinks again.
func (c *SetStage) latest(kind ClockKind, clocks ...Lapse) []Lapse {
	if c.Most == 0 {
		return clocks
	}
	return append(clocks, Lapse{Kind: kind, DueKind: NotAfter, Verb: "rack", After: c.Most,
		Basis: onLongest.Say(c.Stage), field: "max"})
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

// bounds are the clocks of what may stand neither too short nor too long: skins
// have a least time and an end by which they are drained, hot must an end and a
// longest time.
func (c *SetStage) bounds(kind ClockKind, verb string, set func(ClockKind, DueKind, string, quantity.Span,
	text.Say) Lapse) (out []Lapse) {
	if c.Least != 0 {
		out = append(out, Lapse{Kind: kind, DueKind: NotBefore, Verb: verb, After: c.Least, Basis: onLeast.Say(c.Stage),
			field: "min"})
	}
	if _, typed := c.typedEnd(); typed {
		due := ActAt
		if kind == KindSkin {
			due = NotAfter
		}
		out = append(out, set(kind, due, verb, 0, onStage.Say(c.Stage)))
	}
	if c.Most != 0 {
		out = append(out, Lapse{Kind: kind, DueKind: NotAfter, Verb: verb, After: c.Most, Basis: onLongest.Say(c.Stage),
			field: "max"})
	}
	return out
}

// Staged is a vessel put into a stage.
type Staged struct{ StageSet }

func (f *Staged) apply(s *State, r Record) {
	s.enter(r, f)
	var unseen text.Say
	if len(f.Unseen) > 0 {
		unseen = text.Of("not yet {steps}", stepWords(f.Unseen))
	}
	s.log(r, vesselRef(f.Number), "{what}", text.Join(", ", text.Words(string(f.Stage)), text.Words(f.why()),
		text.Words(f.Method), text.Words(stepWords(f.SeenTo)), unseen))
}

func (f *Staged) lines(s *State, e *entry) []*line {
	it := &Item{Stage: &f.StageSet}
	for i, l := range f.Lapses {
		it.Clocks = append(it.Clocks, l.timer(e, i))
	}
	return s.on(e, e.At, 0, f.Number, it)
}

var (
	_ = command[SetStage]("stage")
	_ = fact[Staged]("staged")
)
