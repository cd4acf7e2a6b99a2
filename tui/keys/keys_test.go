package keys

import (
	"io"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/lipgloss"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"cellar.example/mustwatch/tui/cell"
	"cellar.example/mustwatch/tui/intent"
	"cellar.example/mustwatch/tui/theme"
)

func plain() theme.Theme {
	r := lipgloss.NewRenderer(io.Discard)
	r.SetColorProfile(termenv.Ascii)
	return theme.New(r, theme.Dark)
}

func coloured() theme.Theme {
	r := lipgloss.NewRenderer(io.Discard)
	r.SetColorProfile(termenv.TrueColor)
	return theme.New(r, theme.Dark)
}

func runes(s string) tea.KeyMsg { return tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(s)} }

// entries are the keys decided for the board, as one of the tables Common has
// to live beside.
func entries(off func() string) Table {
	form := func(key, short string, f intent.Form) Binding {
		return Binding{Keys: []string{key}, Short: short, Help: "write a " + short, Group: GroupEntries,
			Intent: intent.OpenForm{Form: f}}
	}
	reading := form("r", "reading", intent.FormReading)
	reading.Off = off
	return Table{
		form("d", "dose", intent.FormDose), reading, form("c", "check", intent.FormCheck),
		form("m", "move", intent.FormMove), form("s", "stage", intent.FormStage), form("g", "grapes", intent.FormLoad),
		form("p", "press", intent.FormPress), form("f", "flow", intent.FormJuice), form("n", "note", intent.FormNote),
		form("o", "hold", intent.FormHold), form("t", "clock", intent.FormClock), form("x", "correct",
			intent.FormCorrect),
		form("u", "tubs", intent.FormProduct), form("e", "shift", intent.FormShift),
		{Keys: []string{"a"}, Help: "seen by me", Group: GroupLooking, Intent: intent.Seen{}},
		{Keys: []string{"space"}, Help: "open what the alarm line names", Group: GroupLooking,
			Intent: intent.AnswerAlarm{}},
		{Keys: []string{"tab"}, Help: "other pane", Group: GroupMoving, Intent: intent.TogglePane{}},
		{Keys: []string{"v"}, Help: "quiet vessels", Group: GroupLooking, Intent: intent.ToggleQuiet{}},
		{Keys: []string{"w"}, Help: "why not", Group: GroupLooking, Intent: intent.Why{}},
		{Keys: []string{"i"}, Help: "change change change who is at the keys", Group: GroupProgram,
			Intent: intent.SwitchPerson{}},
		{Keys: []string{"y"}, Help: "handover sheet", Group: GroupLooking, Intent: intent.SheetView{}},
		Numbers(),
	}
}

func TestLookup(t *testing.T) {
	table := append(entries(func() string { return "nothing is in 103" }), Common()...)
	tests := []struct {
		name string
		msg  tea.KeyMsg
		want intent.Intent
		off  string
		ok   bool
	}{
		{name: "letter", msg: runes("d"), want: intent.OpenForm{Form: intent.FormDose}, ok: true},
		{name: "off says why", msg: runes("r"), off: "nothing is in 103", ok: true},
		{name: "arrow", msg: tea.KeyMsg{Type: tea.KeyUp}, want: intent.Move{DY: -1}, ok: true},
		{name: "letter for an arrow", msg: runes("k"), want: intent.Move{DY: -1}, ok: true},
		{name: "space", msg: tea.KeyMsg{Type: tea.KeySpace, Runes: []rune{' '}}, want: intent.AnswerAlarm{}, ok: true},
		{name: "space as a rune", msg: runes(" "), want: intent.AnswerAlarm{}, ok: true},
		{name: "figure of a number", msg: runes("4"), want: intent.Number{Digit: '4'}, ok: true},
		{name: "letter of a number", msg: runes("K"), want: intent.Number{Digit: 'K'}, ok: true},
		{name: "ctrl+c", msg: tea.KeyMsg{Type: tea.KeyCtrlC}, want: intent.Quit{}, ok: true},
		{name: "unknown", msg: runes("z")},
		{name: "pasted", msg: tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune("q"), Paste: true}},
		{name: "with alt", msg: tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune("q"), Alt: true}},
		{name: "alt and arrow", msg: tea.KeyMsg{Type: tea.KeyUp, Alt: true}},
		{name: "several at once", msg: runes("dd")},
		{name: "no rune at all", msg: tea.KeyMsg{Type: tea.KeyRunes}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			in, off, ok := table.Lookup(tt.msg)
			assert.Equal(t, tt.want, in)
			assert.Equal(t, tt.off, off)
			assert.Equal(t, tt.ok, ok)
		})
	}
}

