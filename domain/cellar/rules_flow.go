package cellar

import (
	"fmt"
	"slices"
	"time"

	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/stage"
	"cellar.example/mustwatch/domain/subject"
)

// unclean is H02: grapes, must or press juice go only into a clean vessel
// or onto the open lot they belong to.
func (t inflows) unclean(d *decision) (out []gate.Finding) {
	for _, in := range t {
		v := in.vessel
		g := v.Now.Stage
		if g == stage.Clean || v.SameLot(in.from, in.loads, in.variety) || in.running && !g.Empty() {
			continue
		}
		msg := fmt.Sprintf("%s is %s.", v.Plate, g)
		if !g.Empty() {
			msg = fmt.Sprintf("%s holds %s %s, closed.", v.Plate, v.Now.Volume.Text(d.s.House.Units), v.Now.Name())
		}
		out = append(out, gate.Finding{Of: v.Ref(), Field: in.field, Message: msg + " Clean vessel or the same open lot.", Right: gate.Lead, Reason: true})
	}
	return out
}

// SameLot reports whether what comes belongs to what is in a vessel: a fraction or
// pallet vessel, and a tank that still fills, is one open lot until it is closed, for
// juice of its own grapes; and juice of the very loads that are in it does.
func (v *Vessel) SameLot(from subject.Ref, loads []LoadID, variety string) bool {
	if v.Now.Stage.Empty() {
		return false
	}
	if variety != "" && v.Use != stage.UseLees && v.Now.Volume > 0 && !v.Now.isOf(variety) {
		return false
	}
	return v.Now.Open || v.Use == stage.UseFraction || v.Use == stage.UsePallet || v.Use == stage.UseLees || v.Now.Source == from || sameLoads(v.Now.Parts, loads)
}

// isOf tells whether a content is of some grapes: by its main variety, or where it
// was named by hand by any of its parts. Where nobody knows, it may be.
func (c *Content) isOf(variety string) bool {
	if c.Title == "" {
		return c.Variety() == variety || c.Variety() == ""
	}
	return c.Title == variety || slices.ContainsFunc(c.Parts, func(p Part) bool { return p.Variety == variety })
}

func sameLoads(parts []Part, loads []LoadID) bool {
	for _, p := range parts {
		if !slices.Contains(loads, p.Load) {
			return false
		}
	}
	return len(parts) > 0
}

// overLimit is a content beside the working limit, each in hectolitres or gallons
// and in per cent of the brim.
func (v *Vessel) overLimit(holds quantity.Volume, sys quantity.System) string {
	volume, limit := holds.Beside(v.Limit(), sys)
	share, most := fillOf(holds, v.Brim).Beside(quantity.Percent(v.LimitPct))
	return fmt.Sprintf("%s, %s; its limit is %s (%s)", volume, share, limit, most)
}

func fillOf(v, brim quantity.Volume) quantity.Percent {
	return quantity.Percent(100 * float64(v) / float64(max(brim, 1)))
}

// tooFull is H06: after the move no vessel stands above its working limit;
// the lead may go to 98 % of the brim, nobody higher.
func (t inflows) tooFull(d *decision) (out []gate.Finding) {
	lim := d.s.House.Limits
	for _, in := range t {
		v := in.vessel
		after := hotVolume(v.Now.Volume+in.volume, in)
		if in.volume <= 0 || after <= v.Limit() {
			continue
		}
		f := gate.Finding{Of: v.Ref(), Field: in.field, Right: gate.Lead, Reason: true}
		f.Message = fmt.Sprintf("%s would hold %s.", v.Plate, v.overLimit(after, d.s.House.Units))
		if float64(after) > float64(v.Brim)*max(lim.MaxFillLead, v.LimitPct)/100 {
			f.Right = gate.Nobody
			is, most := fillOf(after, v.Brim).Beside(quantity.Percent(max(lim.MaxFillLead, v.LimitPct)))
			f.Message += fmt.Sprintf(" Above %s nobody may fill it; that is %s.", most, is)
		}
		out = append(out, f)
	}
	return out
}

