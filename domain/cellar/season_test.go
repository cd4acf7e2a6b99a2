package cellar_test

import (
	"fmt"
	"runtime"
	"slices"
	"testing"
	"time"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/stage"
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
		if err := h.line(fmt.Sprintf(`{"do":"vessel","by":"MA","vessel":"T%d","brim":"250 hL","use":"settle"}`,
			i)); err != nil {
			tb.Fatal(err)
		}
		if vessels != "" {
			vessels += ","
		}
		vessels += fmt.Sprintf(`{"vessel":"T%d","volume":"200 hL","variety":"Muscat","kind":"juice",`+
			`"stage":"waiting","temp":"13.5 °C"}`, i)
	}
	for _, l := range append(smallHouse[8:12:12], `{"do":"opening","by":"MA","vessels":[`+vessels+`]}`) {
		if err := h.line(l); err != nil {
			tb.Fatal(l, err)
		}
	}
	return h
}

// happened is a head that is saved whatever the rules say.
func happened() cellar.Head {
	head := cellar.Head{By: "NS", Happened: true}
	for _, r := range cellar.Rules() {
		head.Answers = append(head.Answers, gate.Answer{Rule: r.Code, By: "MA", Second: "NS", Reason: "measured"})
	}
	return head
}

// reads says what a probe reads: the nth reading of the season, two a minute.
func (h *house) reads(tb testing.TB, n int) {
	h.now = h.now.Add(30 * time.Second)
	temp := quantity.Celsius(12 + float64(n%7)/10)
	h.does(tb, &cellar.TakeReading{Head: cellar.Head{By: "NS"}, Vessel: cellar.TankNumber(fmt.Sprintf("T%d",
		n%seasonTanks)),
		Measured: cellar.Measured{Temp: &temp}})
}

func (h *house) does(tb testing.TB, c cellar.Command) {
	if _, err := h.try(c, h.now); err != nil {
		tb.Fatal(err)
	}
}

// says is the nth line of a season in which one of fifty is none of a probe: what a tank
// holds is racked into one that is empty, which is written clean again.
func (h *house) says(tb testing.TB, n int) {
	if n%50 != 0 {
		h.reads(tb, n)
		return
	}
	all := h.s.Vessels()
	for i := range all {
		from, to := all[(n/50+i)%len(all)], all[(n/50+i+len(all)/2)%len(all)]
		switch {
		case from.Now.Stage == stage.Dirty:
			h.does(tb, &cellar.SetStage{Head: happened(), Vessel: from.Number, Stage: stage.Clean})
			return
		case from.Now.Volume > 0 && to.Now.Stage == stage.Clean:
			h.does(tb, &cellar.Move{Head: happened(), From: from.Number, To: []cellar.Portion{{Vessel: to.Number,
				Volume: from.Now.Volume}}})
			return
		}
	}
	h.reads(tb, n)
}

// apart measures one and other by turns, so that both see the same machine, and reports
// the median of each and how many times other one is.
func apart(b *testing.B, one, other func()) {
	var x, y []time.Duration
	for b.Loop() {
		for _, m := range []struct {
			do  func()
			all *[]time.Duration
		}{{one, &x}, {other, &y}} {
			began := time.Now()
			m.do()
			*m.all = append(*m.all, time.Since(began))
		}
	}
	median := func(all []time.Duration) float64 {
		slices.Sort(all)
		return float64(all[len(all)/2])
	}
	b.ReportMetric(median(x)/median(y), "x-other")
	b.ReportMetric(median(x), "ns/one")
	b.ReportMetric(median(y), "ns/other")
}

// An entry at the end costs the same however much there is before it: at a million lines
// against a thousand. The target is a ratio of at most 1.2.
func BenchmarkEntryAtTheEnd(b *testing.B) {
	houses, done := [2]*house{openSeason(b), openSeason(b)}, [2]int{1_000_000, 1_000}
	for i, h := range houses {
		for n := range done[i] {
			h.reads(b, n)
		}
	}
	runtime.GC()
	entry := func(i int) func() {
		return func() {
			houses[i].reads(b, done[i])
			done[i]++
		}
	}
	apart(b, entry(0), entry(1))
}

