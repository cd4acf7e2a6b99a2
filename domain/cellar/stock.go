package cellar

import (
	"slices"
	"time"

	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/text"
)

// What there is of a product lot follows from what was booked in, opened, counted,
// weighed and poured, in true time. A count is true whatever was poured before it; a dose
// that was said by its rate alone draws what its vessel held by the ledger, and follows
// that; one of which the weight was said draws that weight.

// stock is what there is of a product lot.
type stock struct {
	open    quantity.Amount
	sealed  int
	size    quantity.Amount // of a sealed container
	weighed []*Weighed      // and not poured yet
	poured  []Seq           // weighings that ended before they began, by the times that were said
	ended   *LotEnd         // nil while the house has it
}

// tub is the stock of a lot, as a copy to be changed.
func (h *holding) tub() *stock {
	if h == nil || h.stock == nil {
		return &stock{}
	}
	x := *h.stock
	x.weighed, x.poured = slices.Clone(x.weighed), slices.Clone(x.poured)
	return &x
}

// into brings a product to its stock.
func (x *stock) into(p *Product) { p.Open, p.Sealed, p.Size, p.End = x.open, x.sealed, x.size, x.ended }

func (x *stock) draw(a quantity.Amount) { x.open = x.open.Sub(a) }

// weigh takes out what stands weighed.
func (x *stock) weigh(w *Weighed) {
	if i := slices.Index(x.poured, w.Seq); i >= 0 {
		x.poured = slices.Delete(x.poured, i, i+1)
		return
	}
	x.weighed = append(x.weighed, w)
	x.draw(w.Drawn)
}

// back puts what stood weighed back, before it is poured or for good.
func (x *stock) back(of Seq) {
	i := slices.IndexFunc(x.weighed, func(w *Weighed) bool { return w.Seq == of })
	switch {
	case of == 0:
	case i < 0:
		x.poured = append(x.poured, of)
	default:
		x.open = x.open.Add(x.weighed[i].Drawn)
		x.weighed = slices.Delete(x.weighed, i, i+1)
	}
}

// tub makes the line of what is done with a product lot.
func (s *State) tub(e *entry, id ProductID, do func(x *stock)) []*line {
	return []*line{e.line(e.At, 0, func(before []*holding) []*holding {
		x := before[0].tub()
		if !e.takenBack() {
			do(x)
		}
		return []*holding{{stock: x}}
	}, tubOf(id))}
}

// pours makes the line of a dose, which is drawn from its tub. weighed is the weighing
// that it ends.
func (s *State) pours(e *entry, at time.Time, sub int, p TankNumber, d *Dose, weighed Seq) ([]*line, *Item) {
	v := s.vessels[p]
	it := e.stamp(at, p, &Item{Dose: d})
	if v == nil {
		return nil, it
	}
	places := []place{{number: p}, tubOf(d.Product)}
	for _, id := range d.OnLoads {
		places = append(places, loadPlace(id))
	}
	return []*line{e.line(at, sub, func(before []*holding) []*holding {
		after, x := posted(v.VesselSetup, before[0], d.onGrapes(it, before[2:])), before[1].tub()
		if !it.TakenBack && !d.Counted {
			x.back(weighed)
			x.draw(after.items[0].Dose.Drawn)
		}
		return append([]*holding{after, {stock: x}}, before[2:]...)
	}, places...)}, it
}

// onGrapes is the item of a dose that was calculated on what loads weighed: it is to be
// looked at again where they weigh something else. What was weighed out for it is gone.
func (d *Dose) onGrapes(it *Item, loads []*holding) *Item {
	var net quantity.Mass
	for _, h := range loads {
		l, _ := h.onTrailer().load("")
		net += l.Net
	}
	if net == d.OnMass || len(d.OnLoads) == 0 {
		return it
	}
	x, given := *it, *d
	given.LookAt = text.Of("calculated on {mass} of grapes; they weighed {net}", d.OnMass, net).In(text.Exact{})
	x.Dose = &given
	return &x
}
