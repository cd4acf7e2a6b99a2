package tui_test

import (
	"fmt"
	"slices"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/tui"
	"cellar.example/mustwatch/tui/tuitest"
)

// BenchmarkBoardFrame draws the board of the demo night at 120 by 40, a second later
// each time: a frame is never drawn from the one before.
func BenchmarkBoardFrame(b *testing.B) {
	t := &testing.T{}
	_, s := night(t, "02:10")
	now := clock(t, "02:10")
	d := tuitest.Sit(t, tui.Options{State: s, Person: "MA", Tick: func(time.Duration,
		func(time.Time) tea.Msg) tea.Cmd {
		return nil
	}}, now, 120, 40)
	b.ReportAllocs()
	for b.Loop() {
		b.StopTimer()
		d.Now = d.Now.Add(time.Second)
		d.Root.Update(d.Root.Beat())
		b.StartTimer()
		_ = d.Root.View()
	}
}

// A frame costs the same however much was read before it: after a million readings
// against a thousand, of the same hours. The target is a ratio of at most 1.2.
func BenchmarkFrameAtLength(b *testing.B) {
	t := &testing.T{}
	const most, few = 1_000_000, 1_000
	var desks [2]*tuitest.Desk
	for i, n := range []int{most, few} {
		_, s := night(t, "02:10")
		from, all := clock(t, "02:10"), s.Vessels()
		for k := range n {
			at := cellar.Instant(from.Add(time.Duration(k) * most / time.Duration(n) * time.Second))
			temp := quantity.Celsius(12 + float64(k%7)/10)
			cellar.Apply(s, cellar.Record{Seq: s.Seq + 1, At: at, Written: at, By: "NS",
				Fact: &cellar.WasRead{Vessel: all[k%len(all)].Number, Measured: cellar.Measured{Temp: &temp}}})
		}
		desks[i] = tuitest.Sit(t, tui.Options{State: s, Person: "MA", Tick: func(time.Duration,
			func(time.Time) tea.Msg) tea.Cmd {
			return nil
		}}, from.Add(most*time.Second), 120, 40)
	}
	for _, keys := range []string{"", "<enter>"} { // the board, and a vessel with its history
		for _, d := range desks {
			d.Press(keys)
		}
		b.Run(map[string]string{"": "board", "<enter>": "vessel"}[keys], func(b *testing.B) {
			var took [2][]time.Duration
			for b.Loop() {
				for i, d := range desks {
					d.Now = d.Now.Add(time.Second)
					began := time.Now()
					d.Root.Update(d.Root.Beat())
					_ = d.Root.View()
					took[i] = append(took[i], time.Since(began))
				}
			}
			middle := func(i int) float64 {
				slices.Sort(took[i])
				return float64(took[i][len(took[i])/2])
			}
			b.ReportMetric(middle(0)/middle(1), "x-few")
			b.ReportMetric(middle(0)/1e3, "µs/many")
			b.ReportMetric(middle(1)/1e3, "µs/few")
		})
	}
}

// BenchmarkWallFrame draws the wall of the demo night.
func BenchmarkWallFrame(b *testing.B) {
	t := &testing.T{}
	_, s := night(t, "02:10")
	now := clock(t, "02:10")
	for _, size := range [][2]int{{80, 24}, {120, 40}, {200, 60}} {
		d := tuitest.Sit(t, tui.Options{State: s, Person: "MA", Wall: true, Tick: func(time.Duration,
			func(time.Time) tea.Msg) tea.Cmd {
			return nil
		}}, now, size[0], size[1])
		b.Run(fmt.Sprintf("%dx%d", size[0], size[1]), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				_ = d.Root.View()
			}
		})
	}
}
