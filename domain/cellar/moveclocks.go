package cellar

import "cellar.example/mustwatch/domain/stage"

// clocks carries a test that somebody asked for by hand to every empty vessel that took
// of what was to be tested; what stays behind is tested too. The clocks that follow
// from the juice go with it by themselves.
func (c *Move) clocks(d *decision, from *Vessel, f *Flow) []Fact {
	var out []Fact
	for _, cur := range d.s.ClocksOf(from.Ref()) {
		carries := cur.Kind == KindContact || cur.Kind == KindLook
		if cur.Derived || !carries && cur.Kind != KindSkin {
			continue
		}
		for _, leg := range f.Legs {
			v := d.s.vessels[leg.Vessel]
			if v == nil || leg.Lees || !v.Now.Stage.Empty() || cur.Kind == KindSkin && leg.Stage != stage.SkinContact {
				continue
			}
			k := d.setClock(v.Ref(), cur.Kind, cur.DueKind, cur.Verb, cur.Due, cur.Basis)
			k.Object, k.Start, k.Typed, k.Model = cur.Object, cur.Start, cur.Typed, cur.Model
			out = append(out, k)
		}
		if f.Empties && carries {
			out = append(out, &ClockAnswered{Clock: cur.ID, How: endMoved.Say()})
		}
	}
	return out
}
