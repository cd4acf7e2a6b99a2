package contact_test

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	. "cellar.example/mustwatch/domain/contact"
	"cellar.example/mustwatch/domain/quantity"
)

// The spread is the row's hours at the row's middle, taken to another temperature
// by each of the two published extremes of activation energy.
func TestSpread(t *testing.T) {
	at := clock(t, "20:00")
	for _, c := range []struct {
		temp   string
		middle float64
		wait   float64
		shown  bool
	}{{temp: "12.1", middle: 13.5, wait: 3, shown: true}, {temp: "14.9", middle: 13.5, wait: 3, shown: true},
		{temp: "13.5", middle: 13.5, wait: 3}, {temp: "15.5", middle: 17.5, wait: 2, shown: true}, {temp: "8.0"}} {
		r := Run{Card: demo(), Start: at, Readings: logged(t, "20:00="+c.temp)}
		early, late, ok := r.Spread(at)
		require.Equal(t, c.shown, ok, c.temp)
		if !ok {
			continue
		}
		celsius := float64(r.Readings[0].T)
		hour := func(ea float64) float64 {
			return c.wait * math.Exp(ea*1000/8.314462618*(1/(celsius+273.15)-1/(c.middle+273.15)))
		}
		low, high := min(hour(9.2), hour(80.3)), max(hour(9.2), hour(80.3))
		assert.InDelta(t, low, early.Sub(at).Hours(), 1e-3, c.temp)
		assert.InDelta(t, high, late.Sub(at).Hours(), 1e-3, c.temp)
	}
	for _, r := range []Run{{}, {Card: demo(), Start: at}, {Start: at, Readings: logged(t, "20:00=13")}, {Card: demo(),
		Start: at, Readings: []Reading{{At: at, T: quantity.Celsius(math.NaN())}}}} {
		_, _, ok := r.Spread(at)
		assert.False(t, ok)
	}
	// Hot: the ceiling stops both.
	_, _, ok := Run{Card: demo(), Start: at, Readings: logged(t, "20:00=46")}.Spread(at.Add(time.Hour))
	assert.False(t, ok)
}

// Earliest and latest are of three forecasts, and the model's own is one of them:
// above the warmest row it stays level, where both extremes go on getting faster,
// and once it fell outside them both.
func TestSpreadContainsTheModel(t *testing.T) {
	one := Run{Card: Card{Rows: []Row{{12, 15, hours(3)}}}, Start: clock(t, "20:00"), Readings: logged(t,
		"20:00=12.5 22:00=16.5")}
	early, late, ok := one.Spread(clock(t, "22:00"))
	require.True(t, ok)
	// 22:31 and 22:56 are the extremes; the model, level above 13.5 °C, says 23:01
	require.Equal(t, "22:31 23:01", early.Round(time.Minute).Format("15:04")+" "+
		late.Round(time.Minute).Format("15:04"))

	shown, outermost := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		r := Run{Card: drawCard(t), Start: one.Start}
		coldest := float64(r.Card.Rows[0].From) // the first or, reversed, the warmest: on the card in any case
		for i := range rapid.IntRange(1, 4).Draw(t, "readings") {
			temp := coldest + rapid.Float64Range(0, 8).Draw(t, "above")
			r.Readings = append(r.Readings, Reading{At: r.Start.Add(time.Duration(i) * time.Hour),
				T: quantity.Celsius(temp)})
		}
		at := r.Start.Add(time.Duration(rapid.IntRange(0, 300).Draw(t, "minutes on")) * time.Minute)
		d := r.Deadline(at)
		early, late, ok := r.Spread(at)
		if !ok {
			return
		}
		if shown++; !d.HasModel || d.Model.Before(early) || d.Model.After(late) {
			t.Fatalf("the model says %v, outside %v to %v", d.Model, early, late)
		}
		if d.Model.Equal(early) || d.Model.Equal(late) {
			outermost++
		}
	})
	t.Logf("%d spreads, %d of them end with the model", shown, outermost)
	assert.NotZero(t, shown)
}
