package widget_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"cellar.example/mustwatch/tui/widget"
)

func numberedLots() *widget.Form {
	return widget.NewForm("x", widget.Field{Name: "lot", Label: "lot", Choices: []widget.Choice{
		{Key: '1', Label: "E-2204 enzyme 2.5 kg", Value: "E-2204", Name: "E-2204"},
		{Key: '2', Label: "E-2240 enzyme 1 kg", Value: "E-2240", Name: "E-2240"},
		{Key: '3', Label: "E-1987 enzyme 340 g", Value: "E-1987", Name: "E-1987"}, {Key: 'b', Label: "bentonite 75 kg",
			Value: "bentonite", Name: "bentonite"},
		{Key: '7', Label: "SO2 solution", Value: "SO2", Name: "SO2"}}},
		widget.Field{Name: "rate", Label: "rate", Kind: widget.Figure}, widget.Field{Name: "temp", Label: "temp",
			Optional: true})
}

// A number typed whole is held against the names, and nothing of it lands in the next
// field; a single sign goes on being a key.
func TestANumberTypedWholePicksItsLot(t *testing.T) {
	for _, tt := range []struct{ keys, lot, rate, at string }{
		{"2240", "E-2240", "", "lot"}, {"2240<tab>0.134", "E-2240", "0.134", "rate"}, {"E-2240<tab>", "E-2240", "",
			"rate"},
		{"2204", "E-2204", "", "lot"}, {"1987<tab>3", "E-1987", "3", "rate"}, {"bentonite<tab>30", "bentonite", "30",
			"rate"},
		{"2", "E-2240", "", "lot"}, {"2<tab>4", "E-2240", "4", "rate"}, {"3", "E-1987", "", "lot"}, {"340", "E-1987",
			"40", "rate"},
		{"20.134", "E-2240", "0.134", "rate"}, {"11.5", "E-2204", "1.5", "rate"}, {"22.5", "E-2240", "2.5", "rate"},
		{"19<tab>14", "E-2204", "9", "temp"},
		{"1<tab>9", "E-2204", "9", "rate"}, {"b30", "bentonite", "30", "rate"}, {"2250", "", "", "lot"},
		{"2250<tab>", "", "", "rate"},
		{"0417", "", "", "lot"}, {"2<backspace>", "", "", "lot"}, {"22<backspace><tab>4", "E-2240", "4", "rate"},
	} {
		f := numberedLots()
		press(t, f, tt.keys)
		assert.Equal(t, []string{tt.lot, tt.rate, tt.at}, []string{f.Value("lot"), f.Value("rate"), f.Focused()},
			tt.keys)
	}
	f := numberedLots()
	press(t, f, "2")
	assert.Contains(t, view(t, f, 80, 12), "Tab takes 2, or type more of the number")
	press(t, f, "250")
	assert.Contains(t, view(t, f, 80, 12), `nothing here is called "2250"`)
	f = widget.NewForm("x", widget.Field{Name: "load", Label: "load", Choices: []widget.Choice{{Key: '1',
		Label: "0417 Chardonnay 16000 kg", Value: "0417", Name: "0417"}}},
		widget.Field{Name: "mass", Label: "of it", Optional: true})
	press(t, f, "0417")
	assert.Equal(t, map[string]string{"load": "0417", "mass": ""}, f.Values())
}

// TestFreeTextTakesAnyWord: where words of one's own are an answer, what is no name of a
// choice is taken as they are, and no sign of them lands in another field.
func TestFreeTextTakesAnyWord(t *testing.T) {
	form := func() *widget.Form {
		return widget.NewForm("x", widget.Field{Name: "from", Label: "Control juice", Else: "other", ElseTo: "words",
			Choices: []widget.Choice{
				{Key: 'p', Label: "press juice", Value: "press juice"}, {Key: 't', Label: "another tank",
					Value: "tank"},
				{Key: 'o', Label: "other", Value: "other"}}},
			widget.Field{Name: "words", Label: "Other control",
				When: func(v map[string]string) bool { return v["from"] == "other" }},
			widget.Field{Name: "tank", Label: "Which tank", Kind: widget.Code,
				When: func(v map[string]string) bool { return v["from"] == "tank" }},
			widget.Field{Name: "note", Label: "Note", Optional: true})
	}
	for _, tt := range []struct{ keys, from, words, at string }{
		{"press juice no enzyme<tab>", "other", "press juice no enzyme", "words"}, {"press juice<tab>", "press juice",
			"", "note"},
		{"p<tab>", "press juice", "", "note"}, {"tap water<tab>", "other", "tap water", "words"}, {"xyz<tab>", "other",
			"xyz", "words"},
		{"press juicex<backspace><tab>", "press juice", "", "note"}, {"o<tab>raw must<tab>", "other", "raw must",
			"note"},
		{"104 before<tab>", "other", "104 before", "words"},
	} {
		f := form()
		press(t, f, tt.keys)
		assert.Equal(t, []string{tt.from, tt.words, tt.at}, []string{f.Value("from"), f.Value("words"), f.Focused()},
			tt.keys)
		assert.Empty(t, f.Value("note")+f.Value("tank"), tt.keys)
	}
}