func percent(a, b quantity.Volume) string {
	return fmt.Sprintf("%d %%", int(float64(a)/float64(b)*100+0.5))
}

// otherLot is H11.
func (t *moveTry) otherLot(d *decision) (out []gate.Finding) {
	for _, in := range t.inflows {
		v := in.vessel
		if v.Use == stage.UseLees || in.lees && v.Use == stage.UseLees {
			continue
		}
		msg := ""
		switch g := v.Now.Stage; {
		case v.Hold != nil:
			msg = fmt.Sprintf("%s is on hold: %s.", v.Plate, v.Hold.Reason)
		case g == stage.OutOfUse || g == stage.Cleaning || g == stage.Dirty:
			msg = fmt.Sprintf("%s is %s.", v.Plate, g)
		case !g.Empty() && !v.SameLot(in.from, in.loads, in.variety) && !t.move.Blend:
			msg = fmt.Sprintf("%s holds %s %s. Say blend if that is meant.", v.Plate, v.Now.Volume.Text(d.s.House.Units), v.Now.Name())
		}
		if msg != "" {
			out = append(out, gate.Finding{Of: v.Ref(), Field: in.field, Message: msg, Right: gate.Lead, Reason: true})
		}
	}
	return out
}

// onHold is H15: nothing leaves a vessel on hold, and nothing is done to it.
func (d *decision) onHold(v *Vessel, field string) []gate.Finding {
	if v.Hold == nil {
		return nil
	}
	h := v.Hold
	return []gate.Finding{{Field: field, Right: gate.Releaser, Person: string(h.Releaser), Reason: true,
		Message: fmt.Sprintf("%s is on hold since %s by %s: %s. %s releases it.", v.Plate, d.s.Clock(h.At), h.By, h.Reason, h.Releaser)}}
}

func (t *doseTry) onHold(d *decision) []gate.Finding { return d.onHold(t.of, "product") }

// tooSoon is D04, a rule of our own: racked while a clock says not before.
func (d *decision) tooSoon(v *Vessel, field string) []gate.Finding {
	k := firstNotBefore(d.s.clocksAt(v.Ref(), d.at))
	if k == nil || !d.at.Before(k.Due) || k.Kind == KindSkin { // skins have their own rule, W04
		return nil
	}
	return []gate.Finding{{Field: field, Right: gate.Anyone, Asked: true,
		Message: fmt.Sprintf("%s: %s not before %s (%s).", v.Plate, k.Verb, d.s.Clock(k.Due), k.Basis)}}
}

// hotVolume is what a volume of hot must takes up: about 0.045 % more for each
// degree above 20 °C (vector C17 of the reckoning notes). Other things are taken
// at the volume they were measured at.
func hotVolume(v quantity.Volume, in inflowTry) quantity.Volume {
	if in.kind != stage.HotMust {
		return v
	}
	temp := quantity.Celsius(hotMustAt)
	if in.temp != nil {
		temp = *in.temp
	}
	return quantity.Volume(float64(v) * (1 + 0.00045*max(0, float64(temp-20))))
}

// hotMustAt is how hot must is taken to be when nobody has read it.
const hotMustAt = 68

// wrongKind is H03. Lees vessels take lees of anything.
func (t inflows) wrongKind(d *decision) (out []gate.Finding) {
	for _, in := range t {
		v := in.vessel
		if !in.kind.Flows() || in.kind.GoesInto(v.Use) || v.Use == stage.UseLees && in.lees {
			continue
		}
		out = append(out, gate.Finding{Of: v.Ref(), Field: in.field, Right: gate.Lead, Reason: true,
			Message: fmt.Sprintf("%s is a vessel for %s; %s does not go there.", v.Plate, v.Use, in.kind) + d.s.meantTwin(v, in.kind)})
	}
	return out
}

