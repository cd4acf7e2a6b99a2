package entry

import (
	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/subject"
	"cellar.example/mustwatch/tui/widget"
)

// What can be done with a clock.
const (
	newClock = "new"
	doMove   = "move"
	doOff    = "off"
	doDone   = "done"
	doLater  = "later"
)

func openClock(k *desk) (*Entry, string) {
	g := k.look()
	var list []widget.Choice
	for _, c := range k.clocks() {
		list = append(list, widget.Choice{Label: say(g, "{what} {by}{time}", c.Says(), dueWord(c.DueKind), clock(g,
			c.Due)),
			Value: string(c.ID)})
	}
	which := widget.Field{Name: "clock", Label: "Clock", Choices: append(numbered(list), widget.Choice{Key: 'n',
		Label: "a new one", Value: newClock})}
	switch {
	case k.sub.Clock != "":
		which.Value, which.Origin = string(k.sub.Clock), "under the cursor"
	case len(list) == 0:
		which.Value, which.Origin = newClock, "no clock runs"
	}
	fresh, old := on("clock", newClock), func(v map[string]string) bool {
		return v["clock"] != "" &&
			v["clock"] != newClock
	}
	moves := func(v map[string]string) bool { return fresh(v) || old(v) && v["do"] == doMove }
	about := must(words("subject", "About", "tank, press or words"))
	about.Width = 20
	if about.Value = g.State.NameOf(k.sub.Ref()); about.Value != "" {
		about.Origin = "under the cursor"
	}
	verb := must(words("verb", "Action", "test, rack, look, call"))
	verb.Width = 20
	fields := []widget.Field{which,
		only(widget.Field{Name: "do", Label: "Action", Choices: []widget.Choice{{Key: 'm', Label: "move",
			Value: doMove},
			{Key: 'o', Label: "turn off", Value: doOff}, {Key: 'd', Label: "done", Value: doDone},
			{Key: 's', Label: "snooze", Value: doLater}}}, old),
		only(verb, fresh),
		where(must(k.ahead("due", "Due", "2230, Fri 07:00, +45, 1h30")), moves),
		only(where(must(k.ahead("until", "Ring again at", "+10 or 2240; 30 min at most")), on("do", doLater)), old),
		only(where(must(words("reason", "Reason", "")), on("do", doMove, doOff, doLater)), old),
		only(widget.Field{Name: "what", Label: "Due type", Optional: true, Value: string(cellar.ActAt), Origin: "usual",
			Choices: []widget.Choice{
				{Key: 'a', Label: "at that time", Value: string(cellar.ActAt)}, {Key: 'b', Label: "not before",
					Value: string(cellar.NotBefore)},
				{Key: 'c', Label: "not after", Value: string(cellar.NotAfter)}}}, fresh),
		where(k.people("owner", "Owner", "blank = you"), moves),
		only(about, fresh),
		only(widget.Field{Name: "kind", Label: "Type", Optional: true, Value: string(cellar.KindOther), Origin: "usual",
			Choices: sortOf}, fresh)}
	title := "Clocks"
	if n := g.State.NameOf(k.sub.Ref()); n != "" {
		title += " of " + n
	}
	e := k.entry(title, fields...)
	e.Key = " " + string(k.sub.Clock)
	e.Command = k.clockCommand
	e.Form.Live = func(values map[string]string) []string {
		return append(k.reminded(values), k.follows(e.Command, values)...)
	}
	return e, ""
}

// reminded says how often the picked clock was snoozed.
func (k *desk) reminded(values map[string]string) []string {
	g := k.look()
	c, ok := g.State.ClockByID(cellar.ClockID(values["clock"]))
	if !ok || c.RemindedText() == "" {
		return nil
	}
	r := c.Reminders[len(c.Reminders)-1]
	return []string{say(g, "{snoozed}, until {time}: {reason}", c.RemindedText(), clock(g, r.Until), r.Reason)}
}

// clocks are those of the subject, or all where there is none.
func (k *desk) clocks() []*cellar.AlarmClock {
	g := k.look()
	all := g.State.Clocks()
	if of := k.sub.Ref(); !of.IsZero() {
		all = g.State.ClocksOf(of)
	}
	if c, ok := g.State.ClockByID(k.sub.Clock); ok && !c.Done && k.sub.Name() == "" {
		all = []*cellar.AlarmClock{c}
	}
	return all
}

func (k *desk) clockCommand(values map[string]string) (cellar.Command, error) {
	s := k.slip(values)
	if values["clock"] == newClock {
		return s.done(&cellar.SetClock{Head: s.head(), Subject: subject.Parse(s.text("subject")), Verb: s.text("verb"),
			Due:  s.ahead("due"),
			What: cellar.DueKind(s.text("what")), Owner: s.who("owner"), ForKind: sortKind(s.text("kind"))})
	}
	id := cellar.ClockID(values["clock"])
	if values["do"] == doLater {
		return s.done(&cellar.Remind{Head: s.head(), Clock: id, Until: s.ahead("until"), Reason: s.text("reason")})
	}
	if values["do"] == doDone {
		if c, ok := s.g.State.ClockByID(id); ok {
			if n, ok := s.g.State.PromiseOf(c); ok { // a promise kept is ticked off with its clock
				return s.done(&cellar.EndNote{Head: s.head(), Note: n.ID})
			}
		}
	}
	return s.done(&cellar.MoveClock{Head: s.head(), Clock: id, Due: s.ahead("due"), Reason: s.text("reason"),
		Owner: s.who("owner"),
		Off:   values["do"] == doOff, Done: values["do"] == doDone})
}

// sortOf are the kinds of a clock set by hand; what they wait for answers them.
var sortOf = []widget.Choice{{Key: 'o', Label: "other", Value: string(cellar.KindOther)}, {Key: 'c', Label: "call back",
	Value: string(cellar.KindCall)},
	{Key: 'p', Label: "pump-over", Value: string(cellar.KindPumpOver)}, {Key: 's', Label: "skin contact",
		Value: string(cellar.KindSkin)},
	{Key: 'h', Label: "hot hold", Value: string(cellar.KindHot)}}

func sortKind(text string) cellar.ClockKind {
	if text == string(cellar.KindOther) {
		return ""
	}
	return cellar.ClockKind(text)
}
