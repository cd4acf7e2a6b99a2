package handover

import (
	"slices"
	"time"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/sheet"
)

// A note that stays until it is done grows older than the shift. The sheet names that of the
// shift and of the one before, and the newest of what is older; the rest is counted in a
// line, for a page that nobody can read to its end hides more than it says.

// notesNamed is how many of what is older than the shift before are named (common practice,
// no source).
const notesNamed = 3

// aged leaves of a list of notes what the sheet names of it, and counts the rest in a row of
// its own that stands at the instant of the oldest.
func (h *handover) aged(all []told, name string) []told {
	named, counted := h.byAge(all)
	if len(counted) == 0 {
		return all
	}
	from, to := counted[0].at, counted[len(counted)-1].at
	return append([]told{{from, sheet.Row{When: h.when(from), Where: "older", What: h.say(
		"{count} {name}, the last of {day}: press ; on the board for all", len(counted), name, h.day(to))}}}, named...)
}

// byAge parts a list into what is named and what is only counted, that by age.
func (h *handover) byAge(all []told) (named, counted []told) {
	lately := h.from.Add(-cellar.UsualShift)
	var older []told
	for _, x := range all {
		if x.at.Before(lately) {
			older = append(older, x)
		}
	}
	rest := len(older) - notesNamed
	if rest < 2 { // a line that counts one would be no shorter than that one
		return all, nil
	}
	slices.SortStableFunc(older, func(a, b told) int { return a.at.Compare(b.at) })
	gone := map[time.Time]int{}
	for _, x := range older[:rest] {
		gone[x.at]++
	}
	for _, x := range all {
		if gone[x.at] > 0 {
			gone[x.at]--
			continue
		}
		named = append(named, x)
	}
	return named, older[:rest]
}

// day is the day of an instant, as a date.
func (h *handover) day(t time.Time) string { return t.In(h.s.Zone()).Format("2 Jan") }
