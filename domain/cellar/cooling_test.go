package cellar_test

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"gonum.org/v1/gonum/optimize"
)

// TestCoolingOf104 is E068 of the demo night against the vectors C27 and C28 of
// the calculation notes: 104 hL by 5.0 K is 57.4 kWh, at 25 kW 2.30 h.
func TestCoolingOf104(t *testing.T) {
	h := playNight(t, at("22:20"))
	v, _ := h.s.Vessel("104")
	k, ok := h.s.CoolingOf(v)
	require.True(t, ok)
	require.InDelta(t, 57.4, k.Energy.KWh(), 0.05)
	require.Equal(t, "00:38", h.s.Clock(k.ByPower))
	// C29: UA 2 kW/K and coolant of 0 °C take 2.66 h.
	require.Equal(t, "00:59", h.s.Clock(k.ByJacket))
	require.True(t, k.ByFit.IsZero(), "one reading makes no curve")
}

// TestCoolingCurveOf104 is E163 of the demo night: 13.5 °C when the jacket was
// opened at 22:20, 8.9 °C at 05:50, coolant 0 °C. The pace and the hour of 8.5 °C
// are found again by gonum's minimizer, which shares no code with the fit.
func TestCoolingCurveOf104(t *testing.T) {
	h := playNight(t, at("05:55"))
	v, _ := h.s.Vessel("104")
	k, ok := h.s.CoolingOf(v)
	require.True(t, ok)
	require.Equal(t, 2, k.Fitted)
	read := map[float64]float64{0: 13.5, at("05:50").Sub(at("22:20")).Hours(): 8.9}
	square := func(x []float64) (sum float64) {
		for hours, temp := range read {
			d := x[0]*math.Exp(-x[1]*hours) - temp
			sum += d * d
		}
		return sum
	}
	best, err := optimize.Minimize(optimize.Problem{Func: square}, []float64{10, 0.1},
		&optimize.Settings{FuncEvaluations: 5000}, &optimize.NelderMead{})
	require.NoError(t, err)
	require.InDelta(t, best.X[0], float64(k.Curve.Begin), 1e-3)
	require.InDelta(t, best.X[1], k.Curve.PerHour, 1e-5)
	hours := math.Log(best.X[0]/8.5) / best.X[1]
	require.WithinDuration(t, at("22:20").Add(time.Duration(hours*float64(time.Hour))), k.ByFit, time.Minute)
	require.Equal(t, "06:40", h.s.Clock(k.ByFit))
}

// TestTheForecastIsANotice: set with the target, moved by each reading, ended when
// the target is met; it never calls anybody.
func TestTheForecastIsANotice(t *testing.T) {
	h := playNight(t, at("22:30"))
	find := func() (due string, open bool) {
		for _, c := range h.s.ClocksOf(h.s.Known("104")) {
			if c.Kind == cellar.KindCooling {
				return h.s.Clock(c.Due), true
			}
		}
		return "", false
	}
	due, open := find()
	require.True(t, open)
	require.Equal(t, "00:59", due, "by the jacket: 2.66 h from 22:20")
	v, _ := h.s.Vessel("104")
	require.Equal(t, "rack", h.s.StandingOf(v, h.now).Text, "the row says what is to be done")
	// 13.5 at 22:20, 11.5 an hour later: towards 0 °C, 8.5 °C after
	// ln(13.5/8.5)/ln(13.5/11.5) = 2.885 h.
	h.say(t, `23:20 NS {"do":"reading","vessel":"104","temp":"11.5 °C"}`)
	due, _ = find()
	require.Equal(t, "01:13", due)
	for _, c := range h.s.Alarms(at("02:00")) {
		require.NotEqual(t, cellar.KindCooling, c.Kind)
	}
	h.say(t, `00:50 NS {"do":"reading","vessel":"104","temp":"8.4 °C"}`)
	_, open = find()
	require.False(t, open, "met")
}

// TestCoolingByItsReadings: two readings make a line; the hour it meets the
// target is that of the line through both.
func TestCoolingByItsReadings(t *testing.T) {
	h := openHouse(t)
	h.say(t, `18:30 NS {"do":"stage","vessel":"102","stage":"settling","target":"8 °C"}`,
		`19:00 NS {"do":"reading","vessel":"102","temp":"13 °C"}`,
		`21:00 NS {"do":"reading","vessel":"102","temp":"12 °C"}`)
	v, _ := h.s.Vessel("102")
	k, ok := h.s.CoolingOf(v)
	require.True(t, ok)
	require.Equal(t, 2, k.Fitted)
	require.Equal(t, "05:00", h.s.Clock(k.ByFit), "half a kelvin an hour, from 12 at 21:00 to 8")
	require.True(t, k.ByPower.IsZero(), "no jacket is known")
}
