package cellar

import (
	"slices"
	"time"

	"cellar.example/mustwatch/domain/clarity"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/stage"
	"cellar.example/mustwatch/domain/text"
)

// StartCheck says that the alcohol has gone in. Its short clock runs from there.
type StartCheck struct {
	Head
	Vessel TankNumber `json:"vessel"`
	Recipe string     `json:"recipe,omitempty"`
	Sampling
}

func (c *StartCheck) decide(d *decision) ([]Fact, error) {
	v, err := d.vessel(c.Vessel, "vessel")
	if err != nil {
		return nil, err
	}
	d.tubes = true
	v = d.asOf(v)
	nothing := d.past() && v.Now.Stage.Empty()
	if !nothing && (v.Now.Stage.Empty() || v.Now.Volume == 0) {
		return nil, reject("empty", "vessel", "{tank} is {stage}; there is nothing to test", v.Number, v.Now.Stage)
	}
	if err := d.held(v); err != nil {
		return nil, err
	}
	if k := v.Now.Check(); k != nil && d.at.Before(k.Started.Add(k.Recipe.VoidAfter.Duration())) {
		return nil, reject("running", "vessel", "a pectin test of {tank} has been running since {time}; read it first",
			v.Number, d.says(k.Started))
	}
	r, ok := d.s.House.RecipeByID(c.Recipe)
	if !ok {
		return nil, reject("recipe", "recipe", "this house has no recipe {recipe:%q}", c.Recipe)
	}
	from := c.Sampling
	if from.Bottle, err = d.bottle(c.Bottle); err != nil {
		return nil, err
	}
	if err := from.sound(d); err != nil {
		return nil, err
	}
	d.subject, d.what = v.Ref(), tryCheck.Say(v.Number)
	ask(d, checkRules, &checkTry{from.ControlTube, r, d.s.bottle(from.Bottle)})
	facts := []Fact{&CheckBegun{ID: d.id("k"), Vessel: v.Number, Recipe: r, Sampling: from}}
	facts = append(facts, d.tested(v.Ref(), endTested.Say(), d.at, KindContact, KindLook, KindReading)...)
	if nothing {
		return facts, d.fits(d.after(facts...), "at")
	}
	return facts, nil
}

// CheckBegun is a clarity check whose alcohol has gone in.
type CheckBegun struct {
	ID     string         `json:"check"`
	Vessel TankNumber     `json:"vessel"`
	Recipe clarity.Recipe `json:"recipe"`
	Sampling
}

func (f *CheckBegun) apply(s *State, r Record) {
	s.bump(f.ID)
	s.enter(r, f)
	s.log(r, vesselRef(f.Vessel), "pectin test {id} started", f.Recipe.ID)
}

func (f *CheckBegun) lines(s *State, e *entry) []*line {
	k := &Check{ID: f.ID, Recipe: f.Recipe, Started: e.At, StartedBy: e.By, Sampling: f.Sampling}
	t := Lapse{Kind: KindReading, DueKind: ActAt, Verb: VerbRead, After: f.Recipe.ReadAt,
		Basis: onRecipe.Say(f.Recipe.Name)}.timer(e, 0)
	t.Object, t.Until = "tubes", k.Void()
	return s.on(e, e.At, 0, f.Vessel, &Item{Begun: k, Clocks: []Timer{t}})
}

// ReadCheck writes what the two tubes show. The verdict is computed, never
// typed. Second is the second look at a faint haze.
type ReadCheck struct {
	Head
	Vessel  TankNumber          `json:"vessel"`
	Sample  clarity.Look        `json:"sample,omitempty"`
	Control clarity.ControlLook `json:"control,omitempty"`
	Second  clarity.SecondLook  `json:"second,omitempty"`
	Next    time.Time           `json:"next,omitzero"` // when to look again, if not by the house's wait
	NextBy  Initials            `json:"next_by,omitempty"`
	Tube    TankNumber          `json:"tube,omitempty"` // the number written on the tube, read back
	ControlTube
}

