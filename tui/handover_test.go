package tui_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
)

// A shift is not handed over by a stray key: it needs the one who takes over, each open
// alarm by itself, and a yes when it is early; what rings meanwhile is asked about too.
func TestItem18EnterDoesNotHandOver(t *testing.T) {
	d := sit(t, "02:12", 120, 40)
	open := func() bool { return d.State().Shift.Ended.IsZero() }
	before := d.State().Seq
	d.Press("e<enter><enter>").Shows("needed: type it", "GW was named at the start", "102 test")
	require.Equal(t, before, d.State().Seq)
	d.Press("<enter><enter>")
	require.True(t, open())
	d.Press("GW<enter><enter>").Shows("needed: pick one", "yes, they know: due 02:00")
	require.True(t, open())
	d.Wait(7 * time.Minute).Shows("108 check haze") // it rang while the form stood open
	d.Press("<enter><enter>")
	require.True(t, open())
	for range 3 { // one key each, wherever the focus has gone
		d.Press("y")
	}
	d.Press("<enter>").Shows("D30", "ends at 06:00")
	require.True(t, open())
	d.Press("g<enter>")
	require.False(t, open(), d.Screen())
	require.Equal(t, cellar.Initials("GW"), d.State().Shift.Leads())
}

// At its end a shift is handed over without a question.
func TestItem18HandedOverAtItsEnd(t *testing.T) {
	d := sit(t, "05:45", 120, 40)
	d.Press("e<tab>GW<tab>")
	for range d.State().OpenAlarms(d.Now) {
		d.Press("y")
	}
	d.Press("<enter>")
	require.Equal(t, cellar.Initials("GW"), d.State().Shift.Leads(), d.Screen())
	d.Shows("handed over to GW")
}
