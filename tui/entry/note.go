package entry

import (
	"strings"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/subject"
	"cellar.example/mustwatch/tui/widget"
)

func openNote(k *desk) (*Entry, string) {
	g := k.look()
	open := g.State.StandingNotes(k.sub.Ref())
	open = open[max(0, len(open)-notesNamed):]
	text := words("text", "Note", "")
	text.Limit, text.Width, text.Optional = 240, 56, true
	about := words("subject", "About", "tank, press, load or words")
	about.Value, about.Width = g.State.NameOf(k.sub.Ref()), 20
	if about.Value != "" {
		about.Origin = "under the cursor"
	}
	promise := on("what", string(cellar.NotePromise))
	whom := words("for", "For", "who does it, or who reads it")
	whom.Width = 20
	whom.When = func(v map[string]string) bool { return v["what"] != noteOrder }
	fields := []widget.Field{text, noteKinds()}
	fields = append(fields, k.orderFields()...)
	pin := widget.Field{Name: "pinned", Label: "Pin", Optional: true, Choices: []widget.Choice{
		{Key: 'y', Label: "keep it on the sheet until it is done", Value: yes}}}
	fields = append(fields, whom, k.ahead("until", "Deadline", "a promise needs one"), about)
	orders := k.openOrders()
	if len(open)+len(orders) > 0 {
		var done []widget.Choice
		for _, o := range orders {
			done = append(done, widget.Choice{Label: short(say(g, "order from {person}: {order}", o.From, o.Say()), 48),
				Value: noteOrder + " " + o.ID})
		}
		for _, n := range open {
			done = append(done, widget.Choice{Label: short(say(g, "{kind}: {note}", n.What, n.Text), 48), Value: n.ID})
		}
		fields = append(fields, widget.Field{Name: "note", Label: "Or tick off", Optional: true,
			Choices: numbered(done)})
	}
	fields = append(fields, where(pin, falls))
	title := "New note"
	if k.sub.Name() != "" {
		title += " about " + g.State.NameOf(k.sub.Ref())
	}
	e := k.entry(title, append(fields, k.when())...)
	e.Command = func(values map[string]string) (cellar.Command, error) {
		s := k.slip(values)
		name, isOrder := strings.CutPrefix(s.text("note"), noteOrder+" ")
		switch {
		case values["what"] == noteOrder && s.text("note") == "":
			return k.order(values)
		case isOrder:
			return s.done(&cellar.EndOrder{Head: s.head(), Order: name, Reason: s.text("text")})
		case s.text("note") == "" && s.text("text") == "":
			return nil, refuse("text", "type the note")
		case s.text("note") != "" && s.text("text") == "":
			return s.done(&cellar.EndNote{Head: s.head(), Note: s.text("note")})
		case s.text("note") != "":
			return nil, refuse("note", "save a new note and a tick as two entries: clear one of them")
		}
		c := &cellar.WriteNote{Head: s.head(), Subject: subject.Parse(s.text("subject")), Text: s.text("text"),
			What: cellar.NoteKind(s.text("what")),
			For:  s.text("for"), Until: s.ahead("until"), Pinned: falls(values) && s.yes("pinned")}
		if promise(values) {
			c.For = string(s.who("for"))
		}
		return s.done(c)
	}
	return e, ""
}

// notesNamed is how many notes the form offers to tick off, the newest; the board lists all.
const notesNamed = 9

// falls reports whether a note of a kind falls off the sheet with its shift unless it is
// pinned.
func falls(values map[string]string) bool {
	return values["what"] == string(cellar.NoteInfo) || values["what"] == string(cellar.NoteIncident)
}

func noteKinds() widget.Field {
	return widget.Field{Name: "what", Label: "Kind", Optional: true, Value: string(cellar.NoteInfo), Origin: "usual",
		Choices: []widget.Choice{
			{Key: 'i', Label: "info", Value: string(cellar.NoteInfo)}, {Key: 'p', Label: "promise",
				Value: string(cellar.NotePromise)},
			{Key: 'q', Label: "question", Value: string(cellar.NoteQuestion)}, {Key: 'w', Label: "warning",
				Value: string(cellar.NoteWarning)},
			{Key: 'x', Label: "incident", Value: string(cellar.NoteIncident)}, {Key: 's', Label: "safety",
				Value: string(cellar.NoteSafety)},
			{Key: 'o', Label: "order", Value: noteOrder}}}
}

// noteOrder is the kind under which an order is saved: it comes by phone,
// while a note is being taken.
const noteOrder = "order"

