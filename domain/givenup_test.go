package domain_test

import (
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"
)

// givenUp are words that the glossary in DEVELOPERS.md gives up, with what is said instead.
var givenUp = map[string]string{
	`anew`: "again", `nought`: "zero", `plates?`: "number", `reckon\w*`: "calculate", `vats?`: "tank",
	`sown?|unsown`: "inoculate",
	`put right`:    "corrected", `all the same`: "override", `struck out|strike out`: "taken back",
	`seen by|unseen|seen to|not seen`: "acknowledged, not checked, done, not arrived",
	`put off`:                         "snoozed", `main juice`: "free run", `press fractions?`: "pressings",
	`may (rack|float|move|settle|go|issue|run|enter|pass|leave)`: "can be …",
	`NO HOME`: "NO TANK YET", `drawing off|drawn off`: "draining",
	`cap rising`:       "float cap forming",
	`cool(ed)? back`:   "cool down",
	`no route decided`: "settle or float?", `build-up`: "starter", `rules are asked`: "checks run first",
	`may stay empty|empty is now|bare it is`: "optional, blank = now, no unit = g",
	`not even`:                               "say it plainly", `it is held that`: "say it plainly",
	`OF releases|releases it`: "OF to release",
	`gone over`:               "overdue",
	`alcohol test`:            "pectin test", `clarity checks?`: "pectin test", `looked like`: "say it plainly",
	`tells whether`:                      "reports whether",
	`mayhap|whilst|amongst`:              "plain words",
	`writes?|wrote|written|writing`:      "save, saved; on a form: type",
	`held (by|until|since|back)|is held`: "on hold",
	`whole`:                              "all of it, or say it plainly",
	`signs?`:                             "character, mark",
	`figures?`:                           "digits, number, value",
	`leave it be|left alone`:             "don't do it",
	`latest first|what stops|not quiet|loads and shares`: "newest first, what it can do next, active, composition",
}

// stay are texts in which a word that is given up says something else: ink on paper, a term of the trade, or the
// sign that a board is alive. Each is given by a piece of it.
var stay = []string{
	"rite on paper", "written on the bottle", // ink
	"Doses, readings, clarity checks, stages", // the group of tests
	"held hot", "held awake",
	"a whole number", "whole bunch", "whole-bunch",
	"sign on", "sign in", "and a sign that the board is alive", "sign of life",
}

// TestGivenUpWordsAreGone holds every text against the words that the glossary gives up. What only a damaged file
// brings up is in the words of a programmer.
func TestGivenUpWordsAreGone(t *testing.T) {
	used := map[string]bool{}
	for pattern, instead := range givenUp {
		re := regexp.MustCompile(`(?i)\b(` + pattern + `)\b`)
		for _, x := range shownTexts(t) {
			words := x.words
			for _, s := range stay {
				if strings.Contains(words, s) {
					used[s] = true
					words = strings.ReplaceAll(words, s, "")
				}
			}
			words = inBraces.ReplaceAllString(words, "")
			if m := re.FindString(words); m != "" && partOf(x) != 3 {
				t.Errorf("%s: %q says %q; say %s", x.file, cut(x.words), m, instead)
			}
		}
	}
	for _, s := range stay {
		if !used[s] {
			t.Errorf("no text says %q any more: take it off the list", s)
		}
	}
}

// inBraces are the names of values, which nobody sees.
var inBraces = regexp.MustCompile(`\{[^}]*\}`)

// room is how many cells there are for a text by its place.
var room = map[string]int{"Short": 26, "Label": 60, "Unit": 24}

// TestTextsFitTheirPlace: a word in the footer, the label of a field and its unit have so much room and no more.
func TestTextsFitTheirPlace(t *testing.T) {
	for _, x := range shownTexts(t) {
		if most, set := room[x.place]; set && strings.HasPrefix(x.file, "tui/") &&
			utf8.RuneCountInString(x.words) > most {
			t.Errorf("%s: the %s %q has more than %d characters", x.file, x.place, x.words, most)
		}
	}
}

func cut(s string) string {
	if len(s) > 90 {
		return s[:90] + "…"
	}
	return s
}
