package cellar

import (
	"fmt"
	"slices"
	"strings"

	"cellar.example/mustwatch/domain/subject"
)

// Ref is the subject that a vessel is.
func (v *Vessel) Ref() subject.Ref { return vesselRef(v.Number) }

// Ref is the subject that a press is.
func (p *Press) Ref() subject.Ref { return pressRef(p.Number) }

// Ref is the subject that a load is.
func (l *Load) Ref() subject.Ref { return loadRef(l.ID) }

func vesselRef(p TankNumber) subject.Ref { return subject.Of(subject.Vessel, p) }
func pressRef(p TankNumber) subject.Ref  { return subject.Of(subject.Press, p) }
func loadRef(id LoadID) subject.Ref      { return subject.Of(subject.Load, id) }
func personRef(who Initials) subject.Ref { return subject.Of(subject.Person, who) }
func productRef(p ProductID) subject.Ref { return subject.Of(subject.Product, p) }

// The parts of a cellar that have no number.
var (
	theHouse  = subject.Of(subject.House, "house")
	theCellar = subject.Of(subject.House, "cellar")
	theCrew   = subject.Of(subject.House, "crew")
	theLab    = subject.Of(subject.House, "lab")
	theStart  = subject.Of(subject.House, "opening")
	theShift  = subject.Of(subject.Shift, "shift")
)

// vesselOf is the vessel that a subject is, nil where it is none.
func (s *State) vesselOf(r subject.Ref) *Vessel {
	if r.Kind != subject.Vessel {
		return nil
	}
	return s.vessels[TankNumber(r.Name)]
}

// pressOf is the press that a subject is, nil where it is none.
func (s *State) pressOf(r subject.Ref) *Press {
	if r.Kind != subject.Press {
		return nil
	}
	return s.presses[TankNumber(r.Name)]
}

// at is the subject that stands at a number: no vessel and no press share one.
func (s *State) at(p TankNumber) subject.Ref {
	if s.presses[p] != nil {
		return pressRef(p)
	}
	return vesselRef(p)
}

// where is the subject of a place as permits and gas meters name it: a vessel, a press,
// or a pit, a room, a walkway.
func (s *State) where(name string) subject.Ref {
	if p := TankNumber(name); s.vessels[p] != nil || s.presses[p] != nil {
		return s.at(p)
	}
	return subject.Of(subject.Place, name)
}

// Called lists the subjects that go by a name.
func (s *State) Called(name string) (out []subject.Ref) {
	if p := TankNumber(name); s.vessels[p] != nil || s.presses[p] != nil {
		out = append(out, s.at(p))
	}
	if l, ok := s.Load(LoadID(name)); ok {
		out = append(out, l.Ref())
	}
	if _, ok := s.House.Person(Initials(name)); ok {
		out = append(out, personRef(Initials(name)))
	}
	if s.products[ProductID(name)] != nil {
		out = append(out, productRef(ProductID(name)))
	}
	for _, p := range s.House.GasPlaces {
		if strings.EqualFold(p, name) {
			out = append(out, subject.Of(subject.Place, p))
		}
	}
	for _, r := range []subject.Ref{theHouse, theCellar, theCrew, theLab, theShift} {
		if r.Name == name {
			out = append(out, r)
		}
	}
	if len(out) == 0 && s.heardOf(name) {
		out = append(out, subject.Of(subject.Place, name))
	}
	return out
}

// heardOf reports whether a permit or a gas reading was written of a place.
func (s *State) heardOf(name string) bool {
	return slices.ContainsFunc(s.permits, func(p *Permit) bool { return p.Place == name }) ||
		slices.ContainsFunc(s.gas, func(g GasReading) bool { return g.Place == name })
}

// NameOf is what a subject is called: by its name, with its kind where another one has the
// same name.
func (s *State) NameOf(r subject.Ref) string {
	if r.Kind != subject.Words && r.Kind != subject.Place && slices.ContainsFunc(s.Called(r.Name),
		func(o subject.Ref) bool { return o != r }) {
		return r.Full()
	}
	return r.Name
}

