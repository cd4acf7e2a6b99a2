package widget_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"

	"cellar.example/mustwatch/tui/layout"
	"cellar.example/mustwatch/tui/theme"
	"cellar.example/mustwatch/tui/widget"
)

func box(w, h int) layout.Box { return layout.Box{W: w, H: h} }

// view is the form without colours, as one text.
func view(t *testing.T, f *widget.Form, w, h int) string {
	t.Helper()
	return strings.Join(drawn(t, f.View(plain(), box(w, h)), box(w, h)), "\n")
}

func longForm() *widget.Form {
	var fields []widget.Field
	for i := range 12 {
		fields = append(fields, widget.Field{Name: fmt.Sprint(i), Label: fmt.Sprintf("Field number %d", i),
			Kind: widget.Figure, Unit: "hL"})
	}
	fields[3].Choices = haze
	fields[7].Kind = widget.Words
	fields[8].Optional = true
	f := widget.NewForm("Rack 101", fields...)
	f.Cautions = func(map[string]string) []string { return []string{"Lid or vent open before the pump."} }
	f.Live = func(v map[string]string) []string { return []string{"out  214.0 hL", "in   " + v["0"]} }
	f.FieldNotes = func(map[string]string) map[string][]string {
		return map[string][]string{"5": {"203 would be 82.5 % full, over its working limit of 80 %, which was set " +
			"for reds"}}
	}
	return f
}

func TestFormView(t *testing.T) {
	f := doseForm()
	f.Cautions = func(map[string]string) []string { return []string{"No dust, no spray: pour slowly."} }
	f.Live = func(v map[string]string) []string { return []string{v["rate"] + " g/hL × 104.0 hL"} }
	f.FieldNotes = func(map[string]string) map[string][]string {
		return map[string][]string{"lot": {"E-2204 has 424 g left"}}
	}
	press(t, f, "1.5")
	assert.Equal(t, strings.Join([]string{
		"── Dose into 104 ───────────────────────────────────────────",
		"  No dust, no spray: pour slowly.",
		"> Rate 1.5|______ g/hL",
		"  Lot  __________",
		"       E-2204 has 424 g left",
		"  Note ________________________________________ optional",
		"",
		"  1.5 g/hL × 104.0 hL",
		"",
	}, "\n"), view(t, f, 60, 9))
}

func TestPickerView(t *testing.T) {
	f := checkForm()
	press(t, f, "s<tab>")
	assert.Equal(t, strings.Join([]string{
		"── Test 602 ──────────────────",
		"  Sample    small flocs",
		"> Control    c clear",
		"             s small flocs",
		"             l large flocs",
		"  Next look __________ option…",
	}, "\n"), view(t, f, 30, 6))
	press(t, f, "<right>")
	assert.Contains(t, view(t, f, 60, 6), "> Control   [c clear] s small flocs  l large flocs")
}

func TestCursorIsSeenWithoutColours(t *testing.T) {
	f := doseForm()
	f.Focus("note")
	press(t, f, "abc<left>")
	assert.Contains(t, view(t, f, 60, 6), "> Note ab|c___")
	press(t, f, strings.Repeat("0123456789", 6))
	assert.Contains(t, view(t, f, 60, 6), "> Note "+strings.Repeat("1234567890", 4)[:39]+"|", "the cursor is in view")
	press(t, f, "<home>")
	assert.Contains(t, view(t, f, 60, 6), "> Note |ab01234567")
}

func TestCursorIsACellWhereColoursShow(t *testing.T) {
	f := doseForm()
	th := coloured()
	press(t, f, "1.5<left>")
	line := f.View(th, box(60, 5))[1]
	assert.Contains(t, line, th.FieldFocus.Render("1.")+th.Cursor.Render("5"))
	press(t, f, "<end>")
	assert.Contains(t, f.View(th, box(60, 5))[1], th.FieldFocus.Render("1.5")+th.Cursor.Render(" "))
}

func TestFormScrollsWithTheFocus(t *testing.T) {
	f := longForm()
	for i := range 12 {
		f.Focus(fmt.Sprint(i))
		f.Fail(fmt.Sprint(i), "this cannot be")
		for _, h := range []int{24, 12, 9} {
			got := view(t, f, 80, h)
			assert.Contains(t, got, fmt.Sprintf("> Field number %d", i), "height %d", h)
			assert.Contains(t, got, "! this cannot be", "height %d", h)
			assert.Contains(t, got, "Lid or vent open", "the danger line stays")
			assert.Contains(t, got, "out  214.0 hL", "the calculation stays")
			if h < 16 {
				assert.Contains(t, got, fmt.Sprintf("field %d of 12", i+1))
			}
			if i == 5 {
				assert.Contains(t, got, "working limit of 80 %", "its warning too, height %d", h)
			}
		}
		f = longForm()
	}
}

func TestFormFitsEveryBoxAndMode(t *testing.T) {
	for _, profile := range []termenv.Profile{termenv.Ascii, termenv.ANSI, termenv.TrueColor} {
		for _, mode := range []theme.Mode{theme.Dark, theme.Light} {
			th := themed(profile, mode)
			for w := 1; w < 100; w += 3 {
				for h := 1; h < 26; h += 4 {
					for _, name := range []string{"0", "3", "7", "11"} {
						f := longForm()
						f.Focus(name)
						press(t, f, "s<up>")
						drawn(t, f.View(th, box(w, h)), box(w, h))
					}
				}
			}
		}
	}
}

func TestViewChangesNothing(t *testing.T) {
	f := longForm()
	press(t, f, "12<tab>3<tab>")
	first := f.View(coloured(), box(80, 10))
	f.View(coloured(), box(20, 3))
	assert.Equal(t, first, f.View(coloured(), box(80, 10)))
}

func TestFormKeys(t *testing.T) {
	f := doseForm()
	assert.Equal(t, "on to lot", f.Keys()[0].Short, "what Enter does now")
	press(t, f, "<tab>e")
	assert.Equal(t, "save", f.Keys()[0].Short)
	f.Verb = "write dose"
	assert.Equal(t, "write dose", f.Keys()[0].Short)
}

func BenchmarkFormView(b *testing.B) {
	f, th := longForm(), coloured()
	b.ReportAllocs()
	for b.Loop() {
		f.View(th, box(80, 24))
	}
}
