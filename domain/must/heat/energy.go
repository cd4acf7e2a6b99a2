package heat

import (
	"errors"
	"math"
	"strconv"
	"time"

	"cellar.example/mustwatch/domain/quantity"
)

// Energy is heat in kJ.
type Energy float64

// Power is heat in a time, in kW.
type Power float64

// SpecificHeat is what warms a kilogram by a degree, in kJ/(kg·K).
type SpecificHeat float64

// Conductance is what a jacket passes for each degree between must and coolant,
// UA, in kW/K.
type Conductance float64

// HouseCp is the specific heat used where the sugar is not known, in kJ/(kg·K);
// MashCp the one for crushed grapes on the way through a heater. Both are house
// figures; the published ones for 18 to 26 °Brix lie from 3.45 to 3.68.
const (
	HouseCp SpecificHeat = 3.65
	MashCp  SpecificHeat = 3.5
)

// KWh returns kilowatt-hours.
func (e Energy) KWh() float64 { return float64(e) / 3600 }

// MJ returns megajoules.
func (e Energy) MJ() float64 { return float64(e) / 1000 }

// String returns "57.4 kWh (207 MJ)".
func (e Energy) String() string { return fixed(e.KWh(), 1) + " kWh (" + fixed(e.MJ(), 0) + " MJ)" }

// String returns "25 kW", with one decimal where it has one.
func (p Power) String() string { return short(float64(p), 1) + " kW" }

// String returns "3.65 kJ/(kg·K)".
func (c SpecificHeat) String() string { return fixed(float64(c), 2) + " kJ/(kg·K)" }

// String returns "2 kW/K".
func (u Conductance) String() string { return short(float64(u), 2) + " kW/K" }

// Cp returns the specific heat of must at 0 to 40 °Brix and 0 to 40 °C as that of
// sucrose in water: 4.1868 − 0.0297·B + 7.5e-5·B·t. Outside it is an error.
// Source: Bubník et al. 1995, from memory; within 0.5 % of Choi and Okos at 18 to
// 26 °Brix, 1.3 % over it in water.
func Cp(b quantity.Brix, t quantity.Celsius) (SpecificHeat, error) {
	if !(b >= 0 && b <= 40 && t >= 0 && t <= 40) {
		return 0, errors.New("Type the sugar from 0 to 40 °Brix and the temperature from 0 to 40 °C.")
	}
	return SpecificHeat(4.1868 - 0.0297*float64(b) + 7.5e-5*float64(b)*float64(t)), nil
}

// Body is a quantity of must that takes up or gives off heat.
type Body struct {
	Volume  quantity.Volume
	Density quantity.Density // g/mL
	Cp      SpecificHeat
}

// Mass returns what the must weighs.
func (b Body) Mass() quantity.Mass {
	return quantity.Kilograms(b.Volume.Litres() * float64(b.Density))
}

// capacity is kJ for a degree.
func (b Body) capacity() float64 {
	return b.Volume.Litres() * float64(b.Density) * float64(b.Cp)
}

func (b Body) check() error {
	switch {
	case b.Volume <= 0:
		return errors.New("There is nothing to cool or warm: type the volume, such as 104 hL.")
	case !(b.Density >= 0.9 && b.Density <= 1.4):
		return errors.New("Type the density from 0.900 to 1.400 kg/L, such as 1.089.")
	case !(b.Cp >= 2 && b.Cp <= 4.5):
		return errors.New("Type the specific heat from 2 to 4.5 kJ/(kg·K), such as 3.65.")
	}
	return nil
}

func checkTemperatures(ts ...quantity.Celsius) error {
	for _, t := range ts {
		if !(t >= -30 && t <= 120) {
			return errors.New("Type temperatures from -30 to 120 °C, such as 13.5.")
		}
	}
	return nil
}

// Between returns the heat that takes a body from one temperature to the other,
// never negative: m × cp × ΔT.
func Between(b Body, from, to quantity.Celsius) (Energy, error) {
	if err := errors.Join(b.check(), checkTemperatures(from, to)); err != nil {
		return 0, firstOf(err)
	}
	return Energy(b.capacity() * math.Abs(float64(to-from))), nil
}

