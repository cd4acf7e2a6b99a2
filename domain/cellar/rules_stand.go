package cellar

import (
	"time"

	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/must/heat"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/stage"
	"cellar.example/mustwatch/domain/text"
)

// The rules of what stands and waits: skins, hot must, red must, settling juice.

var skinsEarlySays = text.New("skins-early",
	"{tank} has been on skins since {time} and should stay until {least} at least: {missing} to go.")

// skinsEarly is W04: drained or pressed before the least time on the skins.
func (d *decision) skinsEarly(v *Vessel, field string) []gate.Finding {
	for _, k := range d.s.clocksAt(v.Ref(), d.at) {
		if k.Kind == KindSkin && k.DueKind == NotBefore && d.at.Before(k.Due) {
			return []gate.Finding{{Field: field, Right: gate.Anyone, Asked: true,
				Say: skinsEarlySays.Say(v.Number, k.Start, k.Due,
					quantity.Span(k.Due.Sub(d.at).Truncate(time.Minute)))}}
		}
	}
	return nil
}

var hotOverSays = text.New("hot-over",
	"{tank} was to be held hot until {time} at the longest, {age} ago: a cooked taste.",
	"Tell the winemaker.")

// hotOver is W16: cooled down or moved after the longest time it was to be
// held hot, by its own clock, else by the house.
func (d *decision) hotOver(v *Vessel, field string) []gate.Finding {
	if v.Now.Stage != stage.HotHold {
		return nil
	}
	most := v.Now.Since.Add(d.s.House.Limits.HotMost.Duration())
	for _, k := range d.s.ClocksOf(v.Ref()) {
		if k.Kind == KindHot && k.DueKind == NotAfter {
			most = k.Due
		}
	}
	if !d.at.After(most) {
		return nil
	}
	return []gate.Finding{{Field: field, Right: gate.Anyone,
		Say: hotOverSays.Say(v.Number, most, quantity.Span(d.at.Sub(most).Truncate(time.Minute)))}}
}

// The limits of red must on its skins (common practice, no source).
const (
	redHot      quantity.Celsius = 30
	redHotAhead                  = 3 * time.Hour
)

// askedAgain is how long the answer to one of these lasts: the next reading says
// nothing new.
const askedAgain = 3 * time.Hour

var (
	hotRedSays = text.New("hot-red",
		"{temp} is over {most}: the ferment can stick.",
		"Cool it, and pump over.")
	redWarming = text.New("red-warming",
		"{temp}, up {per_hour:%.1f} K an hour: {red_hot} about {time}.",
		"Cool before that.")
)

// hotRed is W17: red must over 30 °C, or on its way there within three hours
// by the line through its readings.
func (t *readTry) hotRed(d *decision) []gate.Finding {
	if t.Temp == nil || t.of.Now.Kind != stage.RedMust || t.of.Now.Stage != stage.ColdSoak &&
		t.of.Now.Stage != stage.Maceration {
		return nil
	}
	if d.s.answeredSince(t.of.Number, "W17", d.at.Add(-askedAgain)) {
		return nil
	}
	u := d.s.House.Units
	if *t.Temp > redHot {
		is, most := t.Temp.Beside(redHot, u)
		return []gate.Finding{{Field: "temp", Right: gate.Anyone,
			Say: hotRedSays.Say(is, most)}}
	}
	line, ok := t.drift(d)
	if !ok || line.PerHour <= 0 {
		return nil
	}
	meets, err := line.Meets(redHot)
	if err != nil || meets.Sub(d.at) >= redHotAhead {
		return nil
	}
	return []gate.Finding{{Field: "temp", Right: gate.Anyone,
		Say: redWarming.Say(t.Temp, line.PerHour, redHot, meets)}}
}

// settlingRise is the rise in K/h from which settling juice is about to start
// (common practice, no source).
const settlingRise = 0.3

var (
	warmingSettlingSays = text.New("warming-settling",
		"{temp} is warm for settling: it will start to ferment.",
		"Cool it.")
	settlingWarming = text.New("settling-warming",
		"{temp}, up {per_hour:%.1f} K an hour while it settles: it will start to ferment.",
		"Cool it.")
)

// warmingSettling is the second half of W12, and its first once the juice has
// settled for a while: read as warm, or as rising.
func (t *readTry) warmingSettling(d *decision) []gate.Finding {
	if t.Temp == nil || t.of.Now.Stage != stage.Settling || d.s.answeredSince(t.of.Number, "W12",
		d.at.Add(-askedAgain)) {
		return nil
	}
	if *t.Temp > 15 {
		return []gate.Finding{{Field: "temp", Right: gate.Anyone, Say: warmingSettlingSays.Say(t.Temp)}}
	}
	if line, ok := t.drift(d); ok && line.PerHour > settlingRise {
		return []gate.Finding{{Field: "temp", Right: gate.Anyone,
			Say: settlingWarming.Say(t.Temp, line.PerHour)}}
	}
	return nil
}

// What a drift is calculated from: readings of one stage, not too old, and far
// enough apart that tenths of a degree make no slope.
const (
	driftWithin = 6 * time.Hour
	driftApart  = time.Hour
)

// drift is the line through the readings of this stage and the one being written.
func (t *readTry) drift(d *decision) (heat.Curve, bool) {
	from := laterOf(t.of.Now.Since, d.at.Add(-driftWithin))
	all := []heat.Logged{{At: d.at, T: *t.Temp}}
	apart := time.Duration(0)
	for _, r := range t.of.Now.Temps.Since(from) {
		if !r.At.Before(from) && r.At.Before(d.at) {
			all = append(all, heat.Logged{At: r.At, T: r.T})
			apart = max(apart, d.at.Sub(r.At))
		}
	}
	if apart < driftApart {
		return heat.Curve{}, false
	}
	line, err := heat.FitStraight(all)
	return line, err == nil
}

// to reports whether an answer was to a finding.
func (a *Answered) to(f gate.Finding) bool {
	return a.Rule == f.Rule && a.Of == f.Of && a.Field == f.Field
}

// answeredSince reports whether somebody has answered a rule about a vessel since t.
func (s *State) answeredSince(p TankNumber, code gate.Code, t time.Time) bool {
	for i := len(s.Answered) - 1; i >= 0; i-- {
		if a := s.Answered[i]; a.Of == vesselRef(p) && a.Rule == code && a.At.After(t) {
			return true
		}
	}
	return false
}
