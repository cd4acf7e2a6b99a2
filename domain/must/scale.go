package must

import (
	"errors"
	"math"
	"strings"

	"cellar.example/mustwatch/domain/quantity"
)

// Scale is a way to write the sugar of a must.
type Scale string

// The scales. All of them are at 20 °C.
const (
	Brix     Scale = "°Brix"     // % mass as sucrose, by refractometer
	SG       Scale = "SG 20/20"  // relative density, water at 20 °C = 1
	Density  Scale = "kg/L"      // density
	Oechsle  Scale = "°Oe"       // (SG − 1) × 1000
	Baume    Scale = "°Bé"       // 145 − 145 / SG
	KMW      Scale = "°KMW"      // °Oe = KMW × (0.022 × KMW + 4.54)
	Sugar    Scale = "g/L sugar" // sugar in a litre of must
	SugarPer Scale = "g/kg"      // sugar in a kilogram of must
)

// Reading is a number on a scale.
type Reading struct {
	Value float64
	Scale Scale
}

// spellings of the scales, with spaces taken out and in small letters.
var spellings = map[string]Scale{
	"°brix": Brix, "brix": Brix, "°bx": Brix, "bx": Brix, "ºbrix": Brix, "ºbx": Brix,
	"sg": SG, "sg20/20": SG, "d20/20": SG,
	"kg/l": Density, "g/ml": Density, "g/cm3": Density, "g/cm³": Density, "kg/m3": Density, "kg/m³": Density,
	"oe": Oechsle, "°oe": Oechsle, "ºoe": Oechsle, "oechsle": Oechsle,
	"°bé": Baume, "bé": Baume, "°be": Baume, "be": Baume, "ºbé": Baume, "baumé": Baume, "baume": Baume,
	"kmw": KMW, "°kmw": KMW, "ºkmw": KMW, "klosterneuburg": KMW, "babo": KMW,
	"g/lsugar": Sugar, "g/kg": SugarPer, "g/kgsugar": SugarPer,
}

const readingWanted = "Type a reading with its scale, such as 21.5 brix, 90 oe, 1.090 sg, 1.088 kg/L, 12 bé, 17 kmw " +
	"or 203 g/L sugar."

// ParseReading reads "21.5 brix", "60oe", "1.090 sg", "1088 kg/m³", "12 bé", "17
// kmw" or "203 g/L". Under 500 "g/L" is sugar, from 900 on it is a density. A
// number without a scale is an *quantity.AskError that offers the scales it could
// be on, for 1.090 as a density and as SG 20/20 differ by 2 °Oe.
func ParseReading(s string, h quantity.Habit) (Reading, error) {
	number, unit := parts(s)
	x, err := h.Number(number, 0, scaleEnd(unit))
	var ask *quantity.AskError
	if errors.As(err, &ask) {
		return Reading{}, askAgain(s, ask.Options, unit)
	}
	if err != nil || len(s) > 100 || math.Abs(x) > 2000 {
		return Reading{}, errors.New(readingWanted)
	}
	scale, known := spellings[unit]
	switch {
	case unit == "":
		return Reading{}, askScale(s, x)
	case unit == "g/l" && x < 500:
		scale, known = Sugar, true
	case unit == "g/l" && x >= 900, unit == "kg/m3", unit == "kg/m³":
		x, scale, known = x/1000, Density, true
	case (scale == SG || scale == Density) && x >= 900:
		x /= 1000 // 1090 for 1.090
	}
	if !known {
		return Reading{}, errors.New(readingWanted)
	}
	return Reading{x, scale}, nil
}

// scaleEnd is the greatest number a hand can mean on a scale: 1,090 sg is 1.090, and
// 21.500 brix is not 21500.
func scaleEnd(unit string) float64 {
	switch spellings[unit] {
	case SG, Density:
		if !strings.Contains(unit, "m3") && !strings.Contains(unit, "m³") {
			return 2
		}
	case Brix, Baume, KMW:
		return 100
	case "":
		if unit == "" {
			return 999
		}
	}
	return 2000
}

// parts cuts a text into its number and its unit, the unit in small letters and
// without spaces.
func parts(s string) (number, unit string) {
	s = strings.TrimSpace(s)
	end := strings.IndexFunc(s, func(r rune) bool { return !strings.ContainsRune("0123456789+-−–., \t", r) })
	if end < 0 {
		return s, ""
	}
	return strings.TrimSpace(s[:end]), strings.ToLower(strings.Join(strings.Fields(s[end:]), ""))
}

func askAgain(s string, options []string, unit string) error {
	said := make([]string, len(options))
	for i, o := range options {
		said[i] = strings.TrimSpace(o + " " + unit)
	}
	return &quantity.AskError{Input: strings.TrimSpace(s), Options: said,
		Message: "\"" + strings.TrimSpace(s) + "\" can be read in two ways: type " + strings.Join(said, " or ") + "."}
}

// askScale offers the scales on which a bare number can stand.
func askScale(s string, x float64) error {
	n := strings.TrimSpace(s)
	var can []string
	for _, one := range []struct {
		low, high float64
		unit      string
	}{{0, 40, "brix"}, {0, 30, "kmw"}, {0, 25, "bé"}, {20, 180, "oe"}, {0.9, 1.3, "sg"}, {0.9, 1.3, "kg/L"},
		{100, 400, "g/L sugar"}} {
		if x >= one.low && x <= one.high {
			can = append(can, n+" "+one.unit)
		}
	}
	if len(can) == 0 {
		return errors.New(readingWanted)
	}
	return &quantity.AskError{Input: n, Options: can,
		Message: "\"" + n + "\" has no scale: type " + strings.Join(can, " or ") + "."}
}

// String returns the reading with its scale, in the digits its scale is read to:
// "21.5 °Brix", "1.0897 SG 20/20", "89.7 °Oe", "203 g/L sugar".
func (r Reading) String() string { return trimmed(r.Value, r.Scale.digits()) + " " + string(r.Scale) }

// digits is how many decimals a figure on the scale deserves.
func (s Scale) digits() int {
	switch s {
	case SG, Density:
		return 4
	case Sugar, SugarPer:
		return 0
	}
	return 1
}
