package entry

import (
	"time"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/clarity"
	"cellar.example/mustwatch/domain/stage"
	"cellar.example/mustwatch/tui/face"
	"cellar.example/mustwatch/tui/widget"
)

// The values of the picker that tells a new test from the reading of one.
const (
	doStart = "start"
	doRead  = "read"
)

func openCheck(k *desk) (*Entry, string) {
	v, ok := k.vessel()
	if !ok {
		return nil, "Put the cursor on the tank you test."
	}
	if why := k.empty(v, "nothing to test"); why != "" {
		return nil, why
	}
	if !v.Now.Stage.Empty() && v.Now.Volume == 0 {
		return nil, say(k.look(), "{tank} is {stage}: nothing to test.", v.Number, v.Now.Stage)
	}
	g := k.look()
	run := v.Begun(g.Now)
	if last, _, ok := g.State.Held(v, g.Now); ok {
		run = last.Check()
	}
	if run == nil {
		return k.startCheck(v), ""
	}
	return k.readCheck(v, run), ""
}

// readCheck is the form for what the tubes show. A check that is void can also
// be followed by a new one at once.
func (k *desk) readCheck(v *cellar.Vessel, run *cellar.Check) *Entry {
	reading := func(val map[string]string) bool { return val["do"] != doStart }
	pending := run.Verdict == clarity.Pending
	when, _, late := k.whenHeld(v)
	var fields []widget.Field
	if !late && k.look().Now.After(run.Started.Add(run.Recipe.VoidAfter.Duration())) {
		fields = append(fields, widget.Field{Name: "do", Label: "Void test", Value: doStart,
			Origin: "unless you read it in time", Choices: []widget.Choice{
				{Key: 'n', Label: "new test, alcohol goes in now", Value: doStart},
				{Key: 'r', Label: "read in time, save the reading", Value: doRead}}})
		fields = append(fields, k.startFields(on("do", doStart))...)
	}
	if pending {
		fields = append(fields, only(widget.Field{Name: "second", Label: "Haze now", Choices: []widget.Choice{
			{Key: 'u', Label: "unchanged", Value: string(clarity.SecondUnchanged)}, {Key: 'f', Label: "flocs",
				Value: string(clarity.SecondFlocs)}}}, reading))
	} else {
		fields = append(fields, only(sampleField(), reading), only(controlField(), reading))
	}
	fields = append(fields, only(where(k.ahead("next", "Next look", "blank = after the house wait"), k.looksAgain),
		reading),
		only(k.tank("tube", "Number on tube", "read it off the tube"), reading))
	e := k.entry("Pectin test of "+string(v.Number)+", alcohol in at "+clock(k.look(), run.Started), earlyOr(late, when,
		fields)...)
	e.Key = " " + run.ID
	k.warns(k.sampleCautions)
	e.Command = func(values map[string]string) (cellar.Command, error) {
		if values["do"] == doStart {
			return k.beginCheck(values)
		}
		s := k.slip(values)
		return s.done(s.checkCommand())
	}
	e.Form.Live = func(values map[string]string) []string {
		if values["do"] == doStart {
			return k.startLines(values)
		}
		return k.readLines(run, values)
	}
	k.follow = func(values map[string]string) { k.followCheck(run, values) }
	return e
}

func sampleField() widget.Field {
	return widget.Field{Name: "sample", Label: "Sample", Choices: []widget.Choice{
		{Key: 'l', Label: "large flocs", Value: string(clarity.LargeFlocs)}, {Key: 's', Label: "small even flocs",
			Value: string(clarity.SmallFlocs)},
		{Key: 'f', Label: "fine flocs", Value: string(clarity.FineFlocs)}, {Key: 'h', Label: "faint haze",
			Value: string(clarity.FaintHaze)},
		{Key: 'c', Label: "clear", Value: string(clarity.Clear)}}}
}

func controlField() widget.Field {
	return widget.Field{Name: "control", Label: "Control", Choices: []widget.Choice{
		{Key: 'f', Label: "flocs", Value: string(clarity.ControlFlocs)}, {Key: 'c', Label: "clear",
			Value: string(clarity.ControlClear)},
		{Key: 'n', Label: "no control", Value: string(clarity.ControlNone)}}}
}

func (s *slip) checkCommand() *cellar.ReadCheck {
	return &cellar.ReadCheck{Head: s.head(), Vessel: s.k.sub.Vessel, Sample: clarity.Look(s.text("sample")),
		Control: clarity.ControlLook(s.text("control")), Second: clarity.SecondLook(s.text("second")),
		Next: s.ahead("next"), Tube: s.tank("tube")}
}

// judged is the verdict as it would be; ok is false while something is missing.
func (s *slip) judged() (clarity.Judgement, bool) {
	c := s.checkCommand()
	at := c.At
	if at.IsZero() {
		at = s.g.Now
	}
	j, err := s.g.State.Judge(c, at)
	return j, err == nil
}

// looksAgain reports whether a next look is set: not after a negative, nor
// while a haze waits for its second look.
func (k *desk) looksAgain(values map[string]string) bool {
	s := k.slip(values)
	j, ok := s.judged()
	return !ok || j.Verdict != clarity.Negative && j.Verdict != clarity.Pending
}

// followCheck proposes the next look by the house's wait for what was seen.
func (k *desk) followCheck(run *cellar.Check, values map[string]string) {
	s := k.slip(values)
	v, ok := k.vessel()
	if !ok {
		return
	}
	j, ok := s.judged()
	house := s.g.State.House
	switch {
	case !ok:
		k.offer("next", "", "")
	case j.Verdict == clarity.Positive:
		look := clarity.Look(s.text("sample"))
		if look == "" {
			look = clarity.FineFlocs
		}
		wait := house.Waits.Next(look, v.Now.Kind == stage.HotMust)
		k.offer("next", wallTime(s.g, run.Started.Add(wait.Duration())), "after the house wait, "+wait.String())
	default:
		k.offer("next", wallTime(s.g, s.g.Now.Add(house.Limits.RepeatTest.Duration())),
			"after the house wait, "+house.Limits.RepeatTest.String())
	}
}

func wallTime(g face.Sight, t time.Time) string { return face.WallTime(t, g.State.Zone()) }

// readLines are the short clock and the verdict as it would be.
func (k *desk) readLines(run *cellar.Check, values map[string]string) []string {
	s := k.slip(values)
	read, void := run.Started.Add(run.Recipe.ReadAt.Duration()), run.Started.Add(run.Recipe.VoidAfter.Duration())
	var lines []string
	switch now := s.g.Now; {
	case now.Before(read):
		lines = append(lines, "read it in "+face.Seconds(read.Sub(now))+", at "+clock(s.g, read))
	case !now.After(void):
		lines = append(lines, s.g.Theme.Strong.Render("read it now, void in "+face.Seconds(void.Sub(now))))
	default:
		lines = append(lines, "void since "+clock(s.g, void)+": type the time you read it, or test again")
	}
	if v, ok := s.k.vessel(); ok {
		if trail := face.Trail(s.g, v); trail != "" {
			lines = append(lines, "so far: "+trail)
		}
	}
	if control := s.text("control"); control == "" || control == string(clarity.ControlNone) {
		lines = append(lines, face.Asymmetry)
	}
	if j, ok := s.judged(); ok {
		lines = append(lines, s.g.Theme.Strong.Render(say(s.g, "{verdict}: {why}", j.Verdict, j.Why)))
	}
	return lines
}
