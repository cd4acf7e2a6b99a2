package cellar

import (
	"time"

	"cellar.example/mustwatch/domain/subject"
	"cellar.example/mustwatch/domain/text"
)

// Foreseen is what would become of one clock if a command were saved now: set where
// Was is zero, ended where Due is.
type Foreseen struct {
	Subject subject.Ref
	Verb    string
	DueKind DueKind
	Was     time.Time
	Due     time.Time
	Basis   string
}

// Foresee says what a command would do if it were saved now, whatever the rules say to
// it: to its own clocks and to those of every vessel and press that it reaches, and
// what else would be another there than it is. The error is a *Rejection.
func (s *State) Foresee(c Command, now time.Time) ([]Foreseen, []Effect, error) {
	d, facts, err := lay(s, c, now)
	if err != nil {
		return nil, nil, err
	}
	o := d.draft
	if o == nil {
		o = d.after(facts...)
	}
	var effects []Effect
	for _, p := range o.touched() {
		v, w := s.vessels[p], o.vessel(p)
		elsewhere := o.all || o.lineOf(p) == nil
		for _, e := range s.effects(p, &v.Now, &w.Now) {
			if elsewhere || rejudged(e, &v.Now, &w.Now) {
				effects = append(effects, e)
			}
		}
		effects = append(effects, s.amissEffects(p, v.amiss, w.amiss, elsewhere || v.late(d.at))...)
	}
	if o.then != nil {
		return s.clocksWith(o.then), effects, nil
	}
	var out []Foreseen
	for _, f := range facts {
		switch f := f.(type) {
		case *ClockSet:
			out = append(out, Foreseen{Subject: f.Subject, Verb: f.Says(), DueKind: f.DueKind, Due: f.Due,
				Basis: d.s.Words(f.Basis)})
		case *ClockMoved:
			if c := s.clocks[f.Clock]; c != nil && !f.Due.Equal(f.Was) {
				out = append(out, Foreseen{Subject: c.Subject, Verb: c.Says(), DueKind: c.DueKind, Was: f.Was,
					Due: f.Due, Basis: f.Reason})
			}
		}
	}
	return append(out, o.foreseen(now)...), effects, nil
}

// foreseen compares the clocks that would follow with those that do.
func (o *outlook) foreseen(now time.Time) (out []Foreseen) {
	compare := func(of subject.Ref, will []Timer) {
		stays := map[ClockID]bool{}
		for _, t := range will {
			id := t.id(of)
			stays[id] = true
			c := o.s.clocks[id]
			switch {
			case o.s.stored(of, t.Kind):
			case c == nil || c.Done && !c.Off:
				if by := o.s.byHand(of, t); c == nil && by != nil {
					t.Due, t.Basis = by.Due, text.Of("set by hand at {place}: {reason}", by.Subject, by.MovedFor)
				} else if c != nil && c.Hand {
					t.Due, t.Basis = c.Due, text.Of("set by hand: {reason}", c.MovedFor)
				}
				out = append(out, Foreseen{Subject: of, Verb: t.Says(), DueKind: t.DueKind, Due: t.Due,
					Basis: o.s.Words(t.Basis)})
			case !c.Done && !c.Hand && c.Verb != t.Verb: // it asks for something else
				out = append(out, Foreseen{Subject: of, Verb: c.Says(), DueKind: c.DueKind, Was: c.Due},
					Foreseen{Subject: of, Verb: t.Says(), DueKind: t.DueKind, Due: t.Due, Basis: o.s.Words(t.Basis)})
			case !c.Done && !c.Hand && !c.Due.Equal(t.Due) && t.Kind != KindCooling:
				out = append(out, Foreseen{Subject: of, Verb: t.Says(), DueKind: t.DueKind, Was: c.Due, Due: t.Due,
					Basis: o.s.Words(t.Basis)})
			}
		}
		for _, c := range o.s.ClocksOf(of) {
			if c.Derived && !stays[c.ID] && c.Kind != KindCooling {
				out = append(out, Foreseen{Subject: of, Verb: c.Says(), DueKind: c.DueKind, Was: c.Due})
			}
		}
	}
	for _, p := range o.touched() {
		compare(vesselRef(p), o.s.timers(o.vessel(p), now))
	}
	for _, p := range o.presses() {
		compare(pressRef(p), o.book.Now(place{kind: aPress, number: p}).pressed(o.s.presses[p].PressSetup).Timers)
	}
	return out
}

// clocksWith compares the clocks of a state with those that there would be in another that
// follows from it.
func (s *State) clocksWith(then *State) (out []Foreseen) {
	for _, now := range then.Clocks() {
		is := Foreseen{Subject: now.Subject, Verb: now.Says(), DueKind: now.DueKind, Due: now.Due,
			Basis: s.Words(now.Basis)}
		was := s.clocks[now.ID]
		switch {
		case was == nil || was.Done:
		case was.Verb != now.Verb: // it asks for something else
			out = append(out, Foreseen{Subject: was.Subject, Verb: was.Says(), DueKind: was.DueKind, Was: was.Due})
		case was.Due.Equal(now.Due) || now.Kind == KindCooling:
			continue
		default:
			is.Was = was.Due
		}
		out = append(out, is)
	}
	for _, was := range s.Clocks() {
		if now := then.clocks[was.ID]; now.Done && was.Kind != KindCooling {
			out = append(out, Foreseen{Subject: was.Subject, Verb: was.Says(), DueKind: was.DueKind, Was: was.Due})
		}
	}
	return out
}
