package entry_test

import (
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/clarity"
	"cellar.example/mustwatch/domain/contact"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/stage"
	"cellar.example/mustwatch/domain/subject"
	"cellar.example/mustwatch/tui/intent"
)

func ptr[T any](x T) *T { return &x }

// tonight is an instant of the test night in UTC, by the clock on the wall.
func tonight(t *testing.T, wall string) time.Time {
	h := newHouse(t)
	h.at(wall)
	return h.now.UTC()
}

var (
	byMA   = cellar.Head{By: "MA"}
	gPerHL = func(x float64) quantity.Rate { return quantity.Rate{Value: x, Unit: quantity.GPerHL} }
)

type commandCase struct {
	name  string
	kind  intent.Form
	on    string
	keys  string
	lines string // written before the form is opened
	want  cellar.Command
}

// The form is opened at 21:00.
func runCommands(t *testing.T, cases []commandCase) {
	for _, tt := range cases {
		t.Run(tt.name, func(t *testing.T) {
			h := newHouse(t)
			h.at("21:00")
			if tt.lines != "" {
				h.lines(tt.lines)
			}
			c := h.typed(h.open(tt.kind, tt.on), tt.keys)
			if diff := cmp.Diff(tt.want, c, cmp.Comparer(func(a, b time.Time) bool { return a.Equal(b) })); diff != "" {
				t.Error(diff)
			}
		})
	}
}

// TestAnOrderIsWrittenWithANote and ticked off there when no act does it.
func TestAnOrderIsWrittenWithANote(t *testing.T) {
	h := newHouse(t)
	c := h.typed(h.open(intent.FormNote, "106"), "when a slot is free<tab>of<enter>")
	require.Equal(t, cellar.GiveOrder{Head: cellar.Head{By: "MA"}, Act: cellar.ActFloat, Vessel: "106", From: "OF", Text: "when a slot is free"}, *c.(*cellar.GiveOrder))
	h.write(c)
	e := h.open(intent.FormNote, "106")
	h.types(e, "slot found<tab><tab><tab><tab><tab>")
	require.Contains(t, screen(e, 100, 30), "1 order of OF: float 106, when a slot is free")
	h.types(e, "1")
	c, err := e.Command(e.Form.Values())
	require.NoError(t, err)
	require.Equal(t, h.s.Orders[0].ID, c.(*cellar.EndOrder).Order)
	dose := h.typed(h.open(intent.FormNote, "102"), "tonight<tab>odE-2240<tab>1.6 g/hL<enter>").(*cellar.GiveOrder)
	require.Equal(t, cellar.ProductID("E-2240"), dose.Product)
	require.Equal(t, "1.6 g/hL", dose.Rate.String())
	_, err = h.open(intent.FormNote, "106").Command(map[string]string{"what": "info"})
	require.ErrorContains(t, err, "says nothing")
}

// TestARouteIsChangedWhereStagesAre: a change wants its reason at that field.
func TestARouteIsChangedWhereStagesAre(t *testing.T) {
	h := newHouse(t)
	e := h.open(intent.FormStage, "106")
	require.Contains(t, screen(e, 100, 30), "only its route: float")
	h.types(e, "only its route: f")
	c, err := e.Command(e.Form.Values())
	require.NoError(t, err)
	require.Equal(t, cellar.RouteFloat, c.(*cellar.SetRoute).Route)
	h.write(c)
	e = h.open(intent.FormStage, "106")
	require.Contains(t, screen(e, 100, 30), "only its route: settle, not float (say why)")
}

func grams(g float64) quantity.Amount {
	return quantity.Amount{Mass: quantity.Mass(g * float64(quantity.Gram))}
}

