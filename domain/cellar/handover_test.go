package cellar_test

import (
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/handover"
	"cellar.example/mustwatch/domain/sheet"
)

// evening is a small cellar with a little of everything, taken over at 18:00.
var evening = []string{
	`{"do":"house","at":"2026-09-24T17:00:00+02:00","name":"Example Cellars","zone":"Europe/Paris","units":"metric","recipe":"1:2","people":[
	 {"initials":"HL","name":"Hana Lund","roles":["lead"]},{"initials":"MA","name":"Mira Aas","roles":["lead"]},{"initials":"NS","name":"Nils Sund","roles":["tank"]},
	 {"initials":"OF","name":"Ola Fjell","roles":["winemaker"]},{"initials":"GW","name":"Gro Wiik","roles":["lead"]}]}`,
	vessel("101", 250, "settle"), vessel("102", 250, "settle"), vessel("103", 250, "settle"), vessel("201", 200,
		"ferment"), vessel("202", 200, "ferment"),
	vessel("209", 200, "ferment"), vessel("304", 180, "red ferment"), vessel("401", 60, "pressings"), vessel("402", 60,
		"pressings"), vessel("602", 120, "hot"), vessel("701", 80, "lees"),
	`{"do":"press","at":"2026-09-24T17:00:00+02:00","by":"HL","press":"P1","rated":"22 t","whole_bunch":"12 t",` +
		`"empty":"35m","programmes":[{"name":"W-120","minutes":"120"}]}`,
	`{"do":"press","at":"2026-09-24T17:00:00+02:00","by":"HL","press":"P2","rated":"22 t","whole_bunch":"12 t",` +
		`"empty":"35m","programmes":[{"name":"W-120","minutes":"120"}]}`,
	`{"do":"product","at":"2026-09-24T17:00:00+02:00","by":"HL","product":"E-1","name":"clarifying enzyme",` +
		`"class":"enzyme-clarify","unit":"g/hL","open":"580 g","sealed":0,"size":"1 kg","expiry":"2026-09-26",` +
		`"card":{"rows":[{"from":"10 °C","to":"20 °C","wait":"3h"}],"floor":"10 °C","ceiling":"45 °C",` +
		`"low":"1 g/hL","high":"4 g/hL","max":"6 g/hL"}}`,
	`{"do":"product","at":"2026-09-24T17:00:00+02:00","by":"HL","product":"B-1","name":"bentonite",` +
		`"class":"bentonite","unit":"g/hL","open":"75 kg"}`,
	`{"do":"opening","at":"2026-09-24T17:30:00+02:00","by":"HL","vessels":[
	 {"vessel":"101","volume":"104 hL","variety":"Sauvignon","kind":"juice","stage":"settling","since":"2026-09-24T15:00:00+02:00","temp":"9 °C"},
	 {"vessel":"102","volume":"192 hL","variety":"Muscat","kind":"juice","stage":"waiting","temp":"15.2 °C"},
	 {"vessel":"103","stage":"empty clean","since":"2026-09-24T16:00:00+02:00"},
	 {"vessel":"201","volume":"168 hL","variety":"Chardonnay","kind":"juice","stage":"fermenting","since":"2026-09-10T16:00:00+02:00","temp":"16 °C","density":"1.041"},
	 {"vessel":"202","stage":"empty clean","since":"2026-09-22T16:00:00+02:00"},
	 {"vessel":"209","volume":"149 hL","variety":"Sauvignon","kind":"clear juice","stage":"racked","temp":"12 °C"},
	 {"vessel":"304","volume":"144 hL","variety":"Merlot","kind":"red must","stage":"maceration","temp":"25 °C","density":"0.997"},
	 {"vessel":"401","volume":"48 hL","variety":"Riesling","kind":"press juice","stage":"waiting"},
	 {"vessel":"402","stage":"empty dirty","since":"2026-09-24T16:00:00+02:00"},
	 {"vessel":"602","volume":"98 hL","variety":"Syrah","kind":"hot must","stage":"hot hold","temp":"68 °C"},
	 {"vessel":"701","volume":"34 hL","variety":"lees","kind":"lees","stage":"juice lees"}],
	 "clocks":[{"subject":"602","kind":"hot hold","verb":"cool down","due":"2026-09-24T18:55:00+02:00","owner":"MA"},
	  {"subject":"101","kind":"settling","what":"not-before","verb":"rack","due":"2026-09-25T12:20:00+02:00"}]}`,
	`{"do":"shift-start","at":"2026-09-24T18:00:00+02:00","by":"MA","lead":"MA","crew":["NS"],"next":"GW",` +
		`"ends":"2026-09-25T06:00:00+02:00"}`,
}

