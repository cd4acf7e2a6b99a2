package cellar

import (
	"slices"

	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/lookalike"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/stage"
	"cellar.example/mustwatch/domain/text"
)

// SeenField is the field at which a number is asked for as it was read.
const SeenField = "valve"

// housesOwn is a likeness that the house has named: it is asked about always.
const housesOwn lookalike.Likeness = "on the house's list"

// Twin is a vessel whose number is taken for another's.
type Twin struct {
	Vessel *Vessel
	How    lookalike.Likeness // as the house has it where the figures do not say it
}

// twins are the vessels whose numbers are taken for a number: by the house's own
// list, and by their figures unless the house has switched that off.
func (s *State) twins(p TankNumber) (out []Twin) {
	for _, q := range s.vesselOrder {
		how := lookalike.None
		if s.House.Computed != "off" {
			how = lookalike.How(string(p), string(q))
		}
		for _, group := range s.House.Alike {
			if how == lookalike.None && q != p && slices.Contains(group, p) && slices.Contains(group, q) {
				how = housesOwn
			}
		}
		if how != lookalike.None {
			out = append(out, Twin{s.vessels[q], how})
		}
	}
	return out
}

// ReadsBack reports whether the number of a destination is asked for as it is seen
// at the valve, when the content of a vessel moves there: it stands on the
// house's read-back list, or it has a twin at whose valve the same content would
// do harm. twins are those.
func (s *State) ReadsBack(from, to TankNumber) (twins []Twin, asked bool) {
	src, v := s.vessels[from], s.vessels[to]
	if src == nil || v == nil || from == to {
		return nil, false
	}
	kind := s.kindAt(&src.Now, to)
	return s.readBack(inflowTry{vessel: v, kind: kind, from: vesselRef(from)}, from)
}

func (s *State) readBack(in inflowTry, from TankNumber) (out []Twin, asked bool) {
	if v := in.vessel; in.kind.GoesInto(v.Use) { // where it may not go at all H03 speaks, and names what was meant
		for _, t := range s.twins(v.Number) {
			if t.Vessel.Number != from && in.kind.GoesInto(t.Vessel.Use) && (t.How == housesOwn || s.harms(t.Vessel,
				in)) {
				out = append(out, t)
			}
		}
	}
	return out, len(out) > 0 || slices.Contains(s.House.ReadBack, in.vessel.Number)
}

// harms reports whether it would be worse than a clean tank wrongly filled if the
// content ran into the twin of the vessel that was named: the twin holds something
// and has room, is dirty or being cleaned, or is itself the one that was meant. A
// twin that stands clean and empty is no danger, and asking would only tire.
func (s *State) harms(twin *Vessel, in inflowTry) bool {
	switch g := twin.Now.Stage; {
	case !g.Empty():
		return twin.Brim-twin.Now.Volume >= quantity.Hectolitre
	case g == stage.Dirty || g == stage.Cleaning:
		return true
	}
	return s.named(twin.Number) || !in.vessel.Now.Stage.Empty() && !in.vessel.SameLot(in.from, in.loads, in.variety)
}

var isTwinMeant = text.New("is-twin-meant", "Did you mean {tank} ({how})?")

// meantTwin asks for the twin of a vessel that does not take a content, where the
// twin does.
func (s *State) meantTwin(v *Vessel, kind stage.Substance) text.Say {
	for _, t := range s.twins(v.Number) {
		if kind.GoesInto(t.Vessel.Use) {
			return isTwinMeant.Say(t.Vessel.Number, t.How)
		}
	}
	return text.Say{}
}

// named reports whether something is about to run into a vessel: it is the
// destination of a move that runs, or a press has it for its juice.
func (s *State) named(p TankNumber) bool {
	for _, m := range s.RunningMoves() {
		if slices.ContainsFunc(m.To, func(x Portion) bool { return x.Vessel == p }) {
			return true
		}
	}
	for _, q := range s.presses {
		if q.Main == p || q.Fraction == p {
			return true
		}
	}
	return false
}

// DoseReadsBack lists the twins for which the number of a vessel is asked as it is
// seen where the dose goes in: they hold what could take the same product, and are
// not so much greater or smaller that nobody would pour there; and nobody takes a
// tank of skins for a tank of juice.
func (s *State) DoseReadsBack(p TankNumber, k Class) (out []Twin) {
	v := s.vessels[p]
	if v == nil {
		return nil
	}
	for _, t := range s.twins(p) {
		if big, small := max(v.Brim, t.Vessel.Brim), min(v.Brim, t.Vessel.Brim); big < 2*small &&
			t.Vessel.Now.takes(k) && t.Vessel.Now.onSkins() == v.Now.onSkins() {
			out = append(out, t)
		}
	}
	return out
}

func (c *Content) onSkins() bool {
	return c.Kind == stage.RedMust || c.Kind == stage.WhiteMust || c.Kind == stage.HotMust
}

