package cellar

import (
	"slices"
	"time"

	"cellar.example/mustwatch/domain/contact"
)

// Trail is the temperatures that were read of a content, in whichever vessels it lay:
// the latest, and those before it. Contents share what they have in common, so that a
// reading costs the same after ten and after ten thousand. Nil is none.
type Trail struct {
	contact.Reading
	Before *Trail
}

// and is the trail with a reading more.
func (t *Trail) and(r contact.Reading) *Trail { return &Trail{r, t} }

// joined is the trail with what another vessel read of it before it came, each by
// its time.
func (t *Trail) joined(own *Trail) *Trail {
	if own == nil {
		return t
	}
	if t != nil && t.At.After(own.At) {
		return &Trail{t.Reading, t.Before.joined(own)}
	}
	return &Trail{own.Reading, t.joined(own.Before)}
}

// Since lists the readings from an instant on, oldest first, with the last one before
// it: what held then.
func (t *Trail) Since(at time.Time) []contact.Reading {
	var out []contact.Reading
	for ; t != nil; t = t.Before {
		out = append(out, t.Reading)
		if !t.At.After(at) {
			break
		}
	}
	slices.Reverse(out)
	return out
}
