package cellar

import "slices"

// What people did about a vessel and its content knows nothing of: it was held and
// released, a pump began to run. It has its place in true time like any other line, and
// what ends one of them names it: a hold that was saved late is not released by a word
// that was given for another.

// acts is what people did about a vessel that still counts. It is never changed.
type acts struct {
	holds   []*Hold
	running *RunningMove
	over    []Seq // what ended before it began, by the times that were said
}

// hold is the hold of a vessel, the first of several; nil where it has none.
func (h *holding) hold() *Hold {
	if h == nil || h.acts == nil || len(h.holds) == 0 {
		return nil
	}
	return h.holds[0]
}

// pump is the move that runs out of a vessel, or nil.
func (h *holding) pump() *RunningMove {
	if h == nil || h.acts == nil {
		return nil
	}
	return h.running
}

// acted is what a vessel holds after something was done about it.
func (h *holding) acted(do func(a *acts)) *holding {
	out, a := h.next(), acts{}
	if out.content = h.contents(); h != nil && h.acts != nil {
		a = acts{slices.Clone(h.holds), h.running, slices.Clone(h.over)}
	}
	if do(&a); len(a.holds)+len(a.over) > 0 || a.running != nil {
		out.acts = &a
	} else {
		out.acts = nil
	}
	return out
}

// pumped ends the move that a pump ran for.
func (h *holding) pumped(of Seq) {
	if of != 0 || h.pump() != nil {
		h.acts = h.acted(func(a *acts) { a.stops(of) }).acts
	}
}

// begins reports whether something that was begun has not ended already.
func (a *acts) begins(of Seq) bool {
	i := slices.Index(a.over, of)
	if i >= 0 {
		a.over = slices.Delete(a.over, i, i+1)
	}
	return i < 0
}

// releases ends a hold; an older journal does not say which, and there was one.
func (a *acts) releases(of Seq) {
	i := slices.IndexFunc(a.holds, func(h *Hold) bool { return h.Seq == of || of == 0 })
	switch {
	case i >= 0:
		a.holds = slices.Delete(a.holds, i, i+1)
	case of != 0:
		a.over = append(a.over, of)
	}
}

// stops ends the move that runs, and the one that is named however its time was said.
func (a *acts) stops(of Seq) {
	if of != 0 && (a.running == nil || a.running.seq != of) {
		a.over = append(a.over, of)
	}
	a.running = nil
}

// act makes the line of what was done about a vessel.
func (s *State) act(e *entry, p TankNumber, do func(a *acts)) []*line {
	if s.vessels[p] == nil {
		return nil
	}
	return []*line{e.line(e.At, 0, func(before []*holding) []*holding {
		return []*holding{before[0].acted(func(a *acts) {
			if !e.takenBack() {
				do(a)
			}
		})}
	}, place{number: p})}
}
