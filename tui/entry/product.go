package entry

import (
	"fmt"
	"strconv"
	"strings"

	"cellar.example/mustwatch/domain/caution"
	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/contact"
	"cellar.example/mustwatch/domain/dose"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/tui/face"
	"cellar.example/mustwatch/tui/widget"
)

// What can be done with a product lot.
const (
	newLot  = "new"
	doOpen  = "open"
	doCount = "count"
	doCard  = "card"
	doEnds  = "end"
)

func openProduct(k *desk) (*Entry, string) {
	g := k.look()
	var lots []widget.Choice
	for _, p := range g.State.InStore() {
		lots = append(lots, widget.Choice{Label: lotLabel(g, p), Value: string(p.ID), Name: string(p.ID)})
	}
	known := func(v map[string]string) bool {
		return v["product"] != "" && v["product"] != newLot && v["product"] != alcoholBottle
	}
	card := func(v map[string]string) bool { return v["product"] == newLot || known(v) && v["do"] == doCard }
	which := widget.Field{Name: "product", Label: "Lot", Choices: append(numbered(lots), widget.Choice{Key: 'n',
		Label: "a new lot", Value: newLot},
		widget.Choice{Key: 'b', Label: "alcohol bottle", Value: alcoholBottle})}
	if len(lots) == 0 {
		which.Value = newLot
	}
	fields := []widget.Field{which,
		only(widget.Field{Name: "do", Label: "Action", Choices: []widget.Choice{{Key: 'o', Label: "open a container",
			Value: doOpen},
			{Key: 'c', Label: "count", Value: doCount},
			{Key: 'l', Label: "label and card", Value: doCard},
			{Key: 'e', Label: "end the lot", Value: doEnds}}}, known),
		only(where(must(k.stock("count", "Open stock", "as counted")), on("do", doCount)), known),
		only(where(must(words("reason", "Reason", "handed back, expired, used up")), on("do", doEnds)), known),
	}
	fields = append(fields, k.bottleFields()...)
	e := k.entry("Product lots", append(fields, k.cardFields(card)...)...)
	e.Command = k.productCommand
	e.Form.Live = k.productLines
	k.warns(k.lotCautions)
	k.follow = k.followProduct
	return e, ""
}

func (k *desk) stock(name, label, hint string) widget.Field {
	return widget.Field{Name: name, Label: label, Hint: hint, Kind: widget.Figure, Optional: true,
		Validate: k.reads(name, func(s *slip) { s.stock(name) })}
}

// cardFields are what stands on a label.
func (k *desk) cardFields(card func(map[string]string) bool) []widget.Field {
	fresh := func(v map[string]string) bool { return v["product"] == newLot }
	var classes []widget.Choice
	for _, c := range cellar.Classes() {
		classes = append(classes, widget.Choice{Label: string(c), Value: string(c)})
	}
	f := func(name, label, hint string, read func(s *slip)) widget.Field {
		return widget.Field{Name: name, Label: label, Kind: widget.Figure, Width: 16, Limit: 24, Hint: hint,
			Optional: true, Validate: k.reads(name, read)}
	}
	rows := f("card", "Card rows", "15-20 2h; 12-15 3h; 10-12 4h", func(s *slip) { s.rows() })
	rows.Width, rows.Limit = 40, 120
	name := must(words("name", "Name", "as the crew says it"))
	name.Width = 28
	out := []widget.Field{
		only(widget.Field{Name: "id", Label: "Lot number", Kind: widget.Code, Width: 14, Limit: 20}, fresh),
		name,
		{Name: "class", Label: "Class", Choices: numbered(classes)},
		f("unit", "Label unit", "g/hL, mL/hL, g/100 kg, lb/1000 gal", func(s *slip) { s.unit() }),
		f("range", "Dose range", "1-4, in the label unit", func(s *slip) { s.dosage() }),
		f("max", "Maximum in all", "in the label unit", func(s *slip) { s.limit() }),
		rows,
		f("floor", "Not below", k.degrees(), func(s *slip) { s.celsius("floor") }),
		f("ceiling", "Not above", k.degrees(), func(s *slip) { s.celsius("ceiling") }),
		f("make_up", "Water", "litres per kilogram, such as 10", func(s *slip) { s.number("make_up", 1000) }),
		f("water_temp", "Water temperature", k.degrees(), func(s *slip) { s.celsius("water_temp") }),
		f("use_within", "Use within", "30min, 2h after make-up", func(s *slip) { s.span("use_within") }),
		f("strength", "Strength", "150 g/L, 57.6 % SO2, 10 % salt", func(s *slip) { s.strength() }),
		f("expiry", "Expiry", "2026-12, or none", func(*slip) {}),
		only(k.stock("open", "Open stock", "in the open container"), fresh),
		only(f("sealed", "Sealed", "how many", func(s *slip) { s.number("sealed", 10_000) }), fresh),
		only(k.stock("size", "Container size", ""), fresh),
	}
	out[3].Optional = false
	for i := range out {
		if out[i].Part == nil {
			out[i].Part = card
		}
	}
	return out
}

