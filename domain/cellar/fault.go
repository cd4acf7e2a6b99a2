package cellar

import (
	"slices"
	"time"

	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/text"
)

// What was said of a vessel may not go together: more left than there was, more came
// than it holds, it was called empty and was not. What is planned is refused then. What
// has happened is saved, and so is what a correction says that has happened; the ledger
// goes on with what can be, the difference is unexplained, and the fault stands with the
// lines that disagree until one of them is corrected.

// FaultKind says what of an account cannot have been.
type FaultKind string

// The kinds of fault.
const (
	FaultLeft    FaultKind = "left-more"    // more left than there was
	FaultEmptied FaultKind = "held-more"    // it was emptied of less than there was
	FaultCalled  FaultKind = "called-empty" // and was not
	FaultRead    FaultKind = "read-less"    // after juice had run in than it held before
	FaultBrim    FaultKind = "over-brim"
	FaultNothing FaultKind = "was-empty" // when something was poured into what it held, or tested of it
)

// Fault is a line of an account that cannot have been so.
type Fault struct {
	Vessel TankNumber
	Seq    Seq // of the entry
	At     time.Time
	Kind   FaultKind
	Held   quantity.Volume // by the ledger
	Said   quantity.Volume // by the line, or the brim
	What   string          // the stage, or the product
}

// Off is by how much it cannot have been.
func (f Fault) Off() quantity.Volume { return max(f.Held-f.Said, f.Said-f.Held) }

// Spilt is what a line leaves unexplained of a content that cannot have been there, or
// cannot have gone.
type Spilt struct {
	Parts []Part
	Doses []Dose
}

// Spilt goes over what the lines of a vessel leave unexplained beside what its moves do:
// it was called empty and was not, or would hold more than its brim.
func (v *Vessel) Spilt(yield func(Spilt) bool) {
	for _, h := range v.book.Lines(place{number: v.Number}) {
		if len(h.spilt.Parts)+len(h.spilt.Doses) > 0 && !yield(h.spilt) {
			return
		}
	}
}

// bounded notes what of an item cannot have been, and keeps the content to what can be.
func (h *holding) bounded(v VesselSetup, it *Item, was *Content) {
	f := Fault{Vessel: v.Number, Seq: it.Seq, At: it.At, Held: was.Volume}
	switch {
	case it.Out != nil && it.Out.Volume > was.Volume+balanceSlack, it.Out != nil && was.Stage.Empty() &&
		it.Out.Volume > 0:
		f.Kind, f.Said = FaultLeft, it.Out.Volume
	case it.Out != nil && it.Out.Empties && unbalanced(was.Volume, it.Out.Volume):
		f.Kind, f.Said = FaultEmptied, it.Out.Volume
	case it.Stage != nil && it.Stage.Stage.Empty() && was.Volume > 0:
		f.Kind, f.What = FaultCalled, string(it.Stage.Stage)
		h.spilt = Spilt{mergeParts(h.spilt.Parts, was.Parts), append(h.spilt.Doses, was.Doses...)}
		h.astray += was.Volume
	// poured before the first juice, which never came
	case it.Stage != nil && it.Stage.Stage.Empty() && len(was.Doses) > 0:
		h.spilt.Doses = append(h.spilt.Doses, was.Doses...)
		return
	case it.In != nil && it.In.Reads > 0 && it.In.Reads < was.Volume:
		f.Kind, f.Said = FaultRead, it.In.Reads
	case it.In != nil && h.content.Volume > v.Brim:
		f.Kind, f.Held, f.Said = FaultBrim, h.content.Volume, v.Brim
		h.spills(f.Off())
	case was.Stage.Empty() && (it.Dose != nil || it.Begun != nil || it.Read != nil || it.Drop != nil):
		if f.Kind = FaultNothing; it.Dose != nil {
			f.What = string(it.Dose.Product)
		}
	default:
		return
	}
	h.faults = append(h.faults[:len(h.faults):len(h.faults)], f)
}

