package quantity

import (
	"errors"
	"strings"
)

// Mass is a whole number of milligrams.
type Mass int64

// Sizes of a mass.
const (
	Milligram Mass = 1
	Gram      Mass = 1000
	Kilogram  Mass = 1_000_000
	Tonne     Mass = 1_000_000_000
)

// milligrams in the avoirdupois units, exact by definition (from memory).
const (
	mgPerLb       = 453_592.37
	mgPerOz       = 28_349.523125
	mgPerShortTon = 907_184_740.0
	mgPerLongTon  = 1_016_046_908.8
)

// Grams makes a mass of x grams, to the nearest milligram. NaN gives 0.
func Grams(x float64) Mass { return Mass(toCount(x * float64(Gram))) }

// Kilograms makes a mass of x kilograms, to the nearest milligram. NaN gives 0.
func Kilograms(x float64) Mass { return Mass(toCount(x * float64(Kilogram))) }

// Grams returns grams.
func (m Mass) Grams() float64 { return float64(m) / float64(Gram) }

// Kilograms returns kilograms.
func (m Mass) Kilograms() float64 { return float64(m) / float64(Kilogram) }

// Tonnes returns tonnes of 1000 kg.
func (m Mass) Tonnes() float64 { return float64(m) / float64(Tonne) }

// String returns the exact canonical text: below 1 kg in grams ("100.3 g"), from
// there on in kilograms ("2.52 kg", "14600 kg").
func (m Mass) String() string {
	if m > -Kilogram && m < Kilogram {
		return exact(int64(m), 3) + " g"
	}
	return exact(int64(m), 6) + " kg"
}

// Text returns the mass of a product for a screen. Below 1 kg it is "156 g",
// "100.3 g" or "0.14 g" in either house, as scales there read grams; from 1 kg on
// "2.52 kg" or, in a US house, "5.56 lb".
func (m Mass) Text(sys System) string {
	step := int64(Gram) / 10
	if abs64(int64(m)) < 2*int64(Gram) { // a tenth would hide more than a fortieth of it
		step = int64(Gram) / 100
	}
	switch tenths := roundTo(int64(m), step); {
	case tenths == 0:
		return exact(int64(m), 3) + " g"
	case abs64(tenths) < int64(Kilogram):
		return exact(tenths, 3) + " g"
	}
	x, unit := m.Kilograms(), " kg"
	if sys == US {
		x, unit = float64(m)/mgPerLb, " lb"
	}
	decimals := 2
	if size := abs64(int64(m)); size >= int64(Tonne) {
		decimals = 0
	} else if size >= 100*int64(Kilogram) {
		decimals = 1
	}
	if sys != US { // in whole counts, so that a half is a half
		step := int64(Kilogram) / []int64{1, 10, 100}[decimals]
		return exact(roundTo(int64(m), step), 6) + unit
	}
	return trimZeros(fixed(x, decimals)) + unit
}

// Ounces returns what a scale in ounces shows, to two digits at least, so that
// something never reads as nothing: "13.5 oz", "0.021 oz"; in pounds from 10 lb
// on, for nobody weighs 1480 oz.
func (m Mass) Ounces() string {
	ounces := float64(m) / mgPerOz
	if pounds := float64(m) / mgPerLb; pounds >= 10 || pounds <= -10 {
		return fixed(pounds, 1) + " lb"
	}
	least := 2
	if ounces >= 10 || ounces <= -10 {
		least = 1
	}
	return trimZeros(fixed(ounces, seen(ounces, least))) + " oz"
}

// Load returns a load of grapes for a screen: "17.8 t" or "19.6 short tons".
func (m Mass) Load(sys System) string {
	if sys == US {
		return fixed(float64(m)/mgPerShortTon, 1) + " short tons"
	}
	return fixed(float64(roundTo(int64(m), int64(Tonne)/10))/float64(Tonne), 1) + " t"
}

var massUnits = map[string]float64{
	"mg": 1,
	"g":  float64(Gram), "gram": float64(Gram), "grams": float64(Gram),
	"kg": float64(Kilogram), "kilo": float64(Kilogram), "kilos": float64(Kilogram),
	"t": float64(Tonne), "tonne": float64(Tonne), "tonnes": float64(Tonne), "metricton": float64(Tonne),
	"metrictons": float64(Tonne),
	"lb":         mgPerLb, "lbs": mgPerLb, "pound": mgPerLb, "pounds": mgPerLb,
	"oz": mgPerOz, "ounce": mgPerOz, "ounces": mgPerOz,
	"shortton": mgPerShortTon, "shorttons": mgPerShortTon,
	"longton": mgPerLongTon, "longtons": mgPerLongTon,
}

// mostGrapes bounds what a number with two readings can mean, in milligrams: nothing
// that is weighed at once in a cellar comes to 1000 t.
const mostGrapes = 1000 * float64(Tonne)

// Mass reads a mass of zero or more. bare is the unit of a number with
// none behind it: Gram for a product, Kilogram for grapes. It takes mg, g, kg, t
// (1000 kg), lb, oz, short tons and long tons; a plain "ton" is an *AskError. the
// units of the house choose the examples in the sentences.
func (h Habit) Mass(s string, bare Mass) (Mass, error) {
	m, err := parseMass(s, h, bare)
	if err == nil && m < 0 {
		return 0, errors.New("Type a mass of zero or more, " + massExamples(h.Units) + ".")
	}
	return m, err
}

func massExamples(sys System) string {
	if sys == US {
		return "such as 156 g, 5.5 lb or 19.6 short tons"
	}
	return "such as 156 g, 2.5 kg or 17.8 t"
}

func parseMass(s string, h Habit, bare Mass) (Mass, error) {
	sys := h.Units
	number, unit := splitUnit(s)
	size, known := massUnits[squeeze(unit)]
	ton := squeeze(unit) == "ton" || squeeze(unit) == "tons"
	ton = ton || sys == US && squeeze(unit) == "t" // there a ton is meant as often as a tonne
	if unit == "" {
		size, known = float64(bare), bare > 0
	}
	if !known && !ton || len(s) > maxTyped {
		return 0, errors.New("Type a mass " + massExamples(sys) + ".")
	}
	x, err := parseNumber(number, h, func(x float64) (float64, bool) {
		return x * size, x*size >= -mostGrapes && x*size <= mostGrapes
	})
	if err != nil {
		return 0, askWithUnit(err, s, unit, "Type a mass "+massExamples(sys)+".")
	}
	if ton {
		n := shortest(x, 0)
		return 0, newAsk(strings.TrimSpace(s), n+" tonnes", n+" short tons")
	}
	if mg := x * size; mg > maxCount || mg < -maxCount {
		return 0, errors.New("That is more than any cellar weighs: type a mass " + massExamples(sys) + ".")
	}
	return Mass(toCount(x * size)), nil
}

// MarshalText returns the canonical text, as it can be typed again.
func (m Mass) MarshalText() ([]byte, error) { return []byte(ToType(m.String())), nil }

// UnmarshalText reads what the program wrote, see ReadTyped.
func (m *Mass) UnmarshalText(text []byte) error { return m.ReadTyped(string(text), canonical) }

// ReadTyped reads what Habit.Mass reads, and minus masses (a stock may be short). A bare
// number is asked about; empty text is 0.
func (m *Mass) ReadTyped(text string, h Habit) error {
	if text == "" {
		*m = 0
		return nil
	}
	if bare(text) {
		return unitless(text, " g", " kg", " lb")
	}
	got, err := parseMass(text, h, Gram)
	if err == nil {
		*m = got
	}
	return err
}
