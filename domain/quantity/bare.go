package quantity

import "strings"

// bare tells a figure without a unit. On a screen the house's own unit stands
// beside the field; in a file nothing does, and 15 may be either scale.
func bare(text string) bool {
	return strings.Trim(text, "0123456789.,+-\u2212 \t") == ""
}

// unitless asks for the unit.
func unitless(text string, units ...string) error {
	number := strings.TrimSpace(text)
	options := make([]string, len(units))
	for i, u := range units {
		options[i] = number + u
	}
	return newAsk(number, options...)
}
