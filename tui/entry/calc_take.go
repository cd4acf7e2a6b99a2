package entry

import (
	"fmt"
	"strings"
	"time"

	"cellar.example/mustwatch/domain/calc"
	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/tui/face"
	"cellar.example/mustwatch/tui/intent"
)

// The takers. What no form has a field for becomes a note, for a figure worth
// calculation is worth keeping.
func takeNote(_ *desk, a calc.Answer, _ calc.Values) Taken {
	var parts []string
	for _, f := range a.Results {
		parts = append(parts, f.Name+" "+f.Text)
	}
	text := []rune(a.Title + ": " + strings.Join(parts, ", "))
	const most = 240 // of a note
	if len(text) > most {
		text = append(text[:most-1], '…')
	}
	return Taken{intent.FormNote, map[string]string{"text": string(text)}}
}

func takeDose(_ *desk, a calc.Answer, in calc.Values) Taken {
	out := map[string]string{"rate": first(in["rate"]), "volume": first(in["volume"]), "mass": first(in["grapes"]),
		"amount": first(in["weighed"])}
	return Taken{intent.FormDose, filled(out)}
}

// takeSO2 hands over the rate and the lot by whose strength the form was filled in: the
// dose form calculates by the lot again.
func takeSO2(k *desk, _ calc.Answer, in calc.Values) Taken {
	out := map[string]string{"rate": first(in["rate"]), "volume": first(in["volume"])}
	if p, ok := k.so2Lot(); ok {
		out["product"] = string(p.ID)
	}
	return Taken{intent.FormDose, filled(out)}
}

func takeSugar(_ *desk, a calc.Answer, _ calc.Values) Taken {
	out := map[string]string{}
	if f, ok := a.Result(calc.Brix); ok {
		out["brix"] = fmt.Sprintf("%.1f", f.Value)
	}
	if f, ok := a.Result(calc.Density); ok {
		out["density"] = fmt.Sprintf("%.4f", f.Value)
	}
	if len(out) == 0 {
		return takeNote(nil, a, nil)
	}
	return Taken{intent.FormReading, out}
}

func takeDip(k *desk, a calc.Answer, _ calc.Values) Taken {
	f, _ := a.Result(calc.Volume)
	return Taken{intent.FormReading, map[string]string{"dip": vol(k.look(), quantity.HL(f.Value))}}
}

// takeHeat sets a clock for when the target is met: by the jacket where it is
// known, else by constant power.
func takeHeat(k *desk, a calc.Answer, in calc.Values) Taken {
	if v, ok := k.vessel(); ok && v.Now.Target != nil && first(in["to"]) == v.Now.Target.Text(k.look().Units()) {
		return takeNote(k, a, in) // the forecast of this target stands among the clocks
	}
	took, ok := a.Result(calc.ByJacket)
	if !ok {
		took, ok = a.Result(calc.AtPower)
	}
	if !ok {
		return takeNote(k, a, in)
	}
	return k.clockAt("at "+first(in["to"]), k.look().Now.Add(time.Duration(took.Value*float64(time.Hour))))
}

func takeMeets(k *desk, a calc.Answer, in calc.Values) Taken {
	v, ok := k.vessel()
	f, there := a.Result(calc.SinceReading)
	if !ok || !there || v.Now.Temps == nil {
		return takeNote(k, a, in)
	}
	last := v.Now.Temps.At
	return k.clockAt("at "+first(in["target"]), last.Add(time.Duration(f.Value*float64(time.Hour))))
}

func takeContact(k *desk, a calc.Answer, in calc.Values) Taken {
	due, ok := a.Result(calc.Due)
	if !ok {
		return takeNote(k, a, in)
	}
	g := k.look()
	from, err := When(first(in["start"]), g.Now, g.State.Zone(), false)
	if err != nil {
		return takeNote(k, a, in)
	}
	return k.clockAt("test", from.Add(time.Duration(due.Value*float64(time.Hour))))
}

