package strength

import (
	"errors"
	"math"
	"strconv"

	"cellar.example/mustwatch/domain/quantity"
)

// ABV is an alcoholic strength in % vol at 20 °C.
type ABV float64

// ethanol20 is the density of pure ethanol at 20 °C in kg/m³ by the formula itself
// (R22 prints 789.24): with the rounded figure pure ethanol would be 99.9999 % vol.
var ethanol20 = densityR22(1, 20)

// Millilitres is a volume as measured in a tube or a cylinder, where a whole
// millilitre is too coarse.
type Millilitres float64

// Part is one of the things poured together: so much, so strong.
type Part struct {
	Volume Millilitres
	ABV    ABV
}

// Mixture is what became of it, at 20 °C.
type Mixture struct {
	Volume      Millilitres
	ABV         ABV
	Naive       ABV         // what plain arithmetic would say
	Poured      Millilitres // the sum of the parts
	Contraction float64     // share of the sum that is lost
}

// waterDensity is water at °C in kg/m³ by R22.
func waterDensity(t float64) float64 {
	rho, x := r22A[0], 1.0
	for _, b := range r22B {
		x *= t - 20
		rho += b * x
	}
	return rho
}

// densityR22 is the density in kg/m³ of ethanol of mass fraction p in water at °C.
func densityR22(p, t float64) float64 {
	rho, x := waterDensity(t), 1.0
	for _, a := range r22A[1:] {
		x *= p
		rho += a * x
	}
	warm := 1.0
	for _, row := range r22C {
		warm *= t - 20
		x = 1.0
		for _, c := range row {
			x *= p
			rho += c * x * warm
		}
	}
	return rho
}

// massFraction is the share of ethanol by mass at a strength of 0 to 100 % vol.
func massFraction(a ABV) float64 {
	low, high := 0.0, 1.0
	for range 60 {
		mid := (low + high) / 2
		if mid*densityR22(mid, 20)/ethanol20 < float64(a)/100 {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2
}

const abvWanted = "Type the strength from 0 to 100 % vol, such as 96%."

// EthanolDensity returns the density in kg/m³ of alcohol and water of a strength
// from 0 to 100 % vol (at 20 °C), at -20 to 40 °C. Outside it is an error. Source:
// the general formula of OIML R22.
func EthanolDensity(a ABV, t quantity.Celsius) (float64, error) {
	if !(a >= 0 && a <= 100) {
		return 0, errors.New(abvWanted)
	}
	if !(t >= -20 && t <= 40) {
		return 0, errors.New("Type the temperature from -20 to 40 °C: the formula ends there.")
	}
	return densityR22(massFraction(a), float64(t)), nil
}

// Mix returns the strength and the volume of what comes of pouring parts together
// at 20 °C, by mass, so that the contraction is in it. Sugar is not covered: with
// juice instead of water it is an estimate. No part, a negative part and a
// strength outside 0 to 100 % vol are errors. Source: OIML R22.
func Mix(parts ...Part) (Mixture, error) {
	var mass, ethanol float64
	var m Mixture
	for _, p := range parts {
		switch {
		case !(p.ABV >= 0 && p.ABV <= 100):
			return Mixture{}, errors.New(abvWanted)
		case !(p.Volume >= 0 && p.Volume <= 1e12):
			return Mixture{}, errors.New(partWanted)
		}
		share := massFraction(p.ABV)
		grams := float64(p.Volume) * densityR22(share, 20) / 1000
		mass += grams
		ethanol += grams * share
		m.Poured += p.Volume
		m.Naive += p.ABV * ABV(p.Volume)
	}
	if m.Poured <= 0 {
		return Mixture{}, errors.New(partWanted)
	}
	share := min(ethanol/mass, 1)
	rho := densityR22(share, 20)
	m.Naive /= ABV(m.Poured)
	m.Volume = Millilitres(mass / rho * 1000)
	m.ABV = ABV(math.Min(share*rho/ethanol20*100, 100))
	m.Contraction = 1 - float64(m.Volume/m.Poured)
	return m, nil
}

// WaterTo returns how much water brings an alcohol down to a strength, at 20 °C. A
// strength that is not below the alcohol's is an error. Source: OIML R22.
func WaterTo(p Part, target ABV) (Millilitres, error) {
	if !(p.ABV > 0 && p.ABV <= 100) || !(p.Volume > 0 && p.Volume <= 1e12) {
		return 0, errors.New(partWanted)
	}
	if !(target > 0 && target <= p.ABV) {
		return 0, errors.New("Type a strength above 0 and below " + strconv.FormatFloat(float64(p.ABV), 'f', 1,
			64) + " % vol: water only weakens.")
	}
	share, want := massFraction(p.ABV), massFraction(target)
	grams := float64(p.Volume) * densityR22(share, 20) / 1000
	return Millilitres(max(0, grams*(share/want-1)/densityR22(0, 20)*1000)), nil
}
