package cellar_test

import (
	"fmt"
	"runtime"
	"testing"
	"time"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/quantity"
)

// A season: 200 tanks of juice, and what probes and people say of them for weeks. It
// is what the figures of DEVELOPERS.md are measured on.
const seasonTanks = 200

func openSeason(tb testing.TB) *house {
	h := &house{s: cellar.NewState(), now: sixPM}
	vessels := ""
	for _, l := range smallHouse[:1] {
		if err := h.line(l); err != nil {
			tb.Fatal(err)
		}
	}
	for i := range seasonTanks {
		if err := h.line(fmt.Sprintf(`{"do":"vessel","by":"MA","vessel":"T%d","brim":"250 hL","use":"settle"}`, i)); err != nil {
			tb.Fatal(err)
		}
		if vessels != "" {
			vessels += ","
		}
		vessels += fmt.Sprintf(`{"vessel":"T%d","volume":"200 hL","variety":"Muscat","kind":"juice","stage":"waiting","temp":"13.5 °C"}`, i)
	}
	for _, l := range append(smallHouse[8:12:12], `{"do":"opening","by":"MA","vessels":[`+vessels+`]}`) {
		if err := h.line(l); err != nil {
			tb.Fatal(l, err)
		}
	}
	return h
}

// reads says what a probe reads: the nth reading of the season, two a minute.
func (h *house) reads(tb testing.TB, n int) {
	h.now = h.now.Add(30 * time.Second)
	temp := quantity.Celsius(12 + float64(n%7)/10)
	c := &cellar.TakeReading{Head: cellar.Head{By: "NS"}, Vessel: cellar.Plate(fmt.Sprintf("T%d", n%seasonTanks)), Measured: cellar.Measured{Temp: &temp}}
	if _, err := h.try(c, h.now); err != nil {
		tb.Fatal(err)
	}
}

// An entry at the end costs the same however much there is before it.
func BenchmarkEntryAtTheEnd(b *testing.B) {
	for _, have := range []int{1_000, 100_000} {
		b.Run(fmt.Sprint(have), func(b *testing.B) {
			h := openSeason(b)
			for n := range have {
				h.reads(b, n)
			}
			b.ResetTimer()
			for n := range b.N {
				h.reads(b, n)
			}
		})
	}
}

// A dose that is saved late is folded forward through what its tank has had since.
func BenchmarkLateDose(b *testing.B) {
	h := openSeason(b)
	from := h.now.Add(time.Minute)
	for n := range 30_000 {
		h.reads(b, n)
	}
	b.ResetTimer()
	for n := range b.N {
		head := cellar.Head{By: "NS", Happened: true, At: from.Add(time.Duration(n/seasonTanks) * time.Second)}
		for _, r := range cellar.Rules() {
			head.Answers = append(head.Answers, gate.Answer{Rule: r.Code, By: "MA", Second: "NS", Reason: "measured"})
		}
		c := &cellar.GiveDose{Head: head, Vessel: cellar.Plate(fmt.Sprintf("T%d", n%seasonTanks)), Product: "E-1",
			Rate: quantity.Rate{Value: 2, Unit: quantity.GPerHL}}
		if _, err := h.try(c, h.now); err != nil {
			b.Fatal(err)
		}
	}
}

// What a season takes in memory, for each line of it.
func BenchmarkSeasonMemory(b *testing.B) {
	const lines = 100_000
	for range b.N {
		h := openSeason(b)
		heap := func() uint64 {
			var m runtime.MemStats
			runtime.GC()
			runtime.ReadMemStats(&m)
			return m.HeapAlloc
		}
		before := heap()
		for n := range lines {
			h.reads(b, n)
		}
		b.ReportMetric(float64(heap()-before)/lines, "B/line")
		runtime.KeepAlive(h)
	}
}
