package strength

import (
	"errors"
	"strings"

	"cellar.example/mustwatch/domain/quantity"
)

const partWanted = "Type a volume and its strength, such as 5mL@96% or 1L@0%."

// small are the units of a tube that are not worth whole millilitres.
var small = map[string]Millilitres{"ml": 1, "cl": 10, "dl": 100, "l": 1000}

// ParsePart reads "5mL@96%", "2.5 mL @ 96", "1 L@0%" or "2 US gal@96%". A bare
// "gal" in a metric house, and "1,500", are an *quantity.AskError.
func ParsePart(s string, sys quantity.System) (Part, error) {
	amount, strength, ok := strings.Cut(s, "@")
	if !ok || len(s) > 100 {
		return Part{}, errors.New(partWanted)
	}
	v, err := ParseMillilitres(amount, sys)
	if err != nil {
		return Part{}, err
	}
	a, err := quantity.ParseNumber(strings.TrimSuffix(strings.TrimSuffix(strings.TrimSpace(strength), "vol"), "%"))
	if err != nil || !(a >= 0 && a <= 100) {
		return Part{}, errors.New(abvWanted)
	}
	return Part{v, ABV(a)}, nil
}

// ParseMillilitres reads a volume as ParseVolume does, but keeps tenths of a
// millilitre and wants its unit.
func ParseMillilitres(s string, sys quantity.System) (Millilitres, error) {
	number, unit := cut(s)
	size, tube := small[unit]
	if !tube {
		if unit == "" {
			return 0, errors.New(partWanted)
		}
		v, err := quantity.ParseVolume(s, sys)
		return Millilitres(v), err
	}
	x, err := quantity.ParseNumber(number)
	var ask *quantity.AskError
	if errors.As(err, &ask) {
		return 0, again(s, ask.Options, unit)
	}
	if err != nil || x < 0 || x > 1e9 {
		return 0, errors.New(partWanted)
	}
	return Millilitres(x) * size, nil
}

// cut parts a text into its number and its unit, the unit in small letters and
// without spaces.
func cut(s string) (number, unit string) {
	s = strings.TrimSpace(s)
	end := strings.IndexFunc(s, func(r rune) bool { return !strings.ContainsRune("0123456789+-−–., \t", r) })
	if end < 0 {
		return s, ""
	}
	return strings.TrimSpace(s[:end]), strings.ToLower(strings.Join(strings.Fields(s[end:]), ""))
}

func again(s string, options []string, unit string) error {
	said := make([]string, len(options))
	for i, o := range options {
		said[i] = strings.TrimSpace(o + " " + unit)
	}
	return &quantity.AskError{Input: strings.TrimSpace(s), Options: said,
		Message: "\"" + strings.TrimSpace(s) + "\" can be read in two ways: type " + strings.Join(said, " or ") + "."}
}
