package contact_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	. "cellar.example/mustwatch/domain/contact"
	"cellar.example/mustwatch/domain/quantity"
)

// slower is by how much the model goes slower at one temperature than at a warmer
// one, for an activation energy in kJ/mol: read off the forecast of a one-row card.
func slower(t *testing.T, ea float64, cold, warm quantity.Celsius) float64 {
	t.Helper()
	const wait = 0.5
	card := Card{Rows: []Row{{From: warm - 1, To: warm + 1, Wait: hours(wait)}}, Ea: ea}
	at := clock(t, "20:00")
	r := Run{Card: card, Start: at, Readings: []Reading{{At: at, T: cold}}}
	due, ok, _ := r.ModelDue(at)
	require.True(t, ok)
	return due.Sub(at).Hours() / wait
}

// TestPublishedInactivation checks the exponential of the model against published
// constants of thermal inactivation, T5 to T9. They say nothing of activity in
// must. Sources: A. aculeatus pectinase 0.0011 /min at 30 °C, 0.0231 at 60 °C,
// 85.1 kJ/mol; A. nidulans 0.0291 /min, 23.83 min, 79.2 min (PMC11699674);
// A. tubingensis PG II 13.7, 5.4 and 0.85 h at 40, 50 and 60 °C (Food & Function
// 2024): all read in abstracts.
func TestPublishedInactivation(t *testing.T) {
	kd60 := 0.0011 * slower(t, 85.1, 30, 60)
	require.InEpsilon(t, 0.0231, kd60, 0.02) // T5
	low, high := 9.0, 200.0
	for range 60 {
		if mid := (low + high) / 2; slower(t, mid, 30, 60) < 0.0231/0.0011 {
			low = mid
		} else {
			high = mid
		}
	}
	require.InDelta(t, 85.1, low, 0.5) // T6
	require.InDelta(t, 23.83, math.Ln2/0.0291, 0.3)
	require.InDelta(t, 79.2, math.Ln10/0.0291, 0.3) // T7, arithmetic
	last := 0.0
	for i, half := range []float64{13.7, 5.4, 0.85} { // T9, arithmetic
		kd := math.Ln2 / (half * 60)
		require.InEpsilon(t, []float64{0.000843, 0.002139, 0.01359}[i], kd, 0.01)
		require.Greater(t, kd, last)
		last = kd
	}
	t.Logf("source: T5–T7 and T9, constants of thermal inactivation read in abstracts; rows 4; worst error %.4f "+
		"/min and %.2f kJ/mol", math.Abs(kd60-0.0231), math.Abs(low-85.1))
}

// TestPublishedCalibration is T10: 2.5 h at 20 °C are 4.04 h at 12 °C by the default
// slope. That default was calibrated to a published "at least 4 h" (AWRI, read in
// part), so this is no independent check.
func TestPublishedCalibration(t *testing.T) {
	got := 2.5 * slower(t, 0, 12, 20)
	require.InDelta(t, 4.04, got, 0.02)
	t.Logf("source: T10, AWRI flotation page (read, cut off); rows 1; worst error %.3f h; the default was "+
		"calibrated to it", math.Abs(got-4.04))
}
