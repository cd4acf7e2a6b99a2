package cellar

import (
	"slices"
	"strings"
	"time"

	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/stage"
)

// Tip starts to fill a press or a vessel from a load of grapes.
type Tip struct {
	Head
	Load  LoadID          `json:"load"`
	To    TankNumber      `json:"to"`
	Mass  quantity.Mass   `json:"mass,omitzero"` // what goes there; all that is left unless said
	Until time.Time       `json:"until,omitzero"`
	Kind  stage.Substance `json:"kind,omitempty"` // what runs into a vessel
}

func (c *Tip) decide(d *decision) ([]Fact, error) {
	l, ok := d.s.Load(c.Load)
	weighed := ok && !l.Arrived.IsZero()
	if !weighed && (!c.Happened || c.Load == "") { // its ticket may be written later, what it weighs then counts
		return nil, reject("load", "load", "load {load:%q} is not weighed; weigh it first", c.Load)
	}
	if !ok {
		l = &Load{ID: c.Load}
	}
	mass, rest := c.Mass, l.Net-l.goneBy(d.at)
	if mass == 0 {
		mass = max(0, rest)
	}
	if weighed && (mass <= 0 || mass > rest) || mass < 0 {
		left, net := rest.Beside(l.Net, d.s.House.Units)
		return nil, reject("mass", "mass", "load {load} has only {left} left of {net}", l.ID, left, net)
	}
	f := &Tipping{Load: l.ID, To: c.To, Variety: l.Variety, Mass: mass, All: mass == rest || c.Mass == 0,
		Until: c.Until}
	facts := []Fact{f}
	if p := d.s.presses[c.To]; p != nil {
		if p.State != PressReady && p.State != PressFilling && p.State != PressFull {
			return nil, reject("press-busy", "to", "{press} is {state}", p.Number, p.State)
		}
		d.subject, d.what = d.s.at(c.To), tryTip.Say(l.ID, c.To)
		ask(d, pressTipRules, &pressTipTry{tipTry{l, mass}, onPress{p}})
		return facts, d.bound(d.s.at(c.To), f.lapses()...)
	}
	v, err := d.vessel(c.To, "to")
	if err != nil {
		return nil, err
	}
	f.Vessel, f.Brings = true, c.Kind
	if f.Brings == "" {
		f.Brings = mustKind(v.Use)
	}
	d.subject, d.what = d.s.at(c.To), tryTip.Say(l.ID, c.To)
	ask(d, vesselTipRules, &vesselTipTry{tipTry{l, mass}, inflows{{vessel: v, kind: f.Brings, from: l.Ref(),
		field: "to"}}})
	return facts, d.bound(d.s.at(c.To), f.lapses()...)
}

func mustKind(u stage.Use) stage.Substance {
	switch u {
	case stage.UseHot:
		return stage.HotMust
	case stage.UseSkin:
		return stage.WhiteMust
	}
	return stage.RedMust
}

// Tipping is a load that has begun to run into a press or a vessel.
type Tipping struct {
	Load    LoadID          `json:"load"`
	To      TankNumber      `json:"to"`
	Variety string          `json:"variety"`
	Mass    quantity.Mass   `json:"mass"`          // as was known when it was saved, where it was
	All     bool            `json:"all,omitempty"` // all that was left of it: it follows its ticket
	Vessel  bool            `json:"vessel,omitempty"`
	Brings  stage.Substance `json:"brings,omitempty"`
	Until   time.Time       `json:"until,omitzero"` // when it is to be closed, as typed
}

// lapses is the clock by which the tap is closed, where somebody said when.
func (f *Tipping) lapses() []Lapse {
	if f.Until.IsZero() {
		return nil
	}
	l := closing(f.Until)
	if f.Vessel {
		l.Kind = KindTip
	}
	return []Lapse{l}
}

// closing is the clock by which the filling of a press is closed.
func closing(at time.Time) Lapse {
	return Lapse{Kind: KindFill, DueKind: ActAt, Verb: "close", At: at, Basis: onLineRate.Say(), field: "until"}
}

// programme is the clock by which a press is emptied.
func programme(end time.Time, name, field string) Lapse {
	return Lapse{Kind: KindProgramme, DueKind: ActAt, Verb: "empty", At: end, Basis: onProgramme.Say(name),
		field: field}
}

