package main

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/testdata/harvest"
)

// inHarvest is a journal after so many days of a harvest that was made up.
func inHarvest(t *testing.T, days int) (b *bench, journal string) {
	t.Helper()
	b = newBench(t)
	night, journal := filepath.Join(t.TempDir(), "harvest.jsonl"), filepath.Join(t.TempDir(), "harvest.db")
	x := harvest.Plan{Days: days, Tanks: 40, Presses: 2}.Make()
	require.NoError(t, os.WriteFile(night, []byte(strings.Join(x.Lines, "\n")+"\n"), 0o600))
	require.Equal(t, endDone, b.run("demo", "--night", night, "--journal", journal, "--print", "board"), b.err.String())
	return b, journal
}

// The sheet of any shift is printed for ever: by its day, by a time of it, or counted back.
func TestTheSheetOfAnEarlierShift(t *testing.T) {
	b, journal := inHarvest(t, 10)
	says := func(end int, args ...string) string {
		t.Helper()
		require.Equal(t, end, b.run(append([]string{"sheet", "--journal", journal}, args...)...), b.err.String())
		return regexp.MustCompile(`\s+`).ReplaceAllString(b.out.String()+b.err.String(), " ")
	}
	choose := says(endUsage, "--shift", "2026-08-27")
	assert.Contains(t, choose, "2 shifts began on 2026-08-27; choose one:")
	assert.Contains(t, choose, "--shift 2026-08-27T06:01 HL Thu 27 Aug 06:01 to Thu 17:58")
	noon := says(endDone, "--shift", "2026-08-27T14:00", "--back")
	assert.Contains(t, noon, "AS IT WAS THU 27 AUG 1 8 : 0 0")
	assert.Contains(t, noon, "Shift Thu 27 Aug 06:01 - Thu 27 Aug 17:58")
	assert.Contains(t, noon, "NOT TO WORK BY: printed Thu 3 Sep 2026")
	assert.Equal(t, noon, says(endDone, "--shift", "2026-08-27T06:01", "--back"))
	night := says(endDone, "--last", "2")
	assert.Contains(t, night, "from Maren Askvoll (MA) to Hugo Lindqvist (HL)")
	assert.Contains(t, night, "Shift Wed 2 Sep 18:01 - Thu 3 Sep 05:58")
	assert.Contains(t, says(endDone, "--last", "1"), "PRINTED THU 3 SEP")
	// the end of the ninth night was forgotten, and that the sixth day began
	ninth := says(endDone, "--shift", "2026-09-01T20:00")
	assert.Contains(t, ninth, "No end of this shift was saved: it ends at 06:01, when the shift of HL began.")
	assert.Contains(t, says(endDone, "--shift", "2026-08-29T20:00"), "No shift was open from 05:58 to 18:01")
	for args, why := range map[string]string{
		"--shift 2026-08-01":                "No shift ran on 2026-08-01: the first began at 2026-08-24 18:01",
		"--shift 2026-08-24T12:00":          "the first shift began at 2026-08-24 18:01",
		"--shift tuesday":                   "--shift takes a day or a time of a day",
		"--last 99":                         "--last takes 1, the last shift, to 19, the first; not 99",
		"--last -1":                         "--last takes 1",
		"--last 2 --by MA":                  "Name one of --shift, --last and --by",
		"--last 2 --shift 2026-08-27T14:00": "Name one of --shift, --last and --by",
	} {
		assert.Contains(t, says(endUsage, strings.Fields(args)...), why, args)
	}
}
