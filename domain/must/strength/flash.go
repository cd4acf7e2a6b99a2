package strength

import "errors"

// flashes are flash points of ethanol in water, closed cup, as an engineering table
// prints them; whether its per cent are by mass or by volume it does not say.
var flashes = []struct{ percent, celsius float64 }{{96, 17}, {70, 21}, {50, 24}, {40, 26}, {20, 36}, {10, 49}}

// pureFlash is that of pure ethanol, the lower of the two in print.
const pureFlash = 12

// FlashPoint returns a temperature in °C from which the vapour of so strong an
// alcohol can catch fire, commonly published; known is false below the weakest
// strength printed. Between two rows it is that of the stronger, which is the
// cautious side. It never says that something cannot burn.
func FlashPoint(s ABV) (celsius float64, known bool, err error) {
	if !(s >= 0 && s <= 100) {
		return 0, false, errors.New("A strength is from 0 to 100 % vol.")
	}
	celsius = pureFlash
	for _, f := range flashes {
		if float64(s) > f.percent {
			return celsius, true, nil
		}
		celsius = f.celsius
	}
	last := flashes[len(flashes)-1]
	return celsius, float64(s) >= last.percent, nil
}