// spills takes what cannot be in a vessel out of its content, each load by its share.
func (h *holding) spills(over quantity.Volume) {
	c, out := h.content, splitParts(h.content.Parts, over)
	c.Parts = slices.Clone(c.Parts)
	for i := range out { // in the order of the content
		c.Parts[i].Volume -= out[i].Volume
	}
	gone, stay := splitDoses(c.Doses, over, c.Volume)
	c.Volume, c.Doses = c.Volume-over, stay
	h.spilt = Spilt{mergeParts(h.spilt.Parts, out), append(h.spilt.Doses, gone...)}
	h.astray += over
}

// Faults are what cannot have been of all that was said of a vessel, by true time.
func (v *Vessel) Faults() []Fault { return slices.Clone(v.amiss.faults) }

// Astray is what is unexplained of all that a vessel held, added up without signs.
func (v *Vessel) Astray() quantity.Volume { return v.amiss.astray }

var (
	leftEmpty   = text.New("left-empty", "{tank} was empty at {time}, when {said} left it")
	leftMore    = text.New("left-more", "{tank} held {held} at {time}, when {said} left it")
	emptiedMore = text.New("emptied-more", "{tank} held {held} at {time}, when it was emptied of {said}")
	calledEmpty = text.New("called-empty", "{tank} held {held} at {time}, when it was {stage}")
	readMore    = text.New("read-more", "{tank} held {held} at {time}, before it was measured at {said}")
	overBrim    = text.New("over-brim", "{tank} held {held} at {time}; its brim is {said}")
	pouredEmpty = text.New("poured-empty", "{tank} was empty at {time}, when {what} was poured into it")
	testedEmpty = text.New("tested-empty", "{tank} was empty at {time}, when it was tested")
)

// Fault says what cannot have been: "103 held 12 hL at 21:10, when 20 hL left it".
func (s *State) Fault(f Fault) text.Say {
	held, said := f.Held.Beside(f.Said, s.House.Units)
	switch f.Kind {
	case FaultLeft:
		if f.Held == 0 {
			return leftEmpty.Say(f.Vessel, f.At, said)
		}
		return leftMore.Say(f.Vessel, held, f.At, said)
	case FaultEmptied:
		return emptiedMore.Say(f.Vessel, held, f.At, said)
	case FaultCalled:
		return calledEmpty.Say(f.Vessel, f.Held, f.At, f.What)
	case FaultRead:
		return readMore.Say(f.Vessel, held, f.At, said)
	case FaultBrim:
		return overBrim.Say(f.Vessel, held, f.At, said)
	}
	if f.What == "" {
		return testedEmpty.Say(f.Vessel, f.At)
	}
	return pouredEmpty.Say(f.Vessel, f.At, f.What)
}

// Said is one line of an account, for naming it.
type Said struct {
	Seq  Seq
	At   time.Time
	By   Initials
	Says text.Say // "40 hL to 201"
}

// Name is how a line is told from others: "40 hL to 201, 21:10 NS, entry 12".
func (s *State) Name(x Said) text.Say { return lineNamed.Say(x.Says, x.At, x.By, x.Seq) }

// Disagree are the lines of a fault that do not go together: the one that cannot have
// been, and of those before it on the same content the one that was saved or corrected
// last, where there is one.
func (s *State) Disagree(f Fault) (out []Said) {
	if v := s.vessels[f.Vessel]; v != nil {
		for _, it := range v.disagree(f) {
			out = append(out, s.saidBy(it))
		}
	}
	return out
}

func (s *State) saidBy(it *Item) Said {
	x := Said{Seq: it.Seq, At: it.At, By: it.By, Says: it.says()}
	switch {
	case it.Out != nil && it.Out.Sent != nil && len(it.Out.To) == 0:
		x.Says = lineLeft.Say(it.Out.Volume, it.Out.Sent.As.say())
	case it.Out != nil && len(it.Out.To) == 0:
		x.Says = lineSpilt.Say(it.Out.Volume)
	case it.Out != nil:
		var to []text.Say
		for _, p := range it.Out.To {
			to = append(to, text.Words(string(p)))
		}
		x.Says = lineOut.Say(it.Out.Volume, text.Join(" and ", to...))
	case it.In != nil && it.In.Reads > 0:
		x.Says = lineMeasured.Say(it.In.Reads)
	case it.In != nil:
		x.Says = lineRanIn.Say(it.In.Volume, it.In.From.Name)
	case it.Stage != nil:
		x.Says = lineSavedAs.Say(it.Stage.Stage)
	case it.Dose != nil:
		x.Says = linePoured.Say(it.Dose.Drawn, it.Dose.Product)
	}
	return x
}

