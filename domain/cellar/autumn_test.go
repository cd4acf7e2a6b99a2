package cellar_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"os"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/handover"
	"cellar.example/mustwatch/domain/sheet"
)

// autumnShift puts the demo night into the night in which the clocks of Paris go
// back: thirty days of elapsed time on, 24 to 25 October 2026.
const autumnShift = 30 * 24 * time.Hour

// later adds a length to every instant in a line, however deep it stands.
func later(x any, by time.Duration) any {
	switch x := x.(type) {
	case map[string]any:
		for k, v := range x {
			x[k] = later(v, by)
		}
	case []any:
		for i, v := range x {
			x[i] = later(v, by)
		}
	case string:
		if t, err := time.Parse(time.RFC3339, x); err == nil {
			return t.Add(by).UTC().Format(time.RFC3339)
		}
	}
	return x
}

// autumnNight plays the shifted night up to an instant, without the entries named.
// The planned end of the shift stays 06:00 on the wall, and so does its ending.
func autumnNight(t *testing.T, until time.Time, without ...string) *house {
	t.Helper()
	raw, err := os.ReadFile("../../testdata/night.jsonl")
	require.NoError(t, err)
	h := newHouse(t)
	for _, l := range bytes.Split(raw, []byte("\n")) {
		if len(l) == 0 || l[0] == '#' {
			continue
		}
		line := map[string]any{}
		d := json.NewDecoder(bytes.NewReader(l))
		d.UseNumber()
		require.NoError(t, d.Decode(&line))
		later(line, autumnShift)
		switch line["do"] {
		case "shift-start":
			line["ends"] = "2026-10-25T06:00:00+01:00"
		case "shift-end":
			line["at"] = "2026-10-25T06:00:00+01:00"
			told := []string{} // whatever is open in this night
			for _, k := range h.s.OpenAlarms(time.Date(2026, 10, 25, 5, 0, 0, 0, time.UTC)) {
				told = append(told, k.Name())
			}
			line["told"] = told
		}
		moved, err := json.Marshal(line)
		require.NoError(t, err)
		c, err := cellar.ParseLine(moved)
		require.NoError(t, err, string(moved))
		now := cellar.KnownAt(c, h.now)
		if now.After(until) {
			break
		}
		if slices.Contains(without, cellar.HeadOf(c).Entry) {
			continue
		}
		_, err = h.try(c, now)
		var asks *cellar.Needs
		require.False(t, errors.As(err, &asks), "%s asks: %v", moved, err)
		require.NoError(t, err, string(moved))
	}
	return h
}

func parisAt(t *testing.T, text string) time.Time {
	t.Helper()
	at, err := time.Parse(time.RFC3339, text)
	require.NoError(t, err)
	return at
}

// TestTrustRow06AutumnContact: three hours from 01:30 summer time end at 03:30
// winter time, whatever the wall shows meanwhile.
func TestTrustRow06AutumnContact(t *testing.T) {
	h := autumnNight(t, parisAt(t, "2026-10-25T01:29:00+02:00"), "E096")
	require.NoError(t, h.line(`{"do":"dose","at":"2026-10-25T01:30:00+02:00","by":"NS","vessel":"504",`+
		`"product":"E-2240","rate":"1.6 g/hL","amount":"63 g","temp":"12.3 °C"}`))
	due := parisAt(t, "2026-10-25T03:30:00+01:00")
	k := h.s.ClocksOf(h.s.Known("504"))[0]
	require.Equal(t, cellar.KindContact, k.Kind)
	require.True(t, k.Due.Equal(due), "%s", k.Due)
	require.Equal(t, "03:30", h.s.Clock(k.Due))
	require.Equal(t, 3*time.Hour, k.Due.Sub(k.Start))
	require.False(t, k.Raised(due.Add(-time.Second)))
	require.True(t, k.Raised(due))

	v, _ := h.s.Vessel("504")
	for text, part := range map[string]float64{"2026-10-25T02:30:00+02:00": 1. / 3,
		"2026-10-25T02:30:00+01:00": 2. / 3} {
		at := parisAt(t, text)
		run, ok := h.s.ContactOf(v, at)
		require.True(t, ok)
		require.True(t, run.Due.Equal(due), "the due stays, looked at %s", text)
		require.InDelta(t, part, at.Sub(run.Start).Hours()/run.Due.Sub(run.Start).Hours(), 1e-9)
	}
}

// TestTrustRow06AutumnShift: the night is thirteen hours long, and the sheet says
// so, before and after it has ended.
func TestTrustRow06AutumnShift(t *testing.T) {
	for _, at := range []string{"2026-10-25T05:00:00+01:00", "2026-10-25T06:00:00+01:00"} {
		now := parisAt(t, at)
		h := autumnNight(t, now)
		x := handover.Sheet(h.s, now, sheet.Mark{Seq: uint64(h.s.Seq)})
		require.Equal(t, "Sat 24 Oct 18:00 CEST - Sun 25 Oct 06:00 CET", x.Head.Span)
		require.Contains(t, x.Head.Changes, "Clocks in this shift: at 03:00 CEST they go back to 02:00 CET; it "+
			"lasts 13 h.")
	}
	h := autumnNight(t, parisAt(t, "2026-10-25T06:00:00+01:00"))
	require.Equal(t, 13*time.Hour, h.s.Shift.Ended.Sub(h.s.Shift.Started))
	require.True(t, h.s.Shift.Ends.Equal(h.s.Shift.Ended))
	last := handover.Sheet(h.s, h.now, sheet.Mark{})
	shown := map[string]bool{}
	for _, m := range last.Back.Moves {
		shown[m.When] = true
	}
	require.True(t, shown["02:25 CET"] && !shown["02:25"], "%v", shown)
}
