package cellar

import (
	"slices"
	"strings"

	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/stage"
	"cellar.example/mustwatch/domain/text"
)

// CleanStep is one thing that is seen to before a vessel counts as clean. None of
// them asks anybody into it: it is looked into from outside.
type CleanStep string

// The steps. The OIV Code parts cleaning into pre-cleaning, cleaning, rinsing and
// draining; that what is clean and what is sanitised are two things is common
// practice, no source.
const (
	Rinsed     CleanStep = "rinsed"
	Drained    CleanStep = "drained" // and the valve shut again
	LookedInto CleanStep = "looked into"
	Sanitised  CleanStep = "sanitised"
)

// CleanSteps lists all steps in the order in which they are done.
func CleanSteps() []CleanStep { return []CleanStep{Rinsed, Drained, Sanitised, LookedInto} }

// ToClean is the house's own list of what is seen to before a vessel counts as
// clean, in the order in which it is done.
func (h House) ToClean() []CleanStep {
	if len(h.CleanList) == 0 {
		return []CleanStep{Rinsed, Drained, LookedInto}
	}
	return h.CleanList
}

func checkCleanSteps(field string, steps []CleanStep) error {
	for _, x := range steps {
		if !slices.Contains(CleanSteps(), x) {
			return reject("clean-step", field, "{what:%q} is not a cleaning step; choose from {clean_steps}", x,
				listed(CleanSteps()))
		}
	}
	return nil
}

// cleaned fills in what was seen to of the house's list, and what was not. What
// is seen to later is added to what was: the vessel is clean since it was, for a
// look makes it no cleaner.
func (g *StageSet) cleaned(h House, was *Content, now []CleanStep) {
	if g.Stage != stage.Clean {
		return
	}
	g.Adds = was.Stage == stage.Clean && !rinsedAgain(was, now)
	for _, x := range CleanSteps() {
		switch seen := slices.Contains(now, x) || g.Adds && slices.Contains(was.SeenTo, x); {
		case seen:
			g.SeenTo = append(g.SeenTo, x)
		case slices.Contains(h.ToClean(), x) && (!g.Adds || slices.Contains(was.Unseen, x)):
			g.Unseen = append(g.Unseen, x)
		}
	}
}

// rinsedAgain reports whether a clean vessel of which all was seen to is rinsed once more,
// as is due after a day: it is clean since then.
func rinsedAgain(was *Content, now []CleanStep) bool {
	return was.Stage == stage.Clean && len(was.Unseen) == 0 && slices.Contains(now, Rinsed)
}

// NotYet names what of the house's list is still to be seen to on a clean vessel:
// "not yet rinsed, looked into"; empty when all is, or when its cleaning was
// written before there was such a list.
func (c *Content) NotYet() string {
	if c.Stage != stage.Clean || len(c.Unseen) == 0 {
		return ""
	}
	return "not yet " + stepWords(c.Unseen)
}

// Seen names what was seen to, "" where nothing was asked.
func (c *Content) Seen() string { return stepWords(c.SeenTo) }

func stepWords(steps []CleanStep) string {
	var out []string
	for _, x := range steps {
		out = append(out, string(x))
	}
	return strings.Join(out, ", ")
}

var unseenCleanSays = text.New("unseen-clean",
	"{tank} is clean, but {not}.",
	"Do it from outside and save it (s), or use the tank as it is.")

// unseenClean is D21, a rule of our own: "looked clean" is not clean. What of
// the house's list nobody has seen to is asked about before something goes in; once
// it has run in there is nothing to look at any more.
func (t inflows) unseenClean(d *decision) (out []gate.Finding) {
	for _, in := range t {
		if not := in.vessel.Now.NotYet(); not != "" && !in.running {
			out = append(out, gate.Finding{Field: in.field, Right: gate.Anyone,
				Say: unseenCleanSays.Say(in.vessel.Number, not)})
		}
	}
	return out
}
