package cell

import (
	"strings"
	"unicode"

	"github.com/charmbracelet/x/ansi"
	"golang.org/x/text/unicode/norm"
)

// Clean makes typed, pasted and stored text safe to draw and to keep: one line,
// every sign visible, every terminal agreeing on its width. Escape sequences,
// control characters, invalid bytes, invisible joiners, direction marks and
// pictures go; tabs, line ends and foreign spaces become one space; an accent
// typed as a separate mark is joined to its letter. It does not trim: a person
// in the middle of typing has a space at the end.
//
// What it returns is unchanged by a second Clean.
func Clean(s string) string {
	if printableASCII(s) {
		return s
	}
	s = ansi.Strip(strings.ToValidUTF8(s, ""))
	s = strings.ReplaceAll(s, "\r\n", "\n")
	s = norm.NFC.String(strings.Map(kept, s))
	return strings.Map(single, s)
}

// kept maps what separates to a space and drops what has no shape, leaving
// combining marks for the composition that follows.
func kept(r rune) rune {
	switch {
	case r == '\t' || r == '\n' || r == '\r' || r == '\v' || r == '\f',
		r == '\u0085', r == '\u2028', r == '\u2029', unicode.Is(unicode.Zs, r):
		return ' '
	case r == unicode.ReplacementChar, picture(r):
		return -1
	case unicode.IsGraphic(r):
		return r
	default:
		return -1
	}
}

// single drops what would still lean on its neighbour: marks that found no
// letter, and letters that join with the next one into a shape whose width
// terminals disagree about.
func single(r rune) rune {
	if r < 0x300 {
		return r
	}
	if unicode.IsMark(r) || joining(r) {
		return -1
	}
	alone := ansi.StringWidth(string(r))
	if alone != 1 && alone != 2 ||
		ansi.StringWidth("a"+string(r)) != 1+alone || ansi.StringWidth(string(r)+"a") != alone+1 {
		return -1
	}
	return r
}

// picture covers emoji, flags, skin tones and other pictographs, whose width
// depends on the terminal's age.
func picture(r rune) bool {
	return r >= 0x1F000 && r <= 0x1FAFF || r >= 0x2600 && r <= 0x27BF || r >= 0xE0000 && r <= 0xE0FFF
}

// joining covers loose Korean letter parts, which combine into blocks.
func joining(r rune) bool {
	return r >= 0x1100 && r <= 0x11FF || r >= 0xA960 && r <= 0xA97F || r >= 0xD7B0 && r <= 0xD7FF
}
