package cellar

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"time"

	"cellar.example/mustwatch/domain/dose"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/stage"
	"cellar.example/mustwatch/domain/subject"
	"cellar.example/mustwatch/domain/text"
)

// Open writes the cellar as it stands when the board is first used: a house
// begins in mid-harvest, with full tanks, running clocks and earlier doses.
type Open struct {
	Head
	Vessels []OpenVessel `json:"vessels,omitempty"`
	Presses []OpenPress  `json:"presses,omitempty"`
	Clocks  []OpenClock  `json:"clocks,omitempty"`
	Loads   []Load       `json:"loads,omitempty"` // the loads that the contents came from
}

// OpenVessel is one vessel at the opening.
type OpenVessel struct {
	Vessel  TankNumber        `json:"vessel" toml:"vessel"`
	Volume  quantity.Volume   `json:"volume,omitzero" toml:"volume"`
	Variety string            `json:"variety,omitempty" toml:"variety"`
	Kind    stage.Substance   `json:"kind,omitempty" toml:"kind"`
	Load    LoadID            `json:"load,omitempty" toml:"load"`
	Stage   stage.Stage       `json:"stage" toml:"stage"`
	Since   time.Time         `json:"since,omitzero" toml:"since"` // of the stage; for clean vessels, when cleaned
	Why     string            `json:"why,omitempty" toml:"why"`
	From    TankNumber        `json:"from,omitempty" toml:"from"` // press it fills from
	Temp    *quantity.Celsius `json:"temp,omitempty" toml:"temp"`
	Density *quantity.Density `json:"density,omitempty" toml:"density"`
	Doses   []OpenDose        `json:"doses,omitempty" toml:"doses"`
	Closed  time.Time         `json:"closed,omitzero" toml:"closed"` // last juice in
	Shares  []Part            `json:"shares,omitempty" toml:"-"`     // of several loads, from the season before
	Lapses  []Lapse           `json:"lapses,omitempty" toml:"-"`     // the clocks of its stage, by the house's lengths
}

// OpenDose is a dose given before the opening.
type OpenDose struct {
	At      time.Time       `json:"at" toml:"at"`
	By      Initials        `json:"by,omitempty" toml:"by"`
	Product ProductID       `json:"product" toml:"product"`
	Rate    quantity.Rate   `json:"rate" toml:"rate"`
	Amount  quantity.Amount `json:"amount" toml:"amount"`
	Counted bool            `json:"counted,omitempty" toml:"counted"` // already out of the stock count
}

// OpenPress is one press at the opening.
type OpenPress struct {
	Press     TankNumber    `json:"press" toml:"press"`
	State     PressState    `json:"state" toml:"state"`
	Load      LoadID        `json:"load,omitempty" toml:"load"`
	Variety   string        `json:"variety,omitempty" toml:"variety"`
	Mass      quantity.Mass `json:"mass,omitzero" toml:"mass"`
	Since     time.Time     `json:"since,omitzero" toml:"since"`
	Programme string        `json:"programme,omitempty" toml:"programme"`
	End       time.Time     `json:"end,omitzero" toml:"end"`
	Main      TankNumber    `json:"free_run,omitempty" toml:"free_run"`
	Fraction  TankNumber    `json:"pressings,omitempty" toml:"pressings"`
}

// OpenClock is a clock that runs at the opening.
type OpenClock struct {
	Subject subject.Ref `json:"subject" toml:"subject"`
	Kind    ClockKind   `json:"kind" toml:"kind"`
	What    DueKind     `json:"what,omitempty" toml:"what"`
	Verb    string      `json:"verb" toml:"verb"`
	Start   time.Time   `json:"start,omitzero" toml:"start"`
	Due     time.Time   `json:"due" toml:"due"`
	Owner   Initials    `json:"owner,omitempty" toml:"owner"`
	Basis   string      `json:"basis,omitempty" toml:"basis"`
}

