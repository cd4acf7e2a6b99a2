package entry

import (
	"strings"

	"cellar.example/mustwatch/domain/caution"
	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/tui/face"
	"cellar.example/mustwatch/tui/widget"
)

// What is saved about people, gas and permits.
const (
	crewGas    = "gas"
	crewPermit = "permit"
	crewEnds   = "permit-end"
	crewWatch  = "attendant"
	crewEnters = "enter"
	crewLeft   = "left"
	crewIn     = "in"
	crewOut    = "out"
	crewBreak  = "break"
	crewBack   = "back"
	crewCount  = "count"
)

func openCrew(k *desk) (*Entry, string) {
	g := k.look()
	if len(g.State.House.People) == 0 {
		return nil, "The house has no list of people yet."
	}
	place := widget.Field{Name: "place", Label: "Place", Kind: widget.Words, Width: 20, Limit: 40,
		Hint: "tank, press or pit", Optional: true}
	if place.Value = k.sub.Name(); place.Value != "" && k.sub.Load == "" {
		place.Origin = "under the cursor"
	} else {
		place.Value = ""
	}
	meter := widget.Field{Name: "meter", Label: "Meter", Kind: widget.Code, Hint: "its number", Optional: true}
	if last, ok := g.State.LastGas(); ok {
		meter.Value, meter.Origin = last.Meter, "last used"
	}
	who := k.people("who", "Person", "blank = you")
	until := must(k.ahead("until", "Until", "2230, +45, 1h30"))
	permit, writes := on("what", crewPermit), on("what", crewGas, crewPermit)
	hands := k.handFields()
	fields := append([]widget.Field{{Name: "what", Label: "Entry", Choices: append(k.urgentChoices(), crewChoices...)}},
		k.urgentFields()...)
	fields = append(fields,
		only(place, on("what", crewGas, crewPermit, crewEnters)),
		only(must(k.permitNumber("number")), on("what", crewPermit, crewEnds, crewWatch)),
		only(must(words("given_by", "Issued by", "who issues permits here")), permit),
		only(must(k.people("holder", "Entrant", "who goes in")), permit),
		only(must(k.people("attendant", "Attendant", "stays outside")), on("what", crewPermit, crewWatch)),
		only(until, on("what", crewPermit, crewBreak)),
		only(k.permitNumber("permit"), on("what", crewEnters)),
		only(who, on("what", crewEnters, crewLeft, crewIn, crewOut, crewBreak, crewBack, crewHands)),
	)
	fields = append(append(fields, hands...), k.counting()...)
	e := k.entry("Crew, gas and permits", append(fields,
		only(k.gasFigure("co2", "CO2", "ppm", mostCO2), writes),
		only(k.gasFigure("o2", "O2", "%", 100), writes),
		only(meter, func(v map[string]string) bool { return writes(v) || k.asksMeter(v) }),
		only(widget.Field{Name: "counted", Label: "And seen", Kind: widget.Code, Width: 40, Limit: 80, Optional: true,
			Hint:     "initials of others",
			Validate: k.reads("counted", func(s *slip) { s.people("counted") })}, on("what", crewCount)),
		only(widget.Field{Name: "others", Label: "Others", Kind: widget.Figure, Optional: true,
			Hint:     "drivers, fitters, visitors: how many",
			Validate: k.reads("others", func(s *slip) { s.whole("others") })}, on("what", crewCount)),
		only(words("note", "Note", ""), on("what", crewGas, crewBreak, crewCount, crewHands)),
		only(where(plan("check first"), k.leavesWatch), on("what", crewOut, crewBreak)),
		k.when())...)
	e.Command = k.crewCommand
	e.Form.Live = k.crewLines
	k.warns(k.crewCautions)
	k.follow = k.followCrew
	return e, ""
}

