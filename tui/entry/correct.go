package entry

import (
	"fmt"
	"time"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/tui/face"
	"cellar.example/mustwatch/tui/widget"
)

// What can be put right about an entry.
const (
	doValue  = "value"
	doTime   = "time"
	doStrike = "strike"
)

// lately is how many of the latest values are offered, as many as there are
// figures to pick them with; of the vessel under the cursor so many more.
const (
	lately = 9
	older  = 5
)

func openCorrect(k *desk) (*Entry, string) {
	list := k.correctables()
	if len(list) == 0 {
		return nil, "Nothing has been written yet that could be corrected."
	}
	g := k.look()
	var choices []widget.Choice
	for _, c := range list {
		choices = append(choices, widget.Choice{Label: short(correctLabel(g, c), 56), Value: correctKey(c)})
	}
	value := widget.Field{Name: "value", Label: "Now", Kind: widget.Words, Width: 20, Limit: 40, Optional: true}
	e := k.entry("Put an earlier entry right",
		widget.Field{Name: "of", Label: "Which", Choices: numbered(choices)},
		only(value, func(v map[string]string) bool { return v["how"] != doStrike }),
		widget.Field{Name: "reason", Label: "Reason", Kind: widget.Words, Value: "mistyped"},
		widget.Field{Name: "how", Label: "What is wrong", Optional: true, Value: doValue, Origin: "usual", Choices: []widget.Choice{
			{Key: 'v', Label: "the value", Value: doValue}, {Key: 't', Label: "the time", Value: doTime}, {Key: 's', Label: "strike it out", Value: doStrike}}},
	)
	e.Command = func(values map[string]string) (cellar.Command, error) { return k.correctCommand(list, values) }
	e.Form.Live = func(values map[string]string) []string { return k.correctLines(list, values) }
	about := ""
	k.follow = func(values map[string]string) {
		c, ok := chosen(list, values["of"])
		if !ok {
			return
		}
		was := about
		if about = values["of"] + " " + values["how"]; was != "" && was != about {
			k.form.Renew("value", "", "") // what was typed was about something else
		}
		switch {
		case isGas(c):
			k.form.Propose("how", doStrike, "never rewritten")
			return
		case c.Load != "":
			k.form.Propose("how", doValue, "usual")
		}
		old := c.Value
		if values["how"] == doTime {
			old = clock(k.look(), c.At)
		}
		k.form.Propose("value", old, "as it stands")
	}
	return e, ""
}

// correctables are the values of the load under the cursor, the latest of all, and
// after them earlier ones of the vessel under the cursor.
func (k *desk) correctables() []cellar.Correctable {
	s := k.look().State
	all := s.Correctables("")
	var out []cellar.Correctable
	seen := map[string]bool{}
	take := func(from []cellar.Correctable, most int, fits func(c cellar.Correctable) bool) {
		for _, c := range from {
			if most > 0 && !seen[correctKey(c)] && fits(c) {
				out, most = append(out, c), most-1
				seen[correctKey(c)] = true
			}
		}
	}
	if l := k.sub.Load; l != "" {
		take(all, lately, func(c cellar.Correctable) bool { return c.Load == l })
	}
	take(all, lately-len(out), func(c cellar.Correctable) bool {
		return c.Load == "" || c.Field == "gross" || c.Field == "tare" || c.Field == "net"
	})
	if k.sub.Vessel != "" {
		take(s.Correctables(k.sub.Vessel), older, func(cellar.Correctable) bool { return true })
	}
	return out
}

func correctKey(c cellar.Correctable) string {
	return fmt.Sprintf("%d %s%s %s", c.Of, c.Vessel, c.Load, c.Field)
}

func correctLabel(g face.Sight, c cellar.Correctable) string {
	if c.Load != "" {
		return fmt.Sprintf("load %s %s %s, %s %s", c.Load, c.Field, c.Value, clock(g, c.At), c.By)
	}
	if isGas(c) {
		return fmt.Sprintf("%s gas, %s, %s %s", c.Place, c.Value, clock(g, c.At), c.By)
	}
	return fmt.Sprintf("%s %s %s, %s, %s %s", whereOf(c), c.Field, c.Value, c.Says, clock(g, c.At), c.By)
}

func isGas(c cellar.Correctable) bool { return c.Place != "" && c.Load == "" }

// whereOf is the vessel or the place a value is about.
func whereOf(c cellar.Correctable) string {
	if c.Vessel == "" {
		return c.Place
	}
	return string(c.Vessel)
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
	c := &cellar.Correct{Head: s.head(), Of: was.Of, Vessel: was.Vessel, Field: was.Field, Value: s.text("value"), Reason: s.text("reason")}
	switch values["how"] {
	case doStrike:
		c.Strike, c.Value = true, ""
	case doTime:
		c.Field, c.Value = "at", s.back("value").Format(time.RFC3339)
	default:
		if c.Value == "" {
			return nil, refuse("value", "type what it should say; it says %s", was.Value)
		}
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
	lines := []string{fmt.Sprintf("%s %s: %s stays beside what you type, with the reason", was.Vessel, was.Field, was.Value)}
	v, ok := g.State.Vessel(was.Vessel)
	if !ok || was.Field != "volume" {
		return lines
	}
	for _, it := range v.Items {
		if it.Dose != nil && !it.Struck && !it.At.Before(was.At) {
			lines = append(lines, fmt.Sprintf("look again at %s %s of %s: it was reckoned on the old volume", it.Dose.Product, it.Dose.Drawn.Text(g.Units()), clock(g, it.At)))
		}
	}
	return lines
}
