package heat

import (
	"errors"
	"math"
	"slices"
	"time"

	"cellar.example/mustwatch/domain/quantity"
)

// Logged is a temperature of a tank at an instant.
type Logged struct {
	At time.Time
	T  quantity.Celsius
}

// Curve is how a tank goes on, from the readings it was fitted to. With a coolant
// it runs towards it, T = Towards + (Begin − Towards)·e^(−PerHour·h); Straight is
// a line, T = Begin + PerHour·h (K/h). h counts from Start, the first reading.
type Curve struct {
	Start    time.Time
	Last     Logged // the last reading
	Begin    quantity.Celsius
	Towards  quantity.Celsius
	PerHour  float64
	Straight bool
	Readings int
	Worst    float64 // the greatest distance of a reading from the curve, K
}

const twoReadings = "Take two temperatures at least five minutes apart: a curve needs them."

// FitTowards fits readings of a tank that a coolant of known temperature cools (or
// hot water warms), by least squares over the beginning and the pace. Readings may
// stand in any order. Fewer than two, readings beyond the coolant, and a tank that
// does not move towards it are errors.
func FitTowards(readings []Logged, coolant quantity.Celsius) (Curve, error) {
	rs, hours, err := inOrder(readings)
	if err == nil {
		err = checkTemperatures(coolant)
	}
	if err != nil {
		return Curve{}, err
	}
	gap := make([]float64, len(rs))
	for i, r := range rs {
		gap[i] = float64(r.T - coolant)
		if gap[i]*gap[0] <= 0 {
			return Curve{}, errors.New("The readings must lie on one side of the coolant: type its temperature " +
				"again, such as 2 °C.")
		}
	}
	k := pace(hours, gap)
	if !(k > 1e-6) {
		return Curve{}, errors.New("By these readings the tank does not move towards the coolant: take another, or " +
			"fit a straight line.")
	}
	a, _ := beginning(hours, gap, k)
	c := Curve{Start: rs[0].At, Last: rs[len(rs)-1], Begin: coolant + quantity.Celsius(a), Towards: coolant, PerHour: k,
		Readings: len(rs)}
	c.Worst = c.worst(rs)
	return c, nil
}

// FitStraight fits a line through the readings by least squares, for a tank that
// drifts or whose coolant is not known.
func FitStraight(readings []Logged) (Curve, error) {
	rs, hours, err := inOrder(readings)
	if err != nil {
		return Curve{}, err
	}
	n := float64(len(rs))
	var sh, st, shh, sht float64
	for i, r := range rs {
		h, t := hours[i], float64(r.T)
		sh, st, shh, sht = sh+h, st+t, shh+h*h, sht+h*t
	}
	slope := (n*sht - sh*st) / (n*shh - sh*sh)
	c := Curve{Start: rs[0].At, Last: rs[len(rs)-1], PerHour: slope, Straight: true, Readings: len(rs)}
	c.Begin = quantity.Celsius((st - slope*sh) / n)
	c.Worst = c.worst(rs)
	return c, nil
}

// At returns the temperature of the curve at an instant; long before its first
// reading a curve towards a coolant stops at e^20 times the first gap.
func (c Curve) At(at time.Time) quantity.Celsius {
	h := at.Sub(c.Start).Hours()
	if c.Straight {
		return c.Begin + quantity.Celsius(c.PerHour*h)
	}
	return c.Towards + (c.Begin-c.Towards)*quantity.Celsius(math.Exp(min(-c.PerHour*h, 20)))
}

// Meets returns the instant at which the curve comes to a temperature, to the
// second; it may have passed. A temperature it never comes to, or not within a
// year, is an error.
func (c Curve) Meets(target quantity.Celsius) (time.Time, error) {
	if err := checkTemperatures(target); err != nil {
		return time.Time{}, err
	}
	hours := float64(target-c.Begin) / c.PerHour
	if !c.Straight {
		hours = math.Log(float64(c.Begin-c.Towards)/float64(target-c.Towards)) / c.PerHour
	}
	const year = 366 * 24
	if !(math.Abs(hours) <= year) {
		return time.Time{}, errors.New("The curve never comes to " + target.Text(quantity.Metric) +
			": type a target on its way.")
	}
	return c.Start.Add(time.Duration(math.Round(hours*3600)) * time.Second), nil
}

func (c Curve) worst(rs []Logged) float64 {
	w := 0.0
	for _, r := range rs {
		w = max(w, math.Abs(float64(c.At(r.At)-r.T)))
	}
	return w
}

// inOrder returns the readings by time, and their hours after the first.
func inOrder(readings []Logged) ([]Logged, []float64, error) {
	rs := slices.Clone(readings)
	slices.SortStableFunc(rs, func(a, b Logged) int { return a.At.Compare(b.At) })
	if len(rs) < 2 || rs[len(rs)-1].At.Sub(rs[0].At) < 5*time.Minute {
		return nil, nil, errors.New(twoReadings)
	}
	if rs[len(rs)-1].At.Sub(rs[0].At) > 90*24*time.Hour {
		return nil, nil, errors.New("Take readings from within 90 days: older ones say nothing of tonight.")
	}
	hours := make([]float64, len(rs))
	for i, r := range rs {
		if err := checkTemperatures(r.T); err != nil {
			return nil, nil, err
		}
		hours[i] = r.At.Sub(rs[0].At).Hours()
	}
	return rs, hours, nil
}

// beginning is the best gap at hour 0 for a pace, and what is left of squares.
func beginning(hours, gap []float64, k float64) (a, rest float64) {
	var xy, xx float64
	for i, h := range hours {
		x := math.Exp(-k * h)
		xy, xx = xy+x*gap[i], xx+x*x
	}
	a = xy / xx
	for i, h := range hours {
		d := gap[i] - a*math.Exp(-k*h)
		rest += d * d
	}
	return a, rest
}

// pace is the pace in 1/h with the least squares: the best of a coarse ladder,
// then golden sections around it.
func pace(hours, gap []float64) float64 {
	rest := func(k float64) float64 { _, r := beginning(hours, gap, k); return r }
	const rungs = 400
	rung := func(i int) float64 { return 1e-7 * math.Pow(10, float64(i)*9/rungs) } // to 100 an hour
	best := 0
	for i := range rungs + 1 {
		if rest(rung(i)) < rest(rung(best)) {
			best = i
		}
	}
	low, high := rung(max(best-1, 0)), rung(min(best+1, rungs))
	const golden = 0.6180339887498949
	for range 120 {
		a, b := high-golden*(high-low), low+golden*(high-low)
		if rest(a) < rest(b) {
			high = b
		} else {
			low = a
		}
	}
	if best == 0 {
		return 0
	}
	return (low + high) / 2
}
