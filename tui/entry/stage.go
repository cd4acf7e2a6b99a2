package entry

import (
	"errors"
	"sort"
	"strings"

	"cellar.example/mustwatch/domain/caution"
	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/stage"
	"cellar.example/mustwatch/tui/widget"
)

func openStage(k *desk) (*Entry, string) {
	v, ok := k.vessel()
	if !ok {
		return nil, "Put the cursor on the tank whose stage changes."
	}
	steps := k.steps(v)
	if len(steps) == 0 {
		return nil, say(k.look(), "{tank} is {stage}: no other stage can follow.", v.Number, v.Now.Stage)
	}
	title := say(k.look(), "{tank} {stage} since {time}", v.Number, v.Now.Stage, clock(k.look(), v.Now.Since))
	if not := v.Now.NotYet(); not != "" {
		title += ", " + not
	}
	e := k.entry(title, k.stageFields(v, steps)...)
	e.Command = func(values map[string]string) (cellar.Command, error) {
		s := k.slip(values)
		if route, only := strings.CutPrefix(s.text("stage"), routePrefix); only {
			return s.done(&cellar.SetRoute{Head: s.head(), Vessel: k.sub.Vessel, Route: cellar.Route(route),
				Reason: s.text("reason")})
		}
		return s.done(&cellar.SetStage{Head: s.head(), Vessel: k.sub.Vessel, Stage: stage.Stage(s.text("stage")),
			Reason: s.text("reason"),
			Method: s.text("method"), For: s.span("for"), Until: s.ahead("until"), Bar: orZero(s.number("bar", 100)),
			Blank: s.yes("blanked"), Target: s.celsius("target"),
			Least: s.span("min"), Most: s.span("max"), SeenTo: s.seenTo()})
	}
	e.Form.Live = func(values map[string]string) []string {
		return append(k.neighbours(values), k.follows(e.Command, values)...)
	}
	k.warns(k.stageCautions)
	k.follow = k.followStage
	k.followStage(nil)
	return e, ""
}

func (k *desk) stageFields(v *cellar.Vessel, steps []widget.Choice) []widget.Field {
	timed := func(val map[string]string) bool { return timed(stage.Stage(val["stage"])) }
	fields := append([]widget.Field{{Name: "stage", Label: "Stage", Choices: steps}}, k.cleanFields(v)...)
	return append(fields,
		widget.Field{Name: "reason", Label: "Reason", Kind: widget.Words, Optional: true, Hint: "if it is unusual"},
		only(k.span("for", "Length", ""), timed),
		only(k.ahead("until", "Or until", ""), timed),
		only(k.span("min", "At least", "not drained before"), on("stage", string(stage.SkinContact))),
		only(k.span("max", "At most", "then it must be done"), on("stage", string(stage.HotHold),
			string(stage.Settling), string(stage.CapRise))),
		only(words("method", "Method", "cleaned with what, which gas"), on("stage", string(stage.Cleaning),
			string(stage.Clean), string(stage.Flotation))),
		only(widget.Field{Name: "target", Label: "Target", Unit: k.degrees(), Kind: widget.Figure, Optional: true,
			Hint:     "jacket setting",
			Validate: k.reads("target", func(s *slip) { s.celsius("target") })}, on("stage", string(stage.Settling),
			string(stage.Waiting), string(stage.CooledBack))),
		only(widget.Field{Name: "bar", Label: "Pressure", Unit: "bar", Kind: widget.Figure, Optional: true,
			Hint: "below the rated pressure"}, on("stage", string(stage.Flotation))),
		only(yesNo("blanked", "Swing bend off", "look yourself"),
			func(val map[string]string) bool { return len(k.neighbours(val)) > 0 }),
		plan("starting it now"),
		k.when())
}

// cleanFields ask one by one what of the house's list was seen to, right after the
// stage, so that a clean vessel is its key and one key for each. None stands on yes
// before somebody says so.
func (k *desk) cleanFields(v *cellar.Vessel) (out []widget.Field) {
	label := map[cellar.CleanStep]string{cellar.Rinsed: "Rinsed", cellar.Drained: "Drained",
		cellar.Sanitised: "Sanitised", cellar.LookedInto: "Looked into"}
	says := map[cellar.CleanStep]string{cellar.Drained: "yes, and the valve shut again",
		cellar.LookedInto: "yes, with a light, from outside"}
	steps := k.look().State.House.ToClean()
	if v.Now.NotYet() != "" {
		steps = v.Now.Unseen
	}
	for _, x := range steps {
		f := yesNo(seenField(x), label[x], "not done")
		if text := says[x]; text != "" {
			f.Choices[1].Label = text
		}
		out = append(out, only(f, on("stage", string(stage.Clean))))
	}
	return out
}

func seenField(x cellar.CleanStep) string { return "seen " + string(x) }

// seenTo are the steps that stand on yes.
func (s *slip) seenTo() (out []cellar.CleanStep) {
	for _, x := range cellar.CleanSteps() {
		if s.yes(seenField(x)) {
			out = append(out, x)
		}
	}
	return out
}

