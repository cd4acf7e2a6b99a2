package quantity

import "errors"

// Celsius is a temperature in degrees Celsius.
type Celsius float64

// The span of temperatures a parser takes. It holds ice, steam and every must;
// what a stage allows is for the house to say.
const (
	coldest Celsius = -50
	hottest Celsius = 150
)

const temperatureWanted = "Type a temperature such as 15.2, 15,2 °C or 59F, between -50 and 150 °C."

// Celsius reads "15.2", "9,4", "15 °C" or "59F". A bare number is °C in a
// metric house and °F in a US one. Fahrenheit is kept to 0.0001 °C, finer than
// any thermometer.
func (h Habit) Celsius(s string) (Celsius, error) {
	number, unit := splitUnit(s)
	fahrenheit := h.Units == US
	switch squeeze(unit) {
	case "", "°", "º", "deg", "degrees":
	case "c", "°c", "ºc", "degc", "℃", "celsius":
		fahrenheit = false
	case "f", "°f", "ºf", "degf", "℉", "fahrenheit":
		fahrenheit = true
	default:
		return 0, errors.New(temperatureWanted)
	}
	degrees := func(x float64) Celsius {
		if fahrenheit {
			return Celsius(roundDecimals((x-32)*5/9, 4))
		}
		return Celsius(x)
	}
	x, err := parseNumber(number, h, func(x float64) (float64, bool) {
		c := degrees(x)
		return float64(c), c >= coldest && c <= hottest
	})
	if err != nil || len(s) > maxTyped {
		return 0, askWithUnit(err, s, unit, temperatureWanted)
	}
	if c := degrees(x); c >= coldest && c <= hottest {
		return c, nil
	}
	return 0, errors.New(temperatureWanted)
}

// Text returns the temperature for a screen, to a tenth: "9.4 °C", "48.9 °F".
func (c Celsius) Text(sys System) string {
	if sys == US {
		return fixed(float64(c)*9/5+32, 1) + " °F"
	}
	return fixed(float64(c), 1) + " °C"
}

// String returns the canonical text: one decimal, or as many as it takes to
// read back the same number.
func (c Celsius) String() string { return shortest(float64(c), 1) + " °C" }

// MarshalText returns the canonical text; a number that is none is an error.
func (c Celsius) MarshalText() ([]byte, error) { return finiteText(float64(c), c.String()) }

// UnmarshalText reads what the program wrote, see ReadTyped.
func (c *Celsius) UnmarshalText(text []byte) error { return c.ReadTyped(string(text), canonical) }

// ReadTyped reads what Habit.Celsius reads. A bare number is asked about; empty text is
// 0 °C.
func (c *Celsius) ReadTyped(text string, h Habit) error {
	if text == "" {
		*c = 0
		return nil
	}
	if bare(text) {
		return unitless(text, " °C", " °F")
	}
	got, err := h.Celsius(text)
	if err == nil {
		*c = got
	}
	return err
}
