package tank

import (
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
	Inch       Length = inch
)

const inch = 0.0254 // metres, exact

var lengthUnits = map[string]float64{
	"m": 1, "metre": 1, "metres": 1, "cm": 0.01, "mm": 0.001,
	"in": inch, "inch": inch, "inches": inch, "\"": inch, "ft": 12 * inch, "feet": 12 * inch, "foot": 12 * inch,
	"'": 12 * inch,
}

const lengthWanted = "Type a length with its unit, such as 75 cm, 0.75 m, 750 mm, 29.5 in or 6 ft."

// ParseLength reads "75 cm", "0,75 m", "750mm", "29.5 in" or "6 ft", from 0 to 100
// m. A bare number is an *quantity.AskError: a stick may be marked in any of them.
func ParseLength(s string, h quantity.Habit) (Length, error) {
	if text := strings.TrimSpace(s); text != "" && strings.Trim(text, "0123456789+.,") == "" {
		return 0, asked(text, []string{text + " cm", text + " m", text + " in"})
	}
	l, err := h.In(s, lengthUnits, 0, farthest, lengthWanted)
	return Length(l), err
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
