package entry_test

import (
	"strings"
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
	"cellar.example/mustwatch/tui/face"
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
	require.Equal(t, cellar.GiveOrder{Head: cellar.Head{By: "MA"}, Act: cellar.ActFloat, Vessel: "106", From: "OF",
		Text: "when a slot is free"}, *c.(*cellar.GiveOrder))
	h.write(c)
	e := h.open(intent.FormNote, "106")
	h.types(e, "slot found<tab><tab><tab><tab><tab>")
	require.Contains(t, screen(e, 100, 30), "1 order from OF: float 106, when a slot is free")
	h.types(e, "1")
	c, err := e.Command(e.Form.Values())
	require.NoError(t, err)
	require.Equal(t, h.s.Orders[0].ID, c.(*cellar.EndOrder).Order)
	dose := h.typed(h.open(intent.FormNote, "102"), "tonight<tab>odE-2240<tab>1.6 g/hL<enter>").(*cellar.GiveOrder)
	require.Equal(t, cellar.ProductID("E-2240"), dose.Product)
	require.Equal(t, "1.6 g/hL", dose.Rate.String())
	_, err = h.open(intent.FormNote, "106").Command(map[string]string{"what": "info"})
	require.ErrorContains(t, err, "type the note")
}

// TestARouteIsChangedWhereStagesAre: a change wants its reason at that field.
func TestARouteIsChangedWhereStagesAre(t *testing.T) {
	h := newHouse(t)
	e := h.open(intent.FormStage, "106")
	require.Contains(t, screen(e, 100, 30), "change only the route: float")
	h.types(e, "change only the route: f")
	c, err := e.Command(e.Form.Values())
	require.NoError(t, err)
	require.Equal(t, cellar.RouteFloat, c.(*cellar.SetRoute).Route)
	h.write(c)
	e = h.open(intent.FormStage, "106")
	require.Contains(t, screen(e, 100, 30), "change only the route: settle, not float (say why)")
}

func grams(g float64) quantity.Amount {
	return quantity.Amount{Mass: quantity.Mass(g * float64(quantity.Gram))}
}

func TestCommandsOfDosesAndReadings(t *testing.T) {
	runCommands(t, []commandCase{
		{name: "dose in the label's unit", kind: intent.FormDose, on: "104", keys: "11.5<tab>13.5<enter>",
			want: &cellar.GiveDose{Head: byMA, Vessel: "104", Product: "E-2204", Rate: gPerHL(1.5), Amount: grams(156),
				Temp: ptr(quantity.Celsius(13.5))}},
		{name: "decimal comma, typed unit", kind: intent.FormDose, on: "104", keys: "115 mg/L<tab>13,5<enter>",
			want: &cellar.GiveDose{Head: byMA, Vessel: "104", Product: "E-2204", Rate: quantity.Rate{Value: 15,
				Unit: quantity.MgPerL}, Amount: grams(156), Temp: ptr(quantity.Celsius(13.5))}},
		{name: "label in pounds", kind: intent.FormDose, on: "106", keys: "20.134<enter>",
			want: &cellar.GiveDose{Head: byMA, Vessel: "106", Product: "E-2240", Rate: quantity.Rate{Value: 0.134,
				Unit: quantity.LbPer1000Gal},
				Amount: grams(100.7)}},
		{name: "everything", kind: intent.FormDose, on: "104",
			keys: "12<tab>13<tab>100<tab>201<tab>2330<tab>late<tab>ns<tab>h2005<enter>",
			want: &cellar.GiveDose{Head: cellar.Head{By: "MA", Happened: true, At: tonight(t, "20:05")}, Vessel: "104",
				Product: "E-2204", Rate: gPerHL(2),
				Temp: ptr(quantity.Celsius(13)), Volume: quantity.HL(100),
				Amount: quantity.Amount{Mass: 201 * quantity.Gram},
				TestAt: tonight(t, "23:30"), Reason: "late", Second: "NS"}},
		{name: "on grapes", kind: intent.FormDose, on: "305", keys: "43<tab><tab>14600<enter>",
			want: &cellar.GiveDose{Head: byMA, Vessel: "305", Product: "E-1987", Rate: quantity.Rate{Value: 3,
				Unit: quantity.GPer100Kg},
				Amount: grams(438), Mass: 14600 * quantity.Kilogram}},
		{name: "SO2 on grapes", kind: intent.FormDose, on: "305", keys: "34 g/100kg<enter>",
			want: &cellar.GiveDose{Head: byMA, Vessel: "305", Product: "SO2", Rate: quantity.Rate{Value: 4,
				Unit: quantity.GPer100Kg},
				Amount: quantity.Amount{Volume: 3890 * quantity.Millilitre}}},
		{name: "reading", kind: intent.FormReading, on: "102",
			keys: "9,4<tab>1089<tab>145<tab>21.5<tab>3.25<tab>191<tab>clean nose<tab>10min<enter>",
			want: &cellar.TakeReading{Head: cellar.Head{By: "MA", At: tonight(t, "20:50")}, Vessel: "102",
				Measured: cellar.Measured{Temp: ptr(quantity.Celsius(9.4)),
					Density: ptr(quantity.Density(1.089)), Turbidity: ptr(145.0), Brix: ptr(21.5), PH: ptr(3.25),
					Volume: ptr(quantity.HL(191)), Words: "clean nose"}}},
	})
}

