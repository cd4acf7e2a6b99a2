package cellar

import (
	"slices"
	"time"

	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/subject"
	"cellar.example/mustwatch/domain/text"
)

// Most lines of the book stand in no account of a vessel: a ticket, a tip, a hold, what a
// press did. They are taken back whole, and their time can be corrected; the fold does
// the rest.

// spokenOf is a line as a person would name it.
type spokenOf struct {
	of   subject.Ref
	says text.Say
}

// lineOf names a line that is taken back as one; it says nothing of one that is told in
// the account of a vessel, or that is never taken back.
func (s *State) lineOf(e *entry) (x spokenOf) {
	if e == nil {
		return x
	}
	switch f := e.Fact.(type) {
	case *LoadBooked:
		return spokenOf{loadRef(f.ID), lineBooking.Say()}
	case *LoadWeighed:
		return spokenOf{loadRef(f.ID), lineTicket.Say()}
	case *Tipping:
		return spokenOf{s.at(f.To), lineFill.Say(f.Load)}
	case *TubOpened:
		return spokenOf{productRef(f.Product), lineTub.Say()}
	case *StockCounted:
		return spokenOf{productRef(f.Product), lineCount.Say()}
	case *LotEnded:
		return spokenOf{productRef(f.Product), lineLotEnd.Say()}
	case *LoadCancelled:
		return spokenOf{loadRef(f.Load), lineCancelled.Say()}
	case *DoseWeighed:
		return spokenOf{vesselRef(f.Where), lineWeighed.Say(f.Product)}
	case *WeighedBack:
		return spokenOf{vesselRef(f.Vessel), lineBack.Say(f.Product)}
	case *WasHeld:
		return spokenOf{vesselRef(f.Vessel), lineHold.Say()}
	case *ReleaserNamed:
		return spokenOf{vesselRef(f.Vessel), lineReleaser.Say(f.Releaser)}
	case *WasReleased:
		return spokenOf{vesselRef(f.Vessel), lineRelease.Say()}
	case *Routed:
		return spokenOf{vesselRef(f.Vessel), lineRoute.Say(f.Route)}
	case *MoveBegun:
		return spokenOf{vesselRef(f.From), linePump.Say()}
	case *Moved:
		return s.lineOfMove(f)
	}
	return s.lineOfPress(e.Fact)
}

// pressAct is what an entry says that a press did, and which press; "" where it says
// something else.
func pressAct(f Fact) (p TankNumber, says text.Say) {
	switch f := f.(type) {
	case *PressBegun:
		return f.Press, lineBegun.Say(f.Programme)
	case *PressHalted:
		if f.Locked {
			return f.Press, lineLocked.Say(f.Reason)
		}
		return f.Press, lineStopped.Say(f.Reason)
	case *PressResumed:
		return f.Press, lineGoesOn.Say()
	case *PressEnded:
		return f.Press, lineEnded.Say()
	case *PressFreed:
		return f.Press, lineFreed.Say()
	}
	return "", text.Say{}
}

// lineOfPress names what a press did, and what ran from it.
func (s *State) lineOfPress(f Fact) (x spokenOf) {
	if p, says := pressAct(f); p != "" {
		return spokenOf{pressRef(p), says}
	}
	switch f := f.(type) {
	case *Tipped:
		if !f.Vessel {
			return spokenOf{pressRef(f.To), lineAllIn.Say(f.Load)}
		}
	case *JuiceClosed:
		return spokenOf{vesselRef(f.Vessel), lineClosed.Say()}
	case *JuiceRan:
		if f.Volume == 0 && f.Reads == 0 {
			return spokenOf{vesselRef(f.To), lineJuice.Say(f.Press)}
		}
	}
	return x
}

// lineOfMove names a move of which nothing came into a vessel or left the house: it went
// to a press, or was lost.
func (s *State) lineOfMove(f *Moved) (x spokenOf) {
	if f.Out != nil {
		return x // the account of its vessel tells it
	}
	all := slices.Clone(f.To)
	if f.Lees != nil {
		all = append(all, *f.Lees)
	}
	to := lineLost.Say()
	for _, p := range all {
		if s.vessels[p.Vessel] != nil {
			return x
		}
		to = lineMove.Say(p.Vessel)
	}
	return spokenOf{vesselRef(f.From), to}
}

// lineFields are the values of a line that can be corrected by themselves.
func lineFields(f Fact, sys quantity.System) []fieldValue {
	switch f := f.(type) {
	case *StockCounted:
		return []fieldValue{{"count", f.Open.Full(sys)}}
	case *DoseWeighed:
		return []fieldValue{{"amount", f.Drawn.Full(sys)}}
	}
	return nil
}

