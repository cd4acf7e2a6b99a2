package tui_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/subject"
)

// TestTheKeysAskWhichIsMeant: a load has come by the number of a tank. Typed, the number
// asks which of the two before any key acts on one.
func TestTheKeysAskWhichIsMeant(t *testing.T) {
	d := sit(t, "23:05", 120, 40)
	write(t, d, &cellar.WeighLoad{Head: cellar.Head{By: "HL", Happened: true, Answers: []gate.Answer{{Rule: "D23"},
		{Rule: "D15"}}}, Load: cellar.Load{ID: "104", Variety: "Sauvignon", Gross: 20 * quantity.Tonne,
		Tare: 12 * quantity.Tonne}})
	load, tank := subject.Of(subject.Load, "104"), subject.Of(subject.Vessel, "104")

	d.Press("104").Shows("104 names more than one thing here", "vessel 104", "load 104")
	d.Press("l<enter>").Press("n").Shows("New note about load 104", "load 104").Press("damp<enter>")
	require.Len(t, d.State().OpenNotes(load), 1)
	require.Equal(t, "damp", d.State().OpenNotes(load)[0].Text)
	n := len(d.State().OpenNotes(tank))
	d.Press("104v<enter>").Press("n").Shows("New note about vessel 104").Press("warm<enter>")
	require.Len(t, d.State().OpenNotes(tank), n+1)
	require.Len(t, d.State().OpenNotes(load), 1)

	d.Press("104v<enter>").Press("<enter>").Shows("warm").Hides("damp").Press("<esc>")

	d.Press("102n").Shows("New note about 102").Press(
		"x<tab><tab><tab><tab><backspace><backspace><backspace>104<enter>").Shows(
		"vessel 104 and load 104: type the word")
	d.Press("<backspace><backspace><backspace>load 104<enter>")
	require.Len(t, d.State().OpenNotes(load), 2)
}
