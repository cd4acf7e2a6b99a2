package blend

import (
	"errors"
	"strconv"
	"strings"

	"cellar.example/mustwatch/domain/must"
	"cellar.example/mustwatch/domain/quantity"
)

// mustBrix is up to which number a sugar without a unit may as well be °Brix: no
// must has more, and one with so few grams in a litre is nearly dry.
const mustBrix = 50

// most keeps 1.090 from being read as 1090: no property comes to a thousand in the
// unit in which it adds up.
const most = 999

// Read reads the value of a lot, with or without its unit, in the unit in which
// the property adds up. Where that is not the unit that was typed, from says what
// it was and by which table it was turned: °Brix is no g/L. A sugar of 21.5 that
// does not say which of the two it is, is an *quantity.AskError.
func (p Property) Read(s string, h quantity.Habit) (x float64, from string, err error) {
	s = strings.TrimSpace(s)
	if err := p.measuredOnly(); err != nil {
		return 0, "", err
	}
	bare := strings.Trim(s, "0123456789+-−–., \t") == ""
	switch p {
	case Warmth:
		c, err := h.Celsius(s)
		return float64(c), "", err
	case SO2, Nitrogen:
		return p.rate(s, h, quantity.MgPerL)
	case Dose:
		return p.rate(s, h, quantity.GPerHL)
	case Acidity:
		unit := len(s) - len("g/L")
		if unit > 0 && strings.EqualFold(s[unit:], "g/L") {
			s, bare = s[:unit], true
		}
		if !bare {
			return 0, "", errors.New("Type a titratable acidity in g/L, such as 79hL@6.5g/L.")
		}
		x, err = h.Number(s, 0, most)
		return x, "", err
	}
	if bare {
		x, err := h.Number(s, 0, most)
		if err == nil && p == SugarGL && x > 0 && x <= mustBrix {
			return 0, "", &quantity.AskError{Input: s, Options: []string{s + " g/L", s + " brix"},
				Message: "\"" + s + "\" can be read in two ways: type " + s + "g/L or " + s + "brix."}
		}
		s += map[Property]string{SugarGL: " g/L sugar", Weight: " kg/L", DegreesOe: " oe"}[p]
	}
	return p.scale(s, h)
}

// scale reads a sugar or a density on any of their scales.
func (p Property) scale(s string, h quantity.Habit) (float64, string, error) {
	r, err := must.ParseReading(s, h)
	if err != nil {
		return 0, "", err
	}
	want := map[Property]must.Scale{SugarGL: must.Sugar, Weight: must.Density, DegreesOe: must.Oechsle}[p]
	if r.Scale == want {
		return r.Value, "", nil
	}
	all, err := must.Convert(r)
	if err != nil {
		return 0, "", err
	}
	f := all.In(want)
	switch from := r.String() + " by " + f.Basis; {
	case !f.Known:
		return 0, "", errors.New(r.String() + " cannot be turned into " + string(want) + ": " + f.Basis + ".")
	case f.Extrapolated:
		return f.Value, from + ", extrapolated", nil
	default:
		return f.Value, from, nil
	}
}

func (p Property) rate(s string, h quantity.Habit, unit quantity.RateUnit) (float64, string, error) {
	r, err := h.Rate(s, unit)
	if err != nil {
		return 0, "", err
	}
	same, err := r.To(unit)
	if err != nil {
		such := map[Property]string{SO2: "50mg/L", Nitrogen: "150mg/L", Dose: "3g/hL"}[p]
		return 0, "", errors.New("Type the " + string(p) + " of each lot in " + string(unit) + ", such as 79hL@" +
			such + ".")
	}
	if r.Unit == unit {
		return r.Value, "", nil
	}
	return same.Value, r.String(), nil
}

// Unit is the unit in which the property adds up.
func (p Property) Unit() string {
	return map[Property]string{SugarGL: "g/L", Acidity: "g/L", Weight: "kg/L", DegreesOe: "°Oe", Warmth: "°C",
		SO2:      "mg/L",
		Nitrogen: "mg/L", Dose: "g/hL"}[p]
}

// Text writes a value with its unit, as the house does.
func (p Property) Text(x float64, sys quantity.System) string {
	switch {
	case p == Warmth:
		return quantity.Celsius(x).Text(sys)
	case p == Dose && sys == quantity.US:
		return quantity.Rate{Value: x, Unit: quantity.GPerHL}.Text(sys)
	}
	places, fine := map[Property]int{Weight: 4, Acidity: 2, Dose: 2}[p]
	if !fine {
		places = 1
	}
	return strconv.FormatFloat(x, 'f', places, 64) + " " + p.Unit()
}