// hotPress is H14: no word lifts it, for the membrane and the hands.
func (t *moveTry) hotPress(d *decision) []gate.Finding {
	if t.press == nil {
		return nil
	}
	if t.content.Last.Temp == nil {
		if t.content.Kind != stage.HotMust {
			return nil
		}
		return []gate.Finding{{Field: "to", Right: gate.Nobody, Message: fmt.Sprintf("Nobody has read the hot must of %s as it is now: read it before it goes into %s.", t.out.Plate, t.press.Plate)}}
	}
	if limit, temp := d.s.House.Limits.PressHot, *t.content.Last.Temp; temp > limit {
		is, most := temp.Beside(limit, d.s.House.Units)
		return []gate.Finding{{Field: "to", Right: gate.Nobody, Message: fmt.Sprintf("%s is too hot for %s; cool it to %s or below.", is, t.press.Plate, most)}}
	}
	return nil
}

// skinsOver is W05, asked when the juice begins to leave the skins.
func (d *decision) skinsOver(v *Vessel, field string) []gate.Finding {
	for _, k := range d.s.ClocksOf(v.Ref()) {
		if k.Kind == KindSkin && k.DueKind == NotAfter && d.at.After(k.Due) {
			return []gate.Finding{{Field: field, Right: gate.Anyone,
				Message: fmt.Sprintf("The skins of %s were to be drained by %s, %s ago.", v.Plate, d.s.Clock(k.Due), quantity.Span(d.at.Sub(k.Due).Truncate(time.Minute)))}}
		}
	}
	return nil
}

// farApart is W08: the first juice settles or starts while the next one
// comes.
func (t inflows) farApart(d *decision) (out []gate.Finding) {
	for _, in := range t {
		if u := in.vessel.Use; !in.running || in.volume <= 0 || u == stage.UseFraction || u == stage.UsePallet {
			continue // small tanks gather fractions as they come
		}
		for _, p := range in.vessel.Now.Parts {
			was, ok := d.s.Load(p.Load)
			if !ok || slices.Contains(in.loads, p.Load) {
				continue
			}
			for _, id := range in.loads {
				if l, ok := d.s.Load(id); ok && l.Arrived.Sub(was.Arrived) > 3*time.Hour {
					out = append(out, gate.Finding{Of: was.Ref(), Field: in.field, Right: gate.Anyone,
						Message: fmt.Sprintf("%s holds juice of load %s, which came %s earlier than %s.", in.vessel.Plate, was.ID, quantity.Span(l.Arrived.Sub(was.Arrived).Truncate(time.Minute)), l.ID)})
				}
			}
		}
	}
	return out
}

// oddLees is W13, for rackings off settled or floated juice. Where the balance
// asks already, W15, the lees are part of that question.
func (t *moveTry) oddLees(d *decision) []gate.Finding {
	says := t.leesSay(d)
	if says == "" || len(t.imbalance(d)) > 0 {
		return nil
	}
	return []gate.Finding{{Field: "lees", Right: gate.Anyone, Message: says + " Stirred up, racked too early, or misread?"}}
}

// leesSay says that the lees of a racking are not what is usual, "" where they are.
func (t *moveTry) leesSay(d *decision) string {
	if t.move.Part || t.content.Stage != stage.Settling && t.content.Stage != stage.CapRise && t.content.Stage != stage.Flotation {
		return ""
	}
	lees := quantity.Volume(0)
	if t.move.Lees != nil {
		lees = t.move.Lees.Volume
	}
	share := float64(lees) / float64(max(1, t.move.Sum()))
	switch {
	case share >= 0.02 && share <= 0.12:
		return ""
	case lees == 0:
		return fmt.Sprintf("No lees are written off %s; 2 to 12 %% is usual.", t.out.Plate)
	}
	return fmt.Sprintf("Lees of %s are %.1f %% of what leaves %s; 2 to 12 %% is usual.", lees.Text(d.s.House.Units), 100*share, t.out.Plate)
}