func TestCommandsOfDosesAndReadings(t *testing.T) {
	runCommands(t, []commandCase{
		{"dose in the label's unit", intent.FormDose, "104", "11.5<tab>13.5<enter>", "",
			&cellar.GiveDose{Head: byMA, Vessel: "104", Product: "E-2204", Rate: gPerHL(1.5), Amount: grams(156), Temp: ptr(quantity.Celsius(13.5))}},
		{"decimal comma, typed unit", intent.FormDose, "104", "115 mg/L<tab>13,5<enter>", "",
			&cellar.GiveDose{Head: byMA, Vessel: "104", Product: "E-2204", Rate: quantity.Rate{Value: 15, Unit: quantity.MgPerL}, Amount: grams(156), Temp: ptr(quantity.Celsius(13.5))}},
		{"label in pounds", intent.FormDose, "106", "20.134<enter>", "",
			&cellar.GiveDose{Head: byMA, Vessel: "106", Product: "E-2240", Rate: quantity.Rate{Value: 0.134, Unit: quantity.LbPer1000Gal},
				Amount: grams(100.7)}},
		{"everything", intent.FormDose, "104", "12<tab>13<tab>100<tab>201<tab>2330<tab>late<tab>ns<tab>h2005<enter>", "",
			&cellar.GiveDose{Head: cellar.Head{By: "MA", Happened: true, At: tonight(t, "20:05")}, Vessel: "104", Product: "E-2204", Rate: gPerHL(2),
				Temp: ptr(quantity.Celsius(13)), Volume: quantity.HL(100), Amount: quantity.Amount{Mass: 201 * quantity.Gram},
				TestAt: tonight(t, "23:30"), Reason: "late", Second: "NS"}},
		{"on grapes", intent.FormDose, "305", "43<tab><tab>14600<enter>", "",
			&cellar.GiveDose{Head: byMA, Vessel: "305", Product: "E-1987", Rate: quantity.Rate{Value: 3, Unit: quantity.GPer100Kg},
				Amount: grams(438), Mass: 14600 * quantity.Kilogram}},
		{"SO2 on grapes", intent.FormDose, "305", "34 g/100kg<enter>", "",
			&cellar.GiveDose{Head: byMA, Vessel: "305", Product: "SO2", Rate: quantity.Rate{Value: 4, Unit: quantity.GPer100Kg},
				Amount: quantity.Amount{Volume: 3890 * quantity.Millilitre}}},
		{"reading", intent.FormReading, "102", "9,4<tab>1089<tab>145<tab>21.5<tab>3.25<tab>191<tab>clean nose<tab>10min<enter>", "",
			&cellar.TakeReading{Head: cellar.Head{By: "MA", At: tonight(t, "20:50")}, Vessel: "102", Measured: cellar.Measured{Temp: ptr(quantity.Celsius(9.4)),
				Density: ptr(quantity.Density(1.089)), Turbidity: ptr(145.0), Brix: ptr(21.5), PH: ptr(3.25), Volume: ptr(quantity.HL(191)), Words: "clean nose"}}},
	})
}

