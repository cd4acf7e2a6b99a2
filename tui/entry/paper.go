package entry

import (
	"strings"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/clarity"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/tui/widget"
)

// paperTest stands among the recipes of a new check.
const paperTest = "paper"

// paperFields are what a paper drop test shows. It is no check: it starts no
// clock and does not clear the tank to move.
func (k *desk) paperFields(when func(map[string]string) bool) []widget.Field {
	var methods []widget.Choice
	for _, m := range []clarity.PaperMethod{clarity.PaperDrop, clarity.PaperFining, clarity.PaperRun} {
		methods = append(methods, widget.Choice{Key: rune(m[0]), Label: string(m) + ", " + m.Say(), Value: string(m)})
	}
	rings := []widget.Choice{{Key: 'w', Label: "wide", Value: string(clarity.WideRing)}, {Key: 'n', Label: "narrow",
		Value: string(clarity.NarrowRing)}, {Key: 'o', Label: "none", Value: string(clarity.NoRing)}}
	figure := func(name, label, unit, hint string, read func(s *slip)) widget.Field {
		return widget.Field{Name: name, Label: label, Unit: unit, Hint: hint, Kind: widget.Figure, Optional: true,
			Validate: k.reads(name, read)}
	}
	run := func(name, label, hint string) widget.Field {
		return figure(name, label, "mL", hint, func(s *slip) { s.millilitres(name) })
	}
	fields := []widget.Field{
		{Name: "method", Label: "Method", Choices: methods},
		{Name: "ring", Label: "Clear ring", Optional: true, Choices: rings},
		figure("mm", "Ring width", "mm", "", func(s *slip) { s.number("mm", 200) }),
		figure("seconds", "Time taken", "s", "", func(s *slip) { s.number("seconds", 3600) }),
		run("treated", "Treated volume", "free run of the treated must"),
		run("untreated", "Untreated volume", "same must, no enzyme"),
		{Name: "untreated_ring", Label: "Untreated ring", Optional: true, Choices: rings},
		words("colour", "Colour", "against the untreated"),
		words("paper_words", "Words", ""),
	}
	for i := range fields {
		fields[i].Part = when
	}
	return fields
}

// millilitres reads a volume of a cylinder: a bare figure is in mL.
func (s *slip) millilitres(name string) quantity.Volume {
	return read(s, name, s.text(name), func(t string) (quantity.Volume, error) {
		if strings.IndexFunc(t, letter) < 0 {
			t += " mL"
		}
		return s.parseVolume(t)
	})
}

func (k *desk) paperCommand(values map[string]string) (cellar.Command, error) {
	s := k.slip(values)
	return s.done(&cellar.WritePaperDrop{Head: s.head(), Vessel: k.sub.Vessel, PaperDrop: s.paper()})
}

func (s *slip) paper() cellar.PaperDrop {
	return cellar.PaperDrop{Method: clarity.PaperMethod(s.text("method")), Ring: clarity.Ring(s.text("ring")),
		MM:      orZero(s.number("mm", 200)),
		Seconds: orZero(s.number("seconds", 3600)), Treated: s.millilitres("treated"),
		Untreated: s.millilitres("untreated"),
		Beside:    clarity.Ring(s.text("untreated_ring")), Colour: s.text("colour"), Words: s.text("paper_words")}
}

func (k *desk) paperLines(values map[string]string) []string {
	s := k.slip(values)
	lines := []string{clarity.HouseMethod + ": it supports a pectin test and does not replace it"}
	p := s.paper()
	if gain, err := clarity.Gain(p.Treated, p.Untreated); err == nil && s.err == nil {
		lines = append(lines, say(k.look(), "gain {gain:%+.1f} % free run over the untreated", gain))
	}
	return lines
}
