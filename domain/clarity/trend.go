package clarity

import "strings"

// Trend writes the looks of one juice in the order in which they were seen, in
// plain words: "large → small → fine". Looks that repeat are written once, and
// several of one kind are "no change". No looks give "".
func Trend(looks []Look) string {
	var words []string
	seen := 0
	for _, l := range looks {
		if l.step() < 0 {
			continue
		}
		seen++
		word := l.Short()
		if n := len(words); n == 0 || words[n-1] != word {
			words = append(words, word)
		}
	}
	if seen > 1 && len(words) == 1 {
		return "no change"
	}
	return strings.Join(words, " → ")
}