func TestCommandsOfChecks(t *testing.T) {
	runs := `{"do":"pectin-test","at":"2026-09-24T20:54:00+02:00","by":"NS","vessel":"102"}`
	void := `{"do":"pectin-test","at":"2026-09-24T20:40:00+02:00","by":"NS","vessel":"102"}`
	runCommands(t, []commandCase{
		{name: "start", kind: intent.FormCheck, on: "102", keys: "<enter>", want: &cellar.StartCheck{Head: byMA,
			Vessel: "102", Recipe: "1:2"}},
		{name: "start with source", kind: intent.FormCheck, on: "102", keys: "1z<enter>",
			want: &cellar.StartCheck{Head: byMA, Vessel: "102", Recipe: "5+5",
				Sampling: cellar.Sampling{ControlTube: cellar.ControlTube{Source: "frozen raw juice"}}}},
		{name: "a control in words of one's own", kind: intent.FormCheck, on: "102",
			keys: "2<tab>press juice no enzyme<enter>", want: &cellar.StartCheck{Head: byMA, Vessel: "102",
				Recipe: "1:2", Sampling: cellar.Sampling{ControlTube: cellar.ControlTube{Source: "press juice " +
					"no enzyme"}}}},
		{name: "start with other source", kind: intent.FormCheck, on: "102", keys: "2o<tab>jug of 104<enter>",
			want: &cellar.StartCheck{Head: byMA, Vessel: "102", Recipe: "1:2",
				Sampling: cellar.Sampling{ControlTube: cellar.ControlTube{Source: "jug of 104"}}}},
		{name: "start with all there is to say", kind: intent.FormCheck, on: "102", keys: "2z1800<tab>2<tab>3y2<enter>",
			lines: `{"do":"bottle","by":"MA","bottle":"A-1","abv":95,"opened":"2026-09-24T12:00:00+02:00"}` + "\n" +
				`{"do":"bottle","by":"MA","bottle":"A-2","abv":96}`,
			want: &cellar.StartCheck{Head: byMA, Vessel: "102", Recipe: "1:2",
				Sampling: cellar.Sampling{From: "racking valve", Filtered: ptr(true), Bottle: "A-1",
					ControlTube: cellar.ControlTube{Source: "frozen raw juice", TakenAt: tonight(t, "18:00"),
						Openings: 2}}}},
		{name: "start with a control out of another tank", kind: intent.FormCheck, on: "102", keys: "2t104<enter>",
			want: &cellar.StartCheck{Head: byMA, Vessel: "102", Recipe: "1:2",
				Sampling: cellar.Sampling{ControlTube: cellar.ControlTube{Source: "juice of 104"}}}},
		{name: "a paper drop", kind: intent.FormCheck, on: "102", keys: "p<tab>aw<enter>",
			want: &cellar.WritePaperDrop{Head: byMA, Vessel: "102",
				PaperDrop: cellar.PaperDrop{Method: clarity.PaperDrop, Ring: clarity.WideRing}}},
		{name: "a timed run beside the untreated mash", kind: intent.FormCheck, on: "102",
			keys: "pcw14<tab>90<tab>62<tab>0,05 L<tab>npaler<tab>no foam<tab>2050<enter>",
			want: &cellar.WritePaperDrop{Head: cellar.Head{By: "MA", At: tonight(t, "20:50")}, Vessel: "102",
				PaperDrop: cellar.PaperDrop{Method: clarity.PaperRun, Ring: clarity.WideRing,
					MM: 14, Seconds: 90, Treated: 62 * quantity.Millilitre, Untreated: 50 * quantity.Millilitre,
					Beside: clarity.NarrowRing, Colour: "paler", Words: "no foam"}}},
		{name: "paper round a fining trial", kind: intent.FormCheck, on: "104", keys: "pb<tab><tab>12<enter>",
			want: &cellar.WritePaperDrop{Head: byMA, Vessel: "104",
				PaperDrop: cellar.PaperDrop{Method: clarity.PaperFining, MM: 12}}},
		{name: "the number on the tube", kind: intent.FormCheck, on: "102", keys: "cf102<enter>", lines: runs,
			want: &cellar.ReadCheck{Head: byMA, Vessel: "102", Sample: clarity.Clear, Control: clarity.ControlFlocs,
				Tube: "102"}},
		{name: "house wait is not typed", kind: intent.FormCheck, on: "102", keys: "lf<enter>", lines: runs,
			want: &cellar.ReadCheck{Head: byMA, Vessel: "102", Sample: clarity.LargeFlocs,
				Control: clarity.ControlFlocs}},
		{name: "by figures of the number pad", kind: intent.FormCheck, on: "102", keys: "31<enter>", lines: runs,
			want: &cellar.ReadCheck{Head: byMA, Vessel: "102", Sample: clarity.FineFlocs,
				Control: clarity.ControlFlocs}},
		{name: "negative asks for no next look", kind: intent.FormCheck, on: "102", keys: "cf<enter>", lines: runs,
			want: &cellar.ReadCheck{Head: byMA, Vessel: "102", Sample: clarity.Clear, Control: clarity.ControlFlocs}},
		{name: "typed next look", kind: intent.FormCheck, on: "102", keys: "sf2230<enter>", lines: runs,
			want: &cellar.ReadCheck{Head: byMA, Vessel: "102", Sample: clarity.SmallFlocs,
				Control: clarity.ControlFlocs, Next: tonight(t, "22:30")}},
		{name: "void: a new test at once", kind: intent.FormCheck, on: "102", keys: "<enter>", lines: void,
			want: &cellar.StartCheck{Head: byMA, Vessel: "102", Recipe: "1:2"}},
		{name: "void, but read in time", kind: intent.FormCheck, on: "102", keys: "rsf<tab><tab><tab>2046<enter>",
			lines: void,
			want: &cellar.ReadCheck{Head: cellar.Head{By: "MA", At: tonight(t, "20:46")}, Vessel: "102",
				Sample: clarity.SmallFlocs, Control: clarity.ControlFlocs}},
		{name: "second look", kind: intent.FormCheck, on: "102", keys: "u<enter>",
			lines: runs + "\n" + `{"do":"pectin-test-read","by":"NS","vessel":"102","sample":"faint haze",` +
				`"control":"flocs"}`,
			want: &cellar.ReadCheck{Head: byMA, Vessel: "102", Second: clarity.SecondUnchanged}},
	})
}

