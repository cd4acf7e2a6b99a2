package cellar

import (
	"slices"
	"time"

	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/stage"
	"cellar.example/mustwatch/domain/text"
)

// Portion is what one destination of a move receives.
type Portion struct {
	Vessel TankNumber      `json:"vessel"`
	Volume quantity.Volume `json:"volume"`
	Seen   TankNumber      `json:"read_back,omitempty"` // the number as it was read at the valve
}

// Move writes content moved from one vessel to others or to a press: racked,
// drained, pumped. Planned moves are gated; with Happened it is written as it
// was, by one word where it was called not yet.
type Move struct {
	Head
	From  TankNumber      `json:"from"`
	To    []Portion       `json:"to"`
	Lees  *Portion        `json:"lees,omitempty"`
	Out   *Sent           `json:"out,omitempty"` // out of the house
	Loss  quantity.Volume `json:"loss,omitzero"`
	Blend bool            `json:"blend,omitempty"`
	Meant TankNumber      `json:"intended,omitempty"` // where it should have gone
	// Part says that the rest stays: without it the sum must empty the vessel.
	Part bool   `json:"part,omitempty"`
	Why  string `json:"why,omitempty"`
	How  Gauge  `json:"how,omitempty"` // how the volumes were found, if not on the ledger
}

// Sum is all that leaves the vessel by this move.
func (c *Move) Sum() quantity.Volume {
	sum := c.Loss
	for _, p := range c.To {
		sum += p.Volume
	}
	if c.Lees != nil {
		sum += c.Lees.Volume
	}
	return sum + c.Out.volume()
}

// balanceSlack is how far a move may be off the ledger before it is asked
// about: one hectolitre, what a dip stick shows (common practice, no source).
const balanceSlack = quantity.Hectolitre

func (c *Move) decide(d *decision) ([]Fact, error) {
	from, err := d.vessel(c.From, "from")
	if err != nil {
		return nil, err
	}
	src := d.then(from)
	if !c.Happened && (src.Stage.Empty() || src.Volume == 0) {
		return nil, reject("empty", "from", "{tank} is {stage}; nothing can leave it", from.Number, src.Stage)
	}
	if err := checkGauge(c.How); err != nil {
		return nil, err
	}
	if len(c.To) == 0 && c.Lees == nil && c.Out == nil && c.Loss == 0 {
		return nil, reject("to", "to", "where does it go?")
	}
	if err := c.balance(d, from, &src); err != nil {
		return nil, err
	}
	t, err := c.try(d, from, &src)
	if err != nil {
		return nil, err
	}
	d.subject, d.what = from.Ref(), c.tried()
	ask(d, moveRules, t)
	d.askedAtStart(c)
	f := &Moved{From: c.From, To: c.To, Lees: c.Lees, Out: c.Out.tidy(), Loss: c.Loss, Part: c.Part, Blend: c.Blend,
		Meant: c.Meant, Why: c.Why, How: c.How}
	if m, ok := d.s.Running(c.From); ok {
		f.Begun = m.seq
	}
	o := d.after(f)
	if err := d.fits(o, "at"); err != nil {
		return nil, err
	}
	facts := []Fact{f}
	if o.flow().Empties {
		facts = append(facts, d.answer(from.Ref(), endMoved.Say(), KindSettling, KindCap, KindFloat, KindSkin, KindHot,
			KindLook, KindMove, KindRoute,
			KindReading, KindCooling, KindPumpOver)...)
	} else {
		facts = append(facts, d.answer(from.Ref(), endMoved.Say(), KindMove)...)
	}
	return append(facts, c.clocks(d, from, o.flow())...), nil
}

// askedAtStart drops what was asked and answered when the pump of this move
// started: no rule speaks twice about the same thing.
func (d *decision) askedAtStart(c *Move) {
	if m, ok := d.s.Running(c.From); ok && m.covers(d.s, c) {
		d.answered(m.Started)
	}
}

// answered drops the findings that have been answered since an instant, in an attempt
// on the same subject. What no word lifts was not answered.
func (d *decision) answered(since time.Time) {
	var open []gate.Finding
	for _, f := range d.found {
		said := false
		for _, a := range d.s.Answered {
			said = said || f.Right != gate.Nobody && a.Subject == d.subject && a.to(f) && !a.At.Before(since)
		}
		if !said {
			open = append(open, f)
		}
	}
	d.found = open
}

