package theme

import (
	"strings"

	"github.com/charmbracelet/lipgloss"
	"github.com/muesli/termenv"
)

// Mode is the ground a theme is made for. It is chosen, never guessed.
type Mode string

// The two grounds: a dim cellar wants the dark one, a sunlit press floor the
// light one.
const (
	Dark  Mode = "dark"
	Light Mode = "light"
)

// Other is the ground one key switches to.
func (m Mode) Other() Mode {
	if m == Light {
		return Dark
	}
	return Light
}

// Theme is every look the faces may use.
type Theme struct {
	Mode Mode
	// Mono is true where the terminal shows no colour, bold or reverse at all.
	// What would be said by one of these alone must then be drawn as a sign.
	Mono bool

	Text   Ink // the terminal's own foreground: readable even if Mode is wrong
	Strong Ink // numbers, what is in them
	Quiet  Ink // units, ages, hints; never the only place of a meaning
	Title  Ink // the head of a face or panel
	Band   Ink // a stage of the cellar
	Rule   Ink // lines between things

	Overdue Ink // a clock that has run out; drawn as a block
	Soon    Ink // due within a quarter of an hour; a warning at a field
	Held    Ink // on hold
	Good    Ink // written down, done. Never a permission to enter anything

	Field      Ink // what has been typed
	FieldFocus Ink // the field the keys go to
	Cursor     Ink // the cell the next letter goes to
	Error      Ink // why an entry is not taken
	Key        Ink // the letter of a key in the footer
	Demo       Ink // the word that marks a rehearsal on every face
	Flash      Ink // the other way round, for a moment

	renderer *lipgloss.Renderer
	ground   Ink // the mode's own ground and letters on it
}

// New makes the theme for one session. The renderer's colour profile is read
// now: set it before, and make a new theme if it changes.
func New(r *lipgloss.Renderer, mode Mode) Theme {
	p := darkPalette()
	if mode == Light {
		p = lightPalette()
	} else {
		mode = Dark
	}
	ink := func(t tone) Ink { return newInk(r, t) }
	return Theme{
		Mode: mode,
		Mono: r.ColorProfile() == termenv.Ascii,

		Text: ink(tone{}), Strong: ink(tone{bold: true}), Title: ink(tone{bold: true}),
		Field: ink(tone{}), Quiet: ink(p.quiet), Band: ink(p.band), Rule: ink(p.rule),

		Overdue: ink(p.overdue), Soon: ink(p.soon), Held: ink(p.held), Good: ink(p.good),

		FieldFocus: ink(p.focus), Cursor: ink(p.cursor), Error: ink(p.fault),
		Key: ink(p.key), Demo: ink(p.demo), Flash: ink(tone{reverse: true}),

		renderer: r, ground: ink(p.ground),
	}
}

// Other is the theme for the other ground on the same terminal.
func (t Theme) Other() Theme { return New(t.renderer, t.Mode.Other()) }

// OwnGround reports whether the theme has a ground of its own to paint. With sixteen
// colours it has none: text is in the terminal's own foreground there, which can
// only be read on the terminal's own ground.
func (t Theme) OwnGround() bool { return t.ground.open != "" }

// Ground paints what a finished line leaves to the terminal, so that a theme can
// be read on a terminal that has the other ground.
func (t Theme) Ground(line string) string {
	if t.ground.open == "" {
		return line
	}
	return t.ground.Render(strings.ReplaceAll(line, t.ground.close, t.ground.close+t.ground.open))
}

// Ink paints a piece of one line. It is a prepared pair of sequences: a board
// paints several hundred cells a frame, and composing the style again for each
// of them costs more than all the rest of the frame.
//
// Inks do not nest: what is painted first ends the colour of what is around it.
// Paint cells and join them.
type Ink struct{ open, close string }

// Render paints s, which must be one line. Nothing is added to an empty s, nor
// where the terminal shows no colours.
func (i Ink) Render(s string) string {
	if s == "" || i.open == "" {
		return s
	}
	return i.open + s + i.close
}

// newInk lets lipgloss write the sequences once for this renderer's profile.
func newInk(r *lipgloss.Renderer, t tone) Ink {
	style := r.NewStyle()
	if t.bold {
		style = style.Bold(true)
	}
	if t.reverse {
		style = style.Reverse(true)
	}
	if t.fg != (shade{}) {
		style = style.Foreground(lipgloss.CompleteColor(t.fg))
	}
	if t.bg != (shade{}) {
		style = style.Background(lipgloss.CompleteColor(t.bg))
	}
	const sample = "x"
	open, closing, _ := strings.Cut(style.Render(sample), sample)
	return Ink{open: open, close: closing}
}
