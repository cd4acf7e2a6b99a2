package cell

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// Glyph is a sign the program may draw besides letters, and its stand-in where
// the terminal or printer has ASCII only.
type Glyph struct {
	Rune  rune
	Plain byte
}

// Glyphs are all signs beyond ASCII that the program draws. Each is one cell
// wide and in the fonts of a bare console. A new one goes in here first; a test
// reads the sources and refuses the others.
//
// Left out on purpose: "at most" and "at least" signs, because their plain
// stand-in would change the meaning, and small raised or lowered figures.
func Glyphs() []Glyph {
	return []Glyph{
		{'▲', '!'}, // overdue
		{'×', 'x'}, // held; also between rate and amount
		{'·', '-'}, // between two phrases
		{'…', '~'}, // cut here
		{'°', ' '}, // "15.2 °C" becomes "15.2  C"
		{'→', '>'}, {'←', '<'}, {'↑', '^'}, {'↓', 'v'},
		{'─', '-'}, {'│', '|'}, {'═', '='},
		{'┌', '+'}, {'┐', '+'}, {'└', '+'}, {'┘', '+'},
		{'├', '+'}, {'┤', '+'}, {'┬', '+'}, {'┴', '+'}, {'┼', '+'},
		// block figures and bars; a half stays a half, or 0 reads as 8
		{'█', '#'}, {'▀', '"'}, {'▄', 'm'}, {'▌', '#'}, {'▐', '#'},
		{'░', '.'}, // the empty part of a bar
		{'–', '-'}, // from – to
	}
}

// stand-ins of letters that do not decompose into a base letter and a mark.
var letterPlain = map[rune]byte{
	'ß': 's', 'ẞ': 'S', 'Æ': 'A', 'æ': 'a', 'Œ': 'O', 'œ': 'o', 'Ø': 'O', 'ø': 'o',
	'Ł': 'L', 'ł': 'l', 'Đ': 'D', 'đ': 'd', 'Ð': 'D', 'ð': 'd', 'Þ': 'T', 'þ': 't',
	'ı': 'i', '«': '"', '»': '"', '„': '"', '“': '"', '”': '"', '‘': '\'', '’': '\'',
	'‚': '\'', '—': '-', '¿': '?', '¡': '!', 'µ': 'u', 'μ': 'u', '²': '2', '³': '3',
	'₂': '2', '½': '?', 'º': 'o', 'ª': 'a',
}

var glyphPlain = plainTable()

func plainTable() map[rune]byte {
	table := make(map[rune]byte, len(letterPlain)+32)
	for r, p := range letterPlain {
		table[r] = p
	}
	for _, g := range Glyphs() {
		table[g.Rune] = g.Plain
	}
	return table
}

// Plain rewrites s for a terminal that knows ASCII only. It keeps the width of
// every sign, so a finished frame stays a frame: the cut mark becomes "~" and
// not three points, ß becomes one s, a wide letter two question marks. Colour
// sequences are ASCII and pass through.
func Plain(s string) string {
	if printableASCII(s) {
		return s
	}
	var out strings.Builder
	out.Grow(len(s))
	for _, r := range s {
		if r < utf8.RuneSelf {
			out.WriteRune(r)
			continue
		}
		plainRune(&out, r)
	}
	return out.String()
}

func plainRune(out *strings.Builder, r rune) {
	if p, ok := glyphPlain[r]; ok {
		out.WriteByte(p)
		return
	}
	width := Width(string(r))
	if base, _ := utf8.DecodeRuneInString(norm.NFD.String(string(r))); base < utf8.RuneSelf && width == 1 {
		out.WriteRune(base)
		return
	}
	out.WriteString(strings.Repeat("?", width))
}

// Drawable says whether r may stand in a text the program draws: ASCII, a
// letter, or one of Glyphs.
func Drawable(r rune) bool {
	if r < utf8.RuneSelf {
		return r >= 0x20 && r != 0x7f
	}
	if unicode.IsLetter(r) {
		return Width(string(r)) == 1
	}
	for _, g := range Glyphs() {
		if g.Rune == r {
			return true
		}
	}
	return false
}
