package must

import (
	"errors"
	"math"

	"cellar.example/mustwatch/domain/must/strength"
	"cellar.example/mustwatch/domain/quantity"
)

const sucroseWanted = "Type the sugar in °Brix, from 0 to 95: the table of sucrose ends there."

// SucroseSG returns the apparent specific gravity 20/20 °C of pure sucrose in
// water at 0 to 95 °Brix, straight between whole degrees (worst error 6e-6). It
// is what a spindle follows; must is denser. Outside the table it is an error.
// Source: NBS Circular C440, Table 114.
func SucroseSG(b quantity.Brix) (float64, error) {
	x := float64(b)
	last := len(c440) - 1
	if !(x >= 0 && x <= float64(last)) {
		return 0, errors.New(sucroseWanted)
	}
	i := min(int(x), last-1)
	return c440[i] + (c440[i+1]-c440[i])*(x-float64(i)), nil
}

// SucroseBrix returns the °Brix of pure sucrose at a specific gravity 20/20 °C from
// 1 to 1.51876: what a Brix spindle shows in a must of that gravity. Outside the
// table it is an error. Source: NBS Circular C440, Table 114, read backwards.
func SucroseBrix(sg float64) (quantity.Brix, error) {
	last := len(c440) - 1
	if !(sg >= c440[0] && sg <= c440[last]) {
		return 0, errors.New("Type a specific gravity from 1.000 to 1.518: the table of sucrose ends there.")
	}
	i := 0
	for i < last-1 && sg >= c440[i+1] {
		i++
	}
	return quantity.Brix(float64(i) + (sg-c440[i])/(c440[i+1]-c440[i])), nil
}

// The coefficients of the density of sucrose in water, kg/m³, over powers of the
// mass fraction and of (°C − 20)/100: ICUMSA SPS-4 (Emmerich 1994), from memory,
// supported by C440 within 1.1e-4 in SG at 20 °C up to 40 °Brix.
var icumsa = [...][]float64{
	{385.1761, 135.3705, 40.9299, -3.9643, 13.4853, -17.2890},
	{-46.2720, -7.1720, 1.1597, 5.1126, 17.5254},
	{59.7712, 7.2491, 12.3630, -35.4791},
	{-47.2207, -21.6977, 27.6301},
	{18.3184, 12.3081},
}

// SucroseDensity returns the true density in kg/m³ of pure sucrose in water at 0
// to 70 °Brix and 0 to 40 °C; it stands in for must where only the change with the
// temperature counts. Outside the range it is an error. Source: the polynomial of
// ICUMSA SPS-4 (from memory), water by OIML R22.
func SucroseDensity(b quantity.Brix, t quantity.Celsius) (float64, error) {
	if !(b >= 0 && b <= 70 && t >= 0 && t <= 40) {
		return 0, errors.New("Type the sugar from 0 to 70 °Brix and the temperature from 0 to 40 °C.")
	}
	w, x := float64(b)/100, (float64(t)-20)/100
	rho, err := strength.EthanolDensity(0, t)
	if err != nil {
		return 0, err
	}
	for i, row := range icumsa {
		for k, c := range row {
			rho += c * math.Pow(w, float64(k+1)) * math.Pow(x, float64(i))
		}
	}
	return rho, nil
}

// hotPerK is how much must swells for a degree above 20 °C on the way to hot must,
// as a share: house arithmetic for the head room of hot vessels, about 2.2 % at
// 68 °C.
const hotPerK = 0.00045

// HotVolume returns the volume that a must measured at 20 °C takes at a warmer
// temperature, 20 to 100 °C: V × (1 + 0.00045 × (t − 20)), on the careful side for
// head room. Colder or hotter is an error.
func HotVolume(at20 quantity.Volume, t quantity.Celsius) (quantity.Volume, error) {
	if at20 < 0 || !(t >= 20 && t <= 100) {
		return 0, errors.New("Type the volume at 20 °C and the temperature of the hot must, from 20 to 100 °C.")
	}
	return quantity.HL(at20.HL() * (1 + hotPerK*(float64(t)-20))), nil
}

// gasPerGram is the CO2 in litres from a gram of sugar fermented, at 20 °C and 1
// atm: about 0.46 g of gas a gram (0.4886 g if all of it turned, at some 94 %),
// 24.06 L/mol of 44.01 g.
const gasPerGram = 0.46 / 44.01 * 24.06

// FermentationGas returns the CO2 that a must gives off over the whole ferment,
// for sugar in g/L from 0 to 400: 0.46 g for each g of sugar, at 20 °C. It is for
// information on the air of a room, never a measure of safety.
func FermentationGas(v quantity.Volume, sugar float64) (quantity.Volume, error) {
	if v < 0 || !(sugar >= 0 && sugar <= 400) {
		return 0, errors.New("Type the volume of must and its sugar from 0 to 400 g/L, such as 165 hL and 200 g/L.")
	}
	return quantity.HL(v.HL() * sugar * gasPerGram), nil
}
