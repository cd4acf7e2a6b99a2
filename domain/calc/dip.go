package calc

import (
	"errors"
	"slices"
	"strings"

	"cellar.example/mustwatch/domain/caution"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/tank"
)

// dipFlags are what was typed for a vessel; empty where nothing was.
type dipFlags struct {
	shape, diameter, length, width, tall, wall, head, bottom, depth, outlet, top, neck string
	bottomWide, topWide                                                                string
	height, dip, reference, limit, temp, brix                                          string
	marks                                                                              []string
}

func dipKind() kind {
	var f dipFlags
	return kind{name: "dip", short: "A dip or an ullage, as a volume",
		long: `Turns the height of the liquid, or a dip from above, into a volume. All measures
are inside measures; the height is above the lowest inside point.

  upright  --diameter --wall [--bottom cone|dished --depth [--outlet]] [--top --neck]
  lying    --diameter --length [--head]
  oval     --width --tall --length
  box      --length --width --tall
  tapered  --bottom-diameter --top-diameter --tall
  table    --mark 0cm=0hL --mark 50cm=18.2hL …`,
		example: `  mustwatch calc dip --shape lying --diameter 2m --length 3m --height 50cm
  mustwatch calc dip --shape lying --diameter 48in --length 96in --height 19.2in --units us
  mustwatch calc dip --shape upright --diameter 2m --wall 4m --bottom cone --depth 50cm --dip 1.2m
  mustwatch calc dip --shape table --mark 0cm=0.4hL --mark 50cm=18.2hL --mark 100cm=40hL --height 72cm`,
		fields: []field{
			one(&f.shape, "shape", "`shape`: upright, lying, oval, box, tapered or table"),
			one(&f.diameter, "diameter", "inside `diameter`"),
			one(&f.length, "length", "inside `length`, without its heads"),
			one(&f.width, "width", "inside `width`"),
			one(&f.tall, "tall", "inside `height` of the vessel"),
			one(&f.wall, "wall", "`height` of the straight wall"),
			one(&f.head, "head", "`depth` of each elliptical head, else flat"),
			one(&f.bottom, "bottom", "`kind` of bottom: flat, cone or dished"),
			one(&f.depth, "depth", "`depth` of the bottom"),
			one(&f.outlet, "outlet", "`diameter` of the outlet of a cone"),
			one(&f.top, "top", "`height` of a conical top"),
			one(&f.neck, "neck", "`diameter` of the neck"),
			one(&f.bottomWide, "bottom-diameter", "`diameter` below, of a tapered tank"),
			one(&f.topWide, "top-diameter", "`diameter` above, of a tapered tank"),
			one(&f.height, "height", "`height` of the liquid"),
			one(&f.dip, "dip", "dip from above, a `length`"),
			one(&f.reference, "reference", "`height` of the point the dip is from, else the top of the vessel"),
			one(&f.limit, "limit", "working limit in `per cent` of the brim"),
			one(&f.temp, "temp", "`temperature` of the liquid, to bring it to 20 °C"),
			one(&f.brix, "brix", "its sugar in `°Brix`; with temp"),
			many(&f.marks, "mark", "`mark` of the dip table, such as 50cm=18.2hL; given again for each"),
		},
		cautions: []caution.Code{caution.Lid},
		work:     func(r *asked) (Answer, error) { return r.dip(f) }}
}

// measure reads a length that must be there.
func (r *asked) measure(field, s string) (l tank.Length) {
	r.read(field, func() (err error) {
		if s == "" {
			return errors.New("This shape needs it: type a length with its unit, such as 2.4 m.")
		}
		l, err = tank.ParseLength(s, r.habit)
		return err
	})
	return l
}

// maybe reads a length that may be left out.
func (r *asked) maybe(field, s string) tank.Length {
	if s == "" {
		return 0
	}
	return r.measure(field, s)
}

// vessel reads the inside of the vessel; the measures its shape needs must be
// there.
func (r *asked) vessel(f dipFlags) tank.Shape {
	in := tank.Inside{Shape: f.shape, Bottom: f.bottom}
	need := map[string][]string{"upright": {"diameter", "wall"}, "lying": {"diameter", "length"}, "oval": {"width",
		"tall", "length"},
		"box": {"length", "width", "tall"}, "tapered": {"bottom-diameter", "top-diameter", "tall"},
		"table": {}}[strings.ToLower(f.shape)]
	if need == nil {
		r.fault = missing("shape takes upright, lying, oval, box, tapered or table, not %q.", f.shape)
		return nil
	}
	for _, m := range []struct {
		to          *tank.Length
		name, typed string
	}{
		{&in.Diameter, "diameter", f.diameter}, {&in.Wall, "wall", f.wall}, {&in.Width, "width", f.width},
		{&in.Below, "bottom-diameter", f.bottomWide},
		{&in.Above, "top-diameter", f.topWide}, {&in.Tall, "tall", f.tall}, {&in.Length, "length", f.length},
		{&in.Head, "head", f.head}, {&in.Depth, "depth", f.depth},
		{&in.Outlet, "outlet", f.outlet}, {&in.Top, "top", f.top}, {&in.Neck, "neck", f.neck},
	} {
		if m.typed != "" || slices.Contains(need, m.name) {
			*m.to = r.measure(m.name, m.typed)
		}
	}
	for _, m := range f.marks {
		height, volume, _ := strings.Cut(m, "=")
		in.Marks = append(in.Marks, tank.Mark{Height: r.measure("mark", height), Volume: r.volume("mark", volume)})
	}
	if r.fault != nil {
		return nil
	}
	s, err := in.Of()
	if err != nil {
		r.fault = slip("", "", err)
	}
	return s
}