func TestCommandsOfMovesAndStages(t *testing.T) {
	hl := func(p cellar.TankNumber, x float64) cellar.Portion {
		return cellar.Portion{Vessel: p, Volume: quantity.HL(x)}
	}
	runCommands(t, []commandCase{
		{name: "all that fits", kind: intent.FormMove, on: "106", keys: "206<enter>", want: &cellar.Move{Head: byMA,
			From: "106", To: []cellar.Portion{hl("206", 62.7)}}},
		{name: "the rest is proposed", kind: intent.FormMove, on: "101", keys: "203<tab><tab>405<enter>",
			want: &cellar.Move{Head: byMA, From: "101", To: []cellar.Portion{hl("203", 170), hl("405", 44)}}},
		{name: "three ways", kind: intent.FormMove, on: "101",
			keys: "203<tab>100<tab>206<tab>100<tab><tab><tab>405<tab>14<tab><tab><tab><tab><tab><tab>206<enter>",
			want: &cellar.Move{Head: byMA, From: "101", To: []cellar.Portion{hl("203", 100), {Vessel: "206",
				Volume: quantity.HL(100), Seen: "206"}, hl("405", 14)}}},
		{name: "most stays, unasked", kind: intent.FormMove, on: "101", keys: "203<tab>20<enter>",
			want: &cellar.Move{Head: byMA, From: "101", To: []cellar.Portion{hl("203", 20)}, Part: true}},
		{name: "rest stays", kind: intent.FormMove, on: "101", keys: "203<tab>100<tab><tab><tab><tab>y<enter>",
			want: &cellar.Move{Head: byMA, From: "101", To: []cellar.Portion{hl("203", 100)}, Part: true}},
		{name: "blend, happened, meant for another", kind: intent.FormMove, on: "101",
			keys: "209<tab>3.5<tab><tab><tab><tab>yyh206<tab>wrong number<tab>2055<enter>",
			want: &cellar.Move{Head: cellar.Head{By: "MA", Happened: true, At: tonight(t, "20:55")}, From: "101",
				To:    []cellar.Portion{hl("209", 3.5)},
				Blend: true, Part: true, Meant: "206", Why: "wrong number"}},
		{name: "rest stays, by eye", kind: intent.FormMove, on: "101",
			keys: "203<tab>100<tab><tab><tab><tab>yp<tab><tab><tab>e<enter>", want: &cellar.Move{Head: byMA,
				From: "101", To: []cellar.Portion{hl("203", 100)}, Part: true, How: cellar.Estimate}},
		{name: "pump starts", kind: intent.FormMove, on: "101",
			keys: "203<tab>165<tab><tab><tab><tab><tab>s180 hL/h<enter>", want: &cellar.StartMove{Head: byMA,
				From: "101", To: []cellar.Portion{hl("203", 165)}, Rate: quantity.HL(180)}},
		{name: "a move that runs", kind: intent.FormMove, on: "101", keys: "<enter>",
			lines: `{"do":"move-start","by":"NS","from":"101","to":[{"vessel":"203","volume":"165 hL"},` +
				`{"vessel":"405","volume":"48 hL"}]}`,
			want: &cellar.Move{Head: cellar.Head{By: "MA", Happened: true}, From: "101", To: []cellar.Portion{hl("203",
				165), hl("405", 48)}, Loss: quantity.HL(1)}},
		{name: "read back at the valve", kind: intent.FormMove, on: "106", keys: "206<up>206<enter>",
			lines: `{"do":"house","by":"MA","read_back":["206","209"]}`,
			want: &cellar.Move{Head: byMA, From: "106", To: []cellar.Portion{{Vessel: "206", Volume: quantity.HL(62.7),
				Seen: "206"}}}},
		{name: "stage by the house", kind: intent.FormStage, on: "104", keys: "1<enter>",
			want: &cellar.SetStage{Head: byMA, Vessel: "104", Stage: stage.Settling}},
		{name: "stage for a time", kind: intent.FormStage, on: "104", keys: "1cold<tab>16h<enter>",
			want: &cellar.SetStage{Head: byMA, Vessel: "104", Stage: stage.Settling, Reason: "cold",
				For: quantity.Span(16 * time.Hour)}},
		{name: "cleaning", kind: intent.FormStage, on: "103", keys: "7<tab><tab><tab><tab>hot caustic<enter>",
			want: &cellar.SetStage{Head: byMA, Vessel: "103", Stage: stage.Cleaning, Method: "hot caustic"}},
	})
}

