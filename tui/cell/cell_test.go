package cell

import (
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"github.com/charmbracelet/x/ansi"
	"github.com/mattn/go-runewidth"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

const red, reset = "\x1b[31m", "\x1b[0m"

func TestWidth(t *testing.T) {
	for text, want := range map[string]int{
		"":                        0,
		"102":                     3,
		"Gewürztraminer":          14,
		"15.2 °C":                 7,
		red + "108" + reset:       3,
		"→ ▲ ×":                   5,
		"\u6885\u6797":            4,
		"e\u0301" /* e, acute */ : 1,
	} {
		assert.Equal(t, want, Width(text), "%q", text)
	}
}

func TestWidthFastPathAgrees(t *testing.T) {
	parts := rapid.OneOf(
		rapid.StringOf(rapid.RuneFrom([]rune("az09 ~-…°é×→▲│█ʼ\u00ad\u0301\u6885\x1b[m;\t"))),
		rapid.SampledFrom([]string{"\x1b[m", "\x1b[1;38;2;1;2;3m", "\x1b[2J", "\x1b[", "\x1b]0;x\a", "\u200d",
			"\ufe0f"}),
		rapid.String(),
	)
	rapid.Check(t, func(t *rapid.T) {
		s := strings.Join(rapid.SliceOf(parts).Draw(t, "s"), "")
		require.Equal(t, ansi.StringWidth(s), Width(s))
	})
}

func TestNarrowLettersAreNarrow(t *testing.T) {
	for r := rune(0x80); r < 0xffff; r++ {
		if narrow(r) {
			require.Equal(t, 1, ansi.StringWidth(string(r)), "%U", r)
		}
	}
}

func TestFit(t *testing.T) {
	tests := []struct {
		name, in        string
		w               int
		fit, left, both string
	}{
		{name: "pads", in: "abc", w: 5, fit: "abc  ", left: "  abc", both: " abc "},
		{name: "exact", in: "abc", w: 3, fit: "abc", left: "abc", both: "abc"},
		{name: "cuts", in: "Sauvignon", w: 5, fit: "Sauv…", left: "Sauv…", both: "Sauv…"},
		{name: "one cell", in: "Sauvignon", w: 1, fit: "…", left: "…", both: "…"},
		{name: "nothing", in: "abc"},
		{name: "negative", in: "abc", w: -3},
		{name: "keeps the closing colour", in: red + "Sauvignon" + reset, w: 5, fit: red + "Sauv…" + reset,
			left: red + "Sauv…" + reset, both: red + "Sauv…" + reset},
		{name: "wide letter at the edge", in: "a\u6885\u6797", w: 4, fit: "a\u6885…", left: "a\u6885…",
			both: "a\u6885…"},
		{name: "wide letter dropped", in: "\u6885\u6797", w: 2, fit: "… ", left: " …", both: "… "},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			assert.Equal(t, tt.fit, Fit(tt.in, tt.w))
			assert.Equal(t, tt.left, FitLeft(tt.in, tt.w))
			assert.Equal(t, tt.both, Center(tt.in, tt.w))
		})
	}
}

func TestFitIsExactForAnyCleanText(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, w := Clean(rapid.String().Draw(t, "s")), rapid.IntRange(0, 300).Draw(t, "w")
		require.Equal(t, w, Width(Fit(s, w)))
		require.Equal(t, w, Width(FitLeft(s, w)))
		require.Equal(t, w, Width(Center(s, w)))
		require.Equal(t, w, Width(Fit(red+s+reset, w)))
	})
}

func TestWrap(t *testing.T) {
	assert.Equal(t, []string{"no dust, no", "spray"}, Wrap("no dust, no spray", 12))
	assert.Equal(t, []string{"abcde", "fgh"}, Wrap("abcdefgh", 5))
	assert.Equal(t, []string{"a", "abcde", "fgh i"}, Wrap("a abcdefgh  i", 5))
	assert.Equal(t, []string{"it had", "20.8 %, then", "0 g"}, Wrap("it had 20.8 %, then 0 g", 12),
		"a figure keeps its unit")
	assert.Equal(t, []string{"gas: CO2", "2900 ppm"}, Wrap("gas: CO2 2900 ppm", 12), "nor do thousands part")
	assert.Equal(t, []string{"it took", "1 h 45, then"}, Wrap("it took 1 h 45, then", 12))
	assert.Equal(t, []string{"it holds", "1 600 US gal"}, Wrap("it holds 1 600 US gal", 12))
	assert.Equal(t, []string{"stopped,", "5.7 of 17.6 t", "in"}, Wrap("stopped, 5.7 of 17.6 t in", 14))
	assert.Equal(t, []string{"into 204 205", "206 207"}, Wrap("into 204 205 206 207", 12), "numbers are no figure")
	assert.Nil(t, Wrap("abc", 0))
	assert.Nil(t, Wrap(" ", 9))
	assert.Nil(t, Wrap("\u6885", 1))
	rapid.Check(t, func(t *rapid.T) {
		s, w := Clean(rapid.String().Draw(t, "s")), rapid.IntRange(2, 40).Draw(t, "w")
		for _, line := range Wrap(s, w) {
			require.LessOrEqual(t, Width(line), w)
		}
	})
}

