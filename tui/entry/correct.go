package entry

import (
	"fmt"
	"iter"
	"slices"
	"strings"
	"time"
	"unicode"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/subject"
	"cellar.example/mustwatch/tui/face"
	"cellar.example/mustwatch/tui/widget"
)

// What can be corrected about an entry.
const (
	doValue    = "value"
	doTime     = "time"
	doTakeBack = "take back"
)

// How many values are offered: of what the cursor stands on, in all, and at least
// from elsewhere, for what was just mistyped may be in another vessel.
const (
	ofOwn     = 12
	inAll     = 14
	elsewhere = 4
	lookBack  = 200
	ofActs    = 2 // and at least how many of those that can only be taken back
)

func openCorrect(k *desk) (*Entry, string) {
	list, own := k.correctables()
	if len(list) == 0 && k.with.Find != "" {
		return nil, say(k.look(), "Nothing that can be corrected has {words} in it.", k.with.Find)
	}
	if len(list) == 0 {
		return nil, "There is no saved entry to correct yet."
	}
	value := widget.Field{Name: "value", Label: "New value", Kind: widget.Words, Width: 20, Limit: 40, Optional: true}
	value.Says = func(v map[string]string) (unit, hint string) {
		c, _ := chosen(list, v["of"])
		return unitOf(c, v), ""
	}
	e := k.entry("Correct an entry",
		k.which(list, numbered(k.correctChoices(list, own))),
		where(value, func(v map[string]string) bool { return v["how"] != doTakeBack }),
		widget.Field{Name: "how", Label: "Correction", Optional: true, Value: doValue, Origin: "b takes it back",
			Choices: []widget.Choice{
				{Key: 'v', Label: "value", Value: doValue}, {Key: 't', Label: "time", Value: doTime},
				{Key: 'b', Label: "all of it: take it back", Value: doTakeBack}}},
		must(words("reason", "Reason", "")),
		k.thenField(),
	)
	e.Line = func(values map[string]string) (cellar.Command, string, error) { return k.correctLine(list, values) }
	e.More = func(values map[string]string) bool { return values["then"] == thenMore }
	e.Command = func(values map[string]string) (cellar.Command, error) {
		c, _, err := k.correctLine(list, values)
		return k.together(c, err)
	}
	if n := len(k.with.Lines); n > 0 {
		e.Form.Title, e.Key = say(k.look(), "Correct several entries: entry {n}", n+1), fmt.Sprint(" with ", n)
	}
	e.Form.Live = func(values map[string]string) []string {
		if values["reason"] == "" {
			values = with(values, "reason", "-") // what would change does not hang on why
		}
		return append(append(k.gatheredLines(), k.correctLines(list, values)...), k.follows(e.Command, values)...)
	}
	e.Form.FieldNotes = func(values map[string]string) map[string][]string {
		c, _ := chosen(list, values["of"])
		if old, _ := apart(c); values["how"] == doValue && values["value"] == old {
			return nil // nothing has been typed yet
		}
		return k.notes(e.Command, values)
	}
	about := ""
	k.follow = func(values map[string]string) {
		c, ok := chosen(list, values["of"])
		if !ok {
			return
		}
		defer func() { // why something is taken back is said by a person
			reason := "mistyped"
			if k.form.Value("how") == doTakeBack {
				reason = ""
			}
			k.form.Propose("reason", reason, "")
		}()
		was := about
		if about = values["of"] + " " + values["how"]; was != "" && was != about {
			k.form.Renew("value", "", "") // what was typed was about something else
		}
		switch {
		case isGas(c):
			k.form.Propose("how", doTakeBack, "a gas reading cannot be changed")
			return
		case c.Field == cellar.WholeEntry:
			k.form.Propose("how", doTakeBack, "or change its time")
		case c.Load != "":
			k.form.Propose("how", doValue, "usual")
		}
		old, _ := apart(c)
		if values["how"] == doTime {
			old = clock(k.look(), c.At)
		}
		k.form.Propose("value", old, "as saved")
	}
	return e, ""
}

// correctChoices name what can be corrected, under heads: of what the cursor stands on are
// the first own.
func (k *desk) correctChoices(list []cellar.Correctable, own int) (choices []widget.Choice) {
	g := k.look()
	for i, c := range list {
		x := widget.Choice{Label: short(correctLabel(g, c), 58), Value: correctKey(c)}
		switch name := k.sub.Name(); {
		case k.with.Find != "" && i == 0:
			x.Above = say(g, "with {words} in it, newest first", k.with.Find)
		case k.with.Find != "":
		case name == "":
		case i == 0 && own == 0:
			x.Above = "nothing saved about " + name + "; elsewhere, newest first"
		case i == 0:
			x.Above = name + ", newest first"
		case i == own:
			x.Above = "elsewhere"
		case c.Act() && !list[i-1].Act() && i < own:
			x.Above = "take it back, or change its time"
		}
		choices = append(choices, x)
	}
	return choices
}

