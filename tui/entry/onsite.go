package entry

import (
	"slices"
	"strings"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/tui/widget"
)

// What is said of somebody on site: at the end of a shift, and at a head count.
const (
	siteLeaves  = "leaves"
	siteStays   = "stays"
	siteSeen    = "seen"
	siteNot     = "not counted"
	siteGone    = "gone"
	siteMissing = "missing"
)

// siteOf begins the name of the field of one person, as the cellar refuses at it.
const (
	outOf  = "out "
	seenOf = "saw "
)

// leaving asks of each person on site whether they leave with the shift. Nobody leaves who is
// not ticked, and who may be inside or is missing cannot be.
func (k *desk) leaving() (fields []widget.Field) {
	g := k.look()
	for _, p := range g.State.OnSite() {
		f := widget.Field{Name: outOf + string(p.Who), Label: string(p.Who), Optional: true,
			Hint: "leaves? blank = stays",
			Choices: []widget.Choice{{Key: 'y', Label: "leaves the site", Value: siteLeaves},
				{Key: 'n', Label: "stays on site", Value: siteStays}}}
		if why := g.State.StaysBy(p.Who, g.Now); !why.IsZero() {
			f.Value, f.Origin, f.Choices = siteStays, g.State.Words(why), f.Choices[1:]
		}
		fields = append(fields, only(f, func(v map[string]string) bool {
			return v["do"] == doEnd && !strings.EqualFold(strings.TrimSpace(v["to"]), string(p.Who))
		}))
	}
	return fields
}

// leave are those who are ticked as leaving.
func (k *desk) leave(values map[string]string) (who []cellar.Initials) {
	for _, p := range k.look().State.OnSite() {
		if values[outOf+string(p.Who)] == siteLeaves {
			who = append(who, p.Who)
		}
	}
	return who
}

// siteLines name who stays on the list when the shift ends, and what waits for who goes.
func (k *desk) siteLines(values map[string]string) (out []string) {
	if values["do"] != doEnd {
		return nil
	}
	g := k.look()
	goes := k.leave(values)
	var stay []cellar.Initials
	for _, p := range g.State.OnSite() {
		if !slices.Contains(goes, p.Who) {
			stay = append(stay, p.Who)
		}
	}
	if len(goes) > 0 {
		out = append(out, say(g, "leave the site: {who}", cellar.Spaced(goes)))
	}
	if len(stay) > 0 {
		out = append(out, say(g, "stay on the list of who is on site: {who}", cellar.Spaced(stay)))
	}
	for _, who := range goes {
		if len(g.State.WaitsFor(who)) > 0 {
			out = append(out, k.waits(who)+say(g, " (z t hands it on, if {who} does not come back)", who))
		}
	}
	return out
}

// counting asks of each person on site whether they were seen. None stands on yes before
// somebody says so; who has been on no shift for a day may have left before.
func (k *desk) counting() (fields []widget.Field) {
	g := k.look()
	asked := g.State.Forgotten(g.Now)
	for _, p := range g.State.OnSite() {
		f := widget.Field{Name: seenOf + string(p.Who), Label: string(p.Who), Optional: true,
			Choices: []widget.Choice{{Key: 'y', Label: "seen", Value: siteSeen}, {Key: 'n', Label: "not counted",
				Value: siteNot}}}
		if slices.ContainsFunc(asked, func(x cellar.Presence) bool { return x.Who == p.Who }) {
			f.Hint = "still here?"
			f.Choices = []widget.Choice{f.Choices[0], {Key: 'g', Label: "left before, not signed out", Value: siteGone},
				{Key: 'm', Label: "missing", Value: siteMissing}}
		}
		fields = append(fields, only(f, on("what", crewCount)))
	}
	return fields
}

// heads is the head count that was ticked, with who else was typed.
func (s *slip) heads() *cellar.CountHeads {
	c := &cellar.CountHeads{Head: s.head(), Others: s.whole("others"), Note: s.text("note")}
	for _, p := range s.g.State.OnSite() {
		switch s.v[seenOf+string(p.Who)] {
		case siteSeen:
			c.Counted = append(c.Counted, p.Who)
		case siteGone:
			c.Gone = append(c.Gone, p.Who)
		case siteMissing:
			c.Missing = append(c.Missing, p.Who)
		}
	}
	for _, who := range s.people("counted") {
		if !slices.Contains(c.Counted, who) {
			c.Counted = append(c.Counted, who)
		}
	}
	return c
}
