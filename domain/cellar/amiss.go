package cellar

import (
	"slices"
	"time"

	"cellar.example/mustwatch/domain/quantity"
)

// What does not add up is told where people look: in the log of the vessel, among what
// is worth a look, on the sheet and in the document.

// amiss is what of all that was said of a vessel cannot have been, and what that and the
// moves leave unexplained.
type amiss struct {
	faults []Fault
	astray quantity.Volume
}

func (h *holding) amiss() amiss {
	if h == nil {
		return amiss{}
	}
	return amiss{h.faults, h.astray}
}

// Odd is that litres of a vessel became unexplained, or explained, by an entry of another
// time: one that was written late, or a correction.
type Odd struct {
	Seq      Seq
	At       time.Time // when it was written
	By       Initials
	Was, Now quantity.Volume
}

// tellAmiss keeps what does not add up any more, or adds up again, by a record.
func (s *State) tellAmiss(r Record, w *held, v *Vessel) {
	p, was := v.Ref(), w.amiss
	for _, f := range newer(was.faults, v.amiss.faults) {
		v.faultAt = r.Written
		s.log(r, p, "DOES NOT ADD UP: {fault}", s.Fault(f))
	}
	for _, f := range newer(v.amiss.faults, was.faults) {
		if !slices.ContainsFunc(v.amiss.faults, f.same) {
			s.log(r, p, "adds up again: {fault}", s.Fault(f))
		}
	}
	if was.astray == v.amiss.astray || !w.reached && !w.late {
		return
	}
	s.logEffect(r, astrayEffect(v.Number, was.astray, v.amiss.astray, s.House.Units))
	odd := Odd{Seq: r.Seq, At: r.Written, By: r.By, Was: was.astray, Now: v.amiss.astray}
	if v.odd != nil && r.Written.Sub(v.odd.At) < oddFor {
		odd.Was = v.odd.Was
	}
	if v.odd = &odd; odd.Was == odd.Now {
		v.odd = nil
	}
}

// oddFor is for how long the board says that something does not add up: a shift and
// the next (common practice, no source). The page of the vessel says it as long as it
// stands.
const oddFor = 24 * time.Hour

func (f Fault) same(x Fault) bool { return x.Seq == f.Seq && x.Kind == f.Kind }

// newer are the faults that are not among others, or are greater there than here.
func newer(had, has []Fault) (out []Fault) {
	for _, f := range has {
		if !slices.ContainsFunc(had, func(x Fault) bool { return f.same(x) && f.Off() <= x.Off() }) {
			out = append(out, f)
		}
	}
	return out
}

// amissEffects are what would not add up of a vessel, and what would add up again.
func (s *State) amissEffects(p TankNumber, was, now amiss, elsewhen bool) (out []Effect) {
	for _, f := range newer(was.faults, now.faults) {
		out = append(out, Effect{Vessel: p, Kind: EffectFault, Now: s.Words(s.Fault(f))})
	}
	for _, f := range was.faults {
		if !slices.ContainsFunc(now.faults, f.same) {
			out = append(out, Effect{Vessel: p, Kind: EffectFault, Was: s.Words(s.Fault(f))})
		}
	}
	if was.astray != now.astray && elsewhen {
		out = append(out, astrayEffect(p, was.astray, now.astray, s.House.Units))
	}
	return out
}

func astrayEffect(p TankNumber, was, now quantity.Volume, u quantity.System) Effect {
	e := Effect{Vessel: p, Kind: EffectAstray}
	if was != 0 {
		e.Was = was.Text(u)
	}
	if now != 0 {
		e.Now = now.Text(u)
	}
	return e
}

// Amiss are the lines that say what does not add up of a vessel, latest first, each with
// the lines that disagree.
func (s *State) Amiss(v *Vessel) (out []string) {
	for _, f := range slices.Backward(v.amiss.faults) {
		out = append(out, s.SayLines(f))
	}
	if o := v.odd; o != nil {
		out = append(out, s.oddLine(v))
	}
	return out
}

// SayLines says what cannot have been, and names the lines that do not go together.
func (s *State) SayLines(f Fault) string {
	out := s.Words(s.Fault(f))
	for i, x := range s.Disagree(f) {
		out += map[bool]string{true: ": ", false: "; and "}[i == 0] + s.Words(s.Name(x))
	}
	return out
}

func (s *State) oddLine(v *Vessel) string {
	e := astrayEffect(v.Number, v.odd.Was, v.odd.Now, s.House.Units)
	return e.Say() + ", by what " + string(v.odd.By) + " saved at " + s.Clock(v.odd.At)
}

// odd is what does not add up of a vessel, as something worth a look.
func (s *State) odd(v *Vessel, now time.Time) (Due, bool) {
	d := Due{Subject: v.Ref(), Kind: NotBefore, Notice: "look", Amiss: true}
	if n := len(v.amiss.faults); n > 0 && now.Sub(v.faultAt) < oddFor {
		d.Verb, d.At, d.Basis = "does not add up", v.faultAt, s.Words(s.Fault(v.amiss.faults[n-1]))
		return d, true
	}
	if v.odd != nil && now.Sub(v.odd.At) < oddFor {
		d.Verb, d.At, d.Basis = (v.odd.Now-v.odd.Was).Text(s.House.Units)+" unexplained", v.odd.At, s.oddLine(v)
		return d, true
	}
	return Due{}, false
}

// AmissLine is one thing that does not add up of what was said of a vessel.
type AmissLine struct {
	Vessel  TankNumber
	At      time.Time // of what cannot have been
	Written time.Time // of what made it so
	By      Initials
	Says    string
}

// AllAmiss lists what does not add up in the whole cellar, vessel by vessel.
func (s *State) AllAmiss() (out []AmissLine) {
	for _, v := range s.AllVessels() {
		for _, f := range v.amiss.faults {
			x := AmissLine{Vessel: v.Number, At: f.At, Written: v.faultAt, Says: s.SayLines(f)}
			if e := s.entryOf(f.Seq); e != nil {
				x.By = e.By
			}
			out = append(out, x)
		}
		if o := v.odd; o != nil {
			out = append(out, AmissLine{v.Number, o.At, o.At, o.By, s.oddLine(v)})
		}
	}
	return out
}

// Unexplained adds up the litres that lines of some times leave unexplained, without
// their signs.
func (s *State) Unexplained(within func(time.Time) bool) (sum quantity.Volume) {
	for _, v := range s.AllVessels() {
		before := quantity.Volume(0)
		for l, h := range v.book.Lines(place{number: v.Number}) {
			if within(l.Key.At) {
				sum += h.astray - before
			}
			before = h.astray
		}
	}
	return sum
}
