package theme

import (
	"io"
	"strings"
	"testing"

	"github.com/charmbracelet/lipgloss"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
)

func renderer(p termenv.Profile) *lipgloss.Renderer {
	r := lipgloss.NewRenderer(io.Discard)
	r.SetColorProfile(p)
	return r
}

func inks(th Theme) map[string]Ink {
	return map[string]Ink{
		"Text": th.Text, "Strong": th.Strong, "Quiet": th.Quiet, "Title": th.Title, "Band": th.Band,
		"Rule": th.Rule, "Overdue": th.Overdue, "Soon": th.Soon, "Held": th.Held, "Good": th.Good,
		"Field": th.Field, "FieldFocus": th.FieldFocus, "Cursor": th.Cursor, "Error": th.Error,
		"Key": th.Key, "Demo": th.Demo, "Flash": th.Flash,
	}
}

func TestWithoutColoursNothingIsAdded(t *testing.T) {
	for _, mode := range []Mode{Dark, Light} {
		th := New(renderer(termenv.Ascii), mode)
		assert.True(t, th.Mono)
		for name, ink := range inks(th) {
			assert.Equal(t, "▲ 102", ink.Render("▲ 102"), name)
		}
	}
}

func TestEverySequenceIsClosed(t *testing.T) {
	for _, profile := range []termenv.Profile{termenv.ANSI, termenv.ANSI256, termenv.TrueColor} {
		for _, mode := range []Mode{Dark, Light} {
			th := New(renderer(profile), mode)
			assert.False(t, th.Mono)
			for name, ink := range inks(th) {
				painted := ink.Render("102")
				assert.Empty(t, ink.Render(""), name)
				if painted == "102" {
					own := []string{"Text", "Field"}
					if profile == termenv.ANSI {
						own = append(own, "Quiet", "Rule", "Good")
					}
					assert.Contains(t, own, name, "only these use the terminal's own look")
					continue
				}
				assert.True(t, strings.HasSuffix(painted, "102\x1b[0m"), "%s %q", name, painted)
			}
		}
	}
}

func TestInkIsWhatLipglossWouldPaint(t *testing.T) {
	r := renderer(termenv.TrueColor)
	p := darkPalette()
	style := r.NewStyle().Bold(true).
		Foreground(lipgloss.CompleteColor(p.overdue.fg)).Background(lipgloss.CompleteColor(p.overdue.bg))
	assert.Equal(t, style.Render("▲+10  102"), New(r, Dark).Overdue.Render("▲+10  102"))
}

func TestSixteenColoursStaySixteen(t *testing.T) {
	th := New(renderer(termenv.ANSI), Dark)
	for name, ink := range inks(th) {
		assert.NotContains(t, ink.open, "38;", name)
		assert.NotContains(t, ink.open, "48;", name)
	}
}

// The two that must never be taken for one another differ by more than a hue:
// one is a block, the other is not.
func TestOverdueIsABlockAndHeldIsNot(t *testing.T) {
	for _, p := range []palette{darkPalette(), lightPalette()} {
		assert.NotEqual(t, shade{}, p.overdue.bg)
		assert.Equal(t, shade{}, p.held.bg)
	}
}

func TestMode(t *testing.T) {
	assert.Equal(t, Light, Dark.Other())
	assert.Equal(t, Dark, Light.Other())
	assert.Equal(t, Dark, New(renderer(termenv.ANSI), "").Mode, "no setting means dark")
	assert.Equal(t, Light, New(renderer(termenv.ANSI), Light).Mode)
}

func BenchmarkInk(b *testing.B) {
	th := New(renderer(termenv.TrueColor), Dark)
	b.ReportAllocs()
	for b.Loop() {
		th.Overdue.Render("▲+10  102  test")
	}
}

func BenchmarkLipgloss(b *testing.B) {
	style := renderer(termenv.TrueColor).NewStyle().Bold(true).
		Foreground(lipgloss.Color("#000000")).Background(lipgloss.Color("#D55E00"))
	b.ReportAllocs()
	for b.Loop() {
		style.Render("▲+10  102  test")
	}
}

// A line that leaves its ground to the terminal has the theme's own when it is
// painted, and the colours in it stay.
func TestGroundPaintsWhatALineLeaves(t *testing.T) {
	r := renderer(termenv.TrueColor)
	dark := New(r, Dark)
	light := dark.Other()
	assert.Equal(t, Light, light.Mode)
	assert.Equal(t, New(r, Dark).Overdue, light.Other().Overdue)
	line := "a " + light.Held.Render("b") + " c"
	got := light.Ground(line)
	open := light.ground.open
	assert.Equal(t, open+"a "+light.Held.open+"b\x1b[0m"+open+" c\x1b[0m", got)
	plain := New(renderer(termenv.Ascii), Light)
	assert.Equal(t, "a b c", plain.Ground("a b c"))
}