func (f *Tipping) apply(s *State, r Record) {
	s.enter(r, f)
	mass := "not weighed yet"
	if x := s.fillOf(r.Seq); x != nil && x.Mass > 0 {
		mass = inWords(s, x.Mass)
	}
	s.log(r, loadRef(f.Load), "into {to}, {mass}", f.To, mass)
	if f.Vessel {
		s.log(r, s.at(f.To), "filling from load {load}", f.Load)
		return
	}
	p := s.presses[f.To]
	if p == nil {
		return
	}
	s.pressLog(r, p, "filling with {load} {variety}, {mass}", f.Load, f.Variety, mass)
}

func (f *Tipping) lines(s *State, e *entry) []*line {
	if f.Vessel {
		it := &Item{In: &Inflow{From: loadRef(f.Load), Kind: f.Brings, Opens: true, Untreated: true}}
		for i, l := range f.lapses() {
			it.Clocks = append(it.Clocks, l.timer(e, i))
		}
		return s.fromLoad(e, f.To, it, f.Load, func(x *trailer) { x.tips(e, f) })
	}
	return s.intoPress(e, f.To, f.Load, func(p *Press, x *trailer) {
		fill, variety := x.tips(e, f), x.variety(f.Variety)
		if p.State != PressFilling && p.State != PressFull {
			p.clear()
			p.Since = e.At
		}
		p.State = PressFilling
		p.Parts = append(p.Parts, PressPart{Load: f.Load, Variety: variety, Mass: fill.Mass, Seq: e.Seq})
		for _, l := range f.lapses() {
			p.starts(e, l)
		}
	})
}

// fromLoad makes the line of what runs from a trailer into a vessel.
func (s *State) fromLoad(e *entry, p TankNumber, it *Item, id LoadID, do func(x *trailer)) []*line {
	v := s.vessels[p]
	if v == nil {
		return nil
	}
	e.stamp(e.At, p, it)
	return []*line{e.line(e.At, 0, func(before []*holding) []*holding {
		in, x := *it, before[1].onTrailer()
		if !it.TakenBack {
			do(x)
		}
		ran := *it.In
		ran.Parts = slices.Clone(ran.Parts)
		for i := range ran.Parts {
			ran.Parts[i].Variety = x.variety(ran.Parts[i].Variety)
		}
		in.In = &ran
		return []*holding{posted(v.VesselSetup, before[0], &in), {trailer: x}}
	}, place{number: p}, loadPlace(id))}
}

// intoPress makes the line of what a trailer and a press do together.
func (s *State) intoPress(e *entry, number TankNumber, id LoadID, do func(p *Press, x *trailer)) []*line {
	setup := s.presses[number]
	if setup == nil {
		return nil
	}
	return []*line{e.line(e.At, 0, func(before []*holding) []*holding {
		p, x := before[0].pressed(setup.PressSetup), before[1].onTrailer()
		if !e.takenBack() {
			do(p, x)
		}
		return []*holding{{press: p}, {trailer: x}}
	}, place{kind: aPress, number: number}, loadPlace(id))}
}

func (p *Press) clear() {
	*p = Press{PressSetup: p.PressSetup, State: p.State, Since: p.Since}
}

// TipDone says that a load is all in. Into a vessel it gives the volume.
type TipDone struct {
	Head
	Load   LoadID          `json:"load"`
	To     TankNumber      `json:"to"`
	Volume quantity.Volume `json:"volume,omitzero"`
	How    Gauge           `json:"how,omitempty"` // how the volume was found
}

