package entry

import (
	"errors"
	"maps"
	"slices"
	"strings"
	"time"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/subject"
	"cellar.example/mustwatch/domain/text"
	"cellar.example/mustwatch/tui/cell"
	"cellar.example/mustwatch/tui/face"
	"cellar.example/mustwatch/tui/widget"
)

// desk is what a form is filled in at: how to see the cellar, what the form is
// about, and what the form has proposed.
type desk struct {
	look    func() face.Sight
	sub     face.Subject
	with    Gathered
	form    *widget.Form
	first   string // name of the first field
	offered map[string]string
	follow  func(values map[string]string)
}

// entry starts an entry with its form. Cautions and live lines are added by the
// opener.
func (k *desk) entry(title string, fields ...widget.Field) *Entry {
	k.form, k.first = widget.NewForm(title, fields...), fields[0].Name
	return &Entry{Form: k.form}
}

// vessel is the vessel the form is about.
func (k *desk) vessel() (*cellar.Vessel, bool) { return k.look().State.Vessel(k.sub.Vessel) }

// press is the press the form is about.
func (k *desk) press() (*cellar.Press, bool) { return k.look().State.Press(k.sub.Press) }

// offer proposes a value that means "as the house or the ledger has it": handed
// in unchanged it is not taken for something typed. A command then carries
// nothing there, and the cellar uses its own exact number.
func (k *desk) offer(name, value, origin string) {
	value = quantity.ToType(value)
	k.offered[name] = value
	k.form.Propose(name, value, origin)
}

// notes are the warnings under the fields: what the cellar's rules would say to
// the command as it stands, without writing it. What cannot be read yet is left
// alone, for the person is still typing; a refusal is only shown at a field that
// has been filled in.
func (k *desk) notes(command func(map[string]string) (cellar.Command, error),
	values map[string]string) map[string][]string {
	c, err := command(values)
	if err != nil || c == nil {
		return nil
	}
	g := k.look()
	_, err = cellar.Decide(g.State, c, g.Now)
	return k.said(err, values)
}

// said sorts what a decision said to the fields.
func (k *desk) said(err error, values map[string]string) map[string][]string {
	var needs *cellar.Needs
	var rej *cellar.Rejection
	out := map[string][]string{}
	switch {
	case errors.As(err, &needs):
		for _, f := range needs.Findings {
			at := k.place(f, values)
			way := wayOn(f)
			if f.Field == cellar.SeenField && values[f.Field] == "" {
				way = "[Enter, then type the number]"
			}
			out[at] = append(out[at], string(f.Rule)+" "+needs.Message(f)+" "+way)
		}
	case errors.As(err, &rej):
		if at := OwnField(rej.Field); values[at] != "" {
			out[at] = []string{rej.Message()}
		}
	}
	return out
}

// wayOn is the key that answers a rule, with whose word it wants.
func wayOn(f gate.Finding) string {
	who := string(f.Right)
	switch f.Right {
	case gate.Nobody:
		return "[no override]"
	case gate.Anyone:
		return "[Enter asks; g there goes on]"
	case gate.Releaser, gate.Ends:
		who = f.WhoMay()
	}
	if f.Second {
		who += " and a second person"
	}
	return "[Enter asks; g there overrides: " + who + "]"
}

// OwnField is the field of a form at which a refusal belongs: that of a batch names its
// line first, and the line of the form is the last.
func OwnField(field string) string {
	if _, own, ok := strings.Cut(field, "]."); ok {
		return own
	}
	return field
}

// place is the field a finding is shown under. A finding about one of several
// vessels stands under that one. What belongs to no field of the form is shown
// under the first.
func (k *desk) place(f gate.Finding, values map[string]string) string {
	// said where the eye is, as long as it is not answered
	if f.Field == cellar.SeenField && values[cellar.SeenField] == "" {
		for _, name := range []string{"to", "to2", "to3"} {
			if p := values[name]; f.Of == subject.Of(subject.Vessel, p) {
				return name
			}
		}
		return k.first
	}
	for _, name := range []string{"to", "to2", "to3", "lees"} {
		if p := values[name]; f.Field == "to" && f.Of == subject.Of(subject.Vessel, p) {
			return name
		}
	}
	if _, shown := values[f.Field]; shown {
		return f.Field
	}
	return k.first
}

