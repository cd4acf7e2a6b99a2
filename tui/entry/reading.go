package entry

import (
	"strings"

	"cellar.example/mustwatch/domain/caution"
	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/tank"
	"cellar.example/mustwatch/tui/widget"
)

func openReading(k *desk) (*Entry, string) {
	v, ok := k.vessel()
	if !ok {
		return nil, "Put the cursor on the tank you read."
	}
	figure := func(name, label, unit, hint string, read func(s *slip)) widget.Field {
		return widget.Field{Name: name, Label: label, Unit: unit, Hint: hint, Kind: widget.Figure, Optional: true,
			Validate: k.reads(name, read)}
	}
	e := k.entry("Reading of "+string(v.Number),
		k.temp(k.wasTemp(v)),
		figure("density", "Density", "", wasDensity(v), func(s *slip) { s.density() }),
		figure("ntu", "Turbidity", "NTU", "", func(s *slip) { meter(s, "ntu", ntu) }),
		figure("brix", "Sugar", "°Brix", "", func(s *slip) { meter(s, "brix", brix) }),
		figure("ph", "pH", "", "", func(s *slip) { meter(s, "ph", acid) }),
		k.dip(v),
		words("words", "Remarks", "smell, look, cap"),
		k.when(),
	)
	k.warns(func(map[string]string) []caution.Code { return append(k.opened(), caution.Lid) })
	e.Command = func(values map[string]string) (cellar.Command, error) {
		s := k.slip(values)
		m := cellar.Measured{Temp: s.celsius("temp"), Density: s.density(), Turbidity: meter(s, "ntu", ntu),
			Brix: meter(s, "brix", brix),
			PH:   meter(s, "ph", acid), Words: s.text("words")}
		m.Volume, m.Stick = s.dip("dip")
		return s.done(&cellar.TakeReading{Head: s.head(), Vessel: k.sub.Vessel, Measured: m})
	}
	e.Form.Live = func(values map[string]string) []string {
		lines := k.follows(e.Command, values)
		s := k.slip(values)
		if x := meter(s, "ntu", ntu); x != nil && s.err == nil {
			lines = append(lines, s.g.State.House.Limits.Band(*x))
		}
		return lines
	}
	return e, ""
}

func (s *slip) density() *quantity.Density {
	return given(s, "density", s.text("density"), s.g.Habit().Density)
}

func (k *desk) wasTemp(v *cellar.Vessel) string {
	g := k.look()
	if v.Now.Last.Temp == nil {
		return "not read yet"
	}
	if v.Now.TempCalc {
		return say(g, "calculated {temp} at {time}, from what flowed together", *v.Now.Last.Temp,
			clock(g, v.Now.TempAt))
	}
	return say(g, "was {temp} at {time}", *v.Now.Last.Temp, clock(g, v.Now.TempAt))
}

func wasDensity(v *cellar.Vessel) string {
	if v.Now.Last.Density == nil {
		return ""
	}
	return "was " + v.Now.Last.Density.String()
}

// dip is a field for what is in the vessel: a volume, or what a stick says where
// the inside of the vessel is known.
func (k *desk) dip(v *cellar.Vessel) widget.Field {
	f := widget.Field{Name: "dip", Label: "Dip", Unit: k.volumeUnit(), Kind: widget.Figure, Optional: true,
		Hint:     "the volume in the tank",
		Validate: k.reads("dip", func(s *slip) { s.dip("dip") })}
	if v.Inside == nil {
		return f
	}
	from := "from the bottom"
	if v.Inside.From == "top" {
		from = "down from the top"
	}
	f.Unit, f.Hint = "", "a volume, or the dipstick "+from+": 152 cm"
	f.Says = func(values map[string]string) (string, string) {
		_, stick := k.slip(values).dip("dip")
		if stick == nil {
			return "", f.Hint
		}
		l, err := v.Inside.Dip(*stick)
		if err != nil {
			return "", err.Error()
		}
		return "", "= " + vol(k.look(), l.Volume)
	}
	return f
}

// dip reads a volume, or a length where the text has the unit of one.
func (s *slip) dip(name string) (*quantity.Volume, *tank.Length) {
	text := s.text(name)
	if text == "" {
		return nil, nil
	}
	if unit := strings.ToLower(strings.TrimLeft(text, "0123456789.,+- ")); unit != "" {
		if l, err := tank.ParseLength(text, s.g.Habit()); err == nil {
			return nil, &l
		}
	}
	v := s.shown(name)
	return &v, nil
}
