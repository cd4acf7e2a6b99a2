package cellar_test

import (
	"encoding/json"
	"fmt"
	"reflect"
	"slices"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/clarity"
	"cellar.example/mustwatch/domain/clocks"
	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/stage"
	"cellar.example/mustwatch/domain/subject"
)

// smallHouse is a house of eight vessels and a press, in mid-harvest.
var smallHouse = []string{
	`{"do":"house","name":"Test house","zone":"Europe/Paris","units":"metric","recipe":"1:2",` +
		`"similar_numbers":"off","people":[{"initials":"MA","name":"M","roles":["lead"]},{"initials":"NS",` +
		`"name":"N","roles":["tank"]},{"initials":"OF","name":"O","roles":["winemaker"]}]}`,
	`{"do":"vessel","by":"MA","vessel":"101","brim":"250 hL","use":"settle"}`,
	`{"do":"vessel","by":"MA","vessel":"102","brim":"250 hL","use":"settle"}`,
	`{"do":"vessel","by":"MA","vessel":"103","brim":"250 hL","use":"settle"}`,
	`{"do":"vessel","by":"MA","vessel":"201","brim":"200 hL","use":"ferment"}`,
	`{"do":"vessel","by":"MA","vessel":"206","brim":"200 hL","use":"ferment"}`,
	`{"do":"vessel","by":"MA","vessel":"401","brim":"60 hL","use":"pressings"}`,
	`{"do":"vessel","by":"MA","vessel":"701","brim":"80 hL","use":"lees"}`,
	`{"do":"press","by":"MA","press":"P1","rated":"22 t","whole_bunch":"12 t","empty":"35min",` +
		`"programmes":[{"name":"W-120","minutes":"2h"}]}`,
	`{"do":"product","by":"MA","product":"E-1","name":"clarifying enzyme","class":"enzyme-clarify","unit":"g/hL",` +
		`"open":"2 kg","sealed":2,"size":"1 kg","expiry":"2027-12","card":{"rows":[{"from":"15 °C","to":"20 °C",` +
		`"wait":"2h"},{"from":"12 °C","to":"15 °C","wait":"3h"},{"from":"10 °C","to":"12 °C","wait":"4h"}],` +
		`"floor":"10 °C","ceiling":"45 °C","low":"1 g/hL","high":"4 g/hL","max":"6 g/hL","make_up":10}}`,
	`{"do":"product","by":"MA","product":"S-1","name":"SO2 solution","class":"SO2","unit":"g/hL","liquid":true,` +
		`"open":"60 L","card":{"strength":"150 g/L"}}`,
	`{"do":"product","by":"MA","product":"B-1","name":"bentonite","class":"bentonite","unit":"g/hL","open":"75 kg"}`,
	`{"do":"book","by":"MA","load":"0501","variety":"Sauvignon","booked":"2026-09-24T20:00:00+02:00"}`,
	`{"do":"opening","by":"MA","vessels":[{"vessel":"101","volume":"200 hL","variety":"Muscat","kind":"juice",` +
		`"stage":"waiting","temp":"13.5 °C"},{"vessel":"102","volume":"120.5 hL","variety":"Sauvignon",` +
		`"kind":"juice","stage":"waiting","temp":"14 °C"},{"vessel":"103","stage":"empty clean"},{"vessel":"201",` +
		`"stage":"empty clean"},{"vessel":"206","stage":"empty clean"},{"vessel":"401","stage":"empty clean"},` +
		`{"vessel":"701","volume":"10 hL","variety":"lees","kind":"lees","stage":"juice lees"}],` +
		`"presses":[{"press":"P1","state":"ready"}]}`,
}

var sixPM = time.Date(2026, 9, 24, 16, 0, 0, 0, time.UTC)

// openHouse plays smallHouse at six in the evening.
func openHouse(t interface{ Fatal(...any) }) *house {
	h := &house{s: cellar.NewState(), now: sixPM}
	for _, l := range smallHouse {
		if err := h.line(l); err != nil {
			t.Fatal(l, err)
		}
	}
	return h
}

func pick[T any](t *rapid.T, name string, of ...T) T { return rapid.SampledFrom(of).Draw(t, name) }

func hl(t *rapid.T, most float64) quantity.Volume {
	return quantity.HL(float64(rapid.IntRange(1, int(most*10)).Draw(t, "hl")) / 10)
}

