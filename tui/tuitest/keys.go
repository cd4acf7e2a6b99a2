package tuitest

import (
	"fmt"
	"strings"
	"testing"
	"unicode/utf8"

	tea "github.com/charmbracelet/bubbletea"
)

// named are the keys that are written in pointed brackets.
var named = map[string]tea.KeyType{
	"enter": tea.KeyEnter, "esc": tea.KeyEsc, "f1": tea.KeyF1, "tab": tea.KeyTab, "shift+tab": tea.KeyShiftTab,
	"up": tea.KeyUp, "down": tea.KeyDown, "left": tea.KeyLeft, "right": tea.KeyRight,
	"home": tea.KeyHome, "end": tea.KeyEnd, "pgup": tea.KeyPgUp, "pgdown": tea.KeyPgDown,
	"backspace": tea.KeyBackspace, "delete": tea.KeyDelete, "ctrl+c": tea.KeyCtrlC, "ctrl+u": tea.KeyCtrlU,
	"ctrl+w": tea.KeyCtrlW,
}

// Keys reads key presses from a script: every letter is a key, "<enter>" and the
// like are the named ones, "\t" is Tab and "\n" Enter, "<lt>" a pointed bracket.
// It goes by letters, not bytes, so "é" is one key. Each message is one stroke,
// and len of the result is the number of strokes a person makes.
func Keys(t testing.TB, script string) []tea.KeyMsg {
	t.Helper()
	msgs, err := ParseKeys(script)
	if err != nil {
		t.Fatal(err)
	}
	return msgs
}

// Strokes counts the strokes of a script.
func Strokes(t testing.TB, script string) int {
	t.Helper()
	return len(Keys(t, script))
}

// Paste is text that arrives from a terminal's clipboard in one piece.
func Paste(text string) tea.KeyMsg {
	return tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(text), Paste: true}
}

// Burst is typing so fast that the terminal hands it over in one piece.
func Burst(text string) tea.KeyMsg {
	return tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(text)}
}

// ParseKeys is Keys for callers without a test at hand.
func ParseKeys(script string) ([]tea.KeyMsg, error) {
	var out []tea.KeyMsg
	for rest := script; rest != ""; {
		if rest[0] == '<' {
			name, after, closed := strings.Cut(rest[1:], ">")
			if !closed {
				return nil, fmt.Errorf("key script %q: a bracket is not closed; write <lt> for the sign itself", script)
			}
			msg, err := namedKey(name)
			if err != nil {
				return nil, fmt.Errorf("key script %q: %w", script, err)
			}
			out, rest = append(out, msg), after
			continue
		}
		r, size := utf8.DecodeRuneInString(rest)
		if r == utf8.RuneError {
			return nil, fmt.Errorf("key script %q is not valid text", script)
		}
		out, rest = append(out, runeKey(r)), rest[size:]
	}
	return out, nil
}

func namedKey(name string) (tea.KeyMsg, error) {
	switch name {
	case "space":
		return runeKey(' '), nil
	case "lt":
		return runeKey('<'), nil
	}
	if key, ok := named[name]; ok {
		return tea.KeyMsg{Type: key}, nil
	}
	return tea.KeyMsg{}, fmt.Errorf("no key is called <%s>", name)
}

func runeKey(r rune) tea.KeyMsg {
	switch r {
	case '\t':
		return tea.KeyMsg{Type: tea.KeyTab}
	case '\n':
		return tea.KeyMsg{Type: tea.KeyEnter}
	case ' ':
		return tea.KeyMsg{Type: tea.KeySpace, Runes: []rune{' '}}
	default:
		return tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{r}}
	}
}
