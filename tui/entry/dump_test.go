package entry_test

import (
	"fmt"
	"testing"

	"cellar.example/mustwatch/tui/intent"
)

func TestDump(t *testing.T) {
	h := newHouse(t)
	h.at("19:15")
	show := func(kind intent.Form, name, keys string) {
		e := h.open(kind, name)
		h.types(e, keys)
		fmt.Printf("=== %s %s %q\n%s\n", kind, name, keys, screen(e, 80, 21))
	}
	show(intent.FormDose, "104", "")
	show(intent.FormDose, "104", "11.5<tab>13.5")
	show(intent.FormDose, "102", "12<tab>14.9")
	show(intent.FormDose, "106", "20.134<tab>")
	show(intent.FormDose, "305", "13<tab>")
	show(intent.FormDose, "305", "")
	show(intent.FormReading, "102", "15<tab>")
	show(intent.FormCheck, "102", "")
	h.lines(`{"do":"check","by":"NS","vessel":"602"}`)
	show(intent.FormCheck, "602", "s")
	show(intent.FormMove, "101", "203<tab>165<tab>405<tab>33.5<tab>")
	show(intent.FormMove, "101", "209<tab><tab>")
	show(intent.FormStage, "104", "")
	show(intent.FormStage, "103", "")
	h.pressing("P2")
	show(intent.FormPress, "P2", "")
	show(intent.FormPress, "P1", "")
	show(intent.FormJuice, "103", "20")
	show(intent.FormLoad, "0414", "31260<tab>12460<tab>")
	show(intent.FormLoad, "", "")
	show(intent.FormNote, "104", "")
	show(intent.FormHold, "104", "")
	show(intent.FormClock, "602", "")
	show(intent.FormProduct, "", "")
	show(intent.FormProduct, "", "1l")
	show(intent.FormCorrect, "104", "")
	show(intent.FormShift, "", "")
}