func (c *Open) decide(d *decision) ([]Fact, error) {
	if !d.s.Opened.IsZero() {
		return nil, reject("opened", "vessels", "the cellar was opened at {time}; save what has changed since",
			d.says(d.s.Opened))
	}
	f := &CellarOpened{Vessels: c.Vessels, Presses: c.Presses}
	var wrong []error // all of it, so that a file can be mended in one pass
	var look func(list string, i int, err error) bool
	look = func(list string, i int, err error) bool {
		if many, ok := err.(interface{ Unwrap() []error }); ok {
			for _, one := range many.Unwrap() {
				look(list, i, one)
			}
			return false
		}
		var no *Rejection
		if errors.As(err, &no) {
			at := *no
			at.Field = fmt.Sprintf("%s[%d]", list, i)
			err = &at
		}
		if err != nil {
			wrong = append(wrong, err)
		}
		return err == nil
	}
	seen := map[TankNumber]bool{}
	f.Vessels = slices.Clone(c.Vessels)
	for i, o := range c.Vessels {
		if look("vessels", i, o.check(d)) && look("vessels", i, once(seen, o.Vessel)) {
			lapses, err := o.lapses(d, c.Clocks)
			look("vessels", i, err)
			f.Vessels[i].Lapses = lapses
		}
	}
	for i, o := range c.Presses {
		if look("presses", i, o.check(d)) {
			look("presses", i, once(seen, o.Press))
		}
	}
	for i, l := range c.Loads {
		if l.Net <= 0 || l.ID == "" {
			look("loads", i, reject("load", "loads", "an earlier load needs its number and its net weight"))
		}
		look("loads", i, l.checkAhead())
		l.Arrived = d.at
		f.Loads = append(f.Loads, l)
	}
	facts := []Fact{} // the clocks first: they stand for those that would follow
	for i, o := range c.Clocks {
		k, err := o.clock(d, c.Loads)
		if look("clocks", i, err) {
			facts = append(facts, k)
		}
	}
	return append(facts, f), errors.Join(wrong...)
}

func (o OpenVessel) check(d *decision) error {
	v, err := d.vessel(o.Vessel, "vessels")
	if err != nil {
		return err
	}
	sys := d.s.House.Units
	var wrong []error
	no := func(code, template string, values ...any) {
		wrong = append(wrong, reject(code, "vessels", template, values...))
	}
	if !o.Stage.Known() {
		no("stage", "{tank}: {stage:%q} is not a stage; choose from {stages}", o.Vessel, o.Stage,
			listed(stage.Stages()))
	}
	switch {
	case o.Volume < 0 || o.Volume > v.Brim:
		holds, brim := o.Volume.Beside(v.Brim, sys)
		no("volume", "{tank} cannot hold {holds}; its brim is {brim}", o.Vessel, holds, brim)
	case o.Stage.Known() && o.Stage.Empty() != (o.Volume == 0):
		no("volume", "{tank}: a vessel that is {stage} cannot hold {volume}", o.Vessel, o.Stage, o.Volume.Text(sys))
	}
	if o.Since.After(d.at) || o.Closed.After(d.at) {
		no("future", "{tank}: type a time before the opening", o.Vessel)
	}
	if no, ok := (Measured{Temp: o.Temp, Density: o.Density}).hard(v, sys).(*Rejection); ok {
		wrong = append(wrong, reject(no.Code, "vessels", "{tank}: {message}", o.Vessel, no.Message()))
	}
	if of := sharesOf(o.Shares); len(o.Shares) > 0 && of != o.Volume {
		no("shares", "{tank}: its shares come to {sum}, and it holds {volume}", o.Vessel, of.Text(sys),
			o.Volume.Text(sys))
	}
	for _, x := range o.Doses {
		if err := x.check(d, o); err != nil {
			wrong = append(wrong, err)
		}
	}
	if o.Volume > 0 && !o.Kind.Flows() && o.Kind != stage.Yeast && o.Kind != stage.NoProduct {
		no("kind", "{tank}: {kind:%q} is not a kind of content; choose juice, press juice, clear juice, must on "+
			"skins, red must, hot must, lees, wine, yeast or not product", o.Vessel, o.Kind)
	}
	return errors.Join(wrong...)
}

func sharesOf(parts []Part) (sum quantity.Volume) {
	for _, p := range parts {
		sum += p.Volume
	}
	return sum
}

// check refuses an earlier dose that is no dose, or whose amount is not what its
// rate comes to on what the vessel holds.
func (x OpenDose) check(d *decision, o OpenVessel) error {
	if _, err := d.product(x.Product); err != nil {
		return err
	}
	switch {
	case x.Amount.IsZero() || x.Rate.IsZero() || x.At.IsZero():
		return reject("dose", "vessels", "{tank}: an earlier dose needs its time, its rate and its amount", o.Vessel)
	case x.Amount.Negative() || x.Rate.Value < 0:
		return reject("dose", "vessels", "{tank}: a dose of {amount} cannot be", o.Vessel, x.Amount)
	case x.At.After(d.at):
		return reject("future", "vessels", "{tank}: type a time before the opening", o.Vessel)
	}
	if x.Rate.Unit.OnGrapes() || o.Volume <= 0 {
		return nil
	}
	want, err := dose.OnJuice(o.Volume, x.Rate)
	// the amount is what was poured
	if p := d.s.products[x.Product]; err == nil && !want.Liquid() && x.Amount.Liquid() == p.Poured() {
		want = p.Card.Strength.Product(want.Mass)
	}
	if err != nil || want.Liquid() != x.Amount.Liquid() {
		return nil
	}
	if off := dose.Weighed(want, x.Amount); math.Abs(off) > 0.5 {
		return reject("dose", "vessels", "{tank}: {volume} at {rate} comes to {want}, not to {amount}", o.Vessel,
			o.Volume.Text(d.s.House.Units), x.Rate, want, x.Amount)
	}
	return nil
}