func (r *asked) dip(f dipFlags) (Answer, error) {
	if (f.height == "") == (f.dip == "") {
		return Answer{}, missing("dip takes either height or dip, and the shape of the vessel.")
	}
	if (f.temp == "") != (f.brix == "") {
		return Answer{}, missing("Bringing a volume to 20 °C takes both temp and brix.")
	}
	s := r.vessel(f)
	a := Answer{Title: "Dip, " + strings.ToLower(f.shape) + " vessel",
		Sources: []string{"closed form of the shape, from inside measures"}}
	if f.marks != nil {
		a.Sources = []string{"the vessel's own dip table"}
	}
	h, down, ref := r.maybe("height", f.height), r.maybe("dip", f.dip), r.maybe("reference", f.reference)
	if r.fault != nil {
		return a, nil
	}
	l, err := tank.Dip(s, h)
	a.Working = []string{"height as measured"}
	if f.dip != "" {
		l, err = tank.FromAbove(s, down, ref)
		a.Given = append(a.Given, r.ofLength("dip from above", down))
		a.Working = []string{"height = height of the reference point − dip"}
	}
	if err != nil {
		return a, slip(map[bool]string{true: "dip", false: "height"}[f.dip != ""], "", err)
	}
	a.Given = append(a.Given, r.ofLength("height of the liquid", l.Height), r.ofLength("height of the vessel",
		s.Height()))
	a.Working = append(a.Working, "volume = "+l.Formula)
	a.put(Volume, r.ofVolume("volume", l.Volume))
	a.Results = append(a.Results, r.ofVolume("to the brim", l.Ullage()), r.ofVolume("brim", l.Brim),
		Figure{"full", float64(l.Full()), "%", digits(float64(l.Full()), 1) + " %"})
	r.dipLimit(&a, l, f.limit)
	if f.temp == "" || r.fault != nil {
		return a, nil
	}
	t, b := r.celsius("temp", f.temp), r.brix("brix", f.brix)
	if r.fault != nil {
		return a, nil
	}
	at20, err := tank.At20(l.Volume, t, b)
	if err != nil {
		return a, err
	}
	a.Given = append(a.Given, r.ofCelsius("temperature", t), Figure{"sugar", float64(b), "°Brix", b.String()})
	a.Working = append(a.Working,
		"volume at 20 °C = volume × density at its temperature ÷ density at 20 °C, as sucrose")
	a.Results = append(a.Results, r.ofVolume("at 20 °C", at20))
	a.Sources = append(a.Sources, "density of sucrose: ICUMSA SPS-4 (from memory, checked against NBS C440)")
	return a, nil
}

func (r *asked) dipLimit(a *Answer, l tank.Level, limit string) {
	if limit == "" {
		return
	}
	percent := r.plain("limit", limit, 100, "%")
	if r.fault != nil {
		return
	}
	room, err := tank.Room(l.Volume, l.Brim, quantity.Percent(percent))
	if err != nil {
		r.fault = slip("limit", "", err)
		return
	}
	a.Working = append(a.Working, "room = "+plainly(percent, 1)+" % of the brim − volume")
	a.Results = append(a.Results, r.ofVolume("room to "+plainly(percent, 1)+" %", room))
	if room < 0 {
		a.Notes = append(a.Notes, "The vessel is over its working limit.")
	}
}

// ForInside gives what is known of the inside of a vessel, for a dip.
func ForInside(in tank.Inside) Values {
	v := Values{"shape": {in.Shape}, "bottom": {in.Bottom}}
	if in.Shape == "" {
		v["shape"] = []string{"table"}
	}
	for name, l := range map[string]tank.Length{"diameter": in.Diameter, "wall": in.Wall, "width": in.Width,
		"bottom-diameter": in.Below,
		"top-diameter":    in.Above, "tall": in.Tall, "length": in.Length, "head": in.Head, "depth": in.Depth,
		"outlet": in.Outlet, "top": in.Top, "neck": in.Neck} {
		if l > 0 {
			v[name] = []string{l.String()}
		}
	}
	for _, m := range in.Marks {
		v["mark"] = append(v["mark"], m.Height.String()+"="+m.Volume.String())
	}
	return v
}
