package cellar

import (
	"fmt"
	"slices"
	"strings"
	"time"
)

// A sheet is printed when the shift is handed over, and whenever somebody wants one in
// hand; and people act on it. What is written or corrected after that and changes what it
// said is told on the next one.

// PrintSheet says that the handover sheet was printed for a person. A look at it is no
// print and is not written.
type PrintSheet struct {
	Head
	UpTo Seq `json:"up_to,omitempty"` // the last record on it, where one that came since must not be missed
}

func (c *PrintSheet) decide(d *decision) ([]Fact, error) {
	if d.now.Sub(d.at) > maxAhead {
		return nil, reject("late", "at", "a sheet is noted when it is printed: what it said at {time} nobody can "+
			"tell now", d.says(d.at))
	}
	if c.UpTo != 0 && c.UpTo != d.s.Seq {
		return nil, reject(Overtaken, "up_to", "somebody saved an entry while the sheet was printed, and that is not "+
			"on it: print it again")
	}
	return []Fact{&SheetPrinted{UpTo: d.s.Seq}}, nil
}

// Overtaken is the code of a rejection of what was made before something else was
// written.
const Overtaken = "overtaken"

// SheetPrinted is a sheet in somebody's hand.
type SheetPrinted struct {
	UpTo Seq `json:"up_to"` // the last record on it
}

func (f *SheetPrinted) apply(s *State, r Record) {
	s.hand(r.At, r.By)
	s.log(r, theHouse, "the sheet was printed, up to entry {upto}", f.UpTo)
}

// Sheet is one that people have in hand: the one of the last handover, or the last one
// that somebody has printed for it or since.
type Sheet struct {
	Printed time.Time // as it says
	By      Initials  // "" at a handover
}

// handed is what a sheet said of each vessel, and what has become of that since.
type handed struct {
	Sheet
	at      time.Time // by the right clock
	said    map[TankNumber]sheetSaid
	changed map[TankNumber]*SheetChange
}

// sheetSaid is what a sheet says of a vessel.
type sheetSaid struct {
	content Content // no more of it than effects compares
	dues    []string
}

// SheetChange is what sheets said of a vessel and is another by now, and the entries that
// made it so.
type SheetChange struct {
	Vessel  TankNumber
	Sheets  []Sheet // oldest first
	Effects []Effect
	Entries []Seq
	Written time.Time // of the last of them
	By      Initials
}

// hand keeps what a sheet says at an instant. by is nobody at a handover: sheets that were
// not printed for it are out of use then.
func (s *State) hand(at time.Time, by Initials) {
	s.sheets = slices.DeleteFunc(slices.Clone(s.sheets), func(h *handed) bool {
		return h.By == by ||
			by == "" && at.Sub(h.at) > earlyBy
	})
	h := &handed{Sheet: Sheet{at, by}, at: at, said: map[TankNumber]sheetSaid{}, changed: map[TankNumber]*SheetChange{}}
	for _, v := range s.Vessels() {
		h.said[v.Number] = s.sheetSays(v, at)
	}
	s.sheets = append(s.sheets, h)
}

// onSheet reports whether a sheet may have said what was so at an instant.
func (s *State) onSheet(at time.Time) bool {
	return slices.ContainsFunc(s.sheets, func(h *handed) bool { return !at.After(h.at) })
}

func (s *State) sheetSays(v *Vessel, at time.Time) sheetSaid {
	c := v.upTo(at)
	x := sheetSaid{content: Content{Volume: c.Volume, Stage: c.Stage, Parts: c.Parts, Doses: c.Doses, Checks: c.Checks,
		PectinGone: c.PectinGone}}
	for _, k := range s.derivedAt(v.Ref(), at) {
		if k.Kind != KindCooling {
			x.dues = append(x.dues, k.Says()+" "+Clock(k.Due, k.Start, s.Zone()))
		}
	}
	slices.Sort(x.dues)
	return x
}

// sinceSheet compares what sheets said of a vessel with what follows of that time now that
// a record stands.
func (s *State) sinceSheet(r Record, v *Vessel) {
	for _, h := range s.sheets {
		if said, ok := h.said[v.Number]; ok {
			h.compare(s, r, v, said)
		}
	}
}

func (h *handed) compare(s *State, r Record, v *Vessel, said sheetSaid) {
	now := s.sheetSays(v, h.at)
	effects := s.effects(v.Number, &said.content, &now.content)
	if a, b := strings.Join(said.dues, ", "), strings.Join(now.dues, ", "); a != b {
		effects = append(effects, Effect{v.Number, EffectDue, "", a, b})
	}
	x := h.changed[v.Number]
	switch {
	case len(effects) == 0:
		delete(h.changed, v.Number)
		return
	case x == nil:
		x = &SheetChange{Vessel: v.Number, Sheets: []Sheet{h.Sheet}}
		h.changed[v.Number] = x
	case slices.Equal(x.Effects, effects):
		return // this one changed nothing of it
	}
	x.Effects, x.Entries, x.Written, x.By = effects, append(x.Entries, r.Seq), r.Written, r.By
}

// SinceSheet lists what sheets that people have in hand said otherwise, in number order;
// what is the same of several is told once.
func (s *State) SinceSheet() (out []SheetChange) {
	for _, p := range s.vesselOrder {
		out = append(out, s.sinceSheetOf(p)...)
	}
	return out
}

func (s *State) sinceSheetOf(p TankNumber) (out []SheetChange) {
	for _, h := range s.sheets {
		x := h.changed[p]
		if x == nil {
			continue
		}
		i := slices.IndexFunc(out, func(y SheetChange) bool {
			return slices.Equal(x.Effects, y.Effects) && slices.Equal(x.Entries, y.Entries)
		})
		if i < 0 {
			out = append(out, *x)
			continue
		}
		out[i].Sheets = append(slices.Clone(out[i].Sheets), h.Sheet)
	}
	return out
}

// NameSheets says which sheets said otherwise: "the sheet of 02:10 NS".
func (x SheetChange) NameSheets(clock func(time.Time) string) string {
	all := make([]string, len(x.Sheets))
	for i, h := range x.Sheets {
		all[i] = strings.TrimSpace(clock(h.Printed) + " " + string(h.By))
	}
	return strings.Join(all, " and ")
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

// changedSheet is that a sheet said otherwise, as something worth a look.
func (s *State) changedSheet(v *Vessel, now time.Time) (d Due, ok bool) {
	for _, x := range s.sinceSheetOf(v.Number) {
		if now.Sub(x.Written) < oddFor && !x.Written.Before(d.At) {
			ok = true
			d = Due{Subject: v.Ref(), Kind: NotBefore, Notice: "look", Amiss: true, At: x.Written,
				Verb: "changed since the sheet of " + x.NameSheets(s.Clock), Basis: x.Say()}
		}
	}
	return d, ok
}

var (
	_ = command[PrintSheet]("sheet")
	_ = fact[SheetPrinted]("sheet-printed")
)
