package clarity

import (
	"time"

	"cellar.example/mustwatch/domain/quantity"
)

// Look is what the sample tube looks like.
type Look string

// The looks, from far to near.
const (
	LargeFlocs Look = "large flocs"
	SmallFlocs Look = "small flocs"
	FineFlocs  Look = "fine flocs"
	FaintHaze  Look = "faint haze"
	Clear      Look = "clear"
)

// order is the way a juice goes while its pectin is broken down.
var order = [...]Look{LargeFlocs, SmallFlocs, FineFlocs, FaintHaze, Clear}

// step returns how far a look is on that way: 0 for large flocs, 4 for clear,
// -1 for no look.
func (l Look) step() int {
	for i, x := range order {
		if l == x {
			return i
		}
	}
	return -1
}

// Short is a look in one word: large, haze.
func (l Look) Short() string {
	switch l {
	case LargeFlocs:
		return "large"
	case SmallFlocs:
		return "small"
	case FineFlocs:
		return "fine"
	case FaintHaze:
		return "haze"
	}
	return string(l)
}

func (l Look) flocs() bool { return l == LargeFlocs || l == SmallFlocs || l == FineFlocs }

// ControlLook is what the same juice without enzyme looks like, in the same
// alcohol at the same minute. Empty is ControlNone.
type ControlLook string

// The looks of a control. It proves the reagent only when it flocs.
const (
	ControlFlocs ControlLook = "flocs"
	ControlClear ControlLook = "clear"
	ControlNone  ControlLook = "none"
)

// SecondLook is the second look at a faint haze; empty is none yet.
type SecondLook string

// What a haze can have become.
const (
	SecondUnchanged SecondLook = "unchanged"
	SecondFlocs     SecondLook = "flocs"
)

// Verdict is what a reading amounts to. It is calculated, never typed.
type Verdict string

// The verdicts. Only Negative opens a gate.
const (
	Pending  Verdict = "PENDING"
	Positive Verdict = "POSITIVE"
	Negative Verdict = "NEGATIVE"
	Invalid  Verdict = "INVALID"
	NoProof  Verdict = "NO PROOF"
	Early    Verdict = "TOO EARLY"
	Void     Verdict = "VOID"
)

// OpensGate says whether the juice may go on by this verdict.
func (v Verdict) OpensGate() bool { return v == Negative }

// Reading is one alcohol test as it was read. Started is when the alcohol went
// in, ReadAt when the tube was looked at, SecondAt when a haze was looked at
// again.
type Reading struct {
	Recipe   Recipe
	Started  time.Time
	ReadAt   time.Time
	Sample   Look
	Control  ControlLook
	Second   SecondLook
	SecondAt time.Time
}

// Judgement is a verdict with its reason in one sentence. Protein says that a
// stable haze was taken for protein, ControlOdd that the sample flocced and its
// control did not. Trend is how far the look is on its way: 0 large flocs, 1
// small, 2 fine, 3 faint haze, 4 clear, -1 no look.
type Judgement struct {
	Verdict    Verdict
	Why        string
	Protein    bool
	ControlOdd bool
	Trend      int
}

// Judge returns the verdict on a reading. First the time: before the recipe's
// reading time it is Early, later than its void time Void; the void time itself
// still counts. Then the table:
//
//	flocs       POSITIVE with any control or none; noted when the control is clear
//	faint haze  PENDING until the second look, with a control that flocs
//	clear       NEGATIVE with a control that flocs
//	haze, clear INVALID with a clear control, NO PROOF with none
//
// The second look at a haze counts from after the first up to and including the
// void time: unchanged is NEGATIVE (protein), flocs is POSITIVE. A recipe without
// times or a look that is none is INVALID. Source: Institute for Grape and Wine
// Sciences 2016 for looks and times; the control rules are good practice.
func Judge(r Reading) Judgement {
	j := Judgement{Trend: r.Sample.step()}
	ready := r.Started.Add(r.Recipe.ReadAt.Duration())
	void := r.Started.Add(r.Recipe.VoidAfter.Duration())
	switch {
	case r.Recipe.ReadAt <= 0 || r.Recipe.VoidAfter < r.Recipe.ReadAt || r.Started.IsZero():
		j.Verdict, j.Why = Invalid, "Nobody can say when to read this test: choose a recipe and start it."
	case r.ReadAt.Before(ready):
		j.Verdict, j.Why = Early, "Read before "+r.Recipe.ReadAt.String()+": look again at the reading time."
	case r.ReadAt.After(void):
		j.Verdict, j.Why = Void, "Read after "+r.Recipe.VoidAfter.String()+
			", when protein looks like pectin: run a new test."
	case j.Trend < 0:
		j.Verdict, j.Why = Invalid, "Say what the tube shows: large, small or fine flocs, faint haze, or clear."
	case r.Sample.flocs():
		j.positive(r, "Flocs: pectin is left, and flocs need no control.")
	case r.Sample == FaintHaze:
		j.haze(r, void)
	default:
		j.negative(r, "Clear beside a control that flocs: the pectin is gone.")
	}
	return j
}