// anyCommand draws a command that a cellar hand might type, sense or nonsense.
func anyCommand(t *rapid.T, h *house) cellar.Command {
	head := cellar.Head{By: pick[cellar.Initials](t, "by", "MA", "NS", "OF"), Happened: rapid.Bool().Draw(t,
		"happened")}
	if rapid.IntRange(0, 5).Draw(t, "late") == 0 {
		head.At = h.now.Add(-time.Duration(rapid.IntRange(1, 90).Draw(t, "back")) * time.Minute)
	}
	head.Same = rapid.IntRange(0, 9).Draw(t, "same") == 0
	if rapid.Bool().Draw(t, "answers") {
		for _, r := range cellar.Rules() {
			head.Answers = append(head.Answers, gate.Answer{Rule: r.Code, By: "OF", Second: "NS", Reason: "drawn"})
		}
	}
	number := func() cellar.TankNumber {
		return pick[cellar.TankNumber](t, "number", "101", "102", "103", "201", "206", "401", "701")
	}
	temp := quantity.Celsius(rapid.IntRange(6, 20).Draw(t, "temp"))
	switch rapid.IntRange(0, 19).Draw(t, "kind") {
	case 0:
		return &cellar.GiveDose{Head: head, Vessel: number(), Seen: pick[cellar.TankNumber](t, "seen", "", "206"),
			Product: pick[cellar.ProductID](t, "product", "E-1", "S-1", "B-1"), Temp: &temp,
			Rate: quantity.Rate{Value: float64(rapid.IntRange(1, 6).Draw(t, "rate")), Unit: quantity.GPerHL}}
	case 12:
		return &cellar.WeighDose{GiveDose: cellar.GiveDose{Head: head, Vessel: number(),
			Product: pick[cellar.ProductID](t, "product", "E-1", "S-1", "B-1"),
			Rate:    quantity.Rate{Value: float64(rapid.IntRange(1, 6).Draw(t, "rate")), Unit: quantity.GPerHL}}}
	case 13:
		return &cellar.WeighBack{Head: head, Vessel: number(), Product: pick[cellar.ProductID](t, "product", "E-1",
			"S-1", "B-1"), Reason: "drawn"}
	case 1:
		return &cellar.TakeReading{Head: head, Vessel: number(), Measured: cellar.Measured{Temp: &temp}}
	case 2:
		if rapid.IntRange(0, 3).Draw(t, "bottle") == 0 {
			return &cellar.SetBottle{Head: head, Bottle: cellar.Bottle{ID: pick[cellar.BottleID](t, "bottle id", "A-1",
				"A-2"), Strength: float64(rapid.IntRange(80, 99).Draw(t, "abv"))}}
		}
		return &cellar.StartCheck{Head: head, Vessel: number(), Sampling: cellar.Sampling{From: pick(t, "from",
			append(cellar.SamplePoints(), "")...),
			ControlTube: cellar.ControlTube{Source: "press juice", Openings: rapid.IntRange(0, 5).Draw(t, "openings")}}}
	case 3:
		return &cellar.ReadCheck{Head: head, Vessel: number(), Sample: pick(t, "sample", clarity.LargeFlocs,
			clarity.FineFlocs, clarity.FaintHaze, clarity.Clear),
			Control: pick(t, "control", clarity.ControlFlocs, clarity.ControlClear, clarity.ControlNone),
			Second:  pick(t, "second", "", clarity.SecondUnchanged, clarity.SecondFlocs),
			Tube:    pick[cellar.TankNumber](t, "tube", "", "", "101"),
			ControlTube: cellar.ControlTube{TakenAt: h.now.Add(-time.Duration(rapid.IntRange(1, 40).Draw(t,
				"age")) * time.Hour)}}
	case 4, 5:
		v, _ := h.s.Vessel(number())
		c := &cellar.Move{Head: head, From: v.Number, To: []cellar.Portion{{Vessel: number(), Volume: hl(t, 60)}},
			Part: rapid.Bool().Draw(t, "part"), Blend: rapid.Bool().Draw(t, "blend"),
			How: pick(t, "how", cellar.Unsaid, cellar.Unsaid, cellar.ByDip, cellar.ByMeter, cellar.Estimate)}
		c.To[0].Seen = pick(t, "seen", "", c.To[0].Vessel, "206")
		if !c.Part && v.Now.Volume > 0 {
			c.To[0].Volume = v.Now.Volume
		}
		if rapid.IntRange(0, 3).Draw(t, "out") == 0 {
			c.Out, c.To = &cellar.Sent{As: pick(t, "as", cellar.Exits()...), Volume: c.To[0].Volume, To: "drawn"}, nil
		}
		return c
	case 6:
		c := &cellar.SetStage{Head: head, Vessel: number(), Stage: pick(t, "stage", stage.Stages()...), Reason: "drawn"}
		if c.Stage == stage.Clean {
			c.SeenTo = cellar.CleanSteps()[rapid.IntRange(0, 4).Draw(t, "seen to"):]
		}
		return c
	case 7:
		return &cellar.HoldVessel{Head: head, Vessel: number(), Reason: "drawn", Releaser: "OF"}
	case 8:
		return &cellar.ReleaseVessel{Head: head, Vessel: number(), Reason: "drawn"}
	case 9:
		all := correctables(h)
		if len(all) == 0 {
			return &cellar.WriteNote{Head: head, Text: "nothing to correct"}
		}
		x := pick(t, "of", all...)
		return &cellar.Correct{Head: head, Of: x.Of, Vessel: x.Vessel, Field: x.Field,
			Value: fmt.Sprint(rapid.IntRange(1, 90).Draw(t, "value")), Reason: "drawn", TakeBack: rapid.IntRange(0,
				4).Draw(t, "take back") == 0}
	case 10:
		return &cellar.SetClock{Head: head, Subject: subject.Bare(string(number())), Verb: "look",
			In: quantity.Span(time.Duration(rapid.IntRange(1, 300).Draw(t, "min")) * time.Minute)}
	case 11:
		if due := h.s.Alarms(h.now); len(due) > 0 {
			return &cellar.See{Head: head, Clock: due[0].ID}
		}
		if l, ok := h.s.Load("0501"); ok && !l.Arrived.IsZero() {
			return pressCommand(t, h, head, number)
		}
		return &cellar.WeighLoad{Head: head, Load: cellar.Load{ID: "0501", Gross: 30 * quantity.Tonne,
			Tare: 12 * quantity.Tonne}}
	case 14, 15:
		return crewCommand(t, h, head)
	case 16:
		return pressCommand(t, h, head, number)
	}
	return lessCommon(t, h, head, number)
}

