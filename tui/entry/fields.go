package entry

import (
	"errors"
	"time"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/tui/face"
	"cellar.example/mustwatch/tui/widget"
)

// The values of the pickers that many forms share.
const (
	yes      = "yes"
	planned  = "planned"
	happened = "happened"
	starts   = "starts"
)

// reads makes the check of a field out of the way its value is read, so that
// what is refused while typing and what is refused at the end never differ.
func (k *desk) reads(name string, read func(s *slip)) func(string) error {
	return func(text string) error {
		s := k.slip(map[string]string{name: text})
		read(s)
		var rej *cellar.Rejection
		if errors.As(s.err, &rej) {
			return errors.New(rej.Message())
		}
		return s.err
	}
}

// when is the optional last field of an entry that may be written late.
func (k *desk) when() widget.Field {
	return widget.Field{Name: "at", Label: "When", Kind: widget.Figure, Optional: true, Width: 16, Says: k.echo("at",
		"blank = now; 2205, 45min ago, Thu 22:05", false),
		Limit: 24, Validate: k.reads("at", func(s *slip) { s.back("at") })}
}

// past is a field for an instant that has been.
func (k *desk) past(name, label, hint string) widget.Field {
	return widget.Field{Name: name, Label: label, Kind: widget.Figure, Optional: true, Width: 16, Limit: 24,
		Says:     k.echo(name, hint, false),
		Validate: k.reads(name, func(s *slip) { s.back(name) })}
}

// ahead is a field for an instant to come.
func (k *desk) ahead(name, label, hint string) widget.Field {
	return widget.Field{Name: name, Label: label, Kind: widget.Figure, Optional: true, Width: 16, Limit: 24,
		Says:     k.echo(name, hint, true),
		Validate: k.reads(name, func(s *slip) { s.ahead(name) })}
}

// then is the instant that a typed time of an entry is next to: when it was, where that
// is typed, or else now. "Filled at 1755" of what began at 17:40 is a quarter of an
// hour after it, whichever of the two was typed first.
func (k *desk) then(g face.Sight, values map[string]string, name string) time.Time {
	at, there := values["at"]
	if !there && len(values) == 1 { // a field's own check sees only its own value
		at = k.picked(nil, "at")
	}
	if t, err := When(at, g.Now, g.State.Zone(), false); err == nil && name != "at" {
		return t
	}
	return g.Now
}

// echo says which instant a typed time is taken for, with its day and how far
// off it is; until something is typed it gives the hint.
func (k *desk) echo(name, hint string, future bool) func(map[string]string) (unit, said string) {
	return func(values map[string]string) (string, string) {
		g := k.look()
		text := values[name]
		t, err := When(text, k.then(g, values, name), g.State.Zone(), future)
		switch {
		case text == "" || err != nil:
			return "", hint
		case t.After(g.Now):
			return "", dayTime(g, t) + ", in " + face.Length(t.Sub(g.Now))
		}
		return "", dayTime(g, t) + ", " + face.Length(g.Now.Sub(t)) + " ago"
	}
}

// dayTime is a time of day with its weekday, as it can be typed back.
func dayTime(g face.Sight, t time.Time) string {
	return t.In(g.State.Zone()).Format("Mon ") + face.WallTime(t, g.State.Zone())
}

// plan tells what is only meant from what has been done: only the first is
// stopped by rules.
func plan(label string) widget.Field {
	return widget.Field{Name: "plan", Label: "Already done?", Optional: true, Value: planned,
		Origin: "the board checks first",
		Choices: []widget.Choice{
			{Key: 'p', Label: "no, " + label, Value: planned}, {Key: 'h', Label: "yes, it is done",
				Value: happened}}}
}

// planAsOf words the question whether something was done by the time that is typed: what
// was at 20:10 is not to be done now. The rules are asked first anyway.
func (k *desk) planAsOf(values map[string]string) {
	if _, asked := values["plan"]; !asked {
		return
	}
	label := ""
	if at := k.doseAt(values); at.Before(k.look().Now) {
		label = "as of " + clock(k.look(), at)
	}
	k.form.Relabel("plan", planned, label)
}