func (j *Judgement) positive(r Reading, why string) {
	j.Verdict, j.Why = Positive, why
	if r.Control == ControlClear {
		j.ControlOdd = true
		j.Why = "Flocs, so pectin is left; the control is odd, it should have flocced too."
	}
}

// negative passes a tube without flocs only beside a control that flocs: a weak
// alcohol leaves any tube clear, and a wrong negative costs a whole flotation.
func (j *Judgement) negative(r Reading, why string) {
	switch r.Control {
	case ControlFlocs:
		j.Verdict, j.Why = Negative, why
	case ControlClear:
		j.Verdict = Invalid
		j.Why = "The control stayed clear: alcohol weak, ratio wrong, control already treated or juice poor in " +
			"pectin; run a new test."
	default:
		j.Verdict = NoProof
		j.Why = "No control: flocs need none, but no flocs prove nothing without untreated juice that flocs; run a " +
			"new test with a control."
	}
}

func (j *Judgement) haze(r Reading, void time.Time) {
	looked := r.Second == SecondFlocs || r.Second == SecondUnchanged
	if looked && r.SecondAt.After(void) {
		j.Verdict, j.Why = Void, "Haze looked at again after "+r.Recipe.VoidAfter.String()+
			", when protein looks like pectin: run a new test."
		return
	}
	looked = looked && r.SecondAt.After(r.ReadAt)
	switch {
	case looked && r.Second == SecondFlocs:
		j.positive(r, "The haze became flocs: pectin is left.")
		return
	case looked:
		j.negative(r, "The haze did not become flocs, beside a control that flocs: protein, the pectin is gone.")
	default:
		j.negative(r, "")
	}
	if j.Verdict != Negative {
		return
	}
	if !looked {
		j.Verdict = Pending
		j.Why = "A faint haze is no answer yet: look again up to " + r.Recipe.VoidAfter.String() +
			" after the alcohol went in."
		return
	}
	j.Protein = true
}

// Waits is how long a house lets the enzyme work on after a positive before the
// next test, by what the tube looked like; Hot is for hot juice, whatever it
// looked like.
type Waits struct {
	Large quantity.Span `json:"large" toml:"large"`
	Small quantity.Span `json:"small" toml:"small"`
	Fine  quantity.Span `json:"fine" toml:"fine"`
	Hot   quantity.Span `json:"hot" toml:"hot"`
}

// DefaultWaits returns 2 h 30, 1 h 30, 1 h and 55 min: a house table, no
// published interval is known.
func DefaultWaits() Waits {
	return Waits{Large: minutes(150), Small: minutes(90), Fine: minutes(60), Hot: minutes(55)}
}

// Next returns the wait from the alcohol going in to the next test after a
// positive. A haze that flocced at the second look waits as fine flocs do; a
// clear tube, and no look, wait for nothing: 0.
func (w Waits) Next(l Look, hot bool) quantity.Span {
	if l == Clear || l.step() < 0 {
		return 0
	}
	if hot {
		return w.Hot
	}
	switch l {
	case LargeFlocs:
		return w.Large
	case SmallFlocs:
		return w.Small
	}
	return w.Fine
}