var crewChoices = []widget.Choice{
	{Key: 'g', Label: "gas reading", Value: crewGas}, {Key: 'h', Label: "head count", Value: crewCount},
	{Key: 'b', Label: "break", Value: crewBreak}, {Key: 'k', Label: "back from break", Value: crewBack},
	{Key: 'i', Label: "comes on site", Value: crewIn}, {Key: 'o', Label: "leaves the site", Value: crewOut},
	{Key: 'p', Label: "permit", Value: crewPermit}, {Key: 'e', Label: "permit ends", Value: crewEnds},
	{Key: 'a', Label: "attendant changes", Value: crewWatch},
	{Key: 't', Label: "hand on tasks", Value: crewHands},
	{Key: 'n', Label: "enters a tank", Value: crewEnters}, {Key: 'c', Label: "comes out of a tank", Value: crewLeft},
}

func (k *desk) permitNumber(name string) widget.Field {
	return widget.Field{Name: name, Label: "Permit", Kind: widget.Code, Hint: "number on the paper", Optional: true}
}

// mostCO2 is all of the air, in ppm.
const mostCO2 = 1e6

func (k *desk) gasFigure(name, label, unit string, most float64) widget.Field {
	return widget.Field{Name: name, Label: label, Kind: widget.Figure, Unit: unit, Optional: true,
		Validate: k.reads(name, func(s *slip) { s.number(name, most) })}
}

// crewCautions are those of gas and of going in, and of the vessel that is read over or
// gone into. Who is on site is counted before anything starts again.
func (k *desk) crewCautions(values map[string]string) []caution.Code {
	at := k.openedAt(values, "place")
	switch values["what"] {
	case crewGas:
		return append(at, caution.Lid, caution.CO2, caution.GasLimit)
	case CrewTold:
		return []caution.Code{caution.CO2, caution.GasLimit}
	case CrewOver:
		return []caution.Code{caution.CO2, caution.GasLimit, caution.Restart}
	case crewCount:
		return []caution.Code{caution.Restart}
	case crewPermit, crewWatch, crewEnters, crewEnds:
		return append(at, caution.Entry, caution.Nitrogen)
	}
	return nil
}

// followCrew proposes what there is only one of. Who was counted is asked one by one, never
// proposed: it is counted with the eyes.
func (k *desk) followCrew(values map[string]string) {
	s := k.look().State
	var who cellar.Initials
	switch values["what"] {
	case crewGas:
		k.form.Propose("place", "", "") // the cursor rests where something is due, not where the meter was
	case crewWatch:
		if in := s.InVessels(); len(in) == 1 {
			k.form.Propose("number", in[0].Number, say(k.look(), "{person} is in {tank} on this permit", in[0].Who,
				in[0].Place))
		} else if live := s.LivePermits(k.look().Now); len(live) == 1 {
			k.form.Propose("number", live[0].Number, "the only live permit")
		}
	case crewEnters, crewEnds:
		if live := s.LivePermits(k.look().Now); len(live) == 1 {
			k.form.Propose("permit", live[0].Number, "the only live permit")
			if values["place"] == "" {
				k.form.Propose("place", live[0].Place, "from the permit")
			}
			k.form.Propose("number", live[0].Number, "the only live permit")
			who = live[0].Holder
		}
	case crewLeft:
		if in := s.InVessels(); len(in) == 1 {
			who = in[0].Who
		}
	case crewBack:
		n := 0
		for _, p := range s.OnSite() {
			if p.Break {
				n++
				who = p.Who
			}
		}
		if n != 1 {
			who = ""
		}
	}
	k.form.Propose("who", string(who), "the only one")
}

// leavesWatch reports whether somebody about to be saved as gone attends to a person
// in a vessel.
func (k *desk) leavesWatch(values map[string]string) bool {
	if !on("what", crewOut, crewBreak)(values) {
		return false
	}
	who := cellar.Initials(strings.ToUpper(strings.TrimSpace(values["who"])))
	if who == "" {
		who = k.look().Who
	}
	return k.look().State.Watching(who) != ""
}

