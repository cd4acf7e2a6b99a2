package document

import (
	"slices"

	"cellar.example/mustwatch/domain/subject"
)

// Only leaves of the vessels, the presses, their clocks and faults those that are named. The
// balance and its sums stay those of the whole cellar.
func (d *Document) Only(names []string) {
	other := func(name string) bool { return !slices.Contains(names, name) }
	d.Vessels = slices.DeleteFunc(d.Vessels, func(v Vessel) bool { return other(v.Vessel) })
	d.Presses = slices.DeleteFunc(d.Presses, func(p Press) bool { return other(p.Press) })
	d.Faults = slices.DeleteFunc(d.Faults, func(f Fault) bool { return other(f.Vessel) })
	d.Clocks = slices.DeleteFunc(d.Clocks, func(c Clock) bool {
		return c.Subject.Kind != subject.Vessel && c.Subject.Kind != subject.Press || other(c.Subject.Name)
	})
}
