package widget_test

import (
	"errors"
	"strconv"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"cellar.example/mustwatch/tui/intent"
	"cellar.example/mustwatch/tui/tuitest"
	"cellar.example/mustwatch/tui/widget"
)

func figure(s string) error {
	if _, err := strconv.ParseFloat(s, 64); err != nil {
		return errors.New(`"` + s + `" is not a figure`)
	}
	return nil
}

func doseForm() *widget.Form {
	return widget.NewForm("Dose into 104",
		widget.Field{Name: "rate", Label: "Rate", Unit: "g/hL", Kind: widget.Figure, Value: "2.0",
			Origin: "from the card", Validate: figure},
		widget.Field{Name: "lot", Label: "Lot", Kind: widget.Code},
		widget.Field{Name: "note", Label: "Note", Optional: true},
	)
}

var haze = []widget.Choice{
	{Key: 'c', Label: "clear", Value: "clear"},
	{Key: 's', Label: "small flocs", Value: "small"},
	{Key: 'l', Label: "large flocs", Value: "large"},
}

func checkForm() *widget.Form {
	return widget.NewForm("Test 602",
		widget.Field{Name: "sample", Label: "Sample", Choices: haze},
		widget.Field{Name: "control", Label: "Control", Choices: haze},
		widget.Field{Name: "next", Label: "Next look", Kind: widget.Figure, Optional: true},
	)
}

func TestFormGoesFromFieldToField(t *testing.T) {
	f := doseForm()
	for _, step := range []struct{ keys, at string }{
		{"", "rate"}, {"<tab>", "lot"}, {"<down>", "note"}, {"<tab>", "rate"},
		{"<shift+tab>", "note"}, {"<up>", "lot"}, {"x", "lot"}, {"<left><right><home><end>", "lot"},
	} {
		press(t, f, step.keys)
		assert.Equal(t, step.at, f.Focused(), "after %q", step.keys)
	}
}

func TestFormHandsInFromAnyField(t *testing.T) {
	f := doseForm()
	assert.Equal(t, intent.Submit{}, press(t, f, "1.5<tab>e-2204<enter>"))
	assert.Equal(t, map[string]string{"rate": "1.5", "lot": "E-2204", "note": ""}, f.Values())
	assert.Equal(t, "E-2204", f.Value("lot"))
	assert.Empty(t, f.Value("no such field"))
}

func TestFormAsksForWhatIsMissing(t *testing.T) {
	f := doseForm()
	assert.Nil(t, press(t, f, "<enter>"), "the proposal is fine, the lot is missing")
	assert.Equal(t, "lot", f.Focused())
	assert.NotContains(t, view(t, f, 60, 8), "! needed: type it", "it was not reached before")
	assert.Equal(t, "save", f.Keys()[0].Short)
	assert.Nil(t, press(t, f, "<enter>"))
	assert.Contains(t, view(t, f, 60, 8), "! needed: type it")
	press(t, f, "e")
	assert.NotContains(t, view(t, f, 60, 8), "! needed: type it", "typing answers it")
	assert.Equal(t, intent.Submit{}, press(t, f, "<enter>"))
}

func TestFormShowsWhatIsWrongAtTheField(t *testing.T) {
	f := doseForm()
	press(t, f, "1.x")
	assert.NotContains(t, view(t, f, 60, 8), "not a figure", "nobody is corrected in mid-word")
	press(t, f, "<tab>")
	assert.Equal(t, "lot", f.Focused(), "a wrong field holds nobody back")
	assert.Contains(t, view(t, f, 60, 8), `! "1.x" is not a figure`)
	assert.Nil(t, press(t, f, "e<enter>"))
	assert.Equal(t, "rate", f.Focused(), "but it is not handed in")
	press(t, f, "<backspace>")
	assert.NotContains(t, view(t, f, 60, 8), "not a figure")
	assert.Equal(t, intent.Submit{}, press(t, f, "<enter>"))
}

func TestFormFailMovesToTheField(t *testing.T) {
	f := doseForm()
	press(t, f, "<tab>e-1<tab>")
	f.Fail("lot", "E-1 is not in the store\n")
	assert.Equal(t, "lot", f.Focused())
	assert.Contains(t, view(t, f, 60, 8), "! E-1 is not in the store")
	f.Fail("volume", "the journal is busy")
	assert.Contains(t, view(t, f, 60, 8), "! the journal is busy", "a refusal without a field is not lost")
}

func TestProposalIsReplacedByTyping(t *testing.T) {
	tests := []struct{ name, keys, want string }{
		{"untouched", "", "2.0"},
		{"typed over", "1.5", "1.5"},
		{"edited", "<backspace>5", "2.5"},
		{"edited after a step", "<home>1", "12.0"},
		{"left and come back", "<tab><shift+tab>3", "3"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			f := doseForm()
			press(t, f, tt.keys)
			assert.Equal(t, tt.want, f.Value("rate"))
		})
	}
}