// Judge is the verdict these tubes would give at now, without writing it.
func (s *State) Judge(c *ReadCheck, now time.Time) (clarity.Judgement, error) {
	d := &decision{s: s, now: Instant(now), at: Instant(now), head: c.head()}
	_, _, j, err := c.judge(d)
	return j, err
}

func (c *ReadCheck) judge(d *decision) (v *Vessel, k *Check, j clarity.Judgement, err error) {
	if v, err = d.vessel(c.Vessel, "vessel"); err != nil {
		return
	}
	d.tubes = true
	v = d.asOf(v)
	if k = v.Begun(d.at); k == nil {
		return v, nil, j, reject("check", "vessel", "no pectin test of {tank} is running; start one first (c)",
			v.Number)
	}
	if c.Tube != "" && c.Tube != v.Number {
		return v, k, j, reject("tube", "tube", "the tube is marked {tube}, but this is the test of {tank}: read the "+
			"tube of {tank}, or save it at {tube}", c.Tube, v.Number)
	}
	r := clarity.Reading{Recipe: k.Recipe, Started: k.Started, ReadAt: k.inVoidMinute(d.at), Sample: c.Sample,
		Control: c.Control}
	if k.Verdict == clarity.Pending {
		if c.Second != clarity.SecondUnchanged && c.Second != clarity.SecondFlocs {
			return v, k, j, reject("second", "second",
				"look at the faint haze again: is it unchanged, or are there flocs?")
		}
		r.ReadAt, r.Sample, r.Control, r.Second, r.SecondAt = k.ReadAt, k.Sample, k.Control, c.Second,
			k.inVoidMinute(d.at)
	} else if !knownLook(c.Sample) {
		return v, k, j, reject("sample", "sample", "what does the sample show: large, small or fine flocs, a faint "+
			"haze, or clear?")
	} else if c.Control == "" {
		return v, k, j, reject("control", "control", "what does the control show: flocs, clear, or was none run?")
	} else if k.Source == NoControl && c.Source == "" && c.Control != clarity.ControlNone {
		return v, k, j, reject("control", "control", "this test has no control tube: choose none run, or start a "+
			"new test with a control")
	}
	then := v.Now
	if d.late(v) {
		then = d.then(v)
	}
	return v, k, d.s.stands(clarity.Judge(r), &then, k), nil
}

// Begun is the check of a vessel that waits to be read. One that was begun while the
// ledger had the vessel empty stands in its account, for when it is known what was in it.
func (v *Vessel) Begun(at time.Time) *Check {
	if k := v.Now.Check(); k != nil || !v.Now.Stage.Empty() {
		return k
	}
	read := map[string]bool{}
	for it := range v.Latest {
		switch {
		case it.TakenBack || it.At.After(at):
		case it.Read != nil:
			read[it.Read.ID] = true
		case it.Begun != nil && !read[it.Begun.ID] && at.Sub(it.At) < lateWithin:
			return it.Begun
		case it.In != nil && it.In.Volume > 0, it.Out != nil && it.Out.Empties: // that was of what was in it
			return nil
		}
	}
	return nil
}

// Void is the last instant at which a check may be read: up to and including the
// minute of the void time, for tubes are read by the minute.
func (c *Check) Void() time.Time {
	return c.Started.Add(c.Recipe.VoidAfter.Duration()).Add(time.Minute - time.Second)
}

// inVoidMinute takes a reading within the void minute as one at the void time.
func (c *Check) inVoidMinute(at time.Time) time.Time {
	if void := c.Started.Add(c.Recipe.VoidAfter.Duration()); at.After(void) && !at.After(c.Void()) {
		return void
	}
	return at
}

// judge is the verdict on a check by the times and looks that stand.
func (c *Check) judge() clarity.Judgement {
	return clarity.Judge(clarity.Reading{Recipe: c.Recipe, Started: c.Started, ReadAt: c.inVoidMinute(c.ReadAt),
		Sample: c.Sample, Control: c.Control,
		Second: c.Second, SecondAt: c.inVoidMinute(c.SecondAt)})
}