// A dose that is saved late, 30 000 lines back, is folded forward through what its tank
// has had since. The target is 5 ms.
func BenchmarkLateDose(b *testing.B) {
	h := openSeason(b)
	from := h.now.Add(time.Minute)
	for n := range 30_000 {
		h.says(b, n)
	}
	var all []time.Duration
	for b.Loop() {
		c := &cellar.GiveDose{Head: happened(), Vessel: cellar.TankNumber(fmt.Sprintf("T%d", len(all)%seasonTanks)),
			Product: "E-1",
			Rate:    quantity.Rate{Value: 2, Unit: quantity.GPerHL}}
		c.At = from.Add(time.Duration(len(all)/seasonTanks) * time.Second)
		began := time.Now()
		_, err := h.try(c, h.now)
		all = append(all, time.Since(began))
		if err != nil {
			b.Fatal(err)
		}
	}
	slices.Sort(all)
	b.ReportMetric(float64(all[len(all)/2]), "ns/median")
	b.ReportMetric(float64(all[len(all)*99/100]), "ns/99th")
}

// What half a million lines of a season take in memory. The target is 300 MB, resident.
func BenchmarkSeasonMemory(b *testing.B) {
	const lines = 500_000
	for b.Loop() {
		h := openSeason(b)
		heap := func() (live, taken uint64) {
			var m runtime.MemStats
			runtime.ReadMemStats(&m)
			taken = m.HeapInuse + m.StackInuse
			runtime.GC()
			runtime.ReadMemStats(&m)
			return m.HeapAlloc, taken
		}
		before, _ := heap()
		most := uint64(0)
		for n := range lines {
			h.says(b, n)
			if n%50_000 == 49_999 {
				var m runtime.MemStats
				runtime.ReadMemStats(&m)
				most = max(most, m.HeapInuse+m.StackInuse)
			}
		}
		live, _ := heap()
		b.ReportMetric(float64(live-before)/lines, "B/line")
		b.ReportMetric(float64(most)/1e6, "MB")
		runtime.KeepAlive(h)
	}
}

// Width: 300 loads that were blended through 60 tanks until each holds dozens of them.
// One more move costs what its parts cost; the cost is named in DEVELOPERS.md.
func BenchmarkWidth(b *testing.B) {
	wide := func(loads int) *house {
		h := openSeason(b)
		for n := range loads * 4 {
			h.now = h.now.Add(10 * time.Minute)
			from, to := (n*7)%60, (n*7+1+n%13)%60
			v, _ := h.s.Vessel(cellar.TankNumber(fmt.Sprintf("T%d", from)))
			w, _ := h.s.Vessel(cellar.TankNumber(fmt.Sprintf("T%d", to)))
			most := min(v.Now.Volume/2, w.Brim-w.Now.Volume)
			if from == to || most < quantity.Hectolitre {
				continue
			}
			if n < loads { // what came is of a load of its own
				l := cellar.LoadID(fmt.Sprintf("L%d", n))
				h.does(b, &cellar.WeighLoad{Head: happened(), Load: cellar.Load{ID: l, Variety: "Sauvignon",
					Gross: 20 * quantity.Tonne, Tare: 12 * quantity.Tonne}})
				h.does(b, &cellar.Tip{Head: happened(), Load: l, To: w.Number, Mass: quantity.Tonne})
				h.does(b, &cellar.TipDone{Head: happened(), Load: l, To: w.Number, Volume: min(most,
					7*quantity.Hectolitre)})
				continue
			}
			h.does(b, &cellar.Move{Head: happened(), From: v.Number, To: []cellar.Portion{{Vessel: w.Number,
				Volume: most}}, Part: true, Blend: true})
		}
		return h
	}
	houses := [2]*house{wide(300), wide(0)}
	parts := 0
	for _, v := range houses[0].s.Vessels() {
		parts = max(parts, len(v.Now.Parts))
	}
	n := 0
	move := func(i int) func() {
		return func() {
			h := houses[i]
			h.now = h.now.Add(time.Minute)
			from, to := cellar.TankNumber(fmt.Sprintf("T%d", n%60)), cellar.TankNumber(fmt.Sprintf("T%d", 60+n%60))
			v, _ := h.s.Vessel(from)
			if n++; v.Now.Volume < 2*quantity.Hectolitre {
				return
			}
			h.does(b, &cellar.Move{Head: happened(), From: from, To: []cellar.Portion{{Vessel: to,
				Volume: quantity.Litre}}, Part: true, Blend: true})
		}
	}
	apart(b, move(0), move(1))
	b.ReportMetric(float64(parts), "parts")
}

