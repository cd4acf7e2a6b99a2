package cellar_test

import (
	"cmp"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"sort"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/clarity"
	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/stage"
	"cellar.example/mustwatch/domain/subject"
)

// The invariants of the ledger, over generated nights: what a cellar holds follows
// from what was said and when it was so, and from nothing else.

// flows are the kinds of fact that the ledger folds.
var flows = map[string]bool{"moved": true, "juice-ran": true, "juice-closed": true, "tipping": true, "tipped": true,
	"dosed": true, "reading-taken": true,
	"pectin-test-begun": true, "pectin-test-read": true, "paper-drop": true, "staged": true, "press-begun": true,
	"press-halted": true, "press-resumed": true,
	"press-ended": true, "press-freed": true, "dose-weighed": true, "weighed-back": true, "tub-opened": true,
	"stock-counted":  true,
	"load-cancelled": true, "releaser-named": true, "lot-ended": true,
	"load-booked": true, "load-weighed": true, "put-on-hold": true, "released": true, "move-begun": true,
	"routed": true}

// A kind that was renamed would fall out of every night that is drawn, in silence.
func TestTheDrawnKindsAreKinds(t *testing.T) {
	for kind := range flows {
		if !slices.Contains(cellar.Kinds(), kind) {
			t.Error(kind)
		}
	}
}

// drawNight draws a night as it is saved in order: the house, then what was said of
// what it holds, now and then two things of one minute.
func drawNight(t *rapid.T) (h *house, night []cellar.Record) {
	h = openHouse(t)
	h.now = h.now.Add(time.Minute)
	for n := rapid.IntRange(4, 30).Draw(t, "length"); n > 0; n-- {
		h.now = h.now.Add(time.Duration(rapid.IntRange(0, 40).Draw(t, "step")) * time.Minute)
		c := flowCommand(t, h)
		facts, err := cellar.Decide(h.s, c, h.now)
		if err != nil {
			continue
		}
		for _, r := range cellar.Records(c, facts, h.now, "test") {
			r.Seq = h.s.Seq + 1
			cellar.Apply(h.s, r)
			if flows[cellar.Kind(r.Fact)] {
				night = append(night, r)
			}
		}
	}
	return h, night
}

// flowCommand draws what happened in a cellar; that it happened saves it whatever the
// rules say.
func flowCommand(t *rapid.T, h *house) cellar.Command {
	head := cellar.Head{By: "NS", Happened: true}
	head.Answers = append(head.Answers, gate.Answer{Rule: "S02", By: "OF", Second: "NS", Reason: "drawn"})
	for _, r := range cellar.Rules() {
		head.Answers = append(head.Answers, gate.Answer{Rule: r.Code, By: "OF", Second: "NS", Reason: "drawn"})
	}
	number := func() cellar.TankNumber {
		return pick[cellar.TankNumber](t, "number", "101", "102", "103", "201", "206", "401", "701")
	}
	full := func() cellar.TankNumber {
		var out []cellar.TankNumber
		for _, v := range h.s.Vessels() {
			if v.Now.Volume > 0 {
				out = append(out, v.Number)
			}
		}
		if len(out) == 0 {
			return "101"
		}
		return pick(t, "full", out...)
	}
	temp := quantity.Celsius(rapid.IntRange(6, 20).Draw(t, "temp"))
	switch rapid.IntRange(0, 19).Draw(t, "flow") {
	case 17, 18, 19:
		return drawAct(t, h, head, full)
	case 0, 1:
		return &cellar.GiveDose{Head: head, Vessel: full(), Product: pick[cellar.ProductID](t, "product", "E-1", "S-1",
			"B-1"), Temp: &temp,
			Rate: quantity.Rate{Value: float64(rapid.IntRange(1, 6).Draw(t, "rate")), Unit: quantity.GPerHL}}
	case 2, 14, 15, 16:
		return drawReading(t, head, full)
	case 3, 4:
		for _, v := range h.s.Vessels() {
			if k := v.Now.Check(); k != nil {
				head.At = k.Started.Add(time.Duration(rapid.IntRange(1, 12).Draw(t, "tube")) * time.Minute)
				if head.At.After(h.now) {
					h.now = head.At
				}
				return &cellar.ReadCheck{Head: head, Vessel: v.Number, Sample: pick(t, "sample", clarity.LargeFlocs,
					clarity.Clear), Control: clarity.ControlFlocs}
			}
		}
		return &cellar.StartCheck{Head: head, Vessel: full()}
	case 5, 6, 7, 8:
		return drawMove(t, h, head, full(), number)
	case 9:
		return &cellar.SetStage{Head: head, Vessel: number(), Stage: pick(t, "stage", stage.Stages()...),
			Reason: "drawn"}
	}
	return nextOfPress(t, h, head, number)
}