func vessel(number string, brim int, use string) string {
	return fmt.Sprintf(`{"do":"vessel","at":"2026-09-24T17:00:00+02:00","by":"HL","vessel":%q,"brim":"%d hL","use":%q}`,
		number, brim, use)
}

// inEvening is that cellar with more lines played into it.
func inEvening(t *testing.T, lines ...string) *house {
	t.Helper()
	h := newHouse(t)
	for _, l := range append(slices.Clone(evening), lines...) {
		if err := h.line(l); err != nil {
			t.Fatalf("%v\n%s", err, l)
		}
	}
	return h
}

func (h *house) sheetAt(clock string) sheet.Sheet {
	h.t.Helper()
	now, err := time.Parse(time.RFC3339, clock)
	if err != nil {
		h.t.Fatal(err)
	}
	return handover.Sheet(h.s, now, sheet.Mark{Seq: uint64(h.s.Seq), Hash: "abc", Version: "v1"})
}

// flat writes rows as text, for searching.
func flat(rows []sheet.Row) string {
	var out []string
	for _, r := range rows {
		mark := ""
		if r.Over {
			mark = fmt.Sprintf("!%d ", r.Late)
		}
		out = append(out, fmt.Sprintf("%s%s | %s | %s | %s", mark, r.When, r.Where, r.What, r.Who))
	}
	return strings.Join(out, "\n")
}

func wantIn(t *testing.T, what, in string, parts ...string) {
	t.Helper()
	for _, p := range parts {
		if !strings.Contains(in, p) {
			t.Errorf("%s lacks %q:\n%s", what, p, in)
		}
	}
}

func TestHandoverHead(t *testing.T) {
	s := inEvening(t).sheetAt("2026-09-25T05:55:00+02:00")
	want := sheet.Head{House: "Example Cellars", Span: "Thu 24 Sep 18:00 - Fri 25 Sep 06:00 CEST", Out: "Mira Aas (MA)",
		In: "Gro Wiik (GW)", Crew: "Nils Sund (NS)",
		Day: "Fri 25 Sep", Time: "05:55", Counts: []sheet.Count{{Name: "OPEN CLOCKS", N: 2}, {Name: "OVERDUE", N: 1},
			{Name: "ON HOLD"}, {Name: "OVERRIDES"}, {Name: "INVALID TESTS"}}}
	if !reflect.DeepEqual(s.Head, want) {
		t.Errorf("head\n got %+v\nwant %+v", s.Head, want)
	}
	if s.Valid != "Fri 25 Sep 07:55" {
		t.Errorf("valid until %s", s.Valid)
	}
}

func TestHandoverSaysWhatNobodyReported(t *testing.T) {
	s := inEvening(t, `{"do":"move","at":"2026-09-24T19:00:00+02:00","by":"NS","from":"602","to":[{"vessel":"202",`+
		`"volume":"98 hL"}],"happened":true}`,
		`{"do":"reading","at":"2026-09-24T19:30:00+02:00","by":"NS","vessel":"202","temp":"20 °C"}`).sheetAt(
		"2026-09-25T05:55:00+02:00")
	if len(s.Safety.Rows) != 0 || s.Safety.NoEntry == "" || len(s.Safety.None) != 8 {
		t.Errorf("safety %+v", s.Safety)
	}
}

