package cellar

import (
	"time"

	"cellar.example/mustwatch/domain/quantity"
)

// RunningMove is a move whose pump runs.
type RunningMove struct {
	From    TankNumber `json:"from"`
	To      []Portion  `json:"to"`
	Lees    *Portion   `json:"lees,omitempty"`
	Out     *Sent      `json:"out,omitempty"`
	Started time.Time  `json:"-"`
	By      Initials   `json:"-"`
	seq     Seq
	End     time.Time `json:"end,omitzero"`
}

// StartMove says that a pump is about to run: the rules are asked here, before
// the valve opens. What really moved is written by Move when it is done.
type StartMove struct {
	Head
	From  TankNumber      `json:"from"`
	To    []Portion       `json:"to"`
	Lees  *Portion        `json:"lees,omitempty"`
	Out   *Sent           `json:"out,omitempty"`
	Blend bool            `json:"blend,omitempty"`
	Rate  quantity.Volume `json:"rate,omitzero"` // volume an hour
	Until time.Time       `json:"until,omitzero"`
}

func (c *StartMove) decide(d *decision) ([]Fact, error) {
	m := &Move{Head: c.Head, From: c.From, To: c.To, Lees: c.Lees, Out: c.Out, Blend: c.Blend, Part: true}
	from, err := d.vessel(c.From, "from")
	if err != nil {
		return nil, err
	}
	if from.Now.Stage.Empty() {
		return nil, reject("empty", "from", "{tank} is {stage}; nothing can leave it", from.Number, from.Now.Stage)
	}
	if len(c.To) == 0 && c.Out == nil {
		return nil, reject("to", "to", "where does it go?")
	}
	if err := m.balance(d, from, &from.Now); err != nil {
		return nil, err
	}
	t, err := m.try(d, from, &from.Now)
	if err != nil {
		return nil, err
	}
	d.subject, d.what = from.Ref(), m.tried()
	ask(d, moveRules, t)
	if c.Rate < 0 {
		return nil, reject("rate", "rate", "type a pump rate above zero, not {rate}", c.Rate.Text(d.s.House.Units))
	}
	end, field := c.Until, "until"
	if end.IsZero() && c.Rate > 0 {
		end, field = d.at.Add(max(minClock, lengthOf(m.Sum(), c.Rate))), "rate"
	}
	f := &MoveBegun{RunningMove{From: c.From, To: c.To, Lees: c.Lees, Out: c.Out.tidy(), End: Instant(end)}}
	if end.IsZero() {
		f.End = time.Time{}
		return []Fact{f}, nil
	}
	return []Fact{f, d.setClock(vesselRef(c.From), KindMove, ActAt, "close", end, onPumpRate.Say()).typedIn(field)}, nil
}

// MoveBegun is a pump that runs.
type MoveBegun struct{ RunningMove }

func (f *MoveBegun) apply(s *State, r Record) {
	s.enter(r, f)
	to := ""
	for _, p := range f.To {
		to += " " + string(p.Vessel)
	}
	if f.Out != nil {
		s.log(r, vesselRef(f.From), "move started: {out}", f.Out.Say())
		return
	}
	s.log(r, vesselRef(f.From), "move started to{to}", to)
}

func (f *MoveBegun) lines(s *State, e *entry) []*line {
	m := f.RunningMove
	m.Started, m.By, m.seq, m.End = e.At, e.By, e.Seq, e.when(f.End)
	return s.act(e, f.From, func(a *acts) {
		if a.begins(e.Seq) {
			a.running = &m
		}
	})
}

// covers reports whether a move is the one for which the pump was started: to the
// same vessels, out of the house the same way, not more than was said, and no vessel was put on hold since. Only
// then do the answers given at the start stand for it.
func (m *RunningMove) covers(s *State, c *Move) bool {
	asked := map[TankNumber]quantity.Volume{}
	for _, p := range m.To {
		asked[p.Vessel] += p.Volume
	}
	if m.Lees != nil {
		asked[m.Lees.Vessel] += m.Lees.Volume
	}
	if c.Out != nil && (m.Out == nil || m.Out.As != c.Out.As || c.Out.Volume > m.Out.Volume+balanceSlack) {
		return false
	}
	goes := append([]Portion{{Vessel: c.From}}, c.To...)
	if c.Lees != nil && c.Lees.Volume > 0 {
		goes = append(goes, *c.Lees)
	}
	for i, p := range goes {
		if _, known := asked[p.Vessel]; i > 0 && (!known || p.Volume > asked[p.Vessel]+balanceSlack) {
			return false
		}
		if v := s.vessels[p.Vessel]; v != nil && v.Hold != nil && !v.Hold.At.Before(m.Started) {
			return false
		}
	}
	return true
}

// Running is the move that runs out of a vessel, if any.
func (s *State) Running(from TankNumber) (*RunningMove, bool) {
	m := s.book.Now(place{number: from}).pump()
	if m == nil {
		return nil, false
	}
	x := *m
	if k := s.openClock(vesselRef(from), KindMove); k != nil { // it was put elsewhere
		x.End = k.Due
	}
	return &x, true
}

// RunningMoves lists the moves that run, by vessel.
func (s *State) RunningMoves() []*RunningMove {
	var out []*RunningMove
	for _, p := range s.vesselOrder {
		if m, ok := s.Running(p); ok {
			out = append(out, m)
		}
	}
	return out
}

var (
	_ = command[StartMove]("move-start")
	_ = fact[MoveBegun]("move-begun")
)
