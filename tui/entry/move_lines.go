package entry

import (
	"errors"
	"fmt"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/lookalike"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/tui/face"
)

// moveLines work out the balance and how full each destination would be.
func (k *desk) moveLines(values map[string]string) []string {
	s := k.slip(values)
	v, ok := k.vessel()
	if !ok {
		return nil
	}
	x := s.sums()
	line := say(s.g, "{volume} in {tank} · accounted for {gone} · left over {left}", x.have, v.Number, plainVol(s.g,
		x.gone),
		plainVol(s.g, x.left))
	if x.left < 0 {
		line = say(s.g, "{volume} in {tank} · accounted for {gone} · {over} more than there is", x.have, v.Number,
			plainVol(s.g, x.gone), -x.left)
	}
	had := k.had(values)
	lines := []string{s.g.Theme.Strong.Render(line)}
	if how := face.Gauge(&had, s.g.Now, s.g.Units()); how != "" {
		lines = append(lines, say(s.g, "volume of {tank}: {gauge}", v.Number, how))
	}
	for _, p := range s.portions() {
		if d := after(s.g, p); d != "" {
			lines = append(lines, d)
		}
	}
	if s.text("lees") != "" {
		if d := after(s.g, cellar.Portion{Vessel: s.tank("lees"), Volume: s.shown("lees_volume")}); d != "" {
			lines = append(lines, d)
		}
	}
	called := ""
	for i, p := range s.portions() {
		if to, ok := s.g.State.Vessel(p.Vessel); ok && to.Hold != nil { // nobody is sent to a tank that is held
			return lines
		}
		called += []string{" to ", " and "}[min(i, 1)] + lookalike.Spoken(string(p.Vessel))
	}
	if called != "" {
		lines = append(lines, "say aloud: from "+lookalike.Spoken(string(v.Number))+called)
	}
	return lines
}

// plainVol is a volume without its unit where the line has named it already.
func plainVol(g face.Sight, v quantity.Volume) string {
	if g.Units() == quantity.Metric && (v == 0 || v >= quantity.Hectolitre/10 || v <= -quantity.Hectolitre/10) {
		return fmt.Sprintf("%.1f", v.HL())
	}
	return vol(g, v)
}

// after says how full a destination would be.
func after(g face.Sight, p cellar.Portion) string {
	v, ok := g.State.Vessel(p.Vessel)
	if !ok {
		return ""
	}
	would := v.Now.Volume + p.Volume
	line := say(g, "{tank} {volume} → {after}, {share:%.1f} %", v.Number, v.Now.Volume, would,
		100*float64(would)/float64(v.Brim))
	switch room := v.Limit() - would; {
	case would > v.Brim:
		return line + say(g, ": {over} over the brim", would-v.Brim)
	case room < 0:
		return line + say(g, ": {over} over its limit of {limit:%.0f} %", -room, v.LimitPct)
	default:
		return line + say(g, ", {room} to its limit", room)
	}
}

// moveNotes show the rules' word on the destinations before the balance is
// typed to its end, and the balance at the loss.
func (k *desk) moveNotes(values map[string]string) map[string][]string {
	s := k.slip(values)
	c := s.move()
	if s.err != nil {
		return k.overdrawn(values, nil)
	}
	g := s.g
	_, err := cellar.Decide(g.State, c, g.Now)
	var rej *cellar.Rejection
	if m, whole := c.(*cellar.Move); whole && errors.As(err, &rej) && rej.Code == "balance" {
		trial := *m
		trial.Part = true
		_, err = cellar.Decide(g.State, &trial, g.Now)
	}
	return k.overdrawn(values, k.said(k.reached(err, values), values))
}

// reached leaves out what the rules say of lees and loss while nobody has come to
// those fields. It is asked about when the move is written, in any case.
func (k *desk) reached(err error, values map[string]string) error {
	var needs *cellar.Needs
	if !errors.As(err, &needs) {
		return err
	}
	passed := func(name string) bool { return values[name] != "" || k.form.Passed(name) }
	open := map[gate.Code]bool{"W13": !passed("lees") || values["lees"] != "" && !passed("lees_volume"),
		"W15": !passed("loss")}
	out := &cellar.Needs{Voice: needs.Voice}
	for _, f := range needs.Findings {
		if !open[f.Rule] {
			out.Findings = append(out.Findings, f)
		}
	}
	return out
}

func (k *desk) overdrawn(values map[string]string, notes map[string][]string) map[string][]string {
	s := k.slip(values)
	if x := s.sums(); len(notes) == 0 && x.left < -quantity.Hectolitre/10 {
		notes = map[string][]string{}
		at := "loss"
		if values["loss"] == "" {
			at = "volume"
		}
		notes[at] = append(notes[at], say(s.g, "{over} more than {tank} holds", -x.left, k.sub.Vessel))
	}
	return notes
}