// orderFields are what an order has beyond its words.
func (k *desk) orderFields() []widget.Field {
	var acts []widget.Choice
	for _, a := range cellar.Acts() {
		acts = append(acts, widget.Choice{Key: rune(a[0]), Label: string(a), Value: string(a)})
	}
	isOrder := on("what", noteOrder)
	dosing := on("act", string(cellar.ActDose))
	from := must(k.people("from", "Ordered by", ""))
	if w := winemaker(k.look().State); w != "" {
		from.Value, from.Origin = string(w), "winemaker"
	}
	lot := widget.Field{Name: "product", Label: "Lot", Kind: widget.Code, Width: 12, Validate: func(text string) error {
		if _, ok := k.look().State.Product(cellar.ProductID(text)); !ok {
			return refuse("", "there is no lot {product} in store: type the number on the tub, such as {lot}", text,
				anyLot(k.look().State))
		}
		return nil
	}}
	rate := widget.Field{Name: "rate", Label: "Rate", Kind: widget.Figure, Width: 18, Optional: true,
		Hint: "no unit = the label's unit", Validate: k.reads("rate", func(s *slip) { s.rate() })}
	return []widget.Field{only(widget.Field{Name: "act", Label: "Action", Choices: acts}, isOrder),
		only(where(lot, dosing), isOrder), only(where(rate, dosing), isOrder), only(from, isOrder)}
}

// openOrders are those of the vessel the form is about, and those of the cellar.
func (k *desk) openOrders() []*cellar.Order {
	g := k.look()
	var out []*cellar.Order
	for _, o := range g.State.OpenOrders("", g.Now) {
		if o.Vessel == "" || o.Vessel == k.sub.Vessel || k.sub.Vessel == "" {
			out = append(out, o)
		}
	}
	return out
}

func (k *desk) order(values map[string]string) (cellar.Command, error) {
	s := k.slip(values)
	c := &cellar.GiveOrder{Head: s.head(), Act: cellar.Act(s.text("act")), Product: cellar.ProductID(s.text("product")),
		Rate: s.rate(),
		Text: s.text("text"), From: s.who("from"), Until: s.ahead("until")}
	of := subject.Parse(s.text("subject"))
	if v, ok := s.g.State.Vessel(cellar.TankNumber(of.Name)); ok && of.Meets(v.Ref()) {
		c.Vessel = v.Number
	}
	return s.done(c)
}

// anyLot is the number of a lot in store, as an example of one.
func anyLot(s *cellar.State) cellar.ProductID {
	for _, p := range s.InStore() {
		return p.ID
	}
	return "E-1"
}

func openHold(k *desk) (*Entry, string) {
	if l, ok := k.look().State.Load(k.sub.Load); ok && l.State == cellar.LoadExpected {
		return k.cancelLoad(l), ""
	}
	v, ok := k.vessel()
	if !ok {
		return nil, "Put the cursor on the tank to put on hold."
	}
	if v.Hold != nil {
		return k.release(v), ""
	}
	who := must(k.people("releaser", "Released by", ""))
	if w := winemaker(k.look().State); w != "" {
		who.Value, who.Origin = string(w), "winemaker"
	}
	tag := widget.Field{Name: "tag", Label: "Tag number", Kind: widget.Code, Optional: true,
		Hint: "on the tag that hangs there"}
	e := k.entry("Put "+string(v.Number)+" on hold", must(words("reason", "Reason", "")), who, tag, k.ahead("until",
		"Until", ""))
	e.Form.Verb = "put on hold"
	e.Command = func(values map[string]string) (cellar.Command, error) {
		s := k.slip(values)
		return s.done(&cellar.HoldVessel{Head: s.head(), Vessel: k.sub.Vessel, Reason: s.text("reason"),
			Releaser: s.who("releaser"),
			Tag:      s.text("tag"), Until: s.ahead("until")})
	}
	return e, ""
}

func (k *desk) release(v *cellar.Vessel) *Entry {
	h := v.Hold
	e := k.entry("Release "+string(v.Number), must(words("reason", "Reason", "")))
	e.Key = " release"
	e.Form.Verb = "release"
	e.Command = func(values map[string]string) (cellar.Command, error) {
		s := k.slip(values)
		return s.done(&cellar.ReleaseVessel{Head: s.head(), Vessel: k.sub.Vessel, Reason: s.text("reason")})
	}
	e.Form.Live = func(map[string]string) []string {
		lines := []string{say(k.look(), "on hold since {time} by {person}: {reason}", clock(k.look(), h.At), h.By,
			h.Reason),
			say(k.look(), "{person} to release", h.Releaser)}
		if h.Tag != "" {
			lines = append(lines, "remove tag "+h.Tag)
		}
		return lines
	}
	return e
}

func winemaker(s *cellar.State) cellar.Initials {
	for _, p := range s.House.People {
		if p.Has(cellar.RoleWinemaker) {
			return p.Initials
		}
	}
	return ""
}