func TestCommandsOfChecks(t *testing.T) {
	runs := `{"do":"check","at":"2026-09-24T20:54:00+02:00","by":"NS","vessel":"102"}`
	void := `{"do":"check","at":"2026-09-24T20:40:00+02:00","by":"NS","vessel":"102"}`
	runCommands(t, []commandCase{
		{"start", intent.FormCheck, "102", "<enter>", "", &cellar.StartCheck{Head: byMA, Vessel: "102", Recipe: "1:2"}},
		{"start with source", intent.FormCheck, "102", "1z<enter>", "", &cellar.StartCheck{Head: byMA, Vessel: "102", Recipe: "5+5", Sampling: cellar.Sampling{ControlTube: cellar.ControlTube{Source: "frozen raw juice"}}}},
		{"a control in words of one's own", intent.FormCheck, "102", "2<tab>press juice no enzyme<enter>", "", &cellar.StartCheck{Head: byMA, Vessel: "102", Recipe: "1:2", Sampling: cellar.Sampling{ControlTube: cellar.ControlTube{Source: "press juice no enzyme"}}}},
		{"start with other source", intent.FormCheck, "102", "2o<tab>jug of 104<enter>", "", &cellar.StartCheck{Head: byMA, Vessel: "102", Recipe: "1:2", Sampling: cellar.Sampling{ControlTube: cellar.ControlTube{Source: "jug of 104"}}}},
		{"start with all there is to say", intent.FormCheck, "102", "2z1800<tab>2<tab>3y2<enter>", `{"do":"bottle","by":"MA","bottle":"A-1","abv":95,"opened":"2026-09-24T12:00:00+02:00"}` + "\n" + `{"do":"bottle","by":"MA","bottle":"A-2","abv":96}`,
			&cellar.StartCheck{Head: byMA, Vessel: "102", Recipe: "1:2", Sampling: cellar.Sampling{From: "racking valve", Filtered: ptr(true), Bottle: "A-1",
				ControlTube: cellar.ControlTube{Source: "frozen raw juice", TakenAt: tonight(t, "18:00"), Openings: 2}}}},
		{"start with a control out of another tank", intent.FormCheck, "102", "2t104<enter>", "",
			&cellar.StartCheck{Head: byMA, Vessel: "102", Recipe: "1:2", Sampling: cellar.Sampling{ControlTube: cellar.ControlTube{Source: "juice of 104"}}}},
		{"a paper drop", intent.FormCheck, "102", "p<tab>aw<enter>", "",
			&cellar.WritePaperDrop{Head: byMA, Vessel: "102", PaperDrop: cellar.PaperDrop{Method: clarity.PaperDrop, Ring: clarity.WideRing}}},
		{"a timed run beside the untreated mash", intent.FormCheck, "102", "pcw14<tab>90<tab>62<tab>0,05 L<tab>npaler<tab>no foam<tab>2050<enter>", "",
			&cellar.WritePaperDrop{Head: cellar.Head{By: "MA", At: tonight(t, "20:50")}, Vessel: "102", PaperDrop: cellar.PaperDrop{Method: clarity.PaperRun, Ring: clarity.WideRing,
				MM: 14, Seconds: 90, Treated: 62 * quantity.Millilitre, Untreated: 50 * quantity.Millilitre, Beside: clarity.NarrowRing, Colour: "paler", Words: "no foam"}}},
		{"paper round a fining trial", intent.FormCheck, "104", "pb<tab><tab>12<enter>", "",
			&cellar.WritePaperDrop{Head: byMA, Vessel: "104", PaperDrop: cellar.PaperDrop{Method: clarity.PaperFining, MM: 12}}},
		{"the plate on the tube", intent.FormCheck, "102", "cf102<enter>", runs,
			&cellar.ReadCheck{Head: byMA, Vessel: "102", Sample: clarity.Clear, Control: clarity.ControlFlocs, Tube: "102"}},
		{"house wait is not typed", intent.FormCheck, "102", "lf<enter>", runs,
			&cellar.ReadCheck{Head: byMA, Vessel: "102", Sample: clarity.LargeFlocs, Control: clarity.ControlFlocs}},
		{"by figures of the number pad", intent.FormCheck, "102", "31<enter>", runs,
			&cellar.ReadCheck{Head: byMA, Vessel: "102", Sample: clarity.FineFlocs, Control: clarity.ControlFlocs}},
		{"negative asks for no next look", intent.FormCheck, "102", "cf<enter>", runs,
			&cellar.ReadCheck{Head: byMA, Vessel: "102", Sample: clarity.Clear, Control: clarity.ControlFlocs}},
		{"typed next look", intent.FormCheck, "102", "sf2230<enter>", runs,
			&cellar.ReadCheck{Head: byMA, Vessel: "102", Sample: clarity.SmallFlocs, Control: clarity.ControlFlocs, Next: tonight(t, "22:30")}},
		{"void: a new test at once", intent.FormCheck, "102", "<enter>", void, &cellar.StartCheck{Head: byMA, Vessel: "102", Recipe: "1:2"}},
		{"void, but read in time", intent.FormCheck, "102", "rsf<tab><tab><tab>2046<enter>", void,
			&cellar.ReadCheck{Head: cellar.Head{By: "MA", At: tonight(t, "20:46")}, Vessel: "102", Sample: clarity.SmallFlocs, Control: clarity.ControlFlocs}},
		{"second look", intent.FormCheck, "102", "u<enter>", runs + "\n" + `{"do":"check-read","by":"NS","vessel":"102","sample":"faint haze","control":"flocs"}`,
			&cellar.ReadCheck{Head: byMA, Vessel: "102", Second: clarity.SecondUnchanged}},
	})
}

