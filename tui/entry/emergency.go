package entry

import (
	"slices"
	"strings"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/tui/face"
	"cellar.example/mustwatch/tui/intent"
	"cellar.example/mustwatch/tui/widget"
)

// Parts of the form of crew and gas that open by themselves.
const (
	CrewOver = "emergency-over" // an emergency is ended
	CrewTold = "gas-told"       // what a gas reading lacks
)

// OpenCrew opens the form of crew and gas at one of its parts, with the focus on the
// first field that is to be filled in.
func OpenCrew(part string, look func() face.Sight) (e *Entry, why string) {
	e, why = Open(intent.FormCrew, face.Subject{}, look)
	if why != "" {
		return nil, why
	}
	e.Key += " " + part
	e.Form.Propose("what", part, "asked now")
	if e.Form.Follow != nil {
		e.Form.Follow(e.Form.Values())
	}
	first := "meter"
	if part == CrewOver {
		first = "ender"
	}
	for _, name := range []string{first, "asked", "of"} { // the last that is to be filled in is the first on the form
		if v, shown := e.Form.Values()[name]; shown && (v == "" || name == "asked") {
			e.Form.Focus(name)
		}
	}
	return e, ""
}

// urgentChoices stand in the form of crew and gas only while there is something to
// end or to ask.
func (k *desk) urgentChoices() (out []widget.Choice) {
	g := k.look()
	if len(k.endable()) > 0 {
		out = append(out, widget.Choice{Key: 'd', Label: "emergency over", Value: CrewOver})
	}
	if _, ok := g.State.GasAsks(); ok {
		out = append(out, widget.Choice{Key: 'w', Label: "place of the gas reading", Value: CrewTold})
	}
	return out
}

// endable are the emergencies that a person ends by a word, each who is missing by
// themselves.
func (k *desk) endable() (out []widget.Choice) {
	g := k.look()
	for _, e := range g.State.Emergencies(g.Now) {
		switch e.Kind {
		case cellar.EmergencyGas:
			out = append(out, widget.Choice{Label: e.Subject() + " gas", Value: e.Subject()})
		case cellar.EmergencyMissing:
			for _, who := range e.Who {
				out = append(out, widget.Choice{Label: string(who) + " missing", Value: string(who)})
			}
		}
	}
	return numbered(out)
}

// urgentFields are the fields of those parts.
func (k *desk) urgentFields() []widget.Field {
	over, told := on("what", CrewOver), on("what", CrewTold)
	of := widget.Field{Name: "of", Label: "Emergency", Choices: k.endable()}
	if len(of.Choices) == 1 {
		of.Value, of.Origin = of.Choices[0].Value, "the only one"
	}
	asksPlace := func(v map[string]string) bool {
		a, ok := k.look().State.GasAsks()
		return told(v) && ok && a.Place
	}
	asked := widget.Field{Name: "asked", Label: "Place", Kind: widget.Words, Width: 20, Limit: 40,
		Hint: "tank, press or a place of the house", Optional: true}
	if a, ok := k.look().State.GasAsks(); ok && a.Reading.Place != "" {
		asked.Value, asked.Origin = a.Reading.Place, "as typed; not a place of the house"
	}
	fields := []widget.Field{only(asked, asksPlace),
		only(must(k.people("ender", "Ended by", "initials of who says so")), over),
		only(must(words("how", "Action taken", "such as: valve shut, pit aired, read again from outside")), over)}
	if len(of.Choices) > 0 {
		fields = append([]widget.Field{only(of, over)}, fields...)
	}
	return fields
}

// asksMeter reports whether the meter of a reading that is written is asked about.
func (k *desk) asksMeter(values map[string]string) bool {
	a, ok := k.look().State.GasAsks()
	return values["what"] == CrewTold && ok && a.Meter
}

// urgentCommand makes the command of those parts, nil for another one.
func (s *slip) urgentCommand(what string) cellar.Command {
	switch what {
	case CrewOver:
		return &cellar.EndEmergency{Head: s.head(), Of: s.text("of"), Who: s.who("ender"), How: s.text("how")}
	case CrewTold:
		return &cellar.TellGas{Head: s.head(), Place: s.place("asked"), Meter: s.text("meter")}
	}
	return nil
}

// urgentLines say what it is about.
func (k *desk) urgentLines(values map[string]string) (out []string) {
	g := k.look()
	switch values["what"] {
	case CrewOver:
		for _, e := range g.State.Emergencies(g.Now) {
			if e.Subject() == values["of"] || e.Kind == cellar.EmergencyMissing && slices.Contains(e.Who,
				cellar.Initials(values["of"])) {
				out = append(append(out, e.Title), e.Says...)
			}
		}
	case CrewTold:
		if a, ok := g.State.GasAsks(); ok {
			out = append(out, say(g, "saved: {gas}, read at {time} by {person}", a.Reading.Text(), clock(g,
				a.Reading.At),
				a.Reading.By))
			if list := g.State.House.GasPlaces; a.Place && len(list) > 0 {
				out = append(out, "places of the house: "+strings.Join(list, ", ")+", and every tank and press")
			}
		}
	}
	return out
}
