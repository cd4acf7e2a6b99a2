package show

import (
	"cmp"
	"math"
	"slices"
	"time"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/document"
	"cellar.example/mustwatch/domain/quantity"
)

// Cellar puts the cellar as it stands at now into plain values for other programs.
func Cellar(s *cellar.State, now time.Time) document.Document {
	now = cellar.Instant(now)
	d := document.Document{Format: document.Format, Seq: uint64(s.Seq), At: now,
		House: s.House.Name, Zone: s.Zone().String(),
		Vessels: []document.Vessel{}, Presses: []document.Press{}, Clocks: []document.Clock{},
		Faults:  []document.Fault{},
		Balance: balance(s), Given: givenDoses(s)}
	for _, v := range s.Vessels() {
		d.Vessels = append(d.Vessels, showVessel(s, v, now))
		d.Faults = append(d.Faults, showFaults(s, v)...)
	}
	for _, p := range s.Presses() {
		d.Presses = append(d.Presses, showPress(p))
	}
	for _, c := range s.Clocks() {
		d.Clocks = append(d.Clocks, showClock(s, c, now))
	}
	slices.SortStableFunc(d.Clocks, func(a, b document.Clock) int {
		return cmp.Or(a.Due.Compare(b.Due), cmp.Compare(a.Subject.Kind, b.Subject.Kind),
			cmp.Compare(a.Subject.Name, b.Subject.Name), cmp.Compare(a.Verb, b.Verb))
	})
	for _, b := range d.Balance {
		d.Total.Add(b.Sums)
	}
	d.Unexplained, d.Loss = d.Total.Unexplained, d.Total.Loss
	return d
}

func showVessel(s *cellar.State, v *cellar.Vessel, now time.Time) document.Vessel {
	c := &v.Now
	out := document.Vessel{Vessel: string(v.Number), Stage: string(c.Stage), Since: c.Since,
		Volume: ml(c.Volume), Kind: string(c.Kind), Parts: showParts(c.Parts), Doses: showDoses(c),
		Astray: ml(v.Astray()), Contact: showContact(s, v, now), Check: showCheck(c), Can: showSteps(s, v, now)}
	if c.Last.Temp != nil {
		t := rounded(float64(*c.Last.Temp), 2)
		out.Temp, out.TempAt = &t, c.TempAt
	}
	return out
}

// ml is a volume in the whole millilitres in which the ledger counts.
func ml(v quantity.Volume) int64 { return int64(v / quantity.Millilitre) }

// showParts are the loads in a content, in the order of their numbers.
func showParts(parts []cellar.Part) []document.Part {
	out := []document.Part{}
	for _, p := range parts {
		if p.Volume != 0 {
			out = append(out, document.Part{Load: string(p.Load), Variety: p.Variety, ML: ml(p.Volume)})
		}
	}
	return inOrderOfLoads(out)
}

func inOrderOfLoads(parts []document.Part) []document.Part {
	slices.SortStableFunc(parts, func(a, b document.Part) int {
		return cmp.Or(cmp.Compare(a.Load, b.Load), cmp.Compare(a.Variety, b.Variety))
	})
	return parts
}

// showDoses are what of every dose is in a content, by its share.
func showDoses(c *cellar.Content) []document.Dose {
	doses := slices.Clone(c.Doses)
	slices.SortStableFunc(doses, func(a, b cellar.Dose) int {
		return cmp.Or(a.At.Compare(b.At), cmp.Compare(a.Seq,
			b.Seq))
	})
	out := []document.Dose{}
	for _, x := range doses {
		out = append(out, document.Dose{Product: string(x.Product), Class: string(x.Class), Unit: unitOf(x),
			Amount: counted(x.Here), PerHL: rounded(x.PerHL, 6), FirstAt: cellar.Instant(x.At),
			FirstIn: string(x.Where)})
	}
	return out
}

// unitOf is in what a dose is counted.
func unitOf(d cellar.Dose) string {
	if d.Amount.Liquid() {
		return "mL"
	}
	return "g"
}

// counted is an amount in grams or in millilitres, to the milligram or microlitre.
func counted(a quantity.Amount) float64 {
	return float64(a.Volume)/float64(quantity.Millilitre) + float64(a.Mass)/float64(quantity.Gram)
}

