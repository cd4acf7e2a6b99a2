package cellar

import (
	"fmt"
	"slices"

	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/lookalike"
)

// Twin is a vessel whose plate is taken for another's.
type Twin struct {
	Vessel *Vessel
	How    lookalike.Likeness // as the house has it where the figures do not say it
}

// twins are the vessels whose plates are taken for a plate: by the house's own
// list, and by their figures unless the house has switched that off.
func (s *State) twins(p Plate) (out []Twin) {
	for _, q := range s.vesselOrder {
		how := lookalike.None
		if s.House.Computed != "off" {
			how = lookalike.How(string(p), string(q))
		}
		for _, group := range s.House.Alike {
			if how == lookalike.None && q != p && slices.Contains(group, p) && slices.Contains(group, q) {
				how = "on the house's list"
			}
		}
		if how != lookalike.None {
			out = append(out, Twin{s.vessels[q], how})
		}
	}
	return out
}

// ReadsBack tells whether the plate of a destination is asked for as it is seen
// at the valve, when the content of a vessel moves there: it stands on the
// house's read-back list, or it has a twin into which the same content might go.
// A twin that never takes such content is no danger, and asking would only tire.
// twins are named in either case.
func (s *State) ReadsBack(from, to Plate) (twins []Twin, asked bool) {
	src, v := s.vessels[from], s.vessels[to]
	if src == nil || v == nil {
		return nil, false
	}
	kind := (&Move{From: from}).kindAt(&decision{s: s}, &src.Now, to)
	return s.readBack(kind, v, from)
}

func (s *State) readBack(kind Substance, v *Vessel, from Plate) (out []Twin, asked bool) {
	for _, t := range s.twins(v.Plate) {
		if t.Vessel.Plate != from && slices.Contains(goesInto[kind], t.Vessel.Use) {
			out = append(out, t)
		}
	}
	return out, len(out) > 0 || slices.Contains(s.House.ReadBack, v.Plate)
}

// findNotReadBack is H13: the plate of a vessel that is read back is typed as it
// was seen at the valve, and what stands at the wrong one is told from what
// stands at the right one. Of a move that has happened only the house's list is
// asked; which valve it was is known by then.
func findNotReadBack(t *trying) (out []gate.Finding) {
	if t.move == nil {
		return nil
	}
	s := t.d.s
	for _, in := range t.into {
		v := in.vessel
		twins, asked := s.readBack(in.kind, v, t.move.From)
		if !asked || in.lees || in.seen == v.Plate || t.move.Happened && !slices.Contains(s.House.ReadBack, v.Plate) {
			continue
		}
		f := gate.Finding{Field: "valve", Right: gate.Lead, Reason: true, Message: fmt.Sprintf("The plate of %s is to be read back at the valve.", v.Plate)}
		if len(twins) > 0 {
			f.Message = fmt.Sprintf("%s may be taken for %s.%s", v.Plate, twinNames(twins), s.apart(v, twins))
		}
		f.Message += " Which plate do you see there?"
		if w := s.vessels[in.seen]; w != nil {
			f.Right = gate.Nobody
			f.Message = fmt.Sprintf("You are at %s: %s. It should be %s: %s.", w.Plate, w.isWhat(s), v.Plate, v.isWhat(s))
		} else if in.seen != "" {
			f.Message = fmt.Sprintf("There is no vessel %s. ", in.seen) + f.Message
		}
		out = append(out, f)
	}
	return out
}

func twinNames(all []Twin) string {
	out := ""
	for i, t := range all {
		if i > 0 {
			out += " or "
		}
		out += fmt.Sprintf("%s (%s)", t.Vessel.Plate, t.How)
	}
	return out
}

// apart says which is which.
func (s *State) apart(v *Vessel, all []Twin) string {
	out := fmt.Sprintf(" %s = %s", v.Plate, v.isWhat(s))
	for _, t := range all {
		out += fmt.Sprintf("; %s = %s", t.Vessel.Plate, t.Vessel.isWhat(s))
	}
	return out + "."
}

// isWhat tells two vessels apart: what is in it, where it stands, and its hold.
func (v *Vessel) isWhat(s *State) string {
	what := string(v.Now.Stage)
	if !v.Now.Stage.Empty() {
		what = v.Now.Volume.Text(s.House.Units) + " " + v.Now.Name()
	}
	for _, m := range s.RunningMoves() {
		if slices.ContainsFunc(m.To, func(p Portion) bool { return p.Vessel == v.Plate }) {
			what += fmt.Sprintf(", %s runs in from %s", s.vessels[m.From].Now.Name(), m.From)
		}
	}
	if v.Row != "" {
		what += ", " + v.Row
	}
	if v.Hold != nil {
		what += ", ON HOLD"
	}
	return what
}
