package tank

import (
	"errors"
	"math"
	"strconv"
	"strings"

	"cellar.example/mustwatch/domain/quantity"
)

// Length is a length in metres.
type Length float64

// Lengths of a dip stick and a tape.
const (
	Metre      Length = 1
	Centimetre Length = 0.01
	Inch       Length = 0.0254 // exact
)

var lengthUnits = map[string]Length{
	"m": 1, "metre": 1, "metres": 1, "cm": 0.01, "mm": 0.001,
	"in": Inch, "inch": Inch, "inches": Inch, "\"": Inch, "ft": 12 * Inch, "feet": 12 * Inch, "foot": 12 * Inch, "'": 12 * Inch,
}

const lengthWanted = "Type a length with its unit, such as 75 cm, 0.75 m, 750 mm, 29.5 in or 6 ft."

// ParseLength reads "75 cm", "0,75 m", "750mm", "29.5 in" or "6 ft", from 0 to 100
// m. A bare number is an *quantity.AskError: a stick may be marked in any of them.
func ParseLength(s string) (Length, error) {
	text := strings.TrimSpace(s)
	end := strings.IndexFunc(text, func(r rune) bool { return !strings.ContainsRune("0123456789+-−–., \t", r) })
	number, unit := text, ""
	if end >= 0 {
		number, unit = strings.TrimSpace(text[:end]), strings.ToLower(strings.TrimSpace(text[end:]))
	}
	size, known := lengthUnits[unit]
	x, err := quantity.ParseNumber(number)
	var ask *quantity.AskError
	switch {
	case errors.As(err, &ask):
		options := make([]string, len(ask.Options))
		for i, o := range ask.Options {
			options[i] = strings.TrimSpace(o + " " + unit)
		}
		return 0, asked(text, options)
	case err != nil || len(s) > 100 || unit != "" && !known:
		return 0, errors.New(lengthWanted)
	case unit == "":
		return 0, asked(text, []string{text + " cm", text + " m", text + " in"})
	}
	l := Length(x) * size
	if !(l >= 0 && l <= farthest) {
		return 0, errors.New(lengthWanted)
	}
	return l, nil
}

func asked(input string, options []string) error {
	return &quantity.AskError{Input: input, Options: options,
		Message: "\"" + input + "\" can be read in several ways: type " + strings.Join(options, " or ") + "."}
}

// farthest is the longest measure of a vessel that is not a slip, in metres.
const farthest = 100

// String returns the length as it was measured, to a millimetre: "0.75 m".
func (l Length) String() string {
	if !finite(float64(l)) {
		return "?"
	}
	return strconv.FormatFloat(math.Round(float64(l)*1000)/1000+0, 'f', -1, 64) + " m"
}

func finite(xs ...float64) bool {
	for _, x := range xs {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return false
		}
	}
	return true
}
