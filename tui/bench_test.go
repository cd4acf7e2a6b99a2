package tui_test

import (
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"cellar.example/mustwatch/tui"
	"cellar.example/mustwatch/tui/tuitest"
)

// BenchmarkBoardFrame draws the board of the demo night at 120 by 40.
func BenchmarkBoardFrame(b *testing.B) {
	t := &testing.T{}
	_, s := night(t, "02:10")
	now := clock(t, "02:10")
	d := tuitest.Sit(t, tui.Options{State: s, Person: "MA", Tick: func(time.Duration, func(time.Time) tea.Msg) tea.Cmd { return nil }}, now, 120, 40)
	b.ReportAllocs()
	for b.Loop() {
		_ = d.Root.View()
	}
}
