package cellar

import (
	"fmt"
	"slices"
	"time"

	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/stage"
	"cellar.example/mustwatch/domain/subject"
	"cellar.example/mustwatch/domain/text"
)

var (
	notClean = text.New("not-clean", "{tank} is {stage}.",
		"Use a clean vessel or the same open lot.")
	holdsClosed = text.New("holds-closed", "{tank} holds {volume} {juice}, closed.",
		"Use a clean vessel or the same open lot.")
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
		says := notClean.Say(v.Number, g)
		if !g.Empty() {
			says = holdsClosed.Say(v.Number, v.Now.Volume, v.Now.Called())
		}
		out = append(out, gate.Finding{Of: v.Ref(), Field: in.field, Say: says, Right: gate.Lead, Reason: true})
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
	return v.Now.Open || v.Use == stage.UseFraction || v.Use == stage.UsePallet || v.Use == stage.UseLees ||
		v.Now.Source == from || sameLoads(v.Now.Parts, loads)
}

// isOf reports whether a content is of some grapes: by its main variety, or where it
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
var overLimitSays = text.New("over-limit", "{volume}, {share}; its limit is {limit} ({most})")

func (v *Vessel) overLimit(holds quantity.Volume, sys quantity.System) text.Say {
	volume, limit := holds.Beside(v.Limit(), sys)
	share, most := fillOf(holds, v.Brim).Beside(quantity.Percent(v.LimitPct))
	return overLimitSays.Say(volume, share, limit, most)
}

func fillOf(v, brim quantity.Volume) quantity.Percent {
	return quantity.Percent(100 * float64(v) / float64(max(brim, 1)))
}

var (
	tooFull    = text.New("too-full", "{tank} would hold {over_limit}.")
	farTooFull = text.New("far-too-full", "Do not fill above {most}; this is {share}.")
)

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
		f.Say = tooFull.Say(v.Number, v.overLimit(after, d.s.House.Units))
		if float64(after) > float64(v.Brim)*max(lim.MaxFillLead, v.LimitPct)/100 {
			f.Right = gate.Nobody
			is, most := fillOf(after, v.Brim).Beside(quantity.Percent(max(lim.MaxFillLead, v.LimitPct)))
			f.Say = text.Join(" ", f.Say, farTooFull.Say(most, is))
		}
		out = append(out, f)
	}
	return out
}

func percent(a, b quantity.Volume) string {
	return fmt.Sprintf("%d %%", int(float64(a)/float64(b)*100+0.5))
}

var (
	intoHold    = text.New("into-hold", "{tank} is on hold: {reason}.")
	intoUnclean = text.New("into-unclean", "{tank} is {stage}.")
	intoOther   = text.New("into-other", "{tank} holds {volume} {juice}.",
		"If you mean to blend, say blend.")
)

// otherLot is H11.
func (t *moveTry) otherLot(d *decision) (out []gate.Finding) {
	for _, in := range t.inflows {
		v := in.vessel
		if v.Use == stage.UseLees || in.lees && v.Use == stage.UseLees {
			continue
		}
		var says text.Say
		switch g := v.Now.Stage; {
		case v.Hold != nil:
			says = intoHold.Say(v.Number, v.Hold.Reason)
		case g == stage.OutOfUse || g == stage.Cleaning || g == stage.Dirty:
			says = intoUnclean.Say(v.Number, g)
		case !g.Empty() && !v.SameLot(in.from, in.loads, in.variety) && !t.move.Blend:
			says = intoOther.Say(v.Number, v.Now.Volume, v.Now.Called())
		}
		if !says.IsZero() {
			out = append(out, gate.Finding{Of: v.Ref(), Field: in.field, Say: says, Right: gate.Lead, Reason: true})
		}
	}
	return out
}

var onHoldSays = text.New("on-hold",
	"{tank} has been on hold since {time} by {who}: {reason}.",
	"{releaser} to release.")

// onHold is H15: nothing leaves a vessel on hold, and nothing is done to it.
func (d *decision) onHold(v *Vessel, field string) []gate.Finding {
	if v.Hold == nil {
		return nil
	}
	h := v.Hold
	return []gate.Finding{{Field: field, Right: gate.Releaser, Person: string(h.Releaser), Reason: true,
		Say: onHoldSays.Say(v.Number, h.At, h.By, h.Reason, h.Releaser)}}
}

func (t *doseTry) onHold(d *decision) []gate.Finding { return d.onHold(t.of, "product") }

var tooSoonSays = text.New("too-soon",
	"{tank}: {verb} not before {time} ({basis}).")

