package entry

import (
	"cellar.example/mustwatch/domain/caution"
	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/stage"
	"cellar.example/mustwatch/tui/widget"
)

// legs are the fields of the destinations of a move, in order. A first one is
// called by the name the rules use, "to".
var legs = []struct{ to, volume string }{{"to", "volume"}, {"to2", "volume2"}, {"to3", "volume3"}}

// smallLoss is the share of a content up to which what is left over is proposed
// as loss. More than that is no loss but something forgotten, and has to be said
// (common practice, no source).
const smallLoss = 0.03

func openMove(k *desk) (*Entry, string) {
	v, ok := k.vessel()
	if !ok {
		return nil, "Put the cursor on the tank you move from. For juice from a press, press f."
	}
	if why := k.empty(v, "nothing to move"); why != "" {
		return nil, why
	}
	if !v.Now.Stage.Empty() && v.Now.Volume == 0 {
		return nil, say(k.look(), "{tank} is {stage}: nothing to move.", v.Number, v.Now.Stage)
	}
	run, runs := k.look().State.Running(v.Number)
	done := func(val map[string]string) bool { return val["plan"] != starts }
	when, held, late := k.whenHeld(v)
	if !late {
		held = vol(k.look(), v.Now.Volume) + " " + held
	}
	e := k.entry("Move from "+string(v.Number)+", "+held, k.moveFields(run, done, when, late)...)
	k.warns(func(val map[string]string) []caution.Code {
		return append(append(k.opened(), k.openedAt(val, "to", "to2", "to3", "lees")...), caution.Transfer)
	})
	if runs {
		e.Form.Title += ", runs since " + clock(k.look(), run.Started)
	}
	e.Command = k.moveCommand
	e.Form.Live = func(values map[string]string) []string {
		return append(k.moveLines(values), k.elsewhere(e.Command, values, k.sub.Name(), values["to"], values["to2"],
			values["to3"], values["lees"])...)
	}
	e.Form.FieldNotes = k.moveNotes
	k.follow = k.followMove
	return e, ""
}

func (k *desk) moveFields(run *cellar.RunningMove, done func(map[string]string) bool, when widget.Field,
	late bool) []widget.Field {
	number := func(name, label string, p cellar.TankNumber) widget.Field {
		f := k.tank(name, label, "")
		if f.Value = string(p); p != "" {
			f.Origin = "named at the start"
		}
		return f
	}
	var to [3]cellar.Portion
	var lees cellar.Portion
	if run != nil {
		copy(to[:], run.To)
		if run.Lees != nil {
			lees = *run.Lees
		}
	}
	leg := func(i int, label string) []widget.Field {
		f := k.volume(legs[i].volume, "Volume", "")
		if to[i].Volume != 0 {
			f.Value, f.Origin = bare(k.look(), to[i].Volume), "planned at the start"
		}
		p := number(legs[i].to, label, to[i].Vessel)
		if i == 0 {
			p.Hint = "or out of the house: below"
		}
		p.Says = func(v map[string]string) (string, string) {
			return "",
				k.destination(cellar.TankNumber(v[legs[i].to]))
		}
		return []widget.Field{p, where(f, func(v map[string]string) bool { return v[legs[i].to] != "" })}
	}
	var out cellar.Sent
	if run != nil && run.Out != nil {
		out = *run.Out
	}
	third := leg(2, "3rd tank")
	third[0].When = func(v map[string]string) bool { return v["to2"] != "" }
	third[1].When = func(v map[string]string) bool { return v["to2"] != "" && v["to3"] != "" }
	leesVolume := k.volume("lees_volume", "Lees volume", "")
	leesVolume.When = func(v map[string]string) bool { return v["lees"] != "" }
	if lees.Volume != 0 {
		leesVolume.Value = bare(k.look(), lees.Volume)
	}
	pump := k.volume("rate", "Pump rate", "or type its end")
	pump.Unit += "/h"
	pump.Validate = k.reads("rate", func(s *slip) { s.hourly("rate") })
	stays := yesNo("part", "Leave the rest", "usual")
	plan, why := doneAlready(run, nil)
	if late {
		plan, why = happened, "the tank is empty now"
	}
	fields := append(leg(0, "To"), leg(1, "2nd tank")...)
	fields = append(fields, number("lees", "Lees to", lees.Vessel), leesVolume,
		where(k.volume("loss", "Loss", ""), done))
	fields = append(fields, third...)
	fields = append(fields,
		where(yesNo("blend", "Blend on purpose", "usual"), k.meetsContent),
		where(stays, done),
		widget.Field{Name: "plan", Label: "Already done?", Optional: true, Value: plan, Origin: why,
			Choices: []widget.Choice{
				{Key: 'p', Label: "no, moving it now", Value: planned}, {Key: 'h', Label: "yes, it is done",
					Value: happened},
				{Key: 's', Label: "no, the pump starts now", Value: starts}}},
		where(pump, on("plan", starts)),
		where(k.ahead("until", "Pump off at", "when the move ends"), on("plan", starts)),
		where(k.tank("intended", "Meant to go to", "if it went to the wrong tank"), on("plan", happened)),
		where(words("why", "Reason", ""), done))
	fields = append(earlyOr(late, where(when, done), fields), where(howFound(), done))
	return append(append(fields, k.wayOut(out)...), k.valveField())
}

