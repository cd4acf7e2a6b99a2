package tui_test

import (
	"testing"
	"time"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/gate"
)

// Item 4 of the nights: the page of a tank that was emptied is of what came since; p shows
// the lot before with when it was, nothing is saved of it, and v goes back.
func TestTheLotBeforeIsOneKeyAway(t *testing.T) {
	d := sit(t, "18:05", 120, 80)
	all := cellar.Head{By: "MA", Happened: true, At: clock(t, "18:05")}
	for _, r := range cellar.Rules() {
		all.Answers = append(all.Answers, gate.Answer{Rule: r.Code, By: "MA", Second: "NS", Reason: "drawn"})
	}
	v, _ := d.State().Vessel("105")
	write(t, d, &cellar.Move{Head: all, From: "105", Out: &cellar.Sent{As: cellar.OutTanker, Volume: v.Now.Volume}})
	d.Wait(time.Second).Words("105").Press("<enter>").Shows("105  empty dirty").Hides("loaded on a tanker")
	d.Press("p").Shows("A LOT BEFORE").Shows("until it was emptied Thu 24 Sep 18:05").Shows("COMPOSITION").
		Shows("loaded on a tanker")
	d.Press("m").Hides("Move from")
	d.Press("p").Shows("There is no older lot in 105").Press("v").Shows("105  empty dirty")
}
