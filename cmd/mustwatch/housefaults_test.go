package main

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// manyFaults is a house file with a fault on each line that is marked with its number.
const manyFaults = `by = "AL"
at = 2026-11-20T18:00:00
[house]
name = "Small Cellar"
zone = "Mars/Olympus"  #1
recipe = "7+7"  #2
limits = { max_fill_lead = 120, working_float = 300 }
people = [
  { initials = "AL", name = "A. Lind", roles = ["lead"] },
  { initials = "BT", name = "B. Tarn", roles = ["tnak"] },
  { initials = "C", name = "C. Wold", roles = ["tank"] },
]
[[vessel]]
vessel = "S1"
brim = 100 hL  #3
use = "setle"  #4
[[vessel]]
vessel = "S2"
brim = "0.1 hL"  #5
use = "settel"  #6
limit_pct = ninety  #7
[[vessel]]
vessel = "S3"
brim = "100 hL"
use = "settle"
[[press]]
press = "S3"  #8
rated = 3  #9
[[product]]
product = "E"
class = "enzymes"  #10
unit = "g/hL"
card = { low = "9 g/hL", high = "4 g/hL" }  #11
open = "5 parsecs"  #12
[opening]
[[opening.vessels]]  #13
vessel = "S3"
stage = "setling"
volume = "150 hL"
kind = "juise"
[[opening.vessels]]  #14
vessel = "S9"
stage = "waiting"
[[opening.vessels]]
vessel = "S1"
stage = "waiting"
kind = "juice"
volume = "50 hL"
[[opening.vessels.doses]]
product = "E"
rate = "3 g/hL"
amount = "150 g"
at = 17:00:00
[[opening.clocks]]  #15
subject = "S3"
`

// TestInitNamesEveryFaultAtOnce: whatever is wrong with a file, one run says all of it:
// what is no TOML, what does not fit, what the cellar refuses, several in one entry, and
// what is wrong with the opening; and nothing that follows only from another fault.
func TestInitNamesEveryFaultAtOnce(t *testing.T) {
	_, err := planHouse([]byte(manyFaults), evening)
	require.Error(t, err)
	said := err.Error()
	for i, l := range strings.Split(manyFaults, "\n") {
		if _, _, marked := strings.Cut(l, "  #"); marked {
			assert.Contains(t, said, fmt.Sprintf("line %d: ", i+1), l)
		}
	}
	for _, text := range []string{`"tnak" is not a role`, `for one person only, not "C"`,
		"max_fill_lead must be between", "working_float must be between", "S3 cannot hold 150.0 hL",
		`"juise" is not a kind`, `"setling" is not a stage`} {
		assert.Contains(t, said, text)
	}
	assert.Len(t, strings.Split(said, "\n"), 15-1+3+2+2, "and nothing twice:\n%s", said)
	for _, follows := range []string{`"S1"`, "S1 cannot"} {
		assert.NotContains(t, strings.Split(said, "opening")[1], follows, said)
	}
}

// A file that cannot be read on from a line says so, with what was found before.
func TestAFileThatCannotBeReadOn(t *testing.T) {
	_, err := planHouse([]byte(strings.Replace(smallHouse, "[[vessel]]", "[[vessel]", 1)), evening)
	require.ErrorContains(t, err, "line 9: the file cannot be read on from here")
	_, err = planHouse([]byte(strings.Replace(strings.Replace(smallHouse, "[[vessel]]", "[[vessel]", 1),
		`"Small Cellar"`, "Small Cellar", 1)), evening)
	require.ErrorContains(t, err, "line 5: this line cannot be read")
	require.ErrorContains(t, err, "line 9: the file cannot be read on from here")
}
