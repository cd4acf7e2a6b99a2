package cellar

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/text"
)

// EffectKind is what of a vessel is another by something that was said of another time
// or place.
type EffectKind string

// The kinds of effect.
const (
	EffectVolume EffectKind = "volume"
	EffectSum    EffectKind = "sum"    // of a class of products
	EffectShare  EffectKind = "share"  // of a load
	EffectTest   EffectKind = "test"   // the verdict on the last check
	EffectPectin EffectKind = "pectin" // counts as gone, or not any more
	EffectStage  EffectKind = "stage"
	EffectDue    EffectKind = "due"
	EffectFault  EffectKind = "fault"       // what was said of it does not go together, or does again
	EffectAstray EffectKind = "unexplained" // litres
)

// Effect is one thing of a vessel that is another than it was. The empty text is none.
type Effect struct {
	Vessel TankNumber
	Kind   EffectKind
	Of     string // the class, the load
	Was    string
	Now    string
}

// Say puts an effect into words, without its vessel.
func (e Effect) Say() string {
	what := string(e.Kind)
	if e.Kind == EffectFault {
		return firstWords(map[bool]string{true: "DOES NOT ADD UP: " + e.Now}[e.Now != ""], "adds up again: "+e.Was)
	}
	switch e.Kind {
	case EffectSum:
		what = "sum of " + Class(e.Of).said()
	case EffectShare:
		what = e.Of
	case EffectPectin:
		what = "pectin gone"
	}
	return text.Of("{what} {was} → {now}", what, firstWords(e.Was, "none"), firstWords(e.Now, "none")).In(text.Exact{})
}

// effects compares what a vessel holds with what it held.
func (s *State) effects(p TankNumber, was, now *Content) (out []Effect) {
	u := s.House.Units
	add := func(kind EffectKind, of, a, b string) {
		if a != b {
			out = append(out, Effect{p, kind, of, a, b})
		}
	}
	volume := func(c *Content) string {
		if c.Volume == 0 {
			return ""
		}
		return c.Volume.Text(u)
	}
	add(EffectVolume, "", volume(was), volume(now))
	add(EffectStage, "", string(was.Stage), string(now.Stage))
	sums := func(c *Content) map[Class]float64 {
		out := map[Class]float64{}
		for _, d := range c.Doses {
			out[d.Class.family()] += d.PerHL
		}
		return out
	}
	a, b := sums(was), sums(now)
	for _, k := range keysOf(a, b) {
		if math.Abs(a[k]-b[k]) > 0.005 {
			add(EffectSum, string(k), s.sumText(was, k, a[k]), s.sumText(now, k, b[k]))
		}
	}
	loads := func(c *Content) map[LoadID]float64 {
		out := map[LoadID]float64{}
		for _, x := range c.Parts {
			out[x.Load] += 100 * float64(x.Volume) / math.Max(1, float64(c.Volume))
		}
		return out
	}
	x, y := loads(was), loads(now)
	for _, id := range keysOf(x, y) {
		if math.Abs(x[id]-y[id]) > 0.05 && was.Volume > 0 && now.Volume > 0 {
			add(EffectShare, string(id), percentText(x[id]), percentText(y[id]))
		}
	}
	verdict := func(c *Content) string {
		if b := c.BroughtLast(); b != nil {
			return b.Say()
		}
		if n := len(c.Checks); n > 0 {
			return strings.ToLower(string(c.Checks[n-1].Verdict))
		}
		return ""
	}
	add(EffectTest, "", verdict(was), verdict(now))
	gone := func(c *Content) string {
		if c.PectinGone.IsZero() {
			return ""
		}
		return "since " + s.Clock(c.PectinGone)
	}
	add(EffectPectin, "", gone(was), gone(now))
	return out
}

func (s *State) sumText(c *Content, k Class, perHL float64) string {
	if perHL == 0 {
		return ""
	}
	unit := quantity.GPerHL
	for _, d := range c.Doses {
		if d.Class.family() == k && d.Amount.Liquid() {
			unit = quantity.MLPerHL
		}
	}
	return quantity.Rate{Value: math.Round(perHL*100) / 100, Unit: unit}.Text(s.House.Units)
}

func percentText(x float64) string { return fmt.Sprintf("%.1f %%", x) }

func keysOf[K ~string, V any](all ...map[K]V) (out []K) {
	seen := map[K]bool{}
	for _, m := range all {
		for k := range m {
			if !seen[k] {
				seen[k] = true
				out = append(out, k)
			}
		}
	}
	sort.Slice(out, func(i, j int) bool { return out[i] < out[j] })
	return out
}

// tellEffects keeps what a record changed elsewhere than where it was said: where the
// juice has gone since, or where an entry that is corrected had reached.
func (s *State) tellEffects(r Record, w *held, v *Vessel) {
	for _, e := range s.effects(w.number, &w.Content, &v.Now) {
		if w.reached || rejudged(e, &w.Content, &v.Now) {
			s.logEffect(r, e)
		}
	}
}

// logEffect puts into the log of a vessel what an entry of another time or place changed.
func (s *State) logEffect(r Record, e Effect) {
	s.log(r, vesselRef(e.Vessel), "changed by a late entry or a correction: {effect}", e.Say())
}

// rejudged reports whether an effect is another verdict on tubes that had been read: that
// is told also of the vessel that was written of.
func rejudged(e Effect, was, now *Content) bool {
	n := len(was.Checks)
	return e.Kind == EffectTest && n > 0 && n == len(now.Checks) && was.Check() == nil &&
		was.Checks[n-1].ID == now.Checks[n-1].ID
}

// reaches reports whether a record reached a vessel that it says nothing of.
func (s *State) reaches(r Record, p TankNumber) bool {
	if f, ok := r.Fact.(*WasRead); ok {
		return f.Vessel != p
	}
	e := s.entryOf(r.Seq)
	if e == nil {
		return false
	}
	for _, l := range e.seq {
		for _, at := range l.Places {
			if at.number == p {
				return false
			}
		}
	}
	return true
}
