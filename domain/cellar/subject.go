package cellar

import (
	"cellar.example/mustwatch/domain/subject"
)

// Ref is the subject that a vessel is.
func (v *Vessel) Ref() subject.Ref { return vesselRef(v.Plate) }

// Ref is the subject that a press is.
func (p *Press) Ref() subject.Ref { return pressRef(p.Plate) }

// Ref is the subject that a load is.
func (l *Load) Ref() subject.Ref { return loadRef(l.ID) }

func vesselRef(p Plate) subject.Ref      { return subject.Of(subject.Vessel, p) }
func pressRef(p Plate) subject.Ref       { return subject.Of(subject.Press, p) }
func loadRef(id LoadID) subject.Ref      { return subject.Of(subject.Load, id) }
func personRef(who Initials) subject.Ref { return subject.Of(subject.Person, who) }
func productRef(p ProductID) subject.Ref { return subject.Of(subject.Product, p) }

// The parts of a cellar that have no plate.
var (
	theHouse  = subject.Of(subject.House, "house")
	theCellar = subject.Of(subject.House, "cellar")
	theCrew   = subject.Of(subject.House, "crew")
	theLab    = subject.Of(subject.House, "lab")
	theShift  = subject.Of(subject.Shift, "shift")
)

// at is the subject that stands at a plate: no vessel and no press share one.
func (s *State) at(p Plate) subject.Ref {
	if s.presses[p] != nil {
		return pressRef(p)
	}
	return vesselRef(p)
}

// where is the subject of a place as permits and gas meters name it: a vessel, a press,
// or a pit, a room, a walkway.
func (s *State) where(name string) subject.Ref {
	if p := Plate(name); s.vessels[p] != nil || s.presses[p] != nil {
		return s.at(p)
	}
	return subject.Of(subject.Place, name)
}
