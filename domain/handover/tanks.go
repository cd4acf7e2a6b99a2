package handover

import (
	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/sheet"
	"cellar.example/mustwatch/domain/stage"
)

// dryBelow is the density under which a must on skins shows no sugar: from there
// on it may be drawn off (common practice, no source).
const dryBelow quantity.Density = 1.000

// tanks divides the vessels that hold something: those with anything open about
// them get a line, the others stand as codes. None is left out.
func (h *handover) tanks() {
	groups := map[string]int{}
	for _, v := range h.s.Vessels() {
		if v.Now.Stage.Empty() {
			continue
		}
		h.out.Back.Tanks = append(h.out.Back.Tanks, h.tank(v))
		name := h.quiet(v)
		if name == "" {
			h.out.Tanks = append(h.out.Tanks, h.tank(v))
			continue
		}
		i, ok := groups[name]
		if !ok {
			i = len(h.out.Quiet)
			groups[name] = i
			h.out.Quiet = append(h.out.Quiet, sheet.Group{Name: name})
		}
		h.out.Quiet[i].Codes = append(h.out.Quiet[i].Codes, sheet.Code{Number: string(v.Number)})
	}
}

// quiet names the group of a vessel about which nothing is open, "" for one that
// needs its own line. In doubt a vessel is not quiet.
func (h *handover) quiet(v *cellar.Vessel) string {
	c := &v.Now
	if v.Hold != nil || c.Open || c.Check() != nil {
		return ""
	}
	if _, runs := h.s.Running(v.Number); runs {
		return ""
	}
	for _, k := range h.s.ClocksOf(v.Ref()) {
		if k.Kind != cellar.KindPumpOver && k.Kind != cellar.KindPromise {
			return ""
		}
	}
	switch v.Use { // whatever its stage is called, nobody waits for it
	case stage.UseYeast, stage.UseNotProduct, stage.UseLees:
		return string(v.Use)
	}
	red := c.Kind == stage.RedMust || v.Use == stage.UseMust
	switch c.Stage {
	case stage.Fermenting:
		switch {
		case h.odd(v) != "":
			return ""
		case red:
			return "red"
		}
		return "fermenting"
	case stage.Maceration:
		if c.Last.Density != nil && *c.Last.Density < dryBelow {
			return ""
		}
		return "red"
	case stage.ColdSoak, stage.Stored:
		return string(c.Stage)
	case stage.JuiceLees:
		return "lees"
	case stage.Waiting:
		return h.quietWaiting(v)
	}
	return ""
}

// quietWaiting: press fractions and small lots wait as a matter of course, and
// those without a route are named under "no home" already.
func (h *handover) quietWaiting(v *cellar.Vessel) string {
	if _, contact := h.s.ContactOf(v, h.now); contact || !v.Now.PectinGone.IsZero() {
		return ""
	}
	if v.Use == stage.UseFraction || v.Use == stage.UsePallet {
		return "waiting"
	}
	return ""
}

// odd is the reason given in this shift for a fermentation that did not come of
// an inoculation, or "".
func (h *handover) odd(v *cellar.Vessel) string {
	why := ""
	for _, it := range v.Account {
		if it.Out != nil && it.Out.Empties {
			why = ""
		}
		if g := it.Stage; g != nil && !it.TakenBack && g.Stage == stage.Fermenting && g.Why != "" &&
			!g.Inoculated && h.within(it.At) {
			why = g.Why
		}
	}
	return why
}

func (h *handover) tank(v *cellar.Vessel) sheet.Tank {
	c := &v.Now
	t := sheet.Tank{Since: h.when(c.Since), Number: string(v.Number), Content: contentWord(c), Volume: h.gauged(c),
		Temp:  "?",
		Stage: h.stageWords(v), Looked: h.when(v.Now.Looked)}
	if c.Since.Equal(h.s.Opened) {
		t.Since = "?"
	}
	if c.Last.Temp != nil {
		t.Temp = trimUnit(c.TempText(h.sys))
	}
	return t
}