// doneAlready proposes whether a move is done: one that was begun, and goes where
// it was said to. Where another number is typed for it the rules are asked first.
func doneAlready(run *cellar.RunningMove, values map[string]string) (plan, why string) {
	if run == nil {
		return planned, "the board checks first"
	}
	for i, l := range legs {
		p := values[l.to]
		if p != "" && (i >= len(run.To) || cellar.TankNumber(p) != run.To[i].Vessel) {
			return planned, "not the tank it started for"
		}
	}
	return happened, "the pump has started"
}

// destination says what a vessel is used for and what is in it.
func (k *desk) destination(p cellar.TankNumber) string {
	g := k.look()
	if p == "" {
		return ""
	}
	if pr, ok := g.State.Press(p); ok {
		return "press, " + string(pr.State)
	}
	v, ok := g.State.Vessel(p)
	switch {
	case !ok:
		return "no such number"
	case v.Hold != nil:
		return "× ON HOLD: " + v.Hold.Reason
	case v.Now.Stage.Empty():
		if not := v.Now.NotYet(); not != "" {
			return say(g, "{use}, {stage}, {not}", v.Use, v.Now.Stage, not)
		}
		return say(g, "{use}, {stage}", v.Use, v.Now.Stage)
	}
	return say(g, "{use}, holds {volume} {content}", v.Use, v.Now.Volume, v.Now.Name())
}

// meetsContent reports whether a destination holds something already.
func (k *desk) meetsContent(values map[string]string) bool {
	for _, l := range legs {
		v, ok := k.look().State.Vessel(cellar.TankNumber(values[l.to]))
		if ok && !v.Now.Stage.Empty() && v.Use != stage.UseLees {
			return true
		}
	}
	return false
}