// resolve tells what a name is the name of, as it is typed at a field. What nothing is
// called is words. A name that several have is refused, and so is what there is none of.
func (s *State) resolve(typed subject.Ref, field string) (subject.Ref, error) {
	all := s.Called(typed.Name)
	if len(all) == 0 {
		all = s.Called(strings.ToUpper(typed.Name)) // numbers are typed small
	}
	for _, r := range all {
		if r.Kind == typed.Kind {
			return r, nil
		}
	}
	switch typed.Kind {
	case subject.Vessel, subject.Press, subject.Load, subject.Person, subject.Product, subject.House, subject.Shift:
		return typed, reject("subject", field, "there is no {kind} {name:%q}", typed.Kind, typed.Name)
	case subject.Place, subject.Words:
		return typed, nil
	}
	if err := which(typed, all, field); err != nil {
		return typed, err
	}
	if len(all) == 0 {
		return subject.Of(subject.Words, typed.Name), nil
	}
	return all[0], nil
}

// which refuses a name that is that of several subjects, and says how to say which.
func which(typed subject.Ref, all []subject.Ref, field string) error {
	var names []string
	for i, r := range all {
		if !slices.Contains(all[:i], r) {
			names = append(names, r.Full())
		}
	}
	if len(names) < 2 {
		return nil
	}
	return reject("which", field, "{name:%q} can be {names}: type the word before it", typed.Name, strings.Join(names,
		" and "))
}

// Known is what a name is taken for where nobody is asked: what the house knows under it
// now, else words.
func (s *State) Known(name string) subject.Ref {
	for _, r := range s.Called(name) {
		return r
	}
	return subject.Of(subject.Words, name)
}

// formerly is the subject of a fact. One that was written as a bare name is what the
// house knew under that name then.
func (s *State) formerly(r subject.Ref) subject.Ref {
	if r.Kind != "" || r.IsZero() {
		return r
	}
	return s.Known(r.Name)
}

// RefOf is the subject of an emergency.
func (s *State) RefOf(e Emergency) subject.Ref {
	switch {
	case e.Kind != EmergencyMissing:
		return s.where(e.Subject())
	case len(e.Who) == 1:
		return personRef(e.Who[0])
	}
	return subject.Of(subject.Words, e.Subject())
}

// numbered is the vessel or press that a name would be taken for, whatever its case.
func (s *State) numbered(name string) (r subject.Ref, ok bool) {
	for _, all := range [][]TankNumber{s.vesselOrder, s.pressOrder} {
		for _, p := range all {
			if strings.EqualFold(string(p), name) {
				return s.at(p), true
			}
		}
	}
	return r, false
}

// ownName refuses a number that the house has for somebody or some place already: at the
// keys and on the radio one name means one thing.
func (h House) ownName(p TankNumber, field string) error {
	for _, x := range h.People {
		if strings.EqualFold(string(x.Initials), string(p)) {
			return reject("ambiguous", field, "{who} are also the initials of {name}: use another name", x.Initials,
				firstWords(x.Name, "somebody"))
		}
	}
	for _, x := range h.GasPlaces {
		if strings.EqualFold(x, string(p)) {
			return reject("ambiguous", field, "{what} is also a gas place: use another name", x)
		}
	}
	return nil
}

// ownNames refuses people and places of the house that go by one name, or by that of a
// vessel or a press. Loads and products come later, by the numbers of others; of those
// the keys ask which.
func (d *decision) ownNames(h, line House) error {
	for i, p := range line.People {
		at := fmt.Sprintf("people[%d]", i)
		if r, ok := d.s.numbered(string(p.Initials)); ok && !p.Left {
			return reject("ambiguous", at, "{what} is also a {kind}: give {name} other initials", r, r.Kind,
				firstWords(p.Name, "this person"))
		}
	}
	for _, g := range h.GasPlaces {
		if r, ok := d.s.numbered(g); ok {
			return reject("ambiguous", "gas_places", "{what} is also a {kind}: read its air under its own name", r,
				r.Kind)
		}
		for _, p := range h.People {
			if strings.EqualFold(g, string(p.Initials)) {
				return reject("ambiguous", "gas_places",
					"{who} are the initials of {name}: give the place another name", p.Initials, firstWords(p.Name,
						"somebody"))
			}
		}
	}
	return nil
}
