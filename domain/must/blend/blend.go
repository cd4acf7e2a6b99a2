package blend

import (
	"errors"
	"slices"
	"strings"

	"cellar.example/mustwatch/domain/quantity"
)

// Property is something that can be measured of a must.
type Property string

// What adds up by volume, and what does not: Mix refuses the last three.
const (
	SugarGL     Property = "sugar g/L"
	Acidity     Property = "titratable acidity g/L"
	Weight      Property = "density"
	DegreesOe   Property = "°Oe"
	Warmth      Property = "°C"
	SO2         Property = "SO2 mg/L"
	Nitrogen    Property = "nitrogen mg/L"
	Dose        Property = "dose g/hL"
	PH          Property = "pH"
	Turbidity   Property = "NTU"
	ColourDepth Property = "colour"
)

const propertyWanted = "Type what to blend: sugar, acidity, density, oe, temperature, so2, nitrogen or dose; pH, turbidity and colour do not add up."

// ParseProperty reads "sugar", "acidity" or "ta", "density", "oe", "temperature",
// "so2", "nitrogen" or "yan", "dose", and the three that Mix refuses.
func ParseProperty(s string) (Property, error) {
	named := map[string]Property{
		"sugar": SugarGL, "g/l": SugarGL, "acidity": Acidity, "ta": Acidity, "density": Weight, "oe": DegreesOe, "°oe": DegreesOe,
		"temperature": Warmth, "temp": Warmth, "°c": Warmth, "so2": SO2, "nitrogen": Nitrogen, "yan": Nitrogen, "dose": Dose,
		"ph": PH, "ntu": Turbidity, "turbidity": Turbidity, "colour": ColourDepth, "color": ColourDepth,
	}
	if p, ok := named[strings.ToLower(strings.TrimSpace(s))]; ok {
		return p, nil
	}
	return "", errors.New(propertyWanted)
}

// Lot is one part of a blend: so much, with so much of the property.
type Lot struct {
	Volume quantity.Volume
	Value  float64
}

// Blended is what comes of it. Shares stand in the order of the lots, in per cent.
// Rough says that the property adds up only nearly (°C: by heat, not by volume).
type Blended struct {
	Volume quantity.Volume
	Value  float64
	Shares []quantity.Percent
	Rough  bool
}

// Mix returns Σ V·x / Σ V. pH, turbidity and colour do not add up and are
// refused, as are less than one lot, an empty lot and a value that is no number.
func Mix(p Property, lots ...Lot) (Blended, error) {
	switch p {
	case PH, Turbidity, ColourDepth:
		return Blended{}, errors.New("A blend's " + string(p) + " cannot be reckoned from its parts: mix a sample and measure it.")
	}
	if !slices.Contains([]Property{SugarGL, Acidity, Weight, DegreesOe, Warmth, SO2, Nitrogen, Dose}, p) {
		return Blended{}, errors.New(propertyWanted)
	}
	var total, sum float64
	for _, l := range lots {
		if l.Volume <= 0 || !(l.Value <= 1e6 && l.Value >= -1e6) {
			return Blended{}, errors.New("Type each lot with its volume and its value, such as 100hL@215.")
		}
		total += l.Volume.HL()
		sum += l.Volume.HL() * l.Value
	}
	if total == 0 {
		return Blended{}, errors.New("Type at least one lot with its volume and its value, such as 100hL@215.")
	}
	out := Blended{Volume: quantity.HL(total), Value: sum / total, Rough: p == Warmth}
	for _, l := range lots {
		out.Shares = append(out.Shares, quantity.Percent(100*l.Volume.HL()/total))
	}
	return out, nil
}