// timed reports whether a stage can start a clock.
func timed(g stage.Stage) bool {
	switch g {
	case stage.Settling, stage.Flotation, stage.CapRise, stage.Cleaning, stage.HotHold, stage.SkinContact,
		stage.Waiting, stage.ColdSoak, stage.Maceration:
		return true
	}
	return false
}

// followStage proposes the house's length for the stage.
func (k *desk) followStage(values map[string]string) {
	g := k.look()
	picked := stage.Stage(values["stage"])
	lim := g.State.House.Limits
	def := map[stage.Stage]quantity.Span{stage.Settling: lim.SettleFor, stage.Flotation: lim.FloatRun,
		stage.CapRise: lim.CapRise, stage.Cleaning: lim.CleanTakes}[picked]
	if def != 0 {
		k.offer("for", def.String(), "house length")
	} else {
		k.offer("for", "", "")
	}
}

// stageCautions are those of the stage that is picked, else of the one it is in.
func (k *desk) stageCautions(values map[string]string) []caution.Code {
	picked := stage.Stage(values["stage"])
	if v, ok := k.vessel(); ok && picked == "" && v.Now.Stage.Empty() {
		picked = v.Now.Stage
	}
	return append(k.opened(), picked.Cautions()...)
}

// stageKeys are the figures of the commonest stages. A stage keeps its own
// whatever else is offered, for a hand that has learnt 1 must not find another
// stage there; the rest are picked by their names. A route has a letter that no
// stage begins with.
var stageKeys = map[stage.Stage]rune{stage.Settling: '1', stage.Flotation: '2', stage.CapRise: '3', stage.Racked: '4',
	stage.Waiting:    '5',
	stage.Fermenting: '6', stage.Cleaning: '7', stage.Clean: '8', stage.Dirty: '9'}

var routeKeys = map[cellar.Route]rune{cellar.RouteSettle: 'x', cellar.RouteFloat: 'y'}

// steps are the stages that may follow. What the cellar says to each is asked of it, not kept here as well.
func (k *desk) steps(v *cellar.Vessel) []widget.Choice {
	g := k.look()
	var plain, marked []widget.Choice
	for _, next := range stage.Stages() {
		c := widget.Choice{Key: stageKeys[next], Label: string(next), Value: string(next)}
		// the form asks for the bend by itself, and for each step of a cleaning
		set := &cellar.SetStage{Head: cellar.Head{By: g.Who}, Vessel: v.Number, Stage: next, Blank: true}
		if next == stage.Clean {
			set.SeenTo = []cellar.CleanStep{cellar.Rinsed}
		}
		if next == stage.Clean && v.Now.Stage == stage.Clean && len(v.Now.Unseen) == 0 {
			c.Label += ", rinsed again"
		}
		_, err := cellar.Decide(g.State, set, g.Now)
		var rej *cellar.Rejection
		var needs *cellar.Needs
		switch {
		case errors.As(err, &needs):
			c.Label += " (" + string(needs.Findings[0].Rule) + " asks)"
			marked = append(marked, c)
		case errors.As(err, &rej) && rej.Code == "reason":
			c.Label += " (say why)"
			marked = append(marked, c)
		case err == nil:
			plain = append(plain, c)
		}
	}
	all := append(plain, marked...)
	sort.SliceStable(all, func(i, j int) bool { // what has a figure by its figure, the rest behind
		return all[i].Key != 0 && (all[j].Key == 0 || all[i].Key < all[j].Key)
	})
	return append(all, k.routes(v)...)
}

// routes are the changes of route that may be made where a stage is asked for.
func (k *desk) routes(v *cellar.Vessel) []widget.Choice {
	var out []widget.Choice
	now := k.look().State.RouteOf(v)
	for _, r := range []cellar.Route{cellar.RouteSettle, cellar.RouteFloat} {
		if !v.Now.Stage.Empty() && r != now && (v.Now.Kind == stage.Juice || v.Now.Kind == stage.PressJuice) {
			label := "change only the route: " + string(r)
			if now != "" {
				label += ", not " + string(now) + " (say why)"
			}
			out = append(out, widget.Choice{Key: routeKeys[r], Label: label, Value: routePrefix + string(r)})
		}
	}
	return out
}

// routePrefix tells a route from a stage among the choices of the form.
const routePrefix = "route "

// neighbours names the full vessels on the manifold of a vessel that is about to
// be cleaned: the bend to each must be off.
func (k *desk) neighbours(values map[string]string) []string {
	v, ok := k.vessel()
	if !ok || stage.Stage(values["stage"]) != stage.Cleaning || v.Manifold == "" {
		return nil
	}
	full := ""
	for _, x := range k.look().State.Vessels() {
		if x.Manifold == v.Manifold && x.Number != v.Number && x.Now.Volume > 0 {
			full += " " + string(x.Number)
		}
	}
	if full == "" {
		return nil
	}
	return []string{"on the same manifold and full:" + full + ". Swing bend off, line blanked?"}
}