func knownLook(l clarity.Look) bool {
	switch l {
	case clarity.LargeFlocs, clarity.SmallFlocs, clarity.FineFlocs, clarity.FaintHaze, clarity.Clear:
		return true
	}
	return false
}

func (c *ReadCheck) decide(d *decision) ([]Fact, error) {
	v, k, j, err := c.judge(d)
	if err != nil {
		return nil, err
	}
	if !c.Next.IsZero() && !c.Next.After(d.at) {
		return nil, reject("next", "next", "the next look must come after {time}", d.says(d.at))
	}
	d.subject, d.what = v.Ref(), tryVerdict.Say(v.Number)
	if err := c.ControlTube.sound(d); err != nil {
		return nil, err
	}
	ask(d, verdictRules, &verdictTry{c.ControlTube, v, k, j, c.Second})
	f := &CheckRead{ID: k.ID, Number: v.Number, Sample: c.Sample, Control: c.Control, Second: c.Second, Tube: c.Tube,
		ControlTube: c.ControlTube,
		Again:       d.s.House.Limits.RepeatTest, Route: d.s.House.Limits.RouteWithin, Next: c.Next, NextBy: c.NextBy}
	seen := c.Sample
	if c.Second == clarity.SecondFlocs {
		seen = clarity.FineFlocs
	}
	f.Wait = d.s.House.Waits.Next(seen, v.Now.Kind == stage.HotMust)
	if !c.Next.IsZero() {
		if err := d.bound(v.Ref(), Lapse{Verb: VerbTest, At: c.Next, field: "next"}); err != nil {
			return nil, err
		}
	}
	facts := []Fact{f}
	if v.Now.Stage.Empty() {
		return facts, d.fits(d.after(facts...), "at")
	}
	if j.Verdict == clarity.Pending {
		return append(facts, d.answer(v.Ref(), endRead.Say(), KindReading)...), nil
	}
	ends := []ClockKind{KindReading, KindLook, KindContact}
	if j.Verdict == clarity.Negative {
		ends = append(ends, KindRoute)
	}
	return append(facts, d.tested(v.Ref(), endVerdict.Say(j.Verdict), k.Started, ends...)...), nil
}

// nextTest is the clock that a reading starts: a faint haze is looked at again; after a
// positive the next test follows by the house's wait for what was seen, from the
// alcohol in; after a test that proves nothing soon, and so after a negative of what
// has changed since the sample was drawn. ok is false when nothing follows.
func (f *CheckRead) nextTest(s *State, e *entry, c *Content, k *Check, verdict clarity.Verdict) (t Timer, ok bool) {
	soon := func(why text.Say) Timer {
		return Lapse{Kind: KindLook, DueKind: ActAt, Verb: VerbTest, After: f.Again, Basis: why}.timer(e, 0)
	}
	switch verdict {
	case clarity.Pending:
		t = Lapse{Kind: KindReading, DueKind: ActAt, Verb: "second-look", Basis: onHaze.Say()}.timer(e, 0)
		t.Due, t.Until = k.Started.Add(k.Recipe.VoidAfter.Duration()), k.Void()
		return t, true
	case clarity.Positive:
		seen := f.Sample
		if f.Second == clarity.SecondFlocs {
			seen = clarity.FineFlocs
		}
		t = soon(text.Say{})
		t.Due, t.Basis = k.Started.Add(f.Wait.Duration()), onSeen.Say(seen, f.Wait)
	case clarity.Negative:
		return t, false
	default:
		t = soon(onVerdict.Say(verdict))
		if _, changed := c.changedSince(k); changed && verdict == clarity.Void {
			if run, st := s.contactState(c); st == contactRuns && run.Start.After(k.Started) {
				return t, false
			}
			t = soon(onChanged.Say())
		}
	}
	if !f.Next.IsZero() {
		who := firstWords(string(f.NextBy), string(e.By))
		t.Due, t.Basis, t.Typed = e.when(f.Next), onTypedBy.Say(who), true
	}
	if !t.Due.After(e.At) {
		t.Due = e.At.Add(time.Minute)
	}
	return t, true
}