func TestCommandsOfMovesAndStages(t *testing.T) {
	hl := func(p cellar.Plate, x float64) cellar.Portion {
		return cellar.Portion{Vessel: p, Volume: quantity.HL(x)}
	}
	runCommands(t, []commandCase{
		{"all that fits", intent.FormMove, "106", "206<enter>", "", &cellar.Move{Head: byMA, From: "106", To: []cellar.Portion{hl("206", 62.7)}}},
		{"the rest is proposed", intent.FormMove, "101", "203<tab><tab>405<enter>", "",
			&cellar.Move{Head: byMA, From: "101", To: []cellar.Portion{hl("203", 170), hl("405", 44)}}},
		{"three ways", intent.FormMove, "101", "203<tab>100<tab>206<tab>100<tab><tab><tab>405<tab>14<tab><tab><tab><tab><tab><tab>206<enter>", "",
			&cellar.Move{Head: byMA, From: "101", To: []cellar.Portion{hl("203", 100), {Vessel: "206", Volume: quantity.HL(100), Seen: "206"}, hl("405", 14)}}},
		{"most stays, unasked", intent.FormMove, "101", "203<tab>20<enter>", "", &cellar.Move{Head: byMA, From: "101", To: []cellar.Portion{hl("203", 20)}, Part: true}},
		{"rest stays", intent.FormMove, "101", "203<tab>100<tab><tab><tab><tab>y<enter>", "",
			&cellar.Move{Head: byMA, From: "101", To: []cellar.Portion{hl("203", 100)}, Part: true}},
		{"blend, happened, meant for another", intent.FormMove, "101", "209<tab>3.5<tab><tab><tab><tab>yyh206<tab>wrong plate<tab>2055<enter>", "",
			&cellar.Move{Head: cellar.Head{By: "MA", Happened: true, At: tonight(t, "20:55")}, From: "101", To: []cellar.Portion{hl("209", 3.5)},
				Blend: true, Part: true, Meant: "206", Why: "wrong plate"}},
		{"rest stays, by eye", intent.FormMove, "101", "203<tab>100<tab><tab><tab><tab>yp<tab><tab><tab>e<enter>", "",
			&cellar.Move{Head: byMA, From: "101", To: []cellar.Portion{hl("203", 100)}, Part: true, How: cellar.Estimate}},
		{"pump starts", intent.FormMove, "101", "203<tab>165<tab><tab><tab><tab><tab>s180 hL/h<enter>", "",
			&cellar.StartMove{Head: byMA, From: "101", To: []cellar.Portion{hl("203", 165)}, Rate: quantity.HL(180)}},
		{"a move that runs", intent.FormMove, "101", "<enter>", `{"do":"move-start","by":"NS","from":"101","to":[{"vessel":"203","volume":"165 hL"},{"vessel":"405","volume":"48 hL"}]}`,
			&cellar.Move{Head: cellar.Head{By: "MA", Happened: true}, From: "101", To: []cellar.Portion{hl("203", 165), hl("405", 48)}, Loss: quantity.HL(1)}},
		{"read back at the valve", intent.FormMove, "106", "206<up>206<enter>", `{"do":"house","by":"MA","read_back":["206","209"]}`,
			&cellar.Move{Head: byMA, From: "106", To: []cellar.Portion{{Vessel: "206", Volume: quantity.HL(62.7), Seen: "206"}}}},
		{"stage by the house", intent.FormStage, "104", "1<enter>", "", &cellar.SetStage{Head: byMA, Vessel: "104", Stage: stage.Settling}},
		{"stage for a time", intent.FormStage, "104", "1cold<tab>16h<enter>", "",
			&cellar.SetStage{Head: byMA, Vessel: "104", Stage: stage.Settling, Reason: "cold", For: quantity.Span(16 * time.Hour)}},
		{"cleaning", intent.FormStage, "103", "7<tab><tab><tab><tab>hot caustic<enter>", "",
			&cellar.SetStage{Head: byMA, Vessel: "103", Stage: stage.Cleaning, Method: "hot caustic"}},
	})
}