func TestCommandsOfTheYardAndThePresses(t *testing.T) {
	weighed := `{"do":"load","by":"MA","load":"0414","variety":"Sauvignon","gross":"31260 kg","tare":"12460 kg"}`
	tipping := weighed + "\n" + `{"do":"tip","by":"TQ","load":"0414","to":"P2"}`
	full := tipping + "\n" + `{"do":"tipped","by":"TQ","load":"0414","to":"P2"}`
	pressing := full + "\n" + `{"do":"press-start","by":"TQ","press":"P2","programme":"W-120","free_run":"103",` +
		`"pressings":"403"}`
	kg := func(x int) quantity.Mass { return quantity.Mass(x) * quantity.Kilogram }
	runCommands(t, []commandCase{
		{name: "book a new load", kind: intent.FormLoad,
			keys: "<tab>Riesling<tab><tab><tab>w<tab>f<tab><tab>fri 05:00<enter>",
			want: &cellar.BookLoad{Head: byMA, Load: cellar.Load{ID: "0415", Variety: "Riesling",
				Style: cellar.StyleWhite, Route: cellar.RouteFloat, Booked: tonight(t,
					"05:00")}}},
		{name: "weigh a new load", kind: intent.FormLoad, keys: "0420<tab>Riesling<tab>31,26t<tab>12460<enter>",
			want: &cellar.WeighLoad{Head: byMA, Load: cellar.Load{ID: "0420", Variety: "Riesling", Gross: kg(31260),
				Tare: kg(12460)}}},
		{name: "weigh an expected one", kind: intent.FormLoad, on: "0414",
			keys: "31260<tab>12460<tab>16<tab>21.1<tab>3.24<tab>2<enter>", want: &cellar.WeighLoad{Head: byMA,
				Load: cellar.Load{ID: "0414", Variety: "Sauvignon", To: "P2", Gross: kg(31260), Tare: kg(12460),
					Temp: 16, Brix: 21.1, PH: 3.24, Rot: 2}}},
		{name: "tip", kind: intent.FormLoad, on: "0414", keys: "<enter>", lines: weighed, want: &cellar.Tip{Head: byMA,
			Load: "0414", To: "P2"}},
		{name: "all in", kind: intent.FormLoad, on: "0414", keys: "<enter>", lines: tipping,
			want: &cellar.TipDone{Head: byMA, Load: "0414", To: "P2"}},
		{name: "fill a press", kind: intent.FormPress, on: "P1", keys: "<enter>", lines: weighed,
			want: &cellar.Tip{Head: byMA, Load: "0414", To: "P1"}},
		{name: "fill with some of it", kind: intent.FormPress, on: "P1", keys: "f110 t<tab>2136<enter>", lines: weighed,
			want: &cellar.Tip{Head: byMA, Load: "0414", To: "P1", Mass: 10 * quantity.Tonne, Until: tonight(t,
				"21:36")}},
		{name: "press full", kind: intent.FormPress, on: "P2", keys: "<enter>", lines: tipping,
			want: &cellar.TipDone{Head: byMA, Load: "0414", To: "P2"}},
		{name: "start", kind: intent.FormPress, on: "P2", keys: "s1<enter>", lines: full,
			want: &cellar.StartPress{Head: byMA, Press: "P2", Programme: "W-120", Main: "103", Fraction: "403"}},
		{name: "start another programme", kind: intent.FormPress, on: "P2",
			keys: "soX-90<tab>90<tab>103<tab>405<enter>", lines: full,
			want: &cellar.StartPress{Head: byMA, Press: "P2", Programme: "X-90",
				Minutes: quantity.Span(90 * time.Minute), Main: "103", Fraction: "405"}},
		{name: "stop, locked", kind: intent.FormPress, on: "P2", keys: "xscreen blocked<tab>y<enter>", lines: pressing,
			want: &cellar.StopPress{Head: byMA, Press: "P2", Reason: "screen blocked", Locked: true}},
		{name: "ended", kind: intent.FormPress, on: "P2", keys: "e<tab><tab>26.3<enter>", lines: pressing,
			want: &cellar.PressJuiceOut{Head: byMA, Press: "P2", To: "403", Volume: quantity.HL(26.3),
				Share: cellar.ShareFraction, End: true}},
		{name: "juice", kind: intent.FormJuice, on: "P2", keys: "71<enter>", lines: pressing,
			want: &cellar.PressJuiceOut{Head: byMA, Press: "P2", To: "103", Volume: quantity.HL(71),
				Share: cellar.ShareMain}},
		{name: "juice by the meter", kind: intent.FormJuice, on: "P2", keys: "71<tab><tab><tab><tab><tab>m<enter>",
			lines: pressing, want: &cellar.PressJuiceOut{Head: byMA, Press: "P2", To: "103", Volume: quantity.HL(71),
				Share: cellar.ShareMain, How: cellar.ByMeter}},
		{name: "juice by the dip, closed", kind: intent.FormJuice, on: "103", keys: "<tab>109<tab><tab><tab>y<enter>",
			lines: pressing,
			want: &cellar.PressJuiceOut{Head: byMA, Press: "P2", To: "103", Reads: quantity.HL(109),
				Share: cellar.ShareMain, Closed: true}},
		{name: "pressings", kind: intent.FormJuice, on: "P2", keys: "20<tab><tab>p<enter>", lines: pressing,
			want: &cellar.PressJuiceOut{Head: byMA, Press: "P2", To: "403", Volume: quantity.HL(20),
				Share: cellar.ShareFraction}},
		{name: "free", kind: intent.FormPress, on: "P2", keys: "<enter>",
			lines: pressing + "\n" + `{"do":"juice","by":"TQ","press":"P2","share":"pressings","volume":"26 hL",` +
				`"end":true,"answers":[{"rule":"D02"}]}`,
			want: &cellar.FreePress{Head: byMA, Press: "P2"}},
	})
}

