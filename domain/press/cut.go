package press

import "errors"

// Rises are by how much the juice of the later zones of a press conducted better
// than that of the zone before, in per cent, in the one trial in print (ITV France,
// J.-L. Favarel, 1998): the last juice stood 43 % above the first.
var Rises = []float64{11, 6.7, 20.4}

// The span of a juice that is not a slip of the unit, in mS/cm (from memory: juice
// is about 2 to 4).
const leastMS, mostMS = 0.2, 20

// Compound returns what rises in per cent, one upon the other, come to.
func Compound(rises ...float64) float64 {
	all := 1.0
	for _, r := range rises {
		all *= 1 + r/100
	}
	return 100 * (all - 1)
}

// Conduction returns by how many per cent the juice that runs now conducts better
// than the first free run, and which zone of the trial that is like: 0 for the
// first, 3 for the last. Skins and stems give salts, so the heavier the pressing
// the better the juice conducts. Both are in mS/cm and at the same temperature; the
// house's own cut comes first.
func Conduction(first, now float64) (rise float64, zone int, err error) {
	for _, c := range []float64{first, now} {
		if !(c >= leastMS && c <= mostMS) {
			return 0, 0, errors.New(
				"Juice conducts from 0.2 to 20 mS/cm: type both as 2.40 and 2.85, or as 2400 µS/cm.")
		}
	}
	rise = 100 * (now/first - 1)
	if rise < -50 || rise > 300 {
		return 0, 0, errors.New("These two are far apart: are they of the same juice?")
	}
	for zone < len(Rises) && rise >= Compound(Rises[:zone+1]...)-0.05 {
		zone++
	}
	return rise, zone, nil
}
