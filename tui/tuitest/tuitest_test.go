package tuitest

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func rune1(r rune) tea.KeyMsg { return tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{r}} }

func TestKeys(t *testing.T) {
	space := tea.KeyMsg{Type: tea.KeySpace, Runes: []rune{' '}}
	tests := []struct {
		script string
		want   []tea.KeyMsg
	}{
		{"", nil},
		{"d1", []tea.KeyMsg{rune1('d'), rune1('1')}},
		{"é", []tea.KeyMsg{rune1('é')}},
		{"1\t2\n", []tea.KeyMsg{rune1('1'), {Type: tea.KeyTab}, rune1('2'), {Type: tea.KeyEnter}}},
		{"<enter><esc><shift+tab><up>", []tea.KeyMsg{{Type: tea.KeyEnter}, {Type: tea.KeyEsc}, {Type: tea.KeyShiftTab},
			{Type: tea.KeyUp}}},
		{"a <space>b", []tea.KeyMsg{rune1('a'), space, space, rune1('b')}},
		{"<lt>>", []tea.KeyMsg{rune1('<'), rune1('>')}},
	}
	for _, tt := range tests {
		t.Run(tt.script, func(t *testing.T) {
			assert.Equal(t, tt.want, Keys(t, tt.script))
			assert.Equal(t, len(tt.want), Strokes(t, tt.script))
		})
	}
	assert.Equal(t, 9, Strokes(t, "104d\t1.5<enter>"), "three figures, d, Tab, three signs, Enter")
}

func TestKeysSayWhatIsWrong(t *testing.T) {
	for script, says := range map[string]string{
		"a<entr>": "no key is called <entr>",
		"a<enter": "not closed",
		"a\xff":   "not valid text",
	} {
		_, err := ParseKeys(script)
		assert.ErrorContains(t, err, says)
	}
}

func TestNamesAreTheTerminals(t *testing.T) {
	for name, key := range named {
		assert.Equal(t, name, tea.KeyMsg{Type: key}.String())
	}
}

// recorder stands in for a test that is expected to fail.
type recorder struct {
	testing.TB
	said string
}

func (r *recorder) Helper()                   {}
func (r *recorder) Errorf(f string, a ...any) { r.said += fmt.Sprintf(f, a...) }
func (r *recorder) Fatalf(f string, a ...any) { r.Errorf(f, a...); panic(r) }

func TestGolden(t *testing.T) {
	root := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(root, "go.mod"), []byte("module x\n"), 0o644))
	deep := filepath.Join(root, "tui", "screen")
	require.NoError(t, os.MkdirAll(deep, 0o755))
	t.Chdir(deep)

	was := flag.Lookup("update").Value.String()
	t.Cleanup(func() { _ = flag.Set("update", was) })
	require.NoError(t, flag.Set("update", "false"))
	missing := &recorder{TB: t}
	assert.Panics(t, func() { Golden(missing, "board/one", "ab") })
	assert.Contains(t, missing.said, "-update")

	require.NoError(t, flag.Set("update", "true"))
	Golden(t, "board/one", "ab \ncd ")
	require.NoError(t, flag.Set("update", "false"))
	written, err := os.ReadFile(filepath.Join(root, "testdata", "golden", "board", "one.txt"))
	require.NoError(t, err)
	assert.Equal(t, "ab \ncd \n", string(written))

	Golden(t, "board/one", "ab \ncd ")
	changed := &recorder{TB: t}
	Golden(changed, "board/one", "ab \ncx ")
	assert.Contains(t, changed.said, "  2 want |cd |\n    got  |cx |")
}

func TestDiff(t *testing.T) {
	assert.Empty(t, Diff("a\nb", "a\nb"))
	assert.Equal(t, "1 lines, want 2\n  2 want |b|\n    got  |<no such line>|\n", Diff("a\nb", "a"))
	assert.Contains(t, Diff("a", "\x1b[31ma\x1b[0m"), `"\x1b[31ma\x1b[0m"`)
}

func TestStripANSI(t *testing.T) {
	assert.Equal(t, "a é", StripANSI("\x1b[31ma\x1b[0m é"))
	assert.Equal(t, []string{"a", ""}, Trim([]string{"\x1b[31ma\x1b[0m  ", "  "}))
}