func TestProposalIsMarkedUntilTouched(t *testing.T) {
	f := doseForm()
	assert.Contains(t, view(t, f, 60, 8), "(from the card)")
	press(t, f, "<backspace>")
	assert.NotContains(t, view(t, f, 60, 8), "(from the card)")
}

func TestProposeNeverOverwritesAHand(t *testing.T) {
	f := doseForm()
	f.Propose("rate", "1.6", "stronger lot")
	assert.Equal(t, "1.6", f.Value("rate"))
	press(t, f, "1.5")
	f.Propose("rate", "9", "")
	assert.Equal(t, "1.5", f.Value("rate"))
	f.Propose("no such field", "9", "")
}

func TestDraftSurvivesLeaving(t *testing.T) {
	f := doseForm()
	assert.Empty(t, f.Draft(), "a proposal is nothing to lose")
	assert.Equal(t, intent.Back{}, press(t, f, "<tab>e-22<esc>"))
	draft := f.Draft()
	assert.Equal(t, map[string]string{"lot": "E-22"}, draft)

	draft["gone"] = "x"
	again := doseForm()
	again.Restore(draft)
	assert.Equal(t, map[string]string{"rate": "2.0", "lot": "E-22", "note": ""}, again.Values())
	press(t, again, "<tab>04")
	assert.Equal(t, "E-2204", again.Value("lot"), "a restored value is gone on with")
}

func TestAFieldAndAFormAreEmptied(t *testing.T) {
	f := doseForm()
	press(t, f, "1.6<tab>e-22<tab>two words<ctrl+w>")
	assert.Equal(t, map[string]string{"rate": "1.6", "lot": "E-22", "note": "two"}, f.Values())
	press(t, f, "<ctrl+u>")
	assert.Equal(t, map[string]string{"rate": "1.6", "lot": "E-22", "note": ""}, f.Values(), "first the field")
	press(t, f, "<ctrl+u>")
	assert.Equal(t, map[string]string{"rate": "2.0", "lot": "", "note": ""}, f.Values(),
		"then all that was typed: the proposal stands again")
	assert.Empty(t, f.Draft())
	assert.Equal(t, "rate", f.Focused())

	c := checkForm()
	press(t, c, "c<shift+tab><ctrl+u>")
	assert.Equal(t, "", c.Value("sample"), "a picker too")
}

func TestPickerTakesOneKey(t *testing.T) {
	f := checkForm()
	assert.Equal(t, intent.Submit{}, press(t, f, "ss22:30<enter>"))
	assert.Equal(t, map[string]string{"sample": "small", "control": "small", "next": "22:30"}, f.Values())
	assert.Equal(t, 8, tuitest.Strokes(t, "ss22:30<enter>"))
}

func TestPickerInOneBurst(t *testing.T) {
	f := checkForm()
	_, handled := f.Update(tuitest.Burst("sl22:30"))
	assert.True(t, handled)
	assert.Equal(t, map[string]string{"sample": "small", "control": "large", "next": "22:30"}, f.Values())
}

func TestPicker(t *testing.T) {
	tests := []struct{ name, keys, want, at string }{
		{"capital letter", "S", "small", "sample"},
		{"arrow from nothing", "<right>", "clear", "sample"},
		{"arrow back from nothing", "<left>", "large", "sample"},
		{"arrows go round", "<right><right><right><right>", "clear", "sample"},
		{"erased", "s<backspace>", "", "sample"}, {"another key", "sl", "small", "control"}, {"a word", "small flocs",
			"small", "sample"}, {"half a word", "sm<tab>", "small", "control"},
		{"no such choice", "z", "", "sample"},
		{"space is no choice", " ", "", "sample"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			f := checkForm()
			press(t, f, tt.keys)
			assert.Equal(t, tt.want, f.Value("sample"))
			assert.Equal(t, tt.at, f.Focused())
		})
	}
	f := checkForm()
	press(t, f, "z")
	assert.Contains(t, view(t, f, 60, 8), `! nothing here is called "z"`)
	f.Update(tuitest.Paste("s"))
	assert.Empty(t, f.Value("sample"), "a paste picks nothing")
	assert.Nil(t, press(t, f, "<backspace>s<enter><enter>"))
	assert.Contains(t, view(t, f, 60, 8), "! needed: pick one")

	last := widget.NewForm("x", widget.Field{Name: "a", Label: "a", Choices: haze})
	press(t, last, "s")
	assert.Equal(t, intent.Submit{}, press(t, last, "<enter>"), "the last picker keeps the focus")
}

func TestChooseByIntent(t *testing.T) {
	f := checkForm()
	_, handled := f.Handle(intent.Choose{N: 9})
	assert.False(t, handled)
	_, handled = f.Handle(intent.Choose{N: 2})
	assert.True(t, handled)
	assert.Equal(t, "large", f.Value("sample"))
	_, handled = f.Handle(intent.Quit{})
	assert.False(t, handled)
	f.Focus("next")
	_, handled = f.Handle(intent.Move{DX: 1})
	assert.False(t, handled, "a text field has no choices to step through")
}