func TestCommandsOfTheYardAndThePresses(t *testing.T) {
	weighed := `{"do":"load","by":"MA","load":"0414","variety":"Sauvignon","gross":"31260 kg","tare":"12460 kg"}`
	tipping := weighed + "\n" + `{"do":"tip","by":"TQ","load":"0414","to":"P2"}`
	full := tipping + "\n" + `{"do":"tipped","by":"TQ","load":"0414","to":"P2"}`
	pressing := full + "\n" + `{"do":"press-start","by":"TQ","press":"P2","programme":"W-120","main":"103","fraction":"403"}`
	kg := func(x int) quantity.Mass { return quantity.Mass(x) * quantity.Kilogram }
	runCommands(t, []commandCase{
		{"book a new load", intent.FormLoad, "", "<tab>Riesling<tab><tab><tab><tab><tab>fri 05:00<enter>", "",
			&cellar.BookLoad{Head: byMA, Load: cellar.Load{ID: "0415", Variety: "Riesling", Booked: tonight(t, "05:00")}}},
		{"weigh a new load", intent.FormLoad, "", "0420<tab>Riesling<tab>31,26t<tab>12460<enter>", "",
			&cellar.WeighLoad{Head: byMA, Load: cellar.Load{ID: "0420", Variety: "Riesling", Gross: kg(31260), Tare: kg(12460)}}},
		{"weigh an expected one", intent.FormLoad, "0414", "31260<tab>12460<tab>16<tab>21.1<tab>3.24<tab>2<enter>", "",
			&cellar.WeighLoad{Head: byMA, Load: cellar.Load{ID: "0414", Variety: "Sauvignon", To: "P2", Gross: kg(31260), Tare: kg(12460), Temp: 16, Brix: 21.1, PH: 3.24, Rot: 2}}},
		{"tip", intent.FormLoad, "0414", "<enter>", weighed, &cellar.Tip{Head: byMA, Load: "0414", To: "P2"}},
		{"all in", intent.FormLoad, "0414", "<enter>", tipping, &cellar.TipDone{Head: byMA, Load: "0414", To: "P2"}},
		{"fill a press", intent.FormPress, "P1", "<enter>", weighed, &cellar.Tip{Head: byMA, Load: "0414", To: "P1"}},
		{"fill with some of it", intent.FormPress, "P1", "f110 t<tab>2136<enter>", weighed, &cellar.Tip{Head: byMA, Load: "0414", To: "P1", Mass: 10 * quantity.Tonne, Until: tonight(t, "21:36")}},
		{"press full", intent.FormPress, "P2", "<enter>", tipping, &cellar.TipDone{Head: byMA, Load: "0414", To: "P2"}},
		{"start", intent.FormPress, "P2", "s1<enter>", full, &cellar.StartPress{Head: byMA, Press: "P2", Programme: "W-120", Main: "103", Fraction: "403"}},
		{"start another programme", intent.FormPress, "P2", "soX-90<tab>90<tab>103<tab>405<enter>", full,
			&cellar.StartPress{Head: byMA, Press: "P2", Programme: "X-90", Minutes: quantity.Span(90 * time.Minute), Main: "103", Fraction: "405"}},
		{"stop, locked", intent.FormPress, "P2", "xscreen blocked<tab>y<enter>", pressing, &cellar.StopPress{Head: byMA, Press: "P2", Reason: "screen blocked", Locked: true}},
		{"ended", intent.FormPress, "P2", "e<tab><tab>26.3<enter>", pressing,
			&cellar.PressJuiceOut{Head: byMA, Press: "P2", To: "403", Volume: quantity.HL(26.3), Share: cellar.ShareFraction, End: true}},
		{"juice", intent.FormJuice, "P2", "71<enter>", pressing, &cellar.PressJuiceOut{Head: byMA, Press: "P2", To: "103", Volume: quantity.HL(71), Share: cellar.ShareMain}},
		{"juice by the meter", intent.FormJuice, "P2", "71<tab><tab><tab><tab><tab>m<enter>", pressing, &cellar.PressJuiceOut{Head: byMA, Press: "P2", To: "103", Volume: quantity.HL(71), Share: cellar.ShareMain, How: cellar.ByMeter}},
		{"juice by the dip, closed", intent.FormJuice, "103", "<tab>109<tab><tab><tab>y<enter>", pressing,
			&cellar.PressJuiceOut{Head: byMA, Press: "P2", To: "103", Reads: quantity.HL(109), Share: cellar.ShareMain, Closed: true}},
		{"press fraction", intent.FormJuice, "P2", "20<tab><tab>f<enter>", pressing, &cellar.PressJuiceOut{Head: byMA, Press: "P2", To: "403", Volume: quantity.HL(20), Share: cellar.ShareFraction}},
		{"free", intent.FormPress, "P2", "<enter>", pressing + "\n" + `{"do":"juice","by":"TQ","press":"P2","share":"fraction","volume":"26 hL","end":true,"answers":[{"rule":"D02"}]}`,
			&cellar.FreePress{Head: byMA, Press: "P2"}},
	})
}

