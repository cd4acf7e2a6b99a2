package cellar

import (
	"fmt"
	"time"

	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/sheet"
)

// insides are the people of whom it was not written that they came out.
func (h *handover) insides() (out []sheet.Row) {
	for _, in := range h.s.inside {
		out = append(out, sheet.Row{When: h.when(in.Since), Where: in.Place, Who: string(in.Who),
			What: fmt.Sprintf("%s WENT IN by permit %s of %s, attendant %s; not written out.", h.name(in.Who), in.Number, in.Given, h.name(in.Attendant))})
	}
	return out
}

// permits are those that were not handed back, those that have run out too.
func (h *handover) permits() (out []sheet.Row) {
	for _, p := range h.s.permits {
		if !p.Ended.IsZero() {
			continue
		}
		text := fmt.Sprintf("permit %s of %s: %s, attendant %s, until %s", p.Number, p.Given, h.name(p.Holder), h.name(p.Attendant), h.when(p.Until))
		if !p.Live(h.now) {
			text += ". RUN OUT, not handed back"
		}
		out = append(out, sheet.Row{When: h.when(p.From), Where: p.Place, What: text + "."})
	}
	return out
}

// lives are the shift's entries into vessels, the air that said leave, and the
// head counts at which somebody was missing: over or not, the next lead hears it.
func (h *handover) lives() (out []told) {
	for _, x := range h.s.stays {
		if x.Out.IsZero() || !h.within(x.Out) {
			continue // who is still in stands under safety
		}
		out = append(out, h.tell(x.Since, x.Place, string(x.Who), "%s was in it to %s by permit %s of %s, attendant %s.", h.name(x.Who), h.when(x.Out), x.Number, x.Given, h.name(x.Attendant)))
	}
	for _, g := range h.s.gas {
		if g.Leave() && !g.Struck && h.within(g.At) {
			out = append(out, h.tell(g.At, g.Place, string(g.By), "the air said leave: %s.", g.Text()))
		}
	}
	for _, c := range h.s.counts {
		if len(c.Missing) > 0 && h.within(c.At) {
			out = append(out, h.tell(c.At, "crew", string(c.By), "%s.", c.Text()))
		}
	}
	return out
}

// heads is the last head count of the shift, and who is on site since by what
// was written.
func (h *handover) heads() []sheet.Row {
	count, ok := h.s.LastCount()
	if !ok || !h.within(count.At) {
		return nil
	}
	text := fmt.Sprintf("head count %d, none missing.", len(count.Counted)+count.Others)
	if len(count.Missing) > 0 {
		text = count.Text() + "."
	}
	text += " In now:"
	for _, p := range h.s.site {
		text += " " + string(p.Who)
		if p.Break {
			text += " (break since " + h.when(p.Since) + ")"
		}
	}
	return []sheet.Row{{When: h.when(count.At), Where: "crew", What: text + ".", Who: string(count.By)}}
}

// gasRead are the last readings of each place in the shift, with the meter and
// how old they are. None of them tells what is there now.
func (h *handover) gasRead() (out []sheet.Row) {
	for _, g := range h.s.gasPlaces(h.from) {
		age := quantity.Span(h.now.Sub(g.At).Truncate(time.Minute))
		text := g.Text() + ", " + age.String() + " old: read again."
		if g.Leave() {
			text = g.Text() + ", " + age.String() + " old. " + gasLeave
		}
		out = append(out, sheet.Row{When: h.when(g.At), Where: g.Place, What: text, Who: string(g.By)})
	}
	return out
}
