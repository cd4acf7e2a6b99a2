package cellar

import (
	"time"

	"cellar.example/mustwatch/domain/must/heat"
	"cellar.example/mustwatch/domain/quantity"
)

// Cooling is how a vessel comes to the temperature it is cooled or warmed to.
type Cooling struct {
	Target  quantity.Celsius
	Energy  heat.Energy // from the last reading to the target
	Power   heat.Power  // of the jacket
	ByPower time.Time   // when the jacket's power would have done it; zero without a jacket
	ByFit   time.Time   // when the readings since the stage began say so; zero when they do not
	Fitted  int         // the readings the fit stands on
}

// CoolingOf reckons when a vessel meets its target. The jacket's power is taken
// as constant, the readings as a straight line: both are help beside the dial,
// and no clock is made of them. ok is false without a target, a volume and a
// reading, or when the target has been met.
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
	if v.JacketKW > 0 {
		k.Power = heat.Power(v.JacketKW)
		if span, err := heat.AtPower(k.Energy, k.Power); err == nil {
			k.ByPower = laterOf(c.TempAt, c.Since).Add(span.Duration()).Round(time.Minute)
		}
	}
	var since []heat.Logged
	for _, r := range c.Temps {
		if !r.At.Before(c.Since) {
			since = append(since, heat.Logged{At: r.At, T: r.T})
		}
	}
	if line, err := heat.FitStraight(since); err == nil && len(since) > 1 {
		if at, err := line.Meets(k.Target); err == nil {
			k.ByFit, k.Fitted = at.Round(time.Minute), len(since)
		}
	}
	return k, true
}

// juiceDensity stands in where none was read: juice of about 21 °Brix.
const juiceDensity quantity.Density = 1.088

func laterOf(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}