// drawReading draws what a probe or a person reads: of an empty vessel too, and words.
func drawReading(t *rapid.T, head cellar.Head, full func() cellar.TankNumber) cellar.Command {
	m := cellar.Measured{}
	which := rapid.IntRange(1, 63).Draw(t, "read")
	if which&1 != 0 {
		x := quantity.Celsius(rapid.IntRange(6, 20).Draw(t, "temp"))
		m.Temp = &x
	}
	if which&2 != 0 {
		x := quantity.Density(1 + float64(rapid.IntRange(0, 90).Draw(t, "density"))/1000)
		m.Density = &x
	}
	if which&4 != 0 {
		x := quantity.HL(float64(rapid.IntRange(1, 60).Draw(t, "dip")))
		m.Volume = &x
	}
	if which&8 != 0 {
		x := float64(rapid.IntRange(1, 900).Draw(t, "ntu"))
		m.Turbidity = &x
	}
	if which&16 != 0 {
		x := float64(rapid.IntRange(30, 40).Draw(t, "ph")) / 10
		m.PH = &x
	}
	if which&32 != 0 && which&1 == 0 {
		m.Words = "drawn"
	} else if which == 32 {
		m.Brix = new(float64)
	}
	if m == (cellar.Measured{}) {
		m.Words = "nothing else"
	}
	return &cellar.TakeReading{Head: head, Vessel: full(), Measured: m}
}

// drawMove draws a move of some or all of what a vessel holds.
func drawMove(t *rapid.T, h *house, head cellar.Head, from cellar.TankNumber,
	number func() cellar.TankNumber) cellar.Command {
	v, _ := h.s.Vessel(from)
	part := rapid.Bool().Draw(t, "part")
	c := &cellar.Move{Head: head, From: from, Part: part, Blend: true}
	left := v.Now.Volume
	take := func() quantity.Volume {
		x := quantity.Volume(rapid.Int64Range(1, max(2, int64(left)/2)).Draw(t, "mL"))
		left -= x
		return x
	}
	if rapid.IntRange(0, 2).Draw(t, "two") == 0 {
		c.To = append(c.To, cellar.Portion{Vessel: number(), Volume: take()})
	}
	if rapid.IntRange(0, 2).Draw(t, "lees") == 0 {
		c.Lees = &cellar.Portion{Vessel: "701", Volume: take() / 20}
	}
	if rapid.IntRange(0, 2).Draw(t, "loss") == 0 {
		c.Loss = min(quantity.Hectolitre, take())
	}
	if rapid.IntRange(0, 5).Draw(t, "out") == 0 {
		c.Out = &cellar.Sent{As: pick(t, "as", cellar.Exits()...), Volume: take()}
	}
	rest := v.Now.Volume - c.Sum()
	if part {
		rest = take()
	}
	if rapid.IntRange(0, 7).Draw(t, "too much") == 0 { // what has happened and cannot have been
		rest += hl(t, 60)
	}
	if p, _ := h.s.Press("P1"); p.State == cellar.PressReady && rapid.IntRange(0, 5).Draw(t, "to press") == 0 {
		c.To = append(c.To, cellar.Portion{Vessel: "P1", Volume: rest})
	} else {
		c.To = append(c.To, cellar.Portion{Vessel: number(), Volume: rest})
	}
	return c
}

