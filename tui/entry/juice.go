package entry

import (
	"slices"

	"cellar.example/mustwatch/domain/caution"
	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/subject"
	"cellar.example/mustwatch/tui/widget"
)

func openJuice(k *desk) (*Entry, string) {
	g := k.look()
	var presses []widget.Choice
	for _, p := range g.State.Presses() {
		if len(p.Parts) > 0 {
			presses = append(presses, widget.Choice{Label: string(p.Number) + " " + p.Name(), Value: string(p.Number)})
		}
	}
	if v, ok := k.vessel(); ok && v.Now.Open && k.sourceIsEmpty(v) {
		return k.closeJuice(v), ""
	}
	if len(presses) == 0 {
		return nil, "All presses are empty. For juice from a tank, press m."
	}
	at := k.juicePress()
	var fields []widget.Field
	if at == "" {
		f := widget.Field{Name: "press", Label: "From", Choices: numbered(presses)}
		if len(presses) == 1 {
			f.Value, f.Origin = presses[0].Value, "the only full press"
		}
		fields = append(fields, f)
	} else if p, _ := g.State.Press(at); len(p.Parts) == 0 {
		return nil, say(g, "{press} is {state} and holds nothing.", p.Number, p.State)
	}
	to := must(k.tank("to", "Into", ""))
	to.Says = func(v map[string]string) (string, string) { return "", k.destination(cellar.TankNumber(v["to"])) }
	fields = append(fields,
		k.volume("volume", "Volume in", ""),
		where(k.volume("reads", "Or total now", ""), func(v map[string]string) bool { return v["volume"] == "" }),
		to,
		widget.Field{Name: "share", Label: "Cut", Optional: true, Value: cellar.ShareMain, Origin: "usual",
			Choices: []widget.Choice{
				{Key: 'f', Label: "free run", Value: cellar.ShareMain}, {Key: 'p', Label: "pressings",
					Value: cellar.ShareFraction}}},
		yesNo("closed", "Last of it", "no = more to come"),
		k.when(),
		where(howFound(), func(v map[string]string) bool { return v["volume"] != "" }))
	title := "Juice from a press"
	if at != "" {
		title = "Juice from " + string(at)
	}
	e := k.entry(title, fields...)
	e.Command = func(values map[string]string) (cellar.Command, error) {
		s := k.slip(values)
		to := s.tank("to")
		s.fail("to", k.knows(to))
		return s.done(&cellar.PressJuiceOut{Head: s.head(), Press: k.fromPress(values), To: to,
			Volume: s.volume("volume"), Reads: s.volume("reads"),
			Share: s.text("share"), Closed: s.yes("closed"), How: cellar.Gauge(s.text("how"))})
	}
	e.Form.Live = k.juiceLines
	k.warns(func(val map[string]string) []caution.Code {
		codes := append(k.opened(), k.openedAt(val, "to")...)
		if p, ok := k.look().State.Press(k.fromPress(val)); ok {
			codes = append(codes, p.Opened()...)
		}
		return codes
	})
	k.follow = func(values map[string]string) {
		p, ok := k.look().State.Press(k.fromPress(values))
		switch {
		case !ok:
		case values["share"] == cellar.ShareFraction:
			k.form.Propose("to", string(p.Fraction), "named at the start")
		case k.sub.Vessel != "":
			k.form.Propose("to", string(k.sub.Vessel), "under the cursor")
		default:
			k.form.Propose("to", string(p.Main), "named at the start")
		}
	}
	return e, ""
}

// sourceIsEmpty reports whether a vessel fills from a press that holds nothing any
// more, and from no other.
func (k *desk) sourceIsEmpty(v *cellar.Vessel) bool {
	p, ok := k.look().State.Press(cellar.TankNumber(v.Now.Source.Name))
	return ok && len(p.Parts) == 0 && len(k.look().State.Feeding(v.Number)) == 0
}

// closeJuice says from a vessel's own side that no more follows: its press has
// been emptied and has nothing to say.
func (k *desk) closeJuice(v *cellar.Vessel) *Entry {
	e := k.entry(say(k.look(), "Juice in {tank}, {volume}: {press} is empty", v.Number, v.Now.Volume, v.Now.Source),
		widget.Field{Name: "closed", Label: "Last juice", Value: yes, Origin: "no press runs there",
			Choices: []widget.Choice{
				{Key: 'y', Label: "yes, no more follows", Value: yes}, {Key: 'n', Label: "no, another press follows",
					Value: "no"}}},
		k.when())
	e.Command = func(values map[string]string) (cellar.Command, error) {
		s := k.slip(values)
		if !s.yes("closed") {
			return nil, refuse("closed", "nothing to save here: name {tank} when the next press starts, and press Esc",
				v.Number)
		}
		return s.done(&cellar.CloseJuice{Head: s.head(), Vessel: v.Number})
	}
	e.Form.Live = func(values map[string]string) []string { return k.follows(e.Command, values) }
	k.warns(func(map[string]string) []caution.Code { return k.opened() })
	return e
}

// juicePress is the press the subject stands for: itself, or the one a vessel
// fills from: one that runs there, else the one it was opened for.
func (k *desk) juicePress() cellar.TankNumber {
	if _, ok := k.press(); ok {
		return k.sub.Press
	}
	if v, ok := k.vessel(); ok {
		if from := k.look().State.Feeding(v.Number); len(from) == 1 {
			return from[0]
		} else if len(from) > 1 {
			return "" // which of them is asked
		}
		if _, from := k.look().State.Press(cellar.TankNumber(v.Now.Source.Name)); from &&
			v.Now.Source.Kind == subject.Press {
			return cellar.TankNumber(v.Now.Source.Name)
		}
	}
	return ""
}

func (k *desk) fromPress(values map[string]string) cellar.TankNumber {
	if p := values["press"]; p != "" {
		return cellar.TankNumber(p)
	}
	return k.juicePress()
}

func (k *desk) juiceLines(values map[string]string) []string {
	s := k.slip(values)
	v, ok := s.g.State.Vessel(s.tank("to"))
	if !ok {
		return nil
	}
	ran := s.volume("volume")
	if reads := s.volume("reads"); reads != 0 {
		ran = reads - v.Now.Volume
	}
	if ran <= 0 {
		return []string{say(s.g, "{tank} holds {volume}", v.Number, v.Now.Volume)}
	}
	lines := []string{say(s.g, "{volume} ran in", ran), after(s.g, cellar.Portion{Vessel: v.Number,
		Volume: ran})}
	from := slices.DeleteFunc(slices.Clone(v.Now.Feeds),
		func(x subject.Ref) bool { return x == subject.Of(subject.Press, k.fromPress(values)) })
	switch {
	case s.yes("closed") && v.Now.Open && len(from) > 0:
		lines = append(lines, say(s.g, "juice still runs in: the last of {press} is not in yet", from[0]))
	case v.Now.Open && !s.yes("closed"):
		lines = append(lines, "juice still runs in: no test time until the last is in")
	}
	return lines
}
