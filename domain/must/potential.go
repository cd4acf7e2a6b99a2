package must

import (
	"errors"
	"math"
	"strings"
)

// Convention is the rule by which potential alcohol is calculated; a figure without
// its name means nothing.
type Convention string

// The conventions: g of sugar in a litre for one % vol, or the German table.
const (
	By1683   Convention = "16.83 g/L" // EU, OIV and France today
	By17     Convention = "17 g/L"
	By175    Convention = "17.5 g/L" // France formerly
	ByGerman Convention = "Anlage 8" // WeinV: natural alcohol from °Oe, for nothing else
)

// factors are the g/L for one % vol. 16.83 read in OIV-MA-AS2-02, the others in
// general handbooks of enology.
var factors = map[Convention]float64{By1683: 16.83, By17: 17, By175: 17.5}

// Conventions are all of them, in the order in which they are printed.
func Conventions() []Convention { return []Convention{By1683, By17, By175, ByGerman} }

// ParseConvention reads "16.83", "17", "17.5" or "german".
func ParseConvention(s string) (Convention, error) {
	switch strings.ToLower(strings.Replace(strings.TrimSpace(s), ",", ".", 1)) {
	case "16.83", "eu", "oiv", "16.83 g/l":
		return By1683, nil
	case "17", "17.0", "17 g/l":
		return By17, nil
	case "17.5", "17.5 g/l":
		return By175, nil
	case "german", "de", "anlage 8", "weinv":
		return ByGerman, nil
	}
	return "", errors.New("Type the convention as 16.83, 17, 17.5 (g/L for one % vol) or german (the table of the " +
		"Weinverordnung).")
}

// Potential returns the alcohol in % vol that a must may give, by a convention.
// By a factor it is g/L ÷ factor and Extrapolated where the sugar is; by the
// German table it is the row of the nearest whole °Oe, 40 to 150. Where no table
// stands the error says which readings have one.
func Potential(s Scales, c Convention) (Figure, error) {
	if c == ByGerman {
		oe := math.Floor(s.Oechsle.Value + 0.5 + 1e-9)
		i := int(oe) - 40
		if !s.Oechsle.Known || i < 0 || i >= len(anlage8) {
			return Figure{}, errors.New("The German table goes from 40 to 150 °Oe: type such a must, or choose " +
				"16.83, 17 or 17.5.")
		}
		return Figure{anlage8[i], true, s.Oechsle.Extrapolated, "WeinV Anlage 8 at " + trimmed(oe, 0) + " °Oe"}, nil
	}
	f, ok := factors[c]
	switch {
	case !ok:
		_, err := ParseConvention("")
		return Figure{}, err
	case !s.Sugar.Known:
		return Figure{}, errors.New("No table of must gives the sugar there: type a must from 8 to 32 °Brix (33 to " +
			"141 °Oe).")
	}
	return Figure{s.Sugar.Value / f, true, s.Sugar.Extrapolated, "sugar in g/L ÷ " + trimmed(f, 2)}, nil
}