// nextOfPress draws what a press does next, now and then what it does not.
func nextOfPress(t *rapid.T, h *house, head cellar.Head, number func() cellar.TankNumber) cellar.Command {
	p, _ := h.s.Press("P1")
	load := pick[cellar.LoadID](t, "load", "0501", "0502")
	if c := drawLoad(t, h, head, load, number); c != nil {
		return c
	}
	tip := &cellar.Tip{Head: head, Load: load, To: "P1", Mass: quantity.Mass(rapid.IntRange(0, 8).Draw(t,
		"t")) * quantity.Tonne}
	odd := rapid.IntRange(0, 9).Draw(t, "odd") == 0
	switch {
	case odd:
		return pressCommand(t, h, head, number)
	case p.State == cellar.PressReady:
		return tip
	case p.State == cellar.PressFilling:
		return pick[cellar.Command](t, "fills", tip, &cellar.TipDone{Head: head, Load: p.Parts[0].Load, To: "P1"},
			&cellar.StartPress{Head: head, Press: "P1", Programme: "W-120", Main: number(), Fraction: "401"})
	case p.State == cellar.PressFull:
		return &cellar.StartPress{Head: head, Press: "P1", Programme: "W-120", Main: number(), Fraction: "401"}
	case p.State == cellar.PressRunning:
		return pick[cellar.Command](t, "runs", &cellar.PressJuiceOut{Head: head, Press: "P1", Volume: hl(t, 20),
			Closed: rapid.Bool().Draw(t, "closed")},
			&cellar.PressJuiceOut{Head: head, Press: "P1", Volume: hl(t, 20), End: true}, &cellar.StopPress{Head: head,
				Press: "P1", Reason: "drawn"})
	case p.State == cellar.PressStopped:
		return &cellar.GoPress{Head: head, Press: "P1"}
	}
	return pick[cellar.Command](t, "empties", &cellar.PressJuiceOut{Head: head, Press: "P1",
		Share: cellar.ShareFraction, Volume: hl(t, 8)}, &cellar.FreePress{Head: head, Press: "P1"})
}

// replayed applies records in the order given, under their own numbers, to the house
// as it was opened.
func replayed(t *rapid.T, records []cellar.Record) *cellar.State {
	s := openHouse(t).s
	for _, r := range records {
		cellar.Apply(s, again(t, r))
	}
	return s
}

// standing is what the ledger says of a cellar, one line for each thing, without the
// numbers of the records that said it.
func standing(s *cellar.State) string {
	var out []string
	say := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	for _, v := range s.Vessels() {
		c := &v.Now
		say("%s: %s since %s, %d mL of %s, open %v from %s, pectin gone %s, least sure %v", v.Number, c.Stage, c.Since,
			c.Volume, c.Kind, c.Open, c.Source, c.PectinGone, c.Gauge)
		say("  last %q, looked %s, temperature of %s (calculated %v), density first %s at %s, last at %s, turbid at %s",
			c.Last.Say(quantity.Metric), c.Looked, c.TempAt, c.TempCalc, c.DensityWas, c.DensityWasAt, c.DensityAt,
			c.NTUAt)
		for it := range v.Latest {
			if it.Reading != nil && !it.TakenBack {
				say("  read %s at %s by %s", it.Reading.Say(quantity.Metric), it.At, it.By)
			}
		}
		var parts []string
		for load, ml := range shares(c) {
			if ml != 0 {
				parts = append(parts, fmt.Sprintf("%s %d", load, ml))
			}
		}
		sort.Strings(parts)
		say("  parts %s", strings.Join(parts, ", "))
		var doses []string // those of one minute in no order
		for _, d := range c.Doses {
			doses = append(doses, fmt.Sprintf("  %s %s %s %s, %.6f on %.6f", d.At, d.Product, d.Amount, d.Drawn,
				d.PerHL, d.First))
		}
		sort.Strings(doses)
		say("%s", strings.Join(doses, "\n"))
		for _, k := range c.Checks {
			say("  check of %s: %s", k.Started, k.Verdict)
		}
		for _, k := range dues(s, string(v.Number)) {
			say("  %s", k)
		}
		for _, f := range v.Faults() {
			say("  does not add up: %s", s.Words(s.Fault(f)))
		}
		say("  unexplained %d", v.Astray())
		for _, r := range c.Temps.Since(time.Time{}) {
			say("  %s at %s", r.T, r.At)
		}
	}
	for _, p := range s.Presses() {
		say("%s: %s since %s, %v, main %s, fraction %s, started %s, ends %s, %q", p.Number, p.State, p.Since,
			partsOf(p),
			p.MainOut, p.FracOut, p.Started, p.End, dues(s, string(p.Number)))
	}
	for _, m := range byTime(s.Moves()) {
		say("moved %s: %s of %d mL, unexplained %d", m.At, m.From, m.Taken, m.Unexplained)
	}
	return strings.Join(append(out, standingActs(s)...), "\n")
}

// dues are the clocks that follow for a subject. The forecast of a cooling stands by what
// was known when it was made, within its minutes.
func dues(s *cellar.State, subject string) (out []string) {
	for _, k := range s.ClocksOf(s.Known(subject)) {
		if k.Derived && k.Kind != cellar.KindCooling {
			out = append(out, fmt.Sprintf("%s %s %s (%s) from %s, void %s, model %s", k.Says(), k.DueKind, k.Due,
				s.Words(k.Basis), k.Start, k.Until, k.Model))
		}
	}
	sort.Strings(out)
	return out
}

