package paper

import "strings"

// signs are the marks of the paper. They stand in the rule under the head, to be read
// before what they mark.
const signs = "--- ! overdue --- > not decided --- ? not known --- ~ only estimated "

// codes explains the codes of the house that stand on some lines and are not
// explained there or by earlier ones: the reader may be new, or not of this house.
func (f *front) codes(lines, earlier []string) []string {
	text, before := flat(lines), flat(earlier)
	var words []string
	for _, w := range f.s.Words {
		code, says := ASCII(w.Code), ASCII(w.Says)
		if has(text, code) && !explains(text, code, says) && !explains(before, code, says) {
			words = append(words, code+" "+says)
		}
	}
	if len(words) == 0 {
		return nil
	}
	out := wrap("CODES "+strings.Join(words, "; "), Columns-2)
	for i := range out[1:] {
		out[1+i] = "  " + out[1+i]
	}
	return out
}

// explains reports whether a text has the words of a code beside it, before or
// behind.
func explains(text, code, says string) bool {
	return strings.Contains(text, says+" ("+code+")") || has(text, code+" "+says)
}

// flat is the text of some lines as it is read: without the frames and the blanks
// of the columns.
func flat(lines []string) string {
	return strings.Join(strings.Fields(strings.ReplaceAll(strings.Join(lines, " "), "|", " ")), " ")
}

// has reports whether a code stands in a text as a word of its own.
func has(text, code string) bool {
	for at := 0; code != ""; {
		i := strings.Index(text[at:], code)
		if i < 0 {
			return false
		}
		i += at
		if end := i + len(code); (i == 0 || !wordly(text[i-1])) && (end == len(text) || !wordly(text[end])) {
			return true
		}
		at = i + 1
	}
	return false
}

func wordly(b byte) bool {
	return b >= '0' && b <= '9' || b >= 'A' && b <= 'Z' || b >= 'a' && b <= 'z' || b == '-'
}
