package cellar

import (
	"slices"
	"sort"
	"strings"
	"time"

	"cellar.example/mustwatch/domain/contact"
	"cellar.example/mustwatch/domain/subject"
	"cellar.example/mustwatch/domain/text"
)

// The clocks of vessels and presses follow from what these hold. What people do about
// them (seen, snoozed, put elsewhere, taken off) is kept by the name of the clock, and
// ends with the record that the clock follows from.

// timers are the clocks that follow from what a vessel holds, as far as has been said
// by an instant.
func (s *State) timers(v *Vessel, now time.Time) []Timer {
	out := slices.Clone(v.Now.Timers)
	if t, ok := s.contactTimer(v); ok {
		out = append(out, t)
	}
	if t, ok := s.coolingTimer(v, now); ok {
		out = append(out, t)
	}
	return out
}

// CannotTell is what stands at a contact colder than its card says anything of.
const CannotTell = "cannot-tell"

// contactTimer is the test that a contact ends in; ok is false when none can be told:
// none runs, juice still runs in, a check has taken over, or there is no temperature.
func (s *State) contactTimer(v *Vessel) (t Timer, ok bool) {
	c := &v.Now
	if !c.contactHere || !c.PectinGone.IsZero() || c.Open || c.Check() != nil {
		return t, false
	}
	last := c.lastContactDose()
	t = Timer{Kind: KindContact, DueKind: ActAt, Verb: VerbTest, Start: last.At, Owner: last.By, Ground: last.Seq}
	run, st := s.contactState(c)
	runs := st == contactRuns
	if runs {
		if t.Start = run.Start; run.Start.Equal(c.LastIn) && !run.Start.Equal(last.At) {
			t.Ground = c.lastInSeq
		}
	}
	if c.checkedSince(t.Start) || !c.calledOff.Before(t.Start) && !c.calledOff.IsZero() || !last.At.After(c.Tested) {
		return t, false
	}
	if !last.TestAt.IsZero() && t.Start.Equal(last.At) {
		t.Due, t.Typed, t.Basis = Instant(last.TestAt), true, onTypedBy.Say(last.By)
		if !runs {
			t.Basis = onTypedNoCard.Say(last.By)
		}
		run.Readings = c.Temps.coldest(run.Start, t.Due)
		if dl := deadline(run, forEver); runs && dl.HasModel && dl.Model.Sub(t.Due).Abs() > modelApart {
			t.Model = Instant(dl.Model)
		}
		return t, true
	}
	if !runs {
		return t, false
	}
	dl := known(run, c.Temps)
	if !dl.Off.IsZero() { // nobody can say when to test: somebody is called for that
		t.Verb, t.Due, t.Basis = CannotTell, Instant(dl.Off), dl.Basis
		return t, true
	}
	if !dl.HasDue {
		return t, false
	}
	if t.Due, t.Basis = Instant(dl.Due), dl.Basis; dl.HasModel && dl.ModelDiffers() {
		t.Model = Instant(dl.Model)
	}
	return t, true
}

// modelApart is by how much a forecast differs from a typed time to be shown beside it.
const modelApart = 15 * time.Minute

// forEver is after every reading.
var forEver = time.Date(9000, 1, 1, 0, 0, 0, 0, time.UTC)

// known is the deadline of a contact by its readings in the order of their times; the
// forecast beside it by as many of them as make a difference.
func known(run contact.Run, read *Trail) contact.Deadline {
	dl, end := run.Told(read.From(run.Start), watched(run))
	run.Readings = read.coldest(run.Start, end)
	dl.Model, dl.HasModel, dl.ModelWhy = run.ModelDue(forEver)
	return rounded(dl)
}

// derive brings the clocks of vessels and presses to what follows from what they hold
// by a record.
func (s *State) derive(r Record, changed []place) {
	for _, p := range changed {
		if v := s.vessels[p.number]; v != nil && p.kind == aVessel {
			s.follows(r, v.Ref(), s.timers(v, r.Written))
		}
		if x := s.presses[p.number]; x != nil && p.kind == aPress {
			s.follows(r, x.Ref(), x.Timers)
		}
	}
	s.open = nil
}