// rounded brings what was calculated to as many digits as mean anything, so that the same
// cellar is the same text.
func rounded(x float64, digits int) float64 {
	f := math.Pow10(digits)
	return math.Round(x*f) / f
}

func showContact(s *cellar.State, v *cellar.Vessel, now time.Time) *document.Contact {
	k, runs := s.ContactOf(v, now)
	if !runs {
		return nil
	}
	out := &document.Contact{Since: cellar.Instant(k.Start)}
	for _, c := range s.ClocksOf(v.Ref()) {
		if c.Kind == cellar.KindContact && c.Verb != cellar.CannotTell {
			out.Due = c.Due
		}
	}
	if k.OnCard {
		out.Row = &document.Row{From: rounded(float64(k.Row.From), 2), To: rounded(float64(k.Row.To), 2),
			Minutes: int64(k.Row.Wait.Duration().Minutes())}
	}
	return out
}

func showCheck(c *cellar.Content) *document.Check {
	if len(c.Checks) == 0 {
		return nil
	}
	k := c.Checks[len(c.Checks)-1]
	return &document.Check{Begun: k.Started, Read: k.ReadAt,
		Sample: string(k.Sample), Control: string(k.Control), Verdict: string(k.Verdict)}
}

// showSteps are the next steps of a vessel. Where somebody is in it none may be done,
// whatever else stands of it.
func showSteps(s *cellar.State, v *cellar.Vessel, now time.Time) []document.Step {
	out := []document.Step{}
	if !s.Season.Closed.IsZero() {
		return out
	}
	for _, st := range s.Steps(v, anybody(s), now) {
		x := document.Step{Step: st.Name, Can: st.May, Why: []string{}}
		if _, in := s.Inhabited(v.Number); in {
			x.Can, st.Codes = false, []string{"H17"}
		}
		for _, code := range st.Codes {
			if !slices.Contains(x.Why, code) {
				x.Why = append(x.Why, code)
			}
		}
		out = append(out, x)
	}
	return out
}

// anybody is a person in whose name a step is tried: who answers a rule is asked later.
func anybody(s *cellar.State) cellar.Initials {
	if who := s.Shift.Leads(); who != "" || len(s.House.People) == 0 {
		return who
	}
	return s.House.People[0].Initials
}

func showPress(p *cellar.Press) document.Press {
	out := document.Press{Press: string(p.Number), State: string(p.State), Since: p.Since,
		Parts: []document.Part{}, Programme: p.Programme, Started: p.Started, End: p.End, MainOut: ml(p.MainOut),
		FractionOut: ml(p.FracOut)}
	for _, x := range p.Parts {
		part := document.Part{Load: string(x.Load), Variety: x.Variety, ML: ml(x.Volume),
			Grams: int64(x.Mass / quantity.Gram)}
		same := func(y document.Part) bool { return y.Load == part.Load && y.Variety == part.Variety }
		if i := slices.IndexFunc(out.Parts, same); i >= 0 {
			out.Parts[i].ML, out.Parts[i].Grams = out.Parts[i].ML+part.ML, out.Parts[i].Grams+part.Grams
			continue
		}
		out.Parts = append(out.Parts, part)
	}
	inOrderOfLoads(out.Parts)
	return out
}

func showClock(s *cellar.State, c *cellar.AlarmClock, now time.Time) document.Clock {
	out := document.Clock{Subject: c.Subject, Verb: c.Verb, Object: c.Object, What: string(c.DueKind), Due: c.Due,
		State: document.Running, Stored: !c.Derived || c.Hand}
	_, off := c.Snoozed(now)
	switch {
	case off:
		out.State = document.Snoozed
	case c.Raised(now) && s.Taken(c, now):
		out.State = document.Seen
	case c.Raised(now):
		out.State = document.Rings
	case c.DueKind == cellar.NotBefore && !now.Before(c.Due):
		out.State = document.Open
	}
	return out
}

// showFaults are what cannot have been of what was said of a vessel.
func showFaults(s *cellar.State, v *cellar.Vessel) (out []document.Fault) {
	for _, f := range v.Faults() {
		x := document.Fault{Vessel: string(f.Vessel), Kind: string(f.Kind), At: f.At, Seqs: []uint64{},
			Held: ml(f.Held), Said: ml(f.Said), What: f.What}
		for _, l := range s.Disagree(f) {
			x.Seqs = append(x.Seqs, uint64(l.Seq))
		}
		out = append(out, x)
	}
	return out
}
