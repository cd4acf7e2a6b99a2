package press

import (
	"errors"
	"math"
	"strconv"
	"strings"

	"cellar.example/mustwatch/domain/quantity"
)

// Yield is juice from grapes, in litres a tonne.
type Yield float64

// galPerShortTon is 1 US gal a short ton in L/t: 3.785411784 L in 0.90718474 t.
const galPerShortTon = 3.785411784 / 0.90718474

// The span of a yield that is not a slip, in L/t.
const leastYield, mostYield = 50, 1000

const yieldWanted = "Type a yield from 50 to 1000 L/t, such as 720 L/t, 7.2 hL/t, 72 % or 172 gal/short ton."

// Of returns the yield of juice from grapes. No grapes, no juice, and a yield
// outside 50 to 1000 L/t are errors.
func Of(juice quantity.Volume, grapes quantity.Mass) (Yield, error) {
	if juice <= 0 || grapes <= 0 {
		return 0, errors.New("Type the juice and the grapes it came from, such as 135.4 hL and 18.8 t.")
	}
	return inRange(juice.Litres() / grapes.Tonnes())
}

func inRange(x float64) (Yield, error) {
	if !(x >= leastYield && x <= mostYield) {
		return 0, errors.New("That is " + rounded(x, 0) + " L/t: check the juice and the grapes, a yield is from 50 " +
			"to 1000 L/t.")
	}
	return Yield(x), nil
}

// yieldUnits are L/t for one of a unit.
var yieldUnits = map[string]float64{
	"l/t": 1, "l/tonne": 1, "hl/t": 100, "hl/tonne": 100, "l/100kg": 10, "l/kg": 1000, "%": 10,
	"gal/shortton": galPerShortTon, "usgal/shortton": galPerShortTon, "gallons/shortton": galPerShortTon,
}

// ParseYield reads "720 L/t", "7.2 hL/t", "72 %" (litres from 100 kg) or "172
// gal/short ton". "gal/ton" is an *quantity.AskError in a metric house, as is a
// bare "L/ton".
func ParseYield(s string, h quantity.Habit) (Yield, error) {
	text := strings.TrimSpace(s)
	end := strings.IndexFunc(text, func(r rune) bool { return !strings.ContainsRune("0123456789+-−–., \t", r) })
	if end < 0 || len(s) > 100 {
		return 0, errors.New(yieldWanted)
	}
	number, unit := strings.TrimSpace(text[:end]), strings.ToLower(strings.Join(strings.Fields(text[end:]), ""))
	switch {
	case unit == "gal/ton" && h.Units == quantity.US:
		text = number + " gal/short ton"
	case unit == "gal/ton":
		return 0, again(text, []string{number}, "gal/short ton")
	case unit == "l/ton":
		return 0, again(text, []string{number}, "L/t")
	}
	y, err := h.In(text, yieldUnits, leastYield, mostYield, yieldWanted)
	return Yield(y), err
}

func again(input string, numbers []string, unit string) error {
	options := make([]string, len(numbers))
	for i, n := range numbers {
		options[i] = n + " " + unit
	}
	return &quantity.AskError{Input: input, Options: options, Message: "Type " + strings.Join(options,
		" or ") + " if that is what \"" + input + "\" means."}
}

// HLPerTonne returns hectolitres a tonne.
func (y Yield) HLPerTonne() float64 { return float64(y) / 100 }

// GalPerShortTon returns US gallons a short ton of 2000 lb.
func (y Yield) GalPerShortTon() float64 { return float64(y) / galPerShortTon }

// String returns "720 L/t".
func (y Yield) String() string { return rounded(float64(y), 0) + " L/t" }

// Text returns the yield as the house writes it: "7.20 hL/t" or "172.6 gal/short
// ton".
func (y Yield) Text(sys quantity.System) string {
	if sys == quantity.US {
		return rounded(y.GalPerShortTon(), 1) + " gal/short ton"
	}
	return rounded(y.HLPerTonne(), 2) + " hL/t"
}

// From returns the juice that grapes give at a yield.
func (y Yield) From(grapes quantity.Mass) (quantity.Volume, error) {
	if grapes <= 0 || !(y >= leastYield && y <= mostYield) {
		return 0, errors.New("Type the grapes and the yield, such as 18.8 t and 5.8 hL/t.")
	}
	return quantity.HL(grapes.Tonnes() * float64(y) / 100), nil
}

// rounded writes x with so many decimals; a number that is none is "?".
func rounded(x float64, decimals int) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return "?"
	}
	return strconv.FormatFloat(x, 'f', decimals, 64)
}