// balance refuses volumes that cannot be.
func (c *Move) balance(d *decision, from *Vessel, src *Content) error {
	u := d.s.House.Units
	for i, p := range c.To {
		if p.Volume <= 0 {
			return reject("volume", "to", "how much went to {tank}?", p.Vessel)
		}
		if slices.ContainsFunc(c.To[:i], func(q Portion) bool { return q.Vessel == p.Vessel }) {
			return reject("double", "to", "{tank} is listed twice; type all that went there as one volume", p.Vessel)
		}
		if p.Vessel == c.From {
			return reject("to", "to", "{from} cannot be moved into itself", c.From)
		}
	}
	if err := c.Out.check(); err != nil {
		return err
	}
	sum := c.Sum()
	switch {
	case c.Loss < 0:
		return reject("loss", "loss", "a loss of {loss} cannot be", c.Loss)
	case c.Lees != nil && c.Lees.Volume < 0:
		return reject("lees", "lees", "lees of {volume} cannot be", c.Lees.Volume)
	case c.Lees != nil && c.Lees.Vessel == c.From && c.Lees.Volume > 0:
		return reject("lees", "lees", "lees that stay in {from} are not moved; say that the rest stays", c.From)
	case !c.Happened && sum > src.Volume+balanceSlack:
		return reject("volume", "to", "{tank} holds {volume}; {sum} cannot leave it", from.Number, src.Volume.Text(u),
			sum.Text(u))
	case !c.Part && !c.Happened && sum < src.Volume-balanceSlack:
		return reject("balance", "loss", "{tank} holds {volume} and {known} is accounted for; say whether the other "+
			"{rest} is lees, loss, or stays", from.Number, src.Volume.Text(u), sum.Text(u), (src.Volume - sum).Text(u))
	}
	return nil
}

func (c *Move) try(d *decision, from *Vessel, src *Content) (*moveTry, error) {
	t := &moveTry{out: from, move: c, content: src}
	for _, p := range c.To {
		if d.s.presses[p.Vessel] != nil {
			if pr := d.s.presses[p.Vessel]; pr.State != PressReady && pr.State != PressFilling {
				return nil, reject("press-busy", "to", "{press} is {state}", pr.Number, pr.State)
			}
			t.press = d.s.presses[p.Vessel]
			continue
		}
		v, err := d.vessel(p.Vessel, "to")
		if err != nil {
			return nil, err
		}
		if !c.Happened && v.Now.Volume+p.Volume > v.Brim {
			return nil, reject("brim", "to", "{tank} holds {brim} to the brim and {held} is in it; {more} will not "+
				"go in", v.Number, v.Brim.Text(d.s.House.Units), v.Now.Volume.Text(d.s.House.Units),
				p.Volume.Text(d.s.House.Units))
		}
		t.inflows = append(t.inflows, inflowTry{vessel: v, volume: p.Volume, kind: d.s.kindAt(src, p.Vessel),
			from: vesselRef(c.From), variety: src.Variety(), field: "to", seen: d.s.seenAt(c.From, p),
			temp: src.Last.Temp, doubt: c.doubt(src, p.Volume, v)})
	}
	if c.Lees != nil && c.Lees.Volume > 0 {
		v, err := d.vessel(c.Lees.Vessel, "lees")
		if err != nil {
			return nil, err
		}
		if after := v.Now.Volume + c.Lees.Volume + c.portionOf(v.Number); !c.Happened && after > v.Brim {
			would, brim := after.Beside(v.Brim, d.s.House.Units)
			return nil, reject("brim", "lees", "{tank} holds {brim} to the brim; with the lees it would hold {would}",
				v.Number, brim, would)
		}
		t.inflows = append(t.inflows, inflowTry{vessel: v, volume: c.Lees.Volume, kind: stage.Lees,
			from: vesselRef(c.From), field: "lees", lees: true})
	}
	return t, nil
}

// portionOf is what goes to a vessel beside the lees.
func (c *Move) portionOf(to TankNumber) (sum quantity.Volume) {
	for _, p := range c.To {
		if p.Vessel == to {
			sum += p.Volume
		}
	}
	return sum
}

// seenAt is the number that was read at the valve: now, or when the pump of the
// move started.
func (s *State) seenAt(from TankNumber, p Portion) TankNumber {
	m, ok := s.Running(from)
	if p.Seen != "" || !ok {
		return p.Seen
	}
	for _, x := range m.To {
		if x.Vessel == p.Vessel {
			return x.Seen
		}
	}
	return ""
}

func (c *Move) tried() text.Say {
	to := make([]text.Say, len(c.To))
	for i, p := range c.To {
		to[i] = tankVolume.Say(p.Vessel, p.Volume)
	}
	if c.Out != nil {
		to = append(to, c.Out.Say())
	}
	return tryMove.Say(c.From, text.Join(", ", to...))
}

