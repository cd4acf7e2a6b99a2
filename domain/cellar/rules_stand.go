package cellar

import (
	"fmt"
	"time"

	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/must/heat"
	"cellar.example/mustwatch/domain/quantity"
)

// The rules of what stands and waits: skins, hot must, red must, settling juice.

// findSkinsEarly is W04: drained or pressed before the least time on the skins.
func findSkinsEarly(t *trying) []gate.Finding {
	v, field := t.out, "from"
	if t.stage == DrawingOff {
		v, field = t.of, "stage"
	}
	if v == nil || t.move == nil && t.stage != DrawingOff {
		return nil
	}
	for _, k := range t.d.s.clocksAt(string(v.Plate), t.d.at) {
		if k.Kind == KindSkin && k.DueKind == NotBefore && t.d.at.Before(k.Due) {
			return []gate.Finding{{Field: field, Right: gate.Anyone, Asked: true,
				Message: fmt.Sprintf("%s has been on the skins since %s, at least to %s was meant: %s are missing.", v.Plate, t.d.s.Clock(k.Start), t.d.s.Clock(k.Due), quantity.Span(k.Due.Sub(t.d.at).Truncate(time.Minute)))}}
		}
	}
	return nil
}

// findHotOver is W16: cooled back or moved after the longest time it was to be
// held hot, by its own clock, else by the house.
func findHotOver(t *trying) []gate.Finding {
	v, field := t.out, "from"
	if t.stage == CooledBack {
		v, field = t.of, "stage"
	}
	if v == nil || v.Now.Stage != HotHold || t.move == nil && t.stage != CooledBack {
		return nil
	}
	most := v.Now.Since.Add(t.d.s.House.Limits.HotMost.Duration())
	for _, k := range t.d.s.ClocksOf(string(v.Plate)) {
		if k.Kind == KindHot && k.DueKind == NotAfter {
			most = k.Due
		}
	}
	if !t.d.at.After(most) {
		return nil
	}
	return []gate.Finding{{Field: field, Right: gate.Anyone,
		Message: fmt.Sprintf("%s was to be held hot to %s at the longest, %s ago: a cooked taste. Say so to the winemaker.", v.Plate, t.d.s.Clock(most), quantity.Span(t.d.at.Sub(most).Truncate(time.Minute)))}}
}

// The limits of red must on its skins (common practice, no source).
const (
	redHot      quantity.Celsius = 30
	redHotAhead                  = 3 * time.Hour
)

// askedAgain is how long the answer to one of these lasts: the next reading says
// nothing new.
const askedAgain = 3 * time.Hour

// findHotRed is W17: red must over 30 °C, or on its way there within three hours
// by the line through its readings.
func findHotRed(t *trying) []gate.Finding {
	if t.temp == nil || t.of == nil || t.of.Now.Kind != RedMust || t.of.Now.Stage != ColdSoak && t.of.Now.Stage != Maceration {
		return nil
	}
	if t.d.s.answeredSince(t.of.Plate, "W17", t.d.at.Add(-askedAgain)) {
		return nil
	}
	u := t.d.s.House.Units
	if *t.temp > redHot {
		is, most := t.temp.Beside(redHot, u)
		return []gate.Finding{{Field: "temp", Right: gate.Anyone,
			Message: fmt.Sprintf("%s is over %s: the yeast may stick. Cool, and pump over.", is, most)}}
	}
	line, ok := t.drift()
	if !ok || line.PerHour <= 0 {
		return nil
	}
	meets, err := line.Meets(redHot)
	if err != nil || meets.Sub(t.d.at) >= redHotAhead {
		return nil
	}
	return []gate.Finding{{Field: "temp", Right: gate.Anyone,
		Message: fmt.Sprintf("%s, up %.1f K an hour: %s about %s. Cool before that.", t.temp.Text(u), line.PerHour, redHot.Text(u), t.d.s.Clock(meets))}}
}

// settlingRise is the rise in K/h from which settling juice is about to start
// (common practice, no source).
const settlingRise = 0.3

// findWarmingSettling is the second half of W12, and its first once the juice has
// settled for a while: read as warm, or as rising.
func findWarmingSettling(t *trying) []gate.Finding {
	if t.temp == nil || t.of == nil || t.of.Now.Stage != Settling || t.d.s.answeredSince(t.of.Plate, "W12", t.d.at.Add(-askedAgain)) {
		return nil
	}
	u := t.d.s.House.Units
	if *t.temp > 15 {
		return []gate.Finding{{Field: "temp", Right: gate.Anyone, Message: fmt.Sprintf("%s is warm for settling: it will start by itself. Cool it.", t.temp.Text(u))}}
	}
	if line, ok := t.drift(); ok && line.PerHour > settlingRise {
		return []gate.Finding{{Field: "temp", Right: gate.Anyone,
			Message: fmt.Sprintf("%s, up %.1f K an hour while it settles: it will start by itself. Cool it.", t.temp.Text(u), line.PerHour)}}
	}
	return nil
}

// What a drift is reckoned from: readings of one stage, not too old, and far
// enough apart that tenths of a degree make no slope.
const (
	driftWithin = 6 * time.Hour
	driftApart  = time.Hour
)

// drift is the line through the readings of this stage and the one being written.
func (t *trying) drift() (heat.Curve, bool) {
	from := laterOf(t.of.Now.Since, t.d.at.Add(-driftWithin))
	all := []heat.Logged{{At: t.d.at, T: *t.temp}}
	apart := time.Duration(0)
	for _, r := range t.of.Now.Temps.Since(from) {
		if !r.At.Before(from) && r.At.Before(t.d.at) {
			all = append(all, heat.Logged{At: r.At, T: r.T})
			apart = max(apart, t.d.at.Sub(r.At))
		}
	}
	if apart < driftApart {
		return heat.Curve{}, false
	}
	line, err := heat.FitStraight(all)
	return line, err == nil
}

// answeredSince tells whether somebody has answered a rule about a vessel since t.
func (s *State) answeredSince(p Plate, code gate.Code, t time.Time) bool {
	for i := len(s.Answered) - 1; i >= 0; i-- {
		if a := s.Answered[i]; a.Subject == string(p) && a.Rule == code && a.At.After(t) {
			return true
		}
	}
	return false
}
