package entry

import (
	"fmt"
	"sort"
	"time"

	"cellar.example/mustwatch/domain/caution"
	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/clarity"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/stage"
	"cellar.example/mustwatch/tui/face"
	"cellar.example/mustwatch/tui/widget"
)

// freshReading is how old a temperature may be to be proposed for a dose: an
// older one must be read again, for the clock stands on it.
const freshReading = 20 * time.Minute

func openDose(k *desk) (*Entry, string) {
	v, ok := k.vessel()
	if !ok {
		return nil, "Put the cursor on the tank you dose."
	}
	if why := k.empty(v, "nothing to dose"); why != "" {
		return nil, why
	}
	when, held, late := k.whenHeld(v)
	lots := k.lots(v)
	if len(lots) == 0 {
		return nil, "There is no product lot in store: press u to book one in."
	}
	onGrapes := func(val map[string]string) bool { return k.onGrapes(val) }
	product := widget.Field{Name: "product", Label: "Product", Choices: lots}
	if w := k.look().State.WeighedFor(v.Number); len(w) > 0 {
		product.Value, product.Origin = string(w[0].Product), "already weighed"
	}
	treated := k.volume("volume", "Treated volume", "")
	treated.Says = k.volumeThen
	e := k.entry("Dose into "+string(v.Number)+", "+held, append(earlyOr(late, when, []widget.Field{
		product,
		widget.Field{Name: "rate", Label: "Rate", Kind: widget.Figure, Width: 22, Limit: 24, Says: k.rateUnit,
			Validate: k.reads("rate", func(s *slip) { s.rate() })},
		k.temp("of the juice now"),
		only(treated, func(val map[string]string) bool { return !onGrapes(val) }),
		only(k.grapes("mass", "Grapes", "in the tank"), onGrapes),
		widget.Field{Name: "amount", Label: "Amount", Kind: widget.Figure, Optional: true,
			Hint:     "if you weighed something else; no unit = g or mL",
			Validate: k.reads("amount", func(s *slip) { s.amount() })},
		k.ahead("test_at", "Test at", "blank = from the card"),
		words("reason", "Reason", "for a second dose"),
		k.people("second", "Second person", "who checked it"),
		k.poured(v),
	}), k.doseSeen())...)
	e.Command = k.dose
	e.Form.Live = func(values map[string]string) []string {
		return append(k.doseLines(values), k.elsewhere(e.Command, values, values["vessel"], k.sub.Name())...)
	}
	k.warns(k.doseCautions)
	k.follow = k.followDose
	return e, ""
}

// followDose keeps the proposals with what has been picked.
func (k *desk) followDose(values map[string]string) {
	v, ok := k.vessel()
	if !ok {
		return
	}
	g := k.look()
	k.offerAsOf(v, k.doseAt(values))
	rate, amount, from := "", "", ""
	for _, w := range g.State.WeighedFor(v.Number) {
		if string(w.Product) == values["product"] {
			rate, amount, from = w.Rate.String(), w.Drawn.Text(g.Units()), say(g, "weighed {time} by {person}",
				clock(g, w.At), w.By)
		}
	}
	k.form.Propose("rate", rate, from)
	k.form.Propose("amount", amount, from)
}

// doseCautions are those of the product that is picked, as it goes into what is
// there.
func (k *desk) doseCautions(values map[string]string) []caution.Code {
	p, picked := k.look().State.Product(cellar.ProductID(values["product"]))
	if v, ok := k.vessel(); ok && picked {
		return append(k.look().State.Receives(v, p), caution.Lid)
	}
	return append(k.opened(), caution.Lid)
}

// doseAt is when the dose went in: now, or the time that was typed.
func (k *desk) doseAt(values map[string]string) time.Time {
	if s := k.slip(values); values["at"] != "" {
		if at := s.back("at"); s.err == nil {
			return at
		}
	}
	return k.look().Now
}

// offerAsOf proposes the volume and the temperature that were known of a vessel at
// the time of the dose, not what came or was read since.
func (k *desk) offerAsOf(v *cellar.Vessel, at time.Time) {
	g := k.look()
	then, known := v.Then(at)
	volume, from := volumeOr(k, then.Volume), face.Gauge(&v.Now, g.Now, g.Units())
	switch past := at.Before(g.Now); {
	case past && !known:
		volume = ""
	case past && then.Open:
		from = "saved by " + clock(g, at) + ", more was still running in"
	case past:
		from = "ledger at " + clock(g, at)
	}
	k.offer("volume", volume, from)
	if t := then.Last.Temp; t != nil && at.Sub(then.TempAt) < freshReading {
		k.offer("temp", bareTemp(g, *t), "read "+clock(g, then.TempAt))
	} else {
		k.offer("temp", "", "")
	}
}

