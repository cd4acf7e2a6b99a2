package tui

import (
	"time"
	"unicode"

	tea "github.com/charmbracelet/bubbletea"

	"cellar.example/mustwatch/tui/intent"
	"cellar.example/mustwatch/tui/keys"
)

// The letters of a tank number may be typed small, and most small letters are keys too.
// Right after a whole number a letter is a key: 104d. Elsewhere a letter that begins a
// number of this house waits for the next key: g2d is the tank G2 and its dose. If that
// key does not go on with a number, the letter was a key. A key that only moves the
// cursor acts at once, for the number takes the cursor elsewhere anyhow.

// letterWaits is how long a letter waits. A hand that types a number is faster, and one
// that has pressed a key does not notice it.
const letterWaits = 500 * time.Millisecond

// letterMsg ends the wait of a letter.
type letterMsg struct{ n int }

// letter is the one that waits.
type letter struct {
	key   tea.KeyMsg
	acted bool // it was a key already
	n     int  // counts them, so that an old message ends no later wait
	waits bool
}

// Rested is the message that comes when no key is pressed for a moment, for a test that
// has its own time.
func (r *Root) Rested() tea.Msg { return letterMsg{r.letter.n} }

// onRest takes a letter that has waited for the key it is.
func (r *Root) onRest(msg letterMsg) tea.Cmd {
	if !r.letter.waits || msg.n != r.letter.n {
		return nil
	}
	r.letter.waits = false
	if r.letter.acted || r.face() != r.board || r.form != nil || r.top() != nil {
		return nil
	}
	return r.faceKey(r.letter.key)
}

// onFaceKey gives a key to the face, or takes it for a part of a tank number.
func (r *Root) onFaceKey(k tea.KeyMsg) tea.Cmd {
	if r.face() != r.board {
		r.letter.waits = false
		return r.faceKey(k)
	}
	if r.letter.waits {
		return r.press(k)
	}
	c, ok := single(k)
	switch g := r.Sight(); {
	case !ok || !unicode.IsLower(c):
	case r.board.GoesOn(unicode.ToUpper(c), g):
		return r.number(k)
	case r.board.Begins(unicode.ToUpper(c), g):
		r.letter = letter{key: k, n: r.letter.n + 1, waits: true}
		n, cmd := r.letter.n, tea.Cmd(nil)
		if in, _, _ := keys.Common().Lookup(k); isMove(in) {
			r.letter.acted, cmd = true, r.faceKey(k)
		}
		return tea.Batch(cmd, r.beat.tick(letterWaits, func(time.Time) tea.Msg { return letterMsg{n} }))
	}
	return r.faceKey(k)
}

// press takes the letter that waits with the key after it: both are of a number, or the
// letter was a key and the other is the next one. A figure is of a number though no tank
// has it: that is a slip, and no slip opens a form on another tank.
func (r *Root) press(k tea.KeyMsg) tea.Cmd {
	first := r.letter
	r.letter.waits = false
	c, _ := single(first.key)
	if next, ok := single(k); ok && (unicode.IsDigit(next) || r.board.Begins(unicode.ToUpper(c), r.Sight(),
		unicode.ToUpper(next))) {
		return tea.Batch(r.number(first.key), r.number(k))
	}
	var cmd tea.Cmd
	if !first.acted {
		cmd = r.faceKey(first.key)
	}
	return tea.Batch(cmd, r.onKey(k))
}

// number gives a sign of a tank number to the board.
func (r *Root) number(k tea.KeyMsg) tea.Cmd {
	c, _ := single(k)
	r.say("")
	up, _ := r.board.Handle(intent.Number{Digit: unicode.ToUpper(c)}, r.Sight(), r.body())
	return r.act(up)
}

// single is the one sign of a key.
func single(k tea.KeyMsg) (rune, bool) {
	if n := []rune(keys.Name(k)); len(n) == 1 {
		return n[0], true
	}
	return 0, false
}

func isMove(in intent.Intent) bool { _, ok := in.(intent.Move); return ok }