func (c *TipDone) decide(d *decision) ([]Fact, error) {
	l, ok := d.s.Load(c.Load)
	if !ok {
		return nil, reject("load", "load", "there is no load {load:%q}", c.Load)
	}
	if p := d.s.presses[c.To]; p != nil {
		if p.State != PressFilling {
			return nil, reject("press-state", "to", "{press} is not filling, it is {state}", p.Number, p.State)
		}
		facts := []Fact{&Tipped{Load: l.ID, To: c.To}}
		return append(facts, d.answer(d.s.at(c.To), endFull.Say(), KindFill)...), nil
	}
	v, err := d.vessel(c.To, "to")
	if err != nil {
		return nil, err
	}
	if err := checkGauge(c.How); err != nil {
		return nil, err
	}
	if c.Volume <= 0 || !c.Happened && v.Now.Volume+c.Volume > v.Brim {
		return nil, reject("volume", "volume", "how much must came into {to}? It holds {volume} and its brim is {brim}",
			c.To, v.Now.Volume.Text(d.s.House.Units), v.Brim.Text(d.s.House.Units))
	}
	if len(l.Fills) == 0 && l.In == 0 {
		return nil, reject("load", "load", "load {load} is not tipped yet; save that first", l.ID)
	}
	d.subject, d.what = d.s.at(c.To), tryTipped.Say(l.ID, c.To, c.Volume)
	ask(d, tippedRules, inflows{{vessel: v, volume: c.Volume, kind: v.Now.Kind, from: l.Ref(), field: "volume",
		doubt: c.How.doubtOf(c.Volume, v)}})
	facts := []Fact{&Tipped{Load: l.ID, To: c.To, Variety: l.Variety, Volume: c.Volume, Vessel: true,
		Stage: stageAfterTip(v.Use), How: c.How}}
	if err := d.fits(d.after(facts...), "volume"); err != nil {
		return nil, err
	}
	return append(facts, d.answer(d.s.at(c.To), endFull.Say(), KindTip)...), nil
}

func stageAfterTip(u stage.Use) stage.Stage {
	switch u {
	case stage.UseHot:
		return stage.HotHold
	case stage.UseSkin:
		return stage.SkinContact
	case stage.UseMust:
		return stage.ColdSoak
	}
	return stage.Waiting
}

// Tipped is a load that is all in.
type Tipped struct {
	Load    LoadID          `json:"load"`
	To      TankNumber      `json:"to"`
	Variety string          `json:"variety,omitempty"`
	Volume  quantity.Volume `json:"volume,omitzero"`
	Vessel  bool            `json:"vessel,omitempty"`
	Stage   stage.Stage     `json:"stage,omitempty"`
	How     Gauge           `json:"how,omitempty"`
}

func (f *Tipped) apply(s *State, r Record) {
	s.enter(r, f)
	if f.Vessel {
		s.log(r, s.at(f.To), "load {load} all in, {volume}", f.Load, inWords(s, f.Volume))
		return
	}
	if p := s.presses[f.To]; p != nil {
		s.pressLog(r, p, "full, {mass}", inWords(s, p.Mass()))
	}
}

func (f *Tipped) lines(s *State, e *entry) []*line {
	if f.Vessel {
		v := f.Volume.Whole()
		return s.fromLoad(e, f.To, &Item{In: &Inflow{From: loadRef(f.Load), Volume: v, Untreated: true, Closes: true,
			Stage: f.Stage,
			How:   f.How, Parts: []Part{{Load: f.Load, Variety: f.Variety, Volume: v}}}}, f.Load, (*trailer).tipped)
	}
	return s.intoPress(e, f.To, f.Load, func(p *Press, x *trailer) {
		x.tipped()
		p.State, p.Since = PressFull, e.At
		p.ends(KindFill)
	})
}

// StartPress starts a programme and names where the juice goes.
type StartPress struct {
	Head
	Press     TankNumber    `json:"press"`
	Programme string        `json:"programme"`
	Minutes   quantity.Span `json:"minutes,omitzero"`
	Main      TankNumber    `json:"free_run"`
	Fraction  TankNumber    `json:"pressings,omitempty"`
}

func (c *StartPress) decide(d *decision) ([]Fact, error) {
	p, err := d.press(c.Press, "press")
	if err != nil {
		return nil, err
	}
	if p.State != PressFull && p.State != PressFilling || len(p.Parts) == 0 {
		return nil, reject("press-state", "press", "{press} is {state}{empty}; fill it first", p.Number, p.State,
			map[bool]string{true: " and holds nothing"}[len(p.Parts) == 0])
	}
	g, err := p.programme(c.Programme, c.Minutes)
	if err != nil {
		return nil, err
	}
	d.subject, d.what = p.Ref(), tryProgramme.Say(g.Name, p.Number)
	t := &programmeTry{onPress: onPress{p}, main: c.Main, fraction: c.Fraction}
	for _, to := range []struct {
		number TankNumber
		field  string
	}{{c.Main, "free_run"}, {c.Fraction, "pressings"}} {
		if to.number == "" {
			continue
		}
		v, err := d.vessel(to.number, to.field)
		if err != nil {
			return nil, err
		}
		t.inflows = append(t.inflows, inflowTry{vessel: v, kind: stage.Juice, from: p.Ref(), loads: p.Loads(),
			variety: p.Variety(), field: to.field})
	}
	ask(d, programmeRules, t)
	end, field := d.at.Add(g.Minutes.Duration()), "programme"
	if c.Minutes != 0 {
		field = "minutes"
	}
	facts := []Fact{&PressBegun{Press: p.Number, Programme: g.Name, Minutes: g.Minutes, Main: c.Main,
		Fraction: c.Fraction}}
	if err := d.bound(p.Ref(), programme(end, g.Name, field)); err != nil {
		return nil, err
	}
	return append(facts, d.answer(p.Ref(), endStarted.Say(), KindFill)...), nil
}

