package show

import (
	"cmp"
	"slices"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/document"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/subject"
)

// given is one dose with what became of it.
type given struct {
	cellar.Dose
	all, held, out, sent, loss, gone quantity.Amount
}

// givens are doses by the record that says them, and the how many of it.
type givens map[[2]int]*given

// post books doses into a sum.
func (a givens) post(doses []cellar.Dose, to func(g *given, here quantity.Amount)) {
	for _, d := range doses {
		id := d.Said()
		if a[id] == nil {
			a[id] = &given{Dose: d}
		}
		to(a[id], d.Here)
	}
}

func (g *given) isHeld(x quantity.Amount)  { g.held = g.held.Add(x) }
func (g *given) isLost(x quantity.Amount)  { g.loss = g.loss.Add(x) }
func (g *given) isGone(x quantity.Amount)  { g.gone = g.gone.Add(x) }
func (g *given) wentOut(x quantity.Amount) { g.out = g.out.Add(x) }
func (g *given) wasSent(x quantity.Amount) { g.out, g.sent = g.out.Add(x), g.sent.Add(x) }
func (g *given) cameIn(x quantity.Amount)  { g.out = g.out.Sub(x) }

// item books one line of a vessel: what was poured, what came from a press, what was
// poured into nothing.
func (a givens) item(s *cellar.State, before *cellar.Content, it *cellar.Item) {
	switch {
	case it.TakenBack:
	case it.Dose != nil:
		d := *it.Dose
		d.Seq, d.At, d.Here = it.Seq, it.At, d.Amount
		a.post([]cellar.Dose{d}, func(g *given, x quantity.Amount) { g.all = g.all.Add(x) })
		if before.Stage.Empty() {
			a.post([]cellar.Dose{d}, (*given).isGone)
		}
	case it.In != nil && it.In.From.Kind != subject.Vessel:
		a.post(it.In.Doses, (*given).cameIn)
	}
}

// givenDoses are what became of every dose, to the milligram or the microlitre. Each
// figure is added up by itself from what stands in the ledger.
func givenDoses(s *cellar.State) []document.Given {
	a := givens{}
	for _, v := range s.AllVessels() {
		a.post(v.Now.Doses, (*given).isHeld)
		for x := range v.Spilt {
			a.post(x.Doses, (*given).isGone)
		}
		for before, it := range v.Account {
			a.item(s, before, it)
		}
	}
	for _, m := range s.Moves() {
		a.post(m.LostDoses, (*given).isLost)
		a.post(m.GoneDoses, (*given).isGone)
		if m.Sent != nil {
			a.post(m.Sent.Doses, (*given).wasSent)
		}
		for _, leg := range m.Legs {
			if leg.Press {
				a.post(leg.Doses, (*given).wentOut)
			}
		}
	}
	out := []document.Given{}
	for _, g := range a {
		out = append(out, document.Given{Product: string(g.Product), Class: string(g.Class),
			FirstAt: cellar.Instant(g.At), FirstIn: string(g.Where), Unit: unitOf(g.Dose),
			Given: counted(g.all), Held: counted(g.held), Out: counted(g.out), Sent: counted(g.sent),
			Loss: counted(g.loss), Unexplained: counted(g.gone)})
	}
	slices.SortFunc(out, func(a, b document.Given) int {
		return cmp.Or(a.FirstAt.Compare(b.FirstAt), cmp.Compare(a.FirstIn, b.FirstIn), cmp.Compare(a.Product,
			b.Product), cmp.Compare(a.Given, b.Given))
	})
	return out
}
