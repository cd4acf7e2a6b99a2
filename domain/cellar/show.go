package cellar

import (
	"cmp"
	"math"
	"slices"
	"time"

	"cellar.example/mustwatch/domain/document"
	"cellar.example/mustwatch/domain/quantity"
)

// Show puts the cellar as it stands at now into plain values for other programs.
func (s *State) Show(now time.Time) document.Document {
	now = Instant(now)
	d := document.Document{Format: document.Format, Seq: uint64(s.Seq), At: now,
		House: s.House.Name, Zone: s.Zone().String(),
		Vessels: []document.Vessel{}, Presses: []document.Press{}, Clocks: []document.Clock{}, Balance: s.balance(), Given: s.givenDoses()}
	for _, v := range s.Vessels() {
		d.Vessels = append(d.Vessels, s.showVessel(v, now))
	}
	for _, p := range s.Presses() {
		d.Presses = append(d.Presses, showPress(p))
	}
	for _, c := range s.Clocks() {
		d.Clocks = append(d.Clocks, s.showClock(c, now))
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

func (s *State) showVessel(v *Vessel, now time.Time) document.Vessel {
	c := &v.Now
	out := document.Vessel{Vessel: string(v.Plate), Stage: string(c.Stage), Since: c.Since,
		Volume: ml(c.Volume), Kind: string(c.Kind), Parts: showParts(c.Parts), Doses: showDoses(c),
		Contact: s.showContact(v, now), Check: showCheck(c), Can: s.showSteps(v, now)}
	if c.Last.Temp != nil {
		t := rounded(float64(*c.Last.Temp), 2)
		out.Temp, out.TempAt = &t, c.TempAt
	}
	return out
}

// ml is a volume in the whole millilitres in which the ledger counts.
func ml(v quantity.Volume) int64 { return int64(v / quantity.Millilitre) }

// showParts are the loads in a content, in the order of their numbers.
func showParts(parts []Part) []document.Part {
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
func showDoses(c *Content) []document.Dose {
	doses := slices.Clone(c.Doses)
	slices.SortStableFunc(doses, func(a, b Dose) int { return cmp.Or(a.At.Compare(b.At), cmp.Compare(a.Seq, b.Seq)) })
	out := []document.Dose{}
	for _, x := range doses {
		out = append(out, document.Dose{Product: string(x.Product), Class: string(x.Class), Unit: x.unit(),
			Amount: counted(x.Here), PerHL: rounded(x.PerHL, 6), FirstAt: Instant(x.At), FirstIn: string(x.Where)})
	}
	return out
}

// unit is in what a dose is counted.
func (d *Dose) unit() string {
	if d.Amount.Liquid() {
		return "mL"
	}
	return "g"
}

// counted is an amount in grams or in millilitres, to the milligram or microlitre.
func counted(a quantity.Amount) float64 {
	return float64(a.Volume)/float64(quantity.Millilitre) + float64(a.Mass)/float64(quantity.Gram)
}

// rounded brings what was reckoned to as many digits as mean anything, so that the same
// cellar is the same text.
func rounded(x float64, digits int) float64 {
	f := math.Pow10(digits)
	return math.Round(x*f) / f
}

func (s *State) showContact(v *Vessel, now time.Time) *document.Contact {
	k, runs := s.ContactOf(v, now)
	if !runs {
		return nil
	}
	out := &document.Contact{Since: Instant(k.Start)}
	for _, c := range s.ClocksOf(string(v.Plate)) {
		if c.Kind == KindContact {
			out.Due = c.Due
		}
	}
	if k.OnCard {
		out.Row = &document.Row{From: rounded(float64(k.Row.From), 2), To: rounded(float64(k.Row.To), 2),
			Minutes: int64(k.Row.Wait.Duration().Minutes())}
	}
	return out
}

func showCheck(c *Content) *document.Check {
	if len(c.Checks) == 0 {
		return nil
	}
	k := c.Checks[len(c.Checks)-1]
	return &document.Check{Begun: k.Started, Read: k.ReadAt,
		Sample: string(k.Sample), Control: string(k.Control), Verdict: string(k.Verdict)}
}

// showSteps are the next steps of a vessel. Where somebody is in it none may be done,
// whatever else stands of it.
func (s *State) showSteps(v *Vessel, now time.Time) []document.Step {
	out := []document.Step{}
	for _, st := range s.Steps(v, s.anybody(), now) {
		x := document.Step{Step: st.Name, Can: st.May, Why: []string{}}
		if s.Inhabited(v.Plate) != "" {
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
func (s *State) anybody() Initials {
	if who := s.Shift.Leads(); who != "" || len(s.House.People) == 0 {
		return who
	}
	return s.House.People[0].Initials
}

func showPress(p *Press) document.Press {
	out := document.Press{Press: string(p.Plate), State: string(p.State), Since: p.Since,
		Parts: []document.Part{}, Programme: p.Programme, Started: p.Started, End: p.End, MainOut: ml(p.MainOut), FractionOut: ml(p.FracOut)}
	for _, x := range p.Parts {
		part := document.Part{Load: string(x.Load), Variety: x.Variety, ML: ml(x.Volume), Grams: int64(x.Mass / quantity.Gram)}
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

func (s *State) showClock(c *AlarmClock, now time.Time) document.Clock {
	out := document.Clock{Subject: s.showSubject(c), Verb: c.Verb, What: string(c.DueKind), Due: c.Due,
		State: document.Running, Stored: !c.Derived || c.Hand}
	_, off := c.PutOff(now)
	switch {
	case off:
		out.State = document.PutOff
	case c.Raised(now) && s.Taken(c, now):
		out.State = document.Seen
	case c.Raised(now):
		out.State = document.Rings
	case c.DueKind == NotBefore && !now.Before(c.Due):
		out.State = document.Open
	}
	return out
}

// showSubject tells what the subject of a clock is the name of.
func (s *State) showSubject(c *AlarmClock) document.Subject {
	out := document.Subject{Kind: "words", Name: c.Subject}
	_, load := s.Load(LoadID(c.Subject))
	_, person := s.House.Person(Initials(c.Subject))
	switch plate := Plate(c.Subject); {
	case c.Kind == KindShift:
		out.Kind = "shift"
	case c.Kind == KindBreak:
		out.Kind = "person"
	case c.Kind == KindPermit:
		out.Kind = "place"
	case s.presses[plate] != nil && (c.Kind == KindProgramme || c.Kind == KindFill || s.vessels[plate] == nil):
		out.Kind = "press"
	case s.vessels[plate] != nil:
		out.Kind = "vessel"
	case load:
		out.Kind = "load"
	case person:
		out.Kind = "person"
	}
	return out
}
