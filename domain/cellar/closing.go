package cellar

import (
	"slices"

	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/stage"
	"cellar.example/mustwatch/domain/subject"
	"cellar.example/mustwatch/domain/text"
)

// A tank into which juice runs is open until no more follows: only then has its
// contact a time. It is closed with the last of the juice, from its own side, or
// by its press once that is empty.

// Feeding are the presses whose juice runs into a vessel now.
func (s *State) Feeding(to TankNumber) (from []TankNumber) {
	v := s.vessels[to]
	for _, p := range s.Presses() {
		// its last is in, the tank fills from another
		in := v != nil && v.Now.Open && !slices.Contains(v.Now.Feeds, p.Ref())
		if p.Main == to && !in && (p.State == PressRunning || p.Stands() && p.GoesOnAs() == PressRunning) {
			from = append(from, p.Number)
		}
	}
	return from
}

// pouring names what still runs into a vessel that is open: the presses that have
// it for their juice, else what it was opened for.
func (s *State) pouring(v *Vessel) string {
	if from := s.Feeding(v.Number); len(from) > 0 {
		return Spaced(from)
	}
	return v.Now.Source.Name
}

// opensStill says why a vessel that is open is not closed.
func (s *State) opensStill(v *Vessel, c *Content) text.Say {
	if len(s.Feeding(v.Number)) == 0 && s.pressOf(c.Source) != nil {
		return lastUnsaid.Say(c.Source)
	}
	return stillFilling.Say(s.pouring(v))
}

// fillsFrom is what stands at a vessel that fills: what runs in, or what is to be said
// when nothing does any more.
func (s *State) fillsFrom(v *Vessel) string {
	if len(s.Feeding(v.Number)) == 0 && s.pressOf(v.Now.Source) != nil {
		return s.phrase("last of {source} in?", v.Now.Source)
	}
	return "from " + s.pouring(v)
}

// CloseJuice says from a vessel's own side that no more juice is to come.
type CloseJuice struct {
	Head
	Vessel TankNumber `json:"vessel"`
}

func (c *CloseJuice) decide(d *decision) ([]Fact, error) {
	v, err := d.vessel(c.Vessel, "vessel")
	if err != nil {
		return nil, err
	}
	if !v.Now.Open {
		return nil, reject("closed", "vessel", "nothing runs into {tank} now; it is {stage}", v.Number, v.Now.Stage)
	}
	if from := d.s.Feeding(v.Number); len(from) > 0 {
		return nil, reject("press-state", "vessel", "{from} still runs into {tank}; save the last of it there (f)",
			Spaced(from), v.Number)
	}
	if d.s.pressOf(v.Now.Source) == nil {
		return nil, reject("load", "vessel", "{tank} fills from {source}; save how much came when all of it is in",
			v.Number, v.Now.Source)
	}
	if err := d.held(v); err != nil {
		return nil, err
	}
	return []Fact{&JuiceClosed{Vessel: v.Number, Press: TankNumber(v.Now.Source.Name)}}, nil
}

// LeftOpen are the open vessels that only one press keeps open.
func (s *State) LeftOpen(p *Press) (out []*Vessel) {
	for _, v := range s.Vessels() {
		if !v.Now.Open || p.Main != v.Number && v.Now.Source != p.Ref() {
			continue
		}
		if from := s.Feeding(v.Number); len(from) == 0 || len(from) == 1 && from[0] == p.Number {
			out = append(out, v)
		}
	}
	return out
}

var noJuiceSays = text.New("no-juice",
	"{tank} is named for the juice of this press, but none is saved.",
	"Save it first (f), or did none run? Then {tank} counts as empty again.")

// noJuice is D26, a rule of our own: a press is called empty and its tank holds
// nothing by what was written.
func (t leftTry) noJuice(d *decision) (out []gate.Finding) {
	for _, v := range t {
		if v.Now.Volume == 0 {
			out = append(out, gate.Finding{Of: v.Ref(), Field: "do", Right: gate.Anyone, Asked: true,
				Say: noJuiceSays.Say(v.Number)})
		}
	}
	return out
}

// JuiceClosed is a vessel into which no more juice is to come, or no more of one press.
type JuiceClosed struct {
	Vessel TankNumber `json:"vessel"`
	Press  TankNumber `json:"press"`
	Why    text.Say   `json:"why,omitzero"`
	More   bool       `json:"more,omitempty"` // from another press
}

func (f *JuiceClosed) apply(s *State, r Record) {
	s.enter(r, f)
	switch {
	case f.More:
		s.log(r, vesselRef(f.Vessel), "{why}; more juice to come from another press", f.Why)
	case f.Why.IsZero():
		s.log(r, vesselRef(f.Vessel), "no more juice to come")
	default:
		s.log(r, vesselRef(f.Vessel), "no more juice to come: {why}", f.Why)
	}
}

func (f *JuiceClosed) lines(s *State, e *entry) []*line {
	return s.on(e, e.At, 0, f.Vessel, &Item{In: &Inflow{From: pressRef(f.Press), Closes: true, Ends: !f.More,
		Hands: f.More}})
}

// fillsFrom opens a content for what runs in from there.
func (c *Content) fillsFrom(from subject.Ref) {
	if c.Open = true; !slices.Contains(c.Feeds, from) {
		c.Feeds = append(slices.Clone(c.Feeds), from)
	}
	c.Source = c.Feeds[0]
}

// fillsNoMore closes it, wherever it was filled from.
func (c *Content) fillsNoMore() { c.Open, c.Source, c.Feeds = false, subject.Ref{}, nil }

// lastOf takes the last that runs in from one place, and reports whether nothing runs
// in from another. Where more follows from a press that has not begun, it stays open.
func (c *Content) lastOf(in *Inflow) bool {
	c.Feeds = slices.DeleteFunc(slices.Clone(c.Feeds), func(x subject.Ref) bool { return x == in.From || x.Name == "" })
	if len(c.Feeds) > 0 && !in.Ends {
		c.Source = c.Feeds[0]
		return false
	}
	return !in.Hands
}

// closed ends the filling of a content; one that never got any is empty again.
func (c *Content) closed(it *Item) {
	switch {
	case c.Volume > 0:
		if c.fillsNoMore(); c.Stage == stage.Filling {
			c.Stage, c.Since = stage.Waiting, it.At
		}
	case len(c.Doses) > 0: // something was poured into it
		*c = Content{Stage: stage.Dirty, Since: it.At}
	default:
		*c = Content{Stage: stage.Clean, Since: it.At, CleanSince: c.CleanSince}
	}
}

var (
	_ = command[CloseJuice]("juice-close")
	_ = fact[JuiceClosed]("juice-closed")
)