// correctables are the values of what the cursor stands on, newest first, with what
// ran out of it, and after them those written elsewhere; own is how many are the
// cursor's.
func (k *desk) correctables() (out []cellar.Correctable, own int) {
	s, number := k.look().State, k.sub.Vessel
	if number == "" {
		number = k.sub.Press
	}
	var gone, acts []cellar.Correctable
	if k.with.Find != "" {
		for c := range s.SearchFor(k.with.Find).Correctables() {
			if out = append(out, c); len(out) == inAll {
				break
			}
		}
		return out, 0
	}
	seen := 0
	for c := range k.ofOwn(s, number) {
		switch {
		case c.Of == k.with.With:
		case c.Act():
			acts = append(acts, c)
		case k.sub.Vessel != "" && c.Vessel != k.sub.Vessel:
			gone = append(gone, c) // it stands in the account of where it went
		case len(out) < ofOwn:
			out = append(out, c)
		}
		if seen++; len(out) == ofOwn && (len(acts) >= ofActs || seen > lookBack) {
			break
		}
	}
	out = append(append(k.next(s, number), out...), gone...)
	out = out[:min(len(out), max(ofOwn-ofActs, ofOwn-len(acts)))]
	out = append(out, acts[:min(len(acts), ofOwn-len(out))]...)
	own = len(out)
	least := elsewhere
	if len(acts) > 0 {
		least -= 2 // for their head, and words of their own
	}
	return append(out, k.saidElsewhere(s, number, max(inAll-own, least))...), own
}

// saidElsewhere is the latest of what the cursor does not stand on, one of them something
// that can only be taken back.
func (k *desk) saidElsewhere(s *cellar.State, number cellar.TankNumber, most int) (out []cellar.Correctable) {
	var act []cellar.Correctable
	for c := range s.Correctables(number) {
		figure := c.Load == "" || c.Field == "gross" || c.Field == "tare" || c.Field == "net"
		switch {
		case len(out)+1 == most && len(act) == 1, len(out) == most:
			return append(out, act...)
		case c.Act() && len(act) == 0:
			act = append(act, c)
		case !c.Act() && figure && c.Of != k.with.With && (c.Load == "" || c.Load != k.sub.Load):
			out = append(out, c)
		}
	}
	return append(out, act...)
}

// next is what is to be corrected next, wherever it is: what of it is the cursor's.
func (k *desk) next(s *cellar.State, number cellar.TankNumber) []cellar.Correctable {
	if k.with.With == 0 {
		return nil
	}
	all := s.CorrectablesIn(k.with.With)
	if own := slices.DeleteFunc(slices.Clone(all), func(c cellar.Correctable) bool {
		return !c.About(number) && (c.Load == "" || c.Load != k.sub.Load)
	}); len(own) > 0 {
		return own
	}
	return all
}

// ofOwn goes over the values of what the cursor stands on, latest saved first.
func (k *desk) ofOwn(s *cellar.State, number cellar.TankNumber) iter.Seq[cellar.Correctable] {
	if l, ok := s.Load(k.sub.Load); ok {
		return slices.Values(s.CorrectablesOfLoad(l.ID))
	}
	return s.CorrectablesOf(number)
}

// apart takes a value apart: what is typed, and the unit that a bare figure then
// has.
func apart(c cellar.Correctable) (bare, unit string) {
	bare, unit, _ = strings.Cut(c.Value, " ")
	return bare, unit
}

// unitOf is the unit of what is typed in place of a value, "" where it brings its
// own or is none.
func unitOf(c cellar.Correctable, values map[string]string) string {
	if isGas(c) || values["how"] == doTime || strings.ContainsFunc(values["value"], unicode.IsLetter) ||
		strings.Contains(values["value"], "°") {
		return ""
	}
	_, unit := apart(c)
	return unit
}

func correctKey(c cellar.Correctable) string {
	return fmt.Sprintf("%d %s%s%s %s %s", c.Of, c.Vessel, c.Load, c.Press, c.Field, c.Says)
}