// PressBegun is a programme that runs.
type PressBegun struct {
	Press     TankNumber    `json:"press"`
	Programme string        `json:"programme"`
	Minutes   quantity.Span `json:"minutes"`
	Main      TankNumber    `json:"free_run,omitempty"`
	Fraction  TankNumber    `json:"pressings,omitempty"`
}

func (f *PressBegun) apply(s *State, r Record) {
	p := s.presses[f.Press]
	if p == nil {
		return
	}
	s.enter(r, f)
	s.pressLog(r, p, "programme {programme} to {time}, free run to {main}, pressings to {fraction}", f.Programme,
		s.At(r.At).Clock(r.At.Add(f.Minutes.Duration())), orNone(f.Main), orNone(f.Fraction))
}

// lines sets the press going and opens the tank for its juice.
func (f *PressBegun) lines(s *State, e *entry) []*line {
	starts := func(p *Press) {
		p.State, p.Since, p.Started, p.Programme = PressRunning, e.At, e.At, f.Programme
		p.Main, p.Fraction = f.Main, f.Fraction
		p.ends(KindFill)
		p.runs(e, e.At.Add(f.Minutes.Duration()))
	}
	x, v := s.presses[f.Press], s.vessels[f.Main]
	if x == nil || v == nil {
		return s.press(e, f.Press, starts)
	}
	return []*line{e.line(e.At, 0, func(before []*holding) []*holding {
		p := before[0].pressed(x.PressSetup)
		it := e.stamp(e.At, v.Number, &Item{In: &Inflow{From: pressRef(f.Press), Kind: stage.Juice, Opens: true,
			Untreated: len(p.Doses) == 0}})
		if !it.TakenBack {
			starts(p)
		}
		return []*holding{{press: p}, posted(v.VesselSetup, before[1], it)}
	}, place{kind: aPress, number: f.Press}, place{number: f.Main})}
}

func orNone(p TankNumber) string {
	if p == "" {
		return "no tank yet"
	}
	return string(p)
}

// StopPress says that a press stands, and why.
type StopPress struct {
	Head
	Press  TankNumber `json:"press"`
	Reason string     `json:"reason"`
	Locked bool       `json:"locked,omitempty"`
}

func (c *StopPress) decide(d *decision) ([]Fact, error) {
	p, err := d.press(c.Press, "press")
	if err != nil {
		return nil, err
	}
	if strings.TrimSpace(c.Reason) == "" {
		return nil, reject("reason", "reason", "say why {press} is stopped", p.Number)
	}
	facts := []Fact{&PressHalted{Press: p.Number, Reason: c.Reason, Locked: c.Locked}}
	for _, k := range d.s.ClocksOf(p.Ref()) {
		if !k.Derived && (k.Kind == KindProgramme || k.Kind == KindFill) {
			facts = append(facts, &ClockCancelled{Clock: k.ID, Reason: c.Reason})
		}
	}
	return facts, nil
}

// PressHalted is a press that stands.
type PressHalted struct {
	Press  TankNumber `json:"press"`
	Reason string     `json:"reason"`
	Locked bool       `json:"locked,omitempty"`
}

func (f *PressHalted) apply(s *State, r Record) {
	p := s.presses[f.Press]
	if p == nil {
		return
	}
	s.enter(r, f)
	s.haltLog(r, p, Halt{Why: f.Reason}, "{state}: {reason}", p.State, f.Reason)
}

