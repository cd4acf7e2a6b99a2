package entry

import (
	"time"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/clarity"
	"cellar.example/mustwatch/tui/face"
	"cellar.example/mustwatch/tui/widget"
)

// startCheck is the form for the moment the alcohol goes in.
func (k *desk) startCheck(v *cellar.Vessel) *Entry {
	when, held, late := k.whenHeld(v)
	title := "Pectin test of " + string(v.Number) + ": alcohol goes in now"
	if late {
		title = "Pectin test of " + string(v.Number) + ", " + held
	}
	e := k.entry(title, earlyOr(late, when, k.startFields(always))...)
	e.Key = " start"
	e.Form.Verb = "start the clock"
	k.warns(k.sampleCautions)
	k.follow = func(values map[string]string) {
		if e.Form.Verb = "start the clock"; values["recipe"] == paperTest {
			e.Form.Verb = ""
		}
	}
	e.Command = func(values map[string]string) (cellar.Command, error) { return k.beginCheck(values) }
	e.Form.Live = k.startLines
	return e
}

func always(map[string]string) bool { return true }

// sources are where the control may come from: the same juice, or press juice,
// that has had no enzyme.
var sources = []widget.Choice{
	{Key: 'z', Label: "frozen raw juice", Value: "frozen raw juice"}, {Key: 'f', Label: "raw juice, fridge",
		Value: "raw juice, fridge"},
	{Key: 'e', Label: "drawn before the enzyme", Value: "drawn before the enzyme"}, {Key: 'p', Label: "press juice",
		Value: "press juice"},
	{Key: 't', Label: "another tank", Value: anotherTank}, {Key: 'o', Label: "other", Value: "other"},
	{Key: 'n', Label: "no control", Value: cellar.NoControl},
}

// anotherTank asks for its number.
const anotherTank = "tank"

func (k *desk) startFields(when func(map[string]string) bool) []widget.Field {
	g := k.look()
	recipe := g.State.House.Recipe
	var recipes []widget.Choice
	seen := map[string]bool{}
	for _, r := range append(append([]clarity.Recipe{}, g.State.House.Recipes...), clarity.Recipes()...) {
		if !seen[r.ID] {
			recipes = append(recipes, widget.Choice{Label: r.Name, Value: r.ID})
		}
		seen[r.ID] = true
	}
	asked := when
	when = func(v map[string]string) bool { return asked(v) && v["recipe"] != paperTest }
	control := func(v map[string]string) bool { return v["source"] != "" && v["source"] != "none" }
	var points, bottles []widget.Choice
	for _, p := range cellar.SamplePoints() {
		points = append(points, widget.Choice{Label: p, Value: p})
	}
	for _, b := range g.State.Bottles() {
		bottles = append(bottles, widget.Choice{Label: say(g, "{bottle}, {strength} % vol, open since {time}", b.ID,
			b.Strength,
			clock(g, b.Opened)), Value: string(b.ID)})
	}
	out := []widget.Field{
		only(widget.Field{Name: "recipe", Label: "Recipe", Value: recipe, Origin: "house recipe",
			Choices: append(numbered(recipes), widget.Choice{Key: 'p', Label: "paper drop, house method",
				Value: paperTest})}, asked),
		only(widget.Field{Name: "source", Label: "Control juice", Value: lastSource(g.State),
			Origin: "same as last time", Optional: true, Choices: sources, Else: "other", ElseTo: "source_words"},
			when),
		only(where(words("source_words", "Other control", ""), on("source", "other")), when),
		only(where(must(k.tank("source_tank", "Control tank", "its juice must have had no enzyme")),
			on("source", anotherTank)), when),
		only(where(k.past("taken_at", "Control drawn", "if frozen: when it was thawed"), control), when),
		only(where(widget.Field{Name: "openings", Label: "Bottle opened", Unit: "times", Kind: widget.Figure,
			Optional: true, Validate: k.reads("openings", func(s *slip) { s.count("openings") })}, control), when),
		only(widget.Field{Name: "from", Label: "Sample point", Optional: true, Choices: numbered(points)}, when),
		only(widget.Field{Name: "filtered", Label: "Filtered", Optional: true, Choices: []widget.Choice{{Key: 'y',
			Label: "yes", Value: yes}, {Key: 'n', Label: "no", Value: "no"}}}, when),
	}
	if len(bottles) > 0 {
		out = append(out, only(widget.Field{Name: "bottle", Label: "Alcohol", Value: bottles[0].Value,
			Origin: "last opened", Optional: true, Choices: numbered(bottles)}, when))
		k.offered["bottle"] = bottles[0].Value
	}
	return append(out, k.paperFields(func(v map[string]string) bool { return asked(v) && v["recipe"] == paperTest })...)
}

