package wall

import (
	"io"
	"strings"
	"testing"

	"github.com/charmbracelet/lipgloss"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"cellar.example/mustwatch/tui/cell"
	"cellar.example/mustwatch/tui/layout"
	"cellar.example/mustwatch/tui/theme"
)

func inked(p termenv.Profile) theme.Theme {
	r := lipgloss.NewRenderer(io.Discard)
	r.SetColorProfile(p)
	return theme.New(r, theme.Dark)
}

const needed = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ+-:./×▲? mhd"

// Every sign that numbers, minutes and words need is there, of the height of its
// alphabet, and no two look alike: a 0 that might be an O costs a tank.
func TestAlphabets(t *testing.T) {
	for name, set := range map[string]*alphabet{"low": low, "high": high} {
		seen := map[string]rune{}
		for _, r := range needed {
			shape, ok := set.signs[r]
			require.True(t, ok, "%s lacks %q", name, r)
			require.Len(t, shape, set.high, "%s %q", name, r)
			for _, line := range shape {
				require.Len(t, line, len(shape[0]), "%s %q", name, r)
				require.Empty(t, strings.Trim(line, "#."), "%s %q", name, r)
			}
			key := strings.Join(shape, "/")
			require.NotContains(t, seen, key, "%s: %q looks like %q", name, r, seen[key])
			seen[key] = r
			if r >= '0' && r <= '9' {
				require.Len(t, shape[0], len(set.sign('0')[0]), "figures have one width")
			}
		}
		require.Len(t, set.signs, len([]rune(needed)))
	}
}

// Figures that are taken for one another most easily differ in at least two
// dots, in both alphabets, and stay apart in plain ASCII.
func TestFiguresAreTold(t *testing.T) {
	for _, z := range sizes {
		for _, pair := range []string{"08", "0O", "17", "1I", "38", "39", "49", "56", "58", "68", "69", "89", "0D",
			"2Z", "5S", "8B", "hH", "d0", "d6", "dO", "mM", "mN"} {
			a, b := drawn(z, pair[:1]), drawn(z, pair[1:])
			assert.NotEqual(t, cell.Plain(a), cell.Plain(b), "%s at %d dots", pair, z.dots())
		}
	}
}

// drawn is one text in figures and nothing else.
func drawn(z size, text string) string {
	c := newCanvas(layout.Box{W: z.width(text), H: z.rows()})
	c.figures(0, 0, z, text, asText)
	return strings.Join(c.lines(inked(termenv.Ascii), false), "\n")
}

func TestFigures(t *testing.T) {
	assert.Equal(t, strings.Join([]string{
		"█▀█ ▀▀█ ▄ ▄█  █▀█",
		"█ █ █▀▀ ▄  █  █ █",
		"▀▀▀ ▀▀▀   ▀▀▀ ▀▀▀",
	}, "\n"), drawn(size{set: low, times: 1}, "02:10"))
	assert.Equal(t, strings.Join([]string{
		"█▀▀▀▄ █  █",
		"█▄▄▄▀ █▄▄█",
		"█        █",
		"▀        ▀",
	}, "\n"), drawn(size{set: high, times: 1}, "P4"))
	assert.Equal(t, strings.Join([]string{
		"██████",
		"    ██",
		"██████",
		"██    ",
		"██████",
	}, "\n"), drawn(size{set: low, times: 2}, "2"), "an even size has edges on whole rows")
}

func TestSpell(t *testing.T) {
	assert.Equal(t, "P2", spell("p2"))
	assert.Equal(t, "CUVE E", spell("cuvé é"))
	assert.Equal(t, "FASAN", spell("faßan"))
	assert.Equal(t, "▲+12×", spell("▲+12×"))
	assert.Equal(t, "102", spell("1\x1b[31m02"))
}

// In a reversed row the figures are left out of full cells where there is no
// colour, and words stay words.
func TestReversedRows(t *testing.T) {
	c := newCanvas(layout.Box{W: 12, H: 3})
	c.figures(1, 0, size{set: low, times: 1}, "1", asStrong)
	c.text(6, 1, 4, "a b", asText)
	c.reverse(0, 3)
	assert.Equal(t, []string{
		"█▀ █████████",
		"██ ██ a b ██",
		"█▄▄▄████████",
	}, c.lines(inked(termenv.Ascii), false))
	steady := c.lines(inked(termenv.Ascii), true)
	assert.Equal(t, []string{
		" ▄█         ",
		"  █   a b   ",
		" ▀▀▀        ",
	}, steady, "turned round once more")
	for _, line := range c.lines(inked(termenv.TrueColor), false) {
		assert.Contains(t, line, "\x1b[1;38;2;0;0;0;48;2;", "an alarm is a block of its own colour")
	}
}

// Whatever is drawn and written wherever, a canvas is its box.
func TestCanvasIsItsBox(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		box := layout.Box{W: rapid.IntRange(1, 40).Draw(t, "w"), H: rapid.IntRange(1, 12).Draw(t, "h")}
		c := newCanvas(box)
		for range rapid.IntRange(1, 5).Draw(t, "n") {
			x, y := rapid.IntRange(-5, 45).Draw(t, "x"), rapid.IntRange(-5, 30).Draw(t, "y")
			c.figures(x, y, rapid.SampledFrom(sizes).Draw(t, "size"), spell(rapid.String().Draw(t, "figures")),
				paint(rapid.IntRange(0, int(paints)-1).Draw(t, "paint")))
			c.text(x, y, rapid.IntRange(-2, 50).Draw(t, "room"), rapid.String().Draw(t, "text"), asDemo)
			c.reverse(y, x)
		}
		for _, p := range []termenv.Profile{termenv.Ascii, termenv.ANSI, termenv.TrueColor} {
			for _, flash := range []bool{false, true} {
				if err := layout.Check(strings.Join(c.lines(inked(p), flash), "\n"), box); err != nil {
					t.Fatal(err)
				}
			}
		}
	})
}