func (f *PressHalted) lines(s *State, e *entry) []*line {
	return s.press(e, f.Press, func(p *Press) {
		if !p.Stands() {
			p.Was, p.WasSince, p.Since = p.State, p.Since, e.At
		}
		p.State, p.Why = PressStopped, f.Reason
		if p.ends(KindProgramme, KindFill); f.Locked {
			p.State = PressLocked
		}
	})
}

// GoPress restarts a press. It goes on with what it was doing; a programme ends as
// much later as it stood.
type GoPress struct {
	Head
	Press TankNumber `json:"press"`
	Until time.Time  `json:"until,omitzero"`
}

func (c *GoPress) decide(d *decision) ([]Fact, error) {
	p, err := d.press(c.Press, "press")
	if err != nil {
		return nil, err
	}
	if !p.Stands() {
		return nil, reject("press-state", "press", "{press} is not stopped, it is {state}", p.Number, p.State)
	}
	d.subject, d.what = p.Ref(), tryGoOn.Say(p.Number)
	ask(d, goRules, onPress{p})
	end := c.Until
	if as := p.GoesOnAs(); as != PressRunning {
		f := &PressResumed{Press: p.Number}
		if !end.IsZero() && as == PressFilling {
			f.Close = Instant(end)
			return []Fact{f}, d.bound(p.Ref(), closing(end))
		}
		return []Fact{f}, nil
	}
	if end.IsZero() {
		end = p.endsAfter(d.at)
	}
	if !end.After(d.at) {
		return nil, reject("until", "until", "the programme must end after {time}", d.says(d.at))
	}
	f, field := &PressResumed{Press: p.Number}, ""
	if !c.Until.IsZero() {
		f.End, field = Instant(end), "until"
	}
	return []Fact{f}, d.bound(p.Ref(), programme(end, p.Programme, field))
}

// endsAfter is when the programme of a press that stands ends if it goes on at an instant.
func (p *Press) endsAfter(at time.Time) time.Time { return p.End.Add(at.Sub(p.Since)) }

// runs lets a programme run to an instant by the right clock.
func (p *Press) runs(e *entry, end time.Time) {
	t := programme(end, p.Programme, "").timer(e, 0)
	p.End, t.Due = Instant(end), Instant(end)
	p.Timers = append(slices.Clone(p.Timers), t)
}

// PressResumed is a press that runs again.
type PressResumed struct {
	Press TankNumber `json:"press"`
	End   time.Time  `json:"end,omitzero"`   // when its programme ends, as typed: else as much later as it stood
	Close time.Time  `json:"close,omitzero"` // when its filling is closed, as typed
}

func (f *PressResumed) apply(s *State, r Record) {
	p := s.presses[f.Press]
	if p == nil {
		return
	}
	stood := r.At.Sub(p.Since)
	s.enter(r, f)
	if p.State != PressRunning {
		words := map[PressState]string{PressFilling: "goes on filling", PressEmptying: "goes on emptying"}[p.State]
		s.haltLog(r, p, Halt{GoesOn: true}, "{state}, stopped for {stood}", firstWords(words, string(p.State)+" again"),
			quantity.Span(stood))
		return
	}
	s.haltLog(r, p, Halt{GoesOn: true}, "runs again after {stood}, ends {time}", quantity.Span(stood),
		s.At(r.At).Clock(p.End))
}

func (f *PressResumed) lines(s *State, e *entry) []*line {
	return s.press(e, f.Press, func(p *Press) {
		if !p.Stands() { // its stop was taken back
			return
		}
		end := p.endsAfter(e.At)
		if p.Why, p.State, p.Since = "", p.GoesOnAs(), laterOf(p.WasSince, p.Started); !f.End.IsZero() {
			p.State, end = PressRunning, e.when(f.End)
		}
		switch {
		case p.State == PressRunning:
			p.runs(e, end)
		case !f.Close.IsZero():
			p.starts(e, closing(f.Close))
		}
	})
}

var (
	_ = command[Tip]("tip")
	_ = command[TipDone]("tipped")
	_ = command[StartPress]("press-start")
	_ = command[StopPress]("press-stop")
	_ = command[GoPress]("press-resume")
	_ = fact[Tipping]("tipping")
	_ = fact[Tipped]("tipped")
	_ = fact[PressBegun]("press-begun")
	_ = fact[PressHalted]("press-halted")
	_ = fact[PressResumed]("press-resumed")
)
