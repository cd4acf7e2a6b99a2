package cellar

import (
	"slices"

	"cellar.example/mustwatch/domain/quantity"
)

// A dose goes where its juice goes, by share, and is counted there in whole milligrams
// or microlitres: what was given is in the tanks, left with juice, or is unexplained.

// Said names what was said when a dose was given: the record, and how many of it.
func (d *Dose) Said() [2]int { return [2]int{int(d.Seq), d.nth} }

// same reports whether two shares are of one pouring.
func (d *Dose) same(o *Dose) bool {
	return d.Seq == o.Seq && d.nth == o.nth && d.Seq != 0
}

// of is what there is here of something that was given with the dose.
func (d *Dose) of(all quantity.Amount) quantity.Amount {
	if d.Amount.Liquid() {
		return all.Share(int64(d.Here.Volume), int64(d.Amount.Volume))
	}
	return all.Share(int64(d.Here.Mass), int64(d.Amount.Mass))
}

// Got is what of the product that was weighed or poured is in the content.
func (d *Dose) Got() quantity.Amount {
	if d.Drawn.IsZero() { // carried by an older journal
		return d.Here
	}
	return d.of(d.Drawn)
}

// WaterHere is what of its make-up water is in the content.
func (d *Dose) WaterHere() quantity.Volume { return d.of(quantity.Amount{Volume: d.Water}).Volume }

// splitDoses takes a volume out of one that doses are spread over, each dose by its
// share; the whole of it takes all there is, and no volume takes none.
func splitDoses(doses []Dose, take, of quantity.Volume) (goes, stays []Dose) {
	if take <= 0 {
		return nil, slices.Clone(doses)
	}
	for _, d := range doses {
		went, left := d, d
		went.Here = d.Here.Share(int64(take), int64(of))
		left.Here = d.Here.Sub(went.Here)
		if traced(&went) {
			goes = append(goes, went)
		}
		if traced(&left) {
			stays = append(stays, left)
		}
	}
	return spread(goes, take), spread(stays, of-take)
}

// traced reports whether there is anything left of a dose to speak of. An older journal
// may not say how much was given.
func traced(d *Dose) bool { return !d.Here.IsZero() || d.Amount.IsZero() }

// spread is doses on so much juice.
func spread(doses []Dose, on quantity.Volume) []Dose {
	out := slices.Clone(doses)
	for i := range out {
		if !out[i].Here.IsZero() && on > 0 {
			out[i].PerHL = perHL(out[i].Here, on)
		}
	}
	return out
}

// blendDoses adds what comes along to what is there, on all the juice that there is now.
// What was poured before the first juice is in all of it.
func blendDoses(have, come []Dose, on quantity.Volume, first bool) []Dose {
	if on <= 0 {
		return have
	}
	out := slices.Clone(have)
	for _, d := range come {
		if i := slices.IndexFunc(out, func(x Dose) bool { return x.same(&d) }); i >= 0 {
			out[i].Here = out[i].Here.Add(d.Here)
		} else {
			out = append(out, d)
		}
	}
	out = spread(out, on)
	for i := range have {
		if first {
			out[i].First = out[i].PerHL
		}
	}
	return out
}

// WaterAdded is what of the make-up water of all its doses is in a content.
func (c *Content) WaterAdded() (sum quantity.Volume) {
	for i := range c.Doses {
		sum += c.Doses[i].WaterHere()
	}
	return sum
}
