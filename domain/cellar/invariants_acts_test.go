package cellar_test

import (
	"encoding/json"
	"fmt"
	"time"

	"pgregory.net/rapid"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/show"
)

// What the invariants draw and compare of a night beside its juice: loads and tubs, and
// what people did about a vessel.

// drawAct draws something done with a tub, or about a vessel.
func drawAct(t *rapid.T, h *house, head cellar.Head, full func() cellar.TankNumber) cellar.Command {
	product := pick[cellar.ProductID](t, "product", "E-1", "S-1", "B-1")
	dose := cellar.GiveDose{Head: head, Vessel: full(), Product: product,
		Rate: quantity.Rate{Value: float64(rapid.IntRange(1, 6).Draw(t, "rate")), Unit: quantity.GPerHL}}
	v, _ := h.s.Vessel(dose.Vessel)
	if all := h.s.WeighedFor(v.Number); len(all) > 0 {
		w := all[0]
		if rapid.Bool().Draw(t, "pours") {
			dose.Product, dose.Rate = w.Product, w.Rate
			return &dose
		}
		return &cellar.WeighBack{Head: head, Vessel: v.Number, Product: w.Product, Reason: "drawn"}
	}
	switch rapid.IntRange(0, 6).Draw(t, "act") {
	case 0:
		return &cellar.OpenTub{Head: head, Product: product}
	case 1:
		count := quantity.Amount{Mass: quantity.Mass(rapid.IntRange(0, 900).Draw(t, "counted")) * quantity.Gram}
		return &cellar.OpenTub{Head: head, Product: product, Count: &count}
	case 2:
		return &cellar.WeighDose{GiveDose: dose}
	case 3:
		if v.Hold != nil {
			head.By = v.Hold.Releaser
			return &cellar.ReleaseVessel{Head: head, Vessel: v.Number, Reason: "drawn"}
		}
		return &cellar.HoldVessel{Head: head, Vessel: v.Number, Reason: fmt.Sprint("drawn ", h.s.Seq), Releaser: "OF"}
	case 4:
		return &cellar.StartMove{Head: head, From: v.Number, Blend: true, To: []cellar.Portion{{Vessel: "206",
			Volume: min(v.Now.Volume, hl(t, 20))}}}
	case 5:
		return &cellar.SetRoute{Head: head, Vessel: v.Number, Route: pick(t, "route", cellar.RouteSettle,
			cellar.RouteFloat), Reason: "drawn"}
	}
	if dose.Product = product; v.Now.Volume > 0 {
		if r, err := h.s.Calculate(&dose, h.now); err == nil {
			dose.Amount = r.Drawn
		}
	}
	return &dose
}

// drawLoad draws what is said of a load at the gate or at a tank, nil where the press is
// next: it is booked, weighed before or after it was tipped, or late.
func drawLoad(t *rapid.T, h *house, head cellar.Head, id cellar.LoadID,
	number func() cellar.TankNumber) cellar.Command {
	l, known := h.s.Load(id)
	grapes := cellar.Load{ID: id, Variety: pick(t, "variety", "Sauvignon", "Riesling"),
		Gross: quantity.Mass(rapid.IntRange(14, 40).Draw(t, "gross")) * quantity.Tonne,
		Tare:  12 * quantity.Tonne}
	weighed := known && !l.Arrived.IsZero()
	switch n := rapid.IntRange(0, 7).Draw(t, "load"); {
	case !weighed && n == 0:
		grapes.Booked, grapes.Net = h.now.Add(time.Hour), grapes.Gross-grapes.Tare
		return &cellar.BookLoad{Head: head, Load: grapes}
	case !weighed && n < 5:
		head.At = h.now.Add(-time.Duration(rapid.IntRange(0, 40).Draw(t, "since")) * time.Minute)
		return &cellar.WeighLoad{Head: head, Load: grapes}
	case n == 6:
		return &cellar.Tip{Head: head, Load: id, To: number(), Mass: quantity.Mass(rapid.IntRange(0, 2).Draw(t,
			"some")) * quantity.Tonne}
	case n == 7 && known && len(l.Fills) > 0 && l.Fills[0].Vessel:
		return &cellar.TipDone{Head: head, Load: id, To: l.Fills[0].To, Volume: hl(t, 40)}
	}
	return nil
}

