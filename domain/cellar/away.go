package cellar

import "time"

// Ran is a press as it was when nobody looked any more.
type Ran struct {
	*Press
	Filling bool // no programme had begun
	Stood   bool // it is known by now that it came to stand meanwhile
}

// RanAt lists the presses that ran or filled at an instant, as far as is known by
// now: those that still do, and those whose standstill was written only later.
func (s *State) RanAt(t time.Time) (out []Ran) {
	for _, p := range s.Presses() {
		x := Ran{Press: p, Filling: p.Started.IsZero()}
		switch p.State {
		case PressRunning, PressFilling:
			if p.Since.After(t) {
				continue
			}
		case PressStopped, PressLocked:
			for _, e := range s.EventsOf(p.Ref()) {
				x.Stood = x.Stood || e.Written.After(t) && e.Halt != nil && !e.Halt.GoesOn
			}
			if !x.Stood {
				continue
			}
		default:
			continue
		}
		out = append(out, x)
	}
	return out
}
