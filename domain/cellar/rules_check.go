package cellar

import (
	"fmt"
	"strings"
	"time"

	"cellar.example/mustwatch/domain/clarity"
	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/stage"
	"cellar.example/mustwatch/domain/text"
)

var noNegative = text.New("no-negative",
	"No {what} on {tank} yet: {why}.",
	"Wait for a valid negative: sample clear beside a control that flocs.")

var (
	noTestStands   = text.New("no-test-stands", "it has no valid pectin test")
	broughtVerdict = text.New("brought-verdict", "what came from {from} is {verdict} by the pectin test of {time}")
	testIs         = text.New("test-is", "the pectin test of {time} is {verdict}")
	testUnread     = text.New("test-unread", "the pectin test of {time} is not read yet")
	cameInAfter    = text.New("came-in-after", "juice or enzyme came in after the pectin test of {time}")
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
	why := noTestStands.Say()
	if b := v.Now.BroughtLast(); b != nil {
		why = broughtVerdict.Say(b.In, strings.ToLower(string(b.Verdict)), b.Begun)
	} else if n := len(v.Now.Checks); n > 0 {
		k := v.Now.Checks[n-1]
		why = testIs.Say(k.Started, k.Verdict)
		if k.Open() {
			why = testUnread.Say(k.Started)
		} else if k.Verdict.OpensGate() {
			why = cameInAfter.Say(k.Started)
		}
	}
	what := "flotation"
	if field == "product" {
		what = "bentonite"
	}
	return []gate.Finding{{Field: field, Right: gate.Winemaker, Reason: true,
		Say: noNegative.Say(what, v.Number, why)}}
}

var stillFillingSays = text.New("still-filling",
	"{tank} still fills from {pouring}: that juice has had no enzyme, and the pectin test of {time} says nothing "+
		"about it.")

// stillFilling is D13, a rule of our own: the check of what is in a vessel says
// nothing of the juice that still runs into it, which has had no enzyme.
func (d *decision) stillFilling(v *Vessel, field string) []gate.Finding {
	if !v.Now.Open || v.Now.PectinGone.IsZero() {
		return nil // without a negative H09 asks, and a tank without enzyme is settled with a reason
	}
	return []gate.Finding{{Field: field, Right: gate.Anyone, Reason: true,
		Say: stillFillingSays.Say(v.Number, d.s.pouring(v), v.Now.PectinGone)}}
}

var (
	tooEarlyToRead = text.New("too-early-to-read",
		"Too early: the tubes are read at {time}.")
	voidAsJudged = text.New("void-as-judged", "Void. {why}", "It is saved but does not clear the tank to move.")
	voidSince    = text.New("void-since",
		"Void since {time}: protein falls out by then.",
		"It is saved but does not clear the tank to move: test again.")
	noProof = text.New("no-proof",
		"A clear sample proves nothing without a control that flocs.",
		"It is saved but does not clear the tank to move.")
)

// noResult is H10: read before its time, after void, or a clear sample
// without a control. A late or unproved reading is kept, but does not clear the tank to move.
func (t *verdictTry) noResult(d *decision) []gate.Finding {
	k := t.check
	read, void := k.Started.Add(k.Recipe.ReadAt.Duration()), k.Started.Add(k.Recipe.VoidAfter.Duration())
	switch t.judged.Verdict {
	case clarity.Early:
		return []gate.Finding{{Field: "sample", Right: gate.Nobody,
			Say: tooEarlyToRead.Say(read)}}
	case clarity.Void:
		if !d.at.After(k.Void()) {
			return []gate.Finding{{Field: "sample", Right: gate.Anyone, Say: voidAsJudged.Say(t.judged.Why)}}
		}
		return []gate.Finding{{Field: "sample", Right: gate.Anyone,
			Say: voidSince.Say(void)}}
	case clarity.NoProof:
		return []gate.Finding{{Field: "control", Right: gate.Anyone,
			Say: noProof.Say()}}
	}
	return nil
}

var soonUnchangedSays = text.New("soon-unchanged",
	"Unchanged for {age} so far.",
	"It can still floc until {time}: look then.")

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
			Say: soonUnchangedSays.Say(quantity.Span(d.at.Sub(k.ReadAt).Truncate(time.Second)), at)}}
	}
	return nil
}