func TestCommandsOfTheRest(t *testing.T) {
	kept := `{"do":"note","by":"MA","subject":"209","text":"call back","what":"promise","for":"NS",` +
		`"until":"2026-09-24T23:00:00+02:00"}`
	held := `{"do":"hold","by":"MA","vessel":"209","reason":"rose in it","releaser":"OF"}`
	card := cellar.Card{Card: contact.Card{Floor: 10, Ceiling: 45, Rows: []contact.Row{{From: 15, To: 20,
		Wait: contact.Wait(2 * time.Hour)}, {From: 12, To: 15, Wait: contact.Wait(3 * time.Hour)}}},
		Low: gPerHL(1), High: gPerHL(4), Max: gPerHL(6), MakeUp: 10}
	runCommands(t, []commandCase{
		{name: "note", kind: intent.FormNote, on: "104", keys: "cold spot<enter>", want: &cellar.WriteNote{Head: byMA,
			Subject: subject.Bare("104"), Text: "cold spot", What: cellar.NoteInfo}},
		{name: "promise", kind: intent.FormNote, on: "104", keys: "ring the driver<tab>pns<tab>+45<enter>",
			want: &cellar.WriteNote{Head: byMA, Subject: subject.Bare("104"), Text: "ring the driver",
				What: cellar.NotePromise, For: "NS", Until: tonight(t, "21:45")}},
		{name: "tick a note off", kind: intent.FormNote, on: "209", keys: "<tab><tab><tab><tab><tab>1<enter>",
			lines: kept, want: &cellar.EndNote{Head: byMA, Note: "n1"}},
		{name: "hold with a tag", kind: intent.FormHold, on: "209", keys: "rose in it<tab><tab>17<tab>fri 1000<enter>",
			want: &cellar.HoldVessel{Head: byMA, Vessel: "209", Reason: "rose in it", Releaser: "OF", Tag: "17",
				Until: tonight(t, "10:00")}},
		{name: "release", kind: intent.FormHold, on: "209", keys: "OF by phone<enter>", lines: held,
			want: &cellar.ReleaseVessel{Head: byMA, Vessel: "209", Reason: "OF by phone"}},
		{name: "new clock", kind: intent.FormClock, on: "104", keys: "<tab>look<tab>+45<enter>",
			want: &cellar.SetClock{Head: byMA, Subject: subject.Bare("104"), Verb: "look", Due: tonight(t, "21:45"),
				What: cellar.ActAt}},
		{name: "new clock, by then", kind: intent.FormClock, on: "104", keys: "nlook<tab>2200<tab>cns<enter>",
			want: &cellar.SetClock{Head: byMA, Subject: subject.Bare("104"), Verb: "look", Due: tonight(t, "22:00"),
				What: cellar.NotAfter, Owner: "NS"}},
		{name: "move a clock", kind: intent.FormClock, on: "209", keys: "1m2330<tab>not back yet<enter>", lines: kept,
			want: &cellar.MoveClock{Head: byMA, Clock: "c2", Due: tonight(t, "23:30"), Reason: "not back yet"}},
		{name: "turn a clock off", kind: intent.FormClock, on: "209", keys: "1ocalled<enter>", lines: kept,
			want: &cellar.MoveClock{Head: byMA, Clock: "c2", Reason: "called", Off: true}},
		{name: "a promise kept ends its note", kind: intent.FormClock, on: "209", keys: "1d<enter>", lines: kept,
			want: &cellar.EndNote{Head: byMA, Note: "n1"}},
		{name: "open a tub", kind: intent.FormProduct, keys: "2o<enter>", want: &cellar.OpenTub{Head: byMA,
			Product: "E-2240"}},
		{name: "count", kind: intent.FormProduct, keys: "1c40<enter>", want: &cellar.OpenTub{Head: byMA,
			Product: "E-2204", Count: &quantity.Amount{Mass: 40 * quantity.Gram}}},
		{name: "end a lot", kind: intent.FormProduct, keys: "2ehanded back<enter>", want: &cellar.EndLot{Head: byMA,
			Product: "E-2240", Reason: "handed back"}},
		{name: "book a lot", kind: intent.FormProduct,
			keys: "ne-9<tab>enzyme<tab>1g/hL<tab>1-4<tab>6<tab>15-20 2h; 12-15 " +
				"3h<tab>10<tab>45<tab>10<tab><tab><tab><tab>2026-12<tab>500<tab>2<tab>1 kg<enter>",
			want: &cellar.SetProduct{Head: byMA, Product: cellar.Product{ID: "E-9", Name: "enzyme",
				Class: cellar.EnzymeClarify, Unit: quantity.GPerHL, Card: card,
				Expiry: "2026-12", Open: quantity.Amount{Mass: 500 * quantity.Gram}, Sealed: 2,
				Size: quantity.Amount{Mass: quantity.Kilogram}}}},
		{name: "open a bottle of alcohol", kind: intent.FormProduct, keys: "ba-3<tab>96<tab>acidified<tab>2000<enter>",
			want: &cellar.SetBottle{Head: byMA, Bottle: cellar.Bottle{ID: "A-3", Strength: 96, Name: "acidified",
				Opened: tonight(t, "20:00")}}},
		{name: "open a bottle that was mixed", kind: intent.FormProduct, keys: "ba-3<tab>950mL@96% + 50mL@0%<enter>",
			want: &cellar.SetBottle{Head: byMA, Bottle: cellar.Bottle{ID: "A-3", Strength: 91.9}}},
		{name: "a shift begins", kind: intent.FormShift, keys: "<tab>NS, TQ<tab>0600<tab>of<enter>",
			want: &cellar.StartShift{Head: byMA, Shift: cellar.Shift{Lead: "MA", Crew: []cellar.Initials{"NS", "TQ"},
				Next: "OF", Ends: tonight(t, "06:00")}}},
		{name: "the next shift is theirs it was handed to", kind: intent.FormShift, keys: "<tab>NS<tab>0600<enter>",
			lines: `{"do":"shift-start","by":"MA","lead":"MA"}` + "\n" +
				`{"do":"shift-end","by":"MA","to":"OF","told":["102 test"]}`,
			want: &cellar.StartShift{Head: byMA, Shift: cellar.Shift{Lead: "OF", Crew: []cellar.Initials{"NS"},
				Ends: tonight(t, "06:00")}}},
		{name: "a new one before it was handed over", kind: intent.FormShift, keys: "s<tab><tab>NS<tab>0600<enter>",
			lines: `{"do":"shift-start","by":"MA","lead":"MA","next":"OF"}`,
			want: &cellar.StartShift{Head: byMA, Shift: cellar.Shift{Lead: "OF", Crew: []cellar.Initials{"NS"},
				Ends: tonight(t, "06:00")}}},
		{name: "handed over", kind: intent.FormShift, keys: "<tab>of<tab>y<enter>",
			lines: `{"do":"shift-start","by":"MA","lead":"MA","next":"OF"}`, want: &cellar.EndShift{Head: byMA,
				To: "OF", Told: []string{"102 test"}}},
		{name: "handed over, one leaves and one stays", kind: intent.FormShift, keys: "<tab>of<tab>yny<enter>",
			lines: `{"do":"shift-start","by":"MA","lead":"MA","crew":["NS"],"next":"OF"}`,
			want:  &cellar.EndShift{Head: byMA, To: "OF", Told: []string{"102 test"}, Out: []cellar.Initials{"NS"}}},
		{name: "take back", kind: intent.FormCorrect, on: "104", keys: "1<tab><tab>b<tab>misread<enter>",
			lines: `{"do":"reading","by":"MA","vessel":"104","temp":"31 °C"}`,
			want: &cellar.Correct{Head: byMA, Of: 26, Vessel: "104", Says: "reading", Field: "temp", TakeBack: true,
				Reason: "misread"}},
	})
}

