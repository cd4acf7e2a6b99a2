package cellar

import (
	"cmp"
	"slices"
	"time"

	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/text"
)

// Lockout is a press that was locked out. Whose lock hangs there is what counts before it
// goes on.
type Lockout struct {
	Press TankNumber
	Why   string
	By    Initials
	At    time.Time
	Until time.Time // zero while it is locked out
}

// Lockouts are the presses that were locked out since an instant, and those that are still.
func (s *State) Lockouts(from time.Time) (out []Lockout) {
	var all []*entry
	for _, e := range s.said {
		if p, _ := pressAct(e.Fact); p != "" && !e.takenBack() {
			all = append(all, e)
		}
	}
	slices.SortStableFunc(all, func(a, b *entry) int { return cmp.Or(a.At.Compare(b.At), cmp.Compare(a.Seq, b.Seq)) })
	for _, e := range all {
		p, _ := pressAct(e.Fact)
		at := slices.IndexFunc(out, func(x Lockout) bool { return x.Press == p && x.Until.IsZero() })
		switch f := e.Fact.(type) {
		case *PressHalted:
			if f.Locked && at < 0 {
				out = append(out, Lockout{Press: p, Why: f.Reason, By: e.By, At: e.At})
			}
		default:
			if at >= 0 {
				out[at].Until = e.At
			}
		}
	}
	return slices.DeleteFunc(out, func(x Lockout) bool { return !x.Until.IsZero() && x.Until.Before(from) })
}

var whoseLockSays = text.New("whose-lock",
	"{press} has been locked out since {time}, saved by {who}: {reason}. Whose lock was it, have they taken it off "+
		"themselves, and is everyone counted?")

// whoseLock is D33, a rule of our own: a press that was locked out goes on only when the
// one whose lock it was has taken it off. The board cannot see a lock; it asks.
func (t onPress) whoseLock(d *decision) []gate.Finding {
	if t.press.State != PressLocked {
		return nil
	}
	by := Initials("?")
	for _, x := range d.s.Lockouts(d.at) {
		if x.Press == t.press.Number && x.Until.IsZero() {
			by = x.By
		}
	}
	return []gate.Finding{{Of: t.press.Ref(), Field: "do", Right: gate.Anyone, Reason: true, Asked: true,
		Say: whoseLockSays.Say(t.press.Number, t.press.Since, by, t.press.Why)}}
}
