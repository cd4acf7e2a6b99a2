package entry_test

import (
	"strings"
	"testing"

	"cellar.example/mustwatch/tui/intent"
	"cellar.example/mustwatch/tui/layout"
	"cellar.example/mustwatch/tui/tuitest"
)

// The forms as they stand on the smallest screen, half filled in.
func TestGoldens(t *testing.T) {
	for _, tt := range []struct {
		name string
		kind intent.Form
		on   string
		keys string
	}{
		{"dose-pick", intent.FormDose, "104", ""},
		{"dose", intent.FormDose, "104", "11.5<tab>13.5"},
		{"dose-over", intent.FormDose, "102", "13.5<tab>8<tab>"},
		{"reading", intent.FormReading, "102", "13.9<tab>"},
		{"check-start", intent.FormCheck, "102", ""},
		{"check-read", intent.FormCheck, "602", "sf"},
		{"move", intent.FormMove, "101", "203<tab>165<tab>405<tab>33.5<tab>701<tab>14"},
		{"move-onto-content", intent.FormMove, "101", "209<tab>20<tab>"},
		{"stage", intent.FormStage, "104", ""},
		{"load", intent.FormLoad, "0414", "31260<tab>12460<tab>"},
		{"press-stop", intent.FormPress, "P2", "x"},
		{"clock", intent.FormClock, "602", "1m"},
		{"correct", intent.FormCorrect, "104", ""},
		{"product", intent.FormProduct, "", "1l"},
		{"crew-gas", intent.FormCrew, "305", "g"},
		{"crew-permit", intent.FormCrew, "305", "p"},
		{"crew-count", intent.FormCrew, "", "hma ns<tab>"},
		{"clock-new", intent.FormClock, "101", "n"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			h := newHouse(t)
			h.at("20:40")
			h.lines(`{"do":"pectin-test","at":"2026-09-24T20:35:00+02:00","by":"NS","vessel":"602"}`)
			h.pressing("P2")
			e := h.open(tt.kind, tt.on)
			h.types(e, tt.keys)
			tuitest.Golden(t, "entry/"+tt.name+"-80x24", strings.Join(e.Form.View(plainTheme(), layout.Box{W: 80,
				H: 24}), "\n"))
		})
	}
}
