package entry

import (
	"slices"
	"strings"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/tui/widget"
)

// sums are the figures of a move as far as they can be read.
type sums struct {
	have, gone, left quantity.Volume
}

func (s *slip) sums() (x sums) {
	x.have = s.k.had(s.v).Volume
	for _, p := range s.portions() {
		x.gone += p.Volume
	}
	if s.text("lees") != "" {
		x.gone += s.shown("lees_volume")
	}
	if s.text("out") != "" {
		x.gone += s.shown("out_volume")
	}
	x.gone += s.shown("loss")
	x.left = (x.have - x.gone).Settled()
	return x
}

func (s *slip) portions() (out []cellar.Portion) {
	for _, l := range legs {
		if s.text(l.to) != "" {
			out = append(out, cellar.Portion{Vessel: s.tank(l.to), Volume: s.shown(l.volume)})
		}
	}
	return out
}

// legOf is the i-th destination that has been filled in.
func (k *desk) legOf(values map[string]string, i int) struct{ to, volume string } {
	for _, l := range legs {
		if values[l.to] == "" {
			continue
		}
		if i == 0 {
			return l
		}
		i--
	}
	return legs[0]
}

// exactLoss is the loss; where it is the proposed rest it is the exact one, so
// that the account closes to the millilitre.
func (s *slip) exactLoss(to []cellar.Portion, lees *cellar.Portion, out *cellar.Sent) quantity.Volume {
	loss := s.shown("loss")
	if _, typed := s.k.form.Draft()["loss"]; typed || loss == 0 {
		return loss
	}
	rest := s.k.had(s.v).Volume
	for _, p := range to {
		rest -= p.Volume
	}
	if lees != nil {
		rest -= lees.Volume
	}
	if out != nil {
		rest -= out.Volume
	}
	if off := rest - loss; off > -quantity.Hectolitre/5 && off < quantity.Hectolitre/5 {
		return rest
	}
	return loss
}

// hourly reads what a pump moves in an hour: "180" or "180 hL/h".
func (s *slip) hourly(name string) quantity.Volume {
	return read(s, name, strings.TrimSpace(strings.TrimSuffix(strings.ToLower(s.text(name)), "/h")), s.parseVolume)
}

// leg refuses a destination that cannot be, at its own fields.
func (s *slip) leg(l struct{ to, volume string }, p cellar.Portion) {
	s.fail(l.to, s.k.knows(p.Vessel))
	v, ok := s.g.State.Vessel(p.Vessel)
	switch {
	case s.err != nil:
	case p.Volume <= 0:
		s.fail(l.volume, refuse("", "type how much goes to {tank}", p.Vessel))
	case ok && v.Now.Volume+p.Volume > v.Brim:
		s.fail(l.volume, refuse("", "type less: {tank} takes {brim} to the brim and has {volume} in it", p.Vessel,
			vol(s.g, v.Brim), vol(s.g, v.Now.Volume)))
	}
}

// valveField asks for the number read at the valve, where a destination is on the
// house's read-back list or has a number that is taken for another: typed as seen
// there, not answered with a yes, and not twice for one move. It stands last, so that
// the way to the other fields is the same whether it is asked or not. What has
// happened already is written as it was.
func (k *desk) valveField() widget.Field {
	f := numberSeen("Number at valve")
	f.When = func(v map[string]string) bool { return v["plan"] != happened && len(k.readBack(v)) > 0 }
	return f
}

// numberSeen takes a number as it is painted, whether or not there is such a vessel:
// what does not agree is for the rule to say.
func numberSeen(label string) widget.Field {
	return widget.Field{Name: cellar.SeenField, Label: label, Kind: widget.Code, Width: 16, Optional: true,
		Hint: "type it as painted there"}
}

// readBack are the destinations whose numbers are still to be read back.
func (k *desk) readBack(values map[string]string) (out []cellar.TankNumber) {
	st := k.look().State
	run, _ := st.Running(k.sub.Vessel)
	for _, l := range legs {
		p := cellar.TankNumber(values[l.to])
		read := run != nil && slices.ContainsFunc(run.To, func(x cellar.Portion) bool {
			return x.Vessel == p &&
				x.Seen == p
		})
		if _, asked := st.ReadsBack(k.sub.Vessel, p); asked && !read {
			out = append(out, p)
		}
	}
	return out
}

// seen puts beside each destination what was read at its valve: its own number
// where it was read, else the one that was read instead. The rule H13 speaks of
// what does not agree.
func (s *slip) seen(to []cellar.Portion) {
	if s.v["plan"] == happened {
		return
	}
	var read []cellar.TankNumber
	for _, w := range strings.FieldsFunc(strings.ToUpper(s.text(cellar.SeenField)),
		func(r rune) bool { return strings.ContainsRune(" ,;+/", r) }) {
		read = append(read, cellar.TankNumber(w))
	}
	stray := cellar.TankNumber("")
	for _, p := range read {
		if !slices.ContainsFunc(to, func(x cellar.Portion) bool { return x.Vessel == p }) {
			stray = p
		}
	}
	for i := range to {
		to[i].Seen = stray
		if slices.Contains(read, to[i].Vessel) {
			to[i].Seen = to[i].Vessel
		}
	}
}
