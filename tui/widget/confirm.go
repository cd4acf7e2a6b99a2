package widget

import (
	"fmt"
	"strings"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"cellar.example/mustwatch/tui/cell"
	"cellar.example/mustwatch/tui/intent"
	"cellar.example/mustwatch/tui/keys"
	"cellar.example/mustwatch/tui/layout"
	"cellar.example/mustwatch/tui/theme"
)

// Bounce is how long a key that comes again is taken for the same press: a wet
// keyboard gives two for one, and here the second might be the one that counts.
const Bounce = 150 * time.Millisecond

// Confirm asks before something dangerous, and is answered by typing the plate
// of the vessel it is about. A "y" is typed without looking; a plate is not.
type Confirm struct {
	Title string
	// Danger is the one line shown before a danger.
	Danger string
	// Text says what will happen, one sentence a line.
	Text []string

	plate   string
	typed   *entry
	lastKey string
	lastAt  time.Time
	opened  time.Time
}

// NewConfirm asks for plate. opened is the instant at which the question came
// up: keys that arrive within Bounce of it were meant for what was there before.
func NewConfirm(title, plate string, opened time.Time) *Confirm {
	return &Confirm{
		Title: title, plate: plate, opened: opened,
		typed: newEntry(Field{Name: "plate", Label: "Type " + plate + " to go ahead", Kind: Code}),
	}
}

// Keys are the keys of the question, for the footer.
func (c *Confirm) Keys() keys.Table {
	return keys.Table{
		{Keys: []string{"enter"}, Short: "go ahead", Help: "go ahead, once the plate is typed", Intent: intent.Accept{}},
		{Keys: []string{"esc"}, Short: "leave it", Help: "leave it as it is", Intent: intent.Back{}},
	}
}

// Update takes one key message and the time now. intent.Accept comes up when
// the right plate stands there and Enter is pressed, intent.Back on Esc.
// Bounced keys and pastes count for nothing. handled is false for keys that mean
// nothing here.
func (c *Confirm) Update(msg tea.KeyMsg, now time.Time) (up intent.Intent, handled bool) {
	for _, one := range keys.Split(msg) {
		if one.Paste || c.bounced(one, now) {
			handled = true
			continue
		}
		var took bool
		up, took = c.key(one)
		handled = handled || took
	}
	return up, handled
}

func (c *Confirm) key(msg tea.KeyMsg) (up intent.Intent, handled bool) {
	switch msg.Type {
	case tea.KeyEsc:
		return intent.Back{}, true
	case tea.KeyEnter:
		got := c.typed.value()
		switch {
		case strings.EqualFold(got, c.plate):
			return intent.Accept{}, true
		case got == "":
			c.typed.fault = "type the plate first"
		default:
			c.typed.clear()
			c.typed.fault = fmt.Sprintf("%s is not %s; nothing has been done", got, c.plate)
		}
		return nil, true
	default:
		if !c.typed.edit(msg) {
			return nil, false
		}
		c.typed.fault = ""
		return nil, true
	}
}

// bounced says that a key is an echo of the press before. A key held down keeps
// being one until it is let go. A clock that has been set back counts as time
// having passed, or it would lock the question.
func (c *Confirm) bounced(msg tea.KeyMsg, now time.Time) bool {
	name := msg.String()
	again := name == c.lastKey && within(now.Sub(c.lastAt))
	early := within(now.Sub(c.opened))
	c.lastKey, c.lastAt = name, now
	return again || early
}

func within(d time.Duration) bool { return d >= 0 && d < Bounce }

// View draws the question as exactly box.H lines of exactly box.W cells. The
// place to type in is never pushed out by the text above it.
func (c *Confirm) View(th theme.Theme, box layout.Box) []string {
	lines := []string{heading(th, c.Title, "", box.W)}
	for _, line := range cell.Wrap(c.Danger, box.W) {
		lines = append(lines, th.Strong.Render(line))
	}
	for _, sentence := range c.Text {
		lines = append(lines, cell.Wrap(sentence, box.W)...)
	}
	lines = append(lines, "")
	d := fieldDrawing{th: th, e: c.typed, focused: true, labels: min(cell.Width(c.typed.Label), box.W*2/3), width: box.W}
	question := d.rows(nil)
	room := max(box.H-len(question), 0)
	return layout.Lines(layout.Stack(lines[:min(len(lines), room)], question), box)
}
