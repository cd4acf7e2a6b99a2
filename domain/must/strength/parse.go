package strength

import (
	"errors"
	"strings"

	"cellar.example/mustwatch/domain/quantity"
)

const partWanted = "Type a volume and its strength, such as 5mL@96% or 1L@0%."

// small are the units of a tube that are not worth whole millilitres.
var small = map[string]float64{"ml": 1, "cl": 10, "dl": 100, "l": 1000}

// ParsePart reads "5mL@96%", "2.5 mL @ 96", "1 L@0%" or "2 US gal@96%". A bare
// "gal" in a metric house, and "1,500", are an *quantity.AskError.
func ParsePart(s string, h quantity.Habit) (Part, error) {
	amount, strength, ok := strings.Cut(s, "@")
	if !ok || len(s) > 100 {
		return Part{}, errors.New(partWanted)
	}
	v, err := ParseMillilitres(amount, h)
	if err != nil {
		return Part{}, err
	}
	a, err := h.Number(strings.TrimSuffix(strings.TrimSuffix(strings.TrimSpace(strength), "vol"), "%"), 0, 100)
	if err != nil || !(a >= 0 && a <= 100) {
		return Part{}, errors.New(abvWanted)
	}
	return Part{v, ABV(a)}, nil
}

// ParseMillilitres reads a volume as a form does, but keeps tenths of a
// millilitre and wants its unit.
func ParseMillilitres(s string, h quantity.Habit) (Millilitres, error) {
	unit := unitOf(s)
	if _, tube := small[unit]; tube {
		ml, err := h.In(s, small, 0, mostInTube, partWanted)
		return Millilitres(ml), err
	}
	if unit == "" {
		return 0, errors.New(partWanted)
	}
	v, err := h.Volume(s)
	return Millilitres(float64(v) / float64(quantity.Millilitre)), err
}

// mostInTube is a hundred hectolitres, in mL: far more than is mixed for a test.
const mostInTube = 1e7

// unitOf is the unit behind a number, in small letters and without spaces.
func unitOf(s string) string {
	end := strings.IndexFunc(s, func(r rune) bool { return !strings.ContainsRune("0123456789+-−–., \t", r) })
	if end < 0 {
		return ""
	}
	return strings.ToLower(strings.Join(strings.Fields(s[end:]), ""))
}
