package entry

import (
	"cellar.example/mustwatch/domain/caution"
	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/room"
	"cellar.example/mustwatch/domain/stage"
	"cellar.example/mustwatch/tui/face"
	"cellar.example/mustwatch/tui/widget"
)

// What can be done with a press.
const (
	doFill = "fill"
	doFull = "full"
	doGo   = "go"
	doStop = "stop"
	doEnd  = "end"
	doFree = "free"
)

func openPress(k *desk) (*Entry, string) {
	p, ok := k.press()
	if !ok {
		return nil, "Put the cursor on a press: " + pressNames(k.look().State) + "."
	}
	acts := pressActs(p)
	fields := []widget.Field{{Name: "do", Label: "Action", Choices: acts}}
	if len(acts) > 0 && p.State != cellar.PressRunning {
		fields[0].Value, fields[0].Origin = acts[0].Value, "next step"
	}
	fields = append(fields, k.fillFields(p)...)
	fields = append(fields, k.startPressFields(p)...)
	fields = append(fields, k.endFields(p)...)
	fields = append(fields,
		only(must(words("reason", "Reason", "")), on("do", doStop)),
		only(yesNo("locked", "Locked out", "usual"), on("do", doStop)),
		only(k.ahead("until", "End", ""), func(v map[string]string) bool {
			as := p.GoesOnAs()
			return v["do"] == doGo && (as == cellar.PressRunning || as == cellar.PressFilling)
		}),
		k.moreField(p),
		k.when())
	title := say(k.look(), "{press} {state} since {time}", p.Number, p.State, clock(k.look(), p.Since))
	if name := p.Name(); name != "" {
		title += ": " + name
	}
	e := k.entry(title, fields...)
	k.warns(k.pressCautions)
	e.Command = func(values map[string]string) (cellar.Command, error) { return k.pressCommand(values) }
	e.Form.Live = func(values map[string]string) []string {
		return append(k.pressLines(values), k.follows(e.Command, values)...)
	}
	k.follow = k.followPress
	return e, ""
}

func pressNames(s *cellar.State) string {
	out := ""
	for i, p := range s.Presses() {
		if i > 0 {
			out += ", "
		}
		out += string(p.Number)
	}
	return out
}

// pressActs is what can be done in a state, the usual next thing first.
func pressActs(p *cellar.Press) []widget.Choice {
	fill, full := widget.Choice{Key: 'f', Label: "fill from a load", Value: doFill}, widget.Choice{Key: 'a',
		Label: "all in", Value: doFull}
	start, stop := widget.Choice{Key: 's', Label: "start programme", Value: doStart}, widget.Choice{Key: 'x',
		Label: "stop", Value: doStop}
	end, free := widget.Choice{Key: 'e', Label: "end of programme", Value: doEnd}, widget.Choice{Key: 'r',
		Label: "empty and rinsed", Value: doFree}
	goOn := widget.Choice{Key: 'g', Label: "go on", Value: doGo}
	switch p.State {
	case cellar.PressReady:
		return []widget.Choice{fill, stop}
	case cellar.PressFilling:
		if len(p.Parts) == 0 {
			return []widget.Choice{free, fill, stop}
		}
		return []widget.Choice{full, start, fill, stop}
	case cellar.PressFull:
		return []widget.Choice{start, fill, stop, free}
	case cellar.PressRunning:
		return []widget.Choice{end, stop}
	case cellar.PressStopped, cellar.PressLocked:
		if p.GoesOnAs() != cellar.PressRunning {
			return []widget.Choice{goOn, free, stop}
		}
		return []widget.Choice{goOn, end, free, stop}
	}
	return []widget.Choice{free, stop}
}

// fillFields are for a load that is tipped into the press.
func (k *desk) fillFields(p *cellar.Press) []widget.Field {
	g := k.look()
	var loads []widget.Choice
	for _, l := range g.State.Loads {
		if (l.State == cellar.LoadWaiting || l.State == cellar.LoadTipping) && l.In < l.Net {
			loads = append(loads, widget.Choice{Label: say(g, "{load} {variety} {left}", l.ID, l.Variety,
				l.Net-l.In), Value: string(l.ID), Name: string(l.ID)})
		}
	}
	var parts []widget.Choice
	for _, x := range p.Parts {
		if x.Load != "" {
			parts = append(parts, widget.Choice{Label: string(x.Load) + " " + x.Variety, Value: string(x.Load),
				Name: string(x.Load)})
		}
	}
	load := widget.Field{Name: "load", Label: "Load", Choices: numbered(loads)}
	if len(loads) == 0 {
		load = widget.Field{Name: "load", Label: "Load", Kind: widget.Code, Hint: "no load waits; press g to weigh one"}
	}
	if len(loads) == 1 {
		load.Value, load.Origin = loads[0].Value, "the only load waiting"
	}
	out := []widget.Field{only(load, on("do", doFill)), only(k.grapes("mass", "Amount", "blank = all of it"),
		on("do", doFill)),
		only(k.ahead("filled", "Full at", "when the press will be full"), on("do", doFill))}
	if n := len(parts); n > 1 {
		out = append(out, only(widget.Field{Name: "part", Label: "Load", Choices: numbered(parts),
			Value: parts[n-1].Value, Origin: "the last one"}, on("do", doFull)))
	}
	return out
}

