package cellar

import (
	"fmt"
	"slices"
	"time"

	"cellar.example/mustwatch/domain/contact"
	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/quantity"
)

// Portion is what one destination of a move receives.
type Portion struct {
	Vessel Plate           `json:"vessel"`
	Volume quantity.Volume `json:"volume"`
	Seen   Plate           `json:"seen,omitempty"` // the plate as it was read at the valve
}

// Move writes content moved from one vessel to others or to a press: racked,
// drained, pumped. Planned moves are gated; with Happened it is written as it
// was, by one word where it was called not yet.
type Move struct {
	Head
	From  Plate           `json:"from"`
	To    []Portion       `json:"to"`
	Lees  *Portion        `json:"lees,omitempty"`
	Loss  quantity.Volume `json:"loss,omitzero"`
	Blend bool            `json:"blend,omitempty"`
	Meant Plate           `json:"meant,omitempty"` // where it should have gone
	// Part says that the rest stays: without it the sum must empty the vessel.
	Part bool   `json:"part,omitempty"`
	Why  string `json:"why,omitempty"`
	How  Gauge  `json:"how,omitempty"` // how the volumes were found, if not on the ledger
}

// Do implements Command.
func (*Move) Do() string { return "move" }

// Sum is all that leaves the vessel by this move.
func (c *Move) Sum() quantity.Volume {
	sum := c.Loss
	for _, p := range c.To {
		sum += p.Volume
	}
	if c.Lees != nil {
		sum += c.Lees.Volume
	}
	return sum
}

// balanceSlack is how far a move may be off the ledger before it is asked
// about: one hectolitre, what a dip stick shows (common practice, no source).
const balanceSlack = quantity.Hectolitre

func (c *Move) decide(d *decision) ([]Fact, error) {
	from, err := d.vessel(c.From, "from")
	if err != nil {
		return nil, err
	}
	src := from.upTo(d.at)
	if src.Stage.Empty() || src.Volume == 0 {
		return nil, reject("empty", "from", "%s is %s; nothing can leave it", from.Plate, src.Stage)
	}
	if err := checkGauge(c.How); err != nil {
		return nil, err
	}
	if len(c.To) == 0 && c.Lees == nil && c.Loss == 0 {
		return nil, reject("to", "to", "where does it go?")
	}
	if err := c.balance(d, from, &src); err != nil {
		return nil, err
	}
	t, err := c.try(d, from, &src)
	if err != nil {
		return nil, err
	}
	d.subject, d.what = string(from.Plate), c.words()
	d.ask(t)
	d.askedAtStart(c)
	f := c.moved(d, from, &src)
	if err := f.fits(d, from); err != nil {
		return nil, err
	}
	facts := []Fact{f}
	if f.Empties {
		facts = append(facts, d.answer(string(from.Plate), "moved", KindSettling, KindCap, KindFloat, KindSkin, KindHot, KindLook, KindMove, KindRoute,
			KindReading, KindCooling, KindPumpOver)...)
	} else {
		facts = append(facts, d.answer(string(from.Plate), "moved", KindMove)...)
	}
	return append(facts, c.clocks(d, from, f)...), nil
}

// askedAtStart drops what was asked and answered when the pump of this move
// started: no rule speaks twice about the same thing.
func (d *decision) askedAtStart(c *Move) {
	if m := d.s.running[c.From]; m != nil && m.covers(d.s, c) {
		d.answered(string(c.From), m.Started)
	}
}

