package must

import (
	"math"
	"strconv"
	"strings"
)

// trimmed writes x with so many decimals and never a minus zero; a number that
// is none is "?".
func trimmed(x float64, decimals int) string {
	if !finite(x) {
		return "?"
	}
	s := strconv.FormatFloat(x, 'f', decimals, 64)
	if strings.Trim(s, "-0.") == "" {
		return strings.TrimPrefix(s, "-")
	}
	return s
}

func finite(xs ...float64) bool {
	for _, x := range xs {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return false
		}
	}
	return true
}

// solve returns the x in [low, high] at which a rising function comes to want, to
// the last bit that matters.
func solve(low, high, want float64, f func(float64) float64) float64 {
	for range 100 {
		mid := (low + high) / 2
		if f(mid) < want {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2
}
