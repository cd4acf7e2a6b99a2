package cell

import (
	"strings"
	"unicode/utf8"

	"github.com/charmbracelet/x/ansi"
	"github.com/mattn/go-runewidth"
)

// Libraries below us ask runewidth, and runewidth asks the environment whether
// é, ° and … are two cells wide. On a house computer set to an East-Asian
// locale that would shift every row with an accent in it. The answer is fixed
// here, where the program's own rule stands, before anything is drawn.
func init() { runewidth.DefaultCondition.EastAsianWidth = false }

// Cut is the mark that says "this text went on". It is one cell wide.
const Cut = "…"

// blanks is sliced for padding, which spares an allocation per padded cell.
const blanks = "                                                                                " +
	"                                                                                " +
	"                                                                                "

// Width is the number of cells s takes. Colour sequences take none.
func Width(s string) int {
	if n, ok := narrowWidth(s); ok {
		return n
	}
	return ansi.StringWidth(s)
}

// narrowWidth counts what a board is made of, letters of one cell and colour
// sequences, several times faster than the general rule, which has to look for
// signs that merge. It gives up at the first sign it does not know.
func narrowWidth(s string) (n int, ok bool) {
	for i := 0; i < len(s); {
		switch c := s[i]; {
		case c >= 0x20 && c <= 0x7e:
			i, n = i+1, n+1
		case c == 0x1b:
			length := colourLength(s[i:])
			if length == 0 {
				return 0, false
			}
			i += length
		case c < utf8.RuneSelf:
			return 0, false
		default:
			r, size := utf8.DecodeRuneInString(s[i:])
			if !narrow(r) {
				return 0, false
			}
			i, n = i+size, n+1
		}
	}
	return n, true
}

// narrow covers the European letters and the signs of Glyphs: none of them is
// wide and none merges with a neighbour of the same set.
func narrow(r rune) bool {
	return r >= 0xa1 && r < 0x300 && r != 0xad || r == '…' || r == '–' ||
		r >= '←' && r <= '↓' || r >= '─' && r <= '▐' || r == '░' || r == '▲'
}

// colourLength is the length of the colour sequence s begins with, 0 if it
// begins with another one.
func colourLength(s string) int {
	if len(s) < 3 || s[1] != '[' {
		return 0
	}
	for i := 2; i < len(s); i++ {
		switch c := s[i]; {
		case c == 'm':
			return i + 1
		case (c < '0' || c > '9') && c != ';' && c != ':':
			return 0
		}
	}
	return 0
}

// printableASCII says that every byte is one visible cell.
func printableASCII(s string) bool {
	for i := range len(s) {
		if s[i] < 0x20 || s[i] > 0x7e {
			return false
		}
	}
	return true
}

// Blank is n empty cells, none when n is not positive.
func Blank(n int) string {
	switch {
	case n <= 0:
		return ""
	case n <= len(blanks):
		return blanks[:n]
	default:
		return strings.Repeat(" ", n)
	}
}

// Fit gives s exactly w cells: padded on the right, or cut with "…" when it is
// longer. Colour sequences survive the cut, so a closing one is never lost.
func Fit(s string, w int) string {
	s, missing := shorten(s, w)
	if missing == 0 {
		return s
	}
	return s + Blank(missing)
}

// FitLeft is Fit for figures: it pads on the left, so that units stand under
// units. A figure that is too long is cut with "…" at its end, which no reader
// takes for a smaller figure.
func FitLeft(s string, w int) string {
	s, missing := shorten(s, w)
	if missing == 0 {
		return s
	}
	return Blank(missing) + s
}

// Center is Fit with the padding on both sides, the odd cell on the right.
func Center(s string, w int) string {
	s, missing := shorten(s, w)
	left := missing / 2
	return Blank(left) + s + Blank(missing-left)
}

// shorten cuts s to at most w cells and says how many are missing to w. A wide
// letter that would straddle the edge is dropped whole, so cells can be missing
// after a cut as well.
func shorten(s string, w int) (string, int) {
	if w <= 0 {
		return "", 0
	}
	n := Width(s)
	if n > w {
		s = ansi.Truncate(s, w, Cut)
		n = Width(s)
	}
	return s, w - n
}