// volumeThen is the hint at the volume where nobody wrote what the vessel held.
func (k *desk) volumeThen(values map[string]string) (unit, hint string) {
	g := k.look()
	if v, ok := k.vessel(); ok {
		if at := k.doseAt(values); at.Before(g.Now) {
			if _, known := v.Then(at); !known {
				hint = "no volume is saved for " + clock(g, at) + ": type it"
			}
		}
	}
	return k.volumeUnit(), hint
}

// onGrapes reports whether the rate is on grapes rather than on juice: by the unit
// that was typed, else by the label.
func (k *desk) onGrapes(values map[string]string) bool {
	r := k.slip(values).rate()
	if r.IsZero() {
		if p, ok := k.look().State.Product(cellar.ProductID(values["product"])); ok {
			return p.Unit.OnGrapes()
		}
	}
	return r.Unit.OnGrapes()
}

func (k *desk) rateUnit(values map[string]string) (unit, hint string) {
	p, ok := k.look().State.Product(cellar.ProductID(values["product"]))
	if !ok {
		return "", "in the unit of the label"
	}
	if p.Card.Label != "" {
		return string(p.Unit), "label: " + p.Card.Label
	}
	if !p.Card.Low.IsZero() {
		return string(p.Unit), say(k.look(), "label: {low} to {high}", p.Card.Low, p.Card.High)
	}
	return string(p.Unit), ""
}

// rate reads the rate; a bare number has the unit of the label, a typed unit
// wins, and one on the other basis is refused: hectolitres of juice and kilograms
// of grapes have no fixed factor.
func (s *slip) rate() quantity.Rate {
	p, known := s.g.State.Product(cellar.ProductID(s.k.picked(s.v, "product")))
	bare := quantity.GPerHL
	if known {
		bare = p.Unit
	}
	r := read(s, "rate", s.text("rate"), func(t string) (quantity.Rate, error) { return s.g.Habit().Rate(t, bare) })
	if known && !r.IsZero() && p.Class != cellar.SO2 && r.Unit.OnGrapes() != p.Unit.OnGrapes() {
		s.fail("rate", refuse("", "type the rate of {product} {basis} in {unit}, not in {typed}", p.ID,
			basisWord(p.Unit), p.Unit, r.Unit))
		return quantity.Rate{}
	}
	return r
}

func basisWord(u quantity.RateUnit) string {
	if u.OnGrapes() {
		return "on the grapes"
	}
	return "on the juice"
}

// picked is the value of a picker, from the form where the values do not have
// it: a field's own check only sees its own value.
func (k *desk) picked(values map[string]string, name string) string {
	if v, ok := values[name]; ok || k.form == nil {
		return v
	}
	return k.form.Value(name)
}

func (s *slip) amount() quantity.Amount {
	p, ok := s.g.State.Product(cellar.ProductID(s.k.picked(s.v, "product")))
	liquid := ok && p.Poured()
	return read(s, "amount", s.text("amount"), func(t string) (quantity.Amount, error) {
		return s.g.Habit().Amount(t, liquid)
	})
}

// The values of the picker that tells how far a dose has come, beside planned and
// happened.
const (
	onlyWeighed = "weighed"
	weighedBack = "back"
)

// poured asks how far a dose has come. What stands weighed can also go back.
func (k *desk) poured(v *cellar.Vessel) widget.Field {
	f := plan("pouring it now")
	f.Choices = append(f.Choices, widget.Choice{Key: 'w', Label: "weighed, not poured yet", Value: onlyWeighed})
	if len(k.look().State.WeighedFor(v.Number)) > 0 {
		f.Choices = append(f.Choices, widget.Choice{Key: 'b', Label: "back into the tub", Value: weighedBack})
	}
	return f
}

// doseSeen asks for the number where a dose goes in, when what stands at its twin
// could take it too. It stands last, as in a move.
func (k *desk) doseSeen() widget.Field {
	return only(where(numberSeen("Number there"), on("plan", "", planned)), func(v map[string]string) bool {
		p, ok := k.look().State.Product(cellar.ProductID(v["product"]))
		return ok && len(k.look().State.DoseReadsBack(k.sub.Vessel, p.Class)) > 0
	})
}

func (k *desk) dose(values map[string]string) (cellar.Command, error) {
	s := k.slip(values)
	switch c := s.doseCommand(); values["plan"] {
	case onlyWeighed:
		return s.done(&cellar.WeighDose{GiveDose: *c})
	case weighedBack:
		return s.done(&cellar.WeighBack{Head: c.Head, Vessel: c.Vessel, Product: c.Product, Reason: c.Reason})
	default:
		// What the form said to weigh is what was weighed, whatever is found later of the tank.
		if r, err := k.look().State.Calculate(c, k.look().Now); err == nil && c.Amount.IsZero() {
			c.Amount = r.Drawn
		}
		return s.done(c)
	}
}