// routeBy gives the lead a time by which the route is decided, from the third positive
// in a row on. A negative or another route answers it.
func (f *CheckRead) routeBy(e *entry, c *Content) (t Timer, ok bool) {
	row := c.positives()
	if row < 3 || slices.ContainsFunc(c.Timers, func(t Timer) bool { return t.Kind == KindRoute }) {
		return t, false
	}
	return Lapse{Kind: KindRoute, DueKind: NotAfter, Verb: "decide-route", After: f.Route,
		Basis: onPositives.Say(nth(row))}.timer(e, 1), true
}

// CheckRead is what the tubes showed. The verdict follows, by the times that stand.
type CheckRead struct {
	ID      string              `json:"check"`
	Number  TankNumber          `json:"vessel"`
	Sample  clarity.Look        `json:"sample,omitempty"`
	Control clarity.ControlLook `json:"control,omitempty"`
	Second  clarity.SecondLook  `json:"second,omitempty"`
	Tube    TankNumber          `json:"tube,omitempty"` // the number read back off the tube
	// When to look again: by the house's wait for what was seen, from the alcohol in;
	// after a test that proves nothing; or as somebody said. Route is by when the lead
	// decides the route after too many positives.
	Wait   quantity.Span `json:"wait,omitzero"`
	Again  quantity.Span `json:"again,omitzero"`
	Route  quantity.Span `json:"route,omitzero"`
	Next   time.Time     `json:"next,omitzero"`
	NextBy Initials      `json:"next_by,omitempty"`
	ControlTube
}

func (f *CheckRead) apply(s *State, r Record) {
	e := s.enter(r, f)
	if len(e.seq) == 0 {
		return
	}
	_, h, _ := s.book.Around(place{number: f.Number}, e.seq[0])
	verdict := h.items[0].Read.Verdict
	said := firstWords(string(verdict), "read")
	if f.Second != "" {
		s.log(r, vesselRef(f.Number), "pectin test {verdict}: haze looked at again, {second}", said, f.Second)
		return
	}
	s.log(r, vesselRef(f.Number), "pectin test {verdict}: sample {sample}, control {control}", said, f.Sample,
		f.Control)
}

func (f *CheckRead) lines(s *State, e *entry) []*line {
	v := s.vessels[f.Number]
	if v == nil {
		return nil
	}
	return []*line{e.line(e.At, 0, func(before []*holding) []*holding {
		it := e.stamp(e.At, f.Number, &Item{Read: f.judged(s, before[0].contents(), e)})
		after := posted(v.VesselSetup, before[0], it)
		if it.TakenBack {
			return []*holding{after}
		}
		c := after.content
		for _, k := range c.Checks {
			if k.ID != f.ID {
				continue
			}
			if t, ok := f.routeBy(e, c); ok && k.Verdict == clarity.Positive {
				c.starts(t)
			}
			if t, ok := f.nextTest(s, e, c, k, k.Verdict); ok {
				c.starts(t)
			}
		}
		return []*holding{after}
	}, place{number: f.Number})}
}

// judged is the reading with its verdict, by the check as it stands in a content.
func (f *CheckRead) judged(s *State, c *Content, e *entry) *checkReading {
	x := &checkReading{CheckRead: *f}
	for _, old := range c.Checks {
		if old.ID == f.ID {
			k := *old
			k.read(f, e.At, e.By)
			j := s.stands(k.judge(), c, &k)
			x.Verdict, x.Why, x.Protein = j.Verdict, j.Why, j.Protein
		}
	}
	return x
}

// read takes what the tubes showed into the check, or what the second look did.
func (c *Check) read(f *CheckRead, at time.Time, by Initials) {
	if f.Second != "" {
		c.Second, c.SecondAt = f.Second, at
	} else {
		c.ReadAt, c.ReadBy, c.Sample, c.Control = at, by, f.Sample, f.Control
	}
	c.ControlTube = c.ControlTube.with(f.ControlTube)
}

var (
	_ = command[StartCheck]("pectin-test")
	_ = command[ReadCheck]("pectin-test-read")
	_ = fact[CheckBegun]("pectin-test-begun")
	_ = fact[CheckRead]("pectin-test-read")
)