func TestSplit(t *testing.T) {
	assert.Equal(t, []tea.KeyMsg{runes("j"), runes("j"), runes("d")}, Split(runes("jjd")))
	assert.Equal(t, []tea.KeyMsg{runes("é"), {Type: tea.KeySpace, Runes: []rune{' '}}, runes("b")}, Split(runes("é b")))
	paste := tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune("qqq"), Paste: true}
	assert.Equal(t, []tea.KeyMsg{paste}, Split(paste))
	enter := tea.KeyMsg{Type: tea.KeyEnter}
	assert.Equal(t, []tea.KeyMsg{enter}, Split(enter))
	assert.Equal(t, []tea.KeyMsg{runes("d")}, Split(runes("d")))
}

func TestSplitLosesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := rapid.SliceOfN(rapid.Rune(), 1, 20).Draw(t, "runes")
		var out []rune
		for _, msg := range Split(tea.KeyMsg{Type: tea.KeyRunes, Runes: in}) {
			require.Len(t, msg.Runes, 1)
			require.NotEmpty(t, Name(msg))
			out = append(out, msg.Runes...)
		}
		require.Equal(t, in, out)
	})
}

func TestCollisions(t *testing.T) {
	assert.Empty(t, Collisions(entries(nil), Common()))
	doubled := Table{{Keys: []string{"j"}, Help: "juice", Intent: intent.OpenForm{Form: intent.FormJuice}}}
	assert.Equal(t, []string{`j: "down" and "juice"`}, Collisions(Common(), doubled))
	assert.Empty(t, Collisions(Common(), Common()), "twice the same is no collision")
}

func TestNoChordsAndNoFunctionKeys(t *testing.T) {
	for _, b := range append(entries(nil), Common()...) {
		for _, k := range b.Keys {
			if k == "ctrl+c" || k == "ctrl+z" { // what every terminal has; q is the documented way out
				continue
			}
			assert.NotContains(t, k, "+", b.Help)
			assert.NotRegexp(t, `^f\d`, k, b.Help)
		}
		assert.NotEmpty(t, b.Help)
		assert.NotEmpty(t, b.Group)
		assert.NotNil(t, b.Intent)
	}
}

func TestFooter(t *testing.T) {
	off := func() string { return "nothing is in 103" }
	table := append(entries(nil), Common()...)
	assert.Equal(t, "d dose  r reading  c check  m move  ? all keys", strings.TrimRight(Footer(table, 48, plain()),
		" "))
	assert.Equal(t, "d dose  c check  m move  s stage  ? all keys",
		strings.TrimRight(Footer(append(entries(off), Common()...), 48, plain()), " "))
	assert.Equal(t, "? all keys          ", Footer(Common()[11:], 20, plain()))
	assert.Equal(t, "     ", Footer(nil, 5, plain()))
	for _, th := range []theme.Theme{plain(), coloured()} {
		for w := range 160 {
			assert.Equal(t, w, cell.Width(Footer(table, w, th)), "width %d", w)
		}
	}
}

func TestSheet(t *testing.T) {
	table := Table{
		{Keys: []string{"d"}, Help: "save a dose", Group: GroupEntries, Intent: intent.OpenForm{Form: intent.FormDose}},
		{Keys: []string{"up", "k"}, Help: "up", Group: GroupMoving, Intent: intent.Move{DY: -1}},
		{
			Keys: []string{"m"}, Help: "save a move", Group: GroupEntries,
			Intent: intent.OpenForm{Form: intent.FormMove},
			Off:    func() string { return "103 is empty" },
		},
	}
	got := Sheet(50, plain(), table)
	for i := range got {
		assert.Equal(t, 50, cell.Width(got[i]))
		got[i] = strings.TrimRight(got[i], " ")
	}
	assert.Equal(t, []string{
		"Entries",
		"  d     save a dose",
		"  m     save a move  not now: 103 is empty",
		"",
		"Moving",
		"  up k  up",
	}, got)
	for w := range 60 {
		for _, line := range Sheet(w, coloured(), table, Common()) {
			assert.Equal(t, w, cell.Width(line))
		}
	}
}
