package tui_test

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// TestSameOneWrittenLate: at the stop a dose is closed as the one that stands
// written, with one key and Enter; nothing is counted twice.
func TestSameOneWrittenLate(t *testing.T) {
	d := sit(t, "23:34", 120, 40)
	p, _ := d.State().Product("SO2-150")
	stock := p.Open
	d.Press("104d44<enter>").Shows("stop H07", "416 g by TQ at 19:40", "same one, I am late writing it")
	d.Press("s<enter>").Shows("the same that TQ wrote for 19:40, not counted again")
	v, _ := d.State().Vessel("104")
	require.Len(t, v.Now.Doses, 2, "the enzyme of 19:15 and the SO2 of 19:40")
	require.Equal(t, stock, p.Open)
	require.Empty(t, d.State().Stopped)
}

// TestTheTwinIsNamedAtTheValve: 209 typed for 206; the form says which is which
// before anything is written, and the number seen at the valve stops it.
func TestTheTwinIsNamedAtTheValve(t *testing.T) {
	d := sit(t, "22:40", 120, 40)
	d.Press("105m209<tab>14<tab><tab><tab>")
	d.Shows("H13 209 may be taken for 206 (6 for 9)", "209 = 152.5 hL Sauvignon clear juice, row 2 right, ON HOLD;",
		"206 = empty clean, Grenache rosé juice runs in from 105, row 2 left.", "Which plate do you see there?")
	d.Press("<tab>206<tab>ny<enter>")
	d.Shows("stop H13   You are at 206: empty clean, Grenache rosé juice runs in from 105, row 2 left. It should be 209: 152.5 hL", "ON HOLD.")
	v, _ := d.State().Vessel("209")
	require.Equal(t, "152.5 hL", v.Now.Volume.String())
}
