package paper

import "strings"

// letters spells the Latin letters that houses use in names without their marks.
// German umlauts lose their dots only, as their own speakers write them on
// numbers; ß has no single letter.
var letters = spell(
	"A", "ÀÁÂÃÄÅĀĂĄ", "a", "àáâãäåāăą", "AE", "Æ", "ae", "æ", "C", "ÇĆĈĊČ", "c", "çćĉċč", "D", "ÐĎĐ", "d", "ðďđ",
	"E", "ÈÉÊËĒĔĖĘĚ", "e", "èéêëēĕėęě", "G", "ĜĞĠĢ", "g", "ĝğġģ", "H", "ĤĦ", "h", "ĥħ", "I", "ÌÍÎÏĨĪĬĮİ", "i",
	"ìíîïĩīĭįı",
	"J", "Ĵ", "j", "ĵ", "K", "Ķ", "k", "ķ", "L", "ĹĻĽĿŁ", "l", "ĺļľŀł", "N", "ÑŃŅŇ", "n", "ñńņňŉ", "O", "ÒÓÔÕÖØŌŎŐ",
	"o", "òóôõöøōŏőº",
	"OE", "Œ", "oe", "œ", "R", "ŔŖŘ", "r", "ŕŗř", "S", "ŚŜŞŠȘ", "s", "śŝşšș", "SS", "ẞ", "ss", "ß", "T", "ŢŤŦȚ", "t",
	"ţťŧț",
	"U", "ÙÚÛÜŨŪŬŮŰŲ", "u", "ùúûüũūŭůűų", "W", "ŴẂ", "w", "ŵẃ", "Y", "ÝŶŸ", "y", "ýÿŷ", "Z", "ŹŻŽ", "z", "źżž", "Th",
	"Þ", "th", "þ",
	"-", "·•‐‑‒–—―−", "'", "‘’‚‛′´", "\"", "“”„‟″«»", "...", "…", "x", "×", "u", "µμ", "!", "▲¡", "+-", "±", "<=", "≤",
	">=", "≥",
	"2", "²₂", "3", "³₃", "1/2", "½", "1/4", "¼", "3/4", "¾", "->", "→", "<-", "←", "EUR", "€", "GBP", "£", "per mille",
	"‰", "~", "≈",
	" ", "\t\n\r\f\v\u00a0\u2007\u2009\u202f\u2003\u2002",
)

func spell(pairs ...string) map[rune]string {
	out := map[rune]string{}
	for i := 0; i+1 < len(pairs); i += 2 {
		for _, r := range pairs[i+1] {
			out[r] = pairs[i]
		}
	}
	return out
}

// ASCII writes a text in plain ASCII on one line. A letter loses its marks, a
// degree sign goes where a unit follows it and is "deg" where none does; what
// has no ASCII at all becomes "?", for a hole in a name must be seen.
func ASCII(s string) string {
	if plain(s) {
		return s
	}
	var out strings.Builder
	all := []rune(s)
	for i, r := range all {
		switch to, known := letters[r]; {
		case r >= ' ' && r <= '~':
			out.WriteRune(r)
		case known:
			out.WriteString(to)
		case r == '°':
			if i+1 == len(all) || !letter(all[i+1]) {
				out.WriteString(" deg")
			}
		case r == '\u00ad' || r >= '\u200b' && r <= '\u200f' || r == '\ufeff' || r >= '\u0300' && r <= '\u036f':
			// soft hyphens, joiners and combining marks carry no letter
		default:
			out.WriteByte('?')
		}
	}
	return out.String()
}

func plain(s string) bool {
	for i := 0; i < len(s); i++ {
		if s[i] < ' ' || s[i] > '~' {
			return false
		}
	}
	return true
}

func letter(r rune) bool { return r >= 'A' && r <= 'Z' || r >= 'a' && r <= 'z' }
