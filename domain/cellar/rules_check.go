package cellar

import (
	"fmt"
	"strings"
	"time"

	"cellar.example/mustwatch/domain/clarity"
	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/stage"
)

// pectin is H09. Flotation lifts no juice that still holds pectin, and
// bentonite takes a working enzyme out (IFV, bentonite sheet; IGWS 2016).
func (d *decision) pectin(v *Vessel, field string) []gate.Finding {
	if v.Now.Kind == stage.RedMust || v.Now.Kind == stage.Wine {
		return nil
	}
	if !v.Now.PectinGone.IsZero() && v.Now.Check() == nil {
		return nil // while a later check is not read the negative before it counts no more
	}
	why := "no clarity check of it stands"
	if b := v.Now.BroughtLast(); b != nil {
		why = fmt.Sprintf("what came from %s is %s by the check of %s", b.In, strings.ToLower(string(b.Verdict)), d.s.Clock(b.Begun))
	} else if n := len(v.Now.Checks); n > 0 {
		k := v.Now.Checks[n-1]
		why = fmt.Sprintf("the check of %s is %s", d.s.Clock(k.Started), k.Verdict)
		if k.Open() {
			why = fmt.Sprintf("the check of %s is not read yet", d.s.Clock(k.Started))
		} else if k.Verdict.OpensGate() {
			why = fmt.Sprintf("juice or enzyme came in after the check of %s", d.s.Clock(k.Started))
		}
	}
	what := "flotation"
	if field == "product" {
		what = "bentonite"
	}
	return []gate.Finding{{Field: field, Right: gate.Winemaker, Reason: true,
		Message: fmt.Sprintf("No %s on %s yet: %s. A valid negative is needed, sample clear beside a control that flocs.", what, v.Plate, why)}}
}

// stillFilling is D13, a rule of our own: the check of what is in a vessel says
// nothing of the juice that still runs into it, which has had no enzyme.
func (d *decision) stillFilling(v *Vessel, field string) []gate.Finding {
	if !v.Now.Open || v.Now.PectinGone.IsZero() {
		return nil // without a negative H09 asks, and a tank without enzyme is settled with a reason
	}
	return []gate.Finding{{Field: field, Right: gate.Anyone, Reason: true,
		Message: fmt.Sprintf("%s still fills from %s: what comes now has had no enzyme, and the check of %s says nothing of it.", v.Plate, d.s.pouring(v), d.s.Clock(v.Now.PectinGone))}}
}

// noResult is H10: read before its time, after void, or a clear sample
// without a control. A late or unproved reading is kept, but opens no gate.
func (t *verdictTry) noResult(d *decision) []gate.Finding {
	k := t.check
	read, void := k.Started.Add(k.Recipe.ReadAt.Duration()), k.Started.Add(k.Recipe.VoidAfter.Duration())
	s := d.s
	switch t.judged.Verdict {
	case clarity.Early:
		return []gate.Finding{{Field: "sample", Right: gate.Nobody,
			Message: fmt.Sprintf("Too early: the tubes are read at %s.", s.Clock(read))}}
	case clarity.Void:
		if !d.at.After(k.Void()) {
			return []gate.Finding{{Field: "sample", Right: gate.Anyone, Message: "Void. " + t.judged.Why + " It is kept but opens no gate."}}
		}
		return []gate.Finding{{Field: "sample", Right: gate.Anyone,
			Message: fmt.Sprintf("Void since %s, protein falls out by then. It is kept but opens no gate: test again.", s.Clock(void))}}
	case clarity.NoProof:
		return []gate.Finding{{Field: "control", Right: gate.Anyone,
			Message: "A clear sample proves nothing without a control that flocs. It is kept but opens no gate."}}
	}
	return nil
}

// soonUnchanged is D27, a rule of our own: a haze may become flocs up to the void
// time, so "unchanged" minutes before that says little. Flocs may be said at any time.
func (t *verdictTry) soonUnchanged(d *decision) []gate.Finding {
	if t.second != clarity.SecondUnchanged {
		return nil
	}
	k := t.check
	at := k.Started.Add(k.Recipe.VoidAfter.Duration())
	if left := at.Sub(d.at); left > time.Minute {
		return []gate.Finding{{Field: "second", Right: gate.Anyone,
			Message: fmt.Sprintf("Unchanged for %s so far. It may still become flocs until %s: look then.", quantity.Span(d.at.Sub(k.ReadAt).Truncate(time.Second)), d.s.Clock(at))}}
	}
	return nil
}