// lessCommon draws a command that is written now and then.
func lessCommon(t *rapid.T, h *house, head cellar.Head, number func() cellar.TankNumber) cellar.Command {
	switch rapid.IntRange(0, 6).Draw(t, "less common") {
	case 5:
		return &cellar.PrintSheet{Head: head}
	case 0:
		return &cellar.WritePaperDrop{Head: head, Vessel: number(), PaperDrop: cellar.PaperDrop{Method: pick(t,
			"method",
			clarity.PaperDrop, clarity.PaperRun),
			Ring: pick(t, "ring", "", clarity.WideRing, clarity.NoRing), Treated: quantity.Volume(rapid.IntRange(0,
				90).Draw(t, "treated")) * quantity.Millilitre, Untreated: 50 * quantity.Millilitre}}
	case 1:
		return &cellar.SetRoute{Head: head, Vessel: number(), Route: pick(t, "route", cellar.RouteSettle,
			cellar.RouteFloat), Reason: "drawn"}
	case 2:
		return &cellar.GiveOrder{Head: head, Act: pick(t, "act", cellar.Acts()...), Vessel: number(), Product: "E-1",
			Text: "drawn", From: "OF",
			Rate: quantity.Rate{Value: 2, Unit: quantity.GPerHL}}
	case 3:
		return &cellar.EndOrder{Head: head, Vessel: number(), Off: true, Reason: "drawn"}
	case 4:
		by := time.Duration(rapid.IntRange(-180, 180).Draw(t, "off")) * time.Minute
		tie := clocks.Anchor{House: h.now, Wall: h.now.Add(by), BootID: "drawn", Boot: time.Hour}
		head.At = time.Time{}
		return pick[cellar.Command](t, "clock", &cellar.AnchorClock{Anchor: tie}, &cellar.StepClock{From: h.now,
			To: h.now.Add(by), Tie: tie},
			&cellar.NoteSleep{From: h.now, Until: h.now.Add(by.Abs() + time.Minute), Tie: tie},
			&cellar.ConfirmTime{Head: head, Now: h.now.Add(by), Tie: tie})
	}
	return &cellar.WriteNote{Head: head, Subject: subject.Bare(string(number())), Text: "drawn", What: cellar.NoteInfo}
}