func TestHandoverSafetyFirst(t *testing.T) {
	s := inEvening(t,
		`{"do":"load","at":"2026-09-24T18:05:00+02:00","by":"MA","load":"0409","variety":"Riesling","net":"20.4 t"}`,
		`{"do":"tip","at":"2026-09-24T18:10:00+02:00","by":"MA","load":"0409","to":"P2"}`,
		`{"do":"press-stop","at":"2026-09-24T19:52:00+02:00","by":"MA","press":"P2","reason":"drain blocked",`+
			`"locked":true}`,
		`{"do":"note","at":"2026-09-25T01:35:00+02:00","by":"NS","subject":"300 pit","what":"safety",`+
			`"text":"4 800 ppm CO2 from the door"}`,
		`{"do":"note","at":"2026-09-25T02:10:00+02:00","by":"NS","subject":"300 pit","what":"safety",`+
			`"text":"2900 ppm CO2 after 18 min of fans"}`,
		`{"do":"stage","at":"2026-09-25T03:00:00+02:00","by":"NS","vessel":"402","stage":"cleaning",`+
			`"method":"hot caustic"}`,
		`{"do":"dose","at":"2026-09-25T03:10:00+02:00","by":"NS","vessel":"102","product":"B-1","rate":"30 g/hL",`+
			`"not_done":true}`,
	).sheetAt("2026-09-25T05:55:00+02:00")
	wantIn(t, "safety", flat(s.Safety.Rows), "19:52 | P2 | LOCKED OUT: drain blocked.",
		"602 | Syrah hot must, 68.0 °C at Thu 17:30: hoses are hot.",
		"402 | being cleaned, hot caustic. Keep the vent open.", "02:10 | 300 pit | 2900 ppm",
		"near misses, stopped: 03:10 at 102.")
	if strings.Contains(flat(s.Safety.Rows), "4 800") {
		t.Error("an older safety note of the same subject stands beside the newer one")
	}
	wantIn(t, "what happened", flat(s.Happened), "03:10 | 102 | near miss, stopped: B-1 30 g/hL on 102. No "+
		"bentonite on 102 yet: it has no valid pectin test.")
}

func TestHandoverHolds(t *testing.T) {
	s := inEvening(t, `{"do":"hold","at":"2026-09-24T21:36:00+02:00","by":"MA","vessel":"209",`+
		`"reason":"3.5 hL rosé in it","releaser":"OF","until":"2026-09-25T10:00:00+02:00"}`).sheetAt(
		"2026-09-25T05:55:00+02:00")
	wantIn(t, "holds", flat(s.Holds), "21:36 | 209 | Sauvignon clear juice, 149.0 hL: 3.5 hL rosé in it. Release: "+
		"Ola Fjell (OF) only, expected by 10:00. | MA")
	if s.Head.Counts[2].N != 1 {
		t.Errorf("counts %v", s.Head.Counts)
	}
}

func TestHandoverDueOverdueFirst(t *testing.T) {
	s := inEvening(t,
		`{"do":"clock","at":"2026-09-25T05:00:00+02:00","by":"NS","subject":"102","verb":"test",`+
			`"due":"2026-09-25T06:30:00+02:00"}`,
		`{"do":"clock","at":"2026-09-25T05:00:00+02:00","by":"NS","subject":"reds","verb":"pump over",`+
			`"kind":"pump-over","due":"2026-09-25T10:00:00+02:00"}`,
		`{"do":"clock","at":"2026-09-25T05:00:00+02:00","by":"NS","subject":"201","verb":"read",`+
			`"due":"2026-09-25T18:30:00+02:00"}`,
		`{"do":"note","at":"2026-09-25T05:00:00+02:00","by":"MA","subject":"209","what":"promise",`+
			`"text":"decides on 209","for":"OF","until":"2026-09-25T09:30:00+02:00"}`,
	).sheetAt("2026-09-25T05:55:00+02:00")
	if got, want := flat(s.Next.Rows), "!660 18:55 | 602 | COOL DOWN (Syrah hot must, 98.0 hL) | MA\n06:30 | 102 | "+
		"TEST (Muscat juice, 192.0 hL) | NS"; got != want {
		t.Errorf("next to %s:\n%s\nwant\n%s", s.Next.Until, got, want)
	}
	if got, want := flat(s.Later.Rows), "09:30 | 209 | PROMISE: decides on 209 | OF\n10:00 | reds | PUMP OVER | "+
		"NS\n12:20 | 101 | not before: RACK (Sauvignon juice, 104.0 hL) | HL"; got != want {
		t.Errorf("later to %s:\n%s\nwant\n%s", s.Later.Until, got, want)
	}
	wantIn(t, "promised", flat(s.Promised), "09:30 | 209 | decides on 209 (promised to MA) | OF")
}