// floatRoom is H12: a cap needs room, and the plant has a pressure on its
// plate that no word lifts.
func (t *stageTry) floatRoom(d *decision) (out []gate.Finding) {
	if t.Stage != stage.Flotation {
		return nil
	}
	lim, v := d.s.House.Limits, t.of
	if share := 100 * v.Fill(); share > lim.WorkingFloat+1e-9 {
		full, most := quantity.Percent(share).Beside(quantity.Percent(lim.WorkingFloat))
		out = append(out, gate.Finding{Field: "stage", Right: gate.Lead, Reason: true,
			Message: fmt.Sprintf("%s is %s full; a cap wants room above %s.", v.Plate, full, most)})
	}
	if t.Bar > lim.FloatBar {
		out = append(out, gate.Finding{Field: "bar", Right: gate.Nobody,
			Message: fmt.Sprintf("%g bar is over the %g bar on the plate of the plant.", t.Bar, lim.FloatBar)})
	}
	return out
}

// floatTemp is W14.
func (t *stageTry) floatTemp(d *decision) []gate.Finding {
	if t.Stage != stage.Flotation || t.of.Now.Last.Temp == nil {
		return nil
	}
	if temp := *t.of.Now.Last.Temp; temp < 12 || temp > 22 {
		return []gate.Finding{{Field: "stage", Right: gate.Anyone, Message: fmt.Sprintf("%s makes a weak cap; 12 to 22 °C is usual.", temp.Text(d.s.House.Units))}}
	}
	return nil
}

// warmSettling is W12.
func (t *stageTry) warmSettling(d *decision) []gate.Finding {
	if t.Stage != stage.Settling || t.of.Now.Last.Temp == nil {
		return nil
	}
	if temp := *t.of.Now.Last.Temp; temp > 15 {
		return []gate.Finding{{Field: "stage", Right: gate.Anyone, Message: fmt.Sprintf("%s is warm for settling: it will start by itself. Cool it.", temp.Text(d.s.House.Units))}}
	}
	return nil
}

// thirdPositive is W11: the third positive in a row, or one long after the
// first dose. Call somebody and plan another route.
func (t *verdictTry) thirdPositive(d *decision) []gate.Finding {
	if t.judged.Verdict != clarity.Positive {
		return nil
	}
	why := ""
	if row := 1 + t.of.Now.positives(); row >= 3 {
		why = fmt.Sprintf("The %s positive in a row on %s", nth(row), t.of.Plate)
	}
	if since := t.of.Now.firstContactDose(); !since.IsZero() && d.at.Sub(since) > stillPositive {
		if why == "" {
			why = fmt.Sprintf("Still positive on %s", t.of.Plate)
		}
		why += fmt.Sprintf(", %s after the first dose", quantity.Span(d.at.Sub(since).Truncate(time.Minute)))
	}
	if why == "" {
		return nil
	}
	return []gate.Finding{{Field: "sample", Right: gate.Anyone, Message: why + ": call, and plan another route."}}
}

// stillPositive is how long after the first dose a positive asks for another
// route (common practice, no source).
const stillPositive = 8 * time.Hour

// positives counts the positives in a row up to the last check that was read.
func (c *Content) positives() (row int) {
	for i := len(c.Checks) - 1; i >= 0; i-- {
		if k := c.Checks[i]; k.Verdict == clarity.Positive {
			row++
		} else if !k.Open() {
			break
		}
	}
	return row
}

// firstContactDose is when the first dose that clears this juice was poured.
func (c *Content) firstContactDose() (at time.Time) {
	for _, d := range c.Doses {
		if d.Class.contact() && d.At.After(c.Tested) && (at.IsZero() || d.At.Before(at)) {
			at = d.At
		}
	}
	return at
}

func nth(n int) string {
	switch n {
	case 3:
		return "third"
	case 4:
		return "fourth"
	}
	return fmt.Sprintf("%dth", n)
}

// sharedManifold is H16: no caustic towards a full vessel. The bend is taken
// off and the manifold blanked, and that is said.
func (t *stageTry) sharedManifold(d *decision) []gate.Finding {
	if t.Stage != stage.Cleaning || t.Blank || t.of.Manifold == "" {
		return nil
	}
	full := ""
	for _, p := range d.s.vesselOrder {
		if v := d.s.vessels[p]; v != t.of && v.Manifold == t.of.Manifold && v.Now.Volume > 0 {
			full += " " + string(v.Plate)
		}
	}
	if full == "" {
		return nil
	}
	return []gate.Finding{{Field: "blanked", Right: gate.Nobody,
		Message: fmt.Sprintf("%s shares manifold %s with%s, which is full. Bend off and blanked? Say so.", t.of.Plate, t.of.Manifold, full)}}
}
