// Package lookalike finds the numbers of a cellar that are taken for one another:
// by an eye on a catwalk, upside down, or by an ear over a pump.
package lookalike

import "strings"

// Likeness says how one number comes to be taken for another.
type Likeness string

// The likenesses, the easiest to fall for first.
const (
	None       Likeness = ""
	SixForNine Likeness = "6 for 9"
	Backwards  Likeness = "read backwards"
	UpsideDown Likeness = "upside down"
)

// turned are the characters that still read as one when the number hangs upside
// down, as painted through an angular stencil: the figures that survive half a
// turn on a seven-segment display (strobogrammatic figures), 2 and 5 among them.
var turned = map[rune]rune{'0': '0', '1': '1', '2': '2', '5': '5', '6': '9', '8': '8', '9': '6'}

// How tells how b may be read where a is painted, None when it may not. It is
// the same both ways round. A number is not like itself.
func How(a, b string) Likeness {
	switch {
	case a == b || len(a) != len(b) || a == "":
		return None
	case sixes(a) == sixes(b):
		return SixForNine
	case backwards(a) == b:
		return Backwards
	case upsideDown(a) == b:
		return UpsideDown
	}
	return None
}

// sixes is a number with every 9 turned into a 6.
func sixes(s string) string { return strings.ReplaceAll(s, "9", "6") }

func backwards(s string) string {
	r := []rune(s)
	for i, j := 0, len(r)-1; i < j; i, j = i+1, j-1 {
		r[i], r[j] = r[j], r[i]
	}
	return string(r)
}

// upsideDown is what a number reads as after half a turn, "" when it reads as
// nothing.
func upsideDown(s string) string {
	out := []rune(backwards(s))
	for i, c := range out {
		t, ok := turned[c]
		if !ok {
			return ""
		}
		out[i] = t
	}
	return string(out)
}