func (k *desk) startPressFields(p *cellar.Press) []widget.Field {
	starting := on("do", doStart)
	var progs []widget.Choice
	for _, x := range p.Programmes {
		progs = append(progs, widget.Choice{Label: x.Name + " " + x.Minutes.String(), Value: x.Name})
	}
	progs = append(numbered(progs), widget.Choice{Key: 'o', Label: "other", Value: "other"})
	other := on("programme", "other")
	main, fraction := k.tank("free_run", "Free run to", ""), k.tank("pressings", "Pressings to", "")
	for name, f := range map[string]*widget.Field{"free_run": &main, "pressings": &fraction} {
		f.Says = func(v map[string]string) (string, string) { return "", k.destination(cellar.TankNumber(v[name])) }
	}
	return []widget.Field{
		only(widget.Field{Name: "programme", Label: "Programme", Choices: progs}, starting),
		only(where(must(words("name", "Programme name", "")), other), starting),
		only(k.span("minutes", "Length", "if not the programme length"), starting),
		only(main, starting), only(fraction, starting),
	}
}

// endFields are for the pressings that have run by the programme's end, where none
// are saved yet.
func (k *desk) endFields(p *cellar.Press) []widget.Field {
	if p.FracOut > 0 {
		return nil
	}
	to := k.tank("to", "Pressings to", "")
	if to.Value = string(p.Fraction); p.Fraction != "" {
		to.Origin = "named at the start"
	}
	to.Says = func(v map[string]string) (string, string) { return "", k.destination(cellar.TankNumber(v["to"])) }
	return []widget.Field{only(to, on("do", doEnd)),
		only(k.volume("volume", "Pressings", "volume that ran in"), on("do", doEnd)),
		only(where(k.volume("reads", "Tank total", "or what the tank reads now"),
			func(v map[string]string) bool { return v["volume"] == "" }),
			on("do", doEnd))}
}

// moreField asks whether the tanks of an empty press get more juice.
func (k *desk) moreField(p *cellar.Press) widget.Field {
	open := k.look().State.LeftOpen(p)
	name := ""
	for _, v := range open {
		name += " " + string(v.Number)
	}
	return only(widget.Field{Name: "more", Label: "Juice in" + name, Optional: true, Value: "no",
		Origin: "no other press runs there", Choices: []widget.Choice{
			{Key: 'c', Label: "closed, the last is in", Value: "no"}, {Key: 'm', Label: "more follows", Value: yes}}},
		func(v map[string]string) bool { return v["do"] == doFree && len(open) > 0 })
}

// pressCautions are those of work at the press, of a vessel that its juice is to run
// into, and of the truck that it is filled from.
func (k *desk) pressCautions(values map[string]string) []caution.Code {
	p, ok := k.press()
	if !ok {
		return nil
	}
	codes := append(p.Cautions(), k.openedAt(values, "free_run", "pressings", "to")...)
	if values["do"] == doFill {
		codes = append(codes, truck(nil)...)
	}
	return codes
}

// followPress proposes the tanks and the new end.
func (k *desk) followPress(values map[string]string) {
	p, ok := k.press()
	if !ok {
		return
	}
	g := k.look()
	switch values["do"] {
	case doStart:
		main, why := juiceTank(g.State, p, cellar.ShareMain)
		k.form.Propose("free_run", string(main), why)
		frac, why := juiceTank(g.State, p, cellar.ShareFraction)
		k.form.Propose("pressings", string(frac), why)
	case doGo:
		if p.GoesOnAs() == cellar.PressRunning {
			stood := g.Now.Sub(p.Since)
			k.offer("until", wallTime(g, p.End.Add(stood)), "it stood for "+face.Length(stood))
		}
	}
}