func TestClean(t *testing.T) {
	tests := []struct{ name, in, want string }{
		{"plain", "rinse twice", "rinse twice"},
		{"space at the end stays", "rinse ", "rinse "},
		{"tab", "a\tb", "a b"},
		{"line ends", "a\r\nb\nc\rd", "a b c d"},
		{"bell", "a\ab", "ab"},
		{"colour", "a\x1b[31mb\x1b[0m", "ab"},
		{"window title", "a\x1b]0;owned\ab", "ab"},
		{"broken bytes", "a\xffb\xc3", "ab"},
		{"replacement sign", "a\uFFFDb", "ab"},
		{"no-break and thin space", "18\u00a0800\u2009kg", "18 800 kg"},
		{"joined accent", "Gewu\u0308rz", "Gewürz"},
		{"lonely accent", "\u0301x", "x"},
		{"stacked accents", "e\u0301\u0301\u0302", "é"},
		{"zero width", "a\u200bb\u200dc\ufeff", "abc"},
		{"direction marks", "a\u202eb\u2066c", "abc"},
		{"emoji with skin tone", "ok \U0001F44D\U0001F3FD", "ok "},
		{"flag", "\U0001F1EB\U0001F1F7", ""},
		{"soft hyphen", "a\u00adb", "ab"},
		{"wide letters stay", "\u6885", "\u6885"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) { assert.Equal(t, tt.want, Clean(tt.in)) })
	}
}

func TestCleanProperties(t *testing.T) {
	anything := rapid.OneOf(
		rapid.String(),
		rapid.Map(rapid.SliceOf(rapid.Byte()), func(b []byte) string { return string(b) }),
		rapid.StringOf(rapid.RuneFrom([]rune("e\u0301\u200d\u1100\u1161\U0001F468\u0e33\u0915\u094d\x1b[31m]0;\a "))),
	)
	rapid.Check(t, func(t *rapid.T) {
		clean := Clean(anything.Draw(t, "s"))
		require.Equal(t, clean, Clean(clean), "a second Clean changes nothing")
		require.True(t, utf8.ValidString(clean))
		sum := 0
		for _, r := range clean {
			require.False(t, unicode.IsControl(r), "%U", r)
			sum += Width(string(r))
		}
		require.Equal(t, sum, Width(clean), "no sign leans on its neighbour")
	})
}

func TestPlain(t *testing.T) {
	for in, want := range map[string]string{
		"▲+10  102  test":        "!+10  102  test",
		"× 209":                  "x 209",
		"a · b":                  "a - b",
		"Gewürztraminer":         "Gewurztraminer",
		"Beñat":                  "Benat",
		"15.2 °C":                "15.2  C",
		"Sauv…":                  "Sauv~",
		"┌─┐│":                   "+-+|",
		"P2 → 103":               "P2 > 103",
		"groß":                   "gros",
		"\u6885":                 "??",
		red + "é" + reset:        red + "e" + reset,
		"18:00 – 06:00":          "18:00 - 06:00",
		"stays the same, 100 % ": "stays the same, 100 % ",
	} {
		assert.Equal(t, want, Plain(in))
	}
}

func TestPlainIsASCIIOfTheSameWidth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := Clean(rapid.String().Draw(t, "s"))
		plain := Plain(s)
		for _, r := range plain {
			require.Less(t, r, rune(utf8.RuneSelf))
		}
		require.Equal(t, Width(s), Width(plain))
	})
}

func TestGlyphs(t *testing.T) {
	seen := map[rune]bool{}
	for _, g := range Glyphs() {
		s := string(g.Rune)
		assert.Equal(t, 1, ansi.StringWidth(s), s)
		assert.True(t, narrow(g.Rune), "%s is on the fast path", s)
		assert.Equal(t, 1, runewidth.RuneWidth(g.Rune), s)
		assert.Equal(t, s, Clean(s), "a glyph survives Clean")
		assert.True(t, Drawable(g.Rune))
		assert.Less(t, g.Plain, byte(0x7f))
		assert.GreaterOrEqual(t, g.Plain, byte(' '))
		assert.False(t, seen[g.Rune], "%s stands twice", s)
		seen[g.Rune] = true
	}
	assert.False(t, Drawable('✓'))
	assert.False(t, Drawable('\t'))
	assert.True(t, Drawable('ü'))
}

func TestBlankAndRepeat(t *testing.T) {
	assert.Empty(t, Blank(-1))
	assert.Equal(t, strings.Repeat(" ", 500), Blank(500))
	assert.Equal(t, "───", Repeat("─", 3))
	assert.Empty(t, Repeat("─", -3))
}

func BenchmarkFit(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		Fit("Gewürztraminer", 20)
	}
}

func TestHangKeepsColumns(t *testing.T) {
	assert.Equal(t, []string{"float          no: one two", "               three"},
		Hang("float          no: one two three", 27, 0))
	assert.Equal(t, []string{"one two", "  three"}, Hang("one two three", 9, 2))
	assert.Equal(t, []string{"short  line"}, Hang("short  line", 20, 0))
}
