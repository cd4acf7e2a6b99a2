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

// What can be put right about an entry.
const (
	doValue  = "value"
	doTime   = "time"
	doStrike = "strike"
)

// How many values are offered: of what the cursor stands on, in all, and at least
// from elsewhere, for what was just mistyped may be in another vessel.
const (
	ofOwn     = 12
	inAll     = 14
	elsewhere = 4
)

func openCorrect(k *desk) (*Entry, string) {
	list, own := k.correctables()
	if len(list) == 0 {
		return nil, "Nothing has been written yet that could be corrected."
	}
	g := k.look()
	var choices []widget.Choice
	for i, c := range list {
		x := widget.Choice{Label: short(correctLabel(g, c), 58), Value: correctKey(c)}
		switch name := k.sub.Name(); {
		case name == "":
		case i == 0 && own == 0:
			x.Above = "nothing is written of " + name + "; elsewhere, latest first"
		case i == 0:
			x.Above = "of " + name + ", latest first"
		case i == own:
			x.Above = "elsewhere"
		}
		choices = append(choices, x)
	}
	value := widget.Field{Name: "value", Label: "Now", Kind: widget.Words, Width: 20, Limit: 40, Optional: true}
	value.Says = func(v map[string]string) (unit, hint string) {
		c, _ := chosen(list, v["of"])
		return unitOf(c, v), ""
	}
	e := k.entry("Put an earlier entry right",
		k.which(list, numbered(choices)),
		where(value, func(v map[string]string) bool { return v["how"] != doStrike }),
		widget.Field{Name: "how", Label: "What is wrong", Optional: true, Value: doValue, Origin: "b there: take it back", Choices: []widget.Choice{
			{Key: 'v', Label: "the value", Value: doValue}, {Key: 't', Label: "the time", Value: doTime}, {Key: 'b', Label: "all of it: take it back", Value: doStrike}}},
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
		e.Form.Title, e.Key = fmt.Sprintf("Put entries right together: number %d", n+1), fmt.Sprint(" with ", n)
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
			if k.form.Value("how") == doStrike {
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
			k.form.Propose("how", doStrike, "never rewritten")
			return
		case c.Field == cellar.WholeEntry:
			k.form.Propose("how", doStrike, "or its time")
		case c.Load != "":
			k.form.Propose("how", doValue, "usual")
		}
		old, _ := apart(c)
		if values["how"] == doTime {
			old = clock(k.look(), c.At)
		}
		k.form.Propose("value", old, "as it stands")
	}
	return e, ""
}

// correctables are the values of what the cursor stands on, latest first, with what
// ran out of it, and after them those written elsewhere; own is how many are the
// cursor's.
func (k *desk) correctables() (out []cellar.Correctable, own int) {
	s, plate := k.look().State, k.sub.Vessel
	if plate == "" {
		plate = k.sub.Press
	}
	var gone []cellar.Correctable
	for c := range k.ofOwn(s, plate) {
		switch {
		case c.Of == k.with.With:
		case k.sub.Vessel != "" && c.Vessel != k.sub.Vessel:
			gone = append(gone, c) // it stands in the account of where it went
		default:
			out = append(out, c)
		}
		if len(out) == ofOwn {
			break
		}
	}
	out = append(append(k.next(s, plate), out...), gone...)
	out = out[:min(len(out), ofOwn)]
	own = len(out)
	for c := range s.Correctables(plate) {
		if len(out) == own+max(inAll-own, elsewhere) {
			break
		}
		figure := c.Load == "" || c.Field == "gross" || c.Field == "tare" || c.Field == "net"
		if figure && c.Of != k.with.With && (c.Load == "" || c.Load != k.sub.Load) {
			out = append(out, c)
		}
	}
	return out, own
}