// followMove keeps the proposals with what is typed: each destination takes what
// is left or what fits, and the loss is what is left over in the end, as long as
// it is small enough to be one.
func (k *desk) followMove(values map[string]string) {
	v, ok := k.vessel()
	if !ok {
		return
	}
	g := k.look()
	if run, runs := g.State.Running(v.Number); runs {
		plan, why := doneAlready(run, values)
		k.form.Propose("plan", plan, why)
	}
	typed := k.form.Draft()
	had := k.had(values).Volume
	left, said := had, false
	for _, l := range legs {
		if values[l.to] == "" {
			continue
		}
		if _, mine := typed[l.volume]; !mine && !k.prefilled(l.volume) {
			fits, why := k.fits(cellar.TankNumber(values[l.to]), left)
			k.form.Propose(l.volume, volumeOr(k, fits), why)
		} else {
			said = true
		}
		left -= k.slip(k.form.Values()).shown(l.volume)
	}
	if values["lees"] != "" {
		left -= k.slip(values).shown("lees_volume")
		said = true
	}
	if values["out"] != "" {
		if _, mine := typed["out_volume"]; !mine {
			k.form.Propose("out_volume", volumeOr(k, left), "all that is left")
		} else {
			said = true
		}
		left -= k.slip(k.form.Values()).shown("out_volume")
	}
	part := k.restStays(said && left > had/2 && left < had)
	limit := max(quantity.Hectolitre, quantity.Volume(float64(had)*smallLoss))
	switch {
	case values["plan"] == starts, part == yes, values["to"]+values["lees"]+values["out"] == "":
		k.form.Propose("loss", "", "")
	case left > 0 && left <= limit:
		k.form.Propose("loss", bare(g, left), "what is left over")
	default:
		k.form.Propose("loss", "", "")
	}
}

// restStays proposes whether the rest stays, and gives back what stands there then:
// it does where somebody said how much goes and that is less than half. What is only
// the room of a destination says nothing about the rest.
func (k *desk) restStays(most bool) string {
	if most {
		k.form.Propose("part", yes, "most stays")
	} else {
		k.form.Propose("part", "no", "usual")
	}
	return k.form.Value("part")
}

// prefilled reports whether a volume was planned when the pump started.
func (k *desk) prefilled(name string) bool {
	run, ok := k.look().State.Running(k.sub.Vessel)
	if !ok {
		return false
	}
	for i, l := range legs {
		if l.volume == name {
			return i < len(run.To) && run.To[i].Volume != 0
		}
	}
	return false
}

func volumeOr(k *desk, v quantity.Volume) string {
	if v <= 0 {
		return ""
	}
	return bare(k.look(), v)
}

// fits is how much of a volume a destination takes up to its working limit.
func (k *desk) fits(p cellar.TankNumber, left quantity.Volume) (quantity.Volume, string) {
	v, ok := k.look().State.Vessel(p)
	if !ok {
		return left, "all that is left"
	}
	room := v.Limit() - v.Now.Volume
	if room < left {
		return room, "room to its limit"
	}
	return left, "all that is left"
}

func (k *desk) moveCommand(values map[string]string) (cellar.Command, error) {
	s := k.slip(values)
	return s.done(s.move())
}

// move is the command of a move, of one that starts now or of a whole one.
func (s *slip) move() cellar.Command {
	k, values := s.k, s.v
	to, lees := s.portions(), (*cellar.Portion)(nil)
	s.seen(to)
	if s.text("lees") != "" {
		lees = &cellar.Portion{Vessel: s.tank("lees"), Volume: s.shown("lees_volume")}
	}
	for i, p := range to {
		s.leg(k.legOf(values, i), p)
	}
	out := s.sent()
	if values["plan"] == starts {
		if len(to) == 0 && out == nil {
			s.fail("to", refuse("", "type the number of the tank it goes to"))
		}
		return &cellar.StartMove{Head: s.head(), From: k.sub.Vessel, To: to, Lees: lees, Out: out,
			Blend: s.yes("blend"), Rate: s.hourly("rate"), Until: s.ahead("until")}
	}
	c := &cellar.Move{Head: s.head(), From: k.sub.Vessel, To: to, Lees: lees, Out: out,
		Loss: s.exactLoss(to, lees, out), Blend: s.yes("blend"),
		Meant: s.tank("intended"), Part: s.yes("part"), Why: s.text("why"), How: cellar.Gauge(s.text("how"))}
	if lees != nil && lees.Volume <= 0 && s.err == nil {
		s.fail("lees_volume", refuse("", "type how much lees went to {tank}", lees.Vessel))
	}
	if len(to) == 0 && lees == nil && out == nil && c.Loss == 0 {
		s.fail("to", refuse("", "type the number of the tank it goes to"))
	}
	return c
}