func TestHandoverNoHome(t *testing.T) {
	s := inEvening(t,
		`{"do":"load","at":"2026-09-25T03:00:00+02:00","by":"MA","load":"0417","variety":"Riesling","net":"16 t"}`,
		`{"do":"load","at":"2026-09-25T03:01:00+02:00","by":"MA","load":"0418","variety":"Riesling","net":"10 t"}`,
		`{"do":"load","at":"2026-09-25T03:02:00+02:00","by":"MA","load":"0419","variety":"Syrah","net":"9 t"}`,
		`{"do":"tip","at":"2026-09-25T03:05:00+02:00","by":"MA","load":"0417","to":"P1"}`,
		`{"do":"tip","at":"2026-09-25T03:05:00+02:00","by":"MA","load":"0418","to":"P2"}`,
		`{"do":"press-start","at":"2026-09-25T04:55:00+02:00","by":"MA","press":"P1","programme":"W-120",`+
			`"free_run":"103","answers":[{"rule":"H05","reason":"clean 402 first"}]}`,
		`{"do":"press-start","at":"2026-09-25T05:00:00+02:00","by":"MA","press":"P2","programme":"W-120",`+
			`"free_run":"103","pressings":"401","answers":[{"rule":"W06"},{"rule":"W07"}]}`,
		`{"do":"note","at":"2026-09-25T05:10:00+02:00","by":"MA","subject":"209","what":"question",`+
			`"text":"wanted twice"}`,
	).sheetAt("2026-09-25T05:55:00+02:00")
	wantIn(t, "no home", flat(s.NoHome),
		"06:55 | P1 | pressings about 22.4 hL, no tank yet; no tank has room.",
		"07:00 | 401 | takes 9.0 hL more to its limit; pressings of P2 is about 14.0 hL.",
		"03:02 | 0419 | Syrah 9.0 t waits: no press or tank named.",
		" | clear? | settle or float? Nobody has decided (hL). WARM: 102 Muscat 192.0; others: 401 Riesling 48.0.",
		"05:10 | 209 | wanted twice | MA")
	wantIn(t, "clean", fmt.Sprint(s.Clean), "{settling [NONE]}")
	wantIn(t, "overrides", flat(s.Overrides), "04:55 | P1 | No tank is named for the pressings of P1. Reason: clean "+
		"402 first | MA")
	if s.Presses[0].Free != "07:30" || s.Presses[0].Ends != "06:55" {
		t.Errorf("presses %+v", s.Presses)
	}
	wantIn(t, "yard", flat(s.Yard), "0419 | Syrah 9.0 t, waiting 2 h 53")
}

// Every vessel must be found in exactly one place, or a lead would look for it.
func TestHandoverLeavesNoVesselOut(t *testing.T) {
	h := inEvening(t)
	s := h.sheetAt("2026-09-25T05:55:00+02:00")
	seen := map[string]int{}
	for _, x := range s.Tanks {
		seen[x.Number]++
	}
	for _, groups := range [][]sheet.Group{s.Quiet, s.Clean, s.NotClean} {
		for _, g := range groups {
			for _, c := range g.Codes {
				seen[c.Number]++
			}
		}
	}
	for _, v := range h.s.Vessels() {
		if seen[string(v.Number)] != 1 {
			t.Errorf("%s stands %d times", v.Number, seen[string(v.Number)])
		}
	}
	if got := fmt.Sprint(s.Quiet); got != "[{fermenting [201]} {waiting [401]} {lees [701]}]" {
		t.Errorf("quiet %s", got)
	}
	wantIn(t, "clean", fmt.Sprint(s.Clean), "{settling [103 (237.5 hL)]}",
		"{fermenter, rinse again [202 (170.0 hL)]}")
	for _, x := range s.Tanks {
		switch x.Number {
		case "304":
			if x.Stage != "0.997 dry, maceration" || x.Looked != "Thu 17:30" {
				t.Errorf("304 %+v", x)
			}
		case "101":
			if x.Stage != "settling" || x.Since != "Thu 15:00" || x.Volume != "104.0" || x.Temp != "9.0" {
				t.Errorf("101 %+v", x)
			}
		}
	}
}

