package cellar

import (
	"errors"
	"fmt"
	"slices"

	"cellar.example/mustwatch/domain/gate"
)

// A house whose people hold no right to its settings cannot be changed any more, not
// even to give somebody that right, and its stops wait for a word that nobody may
// give. So a line never takes the last of them away, and never takes anybody away
// whom it does not name.

// withPeople overlays whom a line names: who is new joins the list, who is on it keeps what
// the line does not say of them, and who has left goes off it.
func withPeople(people, line []Person) []Person {
	out := slices.Clone(people)
	for _, p := range line {
		n := slices.IndexFunc(out, func(x Person) bool { return x.Initials == p.Initials })
		switch {
		case p.Left && n >= 0:
			out = slices.Delete(out, n, n+1)
		case p.Left:
		case n < 0:
			out = append(out, p)
		default:
			if p.Name != "" {
				out[n].Name = p.Name
			}
			if p.Roles != nil {
				out[n].Roles = p.Roles
			}
		}
	}
	return out
}

// checkPeople refuses a list that a line makes when it names somebody wrongly, takes
// away somebody the cellar still needs, or leaves nobody who may change it.
func (d *decision) checkPeople(h House, line []Person) error {
	seen := map[Initials]bool{}
	var wrong []error // all of it, so that a file can be mended in one pass
	for i, p := range line {
		at := fmt.Sprintf("people[%d]", i)
		if n := len(p.Initials); n < 2 || n > 3 || seen[p.Initials] {
			wrong = append(wrong, reject("people", at, "type two or three letters as initials, for one person only, "+
				"not {who:%q}", p.Initials))
		}
		seen[p.Initials] = true
		for _, r := range p.Roles {
			if !slices.Contains(allRoles, r) {
				wrong = append(wrong, reject("people", at, "{who}: {what:%q} is not a role; choose from {all_roles}",
					p.Initials, r, listed(allRoles)))
			}
		}
		if err := d.mayLeave(p); err != nil {
			wrong = append(wrong, err)
		}
	}
	if len(wrong) > 0 {
		return errors.Join(wrong...)
	}
	settles := func(p Person) bool { return p.has(gate.Lead) }
	if len(line) > 0 && !slices.ContainsFunc(h.People, settles) {
		return reject("people", "people", "no lead or winemaker is left ({initials}): nobody could change the "+
			"settings or answer a stop; give somebody that role first", h.initialsList())
	}
	return nil
}

// mayLeave refuses to take somebody off the list who is not on it, is in a vessel, or
// whose word alone releases a hold.
func (d *decision) mayLeave(p Person) error {
	if !p.Left {
		return nil
	}
	if _, known := d.s.House.Person(p.Initials); !known {
		return reject("people", "people", "{who} is not on the list of people; choose from {initials}", p.Initials,
			d.s.House.initialsList())
	}
	if in, inside := d.s.insideOf(p.Initials); inside {
		return reject("people", "people", "{who} has been in {place} since {time}; save first that {who} came out",
			p.Initials, in.Place, d.s.Clock(in.Since))
	}
	for _, v := range d.s.Vessels() {
		if v.Hold != nil && v.Hold.Releaser == p.Initials {
			return reject("people", "people", "{tank} is on hold, {who} to release; release it first", v.Number,
				p.Initials)
		}
	}
	return nil
}

// has reports whether a person holds a right.
func (p Person) has(r gate.Right) bool {
	switch r {
	case gate.Anyone:
		return true
	case gate.Lead:
		return p.Has(RoleLead) || p.Has(RoleWinemaker)
	case gate.Winemaker:
		return p.Has(RoleWinemaker)
	}
	return false
}
