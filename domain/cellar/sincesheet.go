package cellar

import (
	"fmt"
	"slices"
	"strings"
	"time"
)

// A sheet is printed when the shift is handed over, and people act on it. What is written
// or put right after that and changes what it said is told on the next one.

// handed is what the sheet of a handover said of each vessel, and what has become of
// that since.
type handed struct {
	at      time.Time
	said    map[Plate]sheetSaid
	changed map[Plate]*SheetChange
}

// sheetSaid is what a sheet says of a vessel.
type sheetSaid struct {
	content Content // no more of it than effects compares
	dues    []string
}

// SheetChange is what the last sheet said of a vessel and is another by now, and the
// entries that made it so.
type SheetChange struct {
	Vessel  Plate
	Sheet   time.Time // when that was handed over
	Effects []Effect
	Entries []Seq
	Written time.Time // of the last of them
	By      Initials
}

// hand keeps what a sheet says at an instant.
func (s *State) hand(at time.Time) {
	h := &handed{at: at, said: map[Plate]sheetSaid{}, changed: map[Plate]*SheetChange{}}
	for _, v := range s.Vessels() {
		h.said[v.Plate] = s.sheetSays(v, at)
	}
	s.handed = h
}

func (s *State) sheetSays(v *Vessel, at time.Time) sheetSaid {
	c := v.upTo(at)
	x := sheetSaid{content: Content{Volume: c.Volume, Stage: c.Stage, Parts: c.Parts, Doses: c.Doses, Checks: c.Checks, PectinGone: c.PectinGone}}
	for _, k := range s.derivedAt(v.Ref(), at) {
		if k.Kind != KindCooling {
			x.dues = append(x.dues, k.Says()+" "+s.Clock(k.Due))
		}
	}
	slices.Sort(x.dues)
	return x
}

// sinceSheet compares what the sheet said of a vessel with what follows of that time
// now that a record stands.
func (s *State) sinceSheet(r Record, v *Vessel) {
	h := s.handed
	if h == nil {
		return
	}
	said, ok := h.said[v.Plate]
	if !ok {
		return
	}
	now := s.sheetSays(v, h.at)
	effects := s.effects(v.Plate, &said.content, &now.content)
	if a, b := strings.Join(said.dues, ", "), strings.Join(now.dues, ", "); a != b {
		effects = append(effects, Effect{v.Plate, EffectDue, "", a, b})
	}
	x := h.changed[v.Plate]
	switch {
	case len(effects) == 0:
		delete(h.changed, v.Plate)
		return
	case x == nil:
		x = &SheetChange{Vessel: v.Plate, Sheet: h.at}
		h.changed[v.Plate] = x
	case slices.Equal(x.Effects, effects):
		return // this one changed nothing of it
	}
	x.Effects, x.Entries, x.Written, x.By = effects, append(x.Entries, r.Seq), r.Written, r.By
}

// SinceSheet lists what the last sheet said otherwise, in plate order.
func (s *State) SinceSheet() (out []SheetChange) {
	for _, p := range s.vesselOrder {
		if s.handed != nil && s.handed.changed[p] != nil {
			out = append(out, *s.handed.changed[p])
		}
	}
	return out
}

// Say tells what was and what is, with the entries that did it.
func (x SheetChange) Say() string {
	var out []string
	for _, e := range x.Effects {
		out = append(out, e.Say())
	}
	entries := make([]string, len(x.Entries))
	for i, n := range x.Entries {
		entries[i] = fmt.Sprint(n)
	}
	word := "entry "
	if len(entries) > 1 {
		word = "entries "
	}
	return strings.Join(out, "; ") + ", by " + word + strings.Join(entries, ", ")
}

// changed is that the last sheet said otherwise, as something worth a look.
func (s *State) changedSince(v *Vessel, now time.Time) (Due, bool) {
	if s.handed == nil {
		return Due{}, false
	}
	x := s.handed.changed[v.Plate]
	if x == nil || now.Sub(x.Written) >= oddFor {
		return Due{}, false
	}
	return Due{Subject: v.Ref(), Kind: NotBefore, Notice: "look", Amiss: true, At: x.Written, Verb: "changed since the sheet of " + s.Clock(x.Sheet), Basis: x.Say()}, true
}
