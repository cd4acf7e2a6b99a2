package entry

import (
	"slices"
	"strings"
	"time"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/tui/face"
	"cellar.example/mustwatch/tui/widget"
)

func openShift(k *desk) (*Entry, string) {
	g := k.look()
	if len(g.State.House.People) == 0 {
		return nil, "The house has no list of people yet."
	}
	now := g.State.Shift
	open := !now.Started.IsZero() && now.Ended.IsZero()
	begins := always
	var fields []widget.Field
	if open {
		begins = on("do", doStart)
		hint := "initials of who takes over"
		if now.Next != "" {
			hint += "; " + string(now.Next) + " was named at the start"
		}
		to := must(k.people("to", "To", hint))
		fields = append(fields,
			widget.Field{Name: "do", Label: "Action", Value: doEnd, Origin: "usual", Choices: []widget.Choice{
				{Key: 'e', Label: "hand over", Value: doEnd}, {Key: 's', Label: "start a new shift", Value: doStart}}},
			only(to, on("do", doEnd)))
		fields = append(fields, k.told()...)
		fields = append(fields, k.leaving()...)
	}
	lead := must(k.people("lead", "Lead", ""))
	lead.Value, lead.Origin = string(g.Who), "at the keys"
	switch next := string(now.Next); {
	case !now.Ended.IsZero() && next != "":
		lead.Value, lead.Origin = next, "handed over "+clock(g, now.Ended)
	case g.Who == now.Lead && next != "": // who leads does not begin the next one
		lead.Value, lead.Origin = next, "named at the start"
	case g.Who == now.Lead && !now.Started.IsZero():
		lead.Value, lead.Origin = "", ""
	}
	crew := widget.Field{Name: "crew", Label: "Crew", Kind: widget.Code, Width: 40, Limit: 80, Optional: true,
		Hint:     "initials, " + initials(g.State),
		Validate: k.reads("crew", func(s *slip) { s.crew() })}
	fields = append(fields, only(lead, begins), only(crew, begins), only(k.ahead("ends", "Ends", ""), begins),
		only(k.people("next", "Next lead", "who takes over"), begins))
	title := "New shift"
	if open {
		title = say(g, "Shift of {lead} since {time}", now.Lead, clock(g, now.Started))
	}
	fields = append(fields, only(plan("check first"), func(map[string]string) bool {
		return open &&
			len(k.look().State.InVessels()) > 0
	}))
	e := k.entry(title, append(fields, k.when())...)
	e.Command = func(values map[string]string) (cellar.Command, error) {
		s := k.slip(values)
		if !begins(values) {
			return s.done(&cellar.EndShift{Head: s.head(), To: s.who("to"), Told: told(k.look(), values),
				Out: k.leave(values)})
		}
		return s.done(&cellar.StartShift{Head: s.head(), Shift: cellar.Shift{Lead: s.who("lead"), Crew: s.crew(),
			Next: s.who("next"), Ends: s.ahead("ends")}})
	}
	e.Form.Live = k.siteLines
	return e, ""
}

// openEnded takes the end of the shift before, which nobody has saved.
func openEnded(k *desk) (*Entry, string) {
	g := k.look()
	all := g.State.Shifts()
	if len(all) < 2 || !all[len(all)-2].Forgotten() {
		return nil, "No shift lacks its end."
	}
	p := all[len(all)-2]
	when := k.when()
	when.Optional, when.Says = false, k.echo("at", say(g, "from {start} to {end}", clock(g, p.Started),
		clock(g, p.Until)), false)
	to := must(k.people("to", "To", "who took over"))
	to.Value, to.Origin = string(p.By), "began then"
	e := k.entry(say(g, "End of the shift of {lead}", p.Lead), when, to)
	e.Command = func(values map[string]string) (cellar.Command, error) {
		s := k.slip(values)
		c := &cellar.EndShift{Head: s.head(), To: s.who("to")}
		c.Happened = true
		if s.err == nil && (!c.At.After(p.Started) || c.At.After(p.Until)) {
			return nil, refuse("at", "the shift of {lead} began at {start} and the next at {end}: type a time between",
				p.Lead, p.Started, p.Until)
		}
		return s.done(c)
	}
	return e, ""
}

// tellAhead is how far ahead of now an alarm may lie and still be asked about, for a
// form that stands open while it rings.
const tellAhead = 2 * time.Hour

// told asks of each emergency that stands and each open alarm, by itself, whether the one who takes over was told.
func (k *desk) told() (fields []widget.Field) {
	g := k.look()
	for _, e := range g.State.Emergencies(g.Now) {
		f := widget.Field{Name: toldOf + e.Key(), Label: "EMERGENCY", Choices: []widget.Choice{{Key: 'y',
			Label: "yes, they know: " + e.Title, Value: yes}}}
		fields = append(fields, only(f, on("do", doEnd)))
	}
	for _, c := range g.State.OpenAlarms(g.Now.Add(tellAhead)) {
		f := widget.Field{Name: toldOf + string(c.ID), Label: c.Name(), Choices: []widget.Choice{{Key: 'y',
			Label: "yes, they know: " + since(g, c), Value: yes}}}
		fields = append(fields, only(f, func(v map[string]string) bool {
			now := k.look()
			return v["do"] == doEnd && slices.Contains(now.State.OpenAlarms(now.Now), c)
		}))
	}
	return fields
}

// toldOf begins the name of such a field.
const toldOf = "told "

// since is when an alarm was due, and who has acknowledged it.
func since(g face.Sight, c *cellar.AlarmClock) string {
	text := "due " + clock(g, c.Due)
	if c.AcknowledgedBy != "" {
		text += ", acknowledged by " + string(c.AcknowledgedBy)
	}
	return text
}

// told are the emergencies and alarms that were confirmed.
func told(g face.Sight, values map[string]string) (names []string) {
	for _, e := range g.State.Emergencies(g.Now) {
		if values[toldOf+e.Key()] == yes {
			names = append(names, e.Key())
		}
	}
	for _, c := range g.State.OpenAlarms(g.Now) {
		if values[toldOf+string(c.ID)] == yes {
			names = append(names, c.Name())
		}
	}
	return names
}

// crew reads initials parted by anything that is no letter.
func (s *slip) crew() []cellar.Initials { return s.people("crew") }

func (s *slip) people(name string) (out []cellar.Initials) {
	for _, w := range strings.FieldsFunc(s.text(name), func(r rune) bool { return !letter(r) && r < 0x80 }) {
		who, err := s.k.person(w)
		s.fail(name, err)
		out = append(out, who)
	}
	return out
}
