package contact_test

import (
	"math"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	. "cellar.example/mustwatch/domain/contact"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/text"
	"cellar.example/mustwatch/testdata/tables"
)

// evening is the day on which the clocks of the vectors begin.
var evening = time.Date(2026, 9, 24, 0, 0, 0, 0, time.UTC)

func hours(h float64) Wait { return Wait(h * float64(time.Hour)) }

// demo is the card of the powder in the demo night, hot that of its liquid.
func demo() Card {
	return Card{
		Rows:  []Row{{15, 20, hours(2)}, {12, 15, hours(3)}, {10, 12, hours(4)}},
		Floor: 10, Ceiling: 45,
	}
}

func hot() Card {
	return Card{Rows: []Row{{40, 50, hours(1.5)}}, Ceiling: 55}
}

// clock reads "22:37:30" or "26:12" as an instant of the evening or the night
// after it.
func clock(t testing.TB, s string) time.Time {
	t.Helper()
	at := evening
	for i, part := range strings.Split(s, ":") {
		n, err := strconv.Atoi(part)
		require.NoError(t, err)
		at = at.Add(time.Duration(n) * []time.Duration{time.Hour, time.Minute, time.Second}[i])
	}
	return at
}

// logged reads "20:00=12.5 22:00=16.5".
func logged(t testing.TB, s string) []Reading {
	t.Helper()
	var out []Reading
	for _, one := range strings.Fields(s) {
		at, temp, _ := strings.Cut(one, "=")
		x, err := strconv.ParseFloat(temp, 64)
		require.NoError(t, err)
		out = append(out, Reading{At: clock(t, at), T: quantity.Celsius(x)})
	}
	return out
}

// TestPublishedVectors checks A1–A8, calculated once with an independent
// quadrature: arithmetic only, no evidence that the model fits must.
func TestPublishedVectors(t *testing.T) {
	source, rows := tables.Published(t, "enzyme_vectors.csv")
	worstP, worstMinutes := 0.0, 0.0
	for _, row := range rows {
		card := map[string]Card{"E-2204": demo(), "E-3105": hot()}[row["card"]]
		require.NoError(t, card.Validate())
		r := Run{Card: card, Start: clock(t, row["start"]), Readings: logged(t, row["readings"])}
		at := clock(t, row["at"])
		name := row["case"] + " " + row["kind"] + " at " + row["at"]
		switch row["kind"] {
		case "P":
			off := math.Abs(r.Progress(at) - tables.Number(t, row["expected"]))
			assert.LessOrEqual(t, off, 1e-4, name)
			worstP = max(worstP, off)
		case "row":
			d := r.Deadline(at)
			assert.True(t, d.OnCard && d.HasDue, name)
			assert.Equal(t, clock(t, row["expected"]), d.Due, name)
		case "model":
			due, ok, why := r.ModelDue(at)
			if !ok {
				assert.Equal(t, row["expected"], string(why), name)
				continue
			}
			assert.Empty(t, why, name)
			// To the nearest minute.
			off := math.Abs(due.Sub(clock(t, row["expected"])).Minutes())
			assert.LessOrEqual(t, off, 0.5, name)
			worstMinutes = max(worstMinutes, off)
		default:
			t.Errorf("unknown kind %s", row["kind"])
		}
	}
	t.Logf("source: %s; rows %d; worst error %.1e in P, %.2f min in the due (printed to the minute)",
		source, len(rows), worstP, worstMinutes)
}