// clockAt opens the clock form on a new clock; an instant that has passed becomes
// a note's business, so the form says so at its field.
func (k *desk) clockAt(verb string, at time.Time) Taken {
	return Taken{intent.FormClock, map[string]string{"clock": newClock, "verb": verb, "due": dayTime(k.look(), at)}}
}

func first(list []string) string {
	if len(list) == 0 {
		return ""
	}
	return list[0]
}

// filled leaves out what is empty.
func filled(m map[string]string) map[string]string {
	for name, v := range m {
		if v == "" {
			delete(m, name)
		}
	}
	return m
}

// holds is what is in the vessel, nothing for an empty one.
func holds(g face.Sight, v *cellar.Vessel) []string {
	if v.Now.Volume == 0 {
		return nil
	}
	return []string{vol(g, v.Now.Volume)}
}

// The fillers: what the vessel knows for a calculation.
func fillDose(k *desk, v *cellar.Vessel) calc.Values {
	g := k.look()
	out := calc.Values{"volume": holds(g, v), "share": {"57.6%"}}
	for _, c := range k.lots(v) {
		p, ok := g.State.Product(cellar.ProductID(c.Value))
		if !ok || p.Class != cellar.EnzymeClarify { // no other product's tub may pass for this one's
			continue
		}
		if p.Card.MakeUp > 0 {
			out["ratio"] = []string{fmt.Sprintf("1:%g", p.Card.MakeUp)}
		}
		if !p.Open.IsZero() {
			out["tub"] = []string{p.Open.String()}
		}
		break
	}
	return out
}

// fillSO2 takes the strength of the lot in store: an answer in litres or in grams of
// another one would be poured out of the wrong can.
func fillSO2(k *desk, v *cellar.Vessel) calc.Values {
	out := calc.Values{"volume": holds(k.look(), v), "share": {"57.6 % SO2"}}
	switch p, ok := k.so2Lot(); {
	case !ok || p.Card.Strength.IsZero():
	case p.Poured():
		out["solution"] = []string{p.Card.Strength.String()}
	default:
		out["share"] = []string{p.Card.Strength.String()}
	}
	return out
}

// so2Lot is the lot of SO2 that is likeliest to be poured next.
func (k *desk) so2Lot() (*cellar.Product, bool) {
	v, ok := k.vessel()
	if !ok {
		return nil, false
	}
	for _, c := range k.lots(v) {
		if p, ok := k.look().State.Product(cellar.ProductID(c.Value)); ok && p.Class == cellar.SO2 {
			return p, true
		}
	}
	return nil, false
}

func fillSugar(k *desk, v *cellar.Vessel) calc.Values {
	out, c := calc.Values{}, &v.Now
	switch {
	case c.Last.Brix != nil:
		out["reading"] = []string{fmt.Sprintf("%.1f brix", *c.Last.Brix)}
	case c.Last.Density != nil:
		out["reading"] = []string{c.Last.Density.String() + " kg/L"}
	}
	if c.Last.PH != nil {
		out["ph"] = []string{fmt.Sprintf("%.2f", *c.Last.PH)}
	}
	return out
}

func fillDip(k *desk, v *cellar.Vessel) calc.Values {
	out := calc.Values{}
	if v.Now.Last.Temp != nil && v.Now.Last.Brix != nil {
		out["temp"], out["brix"] = []string{v.Now.Last.Temp.Text(k.look().Units())}, []string{fmt.Sprintf("%.1f",
			*v.Now.Last.Brix)}
	}
	return out
}

func insideOf(v *cellar.Vessel) calc.Values {
	if v.Inside == nil {
		return calc.Values{}
	}
	out := calc.ForInside(*v.Inside)
	if v.Inside.Reference > 0 {
		out["reference"] = []string{v.Inside.Reference.String()}
	}
	return out
}

