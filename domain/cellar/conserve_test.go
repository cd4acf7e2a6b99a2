package cellar_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/show"
	"cellar.example/mustwatch/domain/stage"
	"cellar.example/mustwatch/domain/subject"
)

// anyMove draws moves to several vessels, with lees and loss, late, twice to the
// same, of more than there is.
func anyMove(t *rapid.T, h *house) *cellar.Move {
	number := func(name string) cellar.TankNumber {
		return pick[cellar.TankNumber](t, name, "101", "102", "103", "201", "206", "401", "701")
	}
	c := &cellar.Move{Head: cellar.Head{By: "MA", Happened: rapid.Bool().Draw(t, "happened")}, From: number("from"),
		Part: rapid.Bool().Draw(t, "part"), Blend: true}
	if rapid.IntRange(0, 2).Draw(t, "late") == 0 {
		c.At = h.now.Add(-time.Duration(rapid.IntRange(1, 300).Draw(t, "back")) * time.Minute)
	}
	for range rapid.IntRange(1, 3).Draw(t, "legs") {
		c.To = append(c.To, cellar.Portion{Vessel: number("to"), Volume: hl(t, 120)})
	}
	if rapid.Bool().Draw(t, "lees") {
		c.Lees = &cellar.Portion{Vessel: "701", Volume: hl(t, 20) - 5*quantity.Hectolitre}
	}
	if rapid.IntRange(0, 3).Draw(t, "out") == 0 {
		c.Out = &cellar.Sent{As: pick(t, "as", cellar.Exits()...), Volume: hl(t, 40)}
	}
	c.Loss = quantity.Volume(rapid.IntRange(-1, 3).Draw(t, "loss")) * quantity.Hectolitre
	if v, _ := h.s.Vessel(c.From); !c.Part {
		c.To[0].Volume += v.Now.Volume - c.Sum()
	}
	return c
}

// adds is what came from outside the vessels less what left them, by what is written:
// loss, presses, and what is unexplained.
func adds(s *cellar.State) (sum quantity.Volume) {
	for _, v := range s.Vessels() {
		for x := range v.Spilt {
			for _, p := range x.Parts {
				sum -= p.Volume
			}
		}
		for _, it := range items(v) {
			if it.In == nil || it.TakenBack {
				continue
			}
			if it.In.From.Kind != subject.Vessel {
				sum += it.In.Volume
			}
		}
	}
	for _, m := range s.Moves() {
		sum -= m.Loss + m.Unexplained
		if m.Sent != nil {
			sum -= m.Sent.Volume
		}
		for _, leg := range m.Legs {
			if leg.Press {
				sum -= leg.Volume
			}
		}
	}
	return sum
}

// TestVolumesAreConserved: whatever is moved, late or not, corrected, and whatever is
// staged in between, juice comes from somewhere and goes somewhere, to the millilitre.
func TestVolumesAreConserved(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := openHouse(t)
		for range rapid.IntRange(3, 25).Draw(t, "length") {
			h.now = h.now.Add(time.Duration(rapid.IntRange(1, 60).Draw(t, "step")) * time.Minute)
			var c cellar.Command = anyMove(t, h)
			switch rapid.IntRange(0, 3).Draw(t, "what") {
			case 0:
				c = anyCommand(t, h)
			case 1:
				c = &cellar.SetStage{Head: cellar.Head{By: "MA", Happened: rapid.Bool().Draw(t, "was")},
					Vessel: pick[cellar.TankNumber](t, "stage of", "101", "102", "103", "201"), Stage: pick(t, "empty",
						stage.Cleaning, stage.Clean, stage.Dirty)}
			}
			cellar.HeadOf(c).Answers = append(cellar.HeadOf(c).Answers, gate.Answer{Rule: "S02", By: "MA"})
			if _, err := h.try(c, h.now); err != nil {
				continue
			}
			sound(t, h.s)
			if have, want := h.s.Total(), adds(h.s); have != want {
				t.Fatalf("%s %+v: the vessels hold %s, by what was written %s", cellar.Do(c), c, have, want)
			}
		}
	})
}

// TestInvariantDoses: whatever is dosed, moved, pressed, called empty, taken back or
// corrected, in whatever order it was saved, what was given is in the tanks, left with
// juice, or is unexplained, to the milligram and the microlitre.
func TestInvariantDoses(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := openHouse(t)
		for range rapid.IntRange(3, 25).Draw(t, "length") {
			h.now = h.now.Add(time.Duration(rapid.IntRange(1, 60).Draw(t, "step")) * time.Minute)
			var c cellar.Command
			switch rapid.IntRange(0, 5).Draw(t, "what") {
			case 0:
				c = anyMove(t, h)
			case 1:
				c = anyCommand(t, h)
			case 2:
				c = anyCorrection(t, h)
			default:
				c = flowCommand(t, h)
			}
			if _, err := h.try(c, h.now); err == nil {
				addsUp(t, show.Cellar(h.s, h.now))
			}
		}
	})
}