// A booking is cancelled where it stands on the board, and in the form of its load.
func TestABookingIsCancelledAtItsLoad(t *testing.T) {
	for _, form := range []intent.Form{intent.FormHold, intent.FormLoad} {
		h := newHouse(t)
		h.at("21:00")
		h.lines(`{"do":"book","load":"0777","variety":"Muscat","booked":"2026-09-24T22:00:00+02:00","by":"MA"}`)
		e, why := openAs(h, form, face.Subject{Load: "0777"})
		require.Empty(t, why)
		e.Form.Focus("reason")
		require.Equal(t, &cellar.CancelLoad{Head: byMA, Load: "0777", Reason: "rain"}, h.typed(e, "rain<enter>"))
	}
}

// The load that most likely stands at the gate is tonight's, not one of last week that
// never came.
func TestALoadOfLastWeekIsNotProposed(t *testing.T) {
	h := newHouse(t)
	h.at("20:00")
	h.lines(`{"do":"book","load":"0777","variety":"Muscat","booked":"2026-09-24T20:30:00+02:00","by":"MA"}`)
	h.now = h.now.AddDate(0, 0, 3)
	h.lines(`{"do":"book","load":"0888","variety":"Muscat","booked":"2026-09-27T20:10:00+02:00","by":"MA"}`)
	e, _ := openAs(h, intent.FormLoad, face.Subject{})
	require.Equal(t, "0888", e.Form.Value("load"))
}

