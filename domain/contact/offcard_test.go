package contact_test

import (
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	. "cellar.example/mustwatch/domain/contact"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/text"
)

// told is the deadline of a run by all its readings.
func told(r Run) (d Deadline) {
	d, _ = r.Told(slices.Values(r.Readings), evening.Add(9999*time.Hour))
	return d
}

// TestOffTheCardItCannotBeTold: below the floor there is no due, whatever the model says;
// warm again it is the coldest row, and as long again as it was off the card.
func TestOffTheCardItCannotBeTold(t *testing.T) {
	r := Run{Card: demo(), Start: clock(t, "20:00"), Readings: logged(t, "20:00=14 21:00=9 21:40=13")}
	assert.Equal(t, clock(t, "23:00"), r.Deadline(clock(t, "20:30")).Due)
	off := r.Deadline(clock(t, "21:10"))
	assert.False(t, off.HasDue || off.OnCard)
	assert.Equal(t, clock(t, "21:00"), off.Off)
	warm := told(r)
	assert.True(t, warm.HasDue)
	assert.Zero(t, warm.Off)
	assert.Equal(t, clock(t, "24:40"), warm.Due, "4 h of the coldest row and 40 min that it was off the card")
	assert.Equal(t, "card row 10–12 °C, 4 h, and 40 min off the card", warm.Basis.In(text.Units(quantity.Metric)))

	late := Run{Card: demo(), Start: clock(t, "20:00"), Readings: logged(t, "20:00=14 23:10=9")}
	assert.Equal(t, clock(t, "23:00"), told(late).Due, "what is read once it is due moves it no more")
	floor := demo()
	floor.Floor = 13
	_, _, why := Run{Card: floor, Start: clock(t, "20:00"), Readings: logged(t, "20:00=12.5")}.ModelDue(clock(t,
		"20:00"))
	assert.Empty(t, why)
	assert.False(t, told(Run{Card: floor, Start: clock(t, "20:00"), Readings: logged(t, "20:00=12.5")}).HasDue,
		"the floor counts where a row goes below it")
}

// TestColderIsNeverEarlier: of two contacts that were read at the same times, the one that
// was nowhere warmer is due no earlier, or cannot be told.
func TestColderIsNeverEarlier(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		warm := Run{Card: rapid.SampledFrom([]Card{demo(), hot(), {Rows: []Row{{15, 20, hours(2)}, {10, 12, hours(4)}},
			Floor: 11}}).Draw(t, "card"), Start: evening}
		at := evening.Add(time.Duration(rapid.IntRange(-90, 0).Draw(t, "first")) * time.Minute)
		for range rapid.IntRange(1, 12).Draw(t, "readings") {
			warm.Readings = append(warm.Readings, Reading{at, quantity.Celsius(rapid.IntRange(40, 220).Draw(t,
				"T")) / 10})
			at = at.Add(time.Duration(rapid.IntRange(1, 90).Draw(t, "step")) * time.Minute)
		}
		cold := warm
		cold.Readings = slices.Clone(warm.Readings)
		for i := range cold.Readings {
			cold.Readings[i].T -= quantity.Celsius(rapid.IntRange(0, 60).Draw(t, "colder")) / 10
		}
		a, b := told(cold), told(warm)
		if a.HasDue {
			require.True(t, b.HasDue)
			require.False(t, a.Due.Before(b.Due), "colder %s, warmer %s", a.Due, b.Due)
		}
	})
}
