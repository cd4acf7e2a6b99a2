package cellar

// clocks carries a contact that still runs to every empty vessel that took of it:
// each is to be tested, and what stays behind too.
func (c *Move) clocks(d *decision, from *Vessel, o *outlook) []Fact {
	var out []Fact
	f, carried := o.flow(), []Plate{from.Plate}
	cur := d.s.openClock(string(from.Plate), KindContact)
	if cur == nil {
		cur = d.s.openClock(string(from.Plate), KindLook)
	}
	for _, leg := range f.Legs {
		v := d.s.vessels[leg.Vessel]
		if v == nil || leg.Lees {
			continue
		}
		carried = append(carried, v.Plate)
		if cur != nil && v.Now.Stage.Empty() {
			k := d.setClock(string(v.Plate), cur.Kind, cur.DueKind, cur.Verb, cur.Due, cur.Basis)
			k.Start, k.Typed, k.Model = cur.Start, cur.Typed, cur.Model
			out = append(out, k)
			continue
		}
		if leg.Stage == Contact && from.Now.Check() != nil { // its tubes say nothing of what stands elsewhere now
			out = append(out, d.setClock(string(v.Plate), KindLook, ActAt, "test", d.at.Add(d.s.House.Limits.RepeatTest.Duration()), "moved while a check ran"))
			continue
		}
		if !v.Now.Stage.Empty() {
			out = append(out, d.recontactOf(v, o.vessel(v.Plate))...)
		}
	}
	out = append(out, d.recontact(o, carried...)...) // where it went on to, if this is written late
	out = append(out, c.skins(d, from, f)...)
	if f.Empties && cur != nil {
		out = append(out, &ClockAnswered{Clock: cur.ID, How: "moved"})
	}
	return out
}

// skins carries the bounds of a skin contact to the vessel that takes skins and
// all: the time on them does not begin anew.
func (c *Move) skins(d *decision, from *Vessel, f *Flow) (out []Fact) {
	for _, leg := range f.Legs {
		if v := d.s.vessels[leg.Vessel]; v == nil || leg.Stage != SkinContact {
			continue
		}
		for _, cur := range d.s.ClocksOf(string(from.Plate)) {
			if cur.Kind == KindSkin {
				k := d.setClock(string(leg.Vessel), cur.Kind, cur.DueKind, cur.Verb, cur.Due, cur.Basis)
				k.Start, k.Typed = cur.Start, cur.Typed
				out = append(out, k)
			}
		}
	}
	return out
}