func partsOf(p *cellar.Press) (out []string) {
	for _, x := range p.Parts {
		out = append(out, fmt.Sprint(x.Load, x.From, x.Mass, x.Volume, x.Must))
	}
	return out
}

func byTime(all []cellar.MoveLine) []cellar.MoveLine {
	slices.SortFunc(all, func(a, b cellar.MoveLine) int {
		return cmp.Or(a.At.Compare(b.At), cmp.Compare(a.From, b.From), cmp.Compare(a.Taken, b.Taken),
			cmp.Compare(a.Unexplained, b.Unexplained))
	})
	return all
}

func sameCellar(t *rapid.T, got, want *cellar.State) {
	if a, b := standing(got), standing(want); a != b {
		t.Fatalf("differs:\n%s", firstDifference(a, b))
	}
}

func firstDifference(got, want string) string {
	a, b := strings.Split(got, "\n"), strings.Split(want, "\n")
	for i := range max(len(a), len(b)) {
		x, y := "", ""
		if i < len(a) {
			x = a[i]
		}
		if i < len(b) {
			y = b[i]
		}
		if x != y {
			return fmt.Sprintf("line %d\n got %s\nwant %s", i, x, y)
		}
	}
	return ""
}

// 1: the same facts of the same times, saved in any order, are the same cellar.
func TestInvariantOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h, night := drawNight(t)
		if len(night) == 0 {
			return
		}
		late := rapid.Permutation(night).Draw(t, "saved")
		for i := range late { // and when it was saved makes no difference either
			late[i].Written = h.now.Add(time.Duration(i) * time.Second)
		}
		sameCellar(t, replayed(t, late), replayed(t, night))
	})
}

// takeBack is the record that takes another back.
func takeBack(of cellar.Record, last cellar.Seq) cellar.Record {
	return cellar.Record{Seq: last + 1, At: of.At.Add(time.Hour), Written: of.At.Add(time.Hour), By: "NS",
		Fact: &cellar.Corrected{Of: of.Seq, Vessel: "101", Field: "entry", TakeBack: true, Reason: "drawn"}}
}

// 2: what was taken back is as if it had never been saved, whatever it was.
func TestInvariantTakenBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h, night := drawNight(t)
		if len(night) == 0 {
			return
		}
		i := rapid.IntRange(0, len(night)-1).Draw(t, "taken back")
		without := slices.Delete(slices.Clone(night), i, i+1)
		sameCellar(t, replayed(t, append(slices.Clone(night), takeBack(night[i], h.s.Seq))), replayed(t, without))
	})
}

// 3: what was corrected is as if it had been saved right the first time.
func TestInvariantCorrected(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h, night := drawNight(t)
		var can []int
		for i, r := range night {
			if _, ok := amended(t, r, nil); ok {
				can = append(can, i)
			}
		}
		if len(can) == 0 {
			return
		}
		i := pick(t, "corrected", can...)
		c := &cellar.Corrected{Of: night[i].Seq, Reason: "drawn"}
		right, _ := amended(t, night[i], c)
		first := slices.Clone(night)
		first[i] = right
		fix := cellar.Record{Seq: h.s.Seq + 1, At: h.now, Written: h.now, By: "NS", Fact: c}
		sameCellar(t, replayed(t, append(slices.Clone(night), fix)), replayed(t, first))
	})
}

// A batch is what its lines are together: corrected lines as if they had been right the
// first time, lines that were taken back as if never saved, whatever lies between.
func TestInvariantBatch(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h, night := drawNight(t)
		if len(night) == 0 {
			return
		}
		all := map[int]bool{}
		for range rapid.IntRange(1, 4).Draw(t, "lines") {
			all[rapid.IntRange(0, len(night)-1).Draw(t, "of")] = true
		}
		order := rapid.Permutation(slices.Sorted(maps.Keys(all))).Draw(t, "order")
		batch := []cellar.Record{{Seq: h.s.Seq + 1, At: h.now, Written: h.now, By: "NS",
			Fact: &cellar.PutTogether{Records: len(order)}}}
		right, gone := slices.Clone(night), map[int]bool{}
		for n, i := range order {
			c := &cellar.Corrected{Of: night[i].Seq, Reason: "drawn"}
			if _, ok := amended(t, night[i], nil); ok && rapid.Bool().Draw(t, "corrected") {
				right[i], _ = amended(t, night[i], c)
			} else {
				c.Vessel, c.Field, c.TakeBack = "101", "entry", true
				gone[i] = true
			}
			batch = append(batch, cellar.Record{Seq: h.s.Seq + 2 + cellar.Seq(n), At: h.now, Written: h.now, By: "NS",
				Fact: c})
		}
		var first []cellar.Record
		for i, r := range right {
			if !gone[i] {
				first = append(first, r)
			}
		}
		sameCellar(t, replayed(t, append(slices.Clone(night), batch...)), replayed(t, first))
	})
}