func yesNo(name, label, origin string) widget.Field {
	return widget.Field{Name: name, Label: label, Optional: true, Value: "no", Origin: origin,
		Choices: []widget.Choice{{Key: 'n', Label: "no", Value: "no"}, {Key: 'y', Label: "yes", Value: yes}}}
}

// volume is a field for a volume in the house's units.
func (k *desk) volume(name, label, hint string) widget.Field {
	return widget.Field{Name: name, Label: label, Kind: widget.Figure, Hint: hint, Unit: k.volumeUnit(), Optional: true,
		Validate: k.reads(name, func(s *slip) { s.shown(name) })}
}

// howFound asks how a volume was found. It stands behind what is asked of everybody.
func howFound() widget.Field {
	return widget.Field{Name: "how", Label: "Measured by", Optional: true, Choices: []widget.Choice{
		{Key: 'd', Label: "dip", Value: string(cellar.ByDip)}, {Key: 'm', Label: "meter",
			Value: string(cellar.ByMeter)},
		{Key: 'e', Label: "estimate, from memory or by eye", Value: string(cellar.Estimate)}}}
}

func (k *desk) volumeUnit() string {
	if k.look().Units() == 0 {
		return "hL"
	}
	return "gal"
}

func (k *desk) degrees() string {
	if k.look().Units() == 0 {
		return "°C"
	}
	return "°F"
}

func (k *desk) temp(hint string) widget.Field {
	return widget.Field{Name: "temp", Label: "Temperature", Unit: k.degrees(), Hint: hint, Kind: widget.Figure,
		Optional: true,
		Validate: k.reads("temp", func(s *slip) { s.celsius("temp") })}
}

func (k *desk) grapes(name, label, hint string) widget.Field {
	unit := "kg"
	if k.look().Units() != 0 {
		unit = "lb"
	}
	return widget.Field{Name: name, Label: label, Kind: widget.Figure, Unit: unit, Hint: hint, Optional: true,
		Validate: k.reads(name, func(s *slip) { s.grapes(name) })}
}

func (k *desk) span(name, label, hint string) widget.Field {
	return widget.Field{Name: name, Label: label, Kind: widget.Figure, Optional: true, Hint: hint,
		Validate: k.reads(name, func(s *slip) { s.span(name) })}
}

func (k *desk) people(name, label, hint string) widget.Field {
	return widget.Field{Name: name, Label: label, Kind: widget.Code, Width: 4, Limit: 3, Optional: true, Hint: hint,
		Validate: k.reads(name, func(s *slip) { s.who(name) })}
}

func (k *desk) tank(name, label, hint string) widget.Field {
	return widget.Field{Name: name, Label: label, Kind: widget.Code, Width: 6, Limit: 6, Optional: true, Hint: hint,
		Validate: func(text string) error { return k.knows(cellar.TankNumber(text)) }}
}

// knows refuses a number that neither a vessel nor a press carries.
func (k *desk) knows(p cellar.TankNumber) error {
	st := k.look().State
	if _, ok := st.Vessel(p); ok {
		return nil
	}
	if _, ok := st.Press(p); ok {
		return nil
	}
	near := ""
	for _, v := range st.Vessels() {
		if len(v.Number) == len(p) && p != "" && v.Number[0] == p[0] {
			near += " " + string(v.Number)
		}
	}
	if near != "" {
		return refuse("", "there is no {number}: type one of{near}", p, near)
	}
	return refuse("", "there is no {number}: type the number as painted on the tank", p)
}

func words(name, label, hint string) widget.Field {
	return widget.Field{Name: name, Label: label, Kind: widget.Words, Hint: hint, Optional: true}
}

func must(f widget.Field) widget.Field {
	f.Optional = false
	return f
}

// only gives a field to one of the things that the form's first picker can choose.
func only(f widget.Field, part func(v map[string]string) bool) widget.Field {
	f.Part = part
	return f
}

// where asks a field where a condition holds on what is typed elsewhere; else it is dim.
func where(f widget.Field, needed func(v map[string]string) bool) widget.Field {
	f.When = needed
	return f
}

// on is the condition that a picker stands on one of some values.
func on(name string, values ...string) func(map[string]string) bool {
	return func(v map[string]string) bool {
		for _, x := range values {
			if v[name] == x {
				return true
			}
		}
		return false
	}
}