// tooSoon is D04, a rule of our own: racked while a clock says not before.
func (d *decision) tooSoon(v *Vessel, field string) []gate.Finding {
	k := firstNotBefore(d.s.clocksAt(v.Ref(), d.at))
	if k == nil || !d.at.Before(k.Due) || k.Kind == KindSkin { // skins have their own rule, W04
		return nil
	}
	return []gate.Finding{{Field: field, Right: gate.Anyone, Asked: true,
		Say: tooSoonSays.Say(v.Number, k.Says(), k.Due, k.Basis)}}
}

// hotVolume is what a volume of hot must takes up: about 0.045 % more for each
// degree above 20 °C (vector C17 of the calculation notes). Other things are taken
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

var wrongUse = text.New("wrong-use", "{tank} is a vessel for {use}; {substance} does not go there.")

// wrongKind is H03. Lees vessels take lees of anything.
func (t inflows) wrongKind(d *decision) (out []gate.Finding) {
	for _, in := range t {
		v := in.vessel
		if !in.kind.Flows() || in.kind.GoesInto(v.Use) || v.Use == stage.UseLees && in.lees {
			continue
		}
		out = append(out, gate.Finding{Of: v.Ref(), Field: in.field, Right: gate.Lead, Reason: true,
			Say: text.Join(" ", wrongUse.Say(v.Number, v.Use, in.kind), d.s.meantTwin(v, in.kind))})
	}
	return out
}

var (
	hotMustUnread = text.New("hot-must-unread",
		"The hot must in {tank} has no new temperature: read it before it goes into {press}.")
	tooHotForPress = text.New("too-hot-for-press",
		"{temp} is too hot for {press}; cool it to {most} or below.")
)

// hotPress is H14: cannot be overridden, for the membrane and the hands.
func (t *moveTry) hotPress(d *decision) []gate.Finding {
	if t.press == nil {
		return nil
	}
	if t.content.Last.Temp == nil {
		if t.content.Kind != stage.HotMust {
			return nil
		}
		return []gate.Finding{{Field: "to", Right: gate.Nobody, Say: hotMustUnread.Say(t.out.Number, t.press.Number)}}
	}
	if limit, temp := d.s.House.Limits.PressHot, *t.content.Last.Temp; temp > limit {
		is, most := temp.Beside(limit, d.s.House.Units)
		return []gate.Finding{{Field: "to", Right: gate.Nobody, Say: tooHotForPress.Say(is, t.press.Number, most)}}
	}
	return nil
}

var skinsOverSays = text.New("skins-over",
	"The skins of {tank} were due to drain by {time}, {age} ago.")

// skinsOver is W05, asked when the juice begins to leave the skins.
func (d *decision) skinsOver(v *Vessel, field string) []gate.Finding {
	for _, k := range d.s.ClocksOf(v.Ref()) {
		if k.Kind == KindSkin && k.DueKind == NotAfter && d.at.After(k.Due) {
			return []gate.Finding{{Field: field, Right: gate.Anyone,
				Say: skinsOverSays.Say(v.Number, k.Due, quantity.Span(d.at.Sub(k.Due).Truncate(time.Minute)))}}
		}
	}
	return nil
}

var loadsFarApart = text.New("loads-far-apart",
	"{tank} holds juice of load {id}, which came {earlier} earlier than {load}.")

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
						Say: loadsFarApart.Say(in.vessel.Number, was.ID,
							quantity.Span(l.Arrived.Sub(was.Arrived).Truncate(time.Minute)), l.ID)})
				}
			}
		}
	}
	return out
}

// oddLees is W13, for rackings off settled or floated juice. Where the balance
// asks already, W15, the lees are part of that question.
func (t *moveTry) oddLees(d *decision) []gate.Finding {
	says := t.leesSay()
	if says.IsZero() || len(t.imbalance(d)) > 0 {
		return nil
	}
	return []gate.Finding{{Field: "lees", Right: gate.Anyone, Say: text.Join(" ", says, whyLees.Say())}}
}

var (
	noLees  = text.New("no-lees", "No lees are saved for {tank}; 2 to 12 % is usual.")
	oddLees = text.New("odd-lees", "Lees of {volume} are {share:%.1f} % of what leaves {tank}; 2 to 12 % is usual.")
	whyLees = text.New("why-lees", "Stirred up, racked too early, or misread?")
)

