package layout

import (
	"errors"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"cellar.example/mustwatch/tui/cell"
)

// Frame joins lines into a view of exactly box.H lines of exactly box.W cells:
// long lines are cut with "…", short ones padded, missing ones blank, surplus
// ones dropped from the bottom. A line must be one line; a stray line end in it
// is drawn as a space rather than allowed to tear the frame.
//
// A caller that has more lines than the box has to say so in a line of its own:
// what Frame drops, it drops in silence.
func Frame(lines []string, box Box) string {
	if box.W <= 0 || box.H <= 0 {
		return ""
	}
	var out strings.Builder
	out.Grow(box.H * (box.W + 24))
	for i := range box.H {
		if i > 0 {
			out.WriteByte('\n')
		}
		if i < len(lines) {
			out.WriteString(cell.Fit(oneLine(lines[i]), box.W))
		} else {
			out.WriteString(cell.Blank(box.W))
		}
	}
	return out.String()
}

// Lines is Frame for a caller that goes on stacking: exactly box.H lines of
// exactly box.W cells.
func Lines(lines []string, box Box) []string {
	out := make([]string, max(box.H, 0))
	for i := range out {
		if i < len(lines) {
			out[i] = cell.Fit(oneLine(lines[i]), box.W)
		} else {
			out[i] = cell.Blank(box.W)
		}
	}
	return out
}

var toSpace = strings.NewReplacer("\n", " ", "\r", " ", "\t", " ")

func oneLine(s string) string {
	if strings.ContainsAny(s, "\n\r\t") {
		return toSpace.Replace(s)
	}
	return s
}

// Beside joins two columns, the left lw cells wide and the right rw. The
// shorter one is filled with blank lines.
func Beside(left, right []string, lw, rw int) []string {
	out := make([]string, max(len(left), len(right)))
	for i := range out {
		out[i] = fitAt(left, i, lw) + fitAt(right, i, rw)
	}
	return out
}

func fitAt(lines []string, i, w int) string {
	if i < len(lines) {
		return cell.Fit(oneLine(lines[i]), w)
	}
	return cell.Blank(w)
}

// Stack puts blocks of lines one below the other.
func Stack(blocks ...[]string) []string {
	n := 0
	for _, b := range blocks {
		n += len(b)
	}
	out := make([]string, 0, n)
	for _, b := range blocks {
		out = append(out, b...)
	}
	return out
}

// Window moves the first visible row of a list just far enough that cursor is
// inside a window of height rows over n rows, and no further: rows stay where
// the eye left them. It takes any numbers and returns a top that is valid for n.
func Window(n, cursor, height, top int) (newTop int) {
	if height <= 0 || n <= height {
		return 0
	}
	cursor = min(max(cursor, 0), n-1)
	top = min(top, cursor)
	top = max(top, cursor-height+1)
	return min(max(top, 0), n-height)
}

// Check says what is wrong with a view that should fill box: lines missing or
// too many, a line too wide or too narrow, control characters, or a colour that
// is still open at a line's end and would run into the next. Tests call it on
// every frame; the program does not.
func Check(view string, box Box) error {
	if box.W <= 0 || box.H <= 0 {
		if view != "" {
			return fmt.Errorf("view of %d bytes for an empty box", len(view))
		}
		return nil
	}
	var problems []error
	lines := strings.Split(view, "\n")
	if len(lines) != box.H {
		problems = append(problems, fmt.Errorf("%d lines, want %d", len(lines), box.H))
	}
	for i, line := range lines {
		if w := cell.Width(line); w != box.W {
			problems = append(problems, fmt.Errorf("line %d has %d cells, want %d: %q", i+1, w, box.W, line))
		}
		if err := checkSigns(line); err != nil {
			problems = append(problems, fmt.Errorf("line %d: %w: %q", i+1, err, line))
		}
	}
	return errors.Join(problems...)
}

// checkSigns reads a line the way a terminal does: text and complete colour
// sequences, nothing else.
func checkSigns(line string) error {
	colour := false
	for rest := line; rest != ""; {
		if body, after, ok := colourSequence(rest); ok {
			colour, rest = body != "" && body != "0", after
			continue
		}
		r, size := utf8.DecodeRuneInString(rest)
		if unicode.IsControl(r) || r == unicode.ReplacementChar {
			return fmt.Errorf("control character or broken text %q", rest[:size])
		}
		rest = rest[size:]
	}
	if colour {
		return errors.New("a colour is still open at the end")
	}
	return nil
}

// colourSequence splits a leading ESC [ … m off s.
func colourSequence(s string) (body, after string, ok bool) {
	s, ok = strings.CutPrefix(s, "\x1b[")
	if !ok {
		return "", "", false
	}
	end := strings.IndexFunc(s, func(r rune) bool { return r != ';' && r != ':' && (r < '0' || r > '9') })
	if end < 0 || s[end] != 'm' {
		return "", "", false
	}
	return s[:end], s[end+1:], true
}
