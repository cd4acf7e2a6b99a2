package face

import (
	"math"
	"strconv"
	"strings"

	"cellar.example/mustwatch/domain/quantity"
)

// Sum writes what doses on a juice add up to, in three digits that count and at least one
// decimal below 100: 2.94, 5.0, 12.3, 0.048.
func Sum(perHL float64) string {
	if !(perHL > 0) || math.IsInf(perHL, 0) {
		return "0.0"
	}
	decimals := max(0, 2-int(math.Floor(math.Log10(perHL))))
	text := strconv.FormatFloat(perHL, 'f', decimals, 64)
	for strings.HasSuffix(text, "0") && strings.Contains(text, ".") && !strings.HasSuffix(text, ".0") {
		text = strings.TrimSuffix(text, "0")
	}
	return text
}

// SumOf writes what doses add up to and what is allowed, in the unit of that: in the
// digits that count, and in as many as it takes to tell the two apart.
func SumOf(sum, most quantity.Rate) (text, limit string) {
	text, limit = sum.Beside(most)
	if s := Sum(sum.Value) + " " + string(sum.Unit); len(s) > len(text) && sum.Unit == most.Unit {
		text = s
	}
	return text, limit
}
