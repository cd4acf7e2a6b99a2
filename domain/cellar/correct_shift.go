package cellar

import (
	"slices"
	"time"
)

// A shift that was started by mistake gives the cellar back to who had it.

// shiftBefore is what a shift that began has replaced.
type shiftBefore struct {
	seq  Seq
	was  Shift
	came []Initials             // who is on site by it alone
	gone map[Initials]time.Time // and had left before
}

// keepShift remembers who had the cellar before a shift begins.
func (s *State) keepShift(r Record, f *ShiftStarted) {
	b := &shiftBefore{seq: r.Seq, was: s.Shift, gone: map[Initials]time.Time{}}
	for _, who := range append([]Initials{f.Lead}, f.Crew...) {
		if _, here := s.Present(who); !here {
			b.came = append(b.came, who)
			if at, left := s.gone[who]; left {
				b.gone[who] = at
			}
		}
	}
	s.shifts = append(s.shifts, b)
}

func (f *ShiftStarted) named(*State) spokenOf {
	return spokenOf{theShift, lineShift.Say(f.Lead)}
}

// takes refuses where the shift was handed over since, or who attended went with the one
// before: what followed from it is not undone by it.
func (f *ShiftStarted) takes(d *decision, own *Record) error {
	s := d.s
	switch {
	case len(s.shifts) == 0 || s.shifts[len(s.shifts)-1].seq != own.Seq || !s.Shift.Ended.IsZero():
		return reject("shift", "of", "start the shift again with the right people: this one was handed over or "+
			"replaced since")
	case slices.ContainsFunc(s.inside, func(in Inside) bool { return in.Alone.Equal(own.At) }):
		return reject("attendant", "of", "name an attendant now (z a): the one before went with the shift")
	case !s.may(string(d.head.By), "lead"):
		return reject("right", "by", "ask the lead: only a lead takes back that a shift began")
	}
	return nil
}

func (f *ShiftStarted) undo(s *State, r Record, own *Record) {
	n := len(s.shifts) - 1
	if n < 0 || s.shifts[n].seq != own.Seq {
		return
	}
	b := s.shifts[n]
	s.shifts, s.Shift = s.shifts[:n:n], b.was
	s.site = slices.DeleteFunc(slices.Clone(s.site), func(p Presence) bool {
		_, inside := s.insideOf(p.Who)
		return slices.Contains(b.came, p.Who) && p.In.Equal(own.At) && !p.Break && !inside && s.Watching(p.Who) == ""
	})
	for who, at := range b.gone {
		if _, here := s.Present(who); !here {
			if s.gone == nil {
				s.gone = map[Initials]time.Time{}
			}
			s.gone[who] = at
		}
	}
	for _, id := range s.clockOrder {
		switch k := s.clocks[id]; {
		case k.Derived || k.Kind != KindShift:
		case !k.Done && k.Start.Equal(own.At):
			s.ends(r, k)
		case k.Done && k.ended > own.Seq && k.ended <= own.Seq+oneCommand && endNewShift.Is(k.How):
			s.goesOn(r, k)
		}
	}
}
