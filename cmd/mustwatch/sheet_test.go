package main

import (
	"regexp"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/clocks"
)

// A sheet that is printed for a person is noted, and the next one says what has changed
// on it; a look at it is not noted.
func TestASheetPrintedForAPersonIsNoted(t *testing.T) {
	b := newBench(t).house()
	b.clock = b.clock.Add(2 * time.Hour)
	mark := regexp.MustCompile(`journal (\d+) +[0-9a-f]{8}`)
	up := func(args ...string) string {
		require.Equal(t, endDone, b.run(append([]string{"sheet"}, args...)...), b.err.String())
		assert.Empty(t, b.err.String())
		return mark.FindStringSubmatch(b.out.String())[1]
	}
	looked := up()
	require.Equal(t, looked, up(), "a look at it is no print")
	require.NotEqual(t, looked, up("--by", "DO"))
	b.clock = b.clock.Add(10 * time.Minute)
	moved := b.clock.Add(-30 * time.Minute).Format(time.RFC3339)
	b.pipe(`{"do":"move","by":"RV","at":"` + moved + `","from":"S1","to":[{"vessel":"S4","volume":"100 US gal"}],` +
		`"part":true,"happened":true,"answers":[{"rule":"W15"},{"rule":"D20"}]}`)
	require.Equal(t, endDone, b.run("enter", "-"), b.err.String())
	up("--back")
	assert.Regexp(t, `S1 RV CHANGED SINCE YOUR SHEET of 13:00 DO: volume 1180 gal -> 1080 gal`,
		regexp.MustCompile(`\s+`).ReplaceAllString(b.out.String(), " "))
}

func TestASheetForNobodyOfTheHouseIsRefused(t *testing.T) {
	b := newBench(t).house()
	require.Equal(t, endUsage, b.run("sheet", "--by", "ZZ"))
	assert.Contains(t, b.err.String(), "ZZ is not on the list of people")
	assert.Empty(t, b.out.String())
}

// Where it cannot be noted the sheet is printed, and says so beside it.
func TestASheetThatCannotBeNotedIsPrinted(t *testing.T) {
	b := newBench(t).house()
	b.program.clocks = func() clocks.Sample {
		return clocks.Sample{Wall: time.Unix(3600, 0), Boot: time.Hour, Mono: time.Hour, BootID: "one"}
	}
	require.Equal(t, endDone, b.run("sheet", "--by", "DO"), b.err.String())
	assert.Contains(t, b.out.String(), "QUILLMARSH")
	assert.Contains(t, b.err.String(), "The sheet is NOT NOTED")
	assert.Contains(t, b.err.String(), "nobody knows the time")
}

// While a board has the journal, the sheet is noted by way of that board.
func TestASheetIsNotedByWayOfTheBoard(t *testing.T) {
	c := newCellar(t)
	desk := start(t, "--journal", c.journal, "--station", "desk 1")
	desk.shows("Quillmarsh")
	sheet, end := c.run("", "sheet", "--by", "DO")
	require.Equal(t, endDone, end, sheet)
	assert.Contains(t, sheet, "QUILLMARSH")
	assert.NotContains(t, sheet, "NOT NOTED")
	desk.leaves()
	said, end := c.run(`{"do":"sheet","by":"DO","up_to":1}`, "enter", "-")
	assert.Equal(t, endRefused, end)
	assert.Contains(t, said, "somebody saved an entry while the sheet was printed")
	said, end = c.run("", "verify")
	assert.Equal(t, endDone, end, said)
}