// next is what is to be put right next, wherever it is: what of it is the cursor's.
func (k *desk) next(s *cellar.State, plate cellar.Plate) []cellar.Correctable {
	if k.with.With == 0 {
		return nil
	}
	all := s.CorrectablesIn(k.with.With)
	if own := slices.DeleteFunc(slices.Clone(all), func(c cellar.Correctable) bool {
		return !c.About(plate) && (c.Load == "" || c.Load != k.sub.Load)
	}); len(own) > 0 {
		return own
	}
	return all
}

// ofOwn goes over the values of what the cursor stands on, latest saved first.
func (k *desk) ofOwn(s *cellar.State, plate cellar.Plate) iter.Seq[cellar.Correctable] {
	if l, ok := s.Load(k.sub.Load); ok {
		return slices.Values(s.CorrectablesIn(l.Seq))
	}
	return s.CorrectablesOf(plate)
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
	if isGas(c) || values["how"] == doTime || strings.ContainsFunc(values["value"], unicode.IsLetter) || strings.Contains(values["value"], "°") {
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
		return fmt.Sprintf("load %s: %s %s, %s %s", c.Load, c.Field, c.Value, clock(g, c.At), c.By)
	}
	if isGas(c) {
		return fmt.Sprintf("%s: gas, %s, %s %s", c.Place, c.Value, clock(g, c.At), c.By)
	}
	if c.Field == cellar.WholeEntry {
		return fmt.Sprintf("%s: %s, %s %s", whereOf(g, c), c.Says, clock(g, c.At), c.By)
	}
	return fmt.Sprintf("%s: %s %s, %s, %s %s", whereOf(g, c), c.Field, c.Value, c.Says, clock(g, c.At), c.By)
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
		return nil, refuse("of", "pick what is to be put right")
	}
	c := &cellar.Correct{Head: s.head(), Of: was.Of, Vessel: was.Vessel, Says: was.Says, Field: was.Field, Value: s.text("value"), Reason: s.text("reason")}
	switch values["how"] {
	case doStrike:
		c.Strike, c.Value = true, ""
	case doTime:
		c.Field, c.Value = "at", s.back("value").Format(time.RFC3339)
	default:
		if was.Field == cellar.WholeEntry {
			return nil, refuse("how", "it has no value: strike it out, or put its time right")
		}
		if c.Value == "" {
			return nil, refuse("value", "type what it should say; it says %s", was.Value)
		}
		c.Value = strings.TrimSpace(c.Value + " " + unitOf(was, values))
	}
	return s.done(c)
}

// correctLines show both sides, and which doses were reckoned on the old value.
func (k *desk) correctLines(list []cellar.Correctable, values map[string]string) []string {
	was, ok := chosen(list, values["of"])
	if !ok {
		return nil
	}
	g := k.look()
	if isGas(was) {
		return []string{fmt.Sprintf("%s, %s: a gas reading is struck out, not rewritten, and the air is read again. It stays in the list with the reason.", was.Place, was.Value)}
	}
	if was.Field == cellar.WholeEntry {
		return []string{fmt.Sprintf("%s, %s of %s stays in the list, with the reason", whereOf(g, was), was.Says, clock(g, was.At))}
	}
	stays := "stays beside what you type, with the reason"
	if values["how"] == doStrike {
		stays = "stays in the log, struck out, with the reason"
	}
	lines := []string{fmt.Sprintf("%s, %s: %s %s", whereOf(g, was), was.Field, was.Value, stays)}
	if was.By != g.Who {
		lines = append(lines, fmt.Sprintf("%s wrote it at %s, not you (%s)", was.By, clock(g, was.At), g.Who))
	}
	v, ok := g.State.Vessel(was.Vessel)
	if !ok || was.Field != "volume" {
		return lines
	}
	for _, it := range v.Account {
		if it.Dose != nil && !it.Struck && !it.At.Before(was.At) {
			lines = append(lines, fmt.Sprintf("look again at %s %s of %s: it was calculated on the old volume", it.Dose.Product, it.Dose.Drawn.Text(g.Units()), clock(g, it.At)))
		}
	}
	return lines
}
