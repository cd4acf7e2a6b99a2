package stage

import "slices"

// Use is what a vessel is there for. It decides its working limit and what may
// flow into it.
type Use string

// The uses.
const (
	UseSettle     Use = "settle"
	UseFerment    Use = "ferment"
	UseMust       Use = "red ferment"
	UseFraction   Use = "pressings"
	UseSkin       Use = "on skins"
	UseHot        Use = "hot"
	UsePallet     Use = "pallet"
	UseLees       Use = "lees"
	UseStorage    Use = "storage"
	UseYeast      Use = "yeast"
	UseNotProduct Use = "not product"
)

// uses in the order in which a night asks for empty vessels, with what such vessels
// are called and the working limit a house starts from, % of brim (common practice,
// no source).
var uses = []struct {
	use    Use
	called string
	limit  float64
}{{UseSettle, "settling", 95}, {UseFerment, "fermenter", 85}, {UseMust, "red must", 80}, {UseFraction, "small", 95},
	{UseSkin, "skin contact", 85}, {UseHot, "hot", 95}, {UsePallet, "pallet", 98}, {UseLees, "lees", 95},
	{UseStorage, "storage", 99}, {UseYeast, "yeast", 95}, {UseNotProduct, "not product", 95}}

// Uses lists them in the order in which a night asks for empty vessels.
func Uses() []Use {
	var out []Use
	for _, x := range uses {
		out = append(out, x.use)
	}
	return out
}

// Called is what the vessels of a use are called.
func (u Use) Called() string {
	for _, x := range uses {
		if x.use == u {
			return x.called
		}
	}
	return string(u)
}

// Limit is the working limit a house starts from, in % of the brim; false for what
// is no use.
func (u Use) Limit() (float64, bool) {
	for _, x := range uses {
		if x.use == u {
			return x.limit, true
		}
	}
	return 0, false
}

// goesInto is the house matrix of what may flow into which use (common practice,
// no source).
var goesInto = map[Substance][]Use{
	Juice:      {UseSettle, UseFerment, UseFraction, UseSkin, UsePallet},
	PressJuice: {UseSettle, UseFerment, UseFraction, UseSkin, UsePallet},
	ClearJuice: {UseSettle, UseFerment, UseFraction, UsePallet, UseStorage},
	WhiteMust:  {UseSkin, UseMust},
	RedMust:    {UseMust, UseSkin},
	HotMust:    {UseHot},
	Lees:       {UseLees},
	Wine:       {UseFerment, UseStorage, UseFraction, UsePallet, UseSettle},
}

// GoesInto reports whether a substance may flow into vessels of a use.
func (k Substance) GoesInto(u Use) bool { return slices.Contains(goesInto[k], u) }

// Flows reports whether it is known where a substance may flow.
func (k Substance) Flows() bool { return len(goesInto[k]) > 0 }