// TestVectorsInWords checks what the vectors say beside their numbers.
func TestVectorsInWords(t *testing.T) {
	// A2: both dues are shown; A8: they are too close to show both.
	a2 := Run{Card: demo(), Start: clock(t, "22:10"), Readings: logged(t, "22:10=14.8")}.Deadline(clock(t, "22:10"))
	assert.True(t, a2.ModelDiffers())
	assert.Equal(t, "card row 12–15 °C, 3 h", a2.Basis.In(text.Units(quantity.Metric)))
	a8 := Run{Card: demo(), Start: clock(t, "20:00"), Readings: logged(t, "20:00=46 22:00=16")}
	assert.False(t, a8.Deadline(clock(t, "22:00")).ModelDiffers())
	early := a8.Deadline(clock(t, "20:00"))
	assert.True(t, early.Hot)
	assert.Equal(t, TooHot, early.ModelWhy)
	assert.False(t, a8.Deadline(clock(t, "22:00")).Hot)

	// A4: cold, and off the card.
	a4 := Run{Card: demo(), Start: clock(t, "20:00"), Readings: logged(t, "20:00=11.5 22:00=8.5")}.Deadline(clock(t,
		"22:00"))
	assert.True(t, a4.Cold)
	assert.False(t, a4.OnCard)
	assert.False(t, a4.HasDue, "the card says nothing of it, and a forecast is no deadline")
	assert.True(t, a4.HasModel)
	assert.Equal(t, clock(t, "22:00"), a4.Off)
	assert.Equal(t, "8.5 °C is off the card", a4.Basis.In(text.Units(quantity.Metric)))
	assert.False(t, a4.ModelDiffers())

	// A5: no due at 23:00.
	a5 := Run{Card: demo(), Start: clock(t, "20:00"), Readings: logged(t, "20:00=12 23:00=4 24:00=8")}
	none := a5.Deadline(clock(t, "23:00"))
	assert.False(t, none.HasDue)
	assert.Equal(t, TooCold, none.ModelWhy)
	assert.Equal(t, "4.0 °C is off the card", none.Basis.In(text.Units(quantity.Metric)))
	assert.Equal(t, quantity.Celsius(4), a5.Deadline(clock(t, "24:00")).Lowest, "the lowest stays the lowest")

	// A6: the second dose starts a clock of its own, at the temperature that holds.
	a6 := Run{Card: demo(), Start: clock(t, "20:50"), Readings: logged(t, "18:00=9.4 18:05=9.3 18:40=9.3 20:09=14.9")}
	second := a6.Deadline(clock(t, "20:50"))
	assert.Equal(t, quantity.Celsius(14.9), second.Lowest)
	assert.Equal(t, clock(t, "23:50"), second.Due)
	assert.False(t, second.Cold)
	a6.Start = clock(t, "16:30")
	first := a6.Deadline(clock(t, "18:05"))
	assert.True(t, first.Cold)
	assert.Equal(t, "9.3 °C is off the card", first.Basis.In(text.Units(quantity.Metric)))
}

// factor is k(t)/k(20 °C) by the model below a one-row card whose middle is the
// warmer of the two.
func factor(ea, celsius float64) float64 {
	top := max(celsius, 20)
	card := Card{Rows: []Row{{quantity.Celsius(top - 1), quantity.Celsius(top + 1), hours(1)}}, Ea: ea}
	p := func(x float64) float64 {
		start := evening
		return Run{Card: card, Start: start, Readings: []Reading{{start, quantity.Celsius(x)}}}.Progress(
			start.Add(time.Hour))
	}
	return p(celsius) / p(20)
}

// TestPublishedArrhenius checks T1–T4 and the factor table: they only prove that
// the program evaluates the formula. Sources of the activation energies stand in
// the table.
func TestPublishedArrhenius(t *testing.T) {
	source, rows := tables.Published(t, "arrhenius_factors.csv")
	worst := 0.0
	for _, row := range rows {
		got, want := factor(tables.Number(t, row["ea_kj_per_mol"]), tables.Number(t, row["celsius"])), tables.Number(t,
			row["factor"])
		assert.InDelta(t, want, got, tables.Number(t, row["tolerance"]), "%s at %s °C", row["case"], row["celsius"])
		worst = max(worst, math.Abs(got-want)/want)
	}
	t.Logf("source: %s; rows %d; worst relative error %.1e (printed to three decimals)", source, len(rows), worst)
}

// TestPublishedEquivalentTime checks T11: 22, 20, 18, 16, 14 °C hourly is worth
// 3.585 h at 20 °C. Source: calculated with Ea 41.8 kJ/mol; arithmetic only.
func TestPublishedEquivalentTime(t *testing.T) {
	card := Card{Rows: []Row{{21, 23, hours(1)}}}
	start := evening
	var log []Reading
	for i, c := range []quantity.Celsius{22, 20, 18, 16, 14} {
		log = append(log, Reading{start.Add(time.Duration(i) * time.Hour), c})
	}
	got := Run{Card: card, Start: start, Readings: log}.Progress(start.Add(4*time.Hour)) * factor(41.8, 22)
	assert.InDelta(t, 3.585, got, 0.001)
	t.Logf("source: calculated from the published Ea 41.8 kJ/mol, arithmetic only (T11); rows 1; worst error %.1e h",
		math.Abs(got-3.585))
}

// TestPublishedLinearity checks T13: the model at 20 °C stays within a tenth of
// the straight line from 15 to 30 °C. Source: Beverages 2018, 4(1), 10, which
// found activity linear in that span; the numbers are calculated.
func TestPublishedLinearity(t *testing.T) {
	source, rows := tables.Published(t, "enzyme_linearity.csv")
	worst := 0.0
	for _, row := range rows {
		at := tables.Number(t, row["celsius"])
		low, high := factor(41.8, 15), factor(41.8, 30)
		chord := low + (high-low)*(at-15)/15
		off := factor(41.8, at)/chord - 1
		assert.InDelta(t, tables.Number(t, row["chord_15_30"]), chord, 0.001)
		assert.InDelta(t, tables.Number(t, row["relative_difference"]), off, 0.001)
		assert.LessOrEqual(t, math.Abs(off), tables.Number(t, row["allowed"]))
		worst = max(worst, math.Abs(off))
	}
	t.Logf("source: %s; rows %d; worst difference from the line %.3f", source, len(rows), worst)
}
