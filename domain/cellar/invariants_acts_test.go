package cellar_test

import (
	"fmt"
	"time"

	"pgregory.net/rapid"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/quantity"
)

// What the invariants draw and compare of a night beside its juice: the tubs, and what
// people did about a vessel.

// drawAct draws something done with a tub, or about a vessel.
func drawAct(t *rapid.T, h *house, head cellar.Head, full func() cellar.Plate) cellar.Command {
	product := pick[cellar.ProductID](t, "product", "E-1", "S-1", "B-1")
	dose := cellar.GiveDose{Head: head, Vessel: full(), Product: product,
		Rate: quantity.Rate{Value: float64(rapid.IntRange(1, 6).Draw(t, "rate")), Unit: quantity.GPerHL}}
	v, _ := h.s.Vessel(dose.Vessel)
	for _, w := range h.s.WeighedFor(v.Plate) {
		if rapid.Bool().Draw(t, "pours") {
			dose.Product, dose.Rate = w.Product, w.Rate
			return &dose
		}
		return &cellar.WeighBack{Head: head, Vessel: v.Plate, Product: w.Product, Reason: "drawn"}
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
			return &cellar.ReleaseVessel{Head: head, Vessel: v.Plate, Reason: "drawn"}
		}
		return &cellar.HoldVessel{Head: head, Vessel: v.Plate, Reason: fmt.Sprint("drawn ", h.s.Seq), Releaser: "OF"}
	case 4:
		return &cellar.StartMove{Head: head, From: v.Plate, Blend: true, To: []cellar.Portion{{Vessel: "206", Volume: min(v.Now.Volume, hl(t, 20))}}}
	case 5:
		return &cellar.SetRoute{Head: head, Vessel: v.Plate, Route: pick(t, "route", cellar.RouteSettle, cellar.RouteFloat), Reason: "drawn"}
	}
	if dose.Product = product; v.Now.Volume > 0 {
		if r, err := h.s.Reckon(&dose, h.now); err == nil {
			dose.Amount = r.Drawn
		}
	}
	return &dose
}

// standingActs is what follows for the tubs, and of what was done about vessels.
func standingActs(s *cellar.State) (out []string) {
	say := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	for _, p := range s.Products() {
		say("%s: %s open, %d sealed of %s", p.ID, p.Open, p.Sealed, p.Size)
	}
	for _, v := range s.Vessels() {
		say("%s: route %q", v.Plate, s.RouteOf(v))
		if h := v.Hold; h != nil {
			say("  held since %s by %s: %s", h.At, h.By, h.Reason)
		}
		for _, w := range s.WeighedFor(v.Plate) {
			say("  weighed at %s by %s: %s of %s", w.At, w.By, w.Drawn, w.Product)
		}
		if m, ok := s.Running(v.Plate); ok {
			say("  pump since %s by %s to %v until %s", m.Started, m.By, m.To, m.End.Format(time.RFC3339))
		}
	}
	return out
}