// juiceTank proposes where juice of a press goes: the best of the vessels that take all
// of it, with the reason.
func juiceTank(s *cellar.State, p *cellar.Press, share string) (cellar.TankNumber, string) {
	if share == cellar.ShareFraction && p.Kind == stage.HotMust {
		return "", "" // it leaves none apart
	}
	w, _ := room.Wants(s, p, share)
	for _, t := range room.Takers(s, w) {
		not := t.Now.NotYet()
		switch {
		case t.Room < w.Volume:
		case t.Same:
			return t.Number, "same grapes, fits"
		case not != "":
			return t.Number, "first clean tank with room, " + not
		default:
			return t.Number, "first clean tank with room"
		}
	}
	return "", ""
}

func (k *desk) pressCommand(values map[string]string) (cellar.Command, error) {
	s := k.slip(values)
	p, ok := k.press()
	if !ok {
		return nil, refuse("do", "{press} is no longer in the cellar: press Esc to close the form", k.sub.Press)
	}
	switch values["do"] {
	case doFill:
		return s.done(&cellar.Tip{Head: s.head(), Load: cellar.LoadID(s.text("load")), To: p.Number,
			Mass: s.grapes("mass"), Until: s.ahead("filled")})
	case doFull:
		c := &cellar.TipDone{Head: s.head(), To: p.Number, Load: cellar.LoadID(s.text("part"))}
		if n := len(p.Parts); c.Load == "" && n > 0 {
			c.Load = p.Parts[n-1].Load
		}
		return s.done(c)
	case doStart:
		c := &cellar.StartPress{Head: s.head(), Press: p.Number, Programme: s.text("programme"),
			Minutes: s.span("minutes"),
			Main:    s.tank("free_run"), Fraction: s.tank("pressings")}
		if c.Programme == "other" {
			c.Programme = s.text("name")
		}
		return s.done(c)
	case doStop:
		return s.done(&cellar.StopPress{Head: s.head(), Press: p.Number, Reason: s.text("reason"),
			Locked: s.yes("locked")})
	case doGo:
		return s.done(&cellar.GoPress{Head: s.head(), Press: p.Number, Until: s.ahead("until")})
	case doEnd:
		c := &cellar.PressJuiceOut{Head: s.head(), Press: p.Number, Share: cellar.ShareFraction,
			Volume: s.volume("volume"), Reads: s.volume("reads"), End: true}
		if c.Volume != 0 || c.Reads != 0 {
			c.To = s.tank("to")
		}
		return s.done(c)
	case doFree:
		return s.done(&cellar.FreePress{Head: s.head(), Press: p.Number, More: s.yes("more")})
	}
	return nil, refuse("do", "pick from the list what {press} does", p.Number)
}

// endLines say what is written of the juice of a press, and what is not yet.
func endLines(g face.Sight, p *cellar.Press) (out []string) {
	for _, x := range []struct {
		share string
		ran   quantity.Volume
		to    cellar.TankNumber
	}{{cellar.ShareMain, p.MainOut, p.Main}, {cellar.ShareFraction, p.FracOut, p.Fraction}} {
		switch {
		case x.ran > 0:
			out = append(out, say(g, "{share}: {volume} saved", cellar.ShareWords(x.share), x.ran))
		case x.share == cellar.ShareMain && x.to != "":
			out = append(out, say(g, "{share}: none saved in {tank} yet (press f)", cellar.ShareWords(x.share), x.to))
		}
	}
	return out
}

func (k *desk) pressLines(values map[string]string) []string {
	p, ok := k.press()
	if !ok {
		return nil
	}
	g := k.look()
	switch values["do"] {
	case doEnd:
		return endLines(g, p)
	case doFill:
		l, ok := g.State.Load(cellar.LoadID(values["load"]))
		if !ok {
			return nil
		}
		m := k.slip(values).grapes("mass")
		if m == 0 {
			m = l.Net - l.In
		}
		share, _ := shareOf(p.Mass()+m, p.Rated).Beside(100)
		return []string{say(g, "{press} would hold {mass}, {share}", p.Number, p.Mass()+m, share)}
	case doStart:
		_, how, known := g.State.PressFraction(p)
		switch {
		case known:
			w, _ := room.Wants(g.State, p, cellar.ShareFraction)
			return []string{juiceRoom(g, w), "calculated from " + how}
		case p.Kind == stage.HotMust:
			return []string{"hot must gives no separate pressings"}
		}
		return []string{"pressings not known: what is in the press was not weighed or measured"}
	}
	return nil
}