// leesSay says that the lees of a racking are not what is usual, nothing where they are.
func (t *moveTry) leesSay() text.Say {
	if t.move.Part || t.content.Stage != stage.Settling && t.content.Stage != stage.CapRise &&
		t.content.Stage != stage.Flotation {
		return text.Say{}
	}
	lees := quantity.Volume(0)
	if t.move.Lees != nil {
		lees = t.move.Lees.Volume
	}
	if t.move.Out != nil && t.move.Out.As == OutLees {
		lees += t.move.Out.Volume
	}
	share := float64(lees) / float64(max(1, t.move.Sum()))
	switch {
	case share >= 0.02 && share <= 0.12:
		return text.Say{}
	case lees == 0:
		return noLees.Say(t.out.Number)
	}
	return oddLees.Say(lees, 100*share, t.out.Number)
}

// The loss of a move from which it is asked about; below a sixth of the volume,
// half a hectolitre, it is what hoses hold (common practice, no source).
const (
	mostLoss      = 3 * quantity.Hectolitre
	mostLossShare = 0.015
)

var (
	bigLoss = text.New("big-loss", "A loss of {loss} is {share:%.1f} % of what leaves {tank}.",
		"Where did it go?")
	moreThanHeld = text.New("more-than-held", "{tank} holds {held} by the ledger; {more} more than that leaves it.",
		"Where does it come from?")
	unaccounted = text.New("unaccounted", "{off} of {held} is not accounted for.")
)

// imbalance is W15, for what has happened: planned moves must balance.
func (t *moveTry) imbalance(d *decision) []gate.Finding {
	u := d.s.House.Units
	ask := func(asked bool, says text.Say) []gate.Finding {
		return []gate.Finding{{Field: "loss", Right: gate.Anyone, Asked: asked, Say: text.Join(" ", says, t.leesSay())}}
	}
	if loss := t.move.Loss; loss > mostLoss || loss > mostLoss/6 && float64(loss) >= (mostLossShare+
		0.0005)*float64(t.move.Sum()) {
		return ask(false, bigLoss.Say(loss, 100*float64(loss)/float64(t.move.Sum()), t.out.Number))
	}
	if more := t.move.Sum() - t.content.Volume; more >= quantity.Litre && (t.move.Part || !unbalanced(t.content.Volume,
		t.move.Sum())) {
		return ask(true, moreThanHeld.Say(t.out.Number, t.content.Volume.Full(u), more.Full(u)))
	}
	if t.move.Part {
		return nil
	}
	if !unbalanced(t.content.Volume, t.move.Sum()) {
		return nil
	}
	off := max(t.content.Volume-t.move.Sum(), t.move.Sum()-t.content.Volume)
	return ask(true, unaccounted.Say(off, t.content.Volume))
}

// unbalanced reports whether what left an emptied vessel is too far from what it held
// for a dip stick to explain.
func unbalanced(held, left quantity.Volume) bool {
	off := max(held-left, left-held)
	return off > balanceSlack && float64(off) > 0.01*float64(held)
}

var staleCleanSays = text.New("stale-clean",
	"{tank} was cleaned {age} ago: rinse it again.")

// staleClean is W19.
func (t inflows) staleClean(d *decision) (out []gate.Finding) {
	for _, in := range t {
		c := &in.vessel.Now
		if until, ok := d.s.CleanUntil(in.vessel); ok && d.at.After(until) {
			age := d.at.Sub(c.CleanSince)
			out = append(out, gate.Finding{Of: in.vessel.Ref(), Field: in.field, Right: gate.Anyone,
				Say: staleCleanSays.Say(in.vessel.Number, quantity.Span(age.Truncate(time.Hour)))})
		}
	}
	return out
}

var hotFullSays = text.New("hot-full",
	"{tank} would hold {after} hot, {percent}: leave room, it expands.")

// hotFull is W22.
func (t inflows) hotFull(d *decision) (out []gate.Finding) {
	for _, in := range t {
		if in.kind != stage.HotMust || in.volume <= 0 {
			continue
		}
		if after := hotVolume(in.vessel.Now.Volume+in.volume, in); float64(after) > 0.9*float64(in.vessel.Brim) {
			out = append(out, gate.Finding{Of: in.vessel.Ref(), Field: in.field, Right: gate.Anyone,
				Say: hotFullSays.Say(in.vessel.Number, after, percent(after, in.vessel.Brim))})
		}
	}
	return out
}

var notReadyToMove = text.New("not-ready-to-move",
	"{tank} is not ready to move: {why}.")

// unready is D20, a rule of our own: the tank still fills, is in contact, its
// check or its flotation runs. What the board says of it must not be otherwise at the valve.
func (t *moveTry) unready(d *decision) []gate.Finding {
	_, why := d.s.unready(t.out, t.content, d.at)
	if why.IsZero() {
		return nil
	}
	return []gate.Finding{{Field: "from", Right: gate.Anyone, Asked: true, Say: notReadyToMove.Say(t.out.Number, why)}}
}