// kindAt is what a content that leaves its vessel counts as where it arrives.
func (s *State) kindAt(src *Content, to TankNumber) stage.Substance {
	v := s.vessels[to]
	if v == nil {
		return src.Kind
	}
	switch {
	case v.Use == stage.UseLees:
		return stage.Lees
	case src.Kind.IsJuice() && (src.Stage == stage.Settling || src.Stage == stage.CapRise ||
		src.Stage == stage.Flotation || src.Stage == stage.Racked):
		return stage.ClearJuice
	case src.Kind == stage.WhiteMust && v.Use != stage.UseSkin && (v.Use != stage.UseMust ||
		src.Stage == stage.DrawingOff):
		return stage.Juice // drained; onto another skin or must vessel it goes skins and all
	}
	return src.Kind
}

// stageAt is the stage to which a content comes in a vessel that held there.
func (s *State) stageAt(src *Content, to TankNumber, there *Content) stage.Stage {
	v, kind := s.vessels[to], s.kindAt(src, to)
	_, st := s.contactState(src)
	switch {
	case v == nil:
		return ""
	case v.Use == stage.UseLees:
		return stage.JuiceLees
	case !there.Stage.Empty():
		return "" // it joins what is there
	case kind == stage.ClearJuice:
		return stage.Racked
	case src.Kind == stage.HotMust:
		return stage.CooledBack
	case st == contactRuns:
		return stage.Contact
	case src.Kind == stage.RedMust, src.Stage == stage.SkinContact && kind == stage.WhiteMust:
		return src.Stage
	case src.Stage == stage.Fermenting || src.Stage == stage.Stored:
		return src.Stage
	}
	return stage.Waiting
}

// Leg is one destination of a move, with the share of every load.
type Leg struct {
	Vessel TankNumber
	Volume quantity.Volume
	Parts  []Part
	Doses  []Dose // of every dose, its share
	Kind   stage.Substance
	Stage  stage.Stage
	Press  bool
	Lees   bool
	Must   quantity.Volume // into a press: the must that the skins were part of
}

// Flow is what flowed by a move, by what its vessel held then.
type Flow struct {
	Along
	From        TankNumber
	Legs        []Leg
	Sent        *SentOff // out of the house
	Loss        quantity.Volume
	Taken       quantity.Volume // all that left, with lees and loss
	Empties     bool
	Unexplained quantity.Volume // left by the ledger when it was emptied; negative where more went than there was
	Meant       TankNumber
	Substance   stage.Substance
	Untreated   bool
	How         Gauge   // how the volumes were found
	Gauge       *Gauged // or where that of the whole content came from
	Lost        []Part  // of every load, its share of the loss
	Missing     []Part  // and of what is unexplained, with its sign
	LostDoses   []Dose  // of every dose, its share of the loss
	GoneDoses   []Dose  // and of what is unexplained
	again       Timer   // the test that is asked for again where it comes, when a check ran
	left        []Part  // of every load, what has not left
	doses       []Dose  // and of every dose
}

// missing is what of every load the account of an emptied vessel cannot explain.
func (x *Flow) missing(src *Content) []Part {
	out := slices.Clone(src.Parts)
	all := [][]Part{x.Lost}
	for _, l := range x.Legs {
		all = append(all, l.Parts)
	}
	if x.Sent != nil {
		all = append(all, x.Sent.Parts)
	}
	for _, parts := range all {
		for i := range parts { // shares stand in the order of the content
			out[i].Volume -= parts[i].Volume
		}
	}
	return slices.DeleteFunc(out, func(p Part) bool { return p.Volume == 0 })
}

// take takes a volume out of what is left, each load by its share. Of more than there
// is, each load has its share as well: it was there, and where it came from is
// unexplained.
func (x *Flow) take(src *Content, v quantity.Volume) []Part {
	var total quantity.Volume
	for _, p := range x.left {
		total += p.Volume
	}
	if v > total {
		for i := range x.left {
			x.left[i].Volume = 0
		}
		return splitParts(src.Parts, v)
	}
	out := splitParts(x.left, v)
	for i := range out {
		x.left[i].Volume -= out[i].Volume
	}
	return out
}

