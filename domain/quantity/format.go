package quantity

import (
	"errors"
	"math"
	"strconv"
	"strings"
)

// unknown is what the screen shows for a number that is none.
const unknown = "?"

// toCount turns a number of base units into a whole count, halves away from
// zero. NaN gives 0, and what is beyond maxCount stops there.
func toCount(x float64) int64 {
	switch {
	case math.IsNaN(x):
		return 0
	case x > maxCount:
		return maxCount
	case x < -maxCount:
		return -maxCount
	}
	return int64(math.Round(x))
}

// exact writes n / 10^digits without loss and without trailing noughts.
func exact(n int64, digits int) string {
	sign, u := "", uint64(n)
	if n < 0 {
		sign, u = "-", -uint64(n)
	}
	s := strconv.FormatUint(u, 10)
	if pad := digits + 1 - len(s); pad > 0 {
		s = strings.Repeat("0", pad) + s
	}
	cut := len(s) - digits
	return sign + trimZeros(s[:cut]+"."+s[cut:])
}

// roundTo rounds n to a multiple of step, halves away from zero.
func roundTo(n, step int64) int64 {
	n = clampCount(n)
	half := step / 2
	if n < 0 {
		half = -half
	}
	return (n + half) / step * step
}

// fixed writes x with so many decimals and never a minus zero.
func fixed(x float64, decimals int) string {
	if !finite(x) {
		return unknown
	}
	s := strconv.FormatFloat(x, 'f', decimals, 64)
	if strings.Trim(s, "-0.") == "" {
		return strings.TrimPrefix(s, "-")
	}
	return s
}

// seen is in how many decimals a number shows two of its digits: in those asked
// for, or in as many more as a small one takes.
func seen(x float64, decimals int) int {
	for decimals < mostDecimals && x != 0 && math.Abs(x) < 10/math.Pow10(decimals) {
		decimals++
	}
	return decimals
}

// shortest writes x in the fewest digits that read back as x, with at least so
// many decimals and no exponent.
func shortest(x float64, decimals int) string {
	if !finite(x) {
		return unknown
	}
	s := strconv.FormatFloat(x+0, 'f', -1, 64)
	have := 0
	if _, frac, ok := strings.Cut(s, "."); ok {
		have = len(frac)
	} else if decimals > 0 {
		s += "."
	}
	if have < decimals {
		s += strings.Repeat("0", decimals-have)
	}
	return s
}

func abs64(n int64) int64 {
	if n < 0 {
		return -n
	}
	return n
}

// addCounts adds two counts and stops at maxCount, so that no sum wraps round.
func addCounts(a, b int64) int64 { return clampCount(clampCount(a) + clampCount(b)) }

func clampCount(n int64) int64 { return max(-maxCount, min(maxCount, n)) }

// roundDecimals rounds x to so many decimals.
func roundDecimals(x float64, decimals int) float64 {
	p := math.Pow10(decimals)
	r := math.Round(x*p) / p
	if !finite(r) {
		return x
	}
	return r + 0
}

var errNotANumber = errors.New("There is no number to save: read it again.")

func finiteText(x float64, text string) ([]byte, error) {
	if !finite(x) {
		return nil, errNotANumber
	}
	return []byte(text), nil
}
