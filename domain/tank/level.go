package tank

import (
	"errors"

	"cellar.example/mustwatch/domain/must"
	"cellar.example/mustwatch/domain/quantity"
)

// Level is what a dip says.
type Level struct {
	Height  Length          // of the liquid, above the lowest inside point
	Volume  quantity.Volume // as it is, at its temperature
	Brim    quantity.Volume // of the whole vessel
	Formula string
}

// Full returns the volume as a share of the brim, in per cent.
func (l Level) Full() quantity.Percent {
	if l.Brim <= 0 {
		return 0
	}
	return quantity.Percent(100 * l.Volume.HL() / l.Brim.HL())
}

// Ullage returns what the vessel could still take up to the brim.
func (l Level) Ullage() quantity.Volume { return l.Brim - l.Volume }

// Dip returns the volume of liquid that stands at a height in a vessel. A height
// below zero or over the vessel is refused.
func Dip(s Shape, h Length) (Level, error) {
	if err := s.Check(); err != nil {
		return Level{}, err
	}
	// A stick that reads the vessel's own height may be off by a rounding.
	const slack = 1e-9
	if !(h >= 0 && h <= s.Height()+slack) {
		return Level{}, errors.New("The liquid stands from 0 to " + s.Height().String() +
			" in this vessel: measure again, or check the shape.")
	}
	h = min(h, s.Height())
	return Level{Height: h, Volume: volume(s.cubic(float64(h))), Brim: volume(s.cubic(float64(s.Height()))),
		Formula: s.formula()}, nil
}

// FromAbove returns the volume when the dip is measured downwards, from a
// reference point to the liquid; the point lies so high above the lowest inside
// point, 0 for the top of the vessel. A dip that ends under the bottom or over the
// vessel is refused.
func FromAbove(s Shape, dip, reference Length) (Level, error) {
	if err := s.Check(); err != nil {
		return Level{}, err
	}
	if reference == 0 {
		reference = s.Height()
	}
	if !(reference > 0 && reference <= 2*farthest) || !(dip >= 0) || dip > reference {
		return Level{}, errors.New("A dip from above is from 0 to the height of its reference point, " +
			reference.String() + ".")
	}
	return Dip(s, reference-dip)
}

// HeightOf returns the height at which a volume stands, to a tenth of a
// millimetre. More than the vessel holds is refused.
func HeightOf(s Shape, v quantity.Volume) (Length, error) {
	full, err := Dip(s, s.Height())
	if err != nil {
		return 0, err
	}
	if v < 0 || v > full.Brim {
		return 0, errors.New("The vessel holds from 0 to " + full.Brim.Text(quantity.Metric) +
			": type a volume in that range.")
	}
	low, high := 0.0, float64(s.Height())
	for range 60 {
		mid := (low + high) / 2
		if s.cubic(mid)*10 < v.HL() {
			low = mid
		} else {
			high = mid
		}
	}
	return Length(high), nil
}

// Room returns what may still come in up to a limit in per cent of the brim, 50 to
// 100; less than zero when the vessel is over it already.
func Room(now, brim quantity.Volume, limit quantity.Percent) (quantity.Volume, error) {
	switch {
	case brim <= 0 || now < 0:
		return 0, errors.New("Type what is in the vessel and what it holds to the brim, such as 211.1 and 250 hL.")
	case !(limit >= 50 && limit <= 100):
		return 0, errors.New("Type the working limit from 50 to 100 % of the brim, such as 85.")
	}
	return quantity.HL(brim.HL()*float64(limit)/100) - now, nil
}

// At20 returns what a volume of must read at a temperature is at 20 °C, with the
// density of sucrose for its sugar: 0 to 40 °C, 0 to 70 °Brix. The swelling of the
// vessel, under 0.05 % in 10 K, is left out. Source: ICUMSA SPS-4 (from memory).
func At20(v quantity.Volume, t quantity.Celsius, b quantity.Brix) (quantity.Volume, error) {
	warm, err := must.SucroseDensity(b, t)
	if err != nil {
		return 0, err
	}
	at20, err := must.SucroseDensity(b, 20)
	if err != nil {
		return 0, err
	}
	return quantity.HL(v.HL() * warm / at20), nil
}