// inOrderOfPlaces sorts places: vessels, then presses, then the others, each in number order.
func inOrderOfPlaces(all []place) {
	sort.Slice(all, func(i, j int) bool {
		a, b := all[i], all[j]
		if a.kind != b.kind {
			return a.kind < b.kind
		}
		return numberLess(a.number, b.number)
	})
}

// stored reports whether somebody has set a clock of a kind by hand, or it was taken
// over at the opening: it stands for the one that would follow.
func (s *State) stored(of subject.Ref, kind ClockKind) bool {
	for _, c := range s.Clocks() {
		same := c.Kind == kind || kind == KindContact && c.Kind == KindLook
		if c.Subject == of && same && !c.Derived {
			return true
		}
	}
	return false
}

// follows ends the clocks of a subject that follow from nothing any more, starts those
// that do now, and moves those that are due at another time.
func (s *State) follows(r Record, of subject.Ref, all []Timer) {
	want := map[ClockID]Timer{}
	var order []ClockID
	for _, t := range all {
		id := t.id(of)
		if _, twice := want[id]; !twice && !s.stored(of, t.Kind) {
			want[id] = t
			order = append(order, id)
		}
	}
	for _, c := range s.ClocksOf(of) {
		if _, stays := want[c.ID]; c.Derived && !stays {
			c.Done, c.DoneBy, c.DoneAt, c.How = true, r.By, r.At, endedBy(r.Fact)
			if s.open = nil; c.Hand {
				s.log(r, of, "clock ends here: {verb} at {time}, set by hand; {how}", c.Says(), c.Due, c.How)
			}
		}
	}
	for _, id := range order {
		s.followOne(r, of, id, want[id])
	}
}

func (s *State) followOne(r Record, of subject.Ref, id ClockID, t Timer) {
	c := s.clocks[id]
	switch {
	case c == nil:
		c = &AlarmClock{ID: id, Subject: of, Kind: t.Kind, DueKind: t.DueKind, Derived: true, Due: t.Due,
			Known: r.Written, made: r.Seq}
		s.starts(c)
		c.take(t)
		if t.Kind == KindRoute {
			c.Owner = Initials(firstWords(string(s.Shift.Leads()), string(c.Owner)))
		}
		if by := s.byHand(of, t); by != nil {
			c.Due, c.Hand, c.Typed, c.Basis, c.MovedFor, c.Owner = by.Due, true, by.Typed, by.Basis, by.MovedFor,
				by.Owner
			s.log(r, of, "clock: {verb} {when} {time}, set by hand at {place}: {reason}", c.Says(), s.when(c.DueKind),
				c.Due, by.Subject, by.MovedFor)
			break
		}
		s.log(r, of, "clock: {verb} {when} {time}", c.Says(), s.when(t.DueKind), t.Due)
	case c.Done && c.Off:
	case c.Done: // what ended it was taken back
		c.Done, c.DoneBy, c.DoneAt, c.How, c.Known = false, "", time.Time{}, text.Say{}, r.Written
		s.goes(c)
		if c.take(t); !c.Hand {
			c.Due = t.Due
		}
		t.Due = c.Due
		s.log(r, of, "clock: {verb} {when} {time}", c.Says(), s.when(t.DueKind), t.Due)
	case c.Hand:
		c.Model, c.Until = t.Model, t.Until
	default:
		was := c.Due
		c.take(t)
		apart := t.Due.Sub(was).Abs()
		if apart == 0 || t.Kind == KindCooling && apart < coolingApart {
			return
		}
		fresh := c.Known.Equal(r.Written) && r.Seq < c.made+8 // one command that says several things
		if !fresh {
			s.endRun(c, laterOf(r.At, r.Written))
			s.log(r, of, "{verb}: due {was} → {due}, {basis}", c.Says(), was, t.Due, t.Basis)
			c.MovedFor = t.Basis
		}
		c.Due, c.Known, c.Reminders = t.Due, r.Written, nil
		c.AcknowledgedBy, c.AcknowledgedAt, c.FirstSeen = "", time.Time{}, time.Time{}
	}
	s.open = nil
}