// Before somebody goes, the form lists what waits for them.
func TestTheFormListsWhatWaitsForSomebody(t *testing.T) {
	h := newHouse(t)
	h.at("21:00")
	h.lines(`{"do":"hold","by":"MA","vessel":"209","reason":"rose in it","releaser":"OF"}`)
	e, _ := openAs(h, intent.FormCrew, face.Subject{})
	h.types(e, "tof")
	require.Contains(t, strings.Join(e.Form.Live(e.Form.Values()), "\n"), "waits for OF: 209 on hold: rose in it")
}

// A time is corrected as an instant.
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
	promised := `{"do":"note","by":"MA","subject":"209","text":"call back","what":"promise","for":"NS",` +
		`"until":"2026-09-24T23:00:00+02:00"}`
	permit := `{"do":"permit","number":"17","place":"203","given_by":"site safety","holder":"NS","attendant":"MA",` +
		`"until":"2026-09-24T22:00:00+02:00","co2":800,"meter":"G2","by":"MA"}`
	runCommands(t, []commandCase{
		{name: "gas", kind: intent.FormCrew,
			keys: "g300 pit<tab>4800<tab>20,8<tab>g2<tab>from the door<tab>2055<enter>",
			want: &cellar.ReadGas{Head: cellar.Head{By: "MA", At: tonight(t, "20:55")},
				GasReading: cellar.GasReading{Place: "300 pit", CO2: new(4800.0), O2: new(20.8), Meter: "G2",
					Note: "from the door"}}},
		{name: "permit with its reading", kind: intent.FormCrew, on: "203",
			keys: "p<tab><tab>17<tab>site safety<tab>ns<tab>ma<tab>2200<tab>800<tab>20.9<tab>g2<enter>",
			want: &cellar.WritePermit{Head: byMA, Number: "17", Place: "203", Given: "site safety", Holder: "NS",
				Attendant: "MA", Until: tonight(t, "22:00"), CO2: new(800.0), O2: new(20.9), Meter: "G2"}},
		{name: "goes in under the only permit", kind: intent.FormCrew, on: "203", keys: "n<enter>", lines: permit,
			want: &cellar.EnterVessel{Head: byMA, Place: "203", Who: "NS", Permit: "17"}},
		{name: "another attendant under the only permit", kind: intent.FormCrew, keys: "a<tab><tab>tq<enter>",
			lines: permit, want: &cellar.NameAttendant{Head: byMA, Number: "17", Attendant: "TQ"}},
		{name: "permit ends", kind: intent.FormCrew, keys: "e<enter>", lines: permit,
			want: &cellar.EndPermit{Head: byMA, Number: "17"}},
		{name: "break", kind: intent.FormCrew, keys: "b2130<tab>ns<tab>soup<enter>", want: &cellar.TakeBreak{Head: byMA,
			Who: "NS", Until: tonight(t, "21:30"), Note: "soup"}},
		{name: "back, the only one", kind: intent.FormCrew, keys: "k<enter>",
			lines: `{"do":"break","who":"NS","for":"20m","by":"MA"}`, want: &cellar.EndBreak{Head: byMA, Who: "NS"}},
		{name: "out", kind: intent.FormCrew, keys: "ons<enter>", want: &cellar.GoOut{Head: byMA, Who: "NS"}},
		{name: "hand on all of it", kind: intent.FormCrew, keys: "tns<tab>ma<enter>", lines: promised,
			want: &cellar.HandOn{Head: byMA, Who: "NS", To: "MA"}},
		{name: "hand on one thing", kind: intent.FormCrew, keys: "tns<tab><tab>tq<tab>last day<enter>", lines: promised,
			want: &cellar.HandOn{Head: byMA, Who: "NS", Each: []cellar.Handing{{Of: "promise n1", To: "TQ"}},
				Reason: "last day"}},
		{name: "in", kind: intent.FormCrew, keys: "i<enter>", want: &cellar.ComeIn{Head: byMA}},
		{name: "came out", kind: intent.FormCrew, keys: "cns<enter>", want: &cellar.LeaveVessel{Head: byMA, Who: "NS"}},
		{name: "head count", kind: intent.FormCrew, keys: "hyn<tab><tab>2<tab>yard<enter>",
			lines: `{"do":"in","by":"MA","who":"MA"}` + "\n" + `{"do":"in","by":"MA","who":"NS"}`,
			want:  &cellar.CountHeads{Head: byMA, Counted: []cellar.Initials{"MA"}, Others: 2, Note: "yard"}},
		{name: "a clock of a call back", kind: intent.FormClock,
			keys: "ncall the fitter<tab>2230<tab>a<tab><tab>chiller<tab>c<enter>", want: &cellar.SetClock{Head: byMA,
				Subject: subject.Bare("chiller"), Verb: "call the fitter", Due: tonight(t, "22:30"), What: cellar.ActAt,
				ForKind: cellar.KindCall}},
	})
}