// amended is a record as it should have been, and in c the correction that says so; ok
// is false where it has nothing of the kind.
func amended(t *rapid.T, r cellar.Record, c *cellar.Corrected) (cellar.Record, bool) {
	draw := c != nil
	if !draw {
		c = &cellar.Corrected{}
	}
	text, _ := json.Marshal(r.Fact)
	fact, _ := cellar.NewFact(cellar.Kind(r.Fact))
	if err := json.Unmarshal(text, fact); err != nil {
		t.Fatal(err)
	}
	r.Fact = fact
	if draw && rapid.IntRange(0, 2).Draw(t, "its time") == 0 {
		at := r.At.Add(time.Duration(rapid.IntRange(-90, 90).Draw(t, "off"))*time.Minute + 30*time.Second)
		c.Vessel, c.Field, c.Now = "101", "at", at.Format(time.RFC3339)
		r.At = at
		return r, true
	}
	vol := quantity.HL(12.3)
	if draw {
		vol = hl(t, 60)
	}
	switch f := fact.(type) {
	case *cellar.Moved:
		if f.Out != nil {
			c.Vessel, c.Field, c.Now, f.Out.Volume = f.From, "volume", vol.String(), vol
			break
		}
		if len(f.To) == 0 {
			return r, false
		}
		c.Vessel, c.Field, c.Now = f.To[0].Vessel, "volume", vol.String()
		f.To[0].Volume = vol
	case *cellar.JuiceRan:
		if f.Reads > 0 || f.Volume == 0 {
			return r, false
		}
		c.Vessel, c.Field, c.Now = f.To, "volume", vol.String()
		f.Volume = vol
	case *cellar.Dosed:
		if f.Drawn.Liquid() {
			return r, false
		}
		f.Drawn = quantity.Amount{Mass: quantity.Mass(vol) * quantity.Gram / 1000}
		f.Amount = f.Drawn
		c.Vessel, c.Field, c.Now = f.Vessel, "amount", f.Drawn.String()
		_ = f.Drawn.UnmarshalText([]byte(c.Now))
		f.ByRate = false
		f.Amount = f.Drawn
	case *cellar.WasRead:
		temp := quantity.Celsius(7)
		if draw {
			temp = quantity.Celsius(rapid.IntRange(5, 25).Draw(t, "temp"))
		}
		f.Temp = &temp
		c.Vessel, c.Field, c.Now = f.Vessel, "temp", temp.String()
	default:
		return r, amendedLoad(t, fact, c, draw)
	}
	return r, true
}

// 4: what came is what is held, what left, what was lost, and what is unexplained, load
// by load and to the millilitre, in whatever order it was saved.
func TestInvariantConservation(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		_, night := drawNight(t)
		s := openHouse(t).s
		if len(night) > 0 { // of one line they knew who said the others, and it was never so
			n := rapid.IntRange(0, len(night)).Draw(t, "without")
			night = slices.Delete(slices.Clone(night), n, min(n+1, len(night)))
			s = replayed(t, rapid.Permutation(night).Draw(t, "saved"))
		}
		tubsAndTrailersAddUp(t, s, night)
		account, astray := map[cellar.LoadID]quantity.Volume{}, quantity.Volume(0)
		post := func(parts []cellar.Part, sign quantity.Volume) {
			for _, p := range parts {
				account[p.Load] += sign * p.Volume
			}
		}
		for _, v := range s.Vessels() {
			post(v.Now.Parts, -1)
			astray += v.Astray()
			for x := range v.Spilt {
				post(x.Parts, -1)
				for _, p := range x.Parts {
					astray -= p.Volume
				}
			}
			for _, it := range items(v) {
				if it.In != nil && !it.TakenBack {
					if it.In.From.Kind != subject.Vessel {
						post(it.In.Parts, 1)
					}
				}
			}
		}
		for _, m := range s.Moves() {
			post(m.Lost, -1)
			if m.Sent != nil {
				post(m.Sent.Parts, -1)
			}
			post(m.Missing, -1)
			astray -= max(m.Unexplained, -m.Unexplained)
			for _, leg := range m.Legs {
				if leg.Press {
					post(leg.Parts, -1)
				}
			}
		}
		maps.DeleteFunc(account, func(_ cellar.LoadID, v quantity.Volume) bool { return v == 0 })
		if astray != 0 {
			t.Fatalf("what is told as unexplained is %s off", astray)
		}
		if len(account) > 0 {
			t.Fatalf("not accounted for: %v\n%s", account, standing(s))
		}
	})
}