// AtPower returns how long a power takes for an energy, to the second.
func AtPower(e Energy, p Power) (quantity.Span, error) {
	if !(e >= 0 && e <= 1e12) || !(p > 0 && p <= 1e6) {
		return 0, errors.New("Type the power in kW, more than 0, such as 25.")
	}
	return span(float64(e) / float64(p) / 3600)
}

// ByJacket returns how long a jacket takes, with coolant (or hot water) of constant
// temperature: m·cp/UA × ln((T1 − Tc)/(T2 − Tc)). The target must lie between the
// must and the coolant.
func ByJacket(b Body, ua Conductance, coolant, from, to quantity.Celsius) (quantity.Span, error) {
	if err := errors.Join(b.check(), checkTemperatures(coolant, from, to)); err != nil {
		return 0, firstOf(err)
	}
	if !(ua > 0 && ua <= 1000) {
		return 0, errors.New("Type the UA of the jacket in kW/K, more than 0, such as 2.")
	}
	if from == to {
		return 0, nil
	}
	ratio := float64(from-coolant) / float64(to-coolant)
	if !(ratio > 1) || math.IsInf(ratio, 0) {
		return 0, errors.New("The target must lie between the must and the coolant: type one that the coolant can " +
			"reach.")
	}
	return span(b.capacity() / float64(ua) * math.Log(ratio) / 3600)
}

// HeaterPower returns the power that warms a stream: mass in an hour × cp × ΔT.
func HeaterPower(perHour quantity.Mass, rise float64, cp SpecificHeat) (Power, error) {
	if perHour <= 0 || !(rise > 0 && rise <= 120) || !(cp >= 2 && cp <= 4.5) {
		return 0, errors.New("Type the mass in an hour, the rise from 0 to 120 K and the specific heat from 2 to " +
			"4.5, such as 10 t, 37 and 3.5.")
	}
	return Power(perHour.Kilograms() * float64(cp) * rise / 3600), nil
}

// Heat of fermentation and heat capacity by which Drift calculates: 0.55 kJ for each
// g of sugar, and 3.9 kJ for a litre and a degree.
const (
	perGram  = 0.55
	perLitre = 3.9
)

// Drift returns by how much a tank warms in an hour, K/h, when its must uses so
// much sugar, g/L in an hour from 0 to 20, and nothing cools it.
func Drift(sugarPerHour float64) (float64, error) {
	if !(sugarPerHour >= 0 && sugarPerHour <= 20) {
		return 0, errors.New("Type the sugar used in g/L an hour, from 0 to 20, such as 2.9.")
	}
	return sugarPerHour * perGram / perLitre, nil
}

// UntilLimit returns how long a drift in K/h takes from now to the limit; a drift
// that leads away from it, or none, is an error.
func UntilLimit(now, limit quantity.Celsius, drift float64) (quantity.Span, error) {
	if err := checkTemperatures(now, limit); err != nil {
		return 0, err
	}
	hours := float64(limit-now) / drift
	if !(hours >= 0) || math.IsInf(hours, 0) {
		return 0, errors.New("At that drift the limit is never reached: type a drift towards it, such as 0.41 K/h.")
	}
	return span(hours)
}

// span makes a span of hours, to the second; what no one waits for is an error.
func span(hours float64) (quantity.Span, error) {
	const year = 366 * 24
	if !(hours >= 0 && hours <= year) {
		return 0, errors.New("That would take more than a year: check the power, the volume and the temperatures.")
	}
	return quantity.Span(math.Round(hours*3600)) * quantity.Span(time.Second), nil
}

// firstOf returns the first sentence of joined errors.
func firstOf(err error) error {
	if many, ok := err.(interface{ Unwrap() []error }); ok && len(many.Unwrap()) > 0 {
		return many.Unwrap()[0]
	}
	return err
}

func fixed(x float64, decimals int) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return "?"
	}
	return strconv.FormatFloat(x, 'f', decimals, 64)
}

// short writes x with at most so many decimals.
func short(x float64, decimals int) string {
	scale := math.Pow10(decimals)
	if math.IsNaN(x) || math.Abs(x) > 1e12 {
		return "?"
	}
	return strconv.FormatFloat(math.Round(x*scale)/scale, 'f', -1, 64)
}
