package cellar

import (
	"time"

	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/stage"
)

// Juice that stands has a clock too, though nobody started one: it warms, and it
// starts by itself, and then it will not settle any more.

// StartedByItself reports whether the density of juice that nobody has inoculated has
// fallen since it was first read, and from what to what.
func (s *State) StartedByItself(v *Vessel) (was, now quantity.Density, ok bool) {
	c := &v.Now
	if !standing(c) || c.Stage == stage.Fermenting || c.Stage == stage.Stored || c.Last.Density == nil ||
		c.DensityWas == 0 {
		return 0, 0, false
	}
	was, now = c.DensityWas, *c.Last.Density
	drop := s.House.Limits.StartDrop / 1000
	return was, now, float64(was-now) > drop+1e-9
}

// standing reports whether a content is juice without yeast.
func standing(c *Content) bool {
	if c.Volume <= 0 || c.Kind != stage.Juice && c.Kind != stage.PressJuice && c.Kind != stage.ClearJuice {
		return false
	}
	for _, d := range c.Doses {
		if d.Class == YeastClass {
			return false
		}
	}
	return true
}

// Started is what stands at juice whose density has fallen.
const Started = "started by itself?"

// StartedSays is what such a fall is told as, "" when there was none.
func (s *State) StartedSays(v *Vessel) string {
	was, now, ok := s.StartedByItself(v)
	if !ok {
		return ""
	}
	return s.phrase("{was} at {then}, {density} at {time}, no yeast: {started}", was, v.Now.DensityWasAt, now,
		v.Now.DensityAt, Started)
}

// started is a notice of it.
func (s *State) started(v *Vessel) (Due, bool) {
	words := s.StartedSays(v)
	if words == "" {
		return Due{}, false
	}
	return Due{Subject: v.Ref(), Verb: "look", At: v.Now.DensityAt, Kind: NotBefore, Basis: words, Notice: "started?"},
		true
}

// WarmSince is the instant since when juice waits, undecided, warmer than it may
// stand for long; ok is false before the house's hours are over.
func (s *State) WarmSince(v *Vessel, now time.Time) (since time.Time, ok bool) {
	c, lim := &v.Now, s.House.Limits
	if !standing(c) || c.Stage != stage.Waiting || c.Last.Temp == nil || *c.Last.Temp <= lim.StandBelow {
		return time.Time{}, false
	}
	return c.Since, now.After(c.Since.Add(lim.StandFor.Duration()))
}

// warm is a notice of it.
func (s *State) warm(v *Vessel, now time.Time) (Due, bool) {
	since, ok := s.WarmSince(v, now)
	if !ok {
		return Due{}, false
	}
	basis := s.phrase("{temp}, waiting since {time}: cool it, or settle or float it", *v.Now.Last.Temp, since)
	return Due{Subject: v.Ref(), Verb: "cool it", At: since, Kind: NotBefore, Basis: basis, Notice: "too warm"}, true
}