func (f *StockCounted) mend(_ TankNumber, _, value string) flower {
	x := *f
	_ = x.Open.UnmarshalText([]byte(value))
	return &x
}

func (f *DoseWeighed) mend(_ TankNumber, _, value string) flower {
	x := *f
	x.Dose = f.draws(value)
	return &x
}

// line takes a line back, or corrects its time or its value.
func (c *Correct) line(d *decision, e *entry, l spokenOf) ([]Fact, error) {
	if e.takenBack() {
		return nil, reject("taken-back", "of", "entry {of} is taken back already{taken_back_by}", c.Of,
			d.s.takenBackBy(c.Of))
	}
	f := &Corrected{Of: c.Of, About: l.of, What: l.says, Field: c.Field, Reason: c.Reason, TakeBack: c.TakeBack}
	if l.of.Kind == subject.Vessel {
		f.Vessel = TankNumber(l.of.Name)
	}
	var err error
	switch fields := lineFields(e.Fact, quantity.Metric); {
	case c.TakeBack:
		f.Field = WholeEntry
	case c.Field == "at":
		f.Turn = d.turn
		f.Was, f.Now, err = c.trueTime(d, e)
	case len(fields) == 1 && (c.Field == "" || c.Field == fields[0].name):
		f.Field = fields[0].name
		f.Was, f.Now, err = c.amount(d, e)
	default:
		err = reject("field", "field", "correct the time of entry {of}, or take it back and save it as it was: "+
			"{line} has no {field:%q}", c.Of, d.s.Words(l.says), c.Field)
	}
	if err != nil {
		return nil, err
	}
	o := d.draftOf(f)
	d.mend(l.of, &mendTry{field: f.Field, what: f.What, was: f.Was, now: f.Now, by: e.By, at: e.At, frees: o.frees(),
		retimes: o.retimes()})
	if err := c.holds(d, o, e); err != nil {
		return nil, err
	}
	if err := d.possible(o, "of", func(n Seq) bool { return n == c.Of }); err != nil {
		return nil, err
	}
	return []Fact{f}, nil
}

// trueTime reads the time at which a line was so.
func (c *Correct) trueTime(d *decision, e *entry) (was, now string, err error) {
	t, err := time.Parse(time.RFC3339, c.Value)
	if err != nil || t.After(d.now) {
		return "", "", reject("value", "value", "type the true time, not in the future, as 2026-09-24T22:15:00+02:00")
	}
	was, now = e.At.Format(time.RFC3339), Instant(t).Format(time.RFC3339)
	if ofContents(e.Fact) {
		err = d.opened(t, "value")
	}
	return was, now, err
}

// amount reads what was counted or weighed.
func (c *Correct) amount(d *decision, e *entry) (was, now string, err error) {
	old, liquid, least := quantity.Amount{}, false, false
	switch f := e.Fact.(type) {
	case *StockCounted:
		old, liquid = f.Open, f.Open.Liquid()
		if p := d.s.products[f.Product]; p != nil {
			liquid = p.Poured()
		}
	case *DoseWeighed:
		old, liquid, least = f.Drawn, f.Drawn.Liquid(), true
	}
	a, err := d.s.House.Habit().Amount(c.Value, liquid)
	switch {
	case err != nil:
		return "", "", reject("value", "value", "{why}", err)
	case a.Negative() || least && a.IsZero():
		return "", "", reject("value", "value", "type more than zero, or take the entry back")
	case a == old:
		return "", "", reject("value", "value", "it says {value} already", c.Value)
	case !a.IsZero() && a.Liquid() != liquid:
		return "", "", reject("value", "value", "type it in {amount_units}", amountUnits(liquid))
	}
	return old.String(), a.String(), nil
}

var (
	heldByWord = text.New("hold-taken-back",
		"{tank} is on hold and {releaser} is named in it: only {releaser}, the winemaker, or a "+
			"lead with a second person ends it, also where it is taken back.")
	juiceWithoutGrapes = text.New("juice-without-grapes",
		"{ran} ran from {press}; with this it had {mass} of grapes. Take that juice back first, or correct it.")
)