func (s *slip) unit() quantity.RateUnit {
	return read(s, "unit", s.k.picked(s.v, "unit"), func(t string) (u quantity.RateUnit, err error) {
		err = u.UnmarshalText([]byte(t))
		return u, err
	})
}

// dosage reads "1-4" in the unit of the label.
func (s *slip) dosage() (low, high quantity.Rate) {
	text := strings.NewReplacer("–", "-", " to ", "-").Replace(s.text("range"))
	if text == "" {
		return low, high
	}
	a, b, two := strings.Cut(text, "-")
	if !two {
		b = a
	}
	unit := s.unit()
	for _, x := range []struct {
		to   *quantity.Rate
		text string
	}{{&low, a}, {&high, b}} {
		r, err := s.g.Habit().Rate(strings.TrimSpace(x.text), unit)
		s.fail("range", err)
		*x.to = r
	}
	if high.Unit != low.Unit { // "1-4 g/hL": the unit stands behind the second
		low.Unit = high.Unit
	}
	return low, high
}

func (s *slip) limit() quantity.Rate {
	unit := s.unit()
	return read(s, "max", s.text("max"), func(t string) (quantity.Rate, error) { return s.g.Habit().Rate(t, unit) })
}

// rows reads "15-20 2h; 12-15 3h": bands of temperature with their waiting time.
func (s *slip) rows() (out []contact.Row) {
	for _, part := range strings.Split(s.text("card"), ";") {
		if part = strings.TrimSpace(part); part == "" {
			continue
		}
		band, wait, ok := strings.Cut(part, " ")
		a, b, two := strings.Cut(strings.ReplaceAll(band, "–", "-"), "-")
		if !ok || !two {
			s.fail("card", refuse("", "type the rows as 15-20 2h; 12-15 3h; 10-12 4h, not {typed:%q}", part))
			return nil
		}
		from, err1 := s.g.Habit().Celsius(a)
		to, err2 := s.g.Habit().Celsius(b)
		span, err3 := contact.ParseWait(wait, s.g.Habit())
		for _, err := range []error{err1, err2, err3} {
			if err != nil {
				s.fail("card", refuse("", "{row}: {wrong}", part, err))
			}
		}
		out = append(out, contact.Row{From: from, To: to, Wait: span})
	}
	return out
}

// strength is how much active substance the lot holds. Only of SO2 a per cent can be of
// two things.
func (s *slip) strength() dose.Strength {
	parse := dose.ParseStrength
	if class := cellar.Class(s.k.picked(s.v, "class")); class != "" && class != cellar.SO2 {
		parse = dose.ParseSolution
	}
	return read(s, "strength", s.k.picked(s.v, "strength"), func(t string) (dose.Strength, error) {
		return parse(t,
			s.g.Habit())
	})
}

// liquid reports whether the lot is measured rather than weighed: a known one as it was
// booked in, a new one by its strength, by the label's unit, or by how its stock is typed.
func (s *slip) liquid() bool {
	if p, ok := s.g.State.Product(cellar.ProductID(s.k.picked(s.v, "product"))); ok {
		return p.Poured()
	}
	var u quantity.RateUnit
	_ = u.UnmarshalText([]byte(s.k.picked(s.v, "unit")))
	strength, err := dose.ParseStrength(s.k.picked(s.v, "strength"), s.g.Habit())
	if u.Liquid() || err == nil && strength.Poured() {
		return true
	}
	for _, name := range []string{"open", "size"} {
		text := s.k.picked(s.v, name)
		_, weighed := s.g.Habit().Amount(text, false)
		if _, err := s.g.Habit().Amount(text, true); err == nil && weighed != nil {
			return true
		}
	}
	return false
}

func (s *slip) stock(name string) quantity.Amount {
	return read(s, name, s.text(name), func(t string) (quantity.Amount, error) {
		return s.g.Habit().Amount(t,
			s.liquid())
	})
}