// answered drops the findings of rules that have been answered on a subject
// since an instant. What no word lifts was not answered.
func (d *decision) answered(subject string, since time.Time) {
	var open []gate.Finding
	for _, f := range d.found {
		said := false
		for _, a := range d.s.Answered {
			said = said || f.Right != gate.Nobody && a.Subject == subject && a.Rule == f.Rule && !a.At.Before(since)
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
			return reject("volume", "to", "how much went to %s?", p.Vessel)
		}
		if slices.ContainsFunc(c.To[:i], func(q Portion) bool { return q.Vessel == p.Vessel }) {
			return reject("double", "to", "%s stands there twice; write all that went there as one volume", p.Vessel)
		}
		if p.Vessel == c.From {
			return reject("to", "to", "%s cannot be moved into itself", c.From)
		}
	}
	sum := c.Sum()
	switch {
	case c.Loss < 0:
		return reject("loss", "loss", "a loss of %s cannot be", c.Loss)
	case c.Lees != nil && c.Lees.Volume < 0:
		return reject("lees", "lees", "lees of %s cannot be", c.Lees.Volume)
	case c.Lees != nil && c.Lees.Vessel == c.From && c.Lees.Volume > 0:
		return reject("lees", "lees", "lees that stay in %s have not been moved; the rest stays (say so)", c.From)
	case sum > src.Volume+balanceSlack:
		return reject("volume", "to", "%s holds %s; %s cannot leave it", from.Plate, src.Volume.Text(u), sum.Text(u))
	case !c.Part && !c.Happened && sum < src.Volume-balanceSlack:
		return reject("balance", "loss", "%s holds %s and %s is accounted for; the rest of %s is lees, loss, or stays (say so)", from.Plate, src.Volume.Text(u), sum.Text(u), (src.Volume - sum).Text(u))
	}
	return nil
}

func (c *Move) try(d *decision, from *Vessel, src *Content) (*trying, error) {
	t := &trying{out: from, racking: true, blend: c.Blend, move: c, content: src}
	for _, p := range c.To {
		if d.s.presses[p.Vessel] != nil {
			if pr := d.s.presses[p.Vessel]; pr.State != PressReady && pr.State != PressFilling {
				return nil, reject("press-busy", "to", "%s is %s", pr.Plate, pr.State)
			}
			t.press = d.s.presses[p.Vessel]
			continue
		}
		v, err := d.vessel(p.Vessel, "to")
		if err != nil {
			return nil, err
		}
		if v.Now.Volume+p.Volume > v.Brim {
			return nil, reject("brim", "to", "%s holds %s to the brim and %s is in it; %s will not go in", v.Plate, v.Brim.Text(d.s.House.Units), v.Now.Volume.Text(d.s.House.Units), p.Volume.Text(d.s.House.Units))
		}
		t.into = append(t.into, inflowTry{vessel: v, volume: p.Volume, kind: c.kindAt(d, src, p.Vessel), from: string(c.From), variety: src.Variety(), field: "to", seen: d.s.seenAt(c.From, p), temp: src.Last.Temp, doubt: c.doubt(src, p.Volume, v)})
	}
	if c.Lees != nil && c.Lees.Volume > 0 {
		v, err := d.vessel(c.Lees.Vessel, "lees")
		if err != nil {
			return nil, err
		}
		if after := v.Now.Volume + c.Lees.Volume + c.portionOf(v.Plate); after > v.Brim {
			would, brim := after.Beside(v.Brim, d.s.House.Units)
			return nil, reject("brim", "lees", "%s holds %s to the brim; with the lees it would hold %s", v.Plate, brim, would)
		}
		t.into = append(t.into, inflowTry{vessel: v, volume: c.Lees.Volume, kind: Lees, from: string(c.From), field: "lees", lees: true})
	}
	return t, nil
}

// portionOf is what goes to a vessel beside the lees.
func (c *Move) portionOf(to Plate) (sum quantity.Volume) {
	for _, p := range c.To {
		if p.Vessel == to {
			sum += p.Volume
		}
	}
	return sum
}

// seenAt is the plate that was read at the valve: now, or when the pump of the
// move started.
func (s *State) seenAt(from Plate, p Portion) Plate {
	m := s.running[from]
	if p.Seen != "" || m == nil {
		return p.Seen
	}
	for _, x := range m.To {
		if x.Vessel == p.Vessel {
			return x.Seen
		}
	}
	return ""
}

func (c *Move) words() string {
	out := "move from " + string(c.From)
	for i, p := range c.To {
		join := ", "
		if i == 0 {
			join = " to "
		}
		out += fmt.Sprintf("%s%s %s", join, p.Vessel, p.Volume)
	}
	return out
}

