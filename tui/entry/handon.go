package entry

import (
	"strings"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/tui/widget"
)

// crewHands is the entry that hands on what waits for somebody.
const crewHands = "hand on"

// mostHanded is how many things of one person are asked about by themselves; what there is
// beyond goes with the rest.
const mostHanded = 12

// handOf begins the name of the field that asks to whom one thing goes.
const handOf = "hand "

// handFields ask to whom goes what waits for a person: all of it to one, or each by itself.
func (k *desk) handFields() []widget.Field {
	g := k.look()
	hands := on("what", crewHands)
	to := k.people("to", "To", "who gets all of it, or the rest")
	out := []widget.Field{only(to, hands)}
	for _, p := range g.State.House.People {
		for i, w := range g.State.WaitsFor(p.Initials) {
			if i == mostHanded {
				break
			}
			f := k.people(handOf+w.Of, w.Of, short(g.State.Words(w.What), 40)+"; blank = as above")
			out = append(out, only(f, func(v map[string]string) bool { return hands(v) && k.whose(v) == p.Initials }))
		}
	}
	return out
}

// whose is the person that a crew entry is about: who is typed, or who is at the keys.
func (k *desk) whose(values map[string]string) cellar.Initials {
	if who := strings.ToUpper(strings.TrimSpace(values["who"])); who != "" {
		return cellar.Initials(who)
	}
	return k.look().Who
}

func (s *slip) handOn() *cellar.HandOn {
	c := &cellar.HandOn{Head: s.head(), Who: s.who("who"), To: s.who("to"), Reason: s.text("note")}
	for _, w := range s.g.State.WaitsFor(s.k.whose(s.v)) {
		if to := s.who(handOf + w.Of); to != "" {
			c.Each = append(c.Each, cellar.Handing{Of: w.Of, To: to})
		}
	}
	return c
}

// waits lists what waits for a person, for the form of who goes.
func (k *desk) waits(who cellar.Initials) string {
	g := k.look()
	all := g.State.WaitsFor(who)
	if len(all) == 0 {
		return say(g, "nothing waits for {who}", who)
	}
	var out []string
	for i, w := range all {
		if i == 4 {
			out = append(out, say(g, "and {n} more", len(all)-i))
			break
		}
		out = append(out, g.State.Words(w.What))
	}
	return say(g, "waits for {who}: {list}", who, strings.Join(out, " · "))
}