func TestHandoverTellsWhatHappened(t *testing.T) {
	h := inEvening(t,
		`{"do":"load","at":"2026-09-24T18:05:00+02:00","by":"MA","load":"0409","variety":"Riesling","net":"20.4 t"}`,
		`{"do":"tip","at":"2026-09-24T18:10:00+02:00","by":"MA","load":"0409","to":"P2"}`,
		`{"do":"press-start","at":"2026-09-24T18:50:00+02:00","by":"MA","press":"P2","programme":"W-120",`+
			`"free_run":"103","pressings":"401","answers":[{"rule":"W06"},{"rule":"W07"}]}`,
		`{"do":"press-stop","at":"2026-09-24T19:52:00+02:00","by":"MA","press":"P2","reason":"drain blocked"}`,
		`{"do":"press-stop","at":"2026-09-24T19:55:00+02:00","by":"MA","press":"P2","reason":"clearing it",`+
			`"locked":true}`,
		`{"do":"press-resume","at":"2026-09-24T20:47:00+02:00","by":"MA","press":"P2","answers":[{"rule":"D33",`+
			`"reason":"my lock, taken off by me"}]}`,
		`{"do":"move","at":"2026-09-24T21:33:00+02:00","by":"NS","from":"102","to":[{"vessel":"209",`+
			`"volume":"3.5 hL"}],"intended":"202","part":true,"happened":true}`,
		`{"do":"note","at":"2026-09-24T22:00:00+02:00","by":"MA","subject":"site","what":"incident",`+
			`"text":"power cut 35 min"}`,
		`{"do":"dose","at":"2026-09-24T22:10:00+02:00","by":"NS","vessel":"102","product":"E-1","rate":"2 g/hL"}`,
		`{"do":"pectin-test","at":"2026-09-25T04:30:00+02:00","by":"NS","vessel":"102"}`,
		`{"do":"pectin-test-read","at":"2026-09-25T04:35:00+02:00","by":"NS","vessel":"102","sample":"clear",`+
			`"control":"clear"}`,
		`{"do":"reading","at":"2026-09-25T05:00:00+02:00","by":"NS","vessel":"201","temp":"61 °C",`+
			`"answers":[{"rule":"D03"}]}`,
	)
	var of cellar.Seq
	for c := range h.s.CorrectablesOf("201") {
		if c.Field == "temp" {
			of = c.Of
			break
		}
	}
	if err := h.line(fmt.Sprintf(`{"do":"correct","at":"2026-09-25T05:05:00+02:00","by":"NS","of":%d,"field":"temp",`+
		`"value":"16.1 °C","reason":"misread"}`, of)); err != nil {
		t.Fatal(err)
	}
	s := h.sheetAt("2026-09-25T05:55:00+02:00")
	wantIn(t, "what happened", flat(s.Happened), "19:52 | P2 | stopped for 55 min, until 20:47: drain blocked | MA",
		"21:33 | 209 | WRONG TANK: 3.5 hL from 102, meant for 202. | NS",
		"22:00 | site | power cut 35 min | MA", "04:35 | 102 | test INVALID: sample clear, control clear.",
		"05:05 | 201 | corrected, reading, temp: 61.0 °C -> 16.1 °C (misread) | NS")
	if s.Head.Counts[4].N != 1 {
		t.Errorf("counts %v", s.Head.Counts)
	}
	wantIn(t, "sums", fmt.Sprint(s.Sums), "{grapes in 20.4 t}", "{UNEXPLAINED 0.0 hL}", "{additions 1}", "{tests 1}")
	wantIn(t, "short", flat(s.Short), "E-1 | clarifying enzyme: 203 g left, not one dose (377 g), the last "+
		"container, expires 2026-09-26")
	if strings.Contains(flat(s.Short), "B-1") {
		t.Error("a product that was never used is short")
	}
	if len(s.Back.Additions) != 1 || len(s.Back.Tests) != 1 || len(s.Back.Moves) != 1 || len(s.Back.Corrections) != 1 {
		t.Errorf("back %+v", s.Back)
	}
}

func TestHandoverInAnHourThatComesTwice(t *testing.T) {
	h := newHouse(t)
	for _, l := range []string{
		`{"do":"house","at":"2026-10-24T18:00:00+02:00","name":"X","zone":"Europe/Paris","units":"metric",` +
			`"people":[{"initials":"MA","name":"M","roles":["lead"]}]}`,
		`{"do":"shift-start","at":"2026-10-24T18:00:00+02:00","by":"MA","lead":"MA","ends":"2026-10-25T06:00:00+01:00"}`,
		`{"do":"clock","at":"2026-10-25T00:00:00+02:00","by":"MA","subject":"a","verb":"look",` +
			`"due":"2026-10-25T02:30:00+02:00"}`,
		`{"do":"clock","at":"2026-10-25T00:00:00+02:00","by":"MA","subject":"b","verb":"look",` +
			`"due":"2026-10-25T02:30:00+01:00"}`,
	} {
		if err := h.line(l); err != nil {
			t.Fatal(err)
		}
	}
	s := h.sheetAt("2026-10-25T01:45:00+02:00")
	wantIn(t, "next", flat(s.Next.Rows), "02:30 CEST | a", "02:30 CET | b")
	if got := s.Head.Span + " / " + strings.Join(s.Head.Changes,
		"/"); got != "Sat 24 Oct 18:00 CEST - Sun 25 Oct 06:00 CET / Clocks in this shift: at 03:00 CEST they go "+
		"back to 02:00 CET; it lasts 13 h." {
		t.Error(got)
	}
}

