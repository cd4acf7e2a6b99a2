package heat

import "cellar.example/mustwatch/domain/quantity"

// powerUnits are kW in one of a unit: kcal/h with the IT calorie of 4.1868 J and the
// BTU of 1055.05585262 J, exact; the ton of refrigeration is 12 000 BTU/h.
var powerUnits = map[string]float64{
	"": 1, "kw": 1, "w": 0.001, "mw": 1000, "kcal/h": 4.1868 / 3600, "kfrig/h": 4.1868 / 3.6,
	"btu/h": 1.05505585262 / 3600, "btu/hr": 1.05505585262 / 3600, "tr": 12000 * 1.05505585262 / 3600,
	"hp": 0.74569987158227022,
}

const powerWanted = "Type a power such as 25 kW, 20000 kcal/h, 7 TR (tons of refrigeration) or 85000 BTU/h."

// mostPower is more than any plant of a cellar has, in kW; leastPower keeps nothing and
// less out.
const leastPower, mostPower = 1e-9, 1e6

// ParsePower reads "25 kW", a bare "25" (kW), "20000 kcal/h", "20 kfrig/h", "7 TR",
// "85000 BTU/h" or "30 hp" (mechanical), more than 0 and up to a million kW. What can
// be read in two ways is an *quantity.AskError; a plain "ton" is refused.
func ParsePower(s string, h quantity.Habit) (Power, error) {
	p, err := h.In(s, powerUnits, leastPower, mostPower, powerWanted)
	return Power(p), err
}
