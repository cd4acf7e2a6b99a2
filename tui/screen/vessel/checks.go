package vessel

import (
	"fmt"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/clarity"
	"cellar.example/mustwatch/tui/face"
)

// checks are the clarity checks: how they went, each with its verdict and why,
// what is next, and why a clear tube is not believed by itself.
func checks(g face.Sight, lot cellar.Lot) []string {
	x := lot.Vessel
	var out []string
	if b := x.Now.Brought; b != nil {
		out = append(out, fmt.Sprintf("%s  came %s, pectin test of %s. %s", face.Clock(b.At, g.Now, g.State.Zone()),
			b.Say(), face.Clock(b.Begun, g.Now, g.State.Zone()), b.Why))
	}
	if len(x.Now.Checks) == 0 {
		return out
	}
	at := func(k *cellar.Check) string { return face.Clock(k.Started, g.Now, g.State.Zone()) }
	if trail := face.Trail(g, x); trail != "" {
		out = append(out, trail) // not painted: it wraps, and paint does not
	}
	for _, k := range x.Now.Checks {
		line := fmt.Sprintf("%s  %s: sample %s, control %s, %s", at(k), k.Verdict, k.Sample, k.Control, k.ReadBy)
		if k.Open() && k.Sample == "" {
			line = fmt.Sprintf("%s  running, recipe %s, %s", at(k), k.Recipe.ID, k.StartedBy)
		}
		if k.Second != "" {
			line += ", haze looked at again: " + string(k.Second)
		}
		if from := k.Sampling.Say(clockOf(g)); from != "" {
			line += " (" + from + ")"
		}
		if k.Why != "" {
			line += ". " + k.Why
		}
		out = append(out, line)
	}
	if lot.Past() {
		return out
	}
	return append(append(out, next(g, x)...), face.Asymmetry)
}

// next is what follows from the last check: when to look again and why then, and
// by when somebody decides on another route.
func next(g face.Sight, x *cellar.Vessel) []string {
	last := x.Now.Checks[len(x.Now.Checks)-1]
	if last.Verdict == clarity.Negative {
		return nil
	}
	var out []string
	for _, k := range g.State.ClocksOf(x.Ref()) {
		when := face.Clock(k.Due, g.Now, g.State.Zone())
		switch k.Kind {
		case cellar.KindLook:
			out = append(out, fmt.Sprintf("next: %s at %s, %s", k.Says(), when, g.State.Words(k.Basis)))
		case cellar.KindRoute:
			out = append(out, fmt.Sprintf("%s by %s, %s, %s", k.Says(), when, k.Owner, g.State.Words(k.Basis)))
		}
	}
	return out
}

// drops are the paper drop tests: support beside the checks, never a verdict.
func drops(g face.Sight, x *cellar.Vessel) []string {
	var out []string
	for _, p := range x.Now.Drops {
		out = append(out, fmt.Sprintf("%s  %s: %s, %s", face.Clock(p.At, g.Now, g.State.Zone()), p.Method.Say(),
			p.Say(), p.By))
	}
	return out
}
