package cellar

import (
	"slices"

	"cellar.example/mustwatch/domain/stage"
)

// A stage that a vessel stands in at the opening has the clock that it would have by
// the house's lengths, from when it began; where that cannot be told it is refused, so
// that nothing stands there that nobody is called to.

// stageClocks are the kinds of clock that stand for the one of a stage.
var stageClocks = map[stage.Stage][]ClockKind{
	stage.Contact: {KindContact, KindLook}, stage.Settling: {KindSettling}, stage.Flotation: {KindFloat},
	stage.CapRise: {KindCap},
	stage.HotHold: {KindHot}, stage.SkinContact: {KindSkin}, stage.Cleaning: {KindClean},
}

// lapses are the clocks of a stage at the opening, none where one is taken over.
func (o OpenVessel) lapses(d *decision, taken []OpenClock) ([]Lapse, error) {
	kinds := stageClocks[o.Stage]
	for _, k := range taken {
		if of, err := d.s.resolve(k.Subject, "clocks"); err == nil && of == vesselRef(o.Vessel) &&
			slices.Contains(kinds, k.Kind) {
			return nil, nil
		}
	}
	no := func(template string, values ...any) error { return reject("stage", "vessels", template, values...) }
	switch o.Stage {
	case stage.CheckDue:
		return nil, no("{tank}: a running test is not taken over; type the stage it was in, then start a new test",
			o.Vessel)
	case stage.Contact:
		if !slices.ContainsFunc(o.Doses, func(x OpenDose) bool { return d.s.products[x.Product].Class.contact() }) {
			return nil, no("{tank} is in contact with what? Give its dose, or a clock for its test (kind {kind:%q})",
				o.Vessel, KindContact)
		}
		if !slices.ContainsFunc(o.Doses, func(x OpenDose) bool { return d.s.products[x.Product].HasClock() }) {
			return nil, no("{tank}: no product in it has a card with rows, so no test time can be calculated; give "+
				"a clock (kind {kind:%q})", o.Vessel, KindContact)
		}
		if o.Temp == nil {
			return nil, no("{tank}: the contact time depends on the temperature; give it, or a clock for its test "+
				"(kind {kind:%q})", o.Vessel, KindContact)
		}
	case stage.HotHold, stage.SkinContact:
		return nil, no("{tank} is in {stage}; until when? Give it a clock (kind {kind:%q})", o.Vessel, o.Stage,
			kinds[0])
	}
	all := (&SetStage{Stage: o.Stage}).clocks(d.s.House.Limits)
	for _, l := range all {
		if l.After <= 0 {
			return nil, no("{tank}: the house has no length for {stage}; give it a clock (kind {kind:%q})", o.Vessel,
				o.Stage, kinds[0])
		}
	}
	return all, nil
}

// timers are the clocks of its stage, from when that began.
func (o OpenVessel) timers(e *entry) (out []Timer) {
	for i, l := range o.Lapses {
		t := l.timer(e, i)
		t.Start = e.orAt(o.Since)
		t.Due = l.due(t.Start)
		out = append(out, t)
	}
	return out
}
