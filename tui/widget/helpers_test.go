package widget_test

import (
	"io"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/lipgloss"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/tui/intent"
	"cellar.example/mustwatch/tui/layout"
	"cellar.example/mustwatch/tui/theme"
	"cellar.example/mustwatch/tui/tuitest"
)

func themed(p termenv.Profile, mode theme.Mode) theme.Theme {
	r := lipgloss.NewRenderer(io.Discard)
	r.SetColorProfile(p)
	return theme.New(r, mode)
}

func plain() theme.Theme { return themed(termenv.Ascii, theme.Dark) }

func coloured() theme.Theme { return themed(termenv.TrueColor, theme.Dark) }

// typer is a widget that takes keys.
type typer interface {
	Update(tea.KeyMsg) (intent.Intent, bool)
}

// press sends a key script and gives back what came up last.
func press(t *testing.T, w typer, script string) (up intent.Intent) {
	t.Helper()
	for _, msg := range tuitest.Keys(t, script) {
		up, _ = w.Update(msg)
	}
	return up
}

// drawn checks the frame and gives it as lines without trailing blanks.
func drawn(t *testing.T, lines []string, box layout.Box) []string {
	t.Helper()
	require.Len(t, lines, box.H)
	require.NoError(t, layout.Check(strings.Join(lines, "\n"), box))
	return tuitest.Trim(lines)
}
