package widget

import (
	"fmt"
	"strings"

	"github.com/charmbracelet/bubbles/cursor"
	"github.com/charmbracelet/bubbles/key"
	"github.com/charmbracelet/bubbles/textinput"
	tea "github.com/charmbracelet/bubbletea"

	"cellar.example/mustwatch/tui/cell"
)

// Kind says what is typed into a field, and with it how wide it is, how much it
// takes and whether letters are lifted to capitals.
type Kind int

// The kinds of text fields.
const (
	Words  Kind = iota // free text
	Figure             // a number, a time, a duration, with or without a unit
	Code               // a number, initials, a lot number: kept in capitals
)

// Choice is one answer of a picker.
type Choice struct {
	Key   rune   // picks it at once; 0 leaves only the arrows
	Label string // what is shown
	Value string // what is handed in
	// Name is the code or number it goes by, where that may be typed in place of the
	// key: a sign that begins a name waits for the rest of it.
	Name  string
	Above string // a heading that stands above this choice, on a line of its own
}

// Field describes one line of a form. With Choices it is a picker, without them
// a text field. The zero of everything but Name and Label is a sound default.
type Field struct {
	Name  string // the key under which its value is handed in
	Label string
	Unit  string // stands behind the value
	Hint  string // stands behind the unit
	// Says gives unit and hint again on each drawing, where they hang on what has
	// been filled in elsewhere. Nil leaves Unit and Hint.
	Says func(values map[string]string) (unit, hint string)

	// Value is there before anything is typed. It is shown as a proposal, with
	// Origin behind it, until the person changes it; the first sign typed
	// replaces it whole, so a proposal costs no strokes to refuse.
	Value  string
	Origin string // where Value comes from; empty means "proposed"

	Kind    Kind
	Choices []Choice
	// Else is the choice that any other words stand for, and ElseTo the field that takes
	// them: what is typed here and is the name of no choice is not refused.
	Else, ElseTo string
	Optional     bool
	Width        int // cells of the value; 0 goes by Kind
	Limit        int // signs taken; 0 goes by Kind

	// Validate says what is wrong with a value, in a sentence for the person at
	// the keys. It is asked when the field is left and when the form is handed
	// in, never for an empty value.
	Validate func(string) error
	// When says whether the field is needed, given what is filled in so far. One that
	// is not is drawn dim and skipped, so that nothing moves under the hand; it is
	// neither asked for nor handed in.
	When func(values map[string]string) bool
	// Part says whether the field is of what the form's first picker has chosen to do;
	// one that is not belongs to another form and is not drawn.
	Part func(values map[string]string) bool
}

func (f Field) picker() bool { return len(f.Choices) > 0 }

func (f Field) width() int {
	switch {
	case f.Width > 0:
		return f.Width
	case f.Kind == Words:
		return 40
	default:
		return 10
	}
}

func (f Field) limit() int {
	switch {
	case f.Limit > 0:
		return f.Limit
	case f.Kind == Words:
		return 200
	default:
		return 16
	}
}

// entry is a field and what has been done to it.
type entry struct {
	Field
	input  textinput.Model
	choice int            // index into Choices, -1 for none
	sought string         // the part of a choice's name typed so far
	labels map[int]string // of choices that are shown by other words

	touched bool   // the person has changed the value
	left    bool   // the person has been in it and gone on
	fresh   bool   // the next sign typed replaces the proposal
	fault   string // shown under the field
	refused bool   // what was typed was, when the field was left or the form handed in
}

func newEntry(f Field) *entry {
	e := &entry{Field: f, input: newInput(f.limit()), choice: -1}
	e.propose(f.Value, f.Origin)
	return e
}

// newInput makes a text field that is used for editing only. Its View is never
// called: that would paint with the library's own renderer, which belongs to the
// first terminal and not to the session. Its cursor is told not to blink, for
// blinking starts timers. Its paste key is not bound, since it reads the
// clipboard of the computer the program runs on, which is not the one a guest
// sits at; a terminal's own paste works.
func newInput(limit int) textinput.Model {
	in := textinput.New()
	in.Cursor.SetMode(cursor.CursorStatic)
	in.CharLimit = limit
	in.KeyMap = textinput.KeyMap{
		CharacterForward:        key.NewBinding(key.WithKeys("right")),
		CharacterBackward:       key.NewBinding(key.WithKeys("left")),
		DeleteCharacterBackward: key.NewBinding(key.WithKeys("backspace", "ctrl+h")),
		DeleteCharacterForward:  key.NewBinding(key.WithKeys("delete")),
		DeleteWordBackward:      key.NewBinding(key.WithKeys("ctrl+w")),
		LineStart:               key.NewBinding(key.WithKeys("home")),
		LineEnd:                 key.NewBinding(key.WithKeys("end")),
	}
	in.Focus() // or it would not take keys; which field has the focus is the form's affair
	return in
}

// value is what would be handed in.
func (e *entry) value() string {
	if e.picker() {
		if e.choice < 0 {
			return ""
		}
		return e.Choices[e.choice].Value
	}
	return strings.TrimSpace(e.input.Value())
}