// pressCommand draws what is written of a press, from the load to the free press.
func pressCommand(t *rapid.T, h *house, head cellar.Head, number func() cellar.TankNumber) cellar.Command {
	for c := range h.s.Correctables("") {
		if c.Press != "" && rapid.IntRange(0, 3).Draw(t, "fill corrected") == 0 {
			return &cellar.Correct{Head: head, Of: c.Of, Field: "mass", Value: fmt.Sprint(rapid.IntRange(100,
				20000).Draw(t, "kg")), Reason: "drawn"}
		}
	}
	switch rapid.IntRange(0, 8).Draw(t, "press") {
	case 0:
		return &cellar.WeighLoad{Head: head, Load: cellar.Load{ID: "0501", Gross: 30 * quantity.Tonne,
			Tare: 12 * quantity.Tonne}}
	case 1:
		return &cellar.Tip{Head: head, Load: "0501", To: "P1", Mass: quantity.Mass(rapid.IntRange(1, 20).Draw(t,
			"t")) * quantity.Tonne / 2}
	case 2:
		return &cellar.TipDone{Head: head, Load: "0501", To: "P1"}
	case 3:
		return &cellar.StartPress{Head: head, Press: "P1", Programme: "W-120", Main: number(), Fraction: "401"}
	case 4:
		return &cellar.PressJuiceOut{Head: head, Press: "P1", Volume: hl(t, 40), Closed: rapid.Bool().Draw(t, "closed"),
			End: rapid.Bool().Draw(t, "end")}
	case 5:
		return &cellar.StopPress{Head: head, Press: "P1", Reason: "drawn", Locked: rapid.Bool().Draw(t, "locked")}
	case 6:
		return &cellar.GoPress{Head: head, Press: "P1"}
	case 7:
		return &cellar.CloseJuice{Head: head, Vessel: number()}
	}
	return &cellar.FreePress{Head: head, Press: "P1", More: rapid.Bool().Draw(t, "more")}
}

// crewCommand draws what is written of people: breaks, gas, permits, counts.
func crewCommand(t *rapid.T, h *house, head cellar.Head) cellar.Command {
	who := pick[cellar.Initials](t, "who", "MA", "NS", "OF")
	span := quantity.Span(time.Duration(rapid.IntRange(0, 90).Draw(t, "min")) * time.Minute)
	place := pick(t, "place", "101", "P1", "300 pit")
	number := fmt.Sprint(rapid.IntRange(1, 2).Draw(t, "number"))
	head.Happened = rapid.IntRange(0, 3).Draw(t, "happened") == 0
	if head.Happened {
		head.Answers = []gate.Answer{{Rule: "H17"}}
	}
	switch rapid.IntRange(0, 15).Draw(t, "crew") {
	case 12:
		return &cellar.NameAttendant{Head: head, Number: number, Attendant: who}
	case 13:
		return &cellar.EndShift{Head: head, To: who}
	case 14:
		return &cellar.EndEmergency{Head: head, Of: pick(t, "emergency", "", place, string(who)), Who: who,
			How: "drawn"}
	case 15:
		return &cellar.TellGas{Head: head, Place: place, Meter: pick(t, "meter", "", "G1")}
	case 0:
		return &cellar.ComeIn{Head: head, Who: who}
	case 1:
		return &cellar.GoOut{Head: head, Who: who}
	case 2:
		return &cellar.TakeBreak{Head: head, Who: who, For: span}
	case 3:
		return &cellar.EndBreak{Head: head, Who: who}
	case 4:
		return &cellar.CountHeads{Head: head, Counted: []cellar.Initials{who}, Others: rapid.IntRange(-1, 3).Draw(t,
			"others")}
	case 5:
		return &cellar.ReadGas{Head: head, GasReading: cellar.GasReading{Place: place,
			CO2: new(float64(rapid.IntRange(0, 30000).Draw(t, "ppm"))), Meter: pick(t, "meter", "", "G2")}}
	case 6:
		return &cellar.EndPermit{Head: head, Number: number}
	case 7:
		return &cellar.EnterVessel{Head: head, Place: place, Who: who, Permit: number}
	case 8:
		return &cellar.LeaveVessel{Head: head, Who: who}
	case 10:
		if due := h.s.Alarms(h.now); len(due) > 0 {
			return &cellar.Remind{Head: head, Clock: due[0].ID, In: quantity.Span(time.Duration(rapid.IntRange(0,
				40).Draw(t, "in")) * time.Minute), Reason: "drawn"}
		}
		return &cellar.ComeIn{Head: head, Who: who}
	case 9:
		return &cellar.StartShift{Head: head, Shift: cellar.Shift{Lead: "MA", Crew: []cellar.Initials{who},
			Ends: h.now.Add(span.Duration())}}
	}
	return &cellar.WritePermit{Head: head, Number: number, Place: place, Given: "site", Holder: who, Attendant: "OF",
		Until: h.now.Add(span.Duration()), CO2: new(700.0), Meter: "G2"}
}