func TestHandoverInUSUnits(t *testing.T) {
	s := inEvening(t,
		`{"do":"house","at":"2026-09-24T18:01:00+02:00","by":"MA","zone":"Europe/Paris","units":"us"}`).sheetAt(
		"2026-09-25T05:55:00+02:00")
	all := fmt.Sprint(s)
	if strings.Contains(all, " hL") || strings.Contains(all, "°C") {
		t.Errorf("metric units in a US house: %s", all)
	}
	for _, x := range s.Tanks {
		if x.Number == "102" && (x.Volume != "5072" || x.Temp != "59.4") {
			t.Errorf("102 %+v", x)
		}
	}
}

func TestHandoverNeverSaysSafe(t *testing.T) {
	s := inEvening(t).sheetAt("2026-09-25T05:55:00+02:00")
	if all := strings.ToLower(fmt.Sprintf("%+v", s)); strings.Contains(strings.ReplaceAll(strings.ReplaceAll(all,
		"safety:", ""), "safety notes", ""), "safe") {
		t.Error("the sheet calls something safe")
	}
}

func TestHandoverOfNothing(t *testing.T) {
	s := handover.Sheet(cellar.NewState(), time.Date(2026, 9, 25, 4, 0, 0, 0, time.UTC), sheet.Mark{})
	if s.Safety.NoEntry == "" || len(s.Head.Counts) != 5 {
		t.Errorf("%+v", s)
	}
}

// TestShortCountsSealedStock: what stands sealed in the store counts; where only the
// open container runs low, the sheet says to open the next one.
func TestShortCountsSealedStock(t *testing.T) {
	dose := `{"do":"dose","at":"2026-09-24T22:10:00+02:00","by":"NS","product":"C-1","rate":"2 g/hL","vessel":"102"}`
	for _, c := range []struct{ open, sealed, want string }{
		{"2 kg", "0", "C-1 | enzyme: 1.62 kg left, the last container"},
		{"700 g", "1", "C-1 | enzyme: 316 g open and 1 x 1 kg sealed, last dose 384 g: open the next in time"},
		{"700 g", "0", "C-1 | enzyme: 316 g left, not one dose (384 g), the last container"},
		{"1 kg", "0", "C-1 | enzyme: 616 g left, last dose 384 g, the last container"},
		{"1200 g", "1", ""},
	} {
		s := inEvening(t, `{"do":"product","at":"2026-09-24T18:00:00+02:00","by":"HL","product":"C-1",`+
			`"name":"enzyme","class":"enzyme-clarify","unit":"g/hL","open":"`+c.open+`","sealed":`+c.sealed+
			`,"size":"1 kg","card":{"rows":[{"from":"10 °C","to":"20 °C","wait":"3h"}],"floor":"10 °C",`+
			`"ceiling":"45 °C"}}`,
			dose).sheetAt("2026-09-25T05:55:00+02:00")
		got := ""
		for _, r := range s.Short {
			if r.Where == "C-1" {
				got = r.Where + " | " + r.What
			}
		}
		if got != c.want {
			t.Errorf("%s open, %s sealed: %q, want %q", c.open, c.sealed, got, c.want)
		}
	}
}

// TestAnEmergencyIsToldOnce: the reading that is one stands on top, and no second time
// among the rows; gas was read, so it is not among what nobody reported.
func TestAnEmergencyIsToldOnce(t *testing.T) {
	s := inEvening(t, `{"do":"gas","at":"2026-09-25T05:50:00+02:00","by":"NS","place":"300 pit","co2":25000,`+
		`"o2":18.5,"meter":"G2"}`,
		`{"do":"gas","at":"2026-09-25T05:51:00+02:00","by":"NS","place":"press hall","co2":900,"o2":20.8,"meter":"G2"}`).sheetAt("2026-09-25T05:55:00+02:00")
	if len(s.Safety.Emergencies) != 1 || !strings.Contains(s.Safety.Emergencies[0], "25000 ppm") ||
		slices.Contains(s.Safety.None, "gas readings") {
		t.Errorf("safety %+v", s.Safety)
	}
	rows := flat(s.Safety.Rows)
	wantIn(t, "safety", rows, "05:51 | press hall | CO2 900 ppm")
	if strings.Contains(rows, "25 000") {
		t.Errorf("told twice:\n%s", rows)
	}
}
