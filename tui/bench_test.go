package tui_test

import (
	"fmt"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"cellar.example/mustwatch/tui"
	"cellar.example/mustwatch/tui/tuitest"
)

// BenchmarkBoardFrame draws the board of the demo night at 120 by 40, a second later
// each time: a frame is never drawn from the one before.
func BenchmarkBoardFrame(b *testing.B) {
	t := &testing.T{}
	_, s := night(t, "02:10")
	now := clock(t, "02:10")
	d := tuitest.Sit(t, tui.Options{State: s, Person: "MA", Tick: func(time.Duration, func(time.Time) tea.Msg) tea.Cmd { return nil }}, now, 120, 40)
	b.ReportAllocs()
	for b.Loop() {
		b.StopTimer()
		d.Now = d.Now.Add(time.Second)
		d.Root.Update(d.Root.Beat())
		b.StartTimer()
		_ = d.Root.View()
	}
}

// BenchmarkWallFrame draws the wall of the demo night.
func BenchmarkWallFrame(b *testing.B) {
	t := &testing.T{}
	_, s := night(t, "02:10")
	now := clock(t, "02:10")
	for _, size := range [][2]int{{80, 24}, {120, 40}, {200, 60}} {
		d := tuitest.Sit(t, tui.Options{State: s, Person: "MA", Wall: true, Tick: func(time.Duration, func(time.Time) tea.Msg) tea.Cmd { return nil }}, now, size[0], size[1])
		b.Run(fmt.Sprintf("%dx%d", size[0], size[1]), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				_ = d.Root.View()
			}
		})
	}
}