func (s *slip) doseCommand() *cellar.GiveDose {
	c := &cellar.GiveDose{Head: s.head(), Vessel: s.k.sub.Vessel, Product: cellar.ProductID(s.text("product")),
		Rate:   s.rate(),
		Amount: s.amount(), Volume: s.volume("volume"), Mass: s.grapes("mass"), Temp: s.readNow("temp"),
		TestAt: s.ahead("test_at"),
		Second: s.who("second"), Reason: s.text("reason"), Seen: s.tank(cellar.SeenField)}
	return c
}

// readNow is a temperature that somebody has just read. What is proposed of an earlier
// reading stands written already and is not written again.
func (s *slip) readNow(name string) *quantity.Celsius {
	if s.k.form != nil && s.text(name) == s.k.offered[name] {
		if _, typed := s.k.form.Draft()[name]; !typed {
			return nil
		}
	}
	return s.celsius(name)
}

// lots are the product lots as choices, the likeliest first. Each has the sign of
// its place in the store, so that a habit never picks another tub.
func (k *desk) lots(v *cellar.Vessel) []widget.Choice {
	g := k.look()
	type ranked struct {
		p   *cellar.Product
		n   int
		key rune
	}
	var all []ranked
	next, uses := nextClass(v), usedTonight(g.State, g.Now)
	stands := map[cellar.ProductID]bool{}
	for _, w := range g.State.WeighedFor(v.Number) {
		stands[w.Product] = true
	}
	for i, p := range g.State.Products() {
		n := rank(p, v, next, uses[p.ID], g.Now)
		if stands[p.ID] {
			n += 1000
		}
		x := ranked{p: p, n: n}
		if i < len(placeKeys) {
			x.key = placeKeys[i]
		}
		if p.End != nil && !stands[p.ID] { // it keeps its place, for the hand knows the others'
			continue
		}
		all = append(all, x)
	}
	sort.SliceStable(all, func(i, j int) bool { return all[i].n > all[j].n })
	var out []widget.Choice
	for _, r := range all {
		out = append(out, widget.Choice{Key: r.key, Label: lotLabel(g, r.p), Value: string(r.p.ID),
			Name: string(r.p.ID)})
	}
	return out
}

func lotLabel(g face.Sight, p *cellar.Product) string {
	left := p.Open.Text(g.Units())
	if p.Open.IsZero() && p.Sealed > 0 {
		left = say(g, "none open, {n} sealed", p.Sealed)
	}
	if words := p.Words(); words != "" {
		return fmt.Sprintf("%s %s %s", p.ID, short(words, 28), left)
	}
	return string(p.ID) + " " + left
}

// rank says how likely a lot is to be poured next.
func rank(p *cellar.Product, v *cellar.Vessel, next cellar.Class, uses int, now time.Time) int {
	n := min(uses, 20)
	if p.Class == next {
		n += 100
	}
	if p.Class.Suits(v.Now.Kind) {
		n += 50
	}
	for _, d := range v.Now.Doses {
		if d.Product == p.ID {
			n += 30
			break
		}
	}
	if p.Open.IsZero() {
		n -= 25
	}
	if p.Open.IsZero() && p.Sealed == 0 || !p.Expires.IsZero() && now.After(p.Expires) {
		n -= 200
	}
	return n
}

// nextClass is the class of product that is usually next in a content.
func nextClass(v *cellar.Vessel) cellar.Class {
	c := &v.Now
	has := map[cellar.Class]bool{}
	for _, d := range c.Doses {
		has[d.Class] = true
	}
	positive := len(c.Checks) > 0 && c.Checks[len(c.Checks)-1].Verdict == clarity.Positive
	switch {
	case c.Kind == stage.HotMust && !has[cellar.EnzymeHeat]:
		return cellar.EnzymeHeat
	case (c.Kind == stage.RedMust || c.Kind == stage.WhiteMust) && has[cellar.SO2] && !has[cellar.EnzymeSkin]:
		return cellar.EnzymeSkin
	case c.Kind == stage.ClearJuice || c.Stage == stage.Racked:
		return cellar.YeastClass
	case (c.Kind == stage.Juice || c.Kind == stage.PressJuice) && (positive || !has[cellar.EnzymeClarify] &&
		c.PectinGone.IsZero()):
		return cellar.EnzymeClarify
	case !c.PectinGone.IsZero() && has[cellar.SO2]:
		return cellar.Protein
	}
	return cellar.SO2
}

// nightLong is how far back "tonight" reaches for what is used most.
const nightLong = 14 * time.Hour

func usedTonight(s *cellar.State, now time.Time) map[cellar.ProductID]int {
	out := map[cellar.ProductID]int{}
	for _, v := range s.Vessels() {
		for _, it := range v.Account {
			if it.Dose != nil && !it.TakenBack && now.Sub(it.At) < nightLong {
				out[it.Dose.Product]++
			}
		}
	}
	return out
}