// again passes a record through the form in which a journal keeps it.
func again(t interface{ Fatal(...any) }, r cellar.Record) cellar.Record {
	text, err := json.Marshal(r.Fact)
	if err != nil {
		t.Fatal(err)
	}
	f, ok := cellar.NewFact(cellar.Kind(r.Fact))
	if !ok {
		t.Fatal("unknown kind", cellar.Kind(r.Fact))
	}
	if err := json.Unmarshal(text, f); err != nil {
		t.Fatal(string(text), err)
	}
	r.Fact = f
	return r
}

// sameState compares two states in all but the fields named.
func sameState(t interface{ Fatal(...any) }, got, want *cellar.State, but ...string) {
	for _, s := range []*cellar.State{got, want} { // both make what they keep for drawing
		s.Zone()
		s.Clocks()
	}
	if d := cmp.Diff(want, got, cmp.Exporter(func(reflect.Type) bool { return true }),
		cmp.Comparer(func(a, b *time.Location) bool { return a.String() == b.String() }),
		cmp.FilterPath(func(p cmp.Path) bool { // the book is compared by what stands in it
			return slices.Contains(append(but, ".book", ".said"), p.Last().String())
		}, cmp.Ignore())); d != "" {
		t.Fatal("replay differs from the live state (-live +replay):\n" + d)
	}
	if a, b := standing(got), standing(want); a != b {
		t.Fatal("replay differs from the live state: " + firstDifference(a, b))
	}
}

// TestReplayEqualsLive: over generated nights the fold of what the journal
// keeps is the state that was live, and what a vessel holds is the sum of its
// parts, never more than its brim, never less than nothing.
func TestReplayEqualsLive(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := openHouse(t)
		var recs []cellar.Record
		for n := rapid.IntRange(5, 60).Draw(t, "length"); n > 0; n-- {
			h.now = h.now.Add(time.Duration(rapid.IntRange(0, 40).Draw(t, "step")) * time.Minute)
			c := anyCommand(t, h)
			facts, err := cellar.Decide(h.s, c, h.now)
			if err != nil {
				continue
			}
			for _, r := range cellar.Records(c, facts, h.now, "test") {
				r.Seq = h.s.Seq + 1
				cellar.Apply(h.s, r)
				recs = append(recs, again(t, r))
			}
			sound(t, h.s)
		}
		replay := openHouse(t).s
		for _, r := range recs {
			cellar.Apply(replay, r)
		}
		sameState(t, replay, h.s)
	})
}

func sound(t *rapid.T, s *cellar.State) {
	for _, in := range s.InVessels() {
		if in.Number == "" || in.Attendant == "" || in.Attendant == in.Who {
			t.Fatalf("an entry was written without a permit or an attendant: %+v", in)
		}
	}
	for _, v := range s.Vessels() {
		var sum quantity.Volume
		for _, p := range v.Now.Parts {
			sum += p.Volume
			if p.Volume < 0 {
				t.Fatalf("%s holds %s of %s", v.Number, p.Volume, p.Load)
			}
		}
		if v.Now.Volume < 0 || v.Now.Volume > v.Brim {
			t.Fatalf("%s holds %s of %s", v.Number, v.Now.Volume, v.Brim)
		}
		if len(v.Now.Parts) > 0 && sum != v.Now.Volume {
			t.Fatalf("%s holds %s, its parts add up to %s", v.Number, v.Now.Volume, sum)
		}
		if v.Now.Stage.Empty() != (v.Now.Volume == 0) && !v.Now.Open {
			t.Fatalf("%s is %s with %s", v.Number, v.Now.Stage, v.Now.Volume)
		}
	}
}

func correctables(h *house) []cellar.Correctable { return slices.Collect(h.s.Correctables("")) }

// items is the account of a vessel, oldest first.
func items(v *cellar.Vessel) []*cellar.Item {
	out := slices.Collect(v.Latest)
	slices.Reverse(out)
	return out
}