// The loss of a move from which it is asked about; below a sixth of the volume,
// half a hectolitre, it is what hoses hold (common practice, no source).
const (
	mostLoss      = 3 * quantity.Hectolitre
	mostLossShare = 0.015
)

// imbalance is W15, for what has happened: planned moves must balance.
func (t *moveTry) imbalance(d *decision) []gate.Finding {
	u := d.s.House.Units
	ask := func(asked bool, format string, args ...any) []gate.Finding {
		f := gate.Finding{Field: "loss", Right: gate.Anyone, Asked: asked, Message: fmt.Sprintf(format, args...)}
		if lees := t.leesSay(d); lees != "" {
			f.Message += " " + lees
		}
		return []gate.Finding{f}
	}
	if loss := t.move.Loss; loss > mostLoss || loss > mostLoss/6 && float64(loss) >= (mostLossShare+0.0005)*float64(t.move.Sum()) {
		return ask(false, "A loss of %s is %.1f %% of what leaves %s. Where is it?", loss.Text(u), 100*float64(loss)/float64(t.move.Sum()), t.out.Plate)
	}
	if more := t.move.Sum() - t.content.Volume; more >= quantity.Litre && (t.move.Part || !unbalanced(t.content.Volume, t.move.Sum())) {
		return ask(true, "%s holds %s by the ledger; %s more than that leaves it. Where does it come from?", t.out.Plate, t.content.Volume.Full(u), more.Full(u))
	}
	if t.move.Part {
		return nil
	}
	if !unbalanced(t.content.Volume, t.move.Sum()) {
		return nil
	}
	off := max(t.content.Volume-t.move.Sum(), t.move.Sum()-t.content.Volume)
	return ask(true, "%s of %s are not accounted for.", off.Text(u), t.content.Volume.Text(u))
}

// unbalanced reports whether what left an emptied vessel is too far from what it held
// for a dip stick to explain.
func unbalanced(held, left quantity.Volume) bool {
	off := max(held-left, left-held)
	return off > balanceSlack && float64(off) > 0.01*float64(held)
}

// staleClean is W19.
func (t inflows) staleClean(d *decision) (out []gate.Finding) {
	for _, in := range t {
		c := &in.vessel.Now
		if until, ok := d.s.CleanUntil(in.vessel); ok && d.at.After(until) {
			age := d.at.Sub(c.CleanSince)
			out = append(out, gate.Finding{Of: in.vessel.Ref(), Field: in.field, Right: gate.Anyone,
				Message: fmt.Sprintf("%s was cleaned %s ago: rinse it again.", in.vessel.Plate, quantity.Span(age.Truncate(time.Hour)))})
		}
	}
	return out
}

// hotFull is W22.
func (t inflows) hotFull(d *decision) (out []gate.Finding) {
	for _, in := range t {
		if in.kind != stage.HotMust || in.volume <= 0 {
			continue
		}
		if after := hotVolume(in.vessel.Now.Volume+in.volume, in); float64(after) > 0.9*float64(in.vessel.Brim) {
			out = append(out, gate.Finding{Of: in.vessel.Ref(), Field: in.field, Right: gate.Anyone,
				Message: fmt.Sprintf("%s would stand at %s hot, %s: mind the expansion.", in.vessel.Plate, after.Text(d.s.House.Units), percent(after, in.vessel.Brim))})
		}
	}
	return out
}

// unready is D20, a rule of our own: the tank still fills, is in contact, its
// check or its flotation runs. What the board says of it must not be otherwise at the valve.
func (t *moveTry) unready(d *decision) []gate.Finding {
	_, why := d.s.unready(t.out, t.content, d.at)
	if why == "" {
		return nil
	}
	return []gate.Finding{{Field: "from", Right: gate.Anyone, Asked: true, Message: fmt.Sprintf("%s is not ready to move: %s.", t.out.Plate, why)}}
}