// amendedLoad puts a ticket or a fill right, in the fact and by the correction c.
func amendedLoad(t *rapid.T, fact cellar.Fact, c *cellar.Corrected, draw bool) bool {
	mass := quantity.Tonne
	if draw {
		mass = quantity.Mass(rapid.IntRange(13, 45).Draw(t, "mass")) * quantity.Tonne
	}
	switch f := fact.(type) {
	case *cellar.LoadWeighed:
		f.Gross, f.Net = mass, mass-f.Tare
		now := f.Load
		c.Place, c.Load, c.Field, c.Now = string(f.ID), &now, "gross", mass.String()
	case *cellar.Tipping:
		if f.Vessel {
			return false
		}
		f.Mass, f.All = mass, false
		c.Place, c.Fill, c.Field, c.Now = string(f.To), true, "mass", mass.String()
	default:
		return false
	}
	return true
}

// standingActs is what follows for loads and tubs, what was done about vessels, and the
// document for other programs. Its clocks are compared by themselves.
func standingActs(s *cellar.State) (out []string) {
	say := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	for _, l := range s.Loads {
		say("%s: %s of %s, %s, %s of %s in, came %s, booked %s as %v", l.ID, l.State, l.Variety, l.Gross, l.In, l.Net,
			l.Arrived, l.Booked, l.Plan)
		for _, f := range l.Fills {
			say("  %s into %s at %s by %s, done %v", f.Mass, f.To, f.At, f.By, f.Done)
		}
	}
	doc := show.Cellar(s, sixPM.Add(24*time.Hour))
	doc.Seq, doc.Clocks = 0, nil
	for i := range doc.Faults { // of several that do not go together it names what was corrected last
		doc.Faults[i].Seqs = nil
	}
	text, err := json.MarshalIndent(doc, "", " ")
	say("%s %v", text, err)
	for _, p := range s.Products() {
		say("%s: %s open, %d sealed of %s", p.ID, p.Open, p.Sealed, p.Size)
	}
	for _, v := range s.Vessels() {
		say("%s: route %q", v.Number, s.RouteOf(v))
		if h := v.Hold; h != nil {
			say("  held since %s by %s: %s", h.At, h.By, h.Reason)
		}
		for _, w := range s.WeighedFor(v.Number) {
			say("  weighed at %s by %s: %s of %s", w.At, w.By, w.Drawn, w.Product)
		}
		if m, ok := s.Running(v.Number); ok {
			say("  pump since %s by %s to %v until %s", m.Started, m.By, m.To, m.End.Format(time.RFC3339))
		}
	}
	return out
}

// tubsAndTrailersAddUp holds tubs and trailers against what was poured and tipped, by the
// accounts of the vessels and presses that it went into.
func tubsAndTrailersAddUp(t *rapid.T, s *cellar.State, night []cellar.Record) {
	left, counted := map[cellar.ProductID]quantity.Amount{}, map[cellar.ProductID]bool{}
	for _, p := range openHouse(t).s.Products() {
		left[p.ID] = p.Open
	}
	for _, v := range s.Vessels() {
		for _, it := range v.Account {
			if it.Dose != nil && !it.TakenBack && it.At.After(sixPM) {
				left[it.Dose.Product] = left[it.Dose.Product].Sub(it.Dose.Drawn)
			}
		}
		for _, w := range s.WeighedFor(v.Number) {
			left[w.Product] = left[w.Product].Sub(w.Drawn)
		}
	}
	for _, r := range night {
		switch f := r.Fact.(type) {
		case *cellar.TubOpened:
			p, _ := s.Product(f.Product)
			left[p.ID] = left[p.ID].Add(p.Size)
		case *cellar.StockCounted:
			counted[f.Product] = true
		}
	}
	for _, p := range s.Products() {
		if !counted[p.ID] && p.Open != left[p.ID] {
			t.Fatalf("%s: %s open, by what was poured it is %s", p.ID, p.Open, left[p.ID])
		}
	}
	ran := map[cellar.Seq]quantity.Mass{}
	for _, l := range s.Loads {
		in, last := quantity.Mass(0), cellar.Fill{}
		for _, f := range l.Fills {
			in, last = in+f.Mass, f
			ran[f.Seq] = f.Mass
		}
		if in != l.In || last.All && !l.Arrived.IsZero() && in < l.Net {
			t.Fatalf("%s: %s in of %s, %s ran", l.ID, l.In, l.Net, in)
		}
	}
	for _, p := range s.Presses() {
		for _, x := range p.Parts {
			if x.Seq != 0 && x.Mass != ran[x.Seq] {
				t.Fatalf("%s holds %s of %s, %s ran", p.Number, x.Mass, x.Load, ran[x.Seq])
			}
		}
	}
}