// once refuses a vessel or a press that is opened twice.
func once(seen map[TankNumber]bool, p TankNumber) error {
	if seen[p] {
		return reject("double", "vessels", "{name} is listed twice", p)
	}
	seen[p] = true
	return nil
}

var pressStates = []PressState{PressReady, PressFilling, PressFull, PressRunning, PressStopped, PressEmptying,
	PressLocked}

func (o OpenPress) check(d *decision) error {
	if _, err := d.press(o.Press, "presses"); err != nil {
		return err
	}
	if !slices.Contains(pressStates, o.State) {
		return reject("state", "presses", "{press}: {state:%q} is not a state of a press; choose from {press_states}",
			o.Press, o.State, listed(pressStates))
	}
	for _, p := range []TankNumber{o.Main, o.Fraction} {
		if _, ok := d.s.vessels[p]; p != "" && !ok {
			return reject("number", "presses", "{press}: there is no vessel {name:%q}", o.Press, p)
		}
	}
	if o.State == PressRunning && o.End.IsZero() {
		return reject("end", "presses", "{press} is pressing; when does it end?", o.Press)
	}
	if n := o.End.Sub(d.at); !o.End.IsZero() && (n > maxClock || n < -maxClock) {
		return reject("end", "presses", "{press} ends at {time}, more than 30 days away", o.Press,
			o.End.In(d.s.Zone()).Format("Mon 2 Jan 2006 15:04"))
	}
	return nil
}

var clockKinds = []ClockKind{KindContact, KindLook, KindReading, KindSettling, KindFloat, KindCap, KindHot, KindSkin,
	KindProgramme,
	KindFill, KindTip, KindClean, KindMove, KindPumpOver, KindCall, KindPromise, KindOther}

func (o OpenClock) clock(d *decision, loads []Load) (*ClockSet, error) {
	if o.Verb == "" || o.Due.IsZero() || o.Subject.IsZero() {
		return nil, reject("clock", "clocks", "a clock needs a subject, a verb and a due time")
	}
	kind := o.What
	if kind == "" {
		kind = ActAt
	}
	if kind != ActAt && kind != NotBefore && kind != NotAfter {
		return nil, reject("what", "clocks", "type act-at, not-before or not-after, not {kind:%q}", kind)
	}
	if !slices.Contains(clockKinds, o.Kind) {
		return nil, reject("kind", "clocks", "{kind:%q} is not a kind of clock; choose from {clock_kinds}", o.Kind,
			listed(clockKinds))
	}
	switch {
	case o.Start.After(d.at):
		return nil, reject("start", "clocks", "the clock of {subject} starts at {time}, after the opening", o.Subject,
			d.says(o.Start))
	case !o.Start.IsZero() && !o.Due.After(o.Start):
		return nil, reject("due", "clocks", "the clock of {subject} is due at {time}, before it starts", o.Subject,
			d.says(o.Due))
	case o.Due.Sub(d.at) > maxClock || d.at.Sub(o.Due) > maxClock:
		return nil, reject("due", "clocks", "the clock of {subject} is due {time}, more than 30 days away", o.Subject,
			o.Due.In(d.s.Zone()).Format("Mon 2 Jan 2006 15:04"))
	}
	of, err := d.s.resolve(o.Subject, "clocks")
	if err == nil && of.Kind == subject.Words && slices.ContainsFunc(loads,
		func(l Load) bool { return string(l.ID) == of.Name }) {
		of.Kind = subject.Load
	}
	if err != nil {
		return nil, err
	}
	basis := onTakenOver.Say()
	if o.Basis != "" {
		basis = text.Words(o.Basis)
	}
	k := d.setClock(of, o.Kind, kind, o.Verb, o.Due, basis)
	k.Typed = true
	if !o.Start.IsZero() {
		k.Start = Instant(o.Start)
	}
	if o.Owner != "" {
		k.Owner = o.Owner
	}
	return k, nil
}