func TestCommandsOfTheRest(t *testing.T) {
	kept := `{"do":"note","by":"MA","subject":"209","text":"call back","what":"promise","for":"NS","until":"2026-09-24T23:00:00+02:00"}`
	held := `{"do":"hold","by":"MA","vessel":"209","reason":"rose in it","releaser":"OF"}`
	card := cellar.Card{Card: contact.Card{Floor: 10, Ceiling: 45, Rows: []contact.Row{{From: 15, To: 20, Wait: contact.Wait(2 * time.Hour)}, {From: 12, To: 15, Wait: contact.Wait(3 * time.Hour)}}},
		Low: gPerHL(1), High: gPerHL(4), Max: gPerHL(6), MakeUp: 10}
	runCommands(t, []commandCase{
		{"note", intent.FormNote, "104", "cold spot<enter>", "", &cellar.WriteNote{Head: byMA, Subject: subject.Bare("104"), Text: "cold spot", What: cellar.NoteInfo}},
		{"promise", intent.FormNote, "104", "ring the driver<tab>pns<tab>+45<enter>", "",
			&cellar.WriteNote{Head: byMA, Subject: subject.Bare("104"), Text: "ring the driver", What: cellar.NotePromise, For: "NS", Until: tonight(t, "21:45")}},
		{"tick a note off", intent.FormNote, "209", "<tab><tab><tab><tab><tab>1<enter>", kept, &cellar.EndNote{Head: byMA, Note: "n1"}},
		{"hold with a tag", intent.FormHold, "209", "rose in it<tab><tab>17<tab>fri 1000<enter>", "",
			&cellar.HoldVessel{Head: byMA, Vessel: "209", Reason: "rose in it", Releaser: "OF", Tag: "17", Until: tonight(t, "10:00")}},
		{"release", intent.FormHold, "209", "OF by phone<enter>", held, &cellar.ReleaseVessel{Head: byMA, Vessel: "209", Reason: "OF by phone"}},
		{"new clock", intent.FormClock, "104", "<tab>look<tab>+45<enter>", "",
			&cellar.SetClock{Head: byMA, Subject: subject.Bare("104"), Verb: "look", Due: tonight(t, "21:45"), What: cellar.ActAt}},
		{"new clock, by then", intent.FormClock, "104", "nlook<tab>2200<tab>cns<enter>", "",
			&cellar.SetClock{Head: byMA, Subject: subject.Bare("104"), Verb: "look", Due: tonight(t, "22:00"), What: cellar.NotAfter, Owner: "NS"}},
		{"move a clock", intent.FormClock, "209", "1m2330<tab>not back yet<enter>", kept, &cellar.MoveClock{Head: byMA, Clock: "c2", Due: tonight(t, "23:30"), Reason: "not back yet"}},
		{"take a clock off", intent.FormClock, "209", "1ocalled<enter>", kept, &cellar.MoveClock{Head: byMA, Clock: "c2", Reason: "called", Off: true}},
		{"a promise kept ends its note", intent.FormClock, "209", "1d<enter>", kept, &cellar.EndNote{Head: byMA, Note: "n1"}},
		{"open a tub", intent.FormProduct, "", "2o<enter>", "", &cellar.OpenTub{Head: byMA, Product: "E-2240"}},
		{"count", intent.FormProduct, "", "1c40<enter>", "", &cellar.OpenTub{Head: byMA, Product: "E-2204", Count: &quantity.Amount{Mass: 40 * quantity.Gram}}},
		{"book a lot", intent.FormProduct, "", "ne-9<tab>enzyme<tab>1g/hL<tab>1-4<tab>6<tab>15-20 2h; 12-15 3h<tab>10<tab>45<tab>10<tab><tab><tab><tab>2026-12<tab>500<tab>2<tab>1 kg<enter>", "",
			&cellar.SetProduct{Head: byMA, Product: cellar.Product{ID: "E-9", Name: "enzyme", Class: cellar.EnzymeClarify, Unit: quantity.GPerHL, Card: card,
				Expiry: "2026-12", Open: quantity.Amount{Mass: 500 * quantity.Gram}, Sealed: 2, Size: quantity.Amount{Mass: quantity.Kilogram}}}},
		{"open a bottle of alcohol", intent.FormProduct, "", "ba-3<tab>96<tab>acidified<tab>2000<enter>", "",
			&cellar.SetBottle{Head: byMA, Bottle: cellar.Bottle{ID: "A-3", Strength: 96, Name: "acidified", Opened: tonight(t, "20:00")}}},
		{"open a bottle that was mixed", intent.FormProduct, "", "ba-3<tab>950mL@96% + 50mL@0%<enter>", "",
			&cellar.SetBottle{Head: byMA, Bottle: cellar.Bottle{ID: "A-3", Strength: 91.9}}},
		{"a shift begins", intent.FormShift, "", "<tab>NS, TQ<tab>0600<tab>of<enter>", "",
			&cellar.StartShift{Head: byMA, Shift: cellar.Shift{Lead: "MA", Crew: []cellar.Initials{"NS", "TQ"}, Next: "OF", Ends: tonight(t, "06:00")}}},
		{"the next shift is theirs it was handed to", intent.FormShift, "", "<tab>NS<tab>0600<enter>", `{"do":"shift-start","by":"MA","lead":"MA"}` + "\n" + `{"do":"shift-end","by":"MA","to":"OF","told":["102 test"]}`,
			&cellar.StartShift{Head: byMA, Shift: cellar.Shift{Lead: "OF", Crew: []cellar.Initials{"NS"}, Ends: tonight(t, "06:00")}}},
		{"a new one before it was handed over", intent.FormShift, "", "s<tab><tab>NS<tab>0600<enter>", `{"do":"shift-start","by":"MA","lead":"MA","next":"OF"}`,
			&cellar.StartShift{Head: byMA, Shift: cellar.Shift{Lead: "OF", Crew: []cellar.Initials{"NS"}, Ends: tonight(t, "06:00")}}},
		{"handed over", intent.FormShift, "", "<tab>of<tab>y<enter>", `{"do":"shift-start","by":"MA","lead":"MA","next":"OF"}`, &cellar.EndShift{Head: byMA, To: "OF", Told: []string{"102 test"}}},
		{"strike", intent.FormCorrect, "104", "1<tab><tab>b<tab>misread<enter>", `{"do":"reading","by":"MA","vessel":"104","temp":"31 °C"}`,
			&cellar.Correct{Head: byMA, Of: 26, Vessel: "104", Says: "reading", Field: "temp", Strike: true, Reason: "misread"}},
	})
}