// Moved is content moved from one vessel to others, as it was said.
type Moved struct {
	From  TankNumber      `json:"from"`
	To    []Portion       `json:"to,omitempty"`
	Lees  *Portion        `json:"lees,omitempty"`
	Out   *Sent           `json:"out,omitempty"`
	Loss  quantity.Volume `json:"loss,omitzero"`
	Part  bool            `json:"part,omitempty"` // the rest stays
	Blend bool            `json:"blend,omitempty"`
	Meant TankNumber      `json:"intended,omitempty"`
	Why   string          `json:"why,omitempty"`
	How   Gauge           `json:"how,omitempty"`
	Begun Seq             `json:"begun,omitzero"` // the pump that it ends
}

// flow resolves the shares of every load, exact to the millilitre. there is what a
// destination held.
func (f *Moved) flow(s *State, e *entry, src *Content, there func(TankNumber) *Content) *Flow {
	x := &Flow{Along: src.along(), From: f.From, Meant: f.Meant, Substance: src.Kind, How: f.How, doses: src.Doses}
	x.Brought = src.brings(f.From)
	if len(src.Parts) == 0 { // something has flowed, and nobody knows what
		src.Parts = []Part{{Load: LoadID("from " + f.From), Variety: "?"}}
	}
	x.Loss = f.Loss.Whole()
	x.left = slices.Clone(src.Parts)
	for _, p := range f.goes() {
		x.Taken += p.Volume.Whole()
	}
	x.Taken += f.Out.volume().Whole() + x.Loss
	spreads := max(src.Volume, x.Taken) // what was given is in all of it, however much that was
	takeDoses := func(v quantity.Volume) (goes []Dose) {
		goes, x.doses = splitDoses(x.doses, v, spreads)
		spreads -= v
		return goes
	}
	take := func(p Portion) Leg {
		v := p.Volume.Whole()
		return Leg{Vessel: p.Vessel, Volume: v, Parts: x.take(src, v), Doses: takeDoses(v),
			Press: s.presses[p.Vessel] != nil}
	}
	for _, p := range f.To {
		leg := take(p)
		leg.Kind, leg.Stage = s.kindAt(src, p.Vessel), s.stageAt(src, p.Vessel, there(p.Vessel))
		x.Legs = append(x.Legs, leg)
	}
	if f.Lees != nil && f.Lees.Volume > 0 {
		leg := take(*f.Lees)
		leg.Kind, leg.Stage, leg.Lees = stage.Lees, stage.JuiceLees, true
		x.Legs = append(x.Legs, leg)
	}
	if f.Out != nil {
		v := f.Out.Volume.Whole()
		x.Sent = &SentOff{Sent: *f.Out, Parts: x.take(src, v), Doses: takeDoses(v)}
	}
	x.Lost, x.LostDoses = x.take(src, x.Loss), takeDoses(x.Loss)
	if src.Gauge != (Gauged{}) && f.How == Unsaid {
		x.Gauge = src.carried(x.Taken)
	}
	if x.Empties = !f.Part || x.Taken >= src.Volume; x.Empties {
		x.Unexplained = (src.Volume - x.Taken).Settled()
		x.Missing, x.GoneDoses = x.missing(src), x.doses
	}
	x.skins(src)
	if src.Check() != nil {
		x.again = Lapse{Kind: KindLook, DueKind: ActAt, Verb: VerbTest, After: s.House.Limits.RepeatTest,
			Basis: onMovedAlong.Say()}.timer(e, 0)
	}
	x.Untreated = (src.Kind.IsJuice() && src.Tested.IsZero() || src.Kind == stage.WhiteMust) && !Contacted(src.Doses)
	return x
}

// inflow is what one leg brings.
func (x *Flow) inflow(leg Leg) *Inflow {
	in := &Inflow{Along: x.Along, From: vesselRef(x.From), Volume: leg.Volume, Parts: leg.Parts, Doses: leg.Doses,
		Kind: leg.Kind, Stage: leg.Stage,
		How: x.How, Untreated: x.Untreated}
	if x.Gauge != nil { // each leg has its share of the doubt
		part := Content{Gauge: *x.Gauge, Volume: max(x.Taken, leg.Volume)}
		in.Carried = part.carried(leg.Volume)
	}
	if leg.Lees { // lees take along what was given, and no contact
		in.Along, in.Tested, in.Untreated = Along{FromLot: x.FromLot, Title: x.Title}, true, false
		return in
	}
	in.Timers = slices.DeleteFunc(slices.Clone(x.Timers), func(t Timer) bool {
		return t.Kind != KindLook && (t.Kind != KindSkin || leg.Stage != stage.SkinContact)
	})
	if x.again.Kind != "" && leg.Stage == stage.Contact { // its tubes say nothing of what stands elsewhere now
		in.Timers = []Timer{x.again}
	}
	return in
}