// CellarOpened is the cellar as it stood when the board was first used.
type CellarOpened struct {
	Vessels []OpenVessel `json:"vessels,omitempty"`
	Presses []OpenPress  `json:"presses,omitempty"`
	Loads   []Load       `json:"loads,omitempty"`
}

func (f *CellarOpened) apply(s *State, r Record) {
	s.Opened = r.At
	s.enter(r, f)
	s.log(r, theHouse, "the cellar as it stands: {count} vessels, {total}", len(f.Vessels), s.Total())
}

// lines puts the cellar into the book, each thing at its own true time.
func (f *CellarOpened) lines(s *State, e *entry) (out []*line) {
	for _, l := range f.Loads {
		out = append(out, s.onLoad(e, time.Time{}, l.ID, func(x *trailer) {
			x.booked, x.ticket, x.whole = &l, &l,
				true
		})...)
	}
	for i, o := range f.Vessels {
		out = append(out, o.lines(s, e, i*openSteps)...)
	}
	for _, o := range f.Presses {
		out = append(out, s.press(e, o.Press, func(p *Press) {
			p.State, p.Since = o.State, e.orAt(o.Since)
			if o.Load != "" {
				p.Parts = []PressPart{{Load: o.Load, Variety: o.Variety, Mass: o.Mass}}
			}
			p.Programme, p.Main, p.Fraction, p.End = o.Programme, o.Main, o.Fraction, e.when(o.End)
			if o.State == PressRunning {
				p.Started = p.Since
			}
		})...)
	}
	return out
}

// openSteps is more than the lines that the opening of one vessel makes.
const openSteps = 1000

// orAt is an instant that an entry carries, or its own.
func (e *entry) orAt(t time.Time) time.Time {
	if t.IsZero() {
		return e.At
	}
	return e.when(t)
}

func (o OpenVessel) lines(s *State, e *entry, sub int) (out []*line) {
	add := func(at time.Time, it *Item) *Item {
		out = append(out, s.on(e, at, sub+len(out), o.Vessel, it)...)
		return it
	}
	since := e.orAt(o.Since)
	if o.Stage.Empty() {
		add(since, &Item{Stage: &StageSet{Number: o.Vessel, Stage: o.Stage, Why: o.Why}, Clocks: o.timers(e)})
		return out
	}
	start := since
	for _, t := range append(o.doseTimes(), o.Closed) {
		if !t.IsZero() && e.when(t).Before(start) {
			start = e.when(t)
		}
	}
	load := o.Load
	if load == "" {
		load = LoadID("at opening " + string(o.Vessel))
	}
	held := o.Volume.Whole()
	parts := []Part{{Load: load, Variety: o.Variety, Volume: held}}
	if len(o.Shares) > 0 {
		parts = slices.Clone(o.Shares)
	}
	in := &Inflow{From: theStart, How: Opened, Volume: held, Kind: o.Kind, Untreated: o.Kind != stage.ClearJuice,
		Tested: o.Kind == stage.ClearJuice,
		Parts:  parts, Opens: o.Stage == stage.Filling}
	if in.Opens {
		in.From = pressRef(o.From)
	}
	add(start, &Item{In: in})
	for i, x := range o.Doses {
		dose := Dose{nth: sub + i + 1, twin: o.twin(i), Product: x.Product, Rate: x.Rate, Amount: x.Amount,
			Drawn: x.Amount, Treated: o.Volume, Where: o.Vessel, Counted: x.Counted, Number: 1}
		if p := s.products[x.Product]; p != nil {
			dose.Class, dose.Drawn = p.Class, p.opened(x.Amount)
			dose = dose.holds(p)
		}
		poured, it := s.pours(e, e.orAt(x.At), sub+len(out), o.Vessel, &dose, 0)
		out = append(out, poured...)
		it.By = Initials(firstWords(string(x.By), string(e.By)))
	}
	add(since, &Item{Stage: &StageSet{Number: o.Vessel, Stage: o.Stage, Why: o.Why}, Clocks: o.timers(e)})
	if in.Opens { // a stage closes a tank; this one still fills
		add(since, &Item{In: &Inflow{From: pressRef(o.From), Opens: true, Untreated: true}})
	}
	if o.Temp != nil || o.Density != nil {
		add(e.At, &Item{Reading: &Measured{Temp: o.Temp, Density: o.Density}})
	}
	return out
}

func (o OpenVessel) doseTimes() []time.Time {
	var out []time.Time
	for _, x := range o.Doses {
		out = append(out, x.At)
	}
	return out
}

var (
	_ = command[Open]("opening")
	_ = fact[CellarOpened]("cellar-opened")
)