func (k *desk) productCommand(values map[string]string) (cellar.Command, error) {
	s := k.slip(values)
	id := cellar.ProductID(values["product"])
	switch {
	case id == alcoholBottle:
		return k.bottleCommand(s)
	case id == newLot:
		id = cellar.ProductID(s.text("id"))
	case values["do"] == doOpen:
		return s.done(&cellar.OpenTub{Head: s.head(), Product: id})
	case values["do"] == doEnds:
		return s.done(&cellar.EndLot{Head: s.head(), Product: id, Reason: s.text("reason")})
	case values["do"] == doCount:
		count := s.stock("count")
		return s.done(&cellar.OpenTub{Head: s.head(), Product: id, Count: &count})
	}
	low, high := s.dosage()
	p := cellar.Product{ID: id, Name: s.text("name"), Class: cellar.Class(s.text("class")), Unit: s.unit(),
		Liquid: s.liquid(),
		Expiry: s.text("expiry"), Open: s.stock("open"), Sealed: int(orZero(s.number("sealed", 10_000))),
		Size: s.stock("size"),
		Card: cellar.Card{Card: contact.Card{Rows: s.rows(), Floor: orZero(s.celsius("floor")),
			Ceiling: orZero(s.celsius("ceiling"))},
			Low: low, High: high, Max: s.limit(), MakeUp: orZero(s.number("make_up", 1000)), Strength: s.strength(),
			WaterTemp: orZero(s.celsius("water_temp")), UseWithin: s.span("use_within")}}
	if old, ok := s.g.State.Product(id); ok {
		p.Card.Ea, p.Card.Label = old.Card.Ea, old.Card.Label
		if old.Card.Low != low || old.Card.High != high {
			p.Card.Label = ""
		}
	}
	return s.done(&cellar.SetProduct{Head: s.head(), Product: p})
}

// lotCautions are those of the lot that is picked, or of what is typed of a new one.
func (k *desk) lotCautions(values map[string]string) []caution.Code {
	switch p, ok := k.look().State.Product(cellar.ProductID(values["product"])); {
	case values["product"] == alcoholBottle:
		return []caution.Code{caution.Flammable}
	case ok && values["do"] != doCard:
		return p.Cautions()
	case values["class"] == "":
		return nil
	}
	return cellar.Class(values["class"]).Cautions(k.slip(values).liquid())
}

// followProduct fills the card in with what is known of the lot.
func (k *desk) followProduct(values map[string]string) {
	g := k.look()
	p, ok := g.State.Product(cellar.ProductID(values["product"]))
	if !ok || values["do"] != doCard {
		return
	}
	var rows []string
	for _, r := range p.Card.Rows {
		rows = append(rows, fmt.Sprintf("%s-%s %s", degree(g.Units(), r.From), degree(g.Units(), r.To), r.Wait))
	}
	rng := ""
	if !p.Card.Low.IsZero() {
		rng = fmt.Sprintf("%g-%g", p.Card.Low.Value, p.Card.High.Value)
	}
	for name, value := range map[string]string{"name": p.Name, "class": string(p.Class), "unit": string(p.Unit),
		"range": rng,
		"max":   p.Card.Max.String(), "card": strings.Join(rows, "; "), "floor": limitTemp(g, p.Card.Floor),
		"ceiling": limitTemp(g, p.Card.Ceiling), "make_up": figure(p.Card.MakeUp), "water_temp": limitTemp(g,
			p.Card.WaterTemp), "use_within": spanText(p.Card.UseWithin), "strength": p.Card.Strength.String(),
		"expiry": p.Expiry} {
		k.form.Propose(name, value, "as saved")
	}
}

// limitTemp is a temperature of a card; zero is none.
func limitTemp(g face.Sight, c quantity.Celsius) string {
	if c == 0 {
		return ""
	}
	return bareTemp(g, c)
}

func degree(sys quantity.System, c quantity.Celsius) string {
	x := float64(c)
	if sys == quantity.US {
		x = x*9/5 + 32
	}
	return strconv.FormatFloat(x, 'f', -1, 64)
}

func spanText(n quantity.Span) string {
	if n == 0 {
		return ""
	}
	return n.String()
}

func figure(x float64) string {
	if x == 0 {
		return ""
	}
	return strconv.FormatFloat(x, 'f', -1, 64)
}

func (k *desk) productLines(values map[string]string) []string {
	if values["product"] == alcoholBottle {
		return k.bottleLines(values)
	}
	g := k.look()
	p, ok := g.State.Product(cellar.ProductID(values["product"]))
	if !ok {
		return k.strengthLines(values)
	}
	line := say(g, "{product}: {open} open, none sealed", p.ID, p.Open)
	if p.Sealed > 0 {
		line = say(g, "{product}: {open} open, {n} sealed of {size}", p.ID, p.Open, p.Sealed,
			p.Size)
	}
	lines := []string{line}
	if values["do"] == doCount && values["count"] != "" {
		lines = append(lines, say(g, "counted {counted}, the board says {open}",
			k.slip(values).stock("count"), p.Open))
	}
	return append(lines, k.strengthLines(values)...)
}

// strengthLines say what a typed strength comes to, and what the Codex says of it.
func (k *desk) strengthLines(values map[string]string) (out []string) {
	s := k.slip(values)
	strength := s.strength()
	if s.err != nil || strength.IsZero() {
		return nil
	}
	if s.liquid() {
		strength = strength.Solution()
	}
	if cellar.Class(values["class"]) != cellar.SO2 {
		return nil
	}
	out = append(out, "doses count the SO2 in it: "+strength.String())
	if says := strength.BelowCodex(); says != "" {
		out = append(out, says)
	}
	return out
}
