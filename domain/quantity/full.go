package quantity

import "strings"

// The texts for a screen are rounded. Where somebody puts a figure right, what stands
// there is shown with as many decimals as it was written with, so that it can be typed
// again in every house.

// fullHabit reads back what is written here: always with a point.
func fullHabit(sys System) Habit { return Habit{Units: sys, Decimal: Point} }

// Full returns the volume in the unit that Text gives it, to the microlitre.
func (v Volume) Full(sys System) string {
	return full(int64(v), v.Text(sys), func(s string) (int64, error) {
		x, err := parseVolume(s, fullHabit(sys))
		return int64(x), err
	})
}

// Full returns the mass in the unit that Text gives it, to the milligram.
func (m Mass) Full(sys System) string {
	return full(int64(m), m.Text(sys), func(s string) (int64, error) {
		x, err := parseMass(s, fullHabit(sys), Gram)
		return int64(x), err
	})
}

// Full returns the amount in the unit that Text gives it, without loss.
func (a Amount) Full(sys System) string {
	if !a.Liquid() {
		return a.Mass.Full(sys)
	}
	return full(int64(a.Volume), a.Text(sys), func(s string) (int64, error) {
		x, err := parseVolume(s, fullHabit(sys))
		return int64(x), err
	})
}

// Full returns the temperature in the house's unit with up to four decimals.
func (c Celsius) Full(sys System) string {
	text := c.Text(sys)
	_, unit, _ := strings.Cut(text, " ")
	x := float64(c)
	if sys == US {
		x = x*9/5 + 32
	}
	for decimals := 1; decimals <= 4; decimals++ {
		s := fixed(x, decimals) + " " + unit
		if back, err := fullHabit(sys).Celsius(s); err == nil && back == c {
			return s
		}
	}
	return text
}

// enough decimals for a milligram in tonnes.
const mostDecimals = 9

// full gives a rounded text more decimals until it reads back as the same count.
func full(count int64, text string, parse func(string) (int64, error)) string {
	if back, err := parse(text); err == nil && back == count {
		return ToType(text)
	}
	_, unit, _ := strings.Cut(text, " ")
	const many = 1_000_000 // of the unit, for a gallon is no whole number of microlitres
	size, err := parse("1000000 " + unit)
	if err != nil || size == 0 {
		return text
	}
	for decimals := range mostDecimals + 1 {
		s := fixed(float64(count)/float64(size)*many, decimals) + " " + unit
		if back, err := parse(s); err == nil && back == count {
			return ToType(s)
		}
	}
	return text
}
