package cellar

import (
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/text"
)

func (s *State) fillOf(seq Seq) *Fill {
	e := s.entryOf(seq)
	if e == nil {
		return nil
	}
	if f, tips := e.Fact.(*Tipping); tips {
		if l, ok := s.Load(f.Load); ok {
			for i := range l.Fills {
				if l.Fills[i].Seq == seq {
					return &l.Fills[i]
				}
			}
		}
	}
	return nil
}

// part is the part of a press load that a fill brought; nil once the press was
// emptied.
func (p *Press) part(of Seq) *PressPart {
	for i := range p.Parts {
		if p.Parts[i].Seq == of && of != 0 {
			return &p.Parts[i]
		}
	}
	return nil
}

// fill corrects how much of a load went into a press.
func (c *Correct) fill(d *decision, x *Fill) ([]Fact, error) {
	u := d.s.House.Units
	switch l, _ := d.s.Load(x.Load); {
	case c.Field != "" && c.Field != "mass":
		return nil, reject("field", "field", "that entry has no {field:%q}", c.Field)
	default:
		mass, err := grapesMass(c.Value, d.s.House.Habit())
		if err != nil {
			return nil, reject("value", "value", "{why}", err)
		}
		if mass <= 0 {
			return nil, reject("value", "value", "a fill is more than nothing")
		}
		if mass == x.Mass {
			return nil, reject("value", "value", "it says {mass} already", x.Mass.Full(u))
		}
		if room := l.Net - l.In + x.Mass; mass > room && !l.Arrived.IsZero() {
			return nil, reject("value", "value", "load {load} weighed {net}, and {sum} of it went elsewhere; "+
				"correct its weight first", l.ID, l.Net.Text(u), (l.Net - room).Text(u))
		}
		return c.refill(d, x, mass)
	}
}

var pressOverfull = text.New("press-overfull",
	"{press} takes {takes}; it holds {holds}.")

// refill holds a new mass against the press: what ran out of it, and what it takes.
func (c *Correct) refill(d *decision, x *Fill, mass quantity.Mass) ([]Fact, error) {
	u, p := d.s.House.Units, d.s.presses[x.To]
	f := &Corrected{Of: c.Of, Place: string(x.To), Fill: true, What: lineFill.Say(x.Load), Field: "mass",
		Was: x.Mass.String(), Now: mass.String(), Reason: c.Reason}
	facts := []Fact{f}
	if p != nil && p.part(x.Seq) != nil {
		whole := p.Mass() - x.Mass + mass
		if ran := p.MainOut + p.FracOut; p.onlyGrapes() && ran > quantity.HL(mostYield*whole.Tonnes()) {
			return nil, reject("yield", "value", "{ran} have run from {press}; {whole} of grapes give no such volume",
				ran.Text(u), p.Number, whole.Load(u))
		}
		if mass > x.Mass && whole > max(p.Rated, p.WholeBunch) {
			takes, holds := p.Rated.LoadBeside(whole, u)
			facts = append(facts, &RuleAnswered{Subject: p.Ref(), What: tryCorrection.Say(p.Number), Rule: "H04",
				Of: p.Ref(), Field: "mass", Stop: true,
				Said: pressOverfull.Say(p.Number, takes, holds), By: d.head.By, Reason: c.Reason, Broken: true})
		}
	}
	d.draftOf(f)
	d.mend(pressRef(x.To), &mendTry{field: "mass", what: f.What, was: f.Was, now: f.Now, by: x.By, at: x.At})
	return facts, nil
}

// mend says a mass that ran: it goes to the trailer and to the press, and with it to the
// shares of the juice that ran out of the press since, wherever that is now.
func (f *Tipping) mend(_ TankNumber, _, value string) flower {
	x := *f
	_ = x.Mass.UnmarshalText([]byte(value))
	x.All = false
	return &x
}

// correctableFills are the masses that went into presses.
func (s *State) correctableFills(seq Seq) (out []Correctable) {
	if f := s.fillOf(seq); f != nil && !f.Vessel {
		out = append(out, Correctable{Of: f.Seq, At: f.At, By: f.By, Press: f.To, Field: "mass",
			Value: f.Mass.Full(s.House.Units),
			Says:  "load " + string(f.Load), Written: f.Written})
	}
	return out
}