func TestKeysThatMeanNothingComeBack(t *testing.T) {
	for _, f := range []*widget.Form{doseForm(), checkForm()} {
		for _, msg := range []tea.KeyMsg{
			{Type: tea.KeyCtrlC}, {Type: tea.KeyF2}, {Type: tea.KeyCtrlV}, {Type: tea.KeyPgDown},
			{Type: tea.KeyRunes, Runes: []rune{'s'}, Alt: true},
		} {
			up, handled := f.Update(msg)
			assert.Nil(t, up)
			assert.False(t, handled, "%s", msg)
		}
		assert.Empty(t, f.Draft())
	}
}

func TestTypedTextIsCleaned(t *testing.T) {
	f := doseForm()
	f.Focus("note")
	f.Update(tuitest.Paste("rinse\ttwice\r\n\x1b[31mplease\a\u202e"))
	assert.Equal(t, "rinse twice please", f.Value("note"))
	f.Focus("lot")
	f.Update(tuitest.Paste(strings.Repeat("e-", 400)))
	assert.Equal(t, strings.Repeat("E-", 8), f.Value("lot"), "cut to its limit")
	f.Focus("rate")
	f.Update(tuitest.Burst("left"))
	assert.Equal(t, "left", f.Value("rate"), "a word is not the key it names")
	f.Update(tuitest.Paste("\x00\x01"))
	assert.Equal(t, "left", f.Value("rate"))
}

// TestNothingAppearsOrVanishesUnderTheHand: what is not needed is dim, is skipped, and
// is not handed in; only what the first picker chooses to do has other fields.
func TestNothingAppearsOrVanishesUnderTheHand(t *testing.T) {
	form := func() *widget.Form {
		return widget.NewForm("Rack 101",
			widget.Field{Name: "how", Label: "How", Choices: []widget.Choice{{Key: 'p', Label: "pump", Value: "pump"},
				{Key: 'g', Label: "gravity", Value: "gravity"}}},
			widget.Field{Name: "pump", Label: "Pump", Kind: widget.Code,
				When: func(v map[string]string) bool { return v["how"] == "pump" }},
			widget.Field{Name: "slope", Label: "Slope", Kind: widget.Code, Optional: true,
				Part: func(v map[string]string) bool { return v["how"] == "gravity" }},
			widget.Field{Name: "to", Label: "To", Kind: widget.Code},
		)
	}
	f := form()
	assert.Contains(t, view(t, f, 60, 8), "\n  Pump -\n  To   __________\n")
	assert.NotContains(t, f.Values(), "pump")
	press(t, f, "p")
	assert.Contains(t, view(t, f, 60, 8), "\n  Pump __________\n  To   __________\n", "nothing has moved")
	press(t, f, "<tab>a1<up><backspace>g<tab>")
	assert.Equal(t, "slope", f.Focused(), "what is not needed is skipped")
	assert.Contains(t, view(t, f, 60, 8), "\n  Pump  -\n> Slope")
	assert.NotContains(t, f.Values(), "pump", "nor handed in, though it was typed")
	f.Focus("pump")
	assert.Equal(t, "slope", f.Focused(), "nor moved to")
	assert.Equal(t, intent.Submit{}, press(t, f, "<tab>203<enter>"), "nor asked for")
	press(t, f, "<up><up><backspace>p")
	assert.NotContains(t, view(t, f, 60, 8), "Slope")
	assert.Equal(t, "A1", f.Value("pump"), "and is not lost")
}

// Whatever is pressed in whatever order, a form stays whole: a field is in
// focus, values fit their limits, the frame fits its box.
func TestFormStaysWhole(t *testing.T) {
	pressed := rapid.SliceOf(rapid.OneOf(
		rapid.Map(rapid.String(), tuitest.Paste),
		rapid.Map(rapid.Rune(), func(r rune) tea.KeyMsg { return tuitest.Burst(string(r)) }),
		rapid.Map(rapid.SampledFrom([]tea.KeyType{
			tea.KeyTab, tea.KeyShiftTab, tea.KeyUp, tea.KeyDown, tea.KeyLeft, tea.KeyRight, tea.KeyHome,
			tea.KeyEnd, tea.KeyBackspace, tea.KeyDelete, tea.KeyEnter, tea.KeyCtrlU,
		}), func(k tea.KeyType) tea.KeyMsg { return tea.KeyMsg{Type: k} }),
	))
	rapid.Check(t, func(r *rapid.T) {
		f := longForm()
		for _, msg := range pressed.Draw(r, "keys") {
			f.Update(msg)
		}
		w, h := rapid.IntRange(1, 100).Draw(r, "w"), rapid.IntRange(1, 30).Draw(r, "h")
		drawn(t, f.View(plain(), box(w, h)), box(w, h))
		drawn(t, f.View(coloured(), box(w, h)), box(w, h))
		require.Contains(r, f.Values(), f.Focused())
		for name, v := range f.Values() {
			require.LessOrEqual(r, len([]rune(v)), 200, name)
		}
	})
}
