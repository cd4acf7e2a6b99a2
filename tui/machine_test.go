package tui_test

import (
	"testing"
	"time"

	"cellar.example/mustwatch/tui"
	"cellar.example/mustwatch/tui/tuitest"
)

// What the machine cannot do for the night is said once, and stands in the help.
func TestTheBoardSaysThatTheMachineMayFallAsleep(t *testing.T) {
	j, s := night(t, "02:10", "E115")
	said := []string{"This machine may fall asleep: nothing holds it."}
	d := tuitest.Sit(t, tui.Options{Journal: j, State: s, Person: "MA", Station: "test",
		Machine: func() []string { return said }}, clock(t, "02:10"), 120, 80)
	d.Wait(time.Second).Hides("fall asleep")
	for range 3 {
		d.Wait(time.Second)
	}
	d.Shows("This machine may fall asleep: nothing holds it.")
	d.Press("<down>")
	for range 10 {
		d.Wait(time.Second)
	}
	d.Press("?").Shows("This machine may fall asleep: nothing holds it.").Press("<esc>")
	said = nil
	d.Press("?").Shows("This machine stays awake while the board runs; a shut lid")
}
