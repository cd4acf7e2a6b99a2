package quantity

import "strings"

// What is refused because one figure is more than another must not read as if the
// two were the same. Beside writes both as a screen does, and where those texts are
// alike though the figures are not, in as many decimals as it takes to tell them
// apart.

// apart is in how many decimals two numbers read differently: in those asked for,
// or in as many more as it takes.
func apart(x, y float64, decimals int) int {
	for decimals < mostDecimals && x != y && fixed(x, decimals) == fixed(y, decimals) {
		decimals++
	}
	return decimals
}

func beside[Q interface {
	comparable
	Text(System) string
}](a, b Q, sys System, size func(q Q, unit string) float64) (string, string) {
	s, t := a.Text(sys), b.Text(sys)
	if a == b || s != t {
		return s, t
	}
	_, unit := splitUnit(s)
	x, y := size(a, unit), size(b, unit)
	n := apart(x, y, 1)
	return fixed(x, n) + " " + unit, fixed(y, n) + " " + unit
}

// Beside writes a volume and another so that they read differently if they are.
func (v Volume) Beside(other Volume, sys System) (text, others string) {
	return beside(v, other, sys, Volume.in)
}

// in is the volume in a unit that Text writes, where a gallon is the US one.
func (v Volume) in(unit string) float64 {
	if plainGallon(unit) {
		return float64(v) / usGallon
	}
	return float64(v) / volumeUnits[squeeze(unit)]
}

// Beside writes a mass and another so that they read differently if they are.
func (m Mass) Beside(other Mass, sys System) (text, others string) {
	return beside(m, other, sys, Mass.in)
}

// LoadBeside writes a load of grapes and another, in tonnes or short tons, and as
// they are weighed where those read alike.
func (m Mass) LoadBeside(other Mass, sys System) (text, others string) {
	if s, t := m.Load(sys), other.Load(sys); s != t || m == other {
		return s, t
	}
	return m.Beside(other, sys)
}

// in is the mass in a unit that Text writes.
func (m Mass) in(unit string) float64 { return float64(m) / massUnits[squeeze(unit)] }

// Beside writes an amount and another of its kind so that they read differently if
// they are.
func (a Amount) Beside(other Amount, sys System) (text, others string) {
	return beside(a, other, sys, func(x Amount, unit string) float64 {
		if x.Liquid() {
			return x.Volume.in(unit)
		}
		return x.Mass.in(unit)
	})
}

// Beside writes a temperature and another so that they read differently if they
// are.
func (c Celsius) Beside(other Celsius, sys System) (text, others string) {
	return beside(c, other, sys, func(x Celsius, unit string) float64 {
		if unit == "°F" {
			return float64(x)*9/5 + 32
		}
		return float64(x)
	})
}

// Beside writes a share and a limit so that they read differently if they are; the
// limit as it was set.
func (p Percent) Beside(limit Percent) (text, limits string) {
	return fixed(float64(p), apart(float64(p), float64(limit), 0)) + " %", limit.String()
}

// Beside writes a dose in the unit of a limit so that the two read differently if
// they are. What has no factor to that unit stays as it is.
func (r Rate) Beside(limit Rate) (text, limits string) {
	same, err := r.To(limit.Unit)
	if err != nil {
		return r.String(), limit.String()
	}
	n := 1
	if limit.Value < 1 { // pounds per 1000 gallons
		n = 3
	}
	n = apart(same.Value, limit.Value, n)
	most, unit := shortest(limit.Value, 0), " "+string(limit.Unit)
	if _, frac, _ := strings.Cut(most, "."); len(frac) > 3 { // converted, not typed
		most = trimZeros(fixed(limit.Value, n))
	}
	return fixed(same.Value, n) + unit, most + unit
}
