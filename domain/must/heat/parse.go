package heat

import (
	"errors"
	"strings"

	"cellar.example/mustwatch/domain/quantity"
)

// powerUnits are kW in one of a unit: kcal/h with the IT calorie of 4.1868 J and the
// BTU of 1055.05585262 J, exact; the ton of refrigeration is 12 000 BTU/h.
var powerUnits = map[string]Power{
	"": 1, "kw": 1, "w": 0.001, "mw": 1000, "kcal/h": 4.1868 / 3600, "kfrig/h": 4.1868 / 3.6,
	"btu/h": 1.05505585262 / 3600, "btu/hr": 1.05505585262 / 3600, "tr": 12000 * 1.05505585262 / 3600, "hp": 0.74569987158227022,
}

const powerWanted = "Type a power such as 25 kW, 20000 kcal/h, 7 TR (tons of refrigeration) or 85000 BTU/h."

// ParsePower reads "25 kW", a bare "25" (kW), "20000 kcal/h", "20 kfrig/h", "7 TR",
// "85000 BTU/h" or "30 hp" (mechanical), more than 0 and up to a million kW. "1,500
// kW" is an *quantity.AskError; a plain "ton" is refused.
func ParsePower(s string) (Power, error) {
	text := strings.TrimSpace(s)
	end := strings.IndexFunc(text, func(r rune) bool { return !strings.ContainsRune("0123456789+-−–., \t", r) })
	number, unit := text, ""
	if end >= 0 {
		number, unit = strings.TrimSpace(text[:end]), strings.TrimSpace(text[end:])
	}
	x, err := quantity.ParseNumber(number)
	size, known := powerUnits[strings.ToLower(unit)]
	var ask *quantity.AskError
	if errors.As(err, &ask) && known {
		options := make([]string, len(ask.Options))
		for i, o := range ask.Options {
			options[i] = strings.TrimSpace(o + " " + unit)
		}
		return 0, &quantity.AskError{Input: text, Options: options, Message: "\"" + text + "\" can be read in two ways: type " + strings.Join(options, " or ") + "."}
	}
	if p := Power(x) * size; err == nil && known && len(s) <= 100 && p > 0 && p <= 1e6 {
		return p, nil
	}
	return 0, errors.New(powerWanted)
}