// 6: what a form said beforehand is what changed.
func TestInvariantPreview(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h, night := drawNight(t)
		h.now = h.now.Add(5 * time.Minute)
		c := flowCommand(t, h)
		if len(night) > 0 && rapid.Bool().Draw(t, "corrects") {
			r := pick(t, "of", night...)
			takeBack := &cellar.Correct{Head: *cellar.HeadOf(c), Of: r.Seq, TakeBack: true, Reason: "drawn"}
			if rapid.Bool().Draw(t, "together") {
				takeBack.Head = cellar.Head{}
				other := &cellar.Correct{Of: pick(t, "and of", night...).Seq, TakeBack: true, Reason: "drawn"}
				all := []cellar.Line{{Command: takeBack}, {Command: other}}
				if rapid.Bool().Draw(t, "and says") {
					all = append(all, cellar.Line{Command: c})
				}
				c = &cellar.Together{Head: *cellar.HeadOf(c), Lines: all}
			} else {
				c = takeBack
			}
		} else if rapid.Bool().Draw(t, "late") {
			cellar.HeadOf(c).At = h.now.Add(-time.Duration(rapid.IntRange(1, 200).Draw(t, "back")) * time.Minute)
		}
		clocks, effects, err := h.s.Foresee(c, h.now)
		if err != nil {
			return
		}
		before, volumes := openClocks(h.s), volumesOf(h.s)
		if _, err := h.try(c, h.now); err != nil {
			return
		}
		for _, f := range clocks {
			if strings.HasPrefix(f.Verb, "pour ") { // by who weighs a dose; it does not follow
				continue
			}
			name := f.Subject.Name + " " + f.Verb + " " + string(f.DueKind) + " "
			if !f.Was.IsZero() {
				before[name+fmt.Sprint(f.Was)]--
			}
			if !f.Due.IsZero() {
				before[name+fmt.Sprint(f.Due)]++
			}
		}
		maps.DeleteFunc(before, func(_ string, n int) bool { return n == 0 })
		if after := openClocks(h.s); !maps.Equal(before, after) {
			t.Fatalf("%s: by what was foreseen %v would run, these do: %v", cellar.Do(c), before, after)
		}
		told := map[cellar.TankNumber]string{}
		for _, e := range effects {
			if e.Kind == cellar.EffectVolume {
				told[e.Vessel] = e.Now
			}
		}
		for number, now := range volumesOf(h.s) {
			if v, said := told[number]; said && now.Text(quantity.Metric) != v && (v != "" || now != 0) {
				t.Fatalf("%s: %s holds %s, foreseen was %q", cellar.Do(c), number, now, v)
			}
			_, corrects := c.(*cellar.Correct)
			if _, batch := c.(*cellar.Together); (corrects || batch) &&
				now.Text(quantity.Metric) != volumes[number].Text(quantity.Metric) && told[number] == "" && now != 0 {
				t.Fatalf("%s: %s holds %s instead of %s, and nobody had said so", cellar.Do(c), number, now,
					volumes[number])
			}
		}
	})
}

// openClocks counts the clocks that follow, by name and due.
func openClocks(s *cellar.State) map[string]int {
	out := map[string]int{}
	for _, k := range s.Clocks() {
		if k.Derived && k.Kind != cellar.KindCooling {
			out[k.Subject.Name+" "+k.Says()+" "+string(k.DueKind)+" "+fmt.Sprint(k.Due)]++
		}
	}
	return out
}

func volumesOf(s *cellar.State) map[cellar.TankNumber]quantity.Volume {
	out := map[cellar.TankNumber]quantity.Volume{}
	for _, v := range s.Vessels() {
		out[v.Number] = v.Now.Volume
	}
	return out
}
