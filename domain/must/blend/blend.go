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
	SugarGL     Property = "sugar"
	Acidity     Property = "titratable acidity"
	Weight      Property = "density"
	DegreesOe   Property = "Oechsle"
	Warmth      Property = "temperature"
	SO2         Property = "SO2"
	Nitrogen    Property = "nitrogen"
	Dose        Property = "dose"
	PH          Property = "pH"
	Turbidity   Property = "NTU"
	ColourDepth Property = "colour"
)

const propertyWanted = "Type what to blend: sugar, acidity, density, oe, temperature, so2, nitrogen or dose; pH, " +
	"turbidity and colour do not add up."

// ParseProperty reads "sugar", "acidity" or "ta", "density", "oe", "temperature",
// "so2", "nitrogen" or "yan", "dose", and the three that Mix refuses.
func ParseProperty(s string) (Property, error) {
	named := map[string]Property{
		"sugar": SugarGL, "g/l": SugarGL, "acidity": Acidity, "ta": Acidity, "density": Weight, "oe": DegreesOe,
		"°oe":         DegreesOe,
		"temperature": Warmth, "temp": Warmth, "°c": Warmth, "so2": SO2, "nitrogen": Nitrogen, "yan": Nitrogen,
		"dose": Dose,
		"ph":   PH, "ntu": Turbidity, "turbidity": Turbidity, "colour": ColourDepth, "color": ColourDepth,
	}
	if p, ok := named[strings.ToLower(strings.TrimSpace(s))]; ok {
		return p, nil
	}
	if b := strings.ToLower(strings.TrimSpace(s)); b == "brix" || b == "°brix" || b == "bx" {
		return "", errors.New("°Brix goes by weight and does not add up by volume: blend sugar, and type each lot " +
			"with its scale, such as 79hL@21.5brix.")
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

// measuredOnly refuses what does not add up.
func (p Property) measuredOnly() error {
	switch p {
	case PH, Turbidity, ColourDepth:
		return errors.New("A blend's " + string(p) + " cannot be calculated from its parts: mix a sample and " +
			"measure it.")
	}
	return nil
}

// Mix returns Σ V·x / Σ V. pH, turbidity and colour do not add up and are
// refused, as are less than one lot, an empty lot and a value that is no number.
func Mix(p Property, lots ...Lot) (Blended, error) {
	if err := p.measuredOnly(); err != nil {
		return Blended{}, err
	}
	if !slices.Contains([]Property{SugarGL, Acidity, Weight, DegreesOe, Warmth, SO2, Nitrogen, Dose}, p) {
		return Blended{}, errors.New(propertyWanted)
	}
	var total, sum float64
	for _, l := range lots {
		if l.Volume <= 0 || !(l.Value <= 1e6 && l.Value >= -1e6) {
			return Blended{}, errors.New("Type each lot with its volume and its value, such as 100hL@215g/L.")
		}
		total += l.Volume.HL()
		sum += l.Volume.HL() * l.Value
	}
	if total == 0 {
		return Blended{}, errors.New("Type at least one lot with its volume and its value, such as 100hL@215g/L.")
	}
	out := Blended{Volume: quantity.HL(total), Value: sum / total, Rough: p == Warmth}
	for _, l := range lots {
		out.Shares = append(out.Shares, quantity.Percent(100*l.Volume.HL()/total))
	}
	return out, nil
}
