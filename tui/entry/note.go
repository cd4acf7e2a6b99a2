package entry

import (
	"fmt"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/tui/widget"
)

func openNote(k *desk) (*Entry, string) {
	g := k.look()
	open := g.State.OpenNotes(k.sub.Name())
	text := words("text", "Note", "")
	text.Limit, text.Width, text.Optional = 240, 56, len(open) > 0
	subject := words("subject", "About", "plate, press, load or words")
	subject.Value, subject.Width = k.sub.Name(), 20
	if subject.Value != "" {
		subject.Origin = "the cursor was on it"
	}
	promise := on("what", string(cellar.NotePromise))
	whom := words("for", "For", "who does it, or who reads it")
	whom.Width = 20
	fields := []widget.Field{text, noteKinds(), whom, k.ahead("until", "By when", "a promise needs it"), subject}
	if len(open) > 0 {
		var done []widget.Choice
		for _, n := range open {
			done = append(done, widget.Choice{Label: short(fmt.Sprintf("%s: %s", n.What, n.Text), 48), Value: n.ID})
		}
		fields = append(fields, widget.Field{Name: "note", Label: "Or tick off", Optional: true, Choices: numbered(done)})
	}
	title := "A note"
	if k.sub.Name() != "" {
		title += " about " + k.sub.Name()
	}
	e := k.entry(title, append(fields, k.when())...)
	e.Command = func(values map[string]string) (cellar.Command, error) {
		s := k.slip(values)
		switch {
		case s.text("note") != "" && s.text("text") == "":
			return s.done(&cellar.EndNote{Head: s.head(), Note: s.text("note")})
		case s.text("note") != "":
			return nil, refuse("note", "a new note and a tick are two entries; empty one of them")
		}
		c := &cellar.WriteNote{Head: s.head(), Subject: s.text("subject"), Text: s.text("text"), What: cellar.NoteKind(s.text("what")),
			For: s.text("for"), Until: s.ahead("until")}
		if promise(values) {
			c.For = string(s.who("for"))
		}
		return s.done(c)
	}
	return e, ""
}

func noteKinds() widget.Field {
	return widget.Field{Name: "what", Label: "Kind", Optional: true, Value: string(cellar.NoteInfo), Origin: "usual", Choices: []widget.Choice{
		{Key: 'i', Label: "info", Value: string(cellar.NoteInfo)}, {Key: 'p', Label: "promise", Value: string(cellar.NotePromise)},
		{Key: 'q', Label: "question", Value: string(cellar.NoteQuestion)}, {Key: 'w', Label: "warning", Value: string(cellar.NoteWarning)},
		{Key: 'x', Label: "incident", Value: string(cellar.NoteIncident)}, {Key: 's', Label: "safety", Value: string(cellar.NoteSafety)}}}
}

func openHold(k *desk) (*Entry, string) {
	v, ok := k.vessel()
	if !ok {
		return nil, "A hold lies on a vessel: put the cursor on one."
	}
	if v.Hold != nil {
		return k.release(v), ""
	}
	who := must(k.people("releaser", "Who releases it", ""))
	if w := winemaker(k.look().State); w != "" {
		who.Value, who.Origin = string(w), "winemaker"
	}
	tag := widget.Field{Name: "tag", Label: "Tag number", Kind: widget.Code, Optional: true, Hint: "of the tag that hangs on it"}
	e := k.entry("Put "+string(v.Plate)+" on hold", must(words("reason", "Why", "")), who, tag, k.ahead("until", "Until", ""))
	e.Form.Verb = "hold it"
	e.Command = func(values map[string]string) (cellar.Command, error) {
		s := k.slip(values)
		return s.done(&cellar.HoldVessel{Head: s.head(), Vessel: k.sub.Vessel, Reason: s.text("reason"), Releaser: s.who("releaser"),
			Tag: s.text("tag"), Until: s.ahead("until")})
	}
	return e, ""
}

func (k *desk) release(v *cellar.Vessel) *Entry {
	h := v.Hold
	e := k.entry("Release "+string(v.Plate), must(words("reason", "Because", "")))
	e.Key = " release"
	e.Form.Verb = "release it"
	e.Command = func(values map[string]string) (cellar.Command, error) {
		s := k.slip(values)
		return s.done(&cellar.ReleaseVessel{Head: s.head(), Vessel: k.sub.Vessel, Reason: s.text("reason")})
	}
	e.Form.Live = func(map[string]string) []string {
		lines := []string{fmt.Sprintf("on hold since %s by %s: %s", clock(k.look(), h.At), h.By, h.Reason), fmt.Sprintf("%s releases it", h.Releaser)}
		if h.Tag != "" {
			lines = append(lines, "take off tag "+h.Tag)
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
