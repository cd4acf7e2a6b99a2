package cellar

import (
	"cmp"

	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/stage"
)

// over is the setup of a vessel with what a line names put over it; what it leaves out
// stays. A working limit that went by the use goes by the new one.
func (v VesselSetup) over(was VesselSetup) VesselSetup {
	usual, _ := was.Use.Limit()
	v.Row, v.Brim, v.Manifold = cmp.Or(v.Row, was.Row), cmp.Or(v.Brim, was.Brim), cmp.Or(v.Manifold, was.Manifold)
	v.Use, v.JacketKW, v.UA = cmp.Or(v.Use, was.Use), cmp.Or(v.JacketKW, was.JacketKW), cmp.Or(v.UA, was.UA)
	if limit, _ := v.Use.Limit(); v.LimitPct == 0 && was.LimitPct == usual {
		v.LimitPct = limit
	}
	v.LimitPct = cmp.Or(v.LimitPct, was.LimitPct)
	if v.Coolant == nil {
		v.Coolant = was.Coolant
	}
	if v.Inside == nil && v.Brim == was.Brim {
		v.Inside = was.Inside
	}
	return v
}

// mostHeld is the most that was ever in a vessel by its account.
func (v *Vessel) mostHeld() (most quantity.Volume) {
	for _, h := range v.book.Lines(place{number: v.Number}) {
		most = max(most, h.contents().Volume)
	}
	return most
}

// changes are what follows from a known vessel that is set up otherwise. Its account is
// folded by the new brim, so that this is never below what it held.
func (v VesselSetup) changes(d *decision, was *Vessel) ([]Fact, error) {
	u := d.s.House.Units
	if most := was.mostHeld(); v.Brim < most {
		held, brim := most.Beside(v.Brim, u)
		return nil, reject("brim", "brim", "{tank} held {held}; a brim of {brim} cannot be", v.Number, held, brim)
	}
	if !was.Now.Stage.Empty() && v.Use != was.Use && !was.Now.Kind.GoesInto(v.Use) && v.Use != stage.UseLees {
		return nil, reject("use", "use", "{tank} holds {content}; empty it before it is for {use}", v.Number,
			was.Now.Called(), v.Use)
	}
	if v.Retired && !was.Now.Stage.Empty() {
		return nil, reject("retired", "retired", "{tank} holds {content}; empty it before it leaves the house",
			v.Number,
			was.Now.Called())
	}
	return []Fact{&VesselChanged{v}}, nil
}

// VesselChanged is a vessel that is set up otherwise from now on: its brim, use, limit or row,
// or that it is none of the house's any more.
type VesselChanged struct{ VesselSetup }

func (*VesselChanged) setsUp() {}

func (f *VesselChanged) apply(s *State, r Record) {
	v := s.vessels[f.Number]
	if v == nil {
		return
	}
	v.VesselSetup, v.retired = f.VesselSetup, r.At
	s.foldedAgain(r)
	if f.Retired {
		s.log(r, v.Ref(), "out of the house")
		return
	}
	s.log(r, v.Ref(), "set up: brim {brim}, {use}, limit {limit:%.0f} %", inWords(s, f.Brim), f.Use, f.LimitPct)
}

var _ = fact[VesselChanged]("vessel-changed")
