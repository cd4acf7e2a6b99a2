package tui_test

import (
	"testing"
	"time"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/quantity"
)

// TestVoidCheckIsShown: the board and the page of a vessel say that a negative is void,
// and why, once enzyme is written that went in between the sample and the reading.
func TestVoidCheckIsShown(t *testing.T) {
	d := sit(t, "22:25", 120, 80)
	d.Shows("negative")
	write(t, d, &cellar.GiveDose{Head: cellar.Head{By: "NS", Happened: true, At: clock(t, "22:18"),
		Answers: []gate.Answer{{Rule: "H07", By: "OF", Second: "NS", Reason: "found in the book"}}},
		Vessel: "104", Product: "E-2204", Rate: quantity.Rate{Value: 0.3, Unit: quantity.GPerHL}})
	d.Wait(time.Second).Words("104").Shows("void").Hides("negative 22:20")
	d.Press("<enter>").Shows("VOID: sample clear, control flocs", "After the sample, at 22:18, E-2204 came",
		"negative → void")
}