func (k *desk) crewCommand(values map[string]string) (cellar.Command, error) {
	s := k.slip(values)
	if c := s.urgentCommand(values["what"]); c != nil {
		return s.done(c)
	}
	gas := cellar.GasReading{Place: s.place("place"), CO2: s.number("co2", mostCO2), O2: s.number("o2", 100),
		Meter: s.text("meter"), Note: s.text("note")}
	switch values["what"] {
	case crewGas:
		return s.done(&cellar.ReadGas{Head: s.head(), GasReading: gas})
	case crewPermit:
		c := &cellar.WritePermit{Head: s.head(), Number: s.text("number"), Place: gas.Place, Given: s.text("given_by"),
			Holder:    s.who("holder"),
			Attendant: s.who("attendant"), Until: s.ahead("until"), CO2: gas.CO2, O2: gas.O2}
		if c.CO2 != nil || c.O2 != nil {
			c.Meter = gas.Meter
		}
		return s.done(c)
	case crewEnds:
		return s.done(&cellar.EndPermit{Head: s.head(), Number: s.text("number")})
	case crewWatch:
		return s.done(&cellar.NameAttendant{Head: s.head(), Number: s.text("number"), Attendant: s.who("attendant")})
	case crewEnters:
		return s.done(&cellar.EnterVessel{Head: s.head(), Place: gas.Place, Who: s.who("who"),
			Permit: s.text("permit")})
	case crewLeft:
		return s.done(&cellar.LeaveVessel{Head: s.head(), Who: s.who("who")})
	case crewIn:
		return s.done(&cellar.ComeIn{Head: s.head(), Who: s.who("who")})
	case crewOut:
		return s.done(&cellar.GoOut{Head: s.head(), Who: s.who("who")})
	case crewBreak:
		return s.done(&cellar.TakeBreak{Head: s.head(), Who: s.who("who"), Until: s.ahead("until"), Note: gas.Note})
	case crewHands:
		return s.done(s.handOn())
	case crewBack:
		return s.done(&cellar.EndBreak{Head: s.head(), Who: s.who("who")})
	case crewCount:
		return s.done(s.heads())
	}
	return nil, refuse("what", "pick from the list what to save")
}

// place reads a number as painted, or a place in words as it was typed.
func (s *slip) place(name string) string {
	if p := s.tank(name); s.k.knows(p) == nil {
		return string(p)
	}
	return s.text(name)
}

// whole reads a count.
func (s *slip) whole(name string) int {
	x := orZero(s.number(name, 1000))
	if x != float64(int(x)) || x < 0 || x > 1000 {
		s.fail(name, refuse("", "type a count from 0 to 1000, without decimals"))
		return 0
	}
	return int(x)
}

// crewLines say who is expected, what was read last, and what would follow.
func (k *desk) crewLines(values map[string]string) []string {
	g := k.look()
	out := k.urgentLines(values)
	switch values["what"] {
	case crewGas, crewPermit, crewEnters:
		if last, ok := g.State.LastGasAt(values["place"]); ok {
			out = append(out, say(g, "last read there: {gas}, {age} ago", last.Text(), face.Length(g.Now.Sub(last.At))))
		}
	case crewCount:
		out = append(out, "on site: "+onList(g.State))
		if c, ok := mustCount(k, values); ok {
			out = append(out, c.Text())
		}
	case crewHands:
		out = append(out, k.waits(k.whose(values)))
	case crewIn, crewOut, crewBreak, crewBack, crewWatch:
		out = append(out, "on site: "+onList(g.State))
	}
	if len(values["what"]) > 0 {
		out = append(out, g.State.EntryLine(g.Now))
	}
	return append(out, k.follows(k.crewCommand, values)...)
}

// mustCount is the head count as it would be saved.
func mustCount(k *desk, values map[string]string) (cellar.HeadCount, bool) {
	c, err := k.crewCommand(values)
	if err != nil {
		return cellar.HeadCount{}, false
	}
	facts, err := cellar.Decide(k.look().State, c, k.look().Now)
	if err != nil {
		return cellar.HeadCount{}, false
	}
	h, ok := facts[0].(*cellar.HeadsCounted)
	if !ok {
		return cellar.HeadCount{}, false
	}
	return h.HeadCount, true
}

func onList(s *cellar.State) string {
	var out []string
	for _, p := range s.OnSite() {
		word := string(p.Who)
		if p.Break {
			word += " (break)"
		}
		out = append(out, word)
	}
	if len(out) == 0 {
		return "nobody"
	}
	return strings.Join(out, " ")
}
