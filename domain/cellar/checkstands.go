package cellar

import (
	"slices"
	"strings"
	"time"

	"cellar.example/mustwatch/domain/clarity"
)

// A verdict is of the juice that was sampled. What came in before the tubes were read
// voids it; and where juice goes untested, the last word on it goes along.

// change is what came into a content after a sample of it was drawn.
type change struct {
	at   time.Time
	what string // "juice", or the product
}

// changedSince finds what came in between the sample of a check and what a content holds
// now: the tubes know nothing of juice or enzyme that was not in the vessel yet, treated
// or not. Of two entries of one instant the one that stands after the other is later.
func (c *Content) changedSince(k *Check) (x change, changed bool) {
	late := func(at time.Time, seq Seq) bool {
		return at.After(k.Started) || at.Equal(k.Started) && !slices.Contains(k.knew, seq)
	}
	if late(c.cameIn, c.cameSeq) {
		return change{c.cameIn, "juice"}, true
	}
	for _, d := range c.Doses {
		if d.Class.contact() && late(d.At, d.Seq) {
			return change{d.At, string(d.Product)}, true
		}
	}
	return x, false
}

// stands is a judgement on a check by what its vessel holds when it is read. Flocs show
// pectin whatever came in since; a tube without them proves nothing of what did.
func (s *State) stands(j clarity.Judgement, c *Content, k *Check) clarity.Judgement {
	x, changed := c.changedSince(k)
	if changed && (j.Verdict == clarity.Negative || j.Verdict == clarity.Pending) {
		j.Verdict, j.Protein = clarity.Void, false
		j.Why = s.phrase("After the sample, at {time}, {what} came in: test again.", x.at, x.what)
	}
	return j
}

// Brought is the last word on juice by the tests of the vessel that it came from. It
// stands until the juice is tested where it is now.
type Brought struct {
	In      TankNumber // where it was tested
	Begun   time.Time
	Verdict clarity.Verdict // positive or void
	Why     string
	At      time.Time // when the juice came
}

// Say puts it into words: "positive in 101".
func (b *Brought) Say() string { return strings.ToLower(string(b.Verdict)) + " in " + string(b.In) }

// brings is the last word on what leaves a vessel, nil where the tests say nothing bad
// of it, or nothing.
func (c *Content) brings(from TankNumber) *Brought {
	for i := len(c.Checks) - 1; i >= 0; i-- {
		k := c.Checks[i]
		switch {
		case c.Brought != nil && c.Brought.At.After(k.Started):
			return c.Brought
		case k.Verdict == clarity.Negative:
			return nil
		case k.Verdict == clarity.Positive || k.Verdict == clarity.Void:
			return &Brought{In: from, Begun: k.Started, Verdict: k.Verdict, Why: k.Why}
		}
	}
	return c.Brought
}

// BroughtLast is the word that came along with juice, where nothing was tested since; or
// nil.
func (c *Content) BroughtLast() *Brought {
	if n := len(c.Checks); c.Brought == nil || n > 0 && !c.Checks[n-1].Started.Before(c.Brought.At) {
		return nil
	}
	return c.Brought
}