// follows puts into words what the clocks would do if the command were written
// now, and what else would be another wherever it reaches; nothing when it would not be.
func (k *desk) follows(command func(map[string]string) (cellar.Command, error),
	values map[string]string) (out []string) {
	for _, x := range k.changes(command, values) {
		out = append(out, x.says)
	}
	return out
}

// change is one thing that would be another, and of what.
type change struct {
	of   subject.Ref
	says string
}

func (k *desk) changes(command func(map[string]string) (cellar.Command, error),
	values map[string]string) (out []change) {
	c, err := command(values)
	if err != nil || c == nil {
		return nil
	}
	g := k.look()
	clocks, effects, err := g.State.Foresee(c, g.Now)
	if err != nil {
		return nil
	}
	for i, x := range effects {
		if i > 0 && effects[i-1].Vessel == x.Vessel {
			out[len(out)-1].says += "; " + x.Say()
			continue
		}
		out = append(out, change{subject.Of(subject.Vessel, x.Vessel), say(g, "{tank}: {change}", x.Vessel, x.Say())})
	}
	for _, f := range clocks {
		name, says := g.State.NameOf(f.Subject), ""
		switch {
		case f.Was.IsZero():
			says = say(g, "clock: {of} {verb} {by}{time} ({basis})", name, f.Verb, dueWord(f.DueKind), clock(g, f.Due),
				f.Basis)
		case f.Due.IsZero():
			says = say(g, "clock: {of} {verb} {time} ends", name, f.Verb, clock(g, f.Was))
		default:
			says = say(g, "clock: {of} {verb} {was} → {time} ({basis})", name, f.Verb, clock(g, f.Was), clock(g, f.Due),
				f.Basis)
		}
		out = append(out, change{f.Subject, says})
	}
	return out
}

// elsewhere puts into words what a command would do to vessels and presses that it says
// nothing of: where the juice has gone since.
func (k *desk) elsewhere(command func(map[string]string) (cellar.Command, error), values map[string]string,
	named ...string) (out []string) {
	for _, x := range k.changes(command, values) {
		if x.of.Kind != subject.Vessel && x.of.Kind != subject.Press || !slices.Contains(named, x.of.Name) {
			out = append(out, x.says)
		}
	}
	return out
}

// with is a copy of typed values with one of them replaced.
func with(values map[string]string, field, value string) map[string]string {
	out := maps.Clone(values)
	out[field] = value
	return out
}

func dueWord(d cellar.DueKind) string {
	switch d {
	case cellar.NotBefore:
		return "not before "
	case cellar.NotAfter:
		return "by "
	}
	return ""
}

// clock puts an instant as the cellar says it.
func clock(g face.Sight, t time.Time) string { return face.Clock(t, g.Now, g.State.Zone()) }

// vol puts a volume in the house's units.
func vol(g face.Sight, v quantity.Volume) string { return v.Text(g.Units()) }

// bare says a volume as it is typed: without the unit that stands behind the
// field, so that it can be mended with a single stroke.
func bare(g face.Sight, v quantity.Volume) string {
	return strings.TrimSuffix(strings.TrimSuffix(vol(g, v), " hL"), " gal")
}

// bareTemp is the same for a temperature.
func bareTemp(g face.Sight, c quantity.Celsius) string {
	text, _, _ := strings.Cut(c.Text(g.Units()), " ")
	return text
}

// initials lists who is on the house's list of people.
func initials(s *cellar.State) string {
	var all []string
	for _, p := range s.House.People {
		all = append(all, string(p.Initials))
	}
	return strings.Join(all, " ")
}

// short cuts a label to a width without padding it.
func short(s string, w int) string {
	if cell.Width(s) <= w {
		return s
	}
	return cell.Fit(s, w)
}

// placeKeys are the keys of numbered choices: figures first, then letters.
var placeKeys = []rune("123456789abcdefghijklmnopqrstuvwxyz")

// numbered makes choices picked by their place.
func numbered(choices []widget.Choice) []widget.Choice {
	for i := range choices {
		if i < len(placeKeys) {
			choices[i].Key = placeKeys[i]
		}
	}
	return choices
}

// say makes a sentence of a template and its values, in the units and the zone of the house.
func say(g face.Sight, template string, values ...any) string {
	return g.State.Words(text.Of(template, values...))
}

// refuse says what was wrong, where, and what to type instead: a template and its values.
func refuse(field, template string, values ...any) *cellar.Rejection {
	return &cellar.Rejection{Code: "read", Field: field, Say: text.Of(template, values...)}
}
