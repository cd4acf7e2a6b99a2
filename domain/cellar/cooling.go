package cellar

import (
	"time"

	"cellar.example/mustwatch/domain/must/heat"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/text"
)

// Cooling is how a vessel comes to the temperature it is cooled or warmed to.
type Cooling struct {
	Target   quantity.Celsius
	Energy   heat.Energy // from the last reading to the target
	Power    heat.Power  // of the jacket
	ByPower  time.Time   // when the jacket's power would have done it; zero without a jacket
	ByJacket time.Time   // when the jacket would by its UA and its coolant; zero when they are not known
	Curve    heat.Curve  // through the readings: towards the coolant where it is known, else a line
	ByFit    time.Time   // when the curve meets the target; zero when there is none
	Fitted   int         // the readings the curve stands on
}

// CoolingOf calculates when a vessel meets its target: by the jacket's power, by what
// the jacket lets through towards its coolant, and by a curve through the readings
// since the stage began. All are help beside the dial. ok is false without a target, a
// volume and a reading, or when the target has been met.
func (s *State) CoolingOf(v *Vessel) (k Cooling, ok bool) {
	c := &v.Now
	if c.Target == nil || c.Last.Temp == nil || c.Volume == 0 || *c.Last.Temp == *c.Target {
		return k, false
	}
	k.Target = *c.Target
	body := heat.Body{Volume: c.Volume, Density: juiceDensity, Cp: heat.HouseCp}
	if c.Last.Density != nil {
		body.Density = *c.Last.Density
	}
	var err error
	if k.Energy, err = heat.Between(body, *c.Last.Temp, k.Target); err != nil {
		return k, false
	}
	from := laterOf(c.TempAt, c.Since)
	if v.JacketKW > 0 {
		k.Power = heat.Power(v.JacketKW)
		if span, err := heat.AtPower(k.Energy, k.Power); err == nil {
			k.ByPower = from.Add(span.Duration()).Round(time.Minute)
		}
	}
	if v.UA > 0 && v.Coolant != nil {
		if span, err := heat.ByJacket(body, heat.Conductance(v.UA), *v.Coolant, *c.Last.Temp, k.Target); err == nil {
			k.ByJacket = from.Add(span.Duration()).Round(time.Minute)
		}
	}
	k.fit(v)
	return k, true
}

// When is the forecast that counts: by the readings where they make a curve, else
// by what the jacket lets through, else by its power. ok is false when none does.
func (k Cooling) When() (at time.Time, basis text.Say, ok bool) {
	switch {
	case !k.ByFit.IsZero():
		return k.ByFit, onReadings.Say(k.Fitted), true
	case !k.ByJacket.IsZero():
		return k.ByJacket, onJacket.Say(), true
	case !k.ByPower.IsZero():
		return k.ByPower, onPower.Say(float64(k.Power)), true
	}
	return at, text.Say{}, false
}

// coolingApart is by how much a forecast must move before its clock does.
const coolingApart = 5 * time.Minute

// coolingTimer is the notice of when a vessel meets its target; ok is false when it is
// met, called off, or cannot be told.
func (s *State) coolingTimer(v *Vessel, now time.Time) (t Timer, ok bool) {
	c := &v.Now
	k, cooling := s.CoolingOf(v)
	if !cooling || c.Temps != nil && c.past() {
		return t, false
	}
	at, basis, ok := k.When()
	at = Instant(at)
	if !ok || !at.After(now) || at.Sub(now) > maxClock {
		return t, false
	}
	return Timer{Kind: KindCooling, DueKind: NotBefore, Verb: "be-at", Object: k.Target.Text(s.House.Units),
		Start: c.Since, Due: at,
		Basis: basis, Owner: c.Last.By, Ground: c.stageSeq}, true
}

// past reports whether the last reading has come to the target or beyond it, seen
// from where the content came from.
func (c *Content) past() bool {
	now, to := *c.Last.Temp, *c.Target
	from := now
	for r := range c.Temps.From(c.Since) {
		from = r.T
		break
	}
	return from >= to && now <= to || from <= to && now >= to
}

// fittedFor is how far back readings make a curve: what a jacket did the day before says
// little of what it does now (common practice, no source).
const fittedFor = 24 * time.Hour

// fit draws the curve. With one reading since the stage began, the one before it
// counts too, as of the beginning: nothing cooled the vessel until then.
func (k *Cooling) fit(v *Vessel) {
	c := &v.Now
	var since []heat.Logged
	read := c.Temps.evenly(laterOf(c.Since, c.TempAt.Add(-fittedFor)))
	for i, r := range read {
		if r.At.Before(c.Since) {
			continue
		}
		if len(since) == 0 && i > 0 && i == len(read)-1 {
			since = append(since, heat.Logged{At: c.Since, T: read[i-1].T})
		}
		since = append(since, heat.Logged{At: r.At, T: r.T})
	}
	var curve heat.Curve
	var err error
	if v.Coolant != nil {
		curve, err = heat.FitTowards(since, *v.Coolant)
	} else {
		curve, err = heat.FitStraight(since)
	}
	if err != nil {
		return
	}
	if at, err := curve.Meets(k.Target); err == nil {
		k.Curve, k.ByFit, k.Fitted = curve, at.Round(time.Minute), len(since)
	}
}

// juiceDensity stands in where none was read: juice of about 21 °Brix.
const juiceDensity quantity.Density = 1.088

func laterOf(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}
