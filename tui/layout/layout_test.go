package layout

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"cellar.example/mustwatch/tui/cell"
)

func TestFrame(t *testing.T) {
	assert.Equal(t, "ab  \nabc…\n    ", Frame([]string{"ab", "abcde"}, Box{4, 3}))
	assert.Equal(t, "a", Frame([]string{"a", "b"}, Box{1, 1}))
	assert.Equal(t, "a b ", Frame([]string{"a\nb"}, Box{4, 1}))
	assert.Empty(t, Frame([]string{"a"}, Box{0, 3}))
	assert.Empty(t, Frame([]string{"a"}, Box{3, -1}))
}

func TestFrameAlwaysPassesCheck(t *testing.T) {
	line := rapid.Custom(func(t *rapid.T) string {
		s := cell.Clean(rapid.String().Draw(t, "text"))
		if rapid.Bool().Draw(t, "coloured") {
			return "\x1b[1;31m" + s + "\x1b[0m tail"
		}
		return s
	})
	rapid.Check(t, func(t *rapid.T) {
		lines := rapid.SliceOfN(line, 0, 30).Draw(t, "lines")
		box := Box{W: rapid.IntRange(-1, 120).Draw(t, "w"), H: rapid.IntRange(-1, 40).Draw(t, "h")}
		require.NoError(t, Check(Frame(lines, box), box))
		require.Len(t, Lines(lines, box), max(box.H, 0))
		if box.W > 0 {
			require.Equal(t, Frame(lines, box), strings.Join(Lines(lines, box), "\n"))
		}
	})
}

func TestCheckNamesWhatIsWrong(t *testing.T) {
	tests := []struct{ name, view, says string }{
		{"short", "ab", "1 lines, want 2"},
		{"tall", "abc\nabc\nabc", "3 lines, want 2"},
		{"narrow", "abc\nab", "line 2 has 2 cells, want 3"},
		{"wide", "abcd\nabc", "line 1 has 4 cells, want 3"},
		{"control", "abc\nab\ac", "control character"},
		{"tab", "abc\n\tabc", "control character"},
		{"other sequence", "abc\nabc\x1b[2J", "control character"},
		{"bleeding colour", "abc\n\x1b[31mabc", "still open"},
		{"broken text", "abc\nab\xff", "broken text"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			assert.ErrorContains(t, Check(tt.view, Box{3, 2}), tt.says)
		})
	}
	assert.NoError(t, Check("abc\n\x1b[31mabc\x1b[0m", Box{3, 2}))
	assert.NoError(t, Check("abc\n\x1b[31mabc\x1b[m", Box{3, 2}))
	assert.NoError(t, Check("", Box{0, 2}))
	assert.Error(t, Check("a", Box{0, 2}))
}

func TestBesideAndStack(t *testing.T) {
	assert.Equal(t, []string{"a   x ", "b     ", "abc…  "}, Beside([]string{"a", "b", "abcde"}, []string{"x"}, 4, 2))
	assert.Equal(t, []string{"    yy"}, Beside(nil, []string{"yyy"[:2]}, 4, 2))
	assert.Equal(t, []string{"a", "b", "c"}, Stack([]string{"a"}, nil, []string{"b", "c"}))
}

func TestWindow(t *testing.T) {
	tests := []struct {
		name                         string
		n, cursor, height, top, want int
	}{
		{name: "all fits", n: 5, cursor: 4, height: 10, top: 3},
		{name: "inside: nothing moves", n: 50, cursor: 12, height: 10, top: 8, want: 8},
		{name: "below: one row", n: 50, cursor: 18, height: 10, top: 8, want: 9},
		{name: "above: one row", n: 50, cursor: 7, height: 10, top: 8, want: 7},
		{name: "jump to the end", n: 50, cursor: 49, height: 10, want: 40},
		{name: "list has shrunk", n: 12, cursor: 11, height: 10, top: 40, want: 2},
		{name: "cursor out of range", n: 12, cursor: 99, height: 10, want: 2},
		{name: "no height", n: 12, cursor: 5, top: 4},
		{name: "empty", height: 10, top: 4},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			assert.Equal(t, tt.want, Window(tt.n, tt.cursor, tt.height, tt.top))
		})
	}
	rapid.Check(t, func(t *rapid.T) {
		n, height := rapid.IntRange(1, 99).Draw(t, "n"), rapid.IntRange(1, 99).Draw(t, "height")
		cursor := rapid.IntRange(0, n-1).Draw(t, "cursor")
		top := Window(n, cursor, height, rapid.IntRange(-9, 120).Draw(t, "top"))
		require.LessOrEqual(t, top, cursor)
		require.Less(t, cursor, top+height)
		require.Equal(t, top, Window(n, cursor, height, top), "it settles at once")
	})
}

func BenchmarkFrame(b *testing.B) {
	lines := make([]string, 40)
	for i := range lines {
		lines[i] = "\x1b[1m> 102\x1b[0m   Muscat            192.0 hL 77 %   15.2 °C 25 min old   TEST +10   │ NO " +
			"TANK YET"
	}
	b.ReportAllocs()
	for b.Loop() {
		Frame(lines, Box{120, 40})
	}
}
