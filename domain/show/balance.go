package show

import (
	"cmp"
	"slices"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/document"
	"cellar.example/mustwatch/domain/subject"
)

// balance is what became of every load in the vessels: what came from outside, what is
// there, what went into presses or out of the house, what was lost, and what the ledger cannot explain. Each
// is added up by itself from what stands in the ledger, so that a litre gone astray
// shows.
func balance(s *cellar.State) []document.Balance {
	a := account{}
	for _, v := range s.AllVessels() {
		a.post(v.Now.Parts, func(b *document.Sums, ml int64) { b.Held += ml })
		for x := range v.Spilt {
			a.post(x.Parts, func(b *document.Sums, ml int64) { b.Unexplained += ml })
		}
		for _, it := range v.Account {
			if it.In != nil && !it.TakenBack && it.In.From.Kind != subject.Vessel {
				a.post(it.In.Parts, func(b *document.Sums, ml int64) { b.In += ml })
			}
		}
	}
	for _, m := range s.Moves() {
		a.post(m.Lost, func(b *document.Sums, ml int64) { b.Loss += ml })
		a.post(m.Missing, func(b *document.Sums, ml int64) { b.Unexplained += ml })
		if m.Sent != nil {
			a.post(m.Sent.Parts, func(b *document.Sums, ml int64) { b.Out, b.Sent = b.Out+ml, b.Sent+ml })
		}
		for _, leg := range m.Legs {
			if leg.Press {
				a.post(leg.Parts, func(b *document.Sums, ml int64) { b.Out += ml })
			}
		}
	}
	out := []document.Balance{}
	for _, b := range a {
		out = append(out, *b)
	}
	slices.SortFunc(out, func(a, b document.Balance) int { return cmp.Compare(a.Load, b.Load) })
	return out
}

// account is a balance by load.
type account map[cellar.LoadID]*document.Balance

// post books parts into a sum.
func (a account) post(parts []cellar.Part, to func(*document.Sums, int64)) {
	for _, p := range parts {
		if p.Volume == 0 {
			continue // nothing of it is anywhere: a row would only say that
		}
		b := a[p.Load]
		if b == nil {
			b = &document.Balance{Load: string(p.Load), Variety: p.Variety}
			a[p.Load] = b
		}
		if b.Variety == "" || b.Variety > p.Variety && p.Variety != "" { // one of several, always the same
			b.Variety = p.Variety
		}
		to(&b.Sums, ml(p.Volume))
	}
}