func correctLabel(g face.Sight, c cellar.Correctable) string {
	if c.Load != "" {
		return say(g, "load {load}: {field} {value}, {time} {person}", c.Load, c.Field, c.Value, clock(g, c.At), c.By)
	}
	if isGas(c) {
		return say(g, "{place}: gas, {value}, {time} {person}", c.Place, c.Value, clock(g, c.At), c.By)
	}
	if c.Field == cellar.WholeEntry {
		c.Says = short(c.Says, 30) // a note is long, and its time tells it from others
		return say(g, "{of}: {entry}, {time} {person}", whereOf(g, c), c.Says, clock(g, c.At), c.By)
	}
	return say(g, "{of}: {field} {value}, {entry}, {time} {person}", whereOf(g, c), c.Field, c.Value, c.Says, clock(g,
		c.At), c.By)
}

func isGas(c cellar.Correctable) bool { return c.Place != "" && c.Load == "" }

// whereOf is the vessel, the load or the place a value is about, with its
// kind where something else has the same name.
func whereOf(g face.Sight, c cellar.Correctable) string {
	switch {
	case c.Load != "":
		return "load " + string(c.Load)
	case c.Press != "":
		return g.State.NameOf(subject.Of(subject.Press, c.Press))
	case c.Vessel == "" && (c.Subject.Kind == subject.House || c.Subject.Kind == subject.Shift):
		return "the " + c.Subject.Name
	case c.Subject.Kind == subject.Load:
		return c.Subject.Full()
	case c.Vessel == "" && !c.Subject.IsZero():
		return g.State.NameOf(c.Subject)
	case c.Vessel == "":
		return c.Place
	}
	return g.State.NameOf(subject.Of(subject.Vessel, c.Vessel))
}

func chosen(list []cellar.Correctable, key string) (cellar.Correctable, bool) {
	for _, c := range list {
		if correctKey(c) == key {
			return c, true
		}
	}
	return cellar.Correctable{}, false
}

func (k *desk) correctCommand(list []cellar.Correctable, values map[string]string) (cellar.Command, error) {
	s := k.slip(values)
	was, ok := chosen(list, values["of"])
	if !ok {
		return nil, refuse("of", "pick the entry to correct from the list")
	}
	c := &cellar.Correct{Head: s.head(), Of: was.Of, Vessel: was.Vessel, Says: was.Says, Field: was.Field,
		Value: s.text("value"), Reason: s.text("reason")}
	switch values["how"] {
	case doTakeBack:
		c.TakeBack, c.Value = true, ""
	case doTime:
		c.Field, c.Value = "at", s.back("value").Format(time.RFC3339)
	default:
		if was.Field == cellar.WholeEntry {
			return nil, refuse("how", "this entry has no value: take it back, or change its time")
		}
		if c.Value == "" {
			return nil, refuse("value", "type the right value; it says {value} now", was.Value)
		}
		c.Value = strings.TrimSpace(c.Value + " " + unitOf(was, values))
	}
	return s.done(c)
}

// correctLines show both sides, and which doses were calculated with the old value.
func (k *desk) correctLines(list []cellar.Correctable, values map[string]string) []string {
	was, ok := chosen(list, values["of"])
	if !ok {
		return nil
	}
	g := k.look()
	if isGas(was) {
		return []string{say(g, "{place}, {value}: take a gas reading back and read the air again. It stays in the "+
			"list with the reason.", was.Place, was.Value)}
	}
	if was.Field == cellar.WholeEntry {
		return []string{say(g, "{of}, {entry} of {time} stays in the list, with the reason", whereOf(g, was), was.Says,
			clock(g, was.At))}
	}
	stays := "stays in the log beside the new value, with the reason"
	if values["how"] == doTakeBack {
		stays = "stays in the log as taken back, with the reason"
	}
	lines := []string{say(g, "{of}, {field}: {value} {stays}", whereOf(g, was), was.Field, was.Value, stays)}
	if was.By != g.Who {
		lines = append(lines, say(g, "{person} saved it at {time}, not you ({you})", was.By, clock(g, was.At), g.Who))
	}
	v, ok := g.State.Vessel(was.Vessel)
	if !ok || was.Field != "volume" {
		return lines
	}
	for _, it := range v.Account {
		if it.Dose != nil && !it.TakenBack && !it.At.Before(was.At) {
			lines = append(lines, say(g, "check the dose of {time}, {product} {amount}: it was calculated with the "+
				"old volume",
				it.Dose.Product, it.Dose.Drawn, clock(g, it.At)))
		}
	}
	return lines
}