// MoveLine is one move, for lists and balances.
type MoveLine struct {
	Seq Seq
	At  time.Time
	By  Initials
	Flow
}

// Moves lists the moves in the order in which they were saved, as they flowed by the
// book as it stands; what was taken back is not among them.
func (s *State) Moves() []MoveLine {
	var out []MoveLine
	for _, e := range s.said {
		if _, moved := e.Fact.(*Moved); !moved || len(e.seq) == 0 || e.takenBack() {
			continue
		}
		if _, h, ok := s.book.Around(e.seq[0].Places[0], e.seq[0]); ok && h.flow != nil {
			out = append(out, MoveLine{Seq: e.Seq, At: e.seq[0].Key.At, By: e.By, Flow: *h.flow})
		}
	}
	return out
}

func (f *Moved) apply(s *State, r Record) {
	e := s.enter(r, f)
	if len(e.seq) == 0 {
		return
	}
	_, h, _ := s.book.Around(e.seq[0].Places[0], e.seq[0])
	var legs []text.Say
	for _, leg := range h.flow.Legs {
		volume := inWords(s, leg.Volume)
		legs = append(legs, text.Of("{volume} to {tank}", volume, leg.Vessel))
		if f.Meant != "" && f.Meant != leg.Vessel {
			s.log(r, s.at(leg.Vessel), "{volume} from {tank}, meant for {meant}", volume, f.From, f.Meant)
		} else {
			s.log(r, s.at(leg.Vessel), "{volume} from {tank}", volume, f.From)
		}
	}
	if f.Out != nil {
		legs = append(legs, f.Out.Say())
	}
	legs = append(legs, text.Of("loss {loss}", inWords(s, f.Loss)))
	s.log(r, vesselRef(f.From), "moved {legs}", text.Join(", ", legs...))
}

// lines lets a move flow from one place to all the others at once.
func (f *Moved) lines(s *State, e *entry) []*line {
	from := s.vessels[f.From]
	if from == nil {
		return nil
	}
	places := []place{{number: f.From}}
	for _, p := range f.goes() {
		at := s.byNumber(p.Vessel)
		if at.kind == aPress || s.vessels[p.Vessel] != nil {
			if !slices.Contains(places, at) {
				places = append(places, at)
			}
		}
	}
	return []*line{e.line(e.At, 0, func(before []*holding) []*holding { return f.fold(s, e, places, before) },
		places...)}
}

// goes are all the portions of a move, lees and all.
func (f *Moved) goes() []Portion {
	if f.Lees == nil || f.Lees.Volume == 0 {
		return f.To
	}
	return append(slices.Clone(f.To), *f.Lees)
}

func (f *Moved) fold(s *State, e *entry, places []place, before []*holding) []*holding {
	x := f.flow(s, e, before[0].contents(), func(p TankNumber) *Content {
		if i := slices.Index(places, place{number: p}); i >= 0 {
			return before[i].contents()
		}
		return &Content{Stage: stage.Clean}
	})
	out := make([]*holding, len(places))
	leaves := e.stamp(e.At, f.From, &Item{Out: &Outflow{To: legNames(x.Legs), Sent: f.Out, Volume: x.Taken,
		Empties: x.Empties, Left: x.left, Doses: x.doses}})
	out[0] = posted(s.vessels[f.From].VesselSetup, before[0], leaves)
	if out[0].flow = x; !leaves.TakenBack {
		out[0].astray += max(x.Unexplained, -x.Unexplained)
		out[0].pumped(f.Begun)
	}
	for i, at := range places[1:] {
		if at.kind == aPress {
			p := before[i+1].pressed(s.presses[at.number].PressSetup)
			for _, leg := range x.Legs {
				if leg.Vessel == at.number && !leaves.TakenBack {
					p.fromVessel(e.At, e.Seq, x, leg)
				}
			}
			out[i+1] = &holding{press: p}
			continue
		}
		var come []*Item
		for _, leg := range x.Legs {
			if leg.Vessel == at.number {
				come = append(come, e.stamp(e.At, at.number, &Item{In: x.inflow(leg)}))
			}
		}
		out[i+1] = posted(s.vessels[at.number].VesselSetup, before[i+1], come...)
	}
	return out
}

func legNames(legs []Leg) []TankNumber {
	out := make([]TankNumber, len(legs))
	for i, l := range legs {
		out[i] = l.Vessel
	}
	return out
}

var (
	_ = command[Move]("move")
	_ = fact[Moved]("moved")
)