// contentWord names a content in a column where most is juice.
func contentWord(c *cellar.Content) string {
	name := c.Name()
	switch {
	case c.Volume == 0:
		return "?"
	case c.Kind == stage.Juice || c.Kind == stage.ClearJuice && c.Stage == stage.Fermenting:
		name = c.Variety()
	case c.Kind == stage.PressJuice:
		name = c.Variety() + " press"
	case c.Kind == stage.ClearJuice:
		name = c.Variety() + " clear"
	}
	if name == "" {
		return "?"
	}
	return name
}

// trimUnit leaves the number of "9.4 °C".
func trimUnit(s string) string {
	for i, r := range s {
		if r == ' ' {
			return s[:i]
		}
	}
	return s
}

// stageWords is the stage with what stands next, unless that is a clock: clocks
// stand under what is due, and one thing is said once.
func (h *handover) stageWords(v *cellar.Vessel) string {
	c := &v.Now
	text, odd := string(c.Stage), h.odd(v)
	switch {
	case c.Stage == stage.Filling && !c.Source.IsZero():
		text = "filling from " + h.s.NameOf(c.Source)
		if from := h.s.Feeding(v.Number); len(from) > 0 {
			text = "filling from " + cellar.Spaced(from)
		}
	case c.Stage == stage.Fermenting && odd != "":
		text = odd
	}
	if c.Last.Density != nil && odd == "" && (c.Stage == stage.Fermenting || c.Stage == stage.Maceration) {
		text = c.Last.Density.String() + " " + text
		if c.Stage == stage.Maceration && *c.Last.Density < dryBelow {
			text = c.Last.Density.String() + " dry, " + string(c.Stage)
		}
	}
	if b := c.BroughtLast(); b != nil {
		text += ", " + b.Say()
	}
	st := h.s.StandingOf(v, h.now)
	switch {
	case v.Hold != nil:
		return "ON HOLD, " + text
	case c.Stage == stage.Filling, st.Text == "", !st.At.IsZero():
		return text
	case c.Stage == stage.Waiting && c.BroughtLast() == nil && (st.Can || st.Route):
		return st.Text
	}
	return text + ", " + st.Text
}

// empties lists the clean vessels with what they take up to their limit, and
// those that are empty but must not be filled.
func (h *handover) empties() {
	for _, use := range stage.Uses() {
		group, has := sheet.Group{Name: use.Called()}, false
		stale := sheet.Group{Name: h.say("{use}, rinse again", use.Called())} // cleaned too long ago
		for _, v := range h.s.Vessels() {
			has = has || v.Use == use
			if v.Use != use || v.Now.Stage != stage.Clean || v.Hold != nil {
				continue
			}
			code := sheet.Code{Number: string(v.Number), Holds: h.vol(v.Limit())}
			code.Says = v.Now.NotYet()
			if until, ok := h.s.CleanUntil(v); ok && h.now.After(until) {
				stale.Codes = append(stale.Codes, code)
				continue
			}
			group.Codes = append(group.Codes, code)
		}
		if has && use == stage.UseSettle && len(group.Codes)+len(stale.Codes) == 0 {
			group.Codes = []sheet.Code{{Number: "NONE"}} // what the next press load will ask for
		}
		for _, g := range []sheet.Group{group, stale} {
			if len(g.Codes) > 0 {
				h.out.Clean = append(h.out.Clean, g)
			}
		}
	}
	for _, g := range []struct {
		stage stage.Stage
		name  string
	}{{stage.Dirty, "dirty"}, {stage.Cleaning, "being cleaned"}, {stage.OutOfUse, "out of service"}} {
		group := sheet.Group{Name: g.name}
		for _, v := range h.s.Vessels() {
			if v.Now.Stage != g.stage || v.Hold != nil {
				continue
			}
			code := sheet.Code{Number: string(v.Number)}
			if g.stage == stage.OutOfUse && v.Now.Note != "" {
				code.Holds = v.Now.Note
			}
			group.Codes = append(group.Codes, code)
		}
		if len(group.Codes) > 0 {
			h.out.NotClean = append(h.out.NotClean, group)
		}
	}
}

// gauged is what a tank holds, with ~ where that was only estimated.
func (h *handover) gauged(c *cellar.Content) string {
	if c.Gauge.How == cellar.Estimate {
		return "~" + h.bare(c.Volume)
	}
	return h.bare(c.Volume)
}