// What is kept of a reading are numbers: some dozens of bytes, and no copy of what its
// tank holds.
func TestAReadingIsSmall(t *testing.T) {
	h := openSeason(t)
	live := func() uint64 {
		var m runtime.MemStats
		runtime.GC()
		runtime.ReadMemStats(&m)
		return m.HeapAlloc
	}
	before := live()
	const lines = 50_000
	for n := range lines {
		h.reads(t, n)
	}
	if each := (live() - before) / lines; each > 200 {
		t.Errorf("%d bytes a reading", each)
	}
	runtime.KeepAlive(h)
}

// A reading allocates the same at the end of much and of little, in a contact that nobody
// has tested, and in a tank that is cooled, too.
func TestAReadingAllocatesTheSame(t *testing.T) {
	h := openHouse(t)
	for _, l := range []string{
		`{"do":"dose","by":"NS","vessel":"101","product":"E-1","rate":"2 g/hL","temp":"13 °C","happened":true}`,
		`{"do":"stage","by":"NS","vessel":"102","stage":"settling","target":"8 °C","reason":"measured","happened":true}`,
	} {
		if err := h.line(l); err != nil {
			t.Fatal(err)
		}
	}
	n := 0
	read := func() {
		n++
		h.now = h.now.Add(30 * time.Second)
		temp := quantity.Celsius(12 + float64(n%7)/10)
		h.does(t, &cellar.TakeReading{Head: happened(), Vessel: []cellar.TankNumber{"101", "102"}[n%2],
			Measured: cellar.Measured{Temp: &temp}})
	}
	for n < 8_000 {
		read()
	}
	few := testing.AllocsPerRun(200, read)
	for n < 24_000 {
		read()
	}
	if many := testing.AllocsPerRun(200, read); many > 1.2*few {
		t.Errorf("%.0f allocations after %d readings, %.0f before", many, n, few)
	}
}

// However many readings a probe makes of a contact, the coldest decides; and a forecast of
// cooling is that of a hand who reads now and then.
func TestManyReadingsSayWhatFewDo(t *testing.T) {
	read := func(h *house, number cellar.TankNumber, at time.Time, temp quantity.Celsius) {
		if at.After(h.now) {
			h.now = at
		}
		h.does(t, &cellar.TakeReading{Head: happened(), Vessel: number, Measured: cellar.Measured{Temp: &temp}})
	}
	h := openHouse(t)
	if err := h.line(`{"do":"dose","by":"NS","vessel":"101","product":"E-1","rate":"2 g/hL","temp":"14 °C",` +
		`"happened":true}`); err != nil {
		t.Fatal(err)
	}
	start := h.now
	for n := range 3_000 {
		temp := quantity.Celsius(14)
		if n == 333 {
			temp = 11
		}
		read(h, "101", start.Add(time.Duration(n)*4*time.Second), temp)
	}
	v, _ := h.s.Vessel("101")
	k, ok := h.s.ContactOf(v, h.now)
	if !ok || k.Lowest != 11 || !k.Due.Equal(start.Add(4*time.Hour)) {
		t.Errorf("the coldest was %s, the test is due %s", k.Lowest, k.Due)
	}

	var when [2]time.Time
	for i, every := range []time.Duration{30 * time.Second, 20 * time.Minute} {
		h := openHouse(t)
		if err := h.line(`{"do":"stage","by":"NS","vessel":"102","stage":"settling","target":"6 °C",` +
			`"reason":"measured","happened":true}`); err != nil {
			t.Fatal(err)
		}
		start := h.now
		for after := time.Duration(0); after <= 4*time.Hour; after += every {
			read(h, "102", start.Add(after), 14-quantity.Celsius(after.Hours()))
		}
		v, _ := h.s.Vessel("102")
		if k, ok := h.s.CoolingOf(v); ok {
			when[i], _, _ = k.When()
		}
	}
	if when[0].IsZero() || when[0].Sub(when[1]).Abs() > 5*time.Minute {
		t.Errorf("by many readings at %s, by few at %s", when[0], when[1])
	}
}
