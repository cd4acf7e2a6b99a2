package main

import (
	"encoding/json"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/document"
	"cellar.example/mustwatch/testdata/harvest"
)

// harvested is a journal with a small harvest that was played to its end, alarms and all.
func harvested(t *testing.T) *bench {
	b := newBench(t)
	lines := harvest.Plan{Days: 6, Tanks: 24, Presses: 2, Finish: true}.Make().Lines
	night := b.file("harvest.jsonl")
	require.NoError(t, os.WriteFile(night, []byte(strings.Join(lines, "\n")), 0o600))
	require.Equal(t, endDone, b.run("demo", "--night", night, "--journal", b.file("cellar.db"), "--print", "board"),
		b.err.String())
	return b
}

// answered takes the alarms off that a harvest leaves behind.
func (b *bench) answered() {
	b.pipe(`{"do":"clock-move","by":"MA","subject":"chiller 25 Aug","verb":"look","off":true,"reason":"over"}
{"do":"clock-move","by":"MA","subject":"chiller 29 Aug","verb":"look","off":true,"reason":"over"}
{"do":"clock-move","by":"MA","subject":"cellar","verb":"promise","was":"2026-08-25T12:00:00+02:00","off":true,"reason":"x"}
{"do":"clock-move","by":"MA","subject":"cellar","verb":"promise","was":"2026-08-28T12:00:00+02:00","off":true,"reason":"x"}
`)
	b.run("enter", "-")
}

// heldNow is what each vessel holds, as show says it; what can be done with it is of no matter here.
func (b *bench) heldNow(args ...string) document.Document {
	require.Equal(b.t, endDone, b.run(append([]string{"show", "--json"}, args...)...), b.err.String())
	var d document.Document
	require.NoError(b.t, json.Unmarshal(b.out.Bytes(), &d))
	require.NotEmpty(b.t, d.Vessels)
	for i := range d.Vessels {
		d.Vessels[i].Can = nil
	}
	return d
}

func TestASeasonIsClosed(t *testing.T) {
	b := harvested(t)
	require.Equal(t, endUsage, b.run("season", "close"))
	require.Equal(t, endRefused, b.run("season", "close", "--by", "MA"))
	require.Contains(t, b.err.String(), "chiller 25 Aug look is due since")
	b.answered()
	old := b.heldNow()
	require.Equal(t, endDone, b.run("season", "close", "--by", "MA"), b.err.String())
	require.Contains(t, b.out.String(), "Season 2026 is closed.")
	require.Equal(t, endDone, b.run("verify"), b.err.String())

	is := b.heldNow()
	require.Len(t, is.Vessels, len(old.Vessels))
	total := int64(0)
	for i, v := range is.Vessels {
		was := old.Vessels[i]
		total += v.Volume
		require.Equal(t, was.Volume, v.Volume, v.Vessel)
		require.Equal(t, was.Stage, v.Stage, v.Vessel)
		require.Len(t, v.Parts, len(was.Parts), v.Vessel)
		for k, p := range v.Parts {
			require.Equal(t, "2026/"+was.Parts[k].Load, p.Load)
			require.Equal(t, was.Parts[k].ML, p.ML)
		}
	}
	require.Positive(t, total)
	require.Equal(t, old.Vessels, b.heldNow("--season", "2026").Vessels)

	require.Equal(t, endDone, b.run("season"))
	require.Contains(t, b.out.String(), "2026  "+b.file("cellar-2026.db"))
	require.FileExists(t, b.file("cellar-2026-balance.txt"))
	require.Equal(t, endDone, b.run("sheet", "--season", "2026"), b.err.String())
	require.Equal(t, endDone, b.run("verify", "--season", "2026"), b.err.String())
	require.Equal(t, endRefused, b.run("show", "--season", "2025"))
	require.Contains(t, b.err.String(), "Choose one of them: 2026.")

	b.pipe(`{"do":"note","by":"MA","text":"too late"}`)
	require.Equal(t, endRefused, b.run("enter", "--season", "2026", "-"))
	require.Contains(t, b.err.String(), "season 2026 was closed at")
	require.Equal(t, endRefused, b.run("season", "close", "--by", "MA"))
	require.Contains(t, b.err.String(), "There is a season 2026 already")
	b.pipe(`{"do":"book","by":"MA","load":"0001","variety":"Muscat","booked":"2026-10-30T06:00:00+01:00"}`)
	require.Equal(t, endDone, b.run("enter", "-"), b.err.String())
}

// Killed once the season is closed and the next has not begun, the same command goes on.
func TestAClosingThatWasInterruptedGoesOn(t *testing.T) {
	b := harvested(t)
	b.answered()
	old := b.heldNow()
	require.NoError(t, os.Mkdir(b.file("cellar-2026-balance.txt"), 0o700)) // nothing can be saved there
	require.Equal(t, endRefused, b.run("season", "close", "--by", "MA"))
	require.Contains(t, b.err.String(), "the season is closed, the next has not begun")
	require.NoError(t, os.Remove(b.file("cellar-2026-balance.txt")))
	require.NoError(t, os.WriteFile(b.file("cellar.db.next"), []byte("half"), 0o600))
	require.Equal(t, endDone, b.run("season", "close", "--by", "MA"), b.err.String())
	require.Equal(t, old.Vessels, b.heldNow("--season", "2026").Vessels)
	require.Equal(t, old.Vessels[0].Volume, b.heldNow().Vessels[0].Volume)
}