var (
	floatRoomSays = text.New("float-room",
		"{tank} is {full} full; the float cap needs the room above {most}.")
	floatPressure = text.New("float-pressure",
		"{bar} bar is over the {float_bar} bar rating of the flotation plant.")
)

// floatRoom is H12: a cap needs room, and the plant has a pressure on its
// number that no word lifts.
func (t *stageTry) floatRoom(d *decision) (out []gate.Finding) {
	if t.Stage != stage.Flotation {
		return nil
	}
	lim, v := d.s.House.Limits, t.of
	if share := 100 * v.Fill(); share > lim.WorkingFloat+1e-9 {
		full, most := quantity.Percent(share).Beside(quantity.Percent(lim.WorkingFloat))
		out = append(out, gate.Finding{Field: "stage", Right: gate.Lead, Reason: true,
			Say: floatRoomSays.Say(v.Number, full, most)})
	}
	if t.Bar > lim.FloatBar {
		out = append(out, gate.Finding{Field: "bar", Right: gate.Nobody,
			Say: floatPressure.Say(t.Bar, lim.FloatBar)})
	}
	return out
}

var floatTempSays = text.New("float-temp",
	"{temp} makes a weak float cap; 12 to 22 °C is usual.")

// floatTemp is W14.
func (t *stageTry) floatTemp(d *decision) []gate.Finding {
	if t.Stage != stage.Flotation || t.of.Now.Last.Temp == nil {
		return nil
	}
	if temp := *t.of.Now.Last.Temp; temp < 12 || temp > 22 {
		return []gate.Finding{{Field: "stage", Right: gate.Anyone, Say: floatTempSays.Say(temp)}}
	}
	return nil
}

var warmSettlingSays = text.New("warm-settling",
	"{temp} is warm for settling: it will start to ferment.",
	"Cool it.")

// warmSettling is W12.
func (t *stageTry) warmSettling(d *decision) []gate.Finding {
	if t.Stage != stage.Settling || t.of.Now.Last.Temp == nil {
		return nil
	}
	if temp := *t.of.Now.Last.Temp; temp > 15 {
		return []gate.Finding{{Field: "stage", Right: gate.Anyone, Say: warmSettlingSays.Say(temp)}}
	}
	return nil
}

var (
	inARow          = text.New("in-a-row", "The {nth} positive in a row on {tank}")
	stillPositiveOn = text.New("still-positive", "Still positive on {tank}")
	afterFirstDose  = text.New("after-first-dose", "{length} after the first dose")
	otherRoute      = text.New("other-route", "{why}: call, and plan another route.")
)

// thirdPositive is W11: the third positive in a row, or one long after the
// first dose. Call somebody and plan another route.
func (t *verdictTry) thirdPositive(d *decision) []gate.Finding {
	if t.judged.Verdict != clarity.Positive {
		return nil
	}
	var why, long text.Say
	if row := 1 + t.of.Now.positives(); row >= 3 {
		why = inARow.Say(nth(row), t.of.Number)
	}
	if since := t.of.Now.firstContactDose(); !since.IsZero() && d.at.Sub(since) > stillPositive {
		if why.IsZero() {
			why = stillPositiveOn.Say(t.of.Number)
		}
		long = afterFirstDose.Say(quantity.Span(d.at.Sub(since).Truncate(time.Minute)))
	}
	if why.IsZero() {
		return nil
	}
	return []gate.Finding{{Field: "sample", Right: gate.Anyone, Say: otherRoute.Say(text.Join(", ", why, long))}}
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

var sharedManifoldSays = text.New("shared-manifold",
	"{tank} shares manifold {manifold} with{full}, which is full.",
	"Swing bend off and the line blanked? Set it in the form.")

// sharedManifold is H16: no caustic towards a full vessel. The bend is taken
// off and the manifold blanked, and that is said.
func (t *stageTry) sharedManifold(d *decision) []gate.Finding {
	if t.Stage != stage.Cleaning || t.Blank || t.of.Manifold == "" {
		return nil
	}
	full := ""
	for _, p := range d.s.vesselOrder {
		if v := d.s.vessels[p]; v != t.of && v.Manifold == t.of.Manifold && v.Now.Volume > 0 {
			full += " " + string(v.Number)
		}
	}
	if full == "" {
		return nil
	}
	return []gate.Finding{{Field: "blanked", Right: gate.Nobody,
		Say: sharedManifoldSays.Say(t.of.Number, t.of.Manifold, full)}}
}