// moved resolves the shares of every load, exact to the millilitre.
func (c *Move) moved(d *decision, from *Vessel, src *Content) *Moved {
	f := &Moved{From: c.From, FromLot: src.Lot, Loss: c.Loss, Meant: c.Meant, Blend: c.Blend, Why: c.Why, Substance: src.Kind, How: c.How}
	f.Taken = c.Sum()
	if src.Gauge != (Gauged{}) && c.How == Unsaid {
		f.Gauge = src.carried(f.Taken)
	}
	f.Empties = !c.Part || f.Taken >= src.Volume
	if f.Empties {
		f.Unexplained = (src.Volume - f.Taken).Settled()
	}
	rest := src.Parts
	share := func(v quantity.Volume) []Part {
		p := splitParts(rest, v)
		return p
	}
	run, st := d.s.contactState(src)
	for _, p := range c.To {
		leg := Leg{Vessel: p.Vessel, Volume: p.Volume, Parts: share(p.Volume), Press: d.s.presses[p.Vessel] != nil}
		leg.Kind = c.kindAt(d, src, p.Vessel)
		leg.Stage = c.stageAt(d, src, p.Vessel, st)
		f.Legs = append(f.Legs, leg)
	}
	if c.Lees != nil && c.Lees.Volume > 0 {
		f.Legs = append(f.Legs, Leg{Vessel: c.Lees.Vessel, Volume: c.Lees.Volume, Parts: share(c.Lees.Volume), Kind: Lees, Stage: JuiceLees, Lees: true})
	}
	f.Doses, f.NegAt, f.Title = src.Doses, src.PectinGone, src.Title
	if st != contactNone {
		f.Temps = append([]contact.Reading(nil), run.Readings...)
	} else if n := len(src.Temps); n > 0 {
		f.Temps = src.Temps[n-1:]
	}
	f.Untreated = (src.Kind.isJuice() && src.Tested.IsZero() || src.Kind == WhiteMust) && !contacted(src.Doses)
	return f
}

// kindAt is what the content counts as where it arrives.
func (c *Move) kindAt(d *decision, src *Content, to Plate) Substance {
	v := d.s.vessels[to]
	if v == nil {
		return src.Kind
	}
	switch {
	case v.Use == UseLees:
		return Lees
	case src.Kind.isJuice() && (src.Stage == Settling || src.Stage == CapRise || src.Stage == Flotation || src.Stage == Racked):
		return ClearJuice
	case src.Kind == WhiteMust && v.Use != UseSkin && (v.Use != UseMust || src.Stage == DrawingOff):
		return Juice // drained; onto another skin or must vessel it goes skins and all
	}
	return src.Kind
}

// stageAt is the stage to which the content comes where it arrives.
func (c *Move) stageAt(d *decision, src *Content, to Plate, st contactStanding) Stage {
	v := d.s.vessels[to]
	switch {
	case v == nil:
		return ""
	case v.Use == UseLees:
		return JuiceLees
	case !v.Now.Stage.Empty():
		return "" // it joins what is there
	case c.kindAt(d, src, to) == ClearJuice:
		return Racked
	case src.Kind == HotMust:
		return CooledBack
	case st == contactRuns:
		return Contact
	case src.Kind == RedMust, src.Stage == SkinContact && c.kindAt(d, src, to) == WhiteMust:
		return src.Stage
	case src.Stage == Fermenting || src.Stage == Stored:
		return src.Stage
	}
	return Waiting
}

// Leg is one destination of a move, with the share of every load.
type Leg struct {
	Vessel Plate           `json:"vessel"`
	Volume quantity.Volume `json:"volume"`
	Parts  []Part          `json:"parts"`
	Kind   Substance       `json:"kind"`
	Stage  Stage           `json:"stage,omitempty"`
	Press  bool            `json:"press,omitempty"`
	Lees   bool            `json:"lees,omitempty"`
}