// A time is put right as an instant.
func TestCorrectATime(t *testing.T) {
	h := newHouse(t)
	h.at("21:00")
	h.lines(`{"do":"reading","by":"MA","vessel":"104","temp":"13 °C"}`)
	e := h.open(intent.FormCorrect, "104")
	h.types(e, "1<tab><tab>t")
	e.Form.Focus("value")
	c := h.typed(e, "2040<enter>").(*cellar.Correct)
	require.Equal(t, "at", c.Field)
	require.Equal(t, "2026-09-24T20:40:00+02:00", c.Value)
	h.write(c)
}

// One form writes of people, gas and permits; its fields follow what is written.
func TestCommandsOfTheCrew(t *testing.T) {
	permit := `{"do":"permit","number":"17","place":"203","given":"site safety","holder":"NS","attendant":"MA","until":"2026-09-24T22:00:00+02:00","co2":800,"meter":"G2","by":"MA"}`
	runCommands(t, []commandCase{
		{"gas", intent.FormCrew, "", "g300 pit<tab>4800<tab>20,8<tab>g2<tab>from the door<tab>2055<enter>", "",
			&cellar.ReadGas{Head: cellar.Head{By: "MA", At: tonight(t, "20:55")}, GasReading: cellar.GasReading{Place: "300 pit", CO2: new(4800.0), O2: new(20.8), Meter: "G2", Note: "from the door"}}},
		{"permit with its reading", intent.FormCrew, "203", "p<tab><tab>17<tab>site safety<tab>ns<tab>ma<tab>2200<tab>800<tab>20.9<tab>g2<enter>", "",
			&cellar.WritePermit{Head: byMA, Number: "17", Place: "203", Given: "site safety", Holder: "NS", Attendant: "MA", Until: tonight(t, "22:00"), CO2: new(800.0), O2: new(20.9), Meter: "G2"}},
		{"goes in under the only permit", intent.FormCrew, "203", "n<enter>", permit,
			&cellar.EnterVessel{Head: byMA, Place: "203", Who: "NS", Permit: "17"}},
		{"another attendant under the only permit", intent.FormCrew, "", "a<tab><tab>tq<enter>", permit, &cellar.NameAttendant{Head: byMA, Number: "17", Attendant: "TQ"}},
		{"permit ends", intent.FormCrew, "", "e<enter>", permit, &cellar.EndPermit{Head: byMA, Number: "17"}},
		{"break", intent.FormCrew, "", "b2130<tab>ns<tab>soup<enter>", "", &cellar.TakeBreak{Head: byMA, Who: "NS", Until: tonight(t, "21:30"), Note: "soup"}},
		{"back, the only one", intent.FormCrew, "", "k<enter>", `{"do":"break","who":"NS","for":"20m","by":"MA"}`, &cellar.EndBreak{Head: byMA, Who: "NS"}},
		{"out", intent.FormCrew, "", "ons<enter>", "", &cellar.GoOut{Head: byMA, Who: "NS"}},
		{"in", intent.FormCrew, "", "i<enter>", "", &cellar.ComeIn{Head: byMA}},
		{"came out", intent.FormCrew, "", "cns<enter>", "", &cellar.LeaveVessel{Head: byMA, Who: "NS"}},
		{"head count", intent.FormCrew, "", "hma, ns<tab>2<tab>yard<enter>", "",
			&cellar.CountHeads{Head: byMA, Counted: []cellar.Initials{"MA", "NS"}, Others: 2, Note: "yard"}},
		{"a clock of a call back", intent.FormClock, "", "ncall the fitter<tab>2230<tab>a<tab><tab>chiller<tab>c<enter>", "",
			&cellar.SetClock{Head: byMA, Subject: subject.Bare("chiller"), Verb: "call the fitter", Due: tonight(t, "22:30"), What: cellar.ActAt, ForKind: cellar.KindCall}},
	})
}
