package handover

import (
	"strings"
	"time"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/quantity"
)

// insides are the people of whom it was not written that they came out.
func (h *handover) insides() (out []told) {
	for _, in := range h.s.InVessels() {
		attends := "attendant " + h.name(in.Attendant)
		if !in.Alone.IsZero() {
			attends = "NO ATTENDANT since " + h.when(in.Alone)
		}
		out = append(out, h.tell(in.Since, in.Place, string(in.Who),
			"{person} WENT IN on permit {permit} issued by {issuer}, {attends}; not signed out.",
			h.name(in.Who), in.Number, in.Given, attends))
	}
	return out
}

// permits are those that were not handed back, those that have run out too.
func (h *handover) permits() (out []told) {
	for _, p := range h.s.Permits() {
		if !p.Ended.IsZero() {
			continue
		}
		attends := "attendant " + h.name(p.Attendant)
		if !h.s.Attended(p) {
			attends = "NO ATTENDANT"
		}
		text := h.say("permit {permit} issued by {issuer}: {person}, {attends}, until {time}", p.Number, p.Given,
			h.name(p.Holder), attends,
			h.when(p.Until))
		if !p.Live(h.now) {
			text += ". EXPIRED, not handed back"
		}
		out = append(out, h.tell(p.From, p.Place, "", "{text}.", text))
	}
	return out
}

// lives are the shift's entries into vessels, the air that said leave, and the
// head counts at which somebody was missing: over or not, the next lead hears it.
func (h *handover) lives() (out []told) {
	for _, x := range h.s.Stays() {
		if x.Out.IsZero() || !h.within(x.Out) {
			continue // who is still in stands under safety
		}
		if x.Taken != "" {
			out = append(out, h.tell(x.Since, x.Place, string(x.Who),
				"the entry of {person} on permit {permit} was taken back at {time} by {by}.", h.name(x.Who), x.Number,
				h.when(x.Out),
				h.name(x.Taken)))
			continue
		}
		out = append(out, h.tell(x.Since, x.Place, string(x.Who),
			"{person} was in it until {time} on permit {permit} issued by {issuer}, {watch}.",
			h.name(x.Who), h.when(x.Out), x.Number, x.Given, x.WatchWords(h.name, h.when)))
	}
	for _, g := range h.s.GasReadings() {
		if h.s.Leave(g) && !g.TakenBack && h.within(g.At) {
			out = append(out, h.tell(g.At, g.Place, string(g.By), "gas over the limit: {gas}.", g.Text()))
		}
	}
	for _, e := range h.s.PastEmergencies() {
		if h.within(e.Over) {
			out = append(out, h.tell(e.At, e.Where, string(e.By), "{what}, ended {time} by {person}: {how}.", e.What,
				h.when(e.Over),
				h.name(e.Ender), e.How))
		}
	}
	for _, c := range h.s.HeadCounts() {
		if len(c.Missing) > 0 && h.within(c.At) {
			out = append(out, h.tell(c.At, "crew", string(c.By), "{count}.", c.Text()))
		}
	}
	return out
}

// heads is the last head count of the shift, and who is on site now by what was
// written: who came since it stands apart, with the time, so that the number and the
// names can be held against one another.
func (h *handover) heads() []told {
	count, ok := h.s.LastCount()
	if !ok || !h.within(count.At) {
		return nil
	}
	text := h.say("head count {n}, ", len(count.Counted)+count.Others)
	if count.Others > 0 {
		text += h.say("{n} not crew, ", count.Others)
	}
	if len(count.Break) > 0 {
		text += cellar.Spaced(count.Break) + " on break, "
	}
	text += "none missing."
	if len(count.Missing) > 0 {
		text = count.Text() + "."
	}
	text += " On site: " + strings.Join(h.inNow(count.At), ", ")
	for _, who := range count.Counted {
		if _, here := h.s.Present(who); !here {
			text += "; gone: " + string(who)
		}
	}
	return []told{h.tell(count.At, "crew", string(count.By), "{text}.", text)}
}

// inNow are who is on site: who was at an instant in one, then each who came after.
func (h *handover) inNow(at time.Time) []string {
	var before, came []string
	for _, p := range h.s.OnSite() {
		who := string(p.Who)
		if p.In.After(at) {
			who += " since " + h.when(p.In)
		}
		if p.Break {
			who += " (break since " + h.when(p.Since) + ")"
		}
		if p.In.After(at) {
			came = append(came, who)
		} else {
			before = append(before, who)
		}
	}
	if len(before) > 0 {
		came = append([]string{strings.Join(before, " ")}, came...)
	}
	if len(came) == 0 {
		return []string{"nobody"}
	}
	return came
}

// gasRead are the last readings of each place in the shift, with the meter and
// how old they are. None of them tells what is there now, nor what will be there
// when somebody goes in.
func (h *handover) gasRead() (out []told) {
	for _, g := range h.s.GasPlaces(h.from) {
		age := h.now.Sub(g.At).Truncate(time.Minute)
		says, old := g.Text(), h.say(", read {length} ago", quantity.Span(age))
		switch {
		case h.s.Leave(g):
			old += ". " + cellar.GasLeave
		case age < time.Minute:
			old = ". Read again before anybody goes in."
		case age <= cellar.GasStandsFor:
			old = h.say(", {length} before this sheet. Read again before anybody goes in.", quantity.Span(age))
		default:
			old += ": read again."
		}
		// the worst of the shift stands beside the latest: its age is in the column of times
		if w, ok := h.s.GasWorst(g.Place, h.from); ok && w.Seq != g.Seq && !w.Same(g) {
			worst := h.say("; {time} {air}. ", h.when(w.At), w.Air())
			if says, old = g.Air()+worst, "Read again."; h.s.Leave(g) {
				old = cellar.GasLeave
			}
		}
		out = append(out, h.tell(g.At, g.Place, string(g.By), "{air}{age}", says, old))
	}
	return out
}
