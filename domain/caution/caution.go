// Package caution holds what the program says where work can hurt somebody: every
// text in one table, and the temperatures from which must scalds, freezes or boils.
// Which product, stage or act wants which caution stands with those, in
// domain/cellar. A caution is never a permission, and local law, the site's permits,
// labels and safety data sheets come first.
package caution

import (
	"slices"

	"cellar.example/mustwatch/domain/quantity"
)

// Code names one caution.
type Code string

// The cautions.
const (
	NoEntry   Code = "no entry"
	BadGas    Code = "bad gas"
	Entry     Code = "entry"
	Lid       Code = "lid"
	Nitrogen  Code = "nitrogen"
	CO2       Code = "co2"
	GasLimit  Code = "gas limit"
	Skins     Code = "skins"
	Machine   Code = "machine"
	Restart   Code = "restart"
	Powder    Code = "powder"
	Enzyme    Code = "liquid enzyme"
	Dust      Code = "dust"
	Eruption  Code = "eruption"
	Foaming   Code = "foaming"
	Sulphite  Code = "sulphite"
	Label     Code = "label"
	Allergen  Code = "allergen"
	GasCover  Code = "gas cover"
	Scald     Code = "scald"
	Freezing  Code = "freezing"
	Boiling   Code = "boiling"
	Truck     Code = "truck"
	Caustic   Code = "caustic"
	Vacuum    Code = "vacuum"
	Transfer  Code = "transfer"
	Flammable Code = "flammable"
)

// First is the sentence that every list of cautions ends with.
const First = "Local law, the site's permits, labels and safety data sheets come first."

// Row is one caution as it stands in the list of all: where it holds, and what it
// says.
type Row struct {
	Code  Code
	Where string
	Text  string
}

// table has all of them, what kills first. The texts are short and in the imperative, in the
// words of the trade's own safety sheets (own wording; common practice where no source is named).
var table = []Row{
	{NoEntry, "tanks, presses, pits", "NO TANK ENTRY: no live permit"},
	{BadGas, "a bad gas reading", "GET OUT. VENTILATE. CALL."},
	// 29 CFR 1910.146(b): whoever leans in has entered.
	{Entry, "an empty tank", "No permit, no attendant, no entry. Do not put your head in."},
	// A worker died in a clean tank blanketed with nitrogen (press report, 2021).
	{Nitrogen, "an empty, clean tank", "Nitrogen kills in an empty, clean tank."},
	{Lid, "lid, manway", "Do not put your head in."},
	{CO2, "an active ferment", "CO2 settles low. Meter before you go down. Two people."},
	// Directive 2006/15/EC, HSE EH40 and OSHA for eight hours.
	{GasLimit, "a gas reading", "Your local rule first; commonly published for CO2: 5000 ppm in 8 h."},
	{Skins, "draining a red", "A drained tank is still full of CO2, right down to the skins."},
	// 29 CFR 1910.147: a switch isolates nothing, and what is under pressure is let off.
	{Machine, "press, auger",
		"Lock out and tag in your own name before you reach in. Vent residual pressure. Isolate the air."},
	{Restart, "after a stop", "Account for everyone before restart."},
	{Scald, "must over 45 °C", "SCALD HAZARD: rope off; drain and depressurise before you open a connection."},
	{Eruption, "powder into a ferment",
		"Active ferment: wet it first, add slowly, leave headspace: it erupts."},
	{Foaming, "yeast food in a ferment", "Active ferment: add slowly, leave headspace: it erupts."},
	// WorkSafeBC bulletin WS 2023-01: sulphite and acid together give off the gas.
	{Sulphite, "SO2, metabisulphite",
		"SO2: do not breathe it. Ventilate, respirator as labelled, never near acid in a closed space."},
	{Powder, "powder", "Open the bag close to the tank, pour slowly, no dust. Mask and gloves as labelled."},
	// Green and Beezhold, J. Allergy 2011, 682574: dust and mist sensitise the airways.
	{Enzyme, "liquid enzyme", "Gloves and eye protection. No spray. Rinse spills with water."},
	{Dust, "bentonite, carbon, silica", "Silica or carbon dust: respirator as labelled, no draught."},
	{Label, "acid, nutrient, others", "Read the label and the safety data sheet. Gloves and eye protection."},
	// Regulation (EU) 1169/2011, Annex II (from memory).
	{Allergen, "protein fining", "From milk, egg or fish? Save it: the label may have to declare it."},
	{GasCover, "flotation, gas cover", "Below rated pressure. Secure the hose. No oxygen in the headspace: lethal."},
	{Caustic, "caustic, peracetic", "Goggles, gauntlets. Never mix with acid or chlorine. Rinse to neutral."},
	{Vacuum, "cleaning a shut tank",
		"Vent open. Swing bend off. Never go from hot to cold with the lid shut: the tank collapses."},
	{Transfer, "every move",
		"Lid or vent open before the pump. Read the tank number at the valve. Close both ends at the stop."},
	{Truck, "trucks", "Use a spotter. Stay in the driver's view."},
	{Flammable, "ethanol, pectin test",
		"Flammable. No flame, no spark, cap the bottle. It may hold acid: glasses on."},
	{Boiling, "heat to 100 °C or more",
		"AT OR ABOVE BOILING: steam bursts a shut tank. The heat of boiling is left out here."},
	{Freezing, "cold below 0 °C", "BELOW FREEZING: ice bursts pipes. The heat of freezing is left out here."},
}

// Table lists all cautions, what kills first.
func Table() []Row { return slices.Clone(table) }

// Text is what a caution says.
func (c Code) Text() string {
	for _, r := range table {
		if r.Code == c {
			return r.Text
		}
	}
	return ""
}

// Texts are what cautions say, each once, in their order.
func Texts(codes ...Code) []string {
	var out []string
	said := map[Code]bool{}
	for _, c := range codes {
		if !said[c] {
			out = append(out, c.Text())
		}
		said[c] = true
	}
	return out
}

// The temperatures. Above 45 °C must scalds (common practice, no source; what a
// press takes is a limit of its own). Water freezes at 0 °C, and must a few degrees
// below; it boils at 100 °C, and sooner in the hills.
const (
	scalds  quantity.Celsius = 45
	freezes quantity.Celsius = 0
	boils   quantity.Celsius = 100
)

// Hot reports whether must of a temperature scalds.
func Hot(t quantity.Celsius) bool { return t > scalds }

// OfMust are the cautions of must that has, or is brought to, any of these
// temperatures.
func OfMust(temps ...quantity.Celsius) []Code {
	var out []Code
	for _, x := range []struct {
		code Code
		at   func(quantity.Celsius) bool
	}{{Scald, Hot}, {Boiling, func(t quantity.Celsius) bool { return t >= boils }},
		{Freezing, func(t quantity.Celsius) bool { return t < freezes }}} {
		for _, t := range temps {
			if x.at(t) {
				out = append(out, x.code)
				break
			}
		}
	}
	return out
}