// lastSource is where the control of the last check came from, if it is one of
// the usual places.
func lastSource(s *cellar.State) string {
	var at time.Time
	last := ""
	for _, v := range s.Vessels() {
		for _, c := range v.Now.Checks {
			if c.Source != "" && c.Started.After(at) {
				at, last = c.Started, c.Source
			}
		}
	}
	for _, c := range sources {
		if c.Value == last {
			return last
		}
	}
	return ""
}

// count reads a whole number of times.
func (s *slip) count(name string) int {
	x := orZero(s.number(name, 1000))
	if x != float64(int(x)) || x < 0 {
		s.fail(name, refuse("", "type how many times the bottle was opened, such as 3"))
		return 0
	}
	return int(x)
}

func (k *desk) beginCheck(values map[string]string) (cellar.Command, error) {
	if values["recipe"] == paperTest {
		return k.paperCommand(values)
	}
	s := k.slip(values)
	c := &cellar.StartCheck{Head: s.head(), Vessel: k.sub.Vessel, Recipe: s.text("recipe")}
	c.Source, c.TakenAt, c.Openings = s.text("source"), s.back("taken_at"), s.count("openings")
	c.From, c.Bottle = s.text("from"), cellar.BottleID(s.own("bottle"))
	if f := s.text("filtered"); f != "" {
		filtered := f == yes
		c.Filtered = &filtered
	}
	switch c.Source {
	case "other":
		c.Source = s.text("source_words")
	case anotherTank:
		c.Source = "juice of " + string(s.tank("source_tank"))
	}
	return s.done(c)
}

func (k *desk) startLines(values map[string]string) []string {
	if values["recipe"] == paperTest {
		return k.paperLines(values)
	}
	s := k.slip(values)
	r, ok := s.g.State.House.RecipeByID(s.text("recipe"))
	if !ok {
		return nil
	}
	at := s.head().At
	if at.IsZero() {
		at = s.g.Now
	}
	lines := []string{
		say(s.g, "add {alcohol} to {sample}", r.Alcohol, r.Sample),
		say(s.g, "read at {time}, after {wait} · void after {void}", clock(s.g, at.Add(r.ReadAt.Duration())), r.ReadAt,
			clock(s.g, at.Add(r.VoidAfter.Duration()))),
	}
	if v, ok := k.vessel(); ok {
		if c, ok := s.g.State.ContactOf(v, at); ok && c.HasDue && at.Before(c.Due) {
			lines = append(lines, say(s.g, "early: contact started at {start}, the model says {share:%.0f} % done; "+
				"the test is due at {due}", clock(s.g, c.Start), 100*c.Progress, clock(s.g, c.Due)))
		}
	}
	if src := s.text("source"); src == "" || src == "none" {
		lines = append(lines, "without a control only flocs count: a clear tube proves nothing")
	}
	if len(s.g.State.Bottles()) == 0 {
		lines = append(lines, "no alcohol bottle saved yet: press u to add one")
	}
	return append(lines, drawnFromTreated(s.g, s.tank("source_tank"))...)
}

// drawnFromTreated says that a tank named for the control has had enzyme: its
// juice stays as clear as the sample.
func drawnFromTreated(g face.Sight, p cellar.TankNumber) []string {
	v, ok := g.State.Vessel(p)
	if !ok {
		return nil
	}
	for _, d := range v.Now.Doses {
		if d.Class == cellar.EnzymeClarify || d.Class == cellar.EnzymeHeat || d.Class == cellar.EnzymeSkin {
			return []string{say(g, "{tank} had {product} at {time}: do not use its juice as control", p, d.Product,
				clock(g, d.At))}
		}
	}
	return nil
}