// Repeat fills w cells with a glyph of width one.
func Repeat(glyph string, w int) string {
	if w <= 0 {
		return ""
	}
	return strings.Repeat(glyph, w)
}

// Wrap breaks a sentence between words into lines of at most w cells; runs of
// spaces become one. A word longer than a line is broken where the line ends:
// nothing is lost, unlike Fit. A colour opened in one line would run on into
// the next, so colour the lines afterwards.
func Wrap(s string, w int) []string {
	if w <= 0 {
		return nil
	}
	var lines []string
	line := ""
	for _, word := range wholes(s) {
		if line != "" && Width(line)+1+Width(word) <= w {
			line += " " + word
			continue
		}
		if line != "" {
			lines = append(lines, line)
		}
		for Width(word) > w {
			head := ansi.Truncate(word, w, "")
			if head == "" {
				return lines // a wide letter in a line of one cell: no way to draw it
			}
			lines, word = append(lines, head), word[len(head):]
		}
		line = word
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

// units stay on the line of their figure.
var units = map[string]bool{"g": true, "kg": true, "t": true, "mL": true, "L": true, "hL": true, "gal": true,
	"lb": true, "oz": true, "%": true,
	"°C": true, "°F": true, "°Brix": true, "min": true, "h": true, "bar": true, "NTU": true, "ppm": true, "g/hL": true,
	"mL/hL": true, "kWh": true, "kW": true, "d": true, "s": true, "K": true, "g/L": true, "mg/L": true,
	"short": true, "lb/1000": true, "g/100": true}

// wholes are the words of a text, a figure and its unit as one: "2 900 ppm", "1 h 45",
// "7.5 US gal".
func wholes(s string) (out []string) {
	words := strings.Fields(s)
	for i := 0; i < len(words); i++ {
		n := figure(words[i:])
		out = append(out, strings.Join(words[i:i+n], " "))
		i += n - 1
	}
	return out
}

// figure is how many words from the first one on belong together.
func figure(words []string) int {
	if !endsInDigit(words[0]) {
		return 1
	}
	n := 1
	for n < len(words) && thousands(words[n]) {
		n++
	}
	if n < len(words) && words[n] == "US" {
		n++
	}
	if n+1 < len(words) && words[n] == "of" {
		if m := figure(words[n+1:]); m > 1 {
			return n + 1 + m // 5.7 of 17.6 t
		}
	}
	if n == len(words) || !units[strings.TrimRight(words[n], ".,;:)")] {
		return 1 // numbers that stand behind one another are no figure
	}
	if words[n] == "h" && n+1 < len(words) && minutes(words[n+1]) {
		n++
	}
	return n + 1
}

func thousands(word string) bool { return len(word) >= 3 && allDigits(word[:3]) && !endsLater(word, 3) }

func minutes(word string) bool {
	word = strings.TrimRight(word, ".,;:)")
	return len(word) == 2 && allDigits(word)
}

// endsLater reports whether digits follow the first n of a word.
func endsLater(word string, n int) bool { return len(word) > n && word[n] >= '0' && word[n] <= '9' }

func allDigits(s string) bool { return strings.Trim(s, "0123456789") == "" }

func endsInDigit(s string) bool { return s != "" && s[len(s)-1] >= '0' && s[len(s)-1] <= '9' }

// Hang breaks a line of columns so that what is too long for its last column goes
// on below that column's beginning, never further right than the middle. The first
// columns keep their spaces. Without columns what follows is least cells to the right.
func Hang(l string, w, least int) []string {
	if Width(l) <= w {
		return []string{l}
	}
	head, rest := "", l
	if i := strings.LastIndex(l[:min(len(l), w/2)], "  "); i > 0 {
		rest = strings.TrimLeft(l[i:], " ")
		head = l[:len(l)-len(rest)]
	}
	indent := max(least, Width(head))
	var out []string
	for i, part := range Wrap(rest, w-indent) {
		switch {
		case i > 0:
			part = Blank(indent) + part
		default:
			part = head + part
		}
		out = append(out, part)
	}
	return out
}
