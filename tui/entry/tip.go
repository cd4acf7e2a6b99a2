package entry

import (
	"strings"

	"cellar.example/mustwatch/domain/caution"
	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/tui/widget"
)

// The values of the picker of a load that is on its way in.
const (
	doTip   = "tip"
	doAllIn = "all in"
)

// tip starts a weighed load into a press or a vessel.
func (k *desk) tip(l *cellar.Load) *Entry {
	e := k.entry(say(k.look(), "Load {load} {variety}, {left}: tip it", l.ID, l.Variety, l.Net-l.In),
		append(k.tipFields(l, always), plan("starting it now"), k.when())...)
	e.Key = " tip"
	k.warns(func(values map[string]string) []caution.Code { return k.tipCautions(values, "to") })
	e.Command = func(values map[string]string) (cellar.Command, error) { return k.tipCommand(l.ID, values) }
	return e
}

// tipCautions are those of a truck that backs, and of the vessel or the press it is tipped
// into.
func (k *desk) tipCautions(values map[string]string, to string) []caution.Code {
	codes := append(truck(values), k.openedAt(values, to)...)
	if _, press := k.look().State.Press(cellar.TankNumber(strings.ToUpper(values[to]))); press {
		codes = append(codes, caution.Machine)
	}
	return codes
}

func (k *desk) tipFields(l *cellar.Load, when func(map[string]string) bool) []widget.Field {
	to := k.tank("to", "Into", "press or tank")
	if to.Value = l.To; l.To != "" {
		to.Origin = "as booked"
	}
	to.Says = func(v map[string]string) (string, string) { return "", k.destination(cellar.TankNumber(v["to"])) }
	return []widget.Field{only(must(to), when), only(k.grapes("mass", "Amount", "blank = all of it"), when),
		only(k.ahead("until", "Full at", ""), when)}
}

func (k *desk) tipCommand(id cellar.LoadID, values map[string]string) (cellar.Command, error) {
	s := k.slip(values)
	to := s.tank("to")
	s.fail("to", k.knows(to))
	return s.done(&cellar.Tip{Head: s.head(), Load: id, To: to, Mass: s.grapes("mass"), Until: s.ahead("until")})
}

// tipped says that a load is all in, or tips the rest of it elsewhere.
func (k *desk) tipped(l *cellar.Load) *Entry {
	into := k.runsInto(l)
	vessel := func(map[string]string) bool { _, ok := k.look().State.Vessel(into); return ok }
	var fields []widget.Field
	allIn := always
	if l.In < l.Net || into == "" {
		allIn = func(v map[string]string) bool { return v["do"] != doTip }
		fields = append(fields, widget.Field{Name: "do", Label: "Action", Value: doAllIn, Choices: []widget.Choice{
			{Key: 'a', Label: "all in " + string(into), Value: doAllIn}, {Key: 't', Label: "tip the rest",
				Value: doTip}}})
		fields = append(fields, k.tipFields(l, on("do", doTip))...)
	}
	volume := k.volume("volume", "Volume in it", "")
	fields = append(fields, only(must(volume), func(v map[string]string) bool { return allIn(v) && vessel(v) }),
		k.when(),
		only(howFound(), func(v map[string]string) bool { return allIn(v) && vessel(v) }))
	e := k.entry(say(k.look(), "Load {load} {variety} runs into {tank}", l.ID, l.Variety, into), fields...)
	e.Key = " in"
	k.warns(func(values map[string]string) []caution.Code {
		if allIn(values) {
			return k.tipCautions(map[string]string{"into": string(into)}, "into")
		}
		return k.tipCautions(values, "to")
	})
	e.Command = func(values map[string]string) (cellar.Command, error) {
		if !allIn(values) {
			return k.tipCommand(l.ID, values)
		}
		s := k.slip(values)
		return s.done(&cellar.TipDone{Head: s.head(), Load: l.ID, To: into, Volume: s.volume("volume"),
			How: cellar.Gauge(s.text("how"))})
	}
	return e
}

// runsInto is the press or vessel a load runs into now.
func (k *desk) runsInto(l *cellar.Load) cellar.TankNumber {
	st := k.look().State
	for _, p := range st.Presses() {
		for _, x := range p.Parts {
			if p.State == cellar.PressFilling && x.Load == l.ID {
				return p.Number
			}
		}
	}
	for _, v := range st.Vessels() {
		if v.Now.Open && v.Now.Source == l.Ref() {
			return v.Number
		}
	}
	return ""
}
