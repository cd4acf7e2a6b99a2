package tui

import (
	"bytes"
	"os"
	"time"
	"unicode/utf8"

	tea "github.com/charmbracelet/bubbletea"
)

// keyboard is the terminal's input without what no hand has typed. A terminal that
// does not mark a paste hands it over like typing, and a line of text in it would open
// forms, fill them in and write them.
type keyboard struct {
	*os.File
	dropped func(signs int) // is told of what was left out

	pasting bool      // between the marks of a paste, which the screen library takes whole
	until   time.Time // what comes before this belongs to what was left out
}

// mostTyped is how many keys with an Enter among them may come at once: a quick hand
// on a slow line.
const mostTyped = 16

// goesOn is how long after a burst the rest of it may come.
const goesOn = 100 * time.Millisecond

// Read implements io.Reader. What is left out reads as nothing.
func (k *keyboard) Read(b []byte) (int, error) {
	n, err := k.File.Read(b)
	if n == 0 || err != nil {
		return n, err
	}
	now := time.Now()
	if !k.burst(b[:n], n == len(b)) && (k.pasting || !now.Before(k.until)) {
		return n, nil
	}
	k.until = now.Add(goesOn)
	k.dropped(signsOf(b[:n]))
	return 0, nil
}

var pasteBegins, pasteEnds = []byte("\x1b[200~"), []byte("\x1b[201~")

// burst reports whether one read is more than a hand types at once. full says that there
// is more where it came from.
func (k *keyboard) burst(b []byte, full bool) bool {
	begin, end := bytes.LastIndex(b, pasteBegins), bytes.LastIndex(b, pasteEnds)
	if begin >= 0 || end >= 0 || k.pasting {
		k.pasting = begin > end || k.pasting && end < 0
		return false
	}
	return full || bytes.ContainsAny(b, "\r\n") && signsOf(b) > mostTyped
}

// signsOf counts keys: an arrow is one, however the terminal spells it.
func signsOf(b []byte) (n int) {
	for len(b) > 0 {
		n++
		size := 1
		switch {
		case b[0] == 0x1b && len(b) > 2 && (b[1] == '[' || b[1] == 'O'):
			size = 3
			for size < len(b) && b[1] == '[' && (b[size-1] < 0x40 || b[size-1] > 0x7e) {
				size++
			}
		case b[0] == 0x1b && len(b) > 1:
			size = 2
		default:
			_, size = utf8.DecodeRune(b)
		}
		b = b[size:]
	}
	return n
}

// burstMsg is so many signs that came at once and were left out.
type burstMsg struct{ signs int }

// Burst is its message, for a test.
func Burst(signs int) tea.Msg { return burstMsg{signs} }

func (r *Root) onBurst(m burstMsg) {
	r.say(r.words("dropped: {count} characters that came at once. Nothing is saved: type them, or paste them into a "+
		"text field", m.signs))
}

// pasted reports whether a key message is a paste that nobody takes here, and says so:
// text goes into a field for text and is never read as keys.
func (r *Root) pasted(msg tea.KeyMsg) bool {
	if !msg.Paste || r.typing() {
		return false
	}
	r.say(r.words("dropped: a paste of {count} characters. Nothing is saved: paste into a text field", len(msg.Runes)))
	return true
}

// typing reports whether the keys go to a field that takes text.
func (r *Root) typing() bool {
	if o := r.top(); o != nil {
		t, ok := o.(interface{ Typing() bool })
		return ok && t.Typing()
	}
	return r.form != nil && r.form.Form.Typing()
}
