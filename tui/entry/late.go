package entry

import (
	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/tui/widget"
)

// What happened to a tank may be saved after its juice has gone on: the form on a tank
// that is empty now asks first when it was.

// empty says why nothing can be done to a vessel: it holds nothing, and held nothing
// that an entry may have been forgotten of.
func (k *desk) empty(v *cellar.Vessel, nothing string) string {
	if _, _, late := k.look().State.Held(v, k.look().Now); late || !v.Now.Stage.Empty() {
		return ""
	}
	return say(k.look(), "{tank} is {stage}: {nothing}. If it held juice, first save where that came from.", v.Number,
		v.Now.Stage,
		nothing)
}

// whenHeld is the field for the time of what was done to a vessel, and what the vessel
// held; late says that it holds nothing now, so that the time comes first and is wanted.
func (k *desk) whenHeld(v *cellar.Vessel) (when widget.Field, held string, late bool) {
	when = k.when()
	if !v.Now.Stage.Empty() {
		return when, v.Now.Name(), false
	}
	g := k.look()
	last, until, _ := g.State.Held(v, g.Now)
	when.Optional, when.Hint, when.Says = false, "", k.echo("at", "when it was: before "+clock(g, until), false)
	return when, say(g, "{held}, empty since {time}", last.Name(), clock(g, until)), true
}

// had is what the vessel of a form held at the time that is typed, or holds now.
func (k *desk) had(values map[string]string) (c cellar.Content) {
	if v, ok := k.vessel(); ok {
		c, _ = v.Then(k.doseAt(values))
	}
	return c
}

// earlyOr puts a field before others where it is wanted first, and else behind them.
func earlyOr(early bool, f widget.Field, others []widget.Field) []widget.Field {
	if early {
		return append([]widget.Field{f}, others...)
	}
	return append(others, f)
}
