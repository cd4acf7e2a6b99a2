package widget_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"cellar.example/mustwatch/tui/intent"
	"cellar.example/mustwatch/tui/layout"
	"cellar.example/mustwatch/tui/widget"
)

// sumForm proposes in its last field what the first two leave of ten.
func sumForm() *widget.Form {
	f := widget.NewForm("sum",
		widget.Field{Name: "a", Label: "a", Kind: widget.Figure, Optional: true},
		widget.Field{Name: "b", Label: "b", Kind: widget.Figure, Optional: true},
		widget.Field{Name: "rest", Label: "rest", Kind: widget.Figure, Optional: true})
	f.Follow = func(v map[string]string) { f.Propose("rest", "of "+v["a"]+v["b"], "") }
	return f
}

func TestProposalsFollow(t *testing.T) {
	f := sumForm()
	press(t, f, "1<tab>2")
	assert.Equal(t, "of 12", f.Value("rest"))
	press(t, f, "<backspace>3")
	assert.Equal(t, "of 13", f.Value("rest"))
	f.Restore(map[string]string{"a": "9"})
	assert.Equal(t, "of 93", f.Value("rest"))
	press(t, f, "<tab>7<shift+tab>4")
	assert.Equal(t, "7", f.Value("rest"), "a calculation never overwrites a hand")
}

func TestProposalsFollowBeforeHandingIn(t *testing.T) {
	f := sumForm()
	asked := 0
	f.Follow = func(map[string]string) { asked++; f.Propose("rest", "now", "") }
	assert.Equal(t, intent.Submit{}, press(t, f, "<enter>"))
	assert.Positive(t, asked)
	assert.Equal(t, "now", f.Value("rest"))
}

func TestFiguresPickByPlace(t *testing.T) {
	f := checkForm()
	press(t, f, "2")
	assert.Equal(t, haze[1].Value, f.Value("sample"))
	lots := widget.NewForm("x", widget.Field{Name: "a", Label: "a", Choices: []widget.Choice{
		{Key: '2', Label: "two", Value: "two"}, {Key: 'n', Label: "new", Value: "new"}}})
	press(t, lots, "1")
	assert.Empty(t, lots.Value("a"), "not where figures are keys already")
	press(t, lots, "2")
	assert.Equal(t, "two", lots.Value("a"))
}

// Figures that were meant for another field do not turn over what a hand has picked;
// its own key does, and so do figures in a place that was only proposed.
func TestFiguresDoNotTurnOverAPick(t *testing.T) {
	f := checkForm()
	press(t, f, "c<tab><shift+tab>2")
	assert.Equal(t, "clear", f.Value("sample"))
	assert.Contains(t, strings.Join(f.View(plain(), layout.Box{W: 80, H: 12}), "\n"), "is picked already")
	press(t, f, "s")
	assert.Equal(t, haze[1].Value, f.Value("sample"))
}

// A word that was refused is not gone on with: the next sign begins again.
func TestARefusedWordIsBegunAnew(t *testing.T) {
	for _, refuse := range []string{"<enter>", "<tab><shift+tab>"} {
		f := checkForm()
		press(t, f, "zebra"+refuse)
		assert.Empty(t, f.Value("sample"))
		assert.Contains(t, strings.Join(f.View(plain(), layout.Box{W: 80, H: 12}), "\n"),
			`nothing here is called "zebra"`)
		press(t, f, "c")
		assert.Equal(t, "clear", f.Value("sample"), refuse)
	}
}

// Tab and Enter leave a field, a pick does not: what is pressed next goes on with the
// word, belongs to the next field, or leaves.
func TestAPickStaysUntilItIsLeft(t *testing.T) {
	fields := func(optional bool) *widget.Form {
		return widget.NewForm("x", widget.Field{Name: "lot", Label: "lot", Choices: haze},
			widget.Field{Name: "rate", Label: "rate", Kind: widget.Figure, Optional: optional},
			widget.Field{Name: "temp", Label: "temp", Optional: true})
	}
	for _, tt := range []struct {
		keys, at string
		optional bool
	}{
		{keys: "s", at: "lot"}, {keys: "s<tab>", at: "rate"}, {keys: "s<tab><tab>", at: "temp"}, {keys: "s<enter>",
			at: "rate"},
		{keys: "s1", at: "rate"}, {keys: "s1<tab>", at: "temp"}, {keys: "s<tab>1<tab>", at: "temp"},
		{keys: "s<shift+tab>", at: "temp"},
		{keys: "s<tab>", at: "rate", optional: true}, {keys: "small flocs", at: "lot"}, {keys: "sm<tab>", at: "rate"},
		{keys: "smx", at: "lot"}, {keys: "sl", at: "lot"},
	} {
		f := fields(tt.optional)
		press(t, f, tt.keys)
		assert.Equal(t, tt.at, f.Focused(), tt.keys)
	}
}

func TestUnitHangsOnAnotherField(t *testing.T) {
	f := widget.NewForm("x", widget.Field{Name: "lot", Label: "lot", Choices: haze},
		widget.Field{Name: "rate", Label: "rate", Kind: widget.Figure, Unit: "never",
			Says: func(v map[string]string) (string, string) { return "per " + v["lot"], "by the label" }})
	press(t, f, "s")
	assert.Contains(t, view(t, f, 60, 8), "per small by the label")
	assert.NotContains(t, view(t, f, 60, 8), "never")
}

func TestRefusalIsSaidOnce(t *testing.T) {
	f := sumForm()
	f.FieldNotes = func(map[string]string) map[string][]string {
		return map[string][]string{"a": {"too much",
			"and cold"}}
	}
	f.Fail("a", "too much")
	lines := drawn(t, f.View(plain(), layout.Box{W: 60, H: 10}), layout.Box{W: 60, H: 10})
	n := 0
	for _, l := range lines {
		if l == "       ! too much" || l == "       too much" {
			n++
		}
	}
	assert.LessOrEqual(t, n, 1, lines)
	assert.Contains(t, view(t, f, 60, 10), "and cold")
}

// TestPickerByName: what is typed looks for the choice that is called so, and a
// figure in a name picks nothing.
func TestPickerByName(t *testing.T) {
	lots := func() *widget.Form {
		return widget.NewForm("x", widget.Field{Name: "lot", Label: "lot", Choices: []widget.Choice{
			{Key: '1', Label: "gelatine 9 kg", Value: "gelatine"}, {Key: '2', Label: "E-2204 enzyme", Value: "E-2204"},
			{Key: '3', Label: "SO2-150 solution", Value: "SO2"}}},
			widget.Field{Name: "rate", Label: "rate", Kind: widget.Figure})
	}
	f := lots()
	press(t, f, "SO2")
	assert.Equal(t, "SO2", f.Value("lot"))
	assert.Equal(t, "lot", f.Focused(), "a name stays until Tab")
	press(t, f, "<tab>4")
	assert.Equal(t, "4", f.Value("rate"))
	f = lots()
	press(t, f, "e-2204")
	assert.Equal(t, "E-2204", f.Value("lot"))
	f = lots()
	press(t, f, "x2")
	assert.Empty(t, f.Value("lot"), "no figure picks inside a name that nothing has")
	press(t, f, "<backspace><backspace>2")
	assert.Equal(t, "E-2204", f.Value("lot"))
}
