package cellar

import (
	"strings"
	"time"

	"cellar.example/mustwatch/domain/caution"
	"cellar.example/mustwatch/domain/text"
)

// Entry is the line about going into tanks, which never leaves a face, in its parts. It never says that anybody may
// go in: a permit is for one vessel and one person.
type Entry struct {
	In      []Inside // who is in a vessel, longest first
	Perils  []Peril  // those of them whose permit has ended, whom the air tells to leave, or whom nobody watches
	Under   []Permit // the live permits
	Without []Permit // those of them under which nobody attends
}

// Peril is somebody who is in a vessel, by what was written, and must come out.
type Peril struct {
	Inside
	Since  time.Time
	Permit bool // has ended
	Air    *GasReading
}

// Entry says it at now.
func (s *State) Entry(now time.Time) Entry {
	e := Entry{In: s.InVessels(), Under: s.LivePermits(now)}
	for _, in := range s.inside {
		if p, ok := s.perilOf(in, now); ok {
			e.Perils = append(e.Perils, p)
		}
	}
	for _, p := range e.Under {
		if !s.Attended(&p) {
			e.Without = append(e.Without, p)
		}
	}
	return e
}

// perilOf tells the peril of one, with since when it is so.
func (s *State) perilOf(in Inside, now time.Time) (Peril, bool) {
	x := Peril{Inside: in, Since: in.Alone}
	if p := s.permit(in.Permit); p == nil || !p.Live(now) {
		if p != nil && p.Ended.IsZero() {
			x.Since = p.Until
		}
		x.Permit, x.Since = true, laterOf(x.Since, in.Since)
		return x, true
	}
	if g, ok := s.LastGasAt(in.Place); ok && s.Leave(g) {
		x.Air, x.Since = &g, laterOf(laterOf(g.At, g.Written), x.Since)
		return x, true
	}
	return x, !in.Alone.IsZero()
}

// Says is who is where, and why they must come out.
func (x Peril) Says() text.Say {
	alone := text.Say{}
	if !x.Alone.IsZero() {
		alone = text.Of(" WITHOUT AN ATTENDANT")
	}
	switch {
	case x.Permit:
		return text.Of("{who} WENT INTO {place}{alone} AND PERMIT {number} ENDED", x.Who, x.Place, alone, x.Number)
	case x.Air != nil:
		return text.Of("{who} IS IN {place}{alone} AND THE GAS READING SAYS LEAVE ({read})", x.Who, x.Place, alone,
			x.Air.Text())
	}
	return text.Of("{who} IS IN {place}{alone} SINCE {time}", x.Who, x.Place, alone, x.Alone)
}

// Head is who is in, and who else may not go in.
func (e Entry) Head() text.Say {
	var perils, in, under []text.Say
	for _, x := range e.Perils {
		perils = append(perils, x.Says())
	}
	if len(perils) > 0 {
		return text.Join("; ", perils...)
	}
	for _, x := range e.In { // first, for the end of a line may be cut off
		in = append(in, text.Of("{who} IN {place} since {time}", x.Who, x.Place, x.Since))
	}
	for _, p := range e.Under {
		if !e.without(p) {
			under = append(under, text.Of("PERMIT {number} ({place}, {holder}, attendant {attendant}, until {time})",
				p.Number, p.Place, p.Holder, p.Attendant, p.Until))
		}
	}
	if len(under) == 0 {
		return text.Join("; ", append(in, text.Of("NO TANK ENTRY"))...)
	}
	in = append(in, text.Of("NO TANK ENTRY EXCEPT UNDER {permits}", text.Join(" OR ", under...)))
	return text.Join("; ", append(in, e.unattended()...)...)
}

// Why is what to do about a peril, or why nobody goes in.
func (e Entry) Why() text.Say {
	switch {
	case len(e.Perils) > 0:
		return text.Of("GET HELP, STAY OUT. NOBODY ENTERS")
	case e.NoPermit():
		return text.Of("no live permit")
	case len(e.Without) == len(e.Under):
		return text.Join("; ", e.unattended()...)
	}
	return text.Say{}
}

// NoPermit reports whether the line says no more than that no permit is live.
func (e Entry) NoPermit() bool { return len(e.Perils)+len(e.Under) == 0 }

// Line is the whole of it in one line.
func (e Entry) Line() text.Say {
	if e.NoPermit() {
		return text.Words(caution.NoEntry.Text())
	}
	return text.Join(": ", e.Head(), e.Why())
}

// EntryLine is the whole of it as a sentence.
func (s *State) EntryLine(now time.Time) string { return s.Words(s.Entry(now).Line()) }

func (e Entry) unattended() (out []text.Say) {
	for _, p := range e.Without {
		out = append(out, text.Of("permit {number} for {place} has NO ATTENDANT", p.Number, p.Place))
	}
	return out
}

func (e Entry) without(p Permit) bool {
	for _, x := range e.Without {
		if x.ID == p.ID {
			return true
		}
	}
	return false
}

// Inhabited is who is in a vessel or a press, by what was written; ok is false where nothing was written, which says
// nothing about anybody's safety.
func (s *State) Inhabited(p TankNumber) (in Inside, ok bool) {
	for _, in := range s.inside {
		if strings.EqualFold(in.Place, string(p)) {
			return in, true
		}
	}
	return Inside{}, false
}

// Short is what stands at the vessel or the press itself.
func (in Inside) Short() text.Say {
	if !in.Alone.IsZero() {
		return text.Of("{who} IN, NO ATTENDANT", in.Who)
	}
	return text.Of("{who} IS IN IT", in.Who)
}

// InhabitedSays is what stops everything at a vessel or a press that somebody is in: who, since when, under which
// permit, and that nothing may be done there. Nil says only that nothing was written.
func (s *State) InhabitedSays(p TankNumber, now time.Time) (out []string) {
	in, ok := s.Inhabited(p)
	if !ok {
		return nil
	}
	say := func(x text.Say) { out = append(out, s.Words(x)) }
	say(text.Of("H17: {who} IN {place} since {time}, not logged out.", in.Who, in.Place, in.Since))
	if !in.Alone.IsZero() {
		say(text.Of("NO ATTENDANT since {time}: GET HELP, STAY OUT. Name an attendant now (z a).", in.Alone))
	}
	if x := s.permit(in.Permit); x != nil && x.Live(now) {
		attends := text.Of("NO ATTENDANT")
		if s.Attended(x) {
			attends = text.Of("attendant {who}", x.Attendant)
		}
		say(text.Of("Permit {number}, given by {given}, until {time}; {attends}.", in.Number, in.Given, x.Until,
			attends))
	} else {
		say(text.Of("THE PERMIT {number} ENDED: GET HELP, STAY OUT.", in.Number))
	}
	say(text.Of("Do not run, turn or pour anything there until they are out and that is logged (z c). This cannot be " +
		"overridden."))
	return out
}