// takes reports whether a content could be given a class of product now. What
// ferments foams and is not taken for juice that settles; SO2 in it would do harm.
func (c *Content) takes(k Class) bool {
	if c.Volume <= 0 || !k.Suits(c.Kind) {
		return false
	}
	return c.Stage != stage.Fermenting || k == SO2 || k == YeastClass || k == Nutrient
}

// notReadBack is H13: the number of a vessel that is read back is typed as it
// was seen at the valve, and what stands at the wrong one is told from what
// Stands at the right one. Of a move that has happened only the house's list is
// asked; which valve it was is known by then.
func (t *moveTry) notReadBack(d *decision) (out []gate.Finding) {
	s := d.s
	for _, in := range t.inflows {
		v := in.vessel
		twins, asked := s.readBack(in, t.move.From)
		if !asked || in.lees || in.seen == v.Number || t.move.Happened && !slices.Contains(s.House.ReadBack, v.Number) {
			continue
		}
		out = append(out, s.askNumber(v, twins, in.seen, atTheValve.Say()))
	}
	return out
}

// notReadBack is H13 for a dose that is about to be poured.
func (t *doseTry) notReadBack(d *decision) []gate.Finding {
	v := t.of
	if !t.pours || t.seen == v.Number || d.head.Happened {
		return nil
	}
	twins := d.s.DoseReadsBack(v.Number, t.product.Class)
	if len(twins) == 0 {
		return nil
	}
	return []gate.Finding{d.s.askNumber(v, twins, t.seen, whereItGoesIn.Say())}
}

var (
	askNumberSays = text.New("ask-number",
		"Read back the number of {tank} {where}.")
	askTwin = text.New("ask-twin",
		"{tank} is easily taken for {twins}.",
		"{apart}.")
	noSuchTank    = text.New("no-such-tank", "There is no vessel {seen}.")
	whichNumber   = text.New("which-number", "Which number do you see there?")
	atTheValve    = text.New("at-the-valve", "at the valve")
	whereItGoesIn = text.New("where-it-goes-in", "where it goes in")
	atTheWrongOne = text.New("at-the-wrong-one",
		"You are at {seen}: {seen_holds}.",
		"It should be {tank}: {holds}.")
)

// askNumber asks for the number of a vessel, or says which one was read instead.
func (s *State) askNumber(v *Vessel, twins []Twin, seen TankNumber, where text.Say) gate.Finding {
	f := gate.Finding{Of: v.Ref(), Field: SeenField, Right: gate.Lead, Reason: true, Say: askNumberSays.Say(v.Number,
		where)}
	if len(twins) > 0 {
		f.Say = askTwin.Say(v.Number, twinNames(twins), s.apart(v, twins))
	}
	f.Say = text.Join(" ", f.Say, whichNumber.Say())
	if w := s.vessels[seen]; w != nil {
		f.Right = gate.Nobody
		f.Say = atTheWrongOne.Say(w.Number, w.isWhat(s), v.Number, v.isWhat(s))
	} else if seen != "" {
		f.Say = text.Join(" ", noSuchTank.Say(seen), f.Say)
	}
	return f
}

var (
	twinOf      = text.New("twin-of", "{tank} ({how})")
	orTwin      = text.New("or-twin", "{one} or {other}")
	tankIs      = text.New("tank-is", "{tank} = {what}")
	holdsJuice  = text.New("holds-juice", "{volume} {juice}")
	stageAlone  = text.New("stage-alone", "{stage}")
	runsInFrom  = text.New("runs-in-from", "{juice} runs in from {tank}")
	onHoldShort = text.New("on-hold-short", "ON HOLD")
)

func twinNames(all []Twin) (out text.Say) {
	for _, t := range all {
		one := twinOf.Say(t.Vessel.Number, t.How)
		if !out.IsZero() {
			one = orTwin.Say(out, one)
		}
		out = one
	}
	return out
}

// apart says which is which.
func (s *State) apart(v *Vessel, all []Twin) text.Say {
	out := []text.Say{tankIs.Say(v.Number, v.isWhat(s))}
	for _, t := range all {
		out = append(out, tankIs.Say(t.Vessel.Number, t.Vessel.isWhat(s)))
	}
	return text.Join("; ", out...)
}

// isWhat tells two vessels apart: what is in it, where it stands, and its hold.
func (v *Vessel) isWhat(s *State) text.Say {
	what := []text.Say{stageAlone.Say(v.Now.Stage)}
	if !v.Now.Stage.Empty() {
		what[0] = holdsJuice.Say(v.Now.Volume, v.Now.Called())
	}
	for _, m := range s.RunningMoves() {
		if slices.ContainsFunc(m.To, func(p Portion) bool { return p.Vessel == v.Number }) {
			what = append(what, runsInFrom.Say(s.vessels[m.From].Now.Called(), m.From))
		}
	}
	if v.Row != "" {
		what = append(what, text.Words(v.Row))
	}
	if v.Hold != nil {
		what = append(what, onHoldShort.Say())
	}
	return text.Join(", ", what...)
}