func (v *Vessel) disagree(f Fault) (out []*Item) {
	var with *Item
	lately := func(it *Item) Seq {
		last := it.Seq
		for _, m := range it.Mended {
			last = max(last, m.Seq)
		}
		return last
	}
	for it := range v.latestSaid {
		if len(out) == 0 {
			if it.Seq == f.Seq && it.At.Equal(f.At) && !it.TakenBack {
				out = append(out, it)
			}
			continue
		}
		ends := f.Held == 0 && it.Out != nil && it.Out.Empties || f.Held == 0 && it.Stage != nil &&
			it.Stage.Stage.Empty()
		if it.TakenBack || !ends && it.Out == nil && (it.In == nil || it.In.Volume == 0 && it.In.Reads == 0) {
			continue
		}
		if with == nil || !ends && lately(it) > lately(with) {
			with = it
		}
		if ends {
			break // what was in it before that is another content
		}
	}
	if with != nil {
		out = append(out, with)
	}
	return out
}

// possible refuses an account that has a fault which it had not before, or a greater
// one. What has happened is asked about, and saved: mine tells the lines that are being
// written from those that stand.
func (d *decision) possible(o *outlook, field string, mine func(Seq) bool) error {
	if d.batch {
		return nil // the batch is held against it as a whole
	}
	d.cannots = nil
	nothing := true
	for _, p := range o.touched() {
		w := o.vessel(p)
		for _, f := range newer(d.s.vessels[p].amiss.faults, w.amiss.faults) {
			nothing = nothing && f.Kind == FaultNothing && mine(f.Seq)
			if err := d.cannot(w, f, field, mine); err != nil {
				return err
			}
		}
	}
	if len(d.cannots) > 0 { // one question about all of it
		all := text.Join("; ", d.cannots...)
		say := bothCannotBe.Say(all)
		if nothing {
			say = whereFrom.Say(all)
		}
		d.find(gate.Finding{Rule: CannotBe, Field: field, Right: gate.Anyone, Asked: true, Say: say})
	}
	return nil
}

// fits holds what is posted against what else is said of the time, wherever that is.
func (d *decision) fits(o *outlook, field string) error {
	return d.possible(o, field, func(n Seq) bool { return n > d.s.Seq })
}

// CannotBe is the code under which it is asked whether what cannot have been has
// happened.
const CannotBe = "S02"

var (
	whereFrom = text.New("where-from", "{faults}.",
		"Where did its juice come from? If you save this now, the fault stays until that is saved too.")
	bothCannotBe = text.New("both-cannot-be", "{faults}.",
		"The two cannot both be right. If you save this now, the fault stays until one of them is corrected.")
	faultAgainst = text.New("fault-against", "{fault} (against {entry})")
)

// cannot says why a line cannot be so: it names the line that stands against it, and
// the way out.
func (d *decision) cannot(w *Vessel, f Fault, field string, mine func(Seq) bool) error {
	says := d.s.Fault(f)
	var against *Said
	for _, it := range w.disagree(f) {
		if !mine(it.Seq) {
			x := d.s.saidBy(it)
			against = &x
			break
		}
	}
	if against != nil {
		says = faultAgainst.Say(says, d.s.Name(*against))
	}
	if d.happened() && mine(f.Seq) && (f.Kind == FaultEmptied || f.Kind == FaultLeft) &&
		slices.ContainsFunc(append(d.found, d.lines...), func(g gate.Finding) bool {
			return g.Rule == "W15" &&
				g.Asked && g.Of == w.Ref()
		}) {
		return nil // it is asked already where the rest is
	}
	if d.happened() {
		d.cannots = append(d.cannots, says)
		return nil
	}
	if against == nil {
		return reject("late", field, "then {fault}; type the true time, or correct that entry", d.s.Words(says))
	}
	no := reject("late", field, "then {fault}; type the true time, or correct that entry together with this one",
		d.s.Words(says)).(*Rejection)
	no.With = against.Seq
	return no
}