// TestADoseGoesNowhereWithNoJuice: less than a millilitre left a tank that holds nothing
// any more since its opening was taken back. What was poured there is unexplained.
func TestADoseGoesNowhereWithNoJuice(t *testing.T) {
	h := openHouse(t)
	opening := h.s.Seq
	all := func() (text string) {
		for _, r := range cellar.Rules() {
			text += fmt.Sprintf(`{"rule":%q,"by":"OF","second":"NS","reason":"drawn"},`, r.Code)
		}
		return `"answers":[` + strings.TrimSuffix(text, ",") + `]`
	}()
	h.say(t, `18:01 NS {"do":"move","from":"102","to":[{"vessel":"101","volume":"0.00000001 hL"}],"part":true,`+
		`"blend":true,`+all+`}`,
		`18:05 NS {"do":"dose","vessel":"101","product":"S-1","rate":"1 g/hL"}`,
		`18:09 NS {"do":"move","from":"101","to":[{"vessel":"103","volume":"0.00000001 hL"}],"part":true,`+all+`}`,
		fmt.Sprintf(`18:16 OF {"do":"correct","of":%d,"vessel":"101","take_back":true,"reason":"drawn",%s}`, opening,
			all))
	doc := show.Cellar(h.s, h.now)
	addsUp(t, doc)
	require.Equal(t, 200.0, doc.Given[0].Unexplained)
}

// anyCorrection takes back or corrects some line that can be.
func anyCorrection(t *rapid.T, h *house) cellar.Command {
	head := cellar.Head{By: "OF"}
	for _, r := range cellar.Rules() {
		head.Answers = append(head.Answers, gate.Answer{Rule: r.Code, By: "OF", Second: "NS", Reason: "drawn"})
	}
	all := correctables(h)
	if len(all) == 0 {
		return &cellar.Correct{Head: head}
	}
	x := pick(t, "correctable", all...)
	c := &cellar.Correct{Head: head, Of: x.Of, Vessel: x.Vessel, Field: x.Field, Reason: "drawn"}
	switch x.Field {
	case "amount":
		c.Value = fmt.Sprintf("%d %s", rapid.IntRange(1, 900).Draw(t, "g"), pick(t, "unit", "g", "mL"))
	case "volume":
		c.Value = fmt.Sprintf("%.3f hL", float64(rapid.IntRange(1, 90_000).Draw(t, "L"))/1000)
	default:
		c.Field, c.TakeBack = "", true
	}
	return c
}

// TestOpenedDosesStayApart: several products that a tank came with are no single dose
// when its juice moves on.
func TestOpenedDosesStayApart(t *testing.T) {
	h := &house{t: t, s: cellar.NewState(), now: sixPM}
	for _, l := range smallHouse {
		if strings.Contains(l, `"do":"opening"`) {
			l = strings.Replace(l, `"vessel":"101",`, `"vessel":"101","doses":[`+
				`{"at":"2026-09-24T10:00:00+02:00","product":"E-1","rate":"2 g/hL","amount":"400 g"},`+
				`{"at":"2026-09-24T11:00:00+02:00","product":"B-1","rate":"50 g/hL","amount":"10 kg"}],`, 1)
			require.Contains(t, l, "10 kg")
		}
		require.NoError(t, h.line(l))
	}
	h.say(t, `20:00 NS {"do":"move","from":"101","to":[{"vessel":"201","volume":"50 hL"}],"part":true,`+
		`"answers":[{"rule":"D20"}]}`)
	got := holds(t, h, "201").Doses
	require.Len(t, got, 2)
	require.Equal(t, "100 g of 400 g, 2.5 kg of 10 kg", fmt.Sprintf("%s of %s, %s of %s", got[0].Here, got[0].Amount,
		got[1].Here, got[1].Amount))
	addsUp(t, show.Cellar(h.s, h.now))
}

