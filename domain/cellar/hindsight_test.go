package cellar_test

import (
	"context"
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/show"
)

// recorded is a journal that is only read.
type recorded struct {
	cellar.Journal
	all []cellar.Record
}

func (j *recorded) Read(_ context.Context, from cellar.Seq, fn func(cellar.Record) error) error {
	for _, r := range j.all[from-1:] {
		if err := fn(r); err != nil {
			return err
		}
	}
	return nil
}

// write decides a command at now, applies what follows and keeps it.
func (j *recorded) write(h *house, c cellar.Command, now time.Time) error {
	facts, err := cellar.Decide(h.s, c, now)
	if err != nil {
		return err
	}
	for _, r := range cellar.Records(c, facts, now, "test") {
		r.Seq = h.s.Seq + 1
		cellar.Apply(h.s, r)
		j.all = append(j.all, r)
	}
	return nil
}

func (j *recorded) open(t interface{ Fatal(...any) }) *house {
	h := &house{s: cellar.NewState(), now: sixPM}
	for _, l := range smallHouse {
		c, err := cellar.ParseLine([]byte(l))
		if err == nil {
			err = j.write(h, c, h.now)
		}
		if err != nil {
			t.Fatal(l, err)
		}
	}
	return h
}

// holdsThen is what a vessel holds, without how it came to be known.
func holdsThen(v *cellar.Vessel, c cellar.Content) string {
	out := fmt.Sprintf("%s %s since %s, %d of %s %v, pectin gone %s", v.Number, c.Stage, c.Since, c.Volume, c.Kind,
		shares(&c), c.PectinGone)
	for _, d := range c.Doses {
		out += fmt.Sprintf("; %s %s %.6f at %s", d.Product, d.Amount, d.PerHL, d.At)
	}
	return out
}

// TestHindsightIsWhatTheLedgerSays: the cellar as it was at an instant is what its ledger
// says of that instant, whatever was saved late, taken back or put at another time.
func TestHindsightIsWhatTheLedgerSays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		j := &recorded{}
		h := j.open(t)
		for n := rapid.IntRange(3, 20).Draw(t, "length"); n > 0; n-- {
			h.now = h.now.Add(time.Duration(rapid.IntRange(1, 40).Draw(t, "step")) * time.Minute)
			c := flowCommand(t, h)
			switch rapid.IntRange(0, 8).Draw(t, "how") {
			case 0:
				cellar.HeadOf(c).At = h.now.Add(-time.Duration(rapid.IntRange(1, 200).Draw(t, "back")) * time.Minute)
			case 1:
				of := pick(t, "of", j.all[len(smallHouse)-1:]...)
				c = &cellar.Correct{Head: *cellar.HeadOf(c), Of: of.Seq, TakeBack: true, Reason: "drawn"}
			case 2:
				of := pick(t, "of", j.all[len(smallHouse)-1:]...)
				to := of.At.Add(time.Duration(rapid.IntRange(-90, 90).Draw(t, "off")) * time.Minute)
				c = &cellar.Correct{Head: *cellar.HeadOf(c), Of: of.Seq, Field: "at", Value: to.Format(time.RFC3339),
					Reason: "drawn"}
			case 3, 4:
				c = anyCommand(t, h)
			}
			_ = j.write(h, c, h.now)
		}
		at := sixPM.Add(time.Duration(rapid.IntRange(0, int(h.now.Sub(sixPM).Minutes())).Draw(t, "at")) * time.Minute)
		then, ok, err := cellar.Hindsight(t.Context(), j, h.s, at)
		if err != nil {
			t.Fatal(err)
		}
		if !ok { // a time that was corrected has moved all of it behind that instant
			return
		}
		for _, v := range h.s.Vessels() {
			was, _ := v.Then(at)
			w, _ := then.Vessel(v.Number)
			if got, want := holdsThen(w, w.Now), holdsThen(v, was); got != want {
				t.Fatalf("at %s\n got %s\nwant %s", at, got, want)
			}
		}
		addsUp(t, show.Cellar(then, at))
	})
}

// TestHindsightCountsWhatWasWrittenLate: what was so by then counts, whenever it was
// written, and what came after it does not.
func TestHindsightCountsWhatWasWrittenLate(t *testing.T) {
	j := &recorded{}
	h := j.open(t)
	say := func(now, line string) {
		c, err := cellar.ParseLine([]byte(line))
		require.NoError(t, err)
		require.NoError(t, j.write(h, c, nightAt(now)))
	}
	say("21:00", `{"do":"move","by":"NS","from":"101","to":[{"vessel":"201","volume":"50 hL"}],"part":true,`+
		`"happened":true}`)
	say("21:30", `{"do":"reading","by":"NS","at":"2026-09-24T20:00:00+02:00","vessel":"101","temp":"11 °C"}`)
	say("21:40", `{"do":"hold","by":"MA","vessel":"101","reason":"sample first","releaser":"OF"}`)
	then, ok, err := cellar.Hindsight(t.Context(), j, h.s, nightAt("20:30"))
	require.NoError(t, err)
	require.True(t, ok)
	v, _ := then.Vessel("101")
	require.Equal(t, 200.0, v.Now.Volume.HL())
	require.Equal(t, 11.0, float64(*v.Now.Last.Temp))
	require.Nil(t, v.Hold)
	require.Equal(t, h.s.Seq, then.Seq)
	_, ok, err = cellar.Hindsight(t.Context(), j, h.s, sixPM.Add(-time.Minute))
	require.NoError(t, err)
	require.False(t, ok)
}
