package tui_test

import (
	"testing"
	"time"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/quantity"
)

// TestADosePouredElsewhereIsShownByItsShare: of 336 g that were poured into 105 a tank
// that took 2 hL of its 168 hL has 4 g, and the page says so.
func TestADosePouredElsewhereIsShownByItsShare(t *testing.T) {
	d := sit(t, "18:05", 120, 80)
	all := cellar.Head{By: "MA", Happened: true, At: clock(t, "18:05")}
	for _, r := range cellar.Rules() {
		all.Answers = append(all.Answers, gate.Answer{Rule: r.Code, By: "MA", Second: "NS", Reason: "drawn"})
	}
	write(t, d, &cellar.Move{Head: all, From: "105", To: []cellar.Portion{{Vessel: "103",
		Volume: 2 * quantity.Hectolitre}}, Part: true})
	d.Wait(time.Second).Words("103").Press("<enter>").Shows("4 g HL (in 105), of 336 g")
}