func fillHeat(k *desk, v *cellar.Vessel) calc.Values {
	g, c := k.look(), &v.Now
	out := calc.Values{"volume": holds(g, v)}
	if c.Last.Temp != nil {
		out["from"] = []string{c.Last.Temp.Text(g.Units())}
	}
	if c.Target != nil {
		out["to"] = []string{c.Target.Text(g.Units())}
	}
	if c.Last.Density != nil {
		out["density"] = []string{c.Last.Density.String()}
	}
	if v.JacketKW > 0 {
		out["power"] = []string{fmt.Sprintf("%g kW", v.JacketKW)}
	}
	if v.UA > 0 && v.Coolant != nil {
		out["ua"], out["coolant"] = []string{fmt.Sprintf("%g", v.UA)}, []string{v.Coolant.Text(g.Units())}
	}
	return out
}

// fillMeets takes the readings of tonight.
func fillMeets(k *desk, v *cellar.Vessel) calc.Values {
	g, c := k.look(), &v.Now
	out := calc.Values{"reading": logged(g, c, c.Since)}
	if c.Target != nil {
		out["target"] = []string{c.Target.Text(g.Units())}
	}
	if v.Coolant != nil {
		out["coolant"] = []string{v.Coolant.Text(g.Units())}
	}
	return out
}

// logged are the temperatures since an instant as they are typed; with fewer than
// two, the one before counts too.
func logged(g face.Sight, c *cellar.Content, since time.Time) []string {
	read := c.Temps.Since(since)
	if len(read) > 2 && read[0].At.Before(since) {
		read = read[1:]
	}
	var out []string
	for _, r := range read {
		if g.Now.Sub(r.At) < 20*time.Hour { // clock times without a day
			out = append(out, r.At.In(g.State.Zone()).Format("15:04")+"="+strings.ReplaceAll(r.T.Text(g.Units()), " ",
				""))
		}
	}
	return out
}

func fillContact(k *desk, v *cellar.Vessel) calc.Values {
	g := k.look()
	out := calc.Values{"at": {g.Now.In(g.State.Zone()).Format("15:04")}}
	run, ok := g.State.ContactOf(v, g.Now)
	if ok {
		out["start"] = []string{run.Start.In(g.State.Zone()).Format("15:04")}
		out["reading"] = logged(g, &v.Now, run.Start)
	}
	for i := len(v.Now.Doses) - 1; i >= 0; i-- {
		p, known := g.State.Product(v.Now.Doses[i].Product)
		if !known || !p.HasClock() {
			continue
		}
		if !ok { // it is over; what it was may still be asked
			begun := v.Now.Doses[i].At
			out["start"], out["reading"] = []string{begun.In(g.State.Zone()).Format("15:04")}, logged(g, &v.Now, begun)
		}
		for _, r := range p.Card.Rows {
			out["row"] = append(out["row"], fmt.Sprintf("%s-%s=%s", degree(g.Units(), r.From), degree(g.Units(), r.To),
				strings.ReplaceAll(r.Wait.String(), " ", "")))
		}
		out["floor"] = []string{p.Card.Floor.Text(g.Units())}
		if p.Card.Ceiling > 0 {
			out["ceiling"] = []string{p.Card.Ceiling.Text(g.Units())}
		}
		break
	}
	return out
}

func fillBlend(k *desk, v *cellar.Vessel) calc.Values {
	g := k.look()
	out := calc.Values{"what": {"density"}}
	value := "?"
	if v.Now.Last.Density != nil {
		value = v.Now.Last.Density.String()
	}
	if v.Now.Volume > 0 {
		out["lot"] = []string{strings.ReplaceAll(vol(g, v.Now.Volume), " ", "") + "@" + value}
	}
	return out
}

// fillYield takes the loads in the vessel, where all of it came from whole loads.
func fillYield(k *desk, v *cellar.Vessel) calc.Values {
	g := k.look()
	out := calc.Values{"juice": holds(g, v)}
	var grapes quantity.Mass
	for _, p := range v.Now.Parts {
		if l, ok := g.State.Load(p.Load); ok {
			grapes += l.Net
		}
	}
	if grapes > 0 {
		out["grapes"] = []string{grapes.Load(g.Units())}
	}
	if v.Now.Last.Density != nil {
		out["density"] = []string{v.Now.Last.Density.String()}
	}
	return out
}

func fillRack(k *desk, v *cellar.Vessel) calc.Values {
	return calc.Values{"from": holds(k.look(), v)}
}