// holds lays what follows from a line that is taken back before the rules that guard the
// same thing when it is done: a hold ends by its releaser's word, a press that stands
// does not run while somebody is in it, and juice does not run without grapes.
func (c *Correct) holds(d *decision, o *outlook, e *entry) error {
	var of TankNumber
	switch f := e.Fact.(type) {
	case *WasHeld:
		of = f.Vessel
	case *ReleaserNamed:
		of = f.Vessel
	}
	if v := d.s.vessels[of]; v != nil && v.Hold != nil {
		w, who := o.vessel(of), v.Hold.Releaser
		if (w.Hold == nil || w.Hold.Releaser != who) && d.head.By != who {
			d.strict = true // a word that was not given did not happen
			d.find(gate.Finding{Rule: "H15", Field: "of", Right: gate.Ends, Person: string(who),
				Reason: true, Say: heldByWord.Say(v.Number, who)})
		}
	}
	for _, number := range o.presses() {
		p := d.s.presses[number]
		w := o.book.Now(place{kind: aPress, number: number}).pressed(p.PressSetup)
		turns, locked := w.State == PressRunning || w.State == PressFilling, p.State == PressLocked
		if w.State != p.State && (turns || locked) {
			ask(d, goRules, onPress{p})
		}
		least := func(x *Press) bool {
			return x.MainOut+x.FracOut > 0 && (len(x.Parts) == 0 || x.onlyGrapes() && x.MainOut+
				x.FracOut > quantity.HL(mostYield*x.Mass().Tonnes()))
		}
		if least(w) && !least(p) {
			u := d.s.House.Units
			return reject("yield", "of", "{why}", d.s.Words(juiceWithoutGrapes.Say((w.MainOut+w.FracOut).Text(u),
				number,
				w.Mass().Load(u))))
		}
	}
	return nil
}

// correctableLines are what can be corrected of a line that no account of a vessel tells.
func (s *State) correctableLines(e *entry, listed bool) (out []Correctable) {
	l := s.lineOf(e)
	if l.says.IsZero() || e.takenBack() {
		return nil
	}
	c := Correctable{Of: e.Seq, At: e.At, By: e.By, Subject: l.of, Says: s.Words(l.says), Written: e.Written}
	switch l.of.Kind {
	case subject.Vessel:
		c.Vessel = TankNumber(l.of.Name)
	case subject.Press:
		c.Press = TankNumber(l.of.Name)
	}
	for _, f := range lineFields(e.Fact, s.House.Units) {
		c.Field, c.Value = f.name, f.value
		out = append(out, c)
	}
	if len(out) == 0 && !listed {
		c.Field, c.Value = WholeEntry, s.Words(l.says)
		out = append(out, c)
	}
	return out
}

// undone brings back what a line had ended beside the book, and ends what it had begun:
// orders that it carried out, clocks that people set and that it answered, its own.
func (s *State) undone(r Record, e *entry) {
	same := func(ended Seq) bool { return ended > e.Seq && ended <= e.Seq+oneCommand }
	for _, o := range s.Orders {
		if o.Done && same(o.ended) && endDoneBy.Is(o.How) && o.carriedOut(e.Fact) {
			o.reopen()
		}
	}
	for _, id := range s.clockOrder {
		k := s.clocks[id]
		switch {
		case k.Derived:
		case k.Done && same(k.ended) && k.answeredBy(s, e.Fact):
			s.goesOn(r, k)
		case !k.Done && k.begunBy(e):
			s.ends(r, k)
		}
	}
}

// oneCommand is how many records one command makes at the most, by far.
const oneCommand = 16

// answeredBy reports whether a clock that people set was ended by what a fact says.
func (k *AlarmClock) answeredBy(s *State, f Fact) bool {
	switch f := f.(type) {
	case *Dosed:
		if k.Kind == KindPour {
			return k.Subject == vesselRef(f.Vessel) && k.Object == string(f.Product)
		}
	case *WeighedBack:
		return k.Kind == KindPour && k.Subject == vesselRef(f.Vessel) && k.Object == string(f.Product)
	case *Moved:
		if k.Kind == KindMove {
			return k.Subject == vesselRef(f.From)
		}
	}
	return k.Kind == KindOther && endDoneBy.Is(k.How) && k.askedFor(s, f)
}

// begunBy reports whether a clock was set by what a fact says.
func (k *AlarmClock) begunBy(e *entry) bool {
	switch f := e.Fact.(type) {
	case *DoseWeighed:
		return k.ID == f.Clock
	case *MoveBegun:
		return k.Kind == KindMove && k.Subject == vesselRef(f.From) && k.Start.Equal(e.At)
	}
	return false
}

// goesOn lets a clock run again that was ended by what was taken back.
func (s *State) goesOn(r Record, k *AlarmClock) {
	k.Done, k.DoneBy, k.DoneAt, k.How, k.ended = false, "", time.Time{}, text.Say{}, 0
	s.goes(k)
	s.storedChanged(r, k)
}

// ends takes a clock off with what set it.
func (s *State) ends(r Record, k *AlarmClock) {
	k.Done, k.DoneBy, k.DoneAt, k.How = true, r.By, r.At, endTakenBack.Say()
	s.storedChanged(r, k)
}
