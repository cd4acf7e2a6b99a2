package lookalike

import (
	"strings"
	"unicode"
)

var figures = [...]string{"zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine"}

// Spoken is a number as it is called across a hall, figure by figure:
// "two-zero-six". Letters are called by themselves: "K-one".
func Spoken(number string) string {
	var out []string
	for _, c := range number {
		switch {
		case c >= '0' && c <= '9':
			out = append(out, figures[c-'0'])
		case unicode.IsLetter(c):
			out = append(out, string(unicode.ToUpper(c)))
		}
	}
	return strings.Join(out, "-")
}
