package cellar

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

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
			p.Same, p.To = false, ""
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
		for _, err := range []error{d.mayLeave(p), d.another(p, at)} {
			if err != nil {
				wrong = append(wrong, err)
			}
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
			p.Initials, in.Place, d.says(in.Since))
	}
	if waits := d.s.WaitsFor(p.Initials); len(waits) > 0 && p.To == "" {
		return reject("waits", "people", "hand on first what waits for {who} (z t), or say to whom it goes "+
			"(\"to\"): {list}",
			p.Initials, waitingList(waits))
	}
	return nil
}

// handing hands on what waits for those who leave the list, to whom the line says.
func (d *decision) handing(line []Person) (facts []Fact, err error) {
	for i, p := range line {
		if !p.Left || len(d.s.WaitsFor(p.Initials)) == 0 {
			continue
		}
		if slices.ContainsFunc(line, func(x Person) bool { return x.Left && x.Initials == p.To }) {
			return nil, reject("to", fmt.Sprintf("people[%d].to", i), "{to} leaves too: name somebody who stays", p.To)
		}
		more, err := d.handsOn(p.Initials, p.To, nil, "left the house", fmt.Sprintf("people[%d].to", i))
		if err != nil {
			return nil, err
		}
		facts = append(facts, more...)
	}
	return facts, nil
}

// another refuses a name under initials that the log knows as somebody else: what one
// has saved must never read as another's.
func (d *decision) another(p Person, at string) error {
	if p.Left || p.Same {
		return nil
	}
	if was, on := d.s.House.Person(p.Initials); on {
		if p.Name == "" || was.Name == "" || alikeNames(was.Name, p.Name) {
			return nil
		}
		return reject("initials", at, "{who} is {name} on the list and in the log; give {other} other initials, or "+
			"say \"same\" if it is the same person", p.Initials, was.Name, p.Name)
	}
	for _, g := range d.s.House.Gone {
		if g.Initials == p.Initials && !(p.Name != "" && strings.EqualFold(strings.TrimSpace(p.Name), g.Name)) {
			return reject("initials", at, "{who} was {name}, who left on {day}, and stays so in the log; choose other "+
				"initials, or say \"same\" if it is the same person", p.Initials, firstWords(g.Name, "somebody"),
				g.Left.In(d.s.Zone()).Format("2 Jan 2006"))
		}
	}
	return nil
}

// alikeNames reports whether two names may be one person's: they share a word, or one
// begins like the other.
func alikeNames(a, b string) bool {
	a, b = strings.ToLower(strings.TrimSpace(a)), strings.ToLower(strings.TrimSpace(b))
	if strings.HasPrefix(a, b) || strings.HasPrefix(b, a) {
		return true
	}
	words := strings.Fields(b)
	return slices.ContainsFunc(strings.Fields(a), func(w string) bool { return slices.Contains(words, w) })
}

// Gone is somebody who has left the list. Their initials stay theirs in the log.
type Gone struct {
	Initials Initials  `json:"initials"`
	Name     string    `json:"name,omitempty"`
	Left     time.Time `json:"left"`
}

// gone adds to those who have left whoever is on the old list and not on the new.
func (h House) gone(next House, at time.Time) []Gone {
	out := slices.Clone(h.Gone)
	for _, g := range next.Gone {
		if !slices.Contains(out, g) {
			out = append(out, g)
		}
	}
	for _, p := range h.People {
		if _, stays := next.Person(p.Initials); !stays {
			out = append(out, Gone{p.Initials, p.Name, at})
		}
	}
	return out
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
