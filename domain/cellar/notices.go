package cellar

import (
	"time"

	"cellar.example/mustwatch/domain/stage"
)

// notices are what is worth a look and no clock asks for. They stand among what
// may be done: never an alarm, never a key, and not on the sheet.
func (s *State) notices(now time.Time) (out []Due) {
	lim := s.House.Limits
	for _, v := range s.Vessels() {
		for _, find := range []func() (Due, bool){
			func() (Due, bool) { return s.odd(v, now) },
			func() (Due, bool) { return s.changedSheet(v, now) },
			func() (Due, bool) { return s.started(v) },
			func() (Due, bool) { return s.notLooked(v, lim, now) },
			func() (Due, bool) { return s.unsown(v, lim, now) },
			func() (Due, bool) { return s.warm(v, now) },
		} {
			if d, ok := find(); ok {
				out = append(out, d)
				break // one word about a vessel
			}
		}
	}
	for _, l := range s.Loads {
		if l.State == LoadWaiting && l.Waits(now) >= loadStands {
			out = append(out, Due{Subject: l.Ref(), Verb: "tip", At: l.Arrived, Kind: NotBefore, Notice: "waits"})
		}
	}
	out = append(out, s.expired(now)...)
	out = append(out, s.stillHere(now)...)
	for _, o := range s.OpenOrders("", now) {
		if o.Vessel != "" && o.Act != ActOther {
			out = append(out, Due{Subject: vesselRef(o.Vessel), Verb: string(o.Act), At: o.At, Kind: NotBefore,
				Owner: o.Asks(), Basis: s.Words(o.Say()), Notice: "ordered"})
		}
	}
	return out
}

// loadStands is for how long a load may stand in the yard before that is worth a word
// (common practice, no source).
const loadStands = 30 * time.Minute

// notLooked is W20: nobody has read, tested or dosed a vessel whose clock runs.
// Where something may only be done from an instant on, standing is what it is
// there for, and it counts from that instant.
func (s *State) notLooked(v *Vessel, lim Limits, now time.Time) (Due, bool) {
	seen, runs := v.Now.Looked, false
	for _, k := range s.ClocksOf(v.Ref()) {
		from := k.Start
		if k.DueKind == NotBefore {
			from = k.Due
		}
		seen = laterOf(seen, laterOf(from, k.AcknowledgedAt))
		runs = true
	}
	if !runs || v.Now.Stage.Empty() || s.calls(v, now) {
		return Due{}, false
	}
	at := seen.Add(lim.LookWithin.Duration())
	if !now.After(at) {
		return Due{}, false
	}
	return Due{Subject: v.Ref(), Verb: "look", At: at, Kind: NotBefore,
		Basis: "not checked since " + s.At(now).Clock(seen), Notice: "not checked"}, true
}

// calls reports whether an alarm of the vessel says more than a notice could.
func (s *State) calls(v *Vessel, now time.Time) bool {
	for _, k := range s.ClocksOf(v.Ref()) {
		if k.Raised(now) {
			return true
		}
	}
	return false
}

// unsown is the second half of W18: clear juice that stands warm without yeast
// starts by itself.
func (s *State) unsown(v *Vessel, lim Limits, now time.Time) (Due, bool) {
	c := &v.Now
	if c.Kind != stage.ClearJuice || !standing(c) || c.Stage == stage.Fermenting || c.Stage == stage.Stored ||
		c.Last.Temp == nil || *c.Last.Temp <= 14 {
		return Due{}, false
	}
	clear := c.Since
	if !c.cameIn.IsZero() { // how long it has been here, whatever was done to it
		clear = c.cameIn
	}
	at := clear.Add(lim.InoculateWithin.Duration())
	if !now.After(at) {
		return Due{}, false
	}
	return Due{Subject: v.Ref(), Verb: "inoculate", At: at, Kind: NotBefore,
		Basis:  "clear juice above 14 °C, not inoculated since " + s.At(now).Clock(clear),
		Notice: "not inoculated"}, true
}