// propose puts a value there that the person has not typed.
func (e *entry) propose(value, origin string) {
	e.Value, e.Origin = value, origin
	e.put(value)
	e.touched, e.fresh = false, e.input.Value() != ""
}

// restore puts back a value that the person typed earlier.
func (e *entry) restore(value string) {
	e.put(value)
	// a figure is typed again, words are gone on with
	e.touched, e.fresh, e.fault = true, e.Kind == Figure && !e.picker(), ""
}

// indexOf is the place of the choice with a value, -1 if there is none.
func (e *entry) indexOf(value string) int {
	for i, c := range e.Choices {
		if c.Value == value {
			return i
		}
	}
	return -1
}

func (e *entry) put(value string) {
	e.choice = e.indexOf(value)
	if e.picker() {
		return
	}
	e.input.SetValue(string(e.accepted([]rune(value))))
	e.input.CursorEnd()
}

// proposed is true while what stands there is not the person's own.
func (e *entry) proposed() bool { return !e.touched && e.value() != "" }

func (e *entry) choose(n int) {
	if n < 0 || n >= len(e.Choices) {
		return
	}
	e.choice, e.touched, e.fault, e.sought, e.refused = n, true, "", "", false
}

// step moves through the choices. From "none" the first step lands on the first
// or the last one, and stepping on goes round.
func (e *entry) step(by int) {
	n := len(e.Choices)
	switch {
	case e.choice < 0 && by < 0:
		e.choose(n - 1)
	case e.choice < 0:
		e.choose(0)
	default:
		e.choose(((e.choice+by)%n + n) % n)
	}
}

func (e *entry) clear() {
	e.choice, e.sought = -1, ""
	e.input.Reset()
	e.touched, e.fresh, e.fault, e.refused = true, false, "", false
}

// byKey is the choice a typed sign picks, -1 if none. Capitals count as small
// letters: a caps lock must not turn a reading into a refusal. Where no choice
// has a figure for its key, figures pick by place, so that a whole entry can be
// made from the number pad.
func (e *entry) byKey(r rune) int {
	for i, c := range e.Choices {
		if c.Key == r {
			return i
		}
	}
	for i, c := range e.Choices {
		if c.Key != 0 && strings.EqualFold(string(c.Key), string(r)) {
			return i
		}
	}
	if n := int(r - '1'); e.byPlace(r) {
		return n
	}
	return -1
}

// byPlace reports whether a figure picks a choice by its place.
func (e *entry) byPlace(r rune) bool {
	return r >= '1' && r <= '9' && int(r-'1') < len(e.Choices) && !e.figures()
}

func (e *entry) figures() bool {
	for _, c := range e.Choices {
		if c.Key >= '0' && c.Key <= '9' {
			return true
		}
	}
	return false
}

// edit hands a key to the text field, cleaned; it reports whether the key meant
// anything to it.
func (e *entry) edit(msg tea.KeyMsg) bool {
	if msg.Alt || !editingKey(msg) {
		return false
	}
	typed := msg.Type == tea.KeyRunes || msg.Type == tea.KeySpace
	if typed {
		msg.Runes = e.accepted(msg.Runes)
		if len(msg.Runes) == 0 {
			return true
		}
		if e.fresh {
			e.input.Reset()
		}
		if over := e.signs() + len(msg.Runes) - e.limit(); over > 0 {
			defer func() {
				e.fault = fmt.Sprintf("%d characters fit here; the last %s not taken", e.limit(), several(over))
			}()
		}
		msg.Type, msg.Paste = tea.KeyRunes, true // text, even where it spells the name of a key
	}
	before := e.input.Value()
	e.input, _ = e.input.Update(msg) // without blink and paste key it has no command to give
	e.fresh = false
	if e.input.Value() != before {
		e.touched = true
		if e.fault != "" {
			e.fault = e.complaint()
		}
	}
	return true
}

func (e *entry) accepted(runes []rune) []rune {
	s := cell.Clean(string(runes))
	if e.Kind == Code {
		s = strings.ToUpper(s)
	}
	return []rune(s)
}

// signs is how many characters stand in the field.
func (e *entry) signs() int { return len([]rune(e.input.Value())) }

func several(n int) string {
	if n == 1 {
		return "one was"
	}
	return fmt.Sprintf("%d were", n)
}

func editingKey(msg tea.KeyMsg) bool {
	switch msg.Type {
	case tea.KeyRunes, tea.KeySpace, tea.KeyLeft, tea.KeyRight, tea.KeyHome, tea.KeyEnd,
		tea.KeyBackspace, tea.KeyCtrlH, tea.KeyCtrlW, tea.KeyDelete:
		return true
	default:
		return false
	}
}

// complaint is what is wrong with the value as it stands, by Validate or because
// what was typed picks nothing.
func (e *entry) complaint() string {
	if e.picker() && e.choice < 0 && e.sought != "" { // a word that was typed is not dropped
		return "nothing here is called \"" + e.sought + "\": pick one, or clear the field"
	}
	v := e.value()
	if v == "" || e.Validate == nil {
		return ""
	}
	if err := e.Validate(v); err != nil {
		return cell.Clean(err.Error())
	}
	return ""
}