// TestDosesGoThroughThePress: of what was dosed on must, juice has its share and the
// skins keep the rest, however often juice runs out.
func TestDosesGoThroughThePress(t *testing.T) {
	h := openHouse(t)
	h.say(t, `19:00 NS {"do":"dose","vessel":"102","product":"S-1","rate":"4 g/hL"}`,
		`20:00 NS {"do":"move","from":"102","to":[{"vessel":"P1","volume":"120.5 hL"}]}`,
		`20:10 NS {"do":"press-start","press":"P1","programme":"W-120","free_run":"103","pressings":"401"}`,
		`21:00 NS {"do":"juice","press":"P1","volume":"40 hL"}`,
		`21:30 NS {"do":"juice","press":"P1","volume":"40 hL"}`,
		`22:10 NS {"do":"juice","press":"P1","share":"pressings","volume":"20 hL","end":true}`)
	require.Equal(t, "320 g", holds(t, h, "103").Doses[0].Here.String(), "80 hL of 120.5 hL, of 482 g")
	require.Equal(t, "80 g", holds(t, h, "401").Doses[0].Here.String())
	d := show.Cellar(h.s, h.now)
	addsUp(t, d)
	require.InDelta(t, 82, d.Given[0].Out, 1e-9, "in the press, with the skins")
	h.say(t, `22:40 NS {"do":"press-free","press":"P1"}`)
	require.InDelta(t, 82, show.Cellar(h.s, h.now).Given[0].Out, 1e-9)
}

// TestWaterMovesWithItsJuice: make-up water is in what the juice of its dose went into by
// share; 1.5 hL in 200 hL are 0.75 % wherever a part of it goes, and half of that after
// as much juice without any has come.
func TestWaterMovesWithItsJuice(t *testing.T) {
	h := openHouse(t)
	h.say(t, `19:00 NS {"do":"dose","vessel":"101","product":"S-1","rate":"3 g/hL","water":"150 L"}`,
		`20:00 NS {"do":"move","from":"101","to":[{"vessel":"201","volume":"50 hL"}],"part":true}`)
	require.Equal(t, "0.375 hL", holds(t, h, "201").WaterAdded().Full(quantity.Metric))
	require.Equal(t, quantity.HL(1.125), holds(t, h, "101").WaterAdded())
	h.say(t, `20:30 NS {"do":"move","from":"102","to":[{"vessel":"201","volume":"50 hL"}],"part":true,"blend":true,`+
		`"answers":[{"rule":"H11","by":"OF","second":"NS","reason":"meant"}]}`)
	require.Equal(t, 37.5, holds(t, h, "201").WaterAdded().Litres())
}

// TestCorrectedAmountOfASolution: what it holds is calculated again, and of a powder too.
func TestCorrectedAmountOfASolution(t *testing.T) {
	h := openHouse(t)
	of := h.s.Seq + 1
	h.say(t, `19:00 NS {"do":"dose","vessel":"101","product":"S-1","rate":"3 g/hL"}`)
	require.Equal(t, "600 g of 4 L", fmt.Sprintf("%s of %s", holds(t, h, "101").Doses[0].Amount,
		holds(t, h, "101").Doses[0].Drawn))
	h.say(t, fmt.Sprintf(`20:00 NS {"do":"correct","of":%d,"vessel":"101","field":"amount","value":"2 L",`+
		`"reason":"misread"}`, of))
	x := holds(t, h, "101").Doses[0]
	require.Equal(t, "300 g of 2 L", fmt.Sprintf("%s of %s", x.Amount, x.Drawn))
	require.InDelta(t, 1.5, x.PerHL, 1e-9)
}

// TestADoseBeforeJuiceThatNeverCame: what was poured into a tank that only a press kept
// open, and that is called empty then, is unexplained.
func TestADoseBeforeJuiceThatNeverCame(t *testing.T) {
	h := openHouse(t)
	h.say(t, weighed, `20:05 NS {"do":"tip","load":"0501","to":"P1","mass":"8 t"}`,
		`20:10 NS {"do":"tipped","load":"0501","to":"P1"}`,
		`20:15 NS {"do":"press-start","press":"P1","programme":"W-120","free_run":"103","pressings":"401",`+
			`"answers":[{"rule":"W06"}]}`,
		`20:18 NS {"do":"juice","press":"P1","volume":"50 hL"}`)
	of := h.s.Seq
	h.say(t, `20:20 NS {"do":"dose","vessel":"103","product":"E-1","rate":"2 g/hL","temp":"14 °C"}`,
		fmt.Sprintf(`20:30 NS {"do":"correct","of":%d,"vessel":"103","take_back":true,"reason":"another tank"}`, of))
	require.Equal(t, "100 g", holds(t, h, "103").Doses[0].Here.String())
	h.say(t, `20:40 NS {"do":"stage","vessel":"103","stage":"out of service","happened":true,"reason":"door seal"}`)
	d := show.Cellar(h.s, h.now)
	addsUp(t, d)
	require.InDelta(t, 100, d.Given[0].Unexplained, 1e-9)
}
