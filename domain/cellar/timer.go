package cellar

import (
	"fmt"
	"slices"
	"time"

	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/stage"
	"cellar.example/mustwatch/domain/subject"
	"cellar.example/mustwatch/domain/text"
)

// Timer is a clock that follows from what was said of a vessel or a press. It stands
// in what that holds, goes where that goes, and ends with it.
type Timer struct {
	Kind    ClockKind
	DueKind DueKind
	Verb    string
	Start   time.Time
	Due     time.Time
	Until   time.Time // of a reading: void after this
	Model   time.Time // the forecast beside a card deadline
	Object  string
	Basis   text.Say
	Owner   Initials
	Typed   bool
	Ground  Seq // the record it follows from
	Nth     int // of several that the record starts
}

// Says is what is to be done when it ends.
func (t Timer) Says() string { return VerbWords(t.Verb, t.Object) }

// id names the clock of a timer: as long as the record stands that it follows from,
// it is the same clock, whatever becomes of its due.
func (t Timer) id(of subject.Ref) ClockID {
	return ClockID(fmt.Sprintf("%s/%s/%d.%d", of.Full(), t.Kind, t.Ground, t.Nth))
}

// Lapse is what a fact says of a clock that it starts: after how long, or when.
type Lapse struct {
	Kind    ClockKind     `json:"kind"`
	DueKind DueKind       `json:"what"`
	Verb    string        `json:"verb"`
	After   quantity.Span `json:"after,omitzero"` // from the instant of the fact, or
	At      time.Time     `json:"at,omitzero"`    // the instant that was typed
	Basis   text.Say      `json:"basis,omitzero"`
	field   string        // where it was typed, "" when it is the house's; not kept
}

// due is when a lapse ends that starts at an instant.
func (l Lapse) due(from time.Time) time.Time {
	if !l.At.IsZero() {
		return Instant(l.At)
	}
	return Instant(from.Add(l.After.Duration()))
}

// timer is the clock that an entry starts by its nth lapse.
func (l Lapse) timer(e *entry, nth int) Timer {
	t := Timer{Kind: l.Kind, DueKind: l.DueKind, Verb: l.Verb, Start: e.At, Due: l.due(e.At), Basis: l.Basis,
		Owner: e.By, Ground: e.Seq, Nth: nth}
	if !l.At.IsZero() {
		t.Due = e.when(l.At)
	}
	return t
}

// bound refuses a lapse that cannot be meant, at the field where it was typed.
func (d *decision) bound(of subject.Ref, lapses ...Lapse) error {
	for _, l := range lapses {
		due := l.due(d.at)
		if n := due.Sub(d.at); n > maxClock || n < minClock && l.field != "" {
			return d.noClock(l.field, VerbWords(l.Verb, ""), of, due, d.at)
		}
	}
	return nil
}

// without is a list of timers with those of some kinds ended.
func without(all []Timer, kinds ...ClockKind) []Timer {
	var out []Timer
	for _, t := range all {
		if !slices.Contains(kinds, t.Kind) {
			out = append(out, t)
		}
	}
	return out
}

func (c *Content) ends(kinds ...ClockKind) { c.Timers = without(c.Timers, kinds...) }

func (c *Content) starts(t ...Timer) { c.Timers = append(slices.Clone(c.Timers), t...) }

// stageEnds are the clocks that a stage ends when it begins.
var stageEnds = map[stage.Stage][]ClockKind{
	stage.CapRise:  {KindFloat},
	stage.Clean:    {KindClean}, // inspected, whatever was found; cleaned again it is inspected again
	stage.Dirty:    {KindClean},
	stage.OutOfUse: {KindClean},
	stage.Cleaning: {KindClean},
	// floated juice waits for no settling any more
	stage.Settling:   {KindContact, KindLook, KindCap, KindFloat, KindReading, KindRoute, KindSettling},
	stage.Flotation:  {KindContact, KindLook, KindCap, KindFloat, KindReading, KindRoute, KindSettling},
	stage.Racked:     {KindSettling, KindCap, KindFloat},
	stage.Waiting:    {KindSettling, KindCap, KindFloat},
	stage.CooledBack: {KindHot},
	stage.Fermenting: {KindContact, KindLook, KindSettling, KindCap, KindFloat, KindReading, KindRoute},
	stage.DrawingOff: {KindPumpOver, KindSkin},
}