// Moved is content moved from one vessel to others.
type Moved struct {
	From        Plate             `json:"from"`
	FromLot     string            `json:"from_lot"`
	Legs        []Leg             `json:"legs"`
	Loss        quantity.Volume   `json:"loss,omitzero"`
	Taken       quantity.Volume   `json:"taken"` // all that left, with lees and loss
	Empties     bool              `json:"empties,omitempty"`
	Unexplained quantity.Volume   `json:"unexplained,omitzero"`
	Meant       Plate             `json:"meant,omitempty"`
	Blend       bool              `json:"blend,omitempty"`
	Why         string            `json:"why,omitempty"`
	Substance   Substance         `json:"substance"`
	Title       string            `json:"title,omitempty"`
	Doses       []Dose            `json:"doses,omitempty"`
	Temps       []contact.Reading `json:"temps,omitempty"`
	NegAt       time.Time         `json:"neg_at,omitzero"`
	Untreated   bool              `json:"untreated,omitempty"`
	How         Gauge             `json:"how,omitempty"`   // how the volumes were found
	Gauge       *Gauged           `json:"gauge,omitempty"` // or where that of the whole content came from
}

// Kind implements Fact.
func (*Moved) Kind() string { return "moved" }

func (f *Moved) inflow(leg Leg) *Inflow {
	in := &Inflow{From: string(f.From), FromLot: f.FromLot, Volume: leg.Volume, Parts: leg.Parts, Kind: leg.Kind, Stage: leg.Stage, Title: f.Title}
	in.How = f.How
	if f.Gauge != nil { // each leg has its share of the doubt
		part := Content{Gauge: *f.Gauge, Volume: max(f.Taken, leg.Volume)}
		in.Carried = part.carried(leg.Volume)
	}
	if !leg.Lees {
		in.Doses, in.Temps, in.NegAt, in.Untreated = f.Doses, f.Temps, f.NegAt, f.Untreated
	}
	return in
}

// fits holds a move that is written late against what its vessels did after it.
func (f *Moved) fits(d *decision, from *Vessel) error {
	for _, leg := range f.Legs {
		if v := d.s.vessels[leg.Vessel]; v != nil {
			if err := d.fits(v, "at", &Item{At: d.at, Seq: d.s.Seq + 1, In: f.inflow(leg)}); err != nil {
				return err
			}
		}
	}
	return d.fits(from, "at", &Item{At: d.at, Seq: d.s.Seq + 1, Out: f.outflow()})
}

func (f *Moved) outflow() *Outflow {
	return &Outflow{To: legNames(f.Legs), Volume: f.Taken, Empties: f.Empties}
}

// MoveLine is one move, for lists and balances.
type MoveLine struct {
	Seq Seq
	At  time.Time
	By  Initials
	Moved
}

func (f *Moved) apply(s *State, r Record) {
	s.Moves = append(s.Moves, &MoveLine{Seq: r.Seq, At: r.At, By: r.By, Moved: *f})
	from := s.vessels[f.From]
	delete(s.running, f.From)
	text := "moved"
	for _, leg := range f.Legs {
		text += fmt.Sprintf(" %s to %s,", inWords(s, leg.Volume), leg.Vessel)
		if leg.Press {
			s.toPress(r, f, leg)
			continue
		}
		s.post(leg.Vessel, r, &Item{In: f.inflow(leg)})
		what := fmt.Sprintf("%s from %s", inWords(s, leg.Volume), f.From)
		if f.Meant != "" && f.Meant != leg.Vessel {
			what += fmt.Sprintf(", meant for %s", f.Meant)
		}
		s.log(r, string(leg.Vessel), what)
	}
	if from != nil {
		s.post(f.From, r, &Item{Out: f.outflow()})
	}
	s.log(r, string(f.From), fmt.Sprintf("%s loss %s", text, inWords(s, f.Loss)))
}

func legNames(legs []Leg) string {
	out := ""
	for i, l := range legs {
		if i > 0 {
			out += " "
		}
		out += string(l.Vessel)
	}
	return out
}

var (
	_ = command(func() Command { return &Move{} })
	_ = register(func() Fact { return &Moved{} })
)