// puts notes that somebody gives a clock another due, which goes where its juice goes.
func (s *State) puts(c *AlarmClock) {
	if c.Hand = c.Derived; !c.Derived {
		return
	}
	if s.put == nil {
		s.put = map[string]ClockID{}
	}
	s.put[strings.TrimPrefix(string(c.ID), c.Subject.Full())] = c.ID
}

// byHand is the clock of the same ground at another place that somebody gave another
// due, where there is one.
func (s *State) byHand(of subject.Ref, t Timer) *AlarmClock {
	c := s.clocks[s.put[strings.TrimPrefix(string(t.id(of)), of.Full())]]
	if c == nil || c.Subject == of {
		return nil
	}
	return c
}

// take brings all but the due of a clock to its timer.
func (c *AlarmClock) take(t Timer) {
	c.Verb, c.Object, c.Start, c.Until, c.Model, c.Basis, c.Typed = t.Verb, t.Object, t.Start, t.Until, t.Model,
		t.Basis, t.Typed
	c.ground = t.Ground
	if t.Owner != "" && c.Owner == "" {
		c.Owner = t.Owner
	}
}

// endedBy says in a word or two by what a clock was ended.
func endedBy(f Fact) text.Say {
	switch f := f.(type) {
	case *CheckBegun:
		return endTested.Say()
	case *CheckRead:
		return endRead.Say()
	case *Dosed:
		return endDosed.Say()
	case *Moved:
		return endMoved.Say()
	case *Staged:
		return endStage.Say(f.Stage)
	case *Tipped:
		return endFull.Say()
	case *PressBegun:
		return endStarted.Say()
	case *PressEnded:
		return endEnded.Say()
	case *PressFreed:
		return endFree.Say()
	case *PressHalted:
		return endPressStops.Say(f.Reason)
	case *WasRead:
		return endMet.Say()
	case *JuiceRan, *Tipping:
		return endJuiceRan.Say()
	case *Corrected:
		if f.TakeBack {
			return endTakenBack.Say()
		}
		return endCorrected.Say()
	}
	return endEnded.Say()
}

// derivedAt are the clocks of a vessel that followed from what it held at an instant.
func (s *State) derivedAt(of subject.Ref, at time.Time) (out []*AlarmClock) {
	v := s.vessels[TankNumber(of.Name)]
	if v == nil || of.Kind != subject.Vessel {
		return nil
	}
	was := *v
	if v.late(at) {
		was.Now = v.upTo(at)
	}
	for _, t := range s.timers(&was, at) {
		c := &AlarmClock{ID: t.id(of), Subject: of, Kind: t.Kind, DueKind: t.DueKind, Due: t.Due, Derived: true}
		c.take(t)
		now := s.clocks[c.ID]
		if now != nil && now.Off && now.Done && !now.DoneAt.After(at) {
			continue
		}
		if now != nil && now.Hand {
			c.Due = now.Due
		}
		if !s.stored(of, t.Kind) {
			out = append(out, c)
		}
	}
	return out
}

// storedChanged looks again at what follows for the subject of a clock that somebody
// set by hand, or that was taken over, now that it stands or does not any more. Who
// takes such a clock off wants none in its place.
func (s *State) storedChanged(r Record, c *AlarmClock) {
	s.open = nil
	if c.Derived {
		return
	}
	p := s.byNumber(TankNumber(c.Subject.Name))
	if c.Subject != vesselRef(p.number) && c.Subject != pressRef(p.number) {
		return
	}
	s.derive(r, []place{p})
	if _, off := r.Fact.(*ClockCancelled); !off {
		return
	}
	for _, k := range s.ClocksOf(c.Subject) {
		if k.Derived && k.made == r.Seq {
			k.Done, k.DoneBy, k.DoneAt, k.How, k.Off = true, c.DoneBy, c.DoneAt, c.How, true
		}
	}
	s.open = nil
}
